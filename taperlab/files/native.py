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
    several,
)
from taperlab.files.problem import FileProblem
from taperlab.files.reading import read_bytes
from taperlab.model.bench import Bench, View
from taperlab.model.cut_log import (
    CutBack,
    CutEnd,
    CutStep,
    Limits,
    NewLoop,
    Target,
    TargetKind,
)
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
from taperlab.model.measurement import Instruments, Measurement, Station, WeighedSection
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Core, Part, Segment
from taperlab.model.stock import Stock
from taperlab.model.water import COLDEST, SALTIEST, WARMEST, Water, WaterKind
from taperlab.units.sentence import verbatim

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


def _empty(value: tuple[object, ...]) -> bool:
    return not value


def _missing(value: object) -> bool:
    return value is None


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


def _make_joint(*, kind: JointKind, loop_ahead: Loop, loop_behind: Loop, **rest: Any) -> Joint:
    if kind is not JointKind.LOOP_TO_LOOP:
        # An older program keeps loops that it does not know when it makes another kind of joint.
        loop_ahead = loop_behind = NO_LOOP
    return Joint(kind, loop_ahead=loop_ahead, loop_behind=loop_behind, **rest)


JOINT = Record(
    "joint",
    _make_joint,
    (
        Entry("kind", "kind", choice(JointKind)),
        Entry("overlap", "overlap_m", NOT_NEGATIVE, float, _blank),
        Entry("mass", "mass_kg", NOT_NEGATIVE, float, _blank),
        _loop_entry("loop_ahead"),
        _loop_entry("loop_behind"),
    ),
)


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
INSTRUMENTS = Record(
    "instruments",
    Instruments,
    (
        Entry("scale", "scale_kg", POSITIVE),
        Entry("tape", "tape_m", POSITIVE),
        Entry("micrometer", "micrometer_m", POSITIVE),
        Entry("scatter", "scatter_m", NOT_NEGATIVE, float, _blank),
    ),
)
STATION = Record(
    "station",
    Station,
    (
        Entry("distance", "distance_m", NOT_NEGATIVE),
        Entry("readings", "readings_m", several(POSITIVE, "a list of diameters")),
    ),
)
SECTION = Record(
    "weighed section",
    WeighedSection,
    (
        Entry("front", "front_m", NOT_NEGATIVE),
        Entry("rear", "rear_m", POSITIVE),
        Entry("mass", "mass_kg", POSITIVE),
    ),
)
BREAKPOINTS = several(POSITIVE, "a list of distances")
MEASUREMENT = Record(
    "measurement",
    Measurement,
    (
        KEY,
        NAME,
        Entry("line", "line", optional(TEXT), lambda: None, _missing),
        NOTE,
        Entry("length", "length_m", POSITIVE),
        Entry("instruments", "instruments", one(INSTRUMENTS)),
        _loop_entry("front_loop"),
        _loop_entry("rear_loop"),
        Entry("stations", "stations", many(STATION), tuple, _empty),
        Entry("sections", "sections", many(SECTION), tuple, _empty),
        Entry("breakpoints", "breakpoints_m", BREAKPOINTS, tuple, _empty),
        Entry("only_fixed", "only_fixed", YES_OR_NO, bool, lambda only: not only),
        Entry("parts", "parts", several(choice(Part), "a list of parts"), tuple, _empty),
    ),
)
TARGET = Record(
    "target",
    Target,
    (
        Entry("kind", "kind", choice(TargetKind)),
        # In the unit of its kind: kg, m, or a plain number.
        Entry("value", "value", NOT_NEGATIVE),
        _text("group"),
    ),
)
LIMITS = Record(
    "limits",
    Limits,
    (
        Entry("shortest", "shortest_m", NOT_NEGATIVE, float, _blank),
        Entry("largest_step", "largest_step", POSITIVE, lambda: math.inf, math.isinf),
        Entry(
            "tip_linear_density",
            "tip_linear_density_kg_m",
            optional(POSITIVE),
            lambda: None,
            _missing,
        ),
        Entry("keep_front_taper", "keep_front_taper", YES_OR_NO, bool, lambda keep: not keep),
    ),
)
CUT_STEP = Record(
    "step",
    CutStep,
    (
        Entry("front", "front_m", NOT_NEGATIVE, float, _blank),
        Entry("rear", "rear_m", NOT_NEGATIVE, float, _blank),
        Entry("head", "head_kg", optional(POSITIVE), lambda: None, _missing),
        Entry("offcut", "offcut_kg", optional(NOT_NEGATIVE), lambda: None, _missing),
        NOTE,
    ),
)


