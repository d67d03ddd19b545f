"""A round section of line, and a segment: one row of the table."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Self

from taperlab.model.aim import Cell, Hold
from taperlab.model.marked import later

Extras = Mapping[str, object]
"""Keys of a file that this version does not know; kept so that a save gives them back."""


class Part(StrEnum):
    """What a segment is for, from the fly end to the rod end."""

    TIP = later("tip")
    FRONT_TAPER = later("front taper")
    BELLY = later("belly")
    REAR_TAPER = later("rear taper")
    SINK_TIP = later("sink tip")
    EXTENSION = later("extension")
    HANDLING_LINE = later("handling line")
    RUNNING_LINE = later("running line")

    @property
    def in_head(self) -> bool:
        """Whether a segment of this part belongs to the head."""
        return self not in (Part.HANDLING_LINE, Part.RUNNING_LINE)

    @property
    def in_front_taper(self) -> bool:
        """Whether a segment of this part counts for the front-taper share."""
        return self in (Part.TIP, Part.FRONT_TAPER)


def require_positive(thing: object, *names: str) -> None:
    """Raise ValueError for the first of these attributes that is no finite number above zero."""
    require_not_negative(thing, *names)
    for name in names:
        if getattr(thing, name) == 0.0:
            raise ValueError(f"{name} of {thing!r} must be above zero")


def require_not_negative(thing: object, *names: str) -> None:
    """Raise ValueError for the first of these attributes that is no finite number from zero up.

    One that is None is no number that is there.
    """
    for name in names:
        value = getattr(thing, name)
        if value is not None and not (math.isfinite(value) and value >= 0.0):
            raise ValueError(f"{name} of {thing!r} must be zero or more")


@dataclass(frozen=True, slots=True)
class Core:
    """A core of constant diameter inside a coating.

    diameter: [m]; density: [kg/m^3].
    """

    diameter: float
    density: float
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_positive(self, "diameter", "density")


@dataclass(frozen=True, slots=True)
class RoundSection:
    """A round piece of line whose diameter runs straight from front to rear, of one make-up.

    length, front_diameter, rear_diameter: [m]. density: [kg/m^3], of the whole section, or of
    the coating round ``core`` where there is one. The front is the fly end. What it weighs is
    worked out in ``physics/section.py``.
    """

    part: Part
    length: float
    front_diameter: float
    rear_diameter: float
    density: float
    core: Core | None = None
    note: str = ""
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_positive(self, "length", "front_diameter", "rear_diameter", "density")
        if self.core and self.core.diameter > min(self.front_diameter, self.rear_diameter):
            raise ValueError(later("core diameter must not exceed the thinner end of the segment"))

    def diameter(self, distance: float) -> float:
        """Diameter [m] at a distance from its front [m]; beyond an end that of the end."""
        front, rear = self.front_diameter, self.rear_diameter
        if distance >= self.length:
            return rear
        there = front + (rear - front) * (max(0.0, distance) / self.length)
        # Rounding must not make it thinner than the thinner end, where a core just fits.
        return min(max(there, min(front, rear)), max(front, rear))

    def cut(self, begin: float, end: float) -> Self:
        """What lies between two distances from its front [m]; itself if that is all of it."""
        if begin <= 0.0 and end >= self.length:
            return self
        return replace(
            self,
            length=end - begin,
            front_diameter=self.diameter(begin),
            rear_diameter=self.diameter(end),
        )

    def turned(self) -> Self:
        """The same, its ends the other way round."""
        front, rear = self.rear_diameter, self.front_diameter
        return replace(self, front_diameter=front, rear_diameter=rear)


_FREE = {cell: Hold(cell) for cell in Cell}
"""What says nothing of a cell: made once, since every cell is asked for it again and again."""


@dataclass(frozen=True, slots=True)
class Segment(RoundSection):
    """A round section as it lies in a line: one row of the table.

    holds: what its numbers are held to while goals are met, each cell at most once. stock: what it
    is to be cut from, by the name or the kind of that stock; nothing where the plan may choose.
    """

    holds: tuple[Hold, ...] = ()
    stock: str = ""

    def hold(self, cell: Cell) -> Hold:
        """What a cell is held to."""
        for each in self.holds:
            if each.cell is cell:
                return each
        return _FREE[cell]
