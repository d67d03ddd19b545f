"""What a bench is in a file: a record for each dataclass, with its keys in the file's order."""

from __future__ import annotations

from dataclasses import MISSING, fields
from typing import Any

from taperlab.files.codec import (
    TEXT,
    TEXTS,
    YES_OR_NO,
    BadValue,
    Entry,
    Record,
    Value,
    choice,
    limited,
    many,
    number,
    one,
    optional,
    several,
)
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
from taperlab.model.water import Water, WaterKind
from taperlab.units.language import later
from taperlab.units.limits import LIMITS
from taperlab.units.sentence import Sentence
from taperlab.units.vocabulary import Dimension

LARGEST_TARGET = 1000.0
"""What a cut-back aims at is below it, whether it is a weight, a length, a size or a ratio."""


def _blank(value: object) -> bool:
    return value is None or value in ("", 0.0, ())


def _text(attribute: str) -> Entry:
    """A text that may be left out."""
    return Entry(attribute, attribute, TEXT, str, _blank)


_UNIT_IN_KEY = {
    Dimension.LENGTH: "_m",
    Dimension.WEIGHT: "_kg",
    Dimension.DENSITY: "_kg_m3",
    Dimension.WEIGHT_PER_LENGTH: "_kg_m",
    Dimension.RATIO: "",
}


def _number(of: type, attribute: str) -> Entry:
    """A number with limits; one that has a default in the model is left out where it is that."""
    limits = LIMITS[of][attribute]
    key = attribute + _UNIT_IN_KEY[limits.kind.dimension]
    default = next(field.default for field in fields(of) if field.name == attribute)
    if default is MISSING:
        return Entry(attribute, key, limited(limits))
    value = optional(limited(limits)) if default is None else limited(limits)
    return Entry(attribute, key, value, lambda: default, lambda held: bool(held == default))


def _numbers(of: type) -> tuple[Entry, ...]:
    """All numbers with limits of a dataclass, in order."""
    return tuple(_number(of, attribute) for attribute in LIMITS[of])


def _list(attribute: str, value: Value, key: str = "") -> Entry:
    """A list that is left out where it is empty."""
    return Entry(attribute, key or attribute, value, tuple, _blank)


KEY = Entry("key", "key", TEXT)
NAME = Entry("name", "name", TEXT)
PART = Entry("part", "part", choice(Part))
STYLE = Entry("style", "style", choice(Style))
NOTE = _text("note")
LINE_KEY = Entry("line", "line", optional(TEXT), lambda: None, lambda held: held is None)

CORE = Record(later("core"), Core, _numbers(Core))
ROUND_SECTION = (
    *_numbers(Segment),
    Entry("core", "core", optional(one(CORE)), lambda: None, _blank),
)
SEGMENT = Record(later("segment"), Segment, (PART, *ROUND_SECTION, NOTE))


def _loop(attribute: str, noun: str) -> Entry:
    """A loop of a line; none is left out."""
    loop = one(Record(noun, Loop, (Entry("kind", "kind", choice(LoopKind)), *_numbers(Loop))))
    return Entry(attribute, attribute, loop, lambda: NO_LOOP, lambda held: held == NO_LOOP)


def _new_loop(attribute: str, noun: str) -> Entry:
    """A loop that a cut-back makes anew; one that takes nothing is left out."""
    loop = one(Record(noun, NewLoop, _numbers(NewLoop)))
    return Entry(attribute, attribute, loop, NewLoop, lambda held: held == NewLoop())


def _make_joint(*, kind: JointKind, loop_ahead: Loop, loop_behind: Loop, **rest: Any) -> Joint:
    if kind is not JointKind.LOOP_TO_LOOP:
        # An older program keeps loops that it does not know when it makes another kind of joint.
        loop_ahead = loop_behind = NO_LOOP
    return Joint(kind, loop_ahead=loop_ahead, loop_behind=loop_behind, **rest)


JOINT = Record(
    later("joint"),
    _make_joint,
    (
        Entry("kind", "kind", choice(JointKind)),
        *_numbers(Joint),
        _loop("loop_ahead", later("loop ahead")),
        _loop("loop_behind", later("loop behind")),
    ),
)
FRONT_LOOP = _loop("front_loop", later("front loop"))
REAR_LOOP = _loop("rear_loop", later("rear loop"))


def _make_line(
    *, segments: tuple[Segment, ...], joints: tuple[Joint, ...] | None, **rest: Any
) -> Line:
    needed = max(0, len(segments) - 1)
    if joints is None:
        joints = (ONE_EXTRUSION,) * needed
    if len(joints) != needed:
        raise BadValue(
            "the number of joints must be {needed}, one fewer than the segments, not {found}",
            needed=needed,
            found=len(joints),
        )
    return Line(segments=segments, joints=joints, **rest)


