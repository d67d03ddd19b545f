"""A line as CSV or TSV: one heading row, then one row per segment from the fly end.

``part, length [ft], front diameter [in], rear diameter [in], density [g/cm^3], note``

A row may give ``weight`` or ``grains per foot`` (its mean over the row) and no density. Where it
gives two of them they must agree as far as the rounding of its cells allows, and the first of
density, weight and grains per foot is taken. Loops, joints and cores are not part of it.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from taperlab.files import disk
from taperlab.files.cells import exact, to_text
from taperlab.files.disk import called, read_bytes
from taperlab.files.headings import heading_text
from taperlab.files.problem import FileProblem, TableProblem
from taperlab.files.table import HEADINGS, Layout, TableRow, lay_out
from taperlab.model.line import NO_LOOP, ONE_EXTRUSION, Line, line_of
from taperlab.model.segment import Segment
from taperlab.physics import section
from taperlab.shop.steps import Steps, finish
from taperlab.units.columns import Column
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence
from taperlab.units.typed import Mark

RowT = TypeVar("RowT")

LINE_KEY = "line-1"

STEP = 50
"""Rows read in one step; they take a few milliseconds."""


def lay_out_file(text: str, source: str) -> Layout:
    """How the table in a file is laid out. Raises FileProblem."""
    try:
        return lay_out(text)
    except TableProblem as problem:
        if not problem.row:
            raise FileProblem(
                "{file} is empty; expected a heading row such as {headings}.",
                file=source,
                headings=HEADINGS,
            ) from None
        raise problem.in_file(source) from None


def read_with(layout: Layout, source: str, name: str) -> Line:
    """The line in a table laid out so, named ``name``. Raises FileProblem."""
    return finish(reading_rows(layout, source, name))


def reading_rows(layout: Layout, source: str, name: str) -> Steps[Line]:
    """As :func:`read_with`, step by step; yields the share done."""
    segments: list[Segment] = []
    try:
        layout.check()
        for row in layout.read_rows():
            segments.append(segment_of(row))
            if len(segments) % STEP == 0:
                yield len(segments) / len(layout.rows)
    except TableProblem as problem:
        raise problem.in_file(source) from None
    return line_of(LINE_KEY, name, tuple(segments))


def segment_of(row: TableRow) -> Segment:
    """The segment that a row describes. Raises TableProblem."""
    row.check_whole()
    shape = row.shape()
    assert shape is not None
    assert row.part is not None
    return Segment(
        part=row.part,
        length=shape.length.value,
        front_diameter=shape.front.value,
        rear_diameter=shape.rear.value,
        density=row.density(shape),
        note=row.note or "",
    )


def rows_in(
    path: Path,
    rows_of: Callable[[str, Mark | None], tuple[RowT, ...]],
    decimal: Mark | None,
    lacking: str,
    headings: str,
) -> tuple[RowT, ...]:
    """What ``rows_of`` finds in the table in a file. Raises FileProblem.

    decimal: the decimal mark of its numbers, where a person tells it. lacking: what is said of a
    file without a row, with ``{file}`` and ``{headings}``.
    """
    source = called(path)
    try:
        found = rows_of(decode(read_bytes(path), source), decimal)
    except TableProblem as problem:
        raise problem.in_file(source) from None
    if not found:
        raise FileProblem(lacking, file=source, headings=headings)
    return found


def decode(content: bytes, source: str) -> str:
    """The text of a delimited file. Raises FileProblem."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        if content.startswith((b"\xff\xfe", b"\xfe\xff")):
            raise FileProblem(
                "{file} is UTF-16 text; save it as CSV in UTF-8.", file=source
            ) from None
        # The error counts from behind a byte-order mark.
        before, byte = error.object[: error.start], error.object[error.start]
        raise FileProblem(
            "{file}, row {row}, character {character}: found the byte {byte}, expected UTF-8 "
            "text; save it as CSV in UTF-8.",
            file=source,
            row=before.count(b"\n") + 1,
            character=len(before.rpartition(b"\n")[2].decode()) + 1,
            byte=f"{byte:02X}",
        ) from None
    if "\0" in text:
        raise FileProblem("{file} is not text; expected a line as CSV.", file=source)
    return text


_WRITTEN: dict[Column, Callable[[Segment], float]] = {
    Column.LENGTH: lambda segment: segment.length,
    Column.FRONT_DIAMETER: lambda segment: segment.front_diameter,
    Column.REAR_DIAMETER: lambda segment: segment.rear_diameter,
    # The table knows one density only: that of a segment with a core is its mean.
    Column.DENSITY: section.mean_density,
}


def line_rows(line: Line, system: System = System.US) -> list[list[str]]:
    """The table of a line: a heading, then a row per segment, exact to ten figures and more."""
    columns = (Column.PART, *_WRITTEN, Column.NOTE)
    rows = [[heading_text(column, system) for column in columns]]
    for segment in line.segments:
        numbers = (
            exact(value(segment), column.kind, system)
            for column, value in _WRITTEN.items()
            if column.kind
        )
        rows.append([str(segment.part), *numbers, segment.note])
    return rows


def write_line(line: Line, path: Path, system: System = System.US) -> None:
    """Write a line as CSV, or as TSV where the name ends in .tsv. Raises FileProblem."""
    separator = "\t" if path.suffix.casefold() == ".tsv" else ","
    disk.write_text(path, to_text(line_rows(line, system), separator))


def what_is_lost(line: Line) -> tuple[Sentence, ...]:
    """What of a line a table cannot hold."""
    lost = []
    if (line.front_loop, line.rear_loop) != (NO_LOOP, NO_LOOP):
        lost.append(Sentence("its loops"))
    if any(joint != ONE_EXTRUSION for joint in line.joints):
        lost.append(Sentence("its joints"))
    if any(segment.core is not None for segment in line.segments):
        lost.append(Sentence("its cores (their weight is kept)"))
    return tuple(lost)
