"""A table of heads to cut back: one heading row, then one row per head.

``name, scale [gr], to, line, file``; only ``name`` is needed. ``scale``: what the whole line reads;
``to``: what to cut to, as typed; ``line`` and ``file``: which line, and of which file. An empty
cell stands for what is asked of all.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from taperlab.files.cells import Row, check_width, find_separator, heading_parts, rows_of
from taperlab.files.delimited import decode
from taperlab.files.disk import read_bytes
from taperlab.files.problem import FileProblem, TableProblem
from taperlab.units.sentence import Sentence, any_of

COLUMNS = ("name", "scale", "to", "line", "file")


@dataclass(frozen=True, slots=True)
class AskedHead:
    """A row of the table: texts as they stand there, "" where the cell is empty.

    where: the file and row, to name to a person.
    """

    name: str
    scale: str
    to: str
    line: str
    file: str
    where: str


def read_heads(path: Path) -> tuple[AskedHead, ...]:
    """The heads in a table. Raises FileProblem."""
    text = decode(read_bytes(path), str(path))
    try:
        rows = tuple(rows_of(text, find_separator(text)))
        return _heads(rows, path)
    except TableProblem as problem:
        raise problem.in_file(str(path)) from None


def _heads(rows: tuple[Row, ...], path: Path) -> tuple[AskedHead, ...]:
    if len(rows) < 2:
        raise FileProblem(
            "{file} names no head; expected a heading row such as {headings}, and a row a head.",
            file=path,
            headings="name, scale [gr], to",
        )
    heading, *below = rows
    found: dict[str, tuple[int, str]] = {}
    for at, cell in enumerate(heading.cells):
        name, unit = heading_parts(cell)
        name = name.casefold()
        if name not in COLUMNS:
            raise TableProblem(
                "found this name; expected one of {columns}.", columns=any_of(COLUMNS)
            ).at(heading.number, cell)
        if name in found:
            raise TableProblem('found two columns for "{column}"; expected one.', column=name).at(
                heading.number
            )
        found[name] = at, unit
    if "name" not in found:
        raise TableProblem('found no column "{column}"; expected one.', column="name").at(
            heading.number
        )
    heads: list[AskedHead] = []
    for row in below:
        check_width(row, len(heading.cells))
        texts = {}
        for name in COLUMNS:
            at, unit = found.get(name, (len(row.cells), ""))
            text = row.cells[at] if at < len(row.cells) else ""
            # A bare number takes the unit of its heading.
            texts[name] = f"{text} {unit}" if unit and re.fullmatch(r"[\d.,]+", text) else text
        if not texts["name"]:
            raise TableProblem("found nothing, expected a name for the head.").at(
                row.number, "name"
            )
        twin = next((each for each in heads if each.name == texts["name"]), None)
        if twin is not None:
            raise TableProblem(
                'found "{name}" once more; expected a name of its own.', name=twin.name
            ).at(row.number, "name")
        where = str(Sentence("{file}, row {row}", file=path, row=row.number))
        heads.append(AskedHead(**texts, where=where))
    return tuple(heads)