LINE = Record(
    later("line"),
    _make_line,
    (
        KEY,
        NAME,
        STYLE,
        NOTE,
        FRONT_LOOP,
        Entry("segments", "segments", many(SEGMENT)),
        # A line of one extrusion has no joints to speak of.
        Entry(
            "joints",
            "joints",
            many(JOINT),
            lambda: None,
            lambda joints: all(joint == ONE_EXTRUSION for joint in joints),
        ),
        REAR_LOOP,
    ),
)
WINDOW = Record(later("window"), Window, (STYLE, *_numbers(Window), _text("source")))
ROD = Record(
    later("rod"),
    Rod,
    (
        KEY,
        NAME,
        *_numbers(Rod),
        Entry("two_handed", "two_handed", YES_OR_NO),
        _text("line_class"),
        Entry("windows", "windows", many(WINDOW)),
        NOTE,
    ),
)
STOCK = Record(later("stock"), Stock, (KEY, NAME, PART, *ROUND_SECTION, NOTE))
WATER = Record(
    later("water"),
    Water,
    (
        Entry("kind", "kind", choice(WaterKind)),
        Entry("temperature", "temperature_K", limited(LIMITS[Water]["temperature"])),
        Entry("salinity", "salinity_kg_kg", limited(LIMITS[Water]["salinity"])),
    ),
)
VIEW = Record(
    later("view"),
    View,
    (
        Entry("line", "line", optional(TEXT)),
        Entry("overlays", "overlays", TEXTS),
        Entry("page", "page", TEXT),
    ),
)
INSTRUMENTS = Record(later("instruments"), Instruments, _numbers(Instruments))
READINGS = several(limited(LIMITS[Station]["readings"]), Sentence("a list of diameters"))
STATION = Record(
    later("station"),
    Station,
    (_number(Station, "distance"), Entry("readings", "readings_m", READINGS)),
)
SECTION = Record(later("weighed section"), WeighedSection, _numbers(WeighedSection))
BREAKPOINTS = several(limited(LIMITS[Measurement]["breakpoints"]), Sentence("a list of distances"))
MEASUREMENT = Record(
    later("measurement"),
    Measurement,
    (
        KEY,
        NAME,
        LINE_KEY,
        NOTE,
        _number(Measurement, "length"),
        Entry("instruments", "instruments", one(INSTRUMENTS)),
        FRONT_LOOP,
        REAR_LOOP,
        _list("stations", many(STATION)),
        _list("sections", many(SECTION)),
        _list("breakpoints", BREAKPOINTS, "breakpoints_m"),
        Entry("only_fixed", "only_fixed", YES_OR_NO, bool, lambda only: not only),
        _list("parts", several(choice(Part), Sentence("a list of parts"))),
    ),
)
TARGET = Record(
    later("target"),
    Target,
    (
        Entry("kind", "kind", choice(TargetKind)),
        # In the unit of its kind: kg, m, or a plain number.
        Entry("value", "value", number(0.0, LARGEST_TARGET)),
        _text("group"),
    ),
)
LIMITS_OF_CUT = Record(
    later("limits"),
    Limits,
    (
        *_numbers(Limits),
        Entry("keep_front_taper", "keep_front_taper", YES_OR_NO, bool, lambda keep: not keep),
    ),
)
CUT_STEP = Record(later("step"), CutStep, (*_numbers(CutStep), NOTE))
CUT_BACK = Record(
    later("cut-back"),
    CutBack,
    (
        KEY,
        Entry("line", "line", TEXT),
        NOTE,
        Entry("target", "target", one(TARGET)),
        Entry("instruments", "instruments", one(INSTRUMENTS)),
        Entry("end", "end", choice(CutEnd)),
        Entry("front_share", "front_share", limited(LIMITS[CutBack]["front_share"])),
        _new_loop("front_loop", later("front loop")),
        _new_loop("rear_loop", later("rear loop")),
        Entry("limits", "limits", one(LIMITS_OF_CUT), Limits, lambda held: held == Limits()),
        _number(CutBack, "first_reading"),
        _list("steps", many(CUT_STEP)),
    ),
)
BENCH = Record(
    later("bench"),
    Bench,
    (
        NOTE,
        Entry("water", "water", one(WATER), Water),
        Entry("rod", "rod", optional(TEXT), lambda: None),
        Entry("view", "view", one(VIEW), View),
        Entry("lines", "lines", many(LINE)),
        Entry("rods", "rods", many(ROD), tuple),
        Entry("stock", "stock", many(STOCK), tuple),
        _list("measurements", many(MEASUREMENT)),
        _list("cut_backs", many(CUT_BACK)),
    ),
)
