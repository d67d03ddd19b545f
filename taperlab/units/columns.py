"""The columns of a table of segments: one list for the table on screen, paste and files."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from taperlab.units.kinds import (
    DENSITY,
    DIAMETER,
    LENGTH,
    SINK_RATE,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    Kind,
)
from taperlab.units.language import later


class Column(StrEnum):
    """A column. The value is its heading in files, in every language."""

    PART = "part"
    LENGTH = "length"
    FRONT_DIAMETER = "front diameter"
    REAR_DIAMETER = "rear diameter"
    DENSITY = "density"
    WEIGHT = "weight"
    WEIGHT_PER_LENGTH = "grains per foot"
    FRONT_WEIGHT_PER_LENGTH = "front weight per length"
    REAR_WEIGHT_PER_LENGTH = "rear weight per length"
    SINK_RATE = "sink rate"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Described:
    """What a column holds.

    name: as a sentence says it. heading: as the table on screen writes it; the weight per length
    over the whole row has none there. kind: None for text. others: further names that a heading
    is known by, in small letters.
    """

    name: str
    heading: str
    kind: Kind | None = None
    others: tuple[str, ...] = ()


DESCRIBED: Mapping[Column, Described] = MappingProxyType(
    {
        Column.PART: Described(later("part"), later("Part")),
        Column.LENGTH: Described(later("length"), later("Length"), LENGTH),
        Column.FRONT_DIAMETER: Described(
            later("front diameter"), later("Front ⌀"), DIAMETER, ("front ⌀",)
        ),
        Column.REAR_DIAMETER: Described(
            later("rear diameter"), later("Rear ⌀"), DIAMETER, ("rear ⌀",)
        ),
        Column.DENSITY: Described(later("density"), later("Density"), DENSITY),
        Column.WEIGHT: Described(later("weight"), later("Weight"), WEIGHT),
        Column.WEIGHT_PER_LENGTH: Described(
            later("weight per length"), "", WEIGHT_PER_LENGTH, ("mean gr/ft",)
        ),
        Column.FRONT_WEIGHT_PER_LENGTH: Described(
            later("front weight per length"),
            later("Front"),
            WEIGHT_PER_LENGTH,
            ("front gr/ft", "front grains per foot"),
        ),
        Column.REAR_WEIGHT_PER_LENGTH: Described(
            later("rear weight per length"),
            later("Rear"),
            WEIGHT_PER_LENGTH,
            ("rear gr/ft", "rear grains per foot"),
        ),
        Column.SINK_RATE: Described(later("sink rate"), later("Sink rate"), SINK_RATE),
        Column.NOTE: Described(later("note"), later("Note"), others=("notes",)),
    }
)

NEEDED = (Column.PART, Column.LENGTH, Column.FRONT_DIAMETER, Column.REAR_DIAMETER)
"""What a table must have to be a whole line, besides one of ``WEIGHTS``."""

WEIGHTS = (Column.DENSITY, Column.WEIGHT, Column.WEIGHT_PER_LENGTH)
"""What says how heavy a row is; of several that agree the first is taken."""


def column_headed(name: str) -> Column | None:
    """The column that a heading without its unit names, or None."""
    return _BY_NAME.get(" ".join(name.split()).casefold())


_BY_NAME = {
    name: column
    for column, described in DESCRIBED.items()
    for name in (str(column), *described.others)
}
