"""The columns of the segment table: headings, widths, and what the tooltips say."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from taperlab.units import kinds
from taperlab.units.kinds import Kind, System
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
class Column:
    """One column.

    heading: as the table writes it. name: in full, for sentences, files and screen readers.
    kind: None for text. width: [px] at the body size of the typeface. help: definition, how it is
    worked out, and the source.
    """

    heading: str
    name: str
    kind: Kind | None
    width: int
    help: str

    def unit(self, system: System) -> str:
        """The unit that the heading shows, or nothing."""
        if self.kind is None:
            return ""
        if self.kind.shown(system).feet_and_inches:
            return "ft in"
        return shown_unit(self.kind, system)


_WORKED = "Typing here moves the density, or the diameter if that is chosen."
_NEIGHBOUR = "A neighbour's end that was as thick follows."

COLUMNS: tuple[Column, ...] = (
    Column(
        "Part",
        "part",
        None,
        104,
        "What the segment is for, from the fly end to the rod end.\n"
        "Handling line and running line are no part of the head.\n"
        "Type the first letters, or press F4 or Space for the list.",
    ),
    Column("Length", "length", kinds.LENGTH, 70, kinds.LENGTH.help + "\nThe weight follows."),
    Column(
        "Front ⌀",
        "front diameter",
        kinds.DIAMETER,
        68,
        f"{kinds.DIAMETER.help}\nAt the end toward the fly. {_NEIGHBOUR}",
    ),
    Column(
        "Rear ⌀",
        "rear diameter",
        kinds.DIAMETER,
        68,
        f"{kinds.DIAMETER.help}\nAt the end toward the rod. {_NEIGHBOUR}",
    ),
    Column(
        "Density",
        "density",
        kinds.DENSITY,
        68,
        f"{kinds.DENSITY.help}\n"
        "A ring beside it marks a core inside a coating; the coating takes up a typed change.",
    ),
    Column(
        "Weight",
        "weight",
        kinds.WEIGHT,
        66,
        "Weight of this segment alone, loops and sleeves left out:\n"
        "density × volume of a straight taper, π L (d₁² + d₁d₂ + d₂²)/12.\n"
        "1 grain is 64.79891 mg (NIST Handbook 44, appendix C).\n" + _WORKED,
    ),
    Column(
        "Front",
        "front weight per length",
        kinds.WEIGHT_PER_LENGTH,
        62,
        f"Weight per length at the front end: density × π d²/4.\n{_WORKED}",
    ),
    Column(
        "Rear",
        "rear weight per length",
        kinds.WEIGHT_PER_LENGTH,
        62,
        f"Weight per length at the rear end: density × π d²/4.\n{_WORKED}",
    ),
    Column(
        "Sink rate",
        "sink rate",
        kinds.SINK_RATE,
        70,
        "Speed at which this segment alone, level and straight, settles in still water of the\n"
        "chosen kind and temperature; below zero, it rises. Net weight against the drag of a\n"
        "cylinder across the flow (Cheng 2013, J. Hydraul. Eng. 139, 602).\n"
        "Typing here moves the density.",
    ),
    Column("Note", "note", None, 56, "Your own words. They are kept with the line and printed."),
)
