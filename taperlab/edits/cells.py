"""Many cells of the table at once: paste and fill down."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from taperlab.edits.changing import (
    changed,
    check_positive,
    find_line,
    find_rows,
    of_density,
    same,
    weighing,
    with_line,
)
from taperlab.edits.edited import Edited, Refused
from taperlab.edits.rows import new_segment, with_inserted
from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.segment import Segment
from taperlab.physics import section
from taperlab.units.columns import Column
from taperlab.units.sentence import Sentence

CELLS = (
    Column.PART,
    Column.LENGTH,
    Column.FRONT_DIAMETER,
    Column.REAR_DIAMETER,
    Column.DENSITY,
    Column.WEIGHT,
    Column.NOTE,
)
"""The columns that can be pasted into and filled down; the others are worked back."""

_FIELDS = {
    column: column.replace(" ", "_")
    for column in CELLS
    if column not in (Column.DENSITY, Column.WEIGHT)
}
"""The columns that are numbers and words of a segment as they stand, and their names there."""

Value = Any
"""What a cell takes: a number in SI, the text of a note, or a part."""


def paste_cells(
    bench: Bench, line: str, row: int, cells: Mapping[tuple[int, Column], Value]
) -> Edited:
    """Put values into cells; rows past the end of the line are added.

    ``cells`` maps (rows below ``row``, column) to a value already read: [m], [kg/m^3] (the mean
    over the segment), [kg], a part, or the text of a note. A weight moves the density, and stands
    in place of one. Only the cells named change: neighbours do not follow a diameter. A new row's
    diameter that is not given is that of its other end.
    """
    whole = find_line(bench, line)
    if not cells:
        raise Refused("There is nothing to paste.")
    by_row: dict[int, dict[Column, Value]] = {}
    for (down, column), value in cells.items():
        by_row.setdefault(row + down, {})[column] = value
    if not 0 <= row <= len(whole.segments) or min(by_row) < row:
        raise Refused("{line} has no segment {row} to paste into.", line=whole.name, row=row + 1)
    grown = whole
    for index in range(max(by_row) + 1):
        values = by_row.get(index, {})
        if index >= len(grown.segments):
            grown = _grown(grown, values)
        grown = _with_values(grown, index, values)
    return with_line(bench, whole, grown, Sentence("Paste"), tuple(sorted(by_row)))


def fill_down(bench: Bench, line: str, indices: Iterable[int], column: Column) -> Edited:
    """Give rows the value that the first of them has in a column; neighbours do not follow."""
    whole = find_line(bench, line)
    rows = find_rows(whole, indices, Sentence("Select one or more segments to fill."))
    first = whole.segments[rows[0]]
    if column is Column.WEIGHT:
        value = section.mass(first)
    elif column is Column.DENSITY:
        value = section.mean_density(first)
    else:
        value = getattr(first, _FIELDS[column])
    filled = whole
    for index in rows[1:]:
        filled = _with_values(filled, index, {column: value})
    return with_line(bench, whole, filled, Sentence("Fill down {column}", column=column), rows)


def _grown(line: Line, values: Mapping[Column, Value]) -> Line:
    index = len(line.segments)
    segment = new_segment(line, index)
    front, rear = values.get(Column.FRONT_DIAMETER), values.get(Column.REAR_DIAMETER)
    if front is not None or rear is not None:
        # Another thickness is another material: no core of the row above comes along.
        segment = replace(segment, core=None, density=section.mean_density(segment))
        segment = changed(
            segment,
            index,
            front_diameter=rear if front is None else front,
            rear_diameter=front if rear is None else rear,
        )
    return with_inserted(line, index, segment)


def _with_values(line: Line, row: int, values: Mapping[Column, Value]) -> Line:
    before = line.segments[row]
    after = _segment_with(before, row, values)
    if after is before:
        return line
    return replace(line, segments=(*line.segments[:row], after, *line.segments[row + 1 :]))


def _segment_with(segment: Segment, row: int, values: Mapping[Column, Value]) -> Segment:
    fields = {name: values[column] for column, name in _FIELDS.items() if column in values}
    segment = changed(segment, row, **fields)
    if Column.DENSITY in values and Column.WEIGHT in values:
        raise Refused("Give a density or a weight for segment {row}, not both.", row=row + 1)
    if Column.DENSITY in values:
        what = Sentence("The density of segment {row}", row=row + 1)
        return of_density(segment, row, check_positive(values[Column.DENSITY], what))
    if Column.WEIGHT in values:
        what = Sentence("The weight of segment {row}", row=row + 1)
        mass = check_positive(values[Column.WEIGHT], what)
        return segment if same(mass, section.mass(segment)) else weighing(segment, row, mass)
    return segment
