"""The columns of the segment table: which stand in it, how wide, and what the tooltips say."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from enum import IntEnum

from taperlab.units import kinds
from taperlab.units.columns import Column
from taperlab.units.kinds import Kind, System
from taperlab.units.language import later
from taperlab.units.show import shown_unit


class Col(IntEnum):
    """The columns in order."""

    PART = 0
    LENGTH = 1
    FRONT_DIAMETER = 2
    REAR_DIAMETER = 3
    DENSITY = 4
    WEIGHT = 5
    FRONT_WEIGHT_PER_LENGTH = 6
    REAR_WEIGHT_PER_LENGTH = 7
    SINK_RATE = 8
    NOTE = 9


@dataclass(frozen=True, slots=True)
class ShownColumn:
    """One column on screen.

    width: [px] at the body size of the typeface. help: definition, how it is worked out, and the
    source, line by line.
    """

    column: Column
    width: int
    help: tuple[str, ...]

    @property
    def heading(self) -> str:
        """As the table writes it."""
        return self.column.heading

    @property
    def name(self) -> str:
        """In full, for sentences and screen readers."""
        return self.column.said

    @property
    def kind(self) -> Kind | None:
        """What it holds; None for text."""
        return self.column.kind

    def unit(self, system: System) -> str:
        """The unit that the heading shows, or nothing."""
        if self.kind is None:
            return ""
        if self.kind.shown(system).feet_and_inches:
            return "ft in"
        return shown_unit(self.kind, system)


def places_of(columns: Collection[Column]) -> list[int]:
    """Where some columns stand on screen; one that does not stand there has no place."""
    return [i for i, each in enumerate(COLUMNS) if each.column in columns]


_MOVES = later("Typing here moves the density, or the diameter if that is chosen.")
_NEIGHBOUR = later("A neighbour’s end that was as thick follows.")

COLUMNS: tuple[ShownColumn, ...] = (
    ShownColumn(
        Column.PART,
        98,
        (
            later("What the segment is for, from the fly end to the rod end."),
            later("Handling line and running line are no part of the head."),
            later("Type the first letters, or press F4 or Space for the list."),
            later(
                "A new sink tip starts as tungsten stock of 11 gr/ft: common practice, no source."
            ),
        ),
    ),
    ShownColumn(
        Column.LENGTH,
        78,
        (kinds.LENGTH.help, later("The weight follows.")),
    ),
    ShownColumn(
        Column.FRONT_DIAMETER,
        60,
        (kinds.DIAMETER.help, later("At the end toward the fly."), _NEIGHBOUR),
    ),
    ShownColumn(
        Column.REAR_DIAMETER,
        60,
        (kinds.DIAMETER.help, later("At the end toward the rod."), _NEIGHBOUR),
    ),
    ShownColumn(
        Column.DENSITY,
        68,
        (
            kinds.DENSITY.help,
            later(
                "A ring beside it marks a core inside a coating; the coating takes up a typed "
                "change."
            ),
        ),
    ),
    ShownColumn(
        Column.WEIGHT,
        60,
        (
            later("Weight of this segment alone, loops and sleeves left out:"),
            later("density × volume of a straight taper, π L (d₁² + d₁d₂ + d₂²)/12."),
            later("1 grain is 64.79891 mg (NIST Handbook 44, appendix C)."),
            _MOVES,
        ),
    ),
    ShownColumn(
        Column.FRONT_WEIGHT_PER_LENGTH,
        56,
        (later("Weight per length at the end toward the fly: density × π d²/4."), _MOVES),
    ),
    ShownColumn(
        Column.REAR_WEIGHT_PER_LENGTH,
        56,
        (later("Weight per length at the end toward the rod: density × π d²/4."), _MOVES),
    ),
    ShownColumn(
        Column.SINK_RATE,
        62,
        (
            later(
                "Speed at which this segment alone, level and straight, settles in still water of\n"
                "the chosen kind and temperature; below zero, it rises. Net weight against the\n"
                "drag of a cylinder across the flow (Cheng 2013, J. Hydraul. Eng. 139, 602)."
            ),
            later("Typing here moves the density."),
        ),
    ),
    ShownColumn(
        Column.NOTE,
        56,
        (later("Your own words. They are kept with the line and printed."),),
    ),
)
