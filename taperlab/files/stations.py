"""A table of diameters read along a line: ``distance [ft], diameter [in]``, one row a station.

A distance may stand twice, and further columns called diameter are repeats; an empty cell there
says nothing.
"""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path

from taperlab.files.cells import Row, check_width, grid_of
from taperlab.files.delimited import rows_in
from taperlab.files.headings import Heading, check_clear, heading_text, read_headings
from taperlab.files.marks import Marks, is_open, marks_of, open_mark
from taperlab.files.problem import TableProblem
from taperlab.model.measurement import Station
from taperlab.units.kinds import DIAMETER, DISTANCE, Kind
from taperlab.units.language import later
from taperlab.units.limits import MOST_STATIONS
from taperlab.units.parse import Unreadable, expected
from taperlab.units.sentence import Sentence
from taperlab.units.typed import Mark


class Read(StrEnum):
    """What a column of the table holds."""

    DISTANCE = "distance"
    DIAMETER = "diameter"

    @property
    def kind(self) -> Kind:
        """The kind of its numbers."""
        return DISTANCE if self is Read.DISTANCE else DIAMETER


HEADINGS = ", ".join(map(heading_text, Read))


def read_stations(path: Path, decimal: Mark | None = None) -> tuple[Station, ...]:
    """The stations in a file of a table, as they stand there. Raises FileProblem.

    decimal: the decimal mark of its numbers, where a person tells it.
    """
    lacking = later(
        "{file} holds no station; expected a heading row such as {headings}, and a row a station."
    )
    return rows_in(path, stations_of, decimal, lacking, HEADINGS)


def stations_of(text: str, decimal: Mark | None = None) -> tuple[Station, ...]:
    """The stations in the text of a table with headings. Raises TableProblem."""
    grid = grid_of(text, MOST_STATIONS, Sentence("a measurement has no more stations"))
    if grid is None or not grid.rows:
        return ()
    headings = read_headings(grid.heading.cells, Read)
    _check(headings, grid.heading.number)
    marks = marks_of((cell for row in grid.rows for cell in row.cells), grid.separator, decimal)
    return tuple(_station(row, headings, marks) for row in grid.rows)


def _check(headings: tuple[Heading[Read], ...], row: int) -> None:
    check_clear(headings, row)
    columns = [heading.column for heading in headings]
    if columns.count(Read.DISTANCE) != 1 or Read.DIAMETER not in columns:
        raise TableProblem(
            "expected one column of distances and one or more of diameters: {headings}.",
            headings=HEADINGS,
        ).at(row)


def _station(row: Row, headings: tuple[Heading[Read], ...], marks: Marks) -> Station:
    check_width(row, len(headings))
    found: dict[Read, list[float]] = {each: [] for each in Read}
    for heading, text in zip(headings, row.cells, strict=False):
        column = heading.column
        if not text or column is None:
            continue
        if marks.decimal is None and is_open(text):
            raise open_mark(text).at(row.number, heading.text)
        try:
            found[column].append(marks.read(text, column.kind, heading.unit))
        except Unreadable as problem:
            raise TableProblem(problem.sentence).at(row.number, heading.text) from None
    for column, values in found.items():
        if not values:
            heading = next(each for each in headings if each.column is column)
            raise TableProblem(
                "found nothing, expected {wanted}.", wanted=expected(column.kind)
            ).at(row.number, heading.text)
    return Station(found[Read.DISTANCE][0], tuple(found[Read.DIAMETER]))
