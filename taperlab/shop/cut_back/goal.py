"""What number a target asks for, or why it asks for none."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.model.cut_log import Target, TargetKind
from taperlab.model.exact_units import FOOT
from taperlab.model.line import Line
from taperlab.model.rod import Rod
from taperlab.physics.head import head_of
from taperlab.shop.words import feet, grains
from taperlab.trade import line_weights
from taperlab.units.finding import Impossible
from taperlab.units.sentence import Sentence, verbatim

STANDARD_LENGTH = 30.0 * FOOT
"""Length that the single-hand standard weighs [m]."""


@dataclass(frozen=True, slots=True)
class NoPlan:
    """No cut reaches the target; the sentence says why. ``limit`` names what stops it, if one does.

    limit: "shortest head", "joint step" or "front taper".
    """

    sentence: Sentence
    limit: str | None = None


@dataclass(frozen=True, slots=True)
class Goal:
    """A target as a number to reach: what falls as line comes off, and its goal in SI.

    by_length: the goal is a finished length [m], else a mass [kg]. from_tip: the level tip is
    left out; weighed_over: only so much from the front counts [m], None for the whole head.
    letter: class of the two-handed table that the goal comes from.
    """

    value: float
    by_length: bool = False
    weighed_over: float | None = None
    from_tip: bool = False
    letter: str = ""

    @property
    def words(self) -> str:
        """The goal with its unit."""
        return feet(self.value) if self.by_length else grains(self.value)


def goal_of(target: Target, line: Line, rod: Rod | None) -> Goal | NoPlan:
    """What number a target asks for, given the line's style and the rod."""
    kind = target.kind
    if kind is TargetKind.WEIGHT:
        return Goal(target.value)
    if kind is TargetKind.LENGTH:
        return Goal(target.value, by_length=True)
    if kind is TargetKind.SINGLE_HAND_SIZE:
        try:
            size = line_weights.single_hand_size(round(target.value))
        except Impossible as error:
            return NoPlan(error.sentence)
        return Goal(size.target, weighed_over=STANDARD_LENGTH, from_tip=True)
    if kind is TargetKind.TWO_HANDED_SIZE:
        return _two_handed_goal(target, line)
    if rod is None:
        return NoPlan(verbatim(f"Choose a rod: a {kind} needs one."))
    if kind is TargetKind.RATIO:
        return Goal(target.value * rod.length, by_length=True)
    window = rod.window_for(line.style)
    if window is None:
        return NoPlan(
            verbatim(f"The rod {rod.name} has no window for a {line.style} head: give it one.")
        )
    return Goal(window.lightest + target.value * (window.heaviest - window.lightest))


def _two_handed_goal(target: Target, line: Line) -> Goal | NoPlan:
    number = round(target.value)
    classes = {each.letter: each for each in line_weights.two_handed_classes()}
    if target.group:
        column = classes.get(target.group)
        if column is None:
            return NoPlan(
                verbatim(
                    f"The two-handed table has classes {', '.join(classes)}, not {target.group}."
                )
            )
    else:
        column = line_weights.two_handed_class(head_of(line).length)
        if column is None:
            return NoPlan(
                Sentence("A head shorter than 30 ft has no class in the two-handed table.")
            )
    if number not in column.targets:
        sizes = sorted(column.targets)
        return NoPlan(
            verbatim(f"The two-handed table has lines {sizes[0]} to {sizes[-1]}, not {number}.")
        )
    return Goal(column.targets[number], weighed_over=column.weigh_point, letter=column.letter)
