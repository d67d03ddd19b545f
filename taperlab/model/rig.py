"""A rig: lines looped together, a leader and a fly, fished as one."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import StrEnum

from taperlab.model.marked import later
from taperlab.model.segment import Extras, require_not_negative, require_positive


class FlyKind(StrEnum):
    """A word for a fly, for whoever has no numbers; what each stands for, a table says."""

    USUAL = later("a usual fly")
    LIGHT = later("a light fly")
    WEIGHTED = later("a weighted fly")
    BULKY = later("a bulky fly")
    OWN = later("a fly by its numbers")


@dataclass(frozen=True, slots=True)
class Leader:
    """A level leader: length, diameter [m] and density [kg/m^3]."""

    length: float
    diameter: float = 0.0003048
    density: float = 1140.0
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_positive(self, "length", "diameter", "density")


@dataclass(frozen=True, slots=True)
class Fly:
    """A fly as the water and the air feel it.

    weight: what it weighs in water, as the mass [kg] that weighs so much; below zero where it
    floats. mass: in air [kg]. drag_area: drag coefficient times frontal area [m^2]. kind: the word
    that it was told by, which says how sure its weight is.
    """

    weight: float
    mass: float
    drag_area: float
    kind: FlyKind = FlyKind.OWN
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_not_negative(self, "mass", "drag_area")
        if not math.isfinite(self.weight):
            raise ValueError(later("the weight of a fly in water must be a number"))


@dataclass(frozen=True, slots=True)
class Rig:
    """Lines of a bench, by their keys, that are looped together; and what is tied to them.

    ahead: lines ahead of the head, nearest the fly first. head: the line whose head is cast.
    behind: the line between the head and any running line, if there is one.
    """

    key: str
    name: str
    head: str
    ahead: tuple[str, ...] = ()
    behind: str | None = None
    leader: Leader | None = None
    fly: Fly | None = None
    note: str = ""
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        if not self.head:
            raise ValueError(later("a rig needs a head"))
        if len(set(self.lines)) != len(self.lines):
            raise ValueError(later("a rig can’t hold the same line twice"))

    @property
    def lines(self) -> tuple[str, ...]:
        """Keys of its lines, from the fly end."""
        return (*self.ahead, self.head, *((self.behind,) if self.behind else ()))
