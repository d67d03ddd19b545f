"""The native bench: a JSON file that a person can read, compare and mend."""

from __future__ import annotations

import json
from pathlib import Path

from taperlab.files import atomic
from taperlab.files.codec import Where
from taperlab.files.problem import FileProblem
from taperlab.files.reading import read_bytes
from taperlab.files.records import BENCH
from taperlab.files.strict_json import damaged, parse_json
from taperlab.model.bench import Bench
from taperlab.units.sentence import Sentence

FORMAT = "taperlab bench"
VERSION = 1
SUFFIX = ".taperlab"


def read_bench(path: Path) -> Bench:
    """The bench in a native file. Raises FileProblem.

    History of the format, whose number goes up only when an older program would read a file
    wrongly; keys that are merely new do not count, since older programs keep them.

    1. The first. Numbers are in SI units, named at the end of their key (``length_m``). Segments
       run from the fly end; ``joints`` has one fewer than ``segments``, or is left out for a line
       of one extrusion. Empty notes, loops, cores and zero masses are left out. Later came
       ``measurements`` and ``cut_backs``, left out where there are none, and ``loop_ahead`` and
       ``loop_behind`` of a joint.
    """
    return parse_bench(read_bytes(path), str(path))


def write_bench(bench: Bench, path: Path) -> None:
    """Write a native file, all of it or nothing. Raises FileProblem."""
    atomic.write_text(path, dumps(bench))


def parse_bench(content: bytes, source: str) -> Bench:
    """The bench in the bytes of a native file; ``source`` names it. Raises FileProblem."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        if not content.lstrip().startswith(b"{"):
            raise _not_ours(source) from None
        row = content.count(b"\n", 0, error.start) + 1
        raise damaged(source, Sentence("row {row} is not UTF-8 text", row=row)) from None
    return loads(text, source)


def loads(text: str, source: str) -> Bench:
    """The bench in the text of a native file; ``source`` names it. Raises FileProblem."""
    if not text.strip():
        raise FileProblem("{file} is empty; expected a Taperlab bench.", file=source)
    if not text.lstrip("\ufeff \t\r\n").startswith("{"):
        raise _not_ours(source)
    document = parse_json(text, source)
    if not isinstance(document, dict) or document.pop("format", None) != FORMAT:
        raise _not_ours(source)
    _check_version(document.pop("version", None), source)
    bench: Bench = BENCH.read(document, Where(source))
    return bench


def dumps(bench: Bench) -> str:
    """The text of a native file: same bench, same text."""
    document = {"format": FORMAT, "version": VERSION, **BENCH.write(bench)}
    return json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _check_version(version: object, source: str) -> None:
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        fault = Sentence(
            '"{key}": found {found}, expected {expected}',
            key="version",
            found=repr(version),
            expected=Sentence("a whole number from 1"),
        )
        raise Where(source).problem(fault)
    if version > VERSION:
        raise FileProblem(
            "{file} was written by a newer Taperlab (format {found}; this one reads up to "
            "{known}); open it with that version or a newer one.",
            file=source,
            found=version,
            known=VERSION,
        )


def _not_ours(source: str) -> FileProblem:
    return FileProblem("{file} is not a Taperlab bench.", file=source)
