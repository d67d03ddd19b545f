"""Opening whatever a person hands over: a bench, or a line as CSV."""

from __future__ import annotations

from pathlib import Path

from taperlab.files import native
from taperlab.files.disk import read_bytes
from taperlab.files.problem import FileProblem
from taperlab.model.bench import Bench, View
from taperlab.model.line import Line


def read_any(path: Path) -> Bench:
    """The bench in a native file, or a bench of the one line in a CSV file. Raises FileProblem.

    The content decides, not the name.
    """
    content, source = read_bytes(path), str(path)
    if is_native(content):
        return native.parse_bench(content, source)
    # A start opens benches; what reads tables takes a while to load and can wait.
    from taperlab.files.delimited import decode, lay_out_file, read_with
    from taperlab.files.table import HEADINGS

    text = decode(content, source)
    layout = lay_out_file(text, source)
    if not any(layout.columns):
        raise FileProblem(
            "{file} is neither a Taperlab bench nor a line as CSV; expected a heading row such "
            "as {headings}.",
            file=source,
            headings=HEADINGS,
        )
    return bench_of(read_with(layout, source, path.stem))


def is_native(content: bytes) -> bool:
    """Whether the bytes of a file can only be meant as a native bench."""
    return content.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"{")


def bench_of(line: Line) -> Bench:
    """A bench that holds one line."""
    return Bench(lines=(line,), view=View(line=line.key))
