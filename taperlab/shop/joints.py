"""What is said of a joint between two lines of a rig, and of what is tied to it."""

from __future__ import annotations

from taperlab.shop.rig import Carry, Looped, RigJoint
from taperlab.units.finding import Finding, Level
from taperlab.units.sentence import (
    Length,
    Number,
    Ratio,
    Sentence,
    SmallWeight,
    Value,
    WeightPerLength,
)

NO_STEP = 0.005
"""A step that is 1 to two decimals is called none."""


def joint_name(joint: RigJoint) -> Sentence:
    """Which lines meet there."""
    ahead, behind = joint.lines
    return Sentence("{ahead} to {behind}", ahead=ahead, behind=behind)


def step_words(joint: RigJoint) -> Sentence:
    """The joint step in words, with the error below which it is not judged."""
    values: dict[str, Value] = {
        "ahead": WeightPerLength(joint.ahead),
        "behind": WeightPerLength(joint.behind),
        "error": Number(100.0 * joint.error),
    }
    step = joint.step
    if abs(step - 1.0) < NO_STEP:
        said = Sentence("No step: {ahead} ahead of the joint, {behind} behind it.", **values)
    elif step > 1.0:
        said = Sentence(
            "A step up toward the fly: {ahead} ahead of the joint, {behind} behind it.", **values
        )
    else:
        said = Sentence("A step down: {ahead} ahead of the joint, {behind} behind it.", **values)
    return Sentence(
        "{said} A caliper leaves {error} %: a step up by less is not judged.",
        said=said,
        error=values["error"],
    )


def hinge_words(joint: RigJoint) -> Sentence:
    """Whether the rig hinges there, and why."""
    if joint.carry is Carry.HINGES:
        return Sentence(
            "May hinge here: {step} times as heavy per foot as {behind}, which must carry it.",
            step=Ratio(joint.step),
            behind=joint.lines[1],
        )
    if joint.carry is Carry.UNSURE:
        return Sentence(
            "Too close to tell: a step of {step} is within a caliper’s {error} %.",
            step=Ratio(joint.step),
            error=Number(100.0 * joint.error),
        )
    return Sentence("Carried: no heavier per foot than what is behind it.")


def loops_words(joint: RigJoint) -> Sentence:
    """What both loops weigh."""
    if not joint.loops:
        return Sentence("Its lines have no loops that weigh anything.")
    return Sentence("Both loops weigh {weight}.", weight=SmallWeight(joint.loops))


def tied_words(rig: Looped) -> Sentence:
    """What is tied to a rig, and that it counts in none of its figures."""
    if rig.leader is None and rig.fly is None:
        return Sentence("Leader and fly count in none of these figures.")
    tied = rig.fly.kind if rig.fly is not None else Sentence("no fly")
    if rig.leader is None:
        return Sentence("In front: {fly}, which counts in none of these figures.", fly=tied)
    return Sentence(
        "In front: a leader of {length}, {fly}. They count in none of these figures.",
        length=Length(rig.leader.length),
        fly=tied,
    )


def joint_finding(joint: RigJoint, row: int) -> Finding | None:
    """A caution where a rig hinges. row: of the segment just ahead of the joint."""
    if joint.carry is not Carry.HINGES:
        return None
    why = Sentence(
        "{ahead} is {step} times as heavy per foot at the joint as {behind}, which must carry it: "
        "the rig may hinge there.",
        ahead=joint.lines[0],
        step=Ratio(joint.step),
        behind=joint.lines[1],
    )
    return Finding(Level.CAUTION, why, row)
