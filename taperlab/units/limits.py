"""Which kind of value each number of the model is, so that one table limits it everywhere.

What the program writes it must read again: edits refuse, and files do not hold, what lies outside
the limits of a number's kind.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass

from taperlab.model.cut_log import CutBack, CutStep, Limits, NewLoop, Target, TargetKind
from taperlab.model.line import Joint, Loop
from taperlab.model.measurement import Instruments, Measurement, Station, WeighedSection
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Core, Segment
from taperlab.model.stock import Stock
from taperlab.model.water import Water
from taperlab.units.kinds import (
    DENSITY,
    DIAMETER,
    DISTANCE,
    FINE_LENGTH,
    LENGTH,
    RATIO,
    ROD_LENGTH,
    SALINITY,
    SHARE,
    SHORT_LENGTH,
    SMALL_WEIGHT,
    TEMPERATURE,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    Kind,
)
from taperlab.units.language import later


@dataclass(frozen=True, slots=True)
class Limited:
    """One number of a dataclass. name: what it is called, to begin a sentence.

    besides: a value that is allowed too, though it lies outside the limits of the kind.
    """

    kind: Kind
    name: str
    besides: float | None = None

    def allows(self, value: float) -> bool:
        """Whether a value [SI] lies within the limits."""
        return self.kind.allows(value) or value == self.besides


_SECTION = {
    "length": Limited(LENGTH, later("The length")),
    "front_diameter": Limited(DIAMETER, later("The front diameter")),
    "rear_diameter": Limited(DIAMETER, later("The rear diameter")),
    "density": Limited(DENSITY, later("The density")),
}
_LOOP = {
    "fold": Limited(SHORT_LENGTH, later("The line folded back into a loop")),
    "mass": Limited(SMALL_WEIGHT, later("The weight added by a loop")),
}

LIMITS: Mapping[type, Mapping[str, Limited]] = {
    Core: {
        "diameter": Limited(DIAMETER, later("The core diameter")),
        "density": Limited(DENSITY, later("The core density")),
    },
    Segment: _SECTION,
    Stock: _SECTION,
    Joint: {
        "overlap": Limited(SHORT_LENGTH, later("The overlap of a joint")),
        "mass": Limited(SMALL_WEIGHT, later("The weight added by a joint")),
    },
    Loop: _LOOP,
    NewLoop: _LOOP,
    Rod: {"length": Limited(ROD_LENGTH, later("The length of a rod"))},
    Window: {
        "lightest": Limited(WEIGHT, later("The lightest head of a window")),
        "heaviest": Limited(WEIGHT, later("The heaviest head of a window")),
    },
    Water: {
        "temperature": Limited(TEMPERATURE, later("The temperature of the water")),
        "salinity": Limited(SALINITY, later("The salinity of the water")),
    },
    Instruments: {
        "scale": Limited(SMALL_WEIGHT, later("The scale’s step")),
        "tape": Limited(SHORT_LENGTH, later("The tape’s step")),
        "micrometer": Limited(FINE_LENGTH, later("The micrometer’s step")),
        "scatter": Limited(FINE_LENGTH, later("The scatter of the diameters")),
    },
    Station: {
        "distance": Limited(DISTANCE, later("The distance from the fly end")),
        "readings": Limited(DIAMETER, later("A diameter")),
    },
    WeighedSection: {
        "front": Limited(DISTANCE, later("The distance from the fly end")),
        "rear": Limited(DISTANCE, later("The distance from the fly end")),
        "mass": Limited(WEIGHT, later("The weight")),
    },
    Measurement: {
        "length": Limited(LENGTH, later("The measured length")),
        "breakpoints": Limited(DISTANCE, later("The distance from the fly end")),
    },
    Limits: {
        "shortest": Limited(DISTANCE, later("The shortest head")),
        "largest_step": Limited(RATIO, later("The largest joint step"), besides=math.inf),
        "tip_linear_density": Limited(WEIGHT_PER_LENGTH, later("The tip’s weight per length")),
    },
    CutStep: {
        "front": Limited(DISTANCE, later("What is cut off the fly end")),
        "rear": Limited(DISTANCE, later("What is cut off the rod end")),
        "head": Limited(WEIGHT, later("The weight of the head")),
        # A short trim may not move the scale at all.
        "offcut": Limited(WEIGHT, later("The weight of the offcut"), besides=0.0),
    },
    CutBack: {
        "front_share": Limited(SHARE, later("The share that comes off the front")),
        "first_reading": Limited(WEIGHT, later("The weight of the head")),
    },
}
"""Of each dataclass, the numbers in it that have limits; of a tuple, each number in it."""

_TARGETS: Mapping[TargetKind, Limited] = {
    TargetKind.WEIGHT: Limited(WEIGHT, later("The weight to cut to")),
    TargetKind.LENGTH: Limited(LENGTH, later("The length to cut to")),
    TargetKind.RATIO: Limited(RATIO, later("The ratio to cut to")),
}
"""What the value of a target is; a place in a window and a size are numbers of their own."""


def outside(thing: object) -> tuple[Limited, float] | None:
    """The first number outside its limits in a value of the model, or in what it is made of."""
    if isinstance(thing, tuple):
        return next((found for each in thing if (found := outside(each))), None)
    if not is_dataclass(thing):
        return None
    for name, limited in _limits_of(thing).items():
        held = getattr(thing, name)
        for value in held if isinstance(held, tuple) else (held,):
            if value is not None and not limited.allows(value):
                return limited, value
    return outside(tuple(getattr(thing, field.name) for field in fields(thing)))


def _limits_of(thing: object) -> Mapping[str, Limited]:
    if isinstance(thing, Target):
        limited = _TARGETS.get(thing.kind)
        return {"value": limited} if limited else {}
    return LIMITS.get(type(thing), {})
