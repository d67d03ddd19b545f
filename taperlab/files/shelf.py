"""Stock as a table: one heading row, then one row for each section of each piece of stock.

``name, kind, length [ft], front diameter [in], rear diameter [in], density [g/cm^3], leftover``

``grains per foot`` (its mean over the row), or a label, may stand in place of the density, and what
the window calls a column is understood as well. Rows that share a name, one below the other, are
one tapered line from its front; what concerns the whole of it then stands in the first of them. An
empty rear diameter is that of the front; an empty ``leftover`` means no. Further columns may
follow; cores are not part of the table, their weight is.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Self

from taperlab.files import disk
from taperlab.files.cells import Row, check_width, exact, grid_of, heading_parts, to_text
from taperlab.files.delimited import rows_in
from taperlab.files.headings import (
    Heading,
    check_all,
    check_clear,
    check_once,
    check_there,
    heading_text,
    read_heading,
)
from taperlab.files.marks import Marks, is_open, marks_of, open_mark
from taperlab.files.problem import FileProblem, TableProblem
from taperlab.files.table import MOST_ROUNDING
from taperlab.model.segment import Part, Segment
from taperlab.model.stock import Stock
from taperlab.physics import section
from taperlab.units import kinds
from taperlab.units.kinds import DENSITY, Kind, System
from taperlab.units.language import later
from taperlab.units.limits import MOST_STOCK
from taperlab.units.parse import Unreadable, expected, limits, parse_unit, quoted, read_part
from taperlab.units.sentence import Density, Sentence
from taperlab.units.typed import Mark


class ShelfColumn(StrEnum):
    """A column of the table; its value is its heading. kind: None for text."""

    kind: Kind | None

    def __new__(cls, value: str, kind: Kind | None = None) -> Self:
        """A member, with the kind of its numbers."""
        column = str.__new__(cls, value)
        column._value_ = value
        column.kind = kind
        return column

    NAME = "name"
    KIND = "kind"
    LENGTH = "length", kinds.LENGTH
    FRONT = "front diameter", kinds.DIAMETER
    REAR = "rear diameter", kinds.DIAMETER
    DENSITY = "density", kinds.DENSITY
    PER_LENGTH = "grains per foot", kinds.WEIGHT_PER_LENGTH
    LEFTOVER = "leftover"
    PART = "part"
    COATING = "coating"
    LABELLED = "labelled", kinds.WEIGHT_PER_LENGTH
    ERROR = "error", kinds.SHARE
    PLACE = "place"
    COST = "cost", kinds.COST
    NOTE = "note"


MOST_ROWS = 5 * MOST_STOCK
"""Of a table: pieces of stock with one section each, and tapered lines with many."""

NEEDED = (ShelfColumn.NAME, ShelfColumn.LENGTH, ShelfColumn.FRONT)
_OF_A_SECTION = {
    ShelfColumn.LENGTH,
    ShelfColumn.FRONT,
    ShelfColumn.REAR,
    ShelfColumn.DENSITY,
    ShelfColumn.PER_LENGTH,
}
_COLUMNS = {str(each): each for each in ShelfColumn}
_ALSO = {
    "stock": "name",
    "left": "length",
    "diameter": "front diameter",
    "⌀": "front diameter",
    "welds to": "coating",
    "label": "labelled",
    "where": "place",
    "gr/ft": "grains per foot",
    "g/m": "grains per foot",
}
"""Other names of headings: what the window calls them, and what is written on spools."""

_IS_UNIT = {"grains per foot": "gr/ft", "gr/ft": "gr/ft", "g/m": "g/m"}
"""Headings that are a unit themselves."""

_YES = {"yes": True, "no": False, "": False}

HEADINGS = ", ".join(
    heading_text(each)
    for each in (*NEEDED, ShelfColumn.REAR, ShelfColumn.DENSITY, ShelfColumn.LEFTOVER)
)
"""A heading row to name to a person."""


EXAMPLE = (
    "name, kind, length [m], front diameter [mm], rear diameter [mm], label [g/m], leftover; or "
    "with ft, in and gr/ft in the brackets"
)
"""Headings for who wrote others, in either system of units."""


def is_shelf(text: str) -> bool:
    """Whether the headings of a table say that it is one of stock, well made or not."""
    try:
        grid = grid_of(text, MOST_ROWS, Sentence("a bench has no more stock"))
    except (TableProblem, FileProblem):
        return False
    if grid is None:
        return False
    there = {_column_headed(heading_parts(cell)[0]) for cell in grid.heading.cells}
    return there.issuperset(NEEDED)


def read_shelf(path: Path, decimal: Mark | None = None) -> tuple[Stock, ...]:
    """The stock in a file of a table; its keys are its names. Raises FileProblem.

    decimal: the decimal mark of its numbers, where a person tells it.
    """
    lacking = later(
        "{file} holds no stock; expected a heading row such as {headings}, and a row for each "
        "piece of stock."
    )
    return rows_in(path, shelf_of, decimal, lacking, HEADINGS)


def shelf_of(text: str, decimal: Mark | None = None) -> tuple[Stock, ...]:
    """The stock in the text of a table with headings; keys are names. Raises TableProblem."""
    grid = grid_of(text, MOST_ROWS, Sentence("a bench has no more stock"))
    if grid is None or not grid.rows:
        return ()
    headings = tuple(
        _without_unit(read_heading(cell, _column_headed, ShelfColumn))
        for cell in grid.heading.cells
    )
    row = grid.heading.number
    check_all(headings, NEEDED, row, EXAMPLE)
    check_clear(headings, row)
    columns = [each.column for each in headings]
    check_once(columns, row)
    for column in NEEDED:
        check_there(column, columns, row, heading_text(column))
    numbers = (
        cell
        for each in grid.rows
        for heading, cell in zip(headings, each.cells, strict=False)
        if heading.column and heading.column.kind
    )
    marks = marks_of(numbers, grid.separator, decimal)
    return _stocked([_read_row(each, headings, marks) for each in grid.rows])


def _column_headed(name: str) -> ShelfColumn | None:
    """The column of a heading: as files have it, as the window has it, or as labels write it."""
    said = " ".join(name.casefold().split())
    return _COLUMNS.get(said) or _COLUMNS.get(_ALSO.get(said, ""))


def _without_unit(heading: Heading[ShelfColumn]) -> Heading[ShelfColumn]:
    """A cost has no unit to write, and some headings are one: none is asked for."""
    if not heading.lacks_unit:
        return heading
    if heading.column is ShelfColumn.COST:
        return Heading(heading.text, heading.column)
    if unit := _IS_UNIT.get(" ".join(heading.text.casefold().split())):
        return Heading(heading.text, heading.column, parse_unit(unit, kinds.WEIGHT_PER_LENGTH))
    return heading


@dataclass(frozen=True, slots=True)
class _ShelfRow:
    """What one row says: numbers [SI], texts, and the texts of all cells for what is quoted."""

    number: int
    numbers: dict[ShelfColumn, float]
    texts: dict[ShelfColumn, str]
    headings: dict[ShelfColumn, str]

    def problem(self, column: ShelfColumn, template: TableProblem) -> TableProblem:
        """A problem of its cell in a column."""
        return template.at(self.number, self.headings.get(column, str(column)))

    def need(self, column: ShelfColumn) -> float:
        """The number in a column. Raises TableProblem where it is empty."""
        if column not in self.numbers:
            assert column.kind is not None
            raise self.problem(
                column,
                TableProblem("found nothing, expected {wanted}.", wanted=expected(column.kind)),
            )
        return self.numbers[column]

    def section(self, part: Part) -> Segment:
        """The section that it describes. Raises TableProblem."""
        length, front = self.need(ShelfColumn.LENGTH), self.need(ShelfColumn.FRONT)
        rear = self.numbers.get(ShelfColumn.REAR, front)
        plain = Segment(part, length, front, rear, 1.0)
        volume = section.volume(plain)
        density = self.numbers.get(ShelfColumn.DENSITY)
        per_length = self.numbers.get(ShelfColumn.PER_LENGTH)
        if density is None and per_length is None:
            # What was never weighed is believed to be as its label says.
            per_length = self.numbers.get(ShelfColumn.LABELLED)
        worked_out = None if per_length is None else per_length * length / volume
        if density is None and worked_out is None:
            raise self.problem(
                ShelfColumn.DENSITY,
                TableProblem("found nothing, expected a density, or else grains per foot."),
            )
        if density is None:
            density = worked_out
        elif worked_out is not None and abs(worked_out / density - 1.0) > MOST_ROUNDING:
            raise self.problem(
                ShelfColumn.PER_LENGTH,
                TableProblem(
                    "found {found}, which disagrees with the density {density}; expected one of "
                    "the two.",
                    found=quoted(self.texts[ShelfColumn.PER_LENGTH]),
                    density=Density(density),
                ),
            )
        assert density is not None
        if not DENSITY.allows(density):
            raise self.problem(
                ShelfColumn.PER_LENGTH,
                TableProblem(
                    "found {found}, which with the length and diameters makes a density of "
                    "{density}, expected {limits}.",
                    found=quoted(self.texts.get(ShelfColumn.PER_LENGTH, "")),
                    density=Density(density),
                    limits=limits(DENSITY),
                ),
            )
        return Segment(part, length, front, rear, density)

    def part(self) -> Part:
        """What it is for; belly where nobody says. Raises TableProblem."""
        text = self.texts.get(ShelfColumn.PART, "")
        if not text:
            return Part.BELLY
        try:
            return read_part(text)
        except Unreadable as unreadable:
            raise self.problem(ShelfColumn.PART, TableProblem(unreadable.sentence)) from None

    def is_leftover(self) -> bool:
        """Whether some was cut off it before. Raises TableProblem."""
        text = self.texts.get(ShelfColumn.LEFTOVER, "")
        found = _YES.get(text.casefold())
        if found is None:
            raise self.problem(
                ShelfColumn.LEFTOVER,
                TableProblem("found {found}, expected yes or no.", found=quoted(text)),
            )
        return found


def _read_row(row: Row, headings: Sequence[Heading[ShelfColumn]], marks: Marks) -> _ShelfRow:
    check_width(row, len(headings))
    numbers: dict[ShelfColumn, float] = {}
    texts: dict[ShelfColumn, str] = {}
    for heading, text in zip(headings, row.cells, strict=False):
        column = heading.column
        if column is None or not text:
            continue
        texts[column] = text
        if column.kind is None:
            continue
        if marks.decimal is None and is_open(text):
            raise open_mark(text).at(row.number, heading.text)
        try:
            numbers[column] = marks.read(text, column.kind, heading.unit)
        except Unreadable as unreadable:
            raise TableProblem(unreadable.sentence).at(row.number, heading.text) from None
    named = {each.column: each.text for each in headings if each.column is not None}
    found = _ShelfRow(row.number, numbers, texts, named)
    if ShelfColumn.NAME not in texts:
        raise found.problem(
            ShelfColumn.NAME, TableProblem("found nothing, expected a name for the stock.")
        )
    return found


def _stocked(rows: Sequence[_ShelfRow]) -> tuple[Stock, ...]:
    runs: list[list[_ShelfRow]] = []
    seen: set[str] = set()
    for row in rows:
        name = row.texts[ShelfColumn.NAME]
        if runs and runs[-1][0].texts[ShelfColumn.NAME] == name:
            _check_same(runs[-1][0], row)
            runs[-1].append(row)
            continue
        if name in seen:
            raise row.problem(
                ShelfColumn.NAME,
                TableProblem(
                    "found “{name}” once more; expected a name of its own, or a tapered line’s "
                    "rows one below the other.",
                    name=name,
                ),
            )
        if len(seen) == MOST_STOCK:
            raise row.problem(
                ShelfColumn.NAME,
                TableProblem(
                    "found more than {most} pieces of stock; a bench has no more.",
                    most=f"{MOST_STOCK:,}",
                ),
            )
        seen.add(name)
        runs.append([row])
    return tuple(map(_stock, runs))


def _check_same(first: _ShelfRow, row: _ShelfRow) -> None:
    """Raise TableProblem where a later row of one piece of stock says otherwise than its first."""
    for column, text in row.texts.items():
        if column not in _OF_A_SECTION and column is not ShelfColumn.NOTE:
            there = first.texts.get(column, "")
            if text.casefold() != there.casefold():
                raise row.problem(
                    column,
                    TableProblem(
                        "found {found}, expected {there} as in the first row of this stock.",
                        found=quoted(text),
                        there=quoted(there),
                    ),
                )


def _stock(rows: Sequence[_ShelfRow]) -> Stock:
    first = rows[0]
    part = first.part()
    front, *behind = (each.section(part) for each in rows)
    name = first.texts[ShelfColumn.NAME]

    def words(column: ShelfColumn) -> str:
        """A text as it would be typed, since stock is found by its kind and its name."""
        return " ".join(first.texts.get(column, "").split())

    return Stock(
        part=part,
        length=front.length,
        front_diameter=front.front_diameter,
        rear_diameter=front.rear_diameter,
        density=front.density,
        note=first.texts.get(ShelfColumn.NOTE, ""),
        key=name,
        name=words(ShelfColumn.NAME),
        behind=tuple(behind),
        kind=words(ShelfColumn.KIND),
        coating=words(ShelfColumn.COATING),
        labelled=first.numbers.get(ShelfColumn.LABELLED),
        mass_error=first.numbers.get(ShelfColumn.ERROR),
        leftover=first.is_leftover(),
        place=words(ShelfColumn.PLACE),
        cost=first.numbers.get(ShelfColumn.COST),
    )


_SECTION_CELLS: dict[ShelfColumn, Callable[[Segment], float]] = {
    ShelfColumn.LENGTH: lambda each: each.length,
    ShelfColumn.FRONT: lambda each: each.front_diameter,
    ShelfColumn.REAR: lambda each: each.rear_diameter,
    ShelfColumn.DENSITY: section.mean_density,
}
_STOCK_CELLS: dict[ShelfColumn, Callable[[Stock], str | float | None]] = {
    ShelfColumn.LEFTOVER: lambda each: "yes" if each.leftover else "no",
    ShelfColumn.PART: lambda each: str(each.part),
    ShelfColumn.COATING: lambda each: each.coating,
    ShelfColumn.LABELLED: lambda each: each.labelled,
    ShelfColumn.ERROR: lambda each: each.mass_error,
    ShelfColumn.PLACE: lambda each: each.place,
    ShelfColumn.COST: lambda each: each.cost,
    ShelfColumn.NOTE: lambda each: each.note,
}


def shelf_rows(shelf: Sequence[Stock], system: System = System.US) -> list[list[str]]:
    """The table of stock: a heading, then a row for each section, exact to ten figures and more."""
    columns = (ShelfColumn.NAME, ShelfColumn.KIND, *_SECTION_CELLS, *_STOCK_CELLS)
    rows = [[heading_text(each, system).removesuffix(" []") for each in columns]]
    for stock in shelf:
        for at, each in enumerate(stock.sections):
            sizes = [
                exact(value(each), column.kind, system)
                for column, value in _SECTION_CELLS.items()
                if column.kind
            ]
            rest = [_text(column, stock, system) if at == 0 else "" for column in _STOCK_CELLS]
            rows.append([stock.name, stock.kind, *sizes, *rest])
    return rows


def _text(column: ShelfColumn, stock: Stock, system: System) -> str:
    value = _STOCK_CELLS[column](stock)
    if value is None or isinstance(value, str):
        return value or ""
    assert column.kind is not None
    return exact(value, column.kind, system)


def write_shelf(shelf: Sequence[Stock], path: Path, system: System = System.US) -> None:
    """Write stock as CSV, or as TSV where the name ends in .tsv. Raises FileProblem."""
    separator = "\t" if path.suffix.casefold() == ".tsv" else ","
    disk.write_text(path, to_text(shelf_rows(shelf, system), separator))
