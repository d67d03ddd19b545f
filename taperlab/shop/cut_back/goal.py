"""What number a target asks for, or why it asks for none."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from taperlab.edits.cut_back import head_to_cut
from taperlab.edits.edited import Refused
from taperlab.model.cut_log import Target, TargetKind
from taperlab.model.exact_units import FOOT
from taperlab.model.line import Line
from taperlab.model.rod import Rod, Window
from taperlab.shop.on_rod import window_alone
from taperlab.trade import line_weights
from taperlab.units.finding import Impossible
from taperlab.units.sentence import OnTape, Quantity, Sentence, Several, Weight

STANDARD_LENGTH = 30.0 * FOOT
"""Length that the single-hand standard weighs [m]."""


class Limit(StrEnum):
    """What may stop a cut."""

    SHORTEST_HEAD = "shortest head"
    JOINT_STEP = "joint step"
    FRONT_TAPER = "front taper"


@dataclass(frozen=True, slots=True)
class NoPlan:
    """No cut reaches the target; the sentence says why. ``limit`` stops it, if one does."""

    sentence: Sentence
    limit: Limit | None = None


@dataclass(frozen=True, slots=True)
class Goal:
    """A target as a number to reach: what falls as line comes off, and its goal in SI.

    by_length: the goal is a finished length [m], else a mass [kg]. from_tip: the level tip is
    left out; weighed_over: only so much from the fly end counts [m], None for the whole head.
    letter: class of the two-handed table that the goal comes from.
    """

    value: float
    by_length: bool = False
    weighed_over: float | None = None
    from_tip: bool = False
    letter: str = ""

    def quantity(self, value: float) -> OnTape | Quantity:
        """A value of what the goal counts."""
        return OnTape(value) if self.by_length else Weight(value)

    @property
    def said(self) -> OnTape | Quantity:
        """The goal with its unit."""
        return self.quantity(self.value)


def head_or_none(line: Line) -> Line | NoPlan:
    """The head of a line, or why it has none that can be cut."""
    try:
        return head_to_cut(line)
    except Refused as refused:
        return NoPlan(refused.sentence)


def window_for(line: Line, rod: Rod | None, window: Window | None = None) -> Window | None:
    """What a head is judged on: a window of its own, else what of the rod's judges it alone."""
    return window or window_alone(line, rod)


def goal_of(
    target: Target, line: Line, rod: Rod | None, window: Window | None = None
) -> Goal | NoPlan:
    """What number a target asks of a line that is all head, given its style and the rod.

    ``window``: instead of the rod's.
    """
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
    window = window_for(line, rod, window)
    if kind is TargetKind.WINDOW and window is not None:
        return Goal(window.lightest + target.value * (window.heaviest - window.lightest))
    if rod is None:
        return NoPlan(Sentence("Choose a rod: that target needs one."))
    if kind is TargetKind.WINDOW and rod.window_for(line.style):
        return NoPlan(
            Sentence(
                "The grain window of {rod} was measured on head and tip: cut to a weight, less "
                "what the tip weighs.",
                rod=rod.name,
            )
        )
    if kind is TargetKind.WINDOW:
        return NoPlan(
            Sentence(
                "The rod {rod} has no grain window for heads of style {style}: give it one.",
                rod=rod.name,
                style=line.style,
            )
        )
    return Goal(target.value * rod.length, by_length=True)


def _two_handed_goal(target: Target, head: Line) -> Goal | NoPlan:
    number = round(target.value)
    classes = {each.letter: each for each in line_weights.two_handed_classes()}
    if target.group:
        column = classes.get(target.group)
        if column is None:
            return NoPlan(
                Sentence(
                    "The two-handed table has classes {classes}, not {group}.",
                    classes=Several(tuple(classes)),
                    group=target.group,
                )
            )
    else:
        column = line_weights.two_handed_class(head.length)
        if column is None:
            return NoPlan(
                Sentence(
                    "A head shorter than {least} has no class in the two-handed table.",
                    least=OnTape(STANDARD_LENGTH),
                )
            )
    if number not in column.targets:
        return NoPlan(
            Sentence(
                "The two-handed table has lines {first} to {last}, not {number}.",
                first=min(column.targets),
                last=max(column.targets),
                number=number,
            )
        )
    return Goal(column.targets[number], weighed_over=column.weigh_point, letter=column.letter)
