"""The native bench: a JSON file that a person can read, compare and mend."""

from __future__ import annotations

import json
import math
from collections import Counter
from pathlib import Path
from typing import Any

from taperlab.files import disk
from taperlab.files.codec import BadValue, Where
from taperlab.files.disk import read_bytes
from taperlab.files.problem import FileProblem
from taperlab.files.records import BENCH
from taperlab.model.bench import Bench
from taperlab.units.sentence import Sentence

FORMAT = "taperlab bench"
VERSION = 1
SUFFIX = ".taperlab"

LONGEST_WHOLE_NUMBER = 300
"""Digits."""

DEEPEST = 60
"""Objects and lists inside one another; ours go six deep, the rest is for keys we do not know."""


def read_bench(path: Path) -> Bench:
    """The bench in a native file. Raises FileProblem.

    History of the format, whose number goes up only when an older program would read a file
    wrongly; keys that are merely new do not count, since older programs keep them.

    1. The first. Numbers are in SI units, named at the end of their key (``length_m``). Segments
       run from the fly end; ``joints`` has one fewer than ``segments``, or is left out for a line
       of one extrusion. Empty notes, loops, cores and zero masses are left out. Later came
       ``measurements`` and ``cut_backs``, left out where there are none, and ``loop_ahead`` and
       ``loop_behind`` of a joint. Later still ``rigs``, ``swing``, ``ranges`` and
       ``pieces``, and of stock ``behind``, ``kind`` and what was weighed of it; then
       ``versions``, ``builds`` and ``jobs``. Last, ``weighed`` of a line, ``on_bench`` of a
       cut-back, ``tube`` and ``tubes_stay`` of the rules of pieces, ``sure`` and ``opened`` of a
       piece of a build, and ``rig``, ``rig_before`` and ``rig_after`` of a job.
    """
    return parse_bench(read_bytes(path), str(path))


def write_bench(bench: Bench, path: Path) -> None:
    """Write a native file, all of it or nothing. Raises FileProblem."""
    disk.write_text(path, dumps(bench))


def parse_bench(content: bytes, source: str) -> Bench:
    """The bench in the bytes of a native file; ``source`` names it. Raises FileProblem."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        if not content.lstrip().startswith(b"{"):
            raise _not_ours(source) from None
        row = content.count(b"\n", 0, error.start) + 1
        raise _damaged(source, Sentence("row {row} is not UTF-8 text", row=row)) from None
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
            "“{key}”: found {found}, expected {expected}",
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


# -- JSON, read strictly: what the standard library lets pass is told in a sentence instead ------


def _damaged(source: str, fault: Sentence) -> FileProblem:
    """The problem to raise about a file that was not written so."""
    return FileProblem("{file} is damaged: {fault}.", file=source, fault=fault)


def parse_json(text: str, source: str) -> object:
    """What the text of a JSON file holds. Raises FileProblem for all that JSON should not be."""
    try:
        document = json.loads(
            text.lstrip("\ufeff"),
            parse_constant=_no_constant,
            parse_float=_finite,
            parse_int=_whole,
            object_pairs_hook=_without_doubles,
        )
        # Half of a character pair, written as an escape, is a text that cannot be saved again.
        if "\\ud" in text.lower():
            json.dumps(document, ensure_ascii=False).encode("utf-8")
        if _deeper_than(DEEPEST, document):
            raise RecursionError
    except BadValue as bad:
        raise _damaged(source, bad.sentence) from None
    except json.JSONDecodeError as error:
        fault = Sentence(
            "row {row}, column {column}: {system}",
            row=error.lineno,
            column=error.colno,
            system=error.msg[0].lower() + error.msg[1:],
        )
        raise _damaged(source, fault) from None
    except UnicodeEncodeError:
        raise _damaged(source, Sentence("it holds half a character")) from None
    except RecursionError:
        raise _damaged(source, Sentence("its brackets are nested too deep")) from None
    return document


def _no_constant(word: str) -> float:
    raise BadValue("found {found}, expected a number", found=word)


def _finite(digits: str) -> float:
    value = float(digits)
    if not math.isfinite(value):
        raise BadValue("found {found}, too large for a number", found=digits)
    return value


def _whole(digits: str) -> int:
    if len(digits) > LONGEST_WHOLE_NUMBER:
        raise BadValue("found a number of {count} digits", count=len(digits))
    return int(digits)


def _without_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        double = next(key for key, often in Counter(key for key, _ in pairs).items() if often > 1)
        raise BadValue("the key “{key}” stands twice in one object", key=double)
    return found


def _deeper_than(levels: int, value: object) -> bool:
    if not isinstance(value, dict | list):
        return False
    inside = value.values() if isinstance(value, dict) else value
    return levels == 0 or any(_deeper_than(levels - 1, each) for each in inside)
