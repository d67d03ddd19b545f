"""The native bench: a JSON file that a person can read, compare and mend."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

from taperlab.files import atomic
from taperlab.files.codec import (
    NOT_NEGATIVE,
    POSITIVE,
    TEXT,
    YES_OR_NO,
    Entry,
    Record,
    Where,
    between,
    choice,
    many,
    many_texts,
    one,
    optional,
)
from taperlab.files.problem import FileProblem
from taperlab.files.reading import read_bytes
from taperlab.model.bench import Bench, View
from taperlab.model.line import (
    NO_LOOP,
    ONE_EXTRUSION,
    Joint,
    JointKind,
    Line,
    Loop,
    LoopKind,
    Style,
)
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Core, Part, Segment
from taperlab.model.stock import Stock
from taperlab.model.water import COLDEST, SALTIEST, WARMEST, Water, WaterKind

__all__ = [
    "FORMAT",
    "SUFFIX",
    "VERSION",
    "FileProblem",
    "dumps",
    "loads",
    "read_bench",
    "write_bench",
]

FORMAT = "taperlab bench"
VERSION = 1
SUFFIX = ".taperlab"
LONGEST_WHOLE_NUMBER = 300
"""Digits."""

DEEPEST = 60
"""Objects and lists inside one another; ours go six deep, the rest is for keys we do not know."""


def _blank(value: object) -> bool:
    return value is None or value == "" or value == 0.0


def _text(attribute: str) -> Entry:
    """A text that may be left out."""
    return Entry(attribute, attribute, TEXT, str, _blank)


KEY = Entry("key", "key", TEXT)
NAME = Entry("name", "name", TEXT)
PART = Entry("part", "part", choice(Part))
NOTE = _text("note")

CORE = Record(
    "core",
    Core,
    (Entry("diameter", "diameter_m", POSITIVE), Entry("density", "density_kg_m3", POSITIVE)),
)
ROUND_SECTION = (
    Entry("length", "length_m", POSITIVE),
    Entry("front_diameter", "front_diameter_m", POSITIVE),
    Entry("rear_diameter", "rear_diameter_m", POSITIVE),
    Entry("density", "density_kg_m3", POSITIVE),
    Entry("core", "core", optional(one(CORE)), lambda: None, _blank),
)
SEGMENT = Record("segment", Segment, (PART, *ROUND_SECTION, NOTE))
JOINT = Record(
    "joint",
    Joint,
    (
        Entry("kind", "kind", choice(JointKind)),
        Entry("overlap", "overlap_m", NOT_NEGATIVE, float, _blank),
        Entry("mass", "mass_kg", NOT_NEGATIVE, float, _blank),
    ),
)


def _loop(noun: str) -> Record:
    return Record(
        noun,
        Loop,
        (
            Entry("kind", "kind", choice(LoopKind)),
            Entry("fold", "fold_m", NOT_NEGATIVE, float, _blank),
            Entry("mass", "mass_kg", NOT_NEGATIVE, float, _blank),
        ),
    )


def _loop_entry(attribute: str) -> Entry:
    loop = one(_loop(attribute.replace("_", " ")))
    return Entry(attribute, attribute, loop, lambda: NO_LOOP, lambda held: held == NO_LOOP)


def _make_line(
    *, segments: tuple[Segment, ...], joints: tuple[Joint, ...] | None, **rest: Any
) -> Line:
    if joints is None:
        joints = (ONE_EXTRUSION,) * max(0, len(segments) - 1)
    return Line(segments=segments, joints=joints, **rest)


LINE = Record(
    "line",
    _make_line,
    (
        KEY,
        NAME,
        Entry("style", "style", choice(Style)),
        NOTE,
        _loop_entry("front_loop"),
        Entry("segments", "segments", many(SEGMENT)),
        # A line of one extrusion has no joints to speak of.
        Entry(
            "joints",
            "joints",
            many(JOINT),
            lambda: None,
            lambda joints: all(joint == ONE_EXTRUSION for joint in joints),
        ),
        _loop_entry("rear_loop"),
    ),
)
WINDOW = Record(
    "window",
    Window,
    (
        Entry("style", "style", choice(Style)),
        Entry("lightest", "lightest_kg", POSITIVE),
        Entry("heaviest", "heaviest_kg", POSITIVE),
        _text("source"),
    ),
)
ROD = Record(
    "rod",
    Rod,
    (
        KEY,
        NAME,
        Entry("length", "length_m", POSITIVE),
        Entry("two_handed", "two_handed", YES_OR_NO),
        _text("line_class"),
        Entry("windows", "windows", many(WINDOW)),
        NOTE,
    ),
)
STOCK = Record("stock", Stock, (KEY, NAME, PART, *ROUND_SECTION, NOTE))
WATER = Record(
    "water",
    Water,
    (
        Entry("kind", "kind", choice(WaterKind)),
        Entry("temperature", "temperature_K", between(COLDEST, WARMEST)),
        Entry("salinity", "salinity_kg_kg", between(0.0, SALTIEST)),
    ),
)
VIEW = Record(
    "view",
    View,
    (
        Entry("line", "line", optional(TEXT)),
        Entry("overlays", "overlays", many_texts()),
        Entry("page", "page", TEXT),
    ),
)
BENCH = Record(
    "bench",
    Bench,
    (
        NOTE,
        Entry("water", "water", one(WATER), Water),
        Entry("rod", "rod", optional(TEXT), lambda: None),
        Entry("view", "view", one(VIEW), View),
        Entry("lines", "lines", many(LINE)),
        Entry("rods", "rods", many(ROD), tuple),
        Entry("stock", "stock", many(STOCK), tuple),
    ),
)


def read_bench(path: Path) -> Bench:
    """The bench in a native file. Raises FileProblem.

    History of the format, whose number goes up only when an older program would read a file
    wrongly; keys that are merely new do not count, since older programs keep them.

    1. The first. Numbers are in SI units, named at the end of their key (``length_m``). Segments
       run from the fly end; ``joints`` has one fewer than ``segments``, or is left out for a line
       of one extrusion. Empty notes, loops, cores and zero masses are left out.
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
        if content.lstrip().startswith(b"{"):
            row = content.count(b"\n", 0, error.start) + 1
            raise FileProblem(f"{source} is damaged: row {row} is not UTF-8 text.") from None
        raise _not_ours(source) from None
    return loads(text, source)


