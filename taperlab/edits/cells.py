"""Many cells of the table at once: paste and fill down."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from operator import attrgetter
from typing import Any

from taperlab.edits.changing import (
    FRONT,
    REAR,
    changed,
    check_positive,
    find_line,
    find_rows,
    followers,
    moved_between,
    of_density,
    same,
    weighing,
    with_line,
)
from taperlab.edits.edited import Edited, Ends, Refused
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

_SIDES = {Column.FRONT_DIAMETER: FRONT, Column.REAR_DIAMETER: REAR}

_VALUES: Mapping[Column, Callable[[Segment], Value]] = {
    **{column: attrgetter(name) for column, name in _FIELDS.items()},
    Column.DENSITY: section.mean_density,
    Column.WEIGHT: section.mass,
}
"""What a cell holds, to be filled into others."""

Value = Any
"""What a cell takes: a number in SI, the text of a note, or a part."""


def paste_cells(
    bench: Bench,
    line: str,
    row: int,
    cells: Mapping[tuple[int, Column], Value],
    ends: Ends = Ends.JOINED,
) -> Edited:
    """Put values into cells; rows past the end of the line are added.

    ``cells`` maps (rows below ``row``, column) to a value already read: [m], [kg/m^3] (the mean
    over the segment), [kg], a part, or the text of a note. A weight moves the density, and stands
    in place of one. A neighbour's end follows a diameter as it does one that is typed, unless it
    is given too. A new row comes as it is: its diameter that is not given is that of its other
    end, and nothing follows it.
    """
    whole = find_line(bench, line)
    if not cells:
        raise Refused("There is nothing to paste.")
    by_row: dict[int, dict[Column, Value]] = {}
    for (down, column), value in cells.items():
        by_row.setdefault(row + down, {})[column] = value
    if not 0 <= row <= len(whole.segments) or min(by_row) < row:
        raise Refused("{line} has no segment {row} to paste into.", line=whole.name, row=row + 1)
    rows = tuple(sorted(by_row))
    return _filled(bench, whole, by_row, ends, Sentence("Paste"), rows)


def fill_down(
    bench: Bench,
    line: str,
    indices: Iterable[int],
    columns: Sequence[Column],
    ends: Ends = Ends.JOINED,
) -> Edited:
    """Give rows the values that the first of them has in some columns; ends follow as typed."""
    whole = find_line(bench, line)
    rows = find_rows(whole, indices, Sentence("Select one or more segments to fill."))
    first = whole.segments[rows[0]]
    values = {column: _VALUES[column](first) for column in columns}
    text = Sentence("Fill down")
    if len(columns) == 1:
        text = Sentence("Fill down {column}", column=columns[0])
    return _filled(bench, whole, dict.fromkeys(rows, values), ends, text, rows)


def _filled(
    bench: Bench,
    whole: Line,
    by_row: Mapping[int, Mapping[Column, Value]],
    ends: Ends,
    text: Sentence,
    rows: tuple[int, ...],
) -> Edited:
    """The bench with values in cells of a line, which may grow, and in ends that follow."""
    count = len(whole.segments)
    given = {
        (row, side): values[column]
        for row, values in by_row.items()
        for column, side in _SIDES.items()
        if row < count and column in values
    }
    following: dict[int, dict[str, float]] = {}
    for (row, side), diameter in followers(whole, given, ends).items():
        following.setdefault(row, {})[side] = diameter
    after = whole
    for row in range(max((*by_row, *following)) + 1):
        values = by_row.get(row, {})
        if row >= len(after.segments):
            after = _grown(after, values)
        after = _with_values(after, row, values, following.get(row, {}))
    typed = {(column.value, row) for row, values in by_row.items() for column in values}
    edited = with_line(bench, whole, after, text, rows)
    there = replace(after, segments=after.segments[:count], joints=whole.joints)
    moved = moved_between(whole, there, typed) if edited.bench is not bench else []
    columns = tuple(column for column in CELLS if any(column in each for each in by_row.values()))
    return replace(edited, moved=tuple(moved), columns=columns)


def _grown(line: Line, values: Mapping[Column, Value]) -> Line:
    index = len(line.segments)
    segment = new_segment(line, index, values.get(Column.PART))
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
    return with_inserted(line, index, (segment,))


def _with_values(
    line: Line, row: int, values: Mapping[Column, Value], following: Mapping[str, float]
) -> Line:
    before = line.segments[row]
    after = _segment_with(before, row, values, following)
    if after is before:
        return line
    return replace(line, segments=(*line.segments[:row], after, *line.segments[row + 1 :]))


def _segment_with(
    segment: Segment, row: int, values: Mapping[Column, Value], following: Mapping[str, float]
) -> Segment:
    fields = {name: values[column] for column, name in _FIELDS.items() if column in values}
    segment = changed(segment, row, **fields, **following)
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
