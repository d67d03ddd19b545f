"""Pasted text to values for cells, with or without a header row; headings for a copy."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence

from taperlab.edits import cells as cell_edits
from taperlab.edits import rows as row_edits
from taperlab.edits import values as value_edits
from taperlab.edits.edited import Edited, Ends, Refused, Solve, Step, together
from taperlab.files.cells import Row, parse_clipboard, too_long
from taperlab.files.headings import Heading, heading_text
from taperlab.files.marks import marks_pasted
from taperlab.files.problem import TableProblem
from taperlab.files.table import Layout, TableRow, lay_out
from taperlab.gui.pages.shape.columns import COLUMNS
from taperlab.gui.table.blocks import Place, as_block, spread
from taperlab.model.bench import Bench
from taperlab.model.segment import Segment
from taperlab.units.columns import Column, column_headed
from taperlab.units.kinds import System
from taperlab.units.limits import MOST_SEGMENTS
from taperlab.units.sentence import Sentence, counted
from taperlab.units.show import shown_unit
from taperlab.units.vocabulary import Unit, unit_named
from taperlab.units.words import heading, word


def headings(columns: Iterable[int], system: System) -> list[str]:
    """A header row: names with units in brackets, as our CSV has them."""
    return [heading_text(COLUMNS[column].column, system) for column in columns]


def read_block(
    text: str, first: int, system: System, chosen: Collection[Place] = ()
) -> tuple[TableRow, ...]:
    """Read pasted text that goes in from column ``first`` on. Raises Refused.

    With a header row the headings say which column is which, and in what unit. Without one it
    fills the ``chosen`` cells as spreadsheets do; ``first`` is then the first of their columns.
    """
    if why := too_long(text):
        raise Refused(why)
    text = text.lstrip("\ufeff")
    cells = [[cell.strip() for cell in row] for row in parse_clipboard(text)]
    filled = [i for i, row in enumerate(cells) if any(row)]
    if not filled:
        raise Refused(Sentence("There is nothing on the clipboard to paste."))
    if len(filled) > MOST_SEGMENTS:
        raise Refused(
            Sentence(
                "The clipboard holds {count} rows; a line has at most {most}.",
                count=len(filled),
                most=MOST_SEGMENTS,
            )
        )
    try:
        if _is_header(cells[filled[0]]):
            return _read_table(text, system)
        cells = cells[: filled[-1] + 1]
        if len(chosen) > 1:
            cells = as_block(spread(cells, chosen))
        return tuple(_layout_of_cells(cells, first, system).read_rows())
    except TableProblem as problem:
        raise Refused(_nothing_pasted(problem)) from None


def paste_block(
    bench: Bench, line: str, row: int, rows: Sequence[TableRow], solve: Solve, ends: Ends
) -> Edited:
    """Put read cells in from a row on; rows past the end are added.

    What says how heavy a row is moves its density; the weight per length at an end, and the sink
    rate, follow from it, so the first of them counts, and only in a row that tells no weight.
    """
    there = bench.line(line).segments
    cells: dict[tuple[int, Column], cell_edits.Value] = {}
    worked: list[Step] = []
    for down, read in enumerate(rows):
        at = row + down
        try:
            values = _cells_of(read, there[at] if at < len(there) else None)
        except TableProblem as problem:
            raise Refused(_nothing_pasted(problem)) from None
        cells.update({(down, column): value for column, value in values.items()})
        if not read.weights:
            worked += _worked_back(line, at, read, solve, ends)
    steps: list[Step] = [(cell_edits.paste_cells, (line, row, cells, ends))] if cells else []
    text = counted("Paste a segment", "Paste {count} segments", len(rows))
    pasted = tuple(range(row, row + len(rows)))
    columns = tuple(each.column for each in rows[0].layout.headings if each.column)
    return together(bench, text, [*steps, *worked], pasted, columns)


def insert_block(
    bench: Bench, line: str, row: int, rows: Sequence[TableRow], solve: Solve
) -> Edited:
    """Put read rows in before a row; they come as they are, and nothing follows them."""
    blank: Step = row_edits.insert_default, (line, row)
    filled: Step = paste_block, (line, row, rows, solve, Ends.STEPPED)
    text = counted("Insert copied segment", "Insert {count} copied segments", len(rows))
    inserted = tuple(range(row, row + len(rows)))
    return together(bench, text, [*[blank] * len(rows), filled], inserted)


# -- details ----------------------------------------------------------------------------------


def _nothing_pasted(problem: TableProblem) -> Sentence:
    return Sentence("Nothing was pasted: {problem}", problem=problem.sentence)


def _is_header(row: Sequence[str]) -> bool:
    if any(cell[:1].isdigit() for cell in row):
        return False
    named = [column_headed(re.split(r"[\[(]", cell)[0]) for cell in row if cell]
    known = sum(column is not None for column in named)
    return known >= 2 or (known == len(named) == 1 and named[0] is not Column.NOTE)


def _read_table(text: str, system: System) -> tuple[TableRow, ...]:
    """A table with headings, as a file would have it.

    What a file would ask a person is settled: a column that is none here is left out, and a unit
    that is not written is the one shown.
    """
    layout = lay_out(text)
    for i, head in enumerate(layout.headings):
        if head.column is None:
            layout = layout.decide(i, None)
        elif head.lacks_unit:
            layout = layout.decide(i, head.column, _shown_unit(head.column, system))
    layout.check_headings()
    rows = tuple(layout.read_rows())
    if not rows:
        raise Refused(Sentence("The clipboard holds headings but no rows."))
    return rows


def _layout_of_cells(cells: Sequence[Sequence[str]], first: int, system: System) -> Layout:
    """Cells without headings, which lie in the columns from ``first`` on. Raises Refused."""
    widest = max(max((i for i, cell in enumerate(row, 1) if cell), default=1) for row in cells)
    columns = [shown.column for shown in COLUMNS[first:]]
    if widest > len(columns):
        raise Refused(
            Sentence(
                "The clipboard holds {held}, but there are only {left} from {heading} on.",
                held=counted("{count} column", "{count} columns", widest),
                left=len(columns),
                heading=heading(columns[0]),
            )
        )
    heads = [
        Heading(word(column), column, _shown_unit(column, system)) for column in columns[:widest]
    ]
    rows = [Row(i, tuple(row[:widest])) for i, row in enumerate(cells, 1)]
    return Layout(
        tuple(heads), tuple(rows), marks_pasted(cell for row in rows for cell in row.cells)
    )


def _shown_unit(column: Column, system: System) -> Unit | None:
    kind = column.kind
    return unit_named(shown_unit(kind, system)) if kind else None


def _cells_of(read: TableRow, there: Segment | None) -> dict[Column, cell_edits.Value]:
    """What goes into the cells of a row; ``there`` is the segment in it, if any.

    A new row of a table that tells all a line needs must do so itself. Raises TableProblem.
    """
    if there is None and read.layout.is_whole:
        read.check_whole()
    values: dict[Column, cell_edits.Value] = {
        column: number.value
        for column, number in read.numbers.items()
        if column in cell_edits.CELLS
    }
    if read.part is not None:
        values[Column.PART] = read.part
    if read.note is not None or (there is None and not values):
        # An empty cell of a new row still makes the row.
        values[Column.NOTE] = read.note or ""
    shape = read.shape(there)
    if read.weights and shape is not None:
        values.pop(Column.WEIGHT, None)
        values[Column.DENSITY] = read.density(shape)
    elif read.weights[:1] == [Column.WEIGHT_PER_LENGTH]:
        length = read.numbers.get(Column.LENGTH)
        if length is None:
            raise TableProblem("grains per foot are given but no length.").at(read.number)
        values[Column.WEIGHT] = read.numbers[Column.WEIGHT_PER_LENGTH].value * length.value
    elif Column.DENSITY in values:
        values.pop(Column.WEIGHT, None)
    return values


def _worked_back(line: str, row: int, read: TableRow, solve: Solve, ends: Ends) -> list[Step]:
    for column, edit, more in (
        (Column.FRONT_WEIGHT_PER_LENGTH, value_edits.set_front_linear_density, (solve, ends)),
        (Column.REAR_WEIGHT_PER_LENGTH, value_edits.set_rear_linear_density, (solve, ends)),
        (Column.SINK_RATE, value_edits.set_sink_rate, ()),
    ):
        if column in read.numbers:
            return [(edit, (line, row, read.numbers[column].value, *more))]
    return []
