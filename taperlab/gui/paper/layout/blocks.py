"""What a sheet is made of: frozen values, in the order in which they are read.

All sizes are in points, 72 to the inch.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum
from typing import Any

from taperlab.gui.paper.layout.drawing import Drawing
from taperlab.gui.paper.layout.said import Text

FIGURE, TEXT, NOTE, LEAST = 14.0, 11.0, 9.0, 8.0
"""Sizes of letters: lengths and checkpoints, tables, notes, and the smallest of all."""

MM = 72.0 / 25.4
"""A millimetre."""


class Align(Enum):
    """Where in its column a text stands."""

    LEFT = "left"
    RIGHT = "right"
    MIDDLE = "middle"


@dataclass(frozen=True, slots=True)
class HeadBlock:
    """What stands at the top: what sheet it is, a large name, what it is about.

    figure: one large figure at the right, figure_note: what it is.
    """

    title: Text
    over: Text = ""
    under: Text = ""
    figure: Text = ""
    figure_note: Text = ""


@dataclass(frozen=True, slots=True)
class Heading:
    """What stands above a part, with a rule; it never stands alone at the foot of a page."""

    text: Text
    ruled: bool = True


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Words, broken into lines. lead: bold words that it begins with; bold: all of it is."""

    text: Text
    lead: Text = ""
    points: float = TEXT
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Cell:
    """A text in a table, or on top of another.

    below: smaller, each on a line of its own; beside: smaller, behind it. bold, points: where they
    are not as in the rest of its column.
    """

    text: Text
    below: tuple[Text, ...] = ()
    beside: Text = ""
    bold: bool | None = None
    points: float | None = None


@dataclass(frozen=True, slots=True)
class WriteIn:
    """An empty box to write a reading into, never smaller than 25 by 8 mm."""

    width: float = 26.0 * MM
    height: float = 8.2 * MM


@dataclass(frozen=True, slots=True)
class Tick:
    """A box of 5 mm to tick."""

    side: float = 5.0 * MM


Entry = Cell | WriteIn | Tick | Text
"""What may stand in a table."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table. grow: its share of the room that is left over; least: its width."""

    heading: Text = ""
    align: Align = Align.LEFT
    points: float = TEXT
    bold: bool = False
    grow: float = 1.0
    least: float = 0.0


def number(heading: Text, *, points: float = TEXT, bold: bool = False, grow: float = 1.0) -> Column:
    """A column of figures, to the right."""
    return Column(heading, Align.RIGHT, points, bold, grow)


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under headings, which are repeated on every page; no row is parted.

    below: a note under it, which never stands alone. air: above and below what stands in a row.
    title: what it is, in large letters ahead of the headings, over columns that have none.
    """

    columns: tuple[Column, ...]
    rows: tuple[tuple[Entry, ...], ...]
    below: Text = ""
    air: float = 4.5
    title: Text = ""


@dataclass(frozen=True, slots=True)
class Figures:
    """Figures side by side: what each is, the figure, and a remark."""

    items: tuple[tuple[Text, Text, Text], ...]
    across: int = 3


@dataclass(frozen=True, slots=True)
class FillIn:
    """A box to write into, behind its name."""

    name: Text
    box: WriteIn = WriteIn()


@dataclass(frozen=True, slots=True)
class TickOff:
    """A box to tick, ahead of what is to be done."""

    text: Text


@dataclass(frozen=True, slots=True)
class Form:
    """Boxes to fill in and to tick, side by side as far as they fit. between: two of them."""

    items: tuple[FillIn | TickOff, ...]
    between: float = 20.0


@dataclass(frozen=True, slots=True)
class Signature:
    """Lines to sign on, side by side, each with its name over it."""

    names: tuple[Text, ...]


@dataclass(frozen=True, slots=True)
class WriteLines:
    """Empty lines for handwriting."""

    count: int = 3


@dataclass(frozen=True, slots=True)
class ScaleRule:
    """A rule of 4 in, or of 100 mm, that tells whether the printer kept the scale."""


@dataclass(frozen=True, slots=True)
class Painted:
    """What is drawn by others, as wide as the page.

    paint: called with a painter that counts in points, and the rectangle and the system to draw
    for; it keeps within that. said: the drawing in words.
    """

    height: float
    paint: Callable[[Any, Any, Any], None]
    said: Text = ""


@dataclass(frozen=True, slots=True)
class NewPage:
    """What follows begins a page."""


@dataclass(frozen=True, slots=True)
class Together:
    """Blocks that stand on one page wherever one page holds them."""

    blocks: tuple[Block, ...]


Block = (
    HeadBlock
    | Heading
    | Paragraph
    | Table
    | Figures
    | Form
    | Signature
    | WriteLines
    | ScaleRule
    | Drawing
    | Painted
    | NewPage
    | Together
)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of paper, or several.

    title: of the print job and of a PDF. subject: what it is, in a few words. file: the name of the
    file that it was made from, for its foot. author: of a PDF, where someone wants to be named.
    """

    title: Text
    blocks: tuple[Block, ...]
    subject: Text = ""
    file: str = ""
    author: str = ""

    def of_file(self, name: str) -> Sheet:
        """The same sheet, made from a file of this name, unless it names one."""
        return self if self.file else replace(self, file=name)
