"""Opening whatever a person hands over: a bench, or a line as CSV."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from taperlab.files import native
from taperlab.files.disk import STDIN, called, read_bytes
from taperlab.files.problem import FileProblem
from taperlab.files.recovery import without_account
from taperlab.files.standing import digest
from taperlab.model.bench import Bench, View
from taperlab.model.line import Line
from taperlab.model.stock import Stock
from taperlab.shop.steps import Steps
from taperlab.units.typed import Mark

if TYPE_CHECKING:
    from taperlab.files.table import Layout


def read_any(path: Path, decimal: Mark | None = None) -> Bench:
    """The bench in a native file, or a bench of the one line in a CSV file. Raises FileProblem.

    The content decides, not the name. decimal: the decimal mark of a CSV file, where a person
    tells it.
    """
    content, source = read_bytes(path), called(path)
    if is_native(content):
        return native.parse_bench(content, source)
    # A start opens benches; what reads tables takes a while to load and can wait.
    from taperlab.files.delimited import decode, lay_out_file, read_with
    from taperlab.files.table import HEADINGS

    layout = lay_out_file(decode(content, source), source)
    if not any(layout.columns):
        raise FileProblem(
            "{file} is neither a Taperlab bench nor a line as CSV; expected a heading row such "
            "as {headings}.",
            file=source,
            headings=HEADINGS,
        )
    if decimal is not None:
        layout = layout.decide_decimal(decimal)
    return bench_of(read_with(layout, source, source if path == STDIN else path.stem))


@dataclass(frozen=True, slots=True)
class Opened:
    """The bench in a native file, and the digest of what the file held when it was read."""

    bench: Bench
    digest: str


@dataclass(frozen=True, slots=True)
class Shelf:
    """The stock in a table."""

    stock: tuple[Stock, ...]


def reading(path: Path) -> Steps[Opened | Line | Shelf | Layout]:
    """Read a file step by step; yields the share done. Raises FileProblem.

    A native file gives what it holds, a table that is clear its line, one of stock that, and any
    other table its layout, which leaves something to be decided. Sentences name the file without
    its folder.
    """
    content = read_bytes(path)
    yield 0.1
    if is_native(content) or path.suffix == native.SUFFIX:
        bench = native.parse_bench(content, str(path))
        return Opened(without_account(bench), digest(content))
    found = yield from _table(content, path)
    return found if isinstance(found, Line) else _shelf(content, path) or found


def _shelf(content: bytes, path: Path) -> Shelf | None:
    """The stock in a table whose headings say that it is one of stock. Raises FileProblem."""
    from taperlab.files.delimited import decode
    from taperlab.files.shelf import is_shelf, read_shelf

    return Shelf(read_shelf(path)) if is_shelf(decode(content, path.name)) else None


def reading_table(path: Path) -> Steps[Line | Layout]:
    """As :func:`reading`, of a file that is to be a table."""
    return (yield from _table(read_bytes(path), path))


def _table(content: bytes, path: Path) -> Steps[Line | Layout]:
    from taperlab.files.delimited import decode, lay_out_file, reading_rows

    text = decode(content, path.name)
    yield 0.2
    layout = lay_out_file(text, path.name)
    yield 0.3
    if not layout.is_clear:
        return layout
    return (yield from reading_rows(layout, path.name, path.stem))


def is_native(content: bytes) -> bool:
    """Whether the bytes of a file can only be meant as a native bench."""
    return content.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"{")


def bench_of(line: Line) -> Bench:
    """A bench that holds one line."""
    return Bench(lines=(line,), view=View(line=line.key))
