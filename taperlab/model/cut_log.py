"""A cut-back: what is wanted, what is allowed, and every cut and weighing so far."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import StrEnum

from taperlab.model.marked import later
from taperlab.model.measurement import Instruments
from taperlab.model.segment import Extras, require_not_negative, require_positive


class TargetKind(StrEnum):
    """What a cut-back aims at."""

    WEIGHT = "weight"
    WINDOW = "window"
    SINGLE_HAND_SIZE = "single-hand size"
    TWO_HANDED_SIZE = "two-handed size"
    LENGTH = "head length"
    RATIO = "ratio"


@dataclass(frozen=True, slots=True)
class Target:
    """An aim. What ``value`` means depends on the kind.

    weight: [kg]; window: place in the rod's window, 0 its lightest, 0.5 its middle, 1 its
    heaviest; size: the line number; head length: [m]; ratio: head length over rod length.
    group: the column of the two-handed table (H, S, M or L), for that kind alone.
    """

    kind: TargetKind
    value: float
    group: str = ""
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        if self.kind is TargetKind.WINDOW:
            if not 0.0 <= self.value <= 1.0:
                raise ValueError(later("the place in a grain window must be from 0 to 1"))
        else:
            require_positive(self, "value")


class CutEnd(StrEnum):
    """Where line comes off."""

    REAR = "rear"
    FRONT = "front"
    BOTH = "both"


@dataclass(frozen=True, slots=True)
class NewLoop:
    """What re-making a loop takes: ``fold`` [m] of line folded back, ``mass`` [kg] added."""

    fold: float = 0.0
    mass: float = 0.0
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_not_negative(self, "fold", "mass")


@dataclass(frozen=True, slots=True)
class Limits:
    """What a cut must respect.

    shortest: shortest finished head [m], 0 for none. largest_step: largest joint step at the
    joint behind a tip, infinite for none. tip_linear_density: mass per length [kg/m] at the rear
    of a tip line looped ahead of the head, if that joint is to count as well.
    """

    shortest: float = 0.0
    largest_step: float = math.inf
    tip_linear_density: float | None = None
    keep_front_taper: bool = False
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_not_negative(self, "shortest")
        require_positive(self, "tip_linear_density")
        if not self.largest_step > 0.0:
            raise ValueError(later("the largest joint step must be above zero"))


class Weighing(StrEnum):
    """What a reading of the scale is of."""

    FIRST = "first"
    HEAD = "head"
    OFFCUT = "offcut"


@dataclass(frozen=True, slots=True)
class CutStep:
    """One cut and what the scale said after it.

    front, rear: length cut off each end, as read on the tape [m]. head, offcut: readings [kg],
    None where it was not weighed. The head is weighed without anything added for its new loop;
    the offcut is all that came off in this step. dropped_head, dropped_offcut: readings that the
    person does not believe [kg]: kept, but they count for nothing. sure: the person's word that
    the readings are right, however unlikely.
    """

    front: float = 0.0
    rear: float = 0.0
    head: float | None = None
    offcut: float | None = None
    note: str = ""
    dropped_head: float | None = None
    dropped_offcut: float | None = None
    sure: bool = False
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        # A short trim may not move the scale at all: its offcut may read nothing.
        require_not_negative(self, "front", "rear", "offcut", "dropped_offcut")
        require_positive(self, "head", "dropped_head")

    @property
    def waits(self) -> bool:
        """Whether something was cut and nothing was weighed since."""
        return bool(self.front or self.rear) and self.head is None and self.offcut is None


@dataclass(frozen=True, slots=True)
class CutBack:
    """A cut-back of the line with key ``line``, planned and logged.

    front_share: share of the length that comes off the front when both ends are cut.
    first_reading: the head's weight [kg] before the first cut, loops on; None if not weighed.
    dropped_first: such a reading that the person does not believe [kg]; sure: their word that it is
    right, however far from the description. last_reading: the finished head's weight [kg], new
    loops on; None if not weighed; sure_last: the person's word on that one. ends_told: whether the
    person has looked which end is which. on_bench: whether the head as the log has it was put on
    the bench, beside the line.
    """

    key: str
    line: str
    target: Target
    instruments: Instruments
    end: CutEnd = CutEnd.REAR
    front_share: float = 0.5
    front_loop: NewLoop = field(default_factory=NewLoop)
    rear_loop: NewLoop = field(default_factory=NewLoop)
    limits: Limits = field(default_factory=Limits)
    first_reading: float | None = None
    steps: tuple[CutStep, ...] = ()
    note: str = ""
    dropped_first: float | None = None
    sure: bool = False
    last_reading: float | None = None
    sure_last: bool = False
    ends_told: bool = False
    on_bench: bool = False
    extra: Extras = field(default_factory=dict, hash=False)

    @property
    def waits(self) -> bool:
        """Whether something was cut that no scale has seen yet."""
        return bool(self.steps) and self.steps[-1].waits

    def __post_init__(self) -> None:
        if not 0.0 <= self.front_share <= 1.0:
            raise ValueError(later("the share cut from the fly end must be from 0 to 1"))
        require_positive(self, "first_reading", "dropped_first", "last_reading")
