"""What is made of stock: which heads, what their pieces keep to, what the scale read on the way."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.marked import later
from taperlab.model.measurement import USUAL
from taperlab.model.segment import Extras, require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class Rules:
    """What pieces must keep to.

    tolerance: how far the mass per length of stock may be off the design's anywhere [kg/m].
    largest_step: mass per length at a joint, heavier over lighter. shortest: piece [m]. usable: a
    shorter offcut is worth nothing [m]. overlap: of lapped welds where the design says only that
    two segments are one [m]; nought for none. fold: line folded back into each end loop [m]; None
    as the design says. keeps_weight: pieces are cut to the weight of the design and not to its
    length. scale: its step [kg].
    """

    tolerance: float = 1.5 * GRAIN / FOOT
    largest_step: float = math.inf
    shortest: float = 6.0 * INCH
    usable: float = 3.0 * FOOT
    overlap: float = 0.0
    fold: float | None = None
    keeps_weight: bool = True
    scale: float = USUAL.scale
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_positive(self, "tolerance", "shortest", "scale")
        require_not_negative(self, "usable", "overlap", "fold")
        if not self.largest_step >= 1.0:
            raise ValueError(later("the largest joint step must be 1 or more"))


@dataclass(frozen=True, slots=True)
class Wanted:
    """How many heads of a design are made. line: its key."""

    line: str
    count: int = 1
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        if self.count < 1:
            raise ValueError(later("a head is made once at least"))


@dataclass(frozen=True, slots=True)
class Weighed:
    """What the scale read [kg] once so many pieces of a head lay on it joined.

    line: key of its design; copy: which of the heads of that design, from 1; after: how many.
    """

    line: str
    copy: int
    after: int
    mass: float
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_positive(self, "mass")
        if min(self.copy, self.after) < 1:
            raise ValueError(later("heads and pieces are counted from 1"))


@dataclass(frozen=True, slots=True)
class Making:
    """Heads that are made of stock, in order; what they keep to; readings on the way."""

    wanted: tuple[Wanted, ...] = ()
    rules: Rules = field(default_factory=Rules)
    readings: tuple[Weighed, ...] = ()
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        if len({each.line for each in self.wanted}) != len(self.wanted):
            raise ValueError(later("two entries of what is made are of one line"))

    def without(self, line: str) -> Making:
        """The same without a design and what was read of it; itself where it has none of it."""
        named = {each.line for each in self.wanted} | {each.line for each in self.readings}
        if line not in named:
            return self
        return Making(
            tuple(each for each in self.wanted if each.line != line),
            self.rules,
            tuple(each for each in self.readings if each.line != line),
            self.extra,
        )
