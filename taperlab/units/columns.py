"""The columns of a table of segments: one list for the table on screen, paste and files."""

from __future__ import annotations

from enum import StrEnum
from typing import Self

from taperlab.units import kinds
from taperlab.units.kinds import Kind
from taperlab.units.language import later


class Column(StrEnum):
    """A column. The value is its heading in files, in every language.

    heading: as the table on screen writes it; the weight per length over the whole row has none
    there. kind: None for text. others: further names that a heading is known by, in small
    letters. said: its name in a sentence.
    """

    heading: str
    kind: Kind | None
    others: tuple[str, ...]
    said: str

    def __new__(
        cls,
        value: str,
        heading: str,
        kind: Kind | None = None,
        others: tuple[str, ...] = (),
        said: str = "",
    ) -> Self:
        """A member, with what is said of it."""
        column = str.__new__(cls, value)
        column._value_ = value
        column.heading, column.kind, column.others = heading, kind, others
        column.said = said or value
        return column

    PART = later("part"), later("Part")
    LENGTH = later("length"), later("Length"), kinds.LENGTH
    FRONT_DIAMETER = later("front diameter"), later("Front ⌀"), kinds.DIAMETER, ("front ⌀",)
    REAR_DIAMETER = later("rear diameter"), later("Rear ⌀"), kinds.DIAMETER, ("rear ⌀",)
    DENSITY = later("density"), later("Density"), kinds.DENSITY
    WEIGHT = later("weight"), later("Weight"), kinds.WEIGHT
    WEIGHT_PER_LENGTH = (
        "grains per foot",
        "",
        kinds.WEIGHT_PER_LENGTH,
        ("mean gr/ft",),
        later("weight per length"),
    )
    FRONT_WEIGHT_PER_LENGTH = (
        later("front weight per length"),
        later("Front"),
        kinds.WEIGHT_PER_LENGTH,
        ("front gr/ft", "front grains per foot"),
    )
    REAR_WEIGHT_PER_LENGTH = (
        later("rear weight per length"),
        later("Rear"),
        kinds.WEIGHT_PER_LENGTH,
        ("rear gr/ft", "rear grains per foot"),
    )
    SINK_RATE = later("sink rate"), later("Sink rate"), kinds.SINK_RATE
    NOTE = later("note"), later("Note"), None, ("notes",)


NEEDED = (Column.PART, Column.LENGTH, Column.FRONT_DIAMETER, Column.REAR_DIAMETER)
"""What a table must have to be a whole line, besides one of ``WEIGHTS``."""

WEIGHTS = (Column.DENSITY, Column.WEIGHT, Column.WEIGHT_PER_LENGTH)
"""What says how heavy a row is; of several that agree the first is taken."""


def column_headed(name: str) -> Column | None:
    """The column that a heading without its unit names, or None."""
    return _BY_NAME.get(" ".join(name.split()).casefold())


_BY_NAME = {name: column for column in Column for name in (column.value, *column.others)}
