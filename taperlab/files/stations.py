"""A table of diameters read along a line: ``distance [ft], diameter [in]``, one row a station.

A distance may stand twice, and further columns called diameter are repeats; an empty cell there
says nothing.
"""

from __future__ import annotations

from pathlib import Path

from taperlab.files.cells import Row, check_width, find_separator, heading_parts, rows_of
from taperlab.files.delimited import decode
from taperlab.files.disk import read_bytes
from taperlab.files.problem import FileProblem, TableProblem
from taperlab.files.table import check_mark, decimal_mark
from taperlab.model.measurement import Station
from taperlab.units.kinds import DIAMETER, DISTANCE, Kind, System
from taperlab.units.parse import Unreadable, expected, parse, parse_unit
from taperlab.units.typed import Mark
from taperlab.units.vocabulary import Unit

HEADINGS = "distance [ft], diameter [in]"

Heading = tuple[str, Kind, Unit]


def read_stations(path: Path) -> tuple[Station, ...]:
    """The stations in a table, as they stand there. Raises FileProblem."""
    text = decode(read_bytes(path), str(path))
    separator = find_separator(text)
    try:
        rows = tuple(rows_of(text, separator))
        if len(rows) < 2:
            raise FileProblem(
                "{file} holds no station; expected a heading row such as {headings}, and a row a "
                "station.",
                file=path,
                headings=HEADINGS,
            )
        headings = tuple(_heading(cell, rows[0].number) for cell in rows[0].cells)
        _check(headings, rows[0].number)
        mark = decimal_mark([cell for row in rows[1:] for cell in row.cells], separator)
        return tuple(_station(row, headings, mark, separator) for row in rows[1:])
    except TableProblem as problem:
        raise problem.in_file(str(path)) from None


def _heading(cell: str, row: int) -> Heading:
    name, unit = heading_parts(cell)
    kind = {"distance": DISTANCE, "diameter": DIAMETER}.get(name.casefold())
    if kind is None:
        raise TableProblem(
            "found this name; expected a heading row such as {headings}.", headings=HEADINGS
        ).at(row, cell)
    if not unit:
        raise TableProblem(
            "found no unit; expected one in brackets, such as {example}.", example=HEADINGS
        ).at(row, cell)
    try:
        return cell, kind, parse_unit(unit, kind)
    except Unreadable as problem:
        raise TableProblem(problem.sentence).at(row, cell) from None


def _check(headings: tuple[Heading, ...], row: int) -> None:
    kinds = [kind for _, kind, _ in headings]
    if kinds.count(DISTANCE) != 1 or DIAMETER not in kinds:
        raise TableProblem(
            "expected one column of distances and one or more of diameters: {headings}.",
            headings=HEADINGS,
        ).at(row)


def _station(row: Row, headings: tuple[Heading, ...], mark: Mark, separator: str) -> Station:
    check_width(row, len(headings))
    found: dict[Kind, list[float]] = {DISTANCE: [], DIAMETER: []}
    for (heading, kind, unit), text in zip(headings, row.cells, strict=False):
        if not text:
            continue
        try:
            check_mark(text, mark, separator)
            found[kind].append(parse(text, kind, System.US, unit=unit, decimal=mark))
        except Unreadable as problem:
            raise TableProblem(problem.sentence).at(row.number, heading) from None
    for kind, values in found.items():
        if not values:
            heading = next(heading for heading, each, _ in headings if each is kind)
            raise TableProblem("found nothing, expected {wanted}.", wanted=expected(kind)).at(
                row.number, heading
            )
    return Station(found[DISTANCE][0], tuple(found[DIAMETER]))
