"""Pasted text to values for cells, with or without a header row; headings for a copy."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from taperlab.edits import segments as edits
from taperlab.edits.edited import Edited, Refused, Solve
from taperlab.edits.segments import Column as PasteColumn
from taperlab.edits.together import Step, together
from taperlab.files.cells import parse_clipboard
from taperlab.gui.table.columns import COLUMNS, Col
from taperlab.model.bench import Bench
from taperlab.model.segment import Part
from taperlab.units.kinds import WEIGHT_PER_LENGTH, Kind, System
from taperlab.units.parse import Unreadable, parse, parse_unit, quoted
from taperlab.units.parts import read_part
from taperlab.units.sentence import verbatim
from taperlab.units.typed import Mark
from taperlab.units.vocabulary import Unit

MOST_ROWS = 2000
"""More rows than this are no line, but the wrong thing on the clipboard."""

MEAN = len(COLUMNS)
"""Weight per length over the whole row: no column of the table, but one of our CSV."""

_NAMES: dict[str, int] = {
    **{column.name: Col(i) for i, column in enumerate(COLUMNS)},
    **{column.heading.casefold(): Col(i) for i, column in enumerate(COLUMNS[:6])},
    "front gr/ft": Col.FRONT_WEIGHT_PER_LENGTH,
    "rear gr/ft": Col.REAR_WEIGHT_PER_LENGTH,
    "front grains per foot": Col.FRONT_WEIGHT_PER_LENGTH,
    "rear grains per foot": Col.REAR_WEIGHT_PER_LENGTH,
    "notes": Col.NOTE,
    "grains per foot": MEAN,
    "mean gr/ft": MEAN,
}
_HEADING = re.compile(r"(?P<name>[^\[(]*)(?:[\[(](?P<unit>[^\])]*)[\])])?")
_DECIMAL_COMMA = re.compile(
    r"(?:^|[^0-9.,])(?:0,[0-9]+|[0-9]+,(?:[0-9]{1,2}|[0-9]{4,}))(?![0-9.,])"
)
_POINT = re.compile(r"[0-9]\.[0-9]|(?:^|\s)\.[0-9]")

_PASTED: dict[Col, PasteColumn] = {
    Col.PART: PasteColumn.PART,
    Col.LENGTH: PasteColumn.LENGTH,
    Col.FRONT_DIAMETER: PasteColumn.FRONT_DIAMETER,
    Col.REAR_DIAMETER: PasteColumn.REAR_DIAMETER,
    Col.DENSITY: PasteColumn.DENSITY,
    Col.WEIGHT: PasteColumn.WEIGHT,
    Col.NOTE: PasteColumn.NOTE,
}

Value = float | Part | str


class CannotPaste(ValueError):  # noqa: N818 - an answer to the person, not a fault
    """Why nothing was pasted, in one sentence."""


@dataclass(frozen=True, slots=True)
class Block:
    """Cells that were read: one mapping a row. left_out: headings that are no column here."""

    rows: tuple[dict[int, Value], ...]
    left_out: tuple[str, ...] = ()


def headings(columns: Iterable[int], system: System) -> list[str]:
    """A header row: names with units in brackets, as our CSV has them."""
    made = []
    for column in columns:
        unit = COLUMNS[column].unit(system)
        unit = "ft" if unit == "ft in" else unit
        made.append(COLUMNS[column].name + (f" [{unit}]" if unit else ""))
    return made


def split_cells(text: str) -> list[list[str]]:
    """Clipboard text as rows of trimmed cells, without empty rows and columns at the end."""
    rows = [[cell.strip() for cell in row] for row in parse_clipboard(text.lstrip("\ufeff"))]
    while rows and not any(rows[-1]):
        rows.pop()
    while rows and all(len(row) > 1 and not row[-1] for row in rows):
        rows = [row[:-1] for row in rows]
    return rows


def read_block(text: str, first: int, system: System) -> Block:
    """Read pasted text that goes in from column ``first`` on. Raises CannotPaste.

    With a header row the headings say which column is which, and in what unit.
    """
    cells = split_cells(text)
    if not any(any(row) for row in cells):
        raise CannotPaste("There is nothing on the clipboard to paste.")
    if len(cells) > MOST_ROWS:
        raise CannotPaste(f"The clipboard holds {len(cells)} rows; a line has at most {MOST_ROWS}.")
    left_out: list[str] = []
    if _is_header(cells[0]):
        columns, units = _read_header(cells[0], left_out)
        numbered = [
            (i, row)
            for i, row in enumerate(cells[1:], 2)
            if any(row) and not row[0].startswith("#")
        ]
    else:
        widest = max(len(row) for row in cells)
        fits = len(COLUMNS) - first
        if widest > fits:
            raise CannotPaste(
                f"The clipboard holds {widest} columns, but only {fits} "
                f"{'is' if fits == 1 else 'are'} left from {COLUMNS[first].heading} on."
            )
        columns = [Col(first + i) for i in range(widest)]
        units = [None] * widest
        numbered = list(enumerate(cells, 1))
    if not numbered:
        raise CannotPaste("The clipboard holds headings but no rows.")
    decimal = _decimal(row for _, row in numbered)
    rows = tuple(_read_row(i, row, columns, units, system, decimal) for i, row in numbered)
    if not any(rows):
        raise CannotPaste("There is nothing on the clipboard to paste.")
    return Block(rows, tuple(left_out))


def paste_block(
    bench: Bench,
    line: str,
    row: int,
    rows: Sequence[dict[int, Value]],
    solve: Solve,
) -> Edited:
    """Put read cells in from a row on; rows past the end are added.

    Weight per length and sink rate follow from a density or a weight beside them, so the first
    of them counts, and only in a row that has neither.
    """
    there = bench.line(line).segments
    cells: dict[tuple[int, PasteColumn], Value] = {}
    later: list[Step] = []
    for down, values in enumerate(rows):
        at = row + down
        plain = {_PASTED[column]: value for column, value in values.items() if column in _PASTED}
        if MEAN in values and PasteColumn.DENSITY not in plain and PasteColumn.WEIGHT not in plain:
            length = values.get(Col.LENGTH, there[at].length if at < len(there) else None)
            if length is None:
                raise Refused(verbatim(f"Row {down + 1} gives grains per foot but no length."))
            plain[PasteColumn.WEIGHT] = values[MEAN] * length
        if PasteColumn.DENSITY in plain:
            plain.pop(PasteColumn.WEIGHT, None)
        if at >= len(there) and not plain:
            # An empty cell of a new row still makes the row.
            plain[PasteColumn.NOTE] = ""
        cells.update({(down, column): value for column, value in plain.items()})
        if not {PasteColumn.DENSITY, PasteColumn.WEIGHT} & plain.keys():
            later += _worked_back(line, at, values, solve)
    steps: list[Step] = [(edits.paste_cells, (line, row, cells))] if cells else []
    return together(bench, _pasted(len(rows)), [*steps, *later], tuple(range(row, row + len(rows))))


def _pasted(rows: int) -> str:
    return "Paste a row" if rows == 1 else f"Paste {rows} rows"


def _worked_back(line: str, row: int, values: dict[int, Value], solve: Solve) -> list[Step]:
    if Col.FRONT_WEIGHT_PER_LENGTH in values:
        value = values[Col.FRONT_WEIGHT_PER_LENGTH]
        return [(edits.set_front_linear_density, (line, row, value, solve))]
    if Col.REAR_WEIGHT_PER_LENGTH in values:
        value = values[Col.REAR_WEIGHT_PER_LENGTH]
        return [(edits.set_rear_linear_density, (line, row, value, solve))]
    if Col.SINK_RATE in values:
        return [(edits.set_sink_rate, (line, row, values[Col.SINK_RATE]))]
    return []


# -- details ----------------------------------------------------------------------------------


def _kind(column: int) -> Kind | None:
    return WEIGHT_PER_LENGTH if column == MEAN else COLUMNS[column].kind


def _name(column: int) -> str:
    return "grains per foot" if column == MEAN else COLUMNS[column].name


def _name_and_unit(cell: str) -> tuple[str, str | None]:
    found = _HEADING.match(cell)
    if found is None:
        return cell, None
    return " ".join(found["name"].casefold().split()), found["unit"]


def _is_header(row: Sequence[str]) -> bool:
    names = [_name_and_unit(cell)[0] for cell in row if cell]
    if not names or any(cell[:1].isdigit() for cell in row):
        return False
    known = sum(name in _NAMES for name in names)
    return known >= 2 or (known == 1 and len(names) == 1 and names[0] != "note")


def _read_header(
    row: Sequence[str], left_out: list[str]
) -> tuple[list[int | None], list[Unit | None]]:
    columns: list[int | None] = []
    units: list[Unit | None] = []
    for cell in row:
        name, unit = _name_and_unit(cell)
        column = _NAMES.get(name)
        if column is None and cell:
            left_out.append(cell)
        if column is not None and column in columns:
            raise CannotPaste(f"Two columns are headed {quoted(cell)}.")
        kind = _kind(column) if column is not None else None
        columns.append(column)
        units.append(_heading_unit(cell, unit, kind))
    return columns, units


def _heading_unit(cell: str, unit: str | None, kind: Kind | None) -> Unit | None:
    if kind is None or not unit or not unit.strip() or unit.strip() == "ft in":
        return None
    try:
        return parse_unit(unit, kind)
    except Unreadable as problem:
        raise CannotPaste(f"Heading {quoted(cell)}: {problem.sentence}") from None


def _decimal(rows: Iterable[Sequence[str]]) -> Mark:
    """A comma where some number has one that can be nothing else, and none has a point."""
    cells = [cell for row in rows for cell in row if cell[:1] in "0123456789.,+-−"]
    has_comma = any(_DECIMAL_COMMA.search(cell) for cell in cells)
    return "," if has_comma and not any(_POINT.search(cell) for cell in cells) else "."


def _read_row(
    number: int,
    row: Sequence[str],
    columns: Sequence[int | None],
    units: Sequence[Unit | None],
    system: System,
    decimal: Mark,
) -> dict[int, Value]:
    values: dict[int, Value] = {}
    for place, cell in enumerate(row):
        column = columns[place] if place < len(columns) else None
        if not cell or column is None:
            continue
        kind = _kind(column)
        try:
            if column == Col.PART:
                values[column] = read_part(cell)
            elif kind is None:
                values[column] = " ".join(cell.split())
            else:
                values[column] = parse(cell, kind, system, unit=units[place], decimal=decimal)
        except Unreadable as problem:
            raise CannotPaste(
                f"Nothing was pasted. Row {number}, {_name(column)}: {problem}"
            ) from None
    return values
