"""What was measured on a real line: diameters at stations, lengths, weights of sections."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import StrEnum

from taperlab.model.exact_units import GRAIN, INCH
from taperlab.model.line import NO_LOOP, Loop
from taperlab.model.marked import later
from taperlab.model.segment import Extras, Part, require_not_negative, require_positive


class Material(StrEnum):
    """What a person knows of how alike a line is all along, for its volume."""

    NOT_SAID = later("not said")
    ONE = later("one material")
    EVEN = later("one extrusion, known even")


@dataclass(frozen=True, slots=True)
class Instruments:
    """The smallest step that each instrument shows, and how well a diameter repeats.

    scale: step of the scale [kg]; tape: step of the tape [m]; micrometer: step of the micrometer
    or caliper [m]; scatter: standard deviation of one diameter at one place [m] from a soft, not
    quite round coating, before the reading is rounded.
    """

    scale: float
    tape: float
    micrometer: float
    scatter: float = 0.0
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_positive(self, "scale", "tape", "micrometer")
        require_not_negative(self, "scatter")


USUAL = Instruments(
    scale=0.5 * GRAIN, tape=INCH / 8.0, micrometer=0.0005 * INCH, scatter=0.0005 * INCH
)
"""Half-grain scale, tape in eighths, micrometer in half thousandths on a soft coating."""


@dataclass(frozen=True, slots=True)
class Station:
    """Diameters [m] read at one distance [m] from the fly end; one or more readings."""

    distance: float
    readings: tuple[float, ...]
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_not_negative(self, "distance")
        if not self.readings:
            raise ValueError(later("a station needs at least one diameter"))
        if not all(math.isfinite(reading) and reading > 0.0 for reading in self.readings):
            raise ValueError(f"each diameter of {self!r} must be above zero")


@dataclass(frozen=True, slots=True)
class WeighedSection:
    """A stretch of line from ``front`` to ``rear`` [m from the fly end] and its mass [kg].

    The whole line is one such section; an offcut is another. span: 0 where the stretch was on the
    scale alone. Where an end of the line lay on the pan and the rest on a level bench beside it,
    how much [m] hung free in between; the mass is then what the scale read.
    """

    front: float
    rear: float
    mass: float
    span: float = 0.0
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_not_negative(self, "front", "span")
        require_positive(self, "rear", "mass")
        if self.rear <= self.front:
            raise ValueError(
                later("a weighed section must end farther from the fly end than it begins")
            )


@dataclass(frozen=True, slots=True)
class Measurement:
    """All that was measured on one line, and what the user decided about its shape.

    line: key of the design that it is compared with, if any. length: whole length [m].
    breakpoints: distances [m] that the user fixed. only_fixed: take these and no others.
    parts: parts that the user gave to the fitted segments, in order; empty to guess them.
    front_loop, rear_loop: loops on the line when it was weighed. material: what the user knows
    of how alike it is all along.
    """

    key: str
    name: str
    length: float
    instruments: Instruments
    line: str | None = None
    stations: tuple[Station, ...] = ()
    sections: tuple[WeighedSection, ...] = ()
    breakpoints: tuple[float, ...] = ()
    only_fixed: bool = False
    parts: tuple[Part, ...] = ()
    front_loop: Loop = NO_LOOP
    rear_loop: Loop = NO_LOOP
    note: str = ""
    material: Material = Material.NOT_SAID
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_positive(self, "length")
