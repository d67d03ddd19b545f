"""Text to rows of cells and back, for files and for the clipboard."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import islice

from taperlab.files.problem import TableProblem
from taperlab.units.kinds import Kind, System
from taperlab.units.parse import quoted
from taperlab.units.sentence import NOTHING, Sentence, counted
from taperlab.units.show import from_unit, shown_unit, to_unit

SEPARATORS = ("\t", ";", ",")
"""In the order they are looked for: a tab is never part of a cell, a comma may be."""

MOST_COLUMNS = 100
"""No table of ours has a tenth of it; beyond it a file is surely another thing."""

_HEADING = re.compile(r"(?P<name>[^\[(]*)(?:[\[(](?P<unit>[^\])]*))?")


@dataclass(frozen=True, slots=True)
class Row:
    """A row and its number in the file, from 1, as an editor counts."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """A delimited text: the mark between its cells, its first row, and those below."""

    separator: str
    heading: Row
    rows: tuple[Row, ...]


def grid_of(text: str, most: int, too_many: Sentence) -> Grid | None:
    """The rows of a delimited text; None where there is none.

    Columns that hold nothing at all, as spreadsheets save them at the end, are left out. most: how
    many rows there may be below the heading; ``too_many`` says why. What is beyond is counted and
    never kept. Raises TableProblem.
    """
    separator = find_separator(text)
    rows = rows_of(text, separator)
    heading = next(rows, None)
    if heading is None:
        return None
    below = tuple(islice(rows, most))
    if beyond := next(rows, None):
        count = most + 1 + sum(1 for _ in rows)
        raise TableProblem(
            "found {count} rows below the heading, expected at most {most}: {why}.",
            count=f"{count:,}",
            most=f"{most:,}",
            why=too_many,
        ).at(beyond.number)
    return _without_empty_columns(Grid(separator, heading, below))


def _without_empty_columns(grid: Grid) -> Grid:
    named = grid.heading.cells
    empty = {at for at, name in enumerate(named) if not name}
    for row in grid.rows:
        empty -= {at for at in empty if at < len(row.cells) and row.cells[at]}
    if not empty:
        return grid
    heading, *rows = (
        Row(row.number, tuple(cell for at, cell in enumerate(row.cells) if at not in empty))
        for row in (grid.heading, *grid.rows)
    )
    return Grid(grid.separator, heading, tuple(rows))


def rows_of(text: str, separator: str) -> Iterator[Row]:
    """The rows of a delimited file, cells trimmed; blank rows and rows after a # are skipped.

    Raises TableProblem for a quotation mark that is never closed or stands inside a cell, and for
    more cells than any table has.
    """
    lines = _Lines(text)
    reader = csv.reader(lines, delimiter=separator, skipinitialspace=True, strict=True)
    try:
        for cells in reader:
            trimmed = tuple(cell.strip() for cell in cells[:MOST_COLUMNS])
            number, lines.between_rows = lines.row_start, True
            if len(cells) > MOST_COLUMNS and any(map(str.strip, cells[MOST_COLUMNS:])):
                raise TableProblem(
                    "found {count} cells, expected at most {most}.",
                    count=f"{len(cells):,}",
                    most=MOST_COLUMNS,
                ).at(number)
            if any(trimmed):
                yield Row(number, trimmed)
    except csv.Error as error:
        raise TableProblem(
            "found quotation marks that do not match or a cell that is far too long "
            "({system}); expected a quoted cell to start and end with one.",
            system=str(error),
        ).at(lines.row_start) from None


class _Lines:
    """Physical lines for the reader; those to skip are dropped, but not inside a quoted cell."""

    def __init__(self, text: str) -> None:
        self._lines = io.StringIO(text, newline="")
        self._number = 0
        self.row_start = 0
        self.between_rows = True

    def __iter__(self) -> _Lines:
        return self

    def __next__(self) -> str:
        while True:
            line = next(self._lines)
            self._number += 1
            if not self.between_rows:
                return line
            if line.strip() and not line.lstrip().startswith("#"):
                self.row_start, self.between_rows = self._number, False
                return line


def find_separator(text: str) -> str:
    """The separator of a delimited file: the first of tab, semicolon, comma in its heading."""
    heading = next(_Lines(text), "")
    return next((mark for mark in SEPARATORS if mark in heading), ",")


def heading_parts(cell: str) -> tuple[str, str]:
    """Name and unit of a heading such as ``length [ft]``; round brackets do as well."""
    found = _HEADING.match(cell)
    assert found is not None
    return found["name"].strip(), (found["unit"] or "").strip()


def check_width(row: Row, columns: int) -> None:
    """Raise TableProblem for a cell beyond the last column of the heading."""
    for extra in row.cells[columns:]:
        if extra:
            raise TableProblem(
                "found {found}, expected {cells} as in the heading; "
                "a cell with a separator in it needs quotation marks.",
                found=quoted(extra),
                cells=counted("{count} cell", "{count} cells", columns),
            ).at(row.number, columns + 1)


MOST_TEXT = 1_000_000
"""Characters that are taken from the clipboard: 2,000 rows of the longest notes."""


def too_long(text: str) -> Sentence:
    """Why a text on the clipboard is surely another thing than a table; nothing where it may be."""
    if len(text) <= MOST_TEXT:
        return NOTHING
    return Sentence(
        "The clipboard holds {count} characters; a table to paste has at most {most}.",
        count=f"{len(text):,}",
        most=f"{MOST_TEXT:,}",
    )


def parse_clipboard(text: str) -> list[list[str]]:
    """Rows of cells as copied from a spreadsheet, or from a file as text. Never raises.

    Cells are parted by tabs; where there is none, by semicolons or else commas, unless every
    line is but one number with a decimal comma. Cells come back as they are, spaces and all.
    """
    if not text:
        return []
    separator = "\t"
    if "\t" not in text:
        lone_numbers = all(
            re.fullmatch(r"\s*\d*,\d+\D*", line) for line in text.splitlines() if line.strip()
        )
        separator = ";" if ";" in text else "\t" if lone_numbers else ","
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True))
    except csv.Error:
        # Marks that do not match are inches: 0.085" and 13'6".
        rows = [line.split(separator) for line in text.splitlines()]
    return [row or [""] for row in rows]


def to_tsv(rows: Iterable[Sequence[str]]) -> str:
    """Rows of cells for the clipboard, as spreadsheets take them."""
    return to_text(rows, "\t")


def to_text(rows: Iterable[Sequence[str]], separator: str) -> str:
    """Rows of cells as the text of a file."""
    return "".join(separator.join(map(_quoted, row)) + "\n" for row in rows)


def exact(value: float, kind: Kind, system: System) -> str:
    """The fewest digits, in the unit shown, that give a value back to ten figures and more."""
    unit = shown_unit(kind, system)
    number = to_unit(value, unit, kind)
    text = repr(number)
    for digits in range(1, 17):
        text = f"{number:.{digits}g}"
        if abs(from_unit(float(text), unit, kind) - value) <= 1e-11 * abs(value):
            break
    return f"{Decimal(text):f}"


def _quoted(cell: str) -> str:
    if not re.search(r'[\t\r\n",;]', cell):
        return cell
    return '"' + cell.replace('"', '""') + '"'
