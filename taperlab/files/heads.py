"""A table of heads to cut back: one heading row, then one row per head.

``name, scale [gr], to, line, file``; only ``name`` is needed. ``scale``: what the whole line reads;
``to``: what to cut to, as typed; ``line`` and ``file``: which line, and of which file. An empty
cell stands for what is asked of all.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from taperlab.files.cells import Grid, check_width, grid_of, heading_parts
from taperlab.files.delimited import decode
from taperlab.files.disk import called, read_bytes
from taperlab.files.headings import check_once, check_there
from taperlab.files.problem import FileProblem, TableProblem
from taperlab.units.sentence import Sentence, any_of

MOST_HEADS = 10_000

COLUMNS = ("name", "scale", "to", "line", "file")


@dataclass(frozen=True, slots=True)
class AskedHead:
    """A row of the table: texts as they stand there, "" where the cell is empty.

    row: its number in the file. where: the file and row, to name to a person.
    """

    name: str
    scale: str
    to: str
    line: str
    file: str
    row: int
    where: str


def read_heads(path: Path) -> tuple[AskedHead, ...]:
    """The heads in a table. Raises FileProblem."""
    source = called(path)
    text = decode(read_bytes(path), source)
    try:
        grid = grid_of(text, MOST_HEADS, Sentence("no more are planned at once"))
        if grid is None or not grid.rows:
            raise FileProblem(
                "{file} names no head; expected a heading row such as {headings}, and a row a "
                "head.",
                file=source,
                headings="name, scale [gr], to",
            )
        return _heads(grid, source)
    except TableProblem as problem:
        raise problem.in_file(source) from None


def _heads(grid: Grid, source: str) -> tuple[AskedHead, ...]:
    top = grid.heading.number
    parts = [heading_parts(cell) for cell in grid.heading.cells]
    names = [name.casefold() for name, _ in parts]
    for name, cell in zip(names, grid.heading.cells, strict=True):
        if name not in COLUMNS:
            raise TableProblem(
                "found this name; expected one of {columns}.", columns=any_of(COLUMNS)
            ).at(top, cell)
    check_once(names, top)
    check_there("name", names, top, "name")
    units = dict(zip(names, (unit for _, unit in parts), strict=True))
    heads: dict[str, AskedHead] = {}
    for row in grid.rows:
        check_width(row, len(names))
        said = dict(zip(names, row.cells, strict=False))
        texts = {}
        for name in COLUMNS:
            text = said.get(name, "")
            unit = units.get(name, "")
            # A bare number takes the unit of its heading.
            texts[name] = f"{text} {unit}" if unit and re.fullmatch(r"[\d.,]+", text) else text
        if not texts["name"]:
            raise TableProblem("found nothing, expected a name for the head.").at(
                row.number, "name"
            )
        if texts["name"] in heads:
            raise TableProblem(
                "found “{name}” once more; expected a name of its own.", name=texts["name"]
            ).at(row.number, "name")
        where = str(Sentence("{file}, row {row}", file=source, row=row.number))
        heads[texts["name"]] = AskedHead(**texts, row=row.number, where=where)
    return tuple(heads.values())
