"""What is made of stock: which heads, and what their pieces keep to."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

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
    length. scale: its step [kg]. spare: what each piece is cut longer at its rod end, to be trimmed
    off to its weight [m]. keeps_front_taper: no trim touches tip and front taper. tube: what the
    welding tube of one weld weighs [kg]; None where nobody weighed one. tubes_stay: it stays on the
    welds of ``overlap``, and is not peeled off.
    """

    tolerance: float = 1.5 * GRAIN / FOOT
    largest_step: float = math.inf
    shortest: float = 6.0 * INCH
    usable: float = 3.0 * FOOT
    overlap: float = 0.0
    fold: float | None = None
    keeps_weight: bool = True
    scale: float = USUAL.scale
    spare: float = 0.0
    keeps_front_taper: bool = False
    tube: float | None = None
    tubes_stay: bool = False
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_positive(self, "tolerance", "shortest", "scale")
        require_not_negative(self, "usable", "overlap", "fold", "spare", "tube")
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
class Making:
    """Heads that are made of stock, in order, and what they keep to."""

    wanted: tuple[Wanted, ...] = ()
    rules: Rules = field(default_factory=Rules)
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        if len({each.line for each in self.wanted}) != len(self.wanted):
            raise ValueError(later("two entries of what is made are of one line"))

    def without(self, line: str) -> Making:
        """The same without a design; itself where it has none of it."""
        if line not in {each.line for each in self.wanted}:
            return self
        wanted = tuple(each for each in self.wanted if each.line != line)
        return replace(self, wanted=wanted)