def loads(text: str, source: str) -> Bench:
    """The bench in the text of a native file; ``source`` names it. Raises FileProblem."""
    if not text.strip():
        raise FileProblem(f"{source} is empty; expected a Taperlab bench.")
    if not text.lstrip("\ufeff \t\r\n").startswith("{"):
        raise _not_ours(source)
    document = _parse_json(text, source)
    if document.get("format") != FORMAT:
        raise _not_ours(source)
    version = document.get("version")
    where = Where(source)
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise where.problem(f'"version": found {version!r}, expected a whole number from 1')
    if version > VERSION:
        raise FileProblem(
            f"{source} was written by a newer Taperlab (format {version}; this one reads up to "
            f"{VERSION}); open it with that version or a newer one."
        )
    del document["format"], document["version"]
    bench: Bench = BENCH.read(document, where)
    return bench


def dumps(bench: Bench) -> str:
    """The text of a native file: same bench, same text."""
    document = {"format": FORMAT, "version": VERSION, **BENCH.write(bench)}
    return json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _not_ours(source: str) -> FileProblem:
    return FileProblem(f"{source} is not a Taperlab bench.")


def _parse_json(text: str, source: str) -> dict[str, Any]:
    def refuse_constant(word: str) -> float:
        raise FileProblem(f"{source} is damaged: found {word}, expected a number.")

    def finite(digits: str) -> float:
        value = float(digits)
        if not math.isfinite(value):
            raise FileProblem(f"{source} is damaged: found {digits}, too large for a number.")
        return value

    def whole(digits: str) -> int:
        if len(digits) > LONGEST_WHOLE_NUMBER:
            raise FileProblem(f"{source} is damaged: found a number of {len(digits)} digits.")
        return int(digits)

    def without_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        found = dict(pairs)
        if len(found) != len(pairs):
            keys = [key for key, _ in pairs]
            double = next(key for key in keys if keys.count(key) > 1)
            raise FileProblem(
                f'{source} is damaged: the key "{double}" stands twice in one object.'
            )
        return found

    try:
        document = json.loads(
            text.lstrip("\ufeff"),
            parse_constant=refuse_constant,
            parse_float=finite,
            parse_int=whole,
            object_pairs_hook=without_doubles,
        )
        # Half of a character pair, written as an escape, is a text that cannot be saved again.
        if "\\ud" in text.lower():
            json.dumps(document, ensure_ascii=False).encode("utf-8")
        if _deeper_than(DEEPEST, document):
            raise RecursionError
    except json.JSONDecodeError as error:
        raise FileProblem(
            f"{source} is damaged: row {error.lineno}, column {error.colno}: "
            f"{error.msg[0].lower()}{error.msg[1:]}."
        ) from None
    except UnicodeEncodeError:
        raise FileProblem(f"{source} is damaged: it holds half a character.") from None
    except RecursionError:
        raise FileProblem(f"{source} is damaged: its brackets are nested too deep.") from None
    if not isinstance(document, dict):
        raise _not_ours(source)
    return document


def _deeper_than(levels: int, value: object) -> bool:
    if not isinstance(value, dict | list):
        return False
    inside = value.values() if isinstance(value, dict) else value
    return levels == 0 or any(_deeper_than(levels - 1, each) for each in inside)
