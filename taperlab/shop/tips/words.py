"""What is said of a tip on a head."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from taperlab.model.rig import Fly, FlyKind, Leader
from taperlab.physics.tight_line import State
from taperlab.shop.rig import Carry
from taperlab.shop.tips.study import TipRow, TipsStudy
from taperlab.units.language import later
from taperlab.units.sentence import (
    NOTHING,
    Current,
    Length,
    Number,
    Ratio,
    Sentence,
    SinkRate,
    Weight,
    WeightPerLength,
)


class Tone(StrEnum):
    """How a verdict is shown: plainly, as a question, or as a fault."""

    PLAIN = later("plain")
    QUESTION = later("question")
    FAULT = later("fault")


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether the head carries a tip, and why; one sentence or two."""

    tone: Tone
    words: Sentence


def verdict(row: TipRow, found: TipsStudy) -> Verdict:
    """What is said of one tip beside the others."""
    if row.carry is Carry.HINGES:
        words = Sentence(
            "Hinges: {ahead} ahead of {behind}.",
            ahead=WeightPerLength(row.joint.ahead),
            behind=WeightPerLength(row.joint.behind, unit=False),
        )
        return Verdict(Tone.FAULT, words)
    depth = _beside(row, found)
    if row.carry is Carry.UNSURE:
        error = Number(100.0 * row.joint.error)
        if not depth:
            depth = Sentence("A caliper leaves {error} %.", error=error)
        words = Sentence(
            "May hinge: a step of {step} is within a caliper’s {error} %. {depth}",
            step=Ratio(row.joint.step),
            error=error,
            depth=depth,
        )
        return Verdict(Tone.QUESTION, words)
    return Verdict(Tone.PLAIN, Sentence("Carries. {depth}", depth=depth))


def _beside(row: TipRow, found: TipsStudy) -> Sentence:
    """How deep it fishes beside the deepest that does not hinge."""
    state = row.water.state
    if state is State.BOTTOM:
        return Sentence("On the bottom: no depth to compare.")
    if not row.middle > 0.0:
        return Sentence("Stays at the surface.")
    best = found.best
    if best is None or row is best:
        return Sentence("The deepest that does not hinge.")
    if row.against is None:
        return Sentence("Its depth can’t be compared with that of {best}.", best=best.line.name)
    if row.against.alike:
        return Sentence("As deep as {best}, within the error.", best=best.line.name)
    percent = Number(100.0 * abs(1.0 - row.against.ratio))
    return Sentence("{percent} % shallower than {best}.", percent=percent, best=best.line.name)


def sink_words(row: TipRow, *, unit: bool = True) -> Sentence:
    """Slowest to fastest sink rate over the length of a tip."""
    slow, fast = SinkRate(row.slowest, unit=False), SinkRate(row.fastest, unit=False)
    if abs(row.fastest - row.slowest) < 1e-3:  # 0.04 in/s
        return Sentence("{rate}", rate=SinkRate(row.fastest, unit=unit))
    return Sentence(
        "{slow}–{fast}", slow=slow, fast=SinkRate(row.fastest, unit=unit) if unit else fast
    )


def rig_words(row: TipRow) -> Sentence:
    """Step, weight of the rig, and its ratio to the rod, in short."""
    said = Sentence(
        "step {step} · rig {mass}", step=Ratio(row.joint.step), mass=Weight(row.rig_mass)
    )
    if row.ratio != row.ratio:
        return said
    return Sentence("{said} · {ratio} × rod", said=said, ratio=Ratio(row.ratio))


def left_out_words(names_and_why: tuple[tuple[str, Sentence], ...]) -> Sentence:
    """Why tips of the bench are not in the table: the first of them."""
    if not names_and_why:
        return NOTHING
    name, why = names_and_why[0]
    return Sentence("{tip} is not in the table: {why}", tip=name, why=why)


def fished_words(speed: float, angle: float, leader: Leader | None, fly: Fly | None) -> Sentence:
    """How rigs are fished, in one line: speed [m/s], angle across the stream [rad], what is tied.

    Without a fly it is a usual one.
    """
    where = Sentence("straight below")
    if angle:
        where = Sentence("{angle}° across the stream", angle=Number(math.degrees(angle)))
    tied = Sentence("no leader")
    if leader is not None:
        tied = Sentence("{length} leader", length=Length(leader.length))
    return Sentence(
        "at {speed}, {where} · {leader} · {fly}",
        speed=Current(speed),
        where=where,
        leader=tied,
        fly=fly.kind if fly is not None else FlyKind.USUAL,
    )
