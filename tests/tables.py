"""A line from the text of a table, or from a file of one, as a test wants it."""

from __future__ import annotations

from pathlib import Path

from taperlab.files.delimited import decode, lay_out_file, read_with
from taperlab.files.disk import read_bytes
from taperlab.model.line import Line


def parse_table(text: str, source: str, name: str) -> Line:
    """The line in a table that tells all that is needed. Raises FileProblem."""
    return read_with(lay_out_file(text, source), source, name)


def read_line(path: Path) -> Line:
    """The line in a file, named after it. Raises FileProblem."""
    return parse_table(decode(read_bytes(path), str(path)), str(path), path.stem)