def _new_loop_entry(attribute: str) -> Entry:
    entries = (
        Entry("fold", "fold_m", NOT_NEGATIVE, float, _blank),
        Entry("mass", "mass_kg", NOT_NEGATIVE, float, _blank),
    )
    loop = one(Record(attribute.replace("_", " "), NewLoop, entries))
    return Entry(attribute, attribute, loop, NewLoop, lambda held: held == NewLoop())


CUT_BACK = Record(
    "cut-back",
    CutBack,
    (
        KEY,
        Entry("line", "line", TEXT),
        NOTE,
        Entry("target", "target", one(TARGET)),
        Entry("instruments", "instruments", one(INSTRUMENTS)),
        Entry("end", "end", choice(CutEnd)),
        Entry("front_share", "front_share", between(0.0, 1.0)),
        _new_loop_entry("front_loop"),
        _new_loop_entry("rear_loop"),
        Entry("limits", "limits", one(LIMITS), Limits, lambda held: held == Limits()),
        Entry("first_reading", "first_reading_kg", optional(POSITIVE), lambda: None, _missing),
        Entry("steps", "steps", many(CUT_STEP), tuple, _empty),
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
        Entry("measurements", "measurements", many(MEASUREMENT), tuple, _empty),
        Entry("cut_backs", "cut_backs", many(CUT_BACK), tuple, _empty),
    ),
)


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
        if content.lstrip().startswith(b"{"):
            row = content.count(b"\n", 0, error.start) + 1
            raise FileProblem(
                verbatim(f"{source} is damaged: row {row} is not UTF-8 text.")
            ) from None
        raise _not_ours(source) from None
    return loads(text, source)


def loads(text: str, source: str) -> Bench:
    """The bench in the text of a native file; ``source`` names it. Raises FileProblem."""
    if not text.strip():
        raise FileProblem(verbatim(f"{source} is empty; expected a Taperlab bench."))
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
            verbatim(
                f"{source} was written by a newer Taperlab (format {version}; this one reads up to "
                f"{VERSION}); open it with that version or a newer one."
            )
        )
    del document["format"], document["version"]
    bench: Bench = BENCH.read(document, where)
    return bench


def dumps(bench: Bench) -> str:
    """The text of a native file: same bench, same text."""
    document = {"format": FORMAT, "version": VERSION, **BENCH.write(bench)}
    return json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _not_ours(source: str) -> FileProblem:
    return FileProblem(verbatim(f"{source} is not a Taperlab bench."))


def _parse_json(text: str, source: str) -> dict[str, Any]:
    def refuse_constant(word: str) -> float:
        raise FileProblem(verbatim(f"{source} is damaged: found {word}, expected a number."))

    def finite(digits: str) -> float:
        value = float(digits)
        if not math.isfinite(value):
            raise FileProblem(
                verbatim(f"{source} is damaged: found {digits}, too large for a number.")
            )
        return value

    def whole(digits: str) -> int:
        if len(digits) > LONGEST_WHOLE_NUMBER:
            raise FileProblem(
                verbatim(f"{source} is damaged: found a number of {len(digits)} digits.")
            )
        return int(digits)

    def without_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        found = dict(pairs)
        if len(found) != len(pairs):
            keys = [key for key, _ in pairs]
            double = next(key for key in keys if keys.count(key) > 1)
            raise FileProblem(
                verbatim(f'{source} is damaged: the key "{double}" stands twice in one object.')
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
            verbatim(
                f"{source} is damaged: row {error.lineno}, column {error.colno}: "
                f"{error.msg[0].lower()}{error.msg[1:]}."
            )
        ) from None
    except UnicodeEncodeError:
        raise FileProblem(verbatim(f"{source} is damaged: it holds half a character.")) from None
    except RecursionError:
        raise FileProblem(
            verbatim(f"{source} is damaged: its brackets are nested too deep.")
        ) from None
    if not isinstance(document, dict):
        raise _not_ours(source)
    return document


def _deeper_than(levels: int, value: object) -> bool:
    if not isinstance(value, dict | list):
        return False
    inside = value.values() if isinstance(value, dict) else value
    return levels == 0 or any(_deeper_than(levels - 1, each) for each in inside)
