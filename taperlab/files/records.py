"""What a bench is in a file: a record for each dataclass, with its keys in the file's order."""

from __future__ import annotations

from dataclasses import MISSING, fields
from typing import Any

from taperlab.files.codec import (
    DAY,
    NEEDED,
    TEXT,
    TEXTS,
    YES_OR_NO,
    BadValue,
    Entry,
    Record,
    choice,
    limited,
    many,
    never,
    number,
    one,
    optional,
    several,
    whole,
)
from taperlab.model.aim import NO_AIM, Aim, Cell, Goal, GoalKind, Hold
from taperlab.model.bench import Bench, View
from taperlab.model.build import BuildPiece, HeadBuild, JointMade
from taperlab.model.casting import STEEPEST_LAUNCH, STEEPEST_LEAN, Cast, LoopBehind, Throw
from taperlab.model.cut_log import (
    CutBack,
    CutEnd,
    CutStep,
    Limits,
    NewLoop,
    Target,
    TargetKind,
)
from taperlab.model.job import Job, JobState
from taperlab.model.line import (
    NO_LOOP,
    ONE_EXTRUSION,
    Joint,
    JointKind,
    Line,
    Loop,
    LoopKind,
    OnScale,
    Style,
)
from taperlab.model.measurement import Instruments, Material, Measurement, Station, WeighedSection
from taperlab.model.pieces import Making, Rules, Wanted
from taperlab.model.range import LengthRule, Member, Range, ThicknessRule
from taperlab.model.rig import Fly, FlyKind, Leader, Rig
from taperlab.model.rod import Measured, Rod, Window
from taperlab.model.segment import Core, Part, Segment
from taperlab.model.stock import Stock
from taperlab.model.swing import STEEPEST, Swing
from taperlab.model.tolerance import AS_READ, Tolerance
from taperlab.model.version import Version
from taperlab.model.water import Water, WaterKind
from taperlab.model.which_head import Answers, Breadth, Casting, Stripping, Thrown, Wading
from taperlab.units.kinds import DENSITY
from taperlab.units.language import later
from taperlab.units.limits import (
    LIMITS,
    MOST_BUILDS,
    MOST_HEADS,
    MOST_JOBS,
    MOST_MEMBERS,
    MOST_PHOTOGRAPHS,
    MOST_SEGMENTS,
    MOST_STATIONS,
    MOST_VERSIONS,
    outside,
)
from taperlab.units.sentence import Sentence
from taperlab.units.vocabulary import Dimension

LARGEST_TARGET = 1000.0
"""What a cut-back aims at is below it, whether it is a weight, a length, a size or a ratio."""

MOST_COPIES = 1_000_000
"""Of one design, counted over the life of a bench."""

LARGEST_GOAL = 1000.0
"""No goal of any kind lies beyond it [SI]."""


_UNIT_IN_KEY = {
    Dimension.LENGTH: "_m",
    Dimension.WEIGHT: "_kg",
    Dimension.DENSITY: "_kg_m3",
    Dimension.WEIGHT_PER_LENGTH: "_kg_m",
    Dimension.RATIO: "",
    Dimension.SPEED: "_m_s",
    Dimension.TIME: "_s",
    Dimension.AREA: "_m2",
}


def _number(of: type, attribute: str) -> Entry:
    """A number with limits; one that has a default in the model is left out where it is that."""
    limits = LIMITS[of][attribute]
    key = attribute + _UNIT_IN_KEY[limits.kind.dimension]
    default = next(field.default for field in fields(of) if field.name == attribute)
    value = optional(limited(limits)) if default is None else limited(limits)
    return Entry(attribute, value, NEEDED if default is MISSING else default, key)


def _numbers(of: type) -> tuple[Entry, ...]:
    """All numbers with limits of a dataclass, in order."""
    return tuple(_number(of, attribute) for attribute in LIMITS[of])


KEY = Entry("key", TEXT)
NAME = Entry("name", TEXT)
PART = Entry("part", choice(Part))
STYLE = Entry("style", choice(Style))
NOTE = Entry("note", TEXT, "")
LINE_KEY = Entry("line", optional(TEXT), None)

CORE = Record(later("core"), Core, _numbers(Core))
ROUND_SECTION = (
    *_numbers(Segment),
    Entry("core", optional(one(CORE)), None),
)
HOLD = Record(
    later("hold"),
    Hold,
    (
        Entry("cell", choice(Cell)),
        Entry("locked", YES_OR_NO, False),
        # In the unit of the cell: m or kg/m^3.
        Entry("low", optional(number(0.0, DENSITY.highest)), None),
        Entry("high", optional(number(0.0, DENSITY.highest)), None),
        Entry("tie", TEXT, ""),
    ),
)
SEGMENT = Record(
    later("segment"),
    Segment,
    (PART, *ROUND_SECTION, NOTE, Entry("holds", many(HOLD), ()), Entry("stock", TEXT, "")),
)


def _make_goal(**values: Any) -> Goal:
    goal = Goal(**values)
    if found := outside(goal):
        limited_by, value = found
        raise BadValue(
            "found {found} for {what}, expected a number from {lowest} to {highest}",
            found=f"{value:g}",
            what=str(goal.kind),
            lowest=f"{limited_by.kind.lowest:g}",
            highest=f"{limited_by.kind.highest:g}",
        )
    return goal


GOAL = Record(
    later("goal"),
    _make_goal,
    (
        Entry("kind", choice(GoalKind)),
        # In the unit of its kind: kg, m, kg/m, m/s, or a plain number.
        Entry("low", number(-LARGEST_GOAL, LARGEST_GOAL), 0.0, omit=never),
        Entry("high", number(-LARGEST_GOAL, LARGEST_GOAL), 0.0, omit=never),
        Entry("at", optional(number(0.0, LARGEST_GOAL)), None, "at_m"),
        LINE_KEY,
    ),
)
AIM = Record(
    later("aim"),
    Aim,
    (
        Entry("goals", many(GOAL), ()),
        Entry("lengths", YES_OR_NO, True),
        Entry("diameters", YES_OR_NO, True),
        Entry("density", YES_OR_NO, False),
    ),
)


def _loop_record(noun: str) -> Record:
    return Record(noun, Loop, (Entry("kind", choice(LoopKind)), *_numbers(Loop)))


LOOP = _loop_record(later("loop"))


def _loop(attribute: str, noun: str) -> Entry:
    """A loop of a line; none is left out."""
    return Entry(attribute, one(_loop_record(noun)), NO_LOOP)


def _new_loop(attribute: str, noun: str) -> Entry:
    """A loop that a cut-back makes anew; one that takes nothing is left out."""
    return Entry(attribute, one(Record(noun, NewLoop, _numbers(NewLoop))), NewLoop())


def _make_joint(*, kind: JointKind, loop_ahead: Loop, loop_behind: Loop, **rest: Any) -> Joint:
    if kind is not JointKind.LOOP_TO_LOOP:
        # An older program keeps loops that it does not know when it makes another kind of joint.
        loop_ahead = loop_behind = NO_LOOP
    return Joint(kind, loop_ahead=loop_ahead, loop_behind=loop_behind, **rest)


JOINT = Record(
    later("joint"),
    _make_joint,
    (
        Entry("kind", choice(JointKind)),
        *_numbers(Joint),
        _loop("loop_ahead", later("loop ahead")),
        _loop("loop_behind", later("loop behind")),
    ),
)
FRONT_LOOP = _loop("front_loop", later("fly-end loop"))
REAR_LOOP = _loop("rear_loop", later("rod-end loop"))


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


TOLERANCE = Record(later("tolerances"), Tolerance, _numbers(Tolerance))
ON_SCALE = Record(later("weighing"), OnScale, _numbers(OnScale))
LINE = Record(
    later("line"),
    _make_line,
    (
        KEY,
        NAME,
        STYLE,
        NOTE,
        FRONT_LOOP,
        Entry("segments", many(SEGMENT, MOST_SEGMENTS, later("segments"))),
        # A line of one extrusion has no joints to speak of.
        Entry("joints", many(JOINT), None, omit=lambda joints: set(joints) <= {ONE_EXTRUSION}),
        REAR_LOOP,
        Entry("tolerance", one(TOLERANCE), AS_READ),
        Entry("aim", one(AIM), NO_AIM),
        Entry("weighed", one(ON_SCALE), None),
    ),
)
WINDOW = Record(
    later("grain window"),
    Window,
    (
        STYLE,
        *_numbers(Window),
        Entry("source", TEXT, ""),
        Entry("measured_on", choice(Measured), Measured.HEAD),
    ),
)
ROD = Record(
    later("rod"),
    Rod,
    (
        KEY,
        NAME,
        *_numbers(Rod),
        Entry("two_handed", YES_OR_NO),
        Entry("line_class", TEXT, ""),
        Entry("windows", many(WINDOW)),
        NOTE,
    ),
)
STOCK = Record(
    later("stock"),
    Stock,
    (
        KEY,
        NAME,
        PART,
        *ROUND_SECTION,
        Entry("behind", many(SEGMENT, MOST_SEGMENTS, later("segments")), ()),
        Entry("kind", TEXT, ""),
        Entry("coating", TEXT, ""),
        _number(Stock, "labelled"),
        Entry("mass_error", optional(limited(LIMITS[Stock]["mass_error"])), None),
        Entry("leftover", YES_OR_NO, False),
        Entry("place", TEXT, ""),
        _number(Stock, "cost"),
        NOTE,
    ),
)
WATER = Record(
    later("water"),
    Water,
    (
        Entry("kind", choice(WaterKind)),
        Entry("temperature", limited(LIMITS[Water]["temperature"]), key="temperature_K"),
        Entry("salinity", limited(LIMITS[Water]["salinity"]), key="salinity_kg_kg"),
    ),
)
VIEW = Record(
    later("view"),
    View,
    (
        Entry("line", optional(TEXT)),
        Entry("overlays", TEXTS),
        Entry("page", TEXT),
        Entry("rig", optional(TEXT), None),
        Entry("rig_overlays", TEXTS, ()),
        Entry("version_overlays", TEXTS, ()),
    ),
)
INSTRUMENTS = Record(later("instruments"), Instruments, _numbers(Instruments))
READINGS = several(limited(LIMITS[Station]["readings"]), Sentence("a list of diameters"))
STATION = Record(
    later("station"),
    Station,
    (_number(Station, "distance"), Entry("readings", READINGS, key="readings_m")),
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
        Entry("instruments", one(INSTRUMENTS)),
        FRONT_LOOP,
        REAR_LOOP,
        Entry("material", choice(Material), Material.NOT_SAID),
        Entry("stations", many(STATION, MOST_STATIONS, later("stations")), ()),
        Entry("sections", many(SECTION), ()),
        Entry("breakpoints", BREAKPOINTS, (), "breakpoints_m"),
        Entry("only_fixed", YES_OR_NO, False),
        Entry("parts", several(choice(Part), Sentence("a list of parts")), ()),
    ),
)
TARGET = Record(
    later("target"),
    Target,
    (
        Entry("kind", choice(TargetKind)),
        # In the unit of its kind: kg, m, or a plain number.
        Entry("value", number(0.0, LARGEST_TARGET)),
        Entry("group", TEXT, ""),
    ),
)
LIMITS_OF_CUT = Record(
    later("limits"),
    Limits,
    (
        *_numbers(Limits),
        Entry("keep_front_taper", YES_OR_NO, False),
    ),
)
SURE = Entry("sure", YES_OR_NO, False)
CUT_STEP = Record(later("step"), CutStep, (*_numbers(CutStep), SURE, NOTE))
CUT_BACK = Record(
    later("cut-back"),
    CutBack,
    (
        KEY,
        Entry("line", TEXT),
        NOTE,
        Entry("target", one(TARGET)),
        Entry("instruments", one(INSTRUMENTS)),
        Entry("end", choice(CutEnd)),
        Entry("front_share", limited(LIMITS[CutBack]["front_share"])),
        _new_loop("front_loop", later("fly-end loop")),
        _new_loop("rear_loop", later("rod-end loop")),
        Entry("limits", one(LIMITS_OF_CUT), Limits()),
        _number(CutBack, "first_reading"),
        _number(CutBack, "dropped_first"),
        SURE,
        _number(CutBack, "last_reading"),
        Entry("sure_last", YES_OR_NO, False),
        Entry("ends_told", YES_OR_NO, False),
        Entry("on_bench", YES_OR_NO, False),
        Entry("steps", many(CUT_STEP), ()),
    ),
)
LEADER = Entry("leader", optional(one(Record(later("leader"), Leader, _numbers(Leader)))), None)
FLY = Entry(
    "fly",
    optional(
        one(
            Record(
                later("fly"),
                Fly,
                (Entry("kind", choice(FlyKind), FlyKind.OWN), *_numbers(Fly)),
            )
        )
    ),
    None,
)
RIG = Record(
    later("rig"),
    Rig,
    (
        KEY,
        NAME,
        Entry("ahead", TEXTS, ()),
        Entry("head", TEXT),
        Entry("behind", optional(TEXT), None),
        LEADER,
        FLY,
        NOTE,
    ),
)
SWING = Record(
    later("swing"),
    Swing,
    (
        *_numbers(Swing),
        Entry("angle", number(0.0, STEEPEST), 0.0, "angle_rad"),
        Entry("slackens", YES_OR_NO, False),
        LEADER,
        FLY,
    ),
)
MEMBER = Record(
    later("member"),
    Member,
    (*_numbers(Member), Entry("own", optional(one(LINE)), None)),
)
RANGE = Record(
    later("range"),
    Range,
    (
        KEY,
        NAME,
        Entry("parent", TEXT),
        *_numbers(Range),
        Entry("length", choice(LengthRule), LengthRule.ROD),
        Entry("thickness", choice(ThicknessRule), ThicknessRule.FRONT_END),
        Entry("is_rounded", YES_OR_NO, False, "rounded"),
        Entry("members", many(MEMBER, MOST_MEMBERS, later("members")), ()),
        NOTE,
    ),
)
BEHIND = Record(
    later("loop behind"),
    LoopBehind,
    (
        Entry("cast", choice(Cast), Cast.TOUCH_AND_GO),
        Entry("lean", number(0.0, STEEPEST_LEAN), LoopBehind().lean, "lean_rad"),
        *_numbers(LoopBehind),
    ),
)
THROW = Record(
    later("throw"),
    Throw,
    (
        *_numbers(Throw),
        Entry("shoots", YES_OR_NO, False),
        Entry("launch", number(-STEEPEST_LAUNCH, STEEPEST_LAUNCH), Throw().launch, "launch_rad"),
    ),
)
ANSWERS = Record(
    later("answers"),
    Answers,
    (
        Entry("thrown", optional(choice(Thrown)), None),
        *_numbers(Answers),
        Entry("water", optional(choice(Breadth)), None),
        Entry("stripping", optional(choice(Stripping)), None),
        Entry("casting", optional(choice(Casting)), None),
        Entry("wading", optional(choice(Wading)), None),
    ),
)
WANTED = Record(
    later("head that is made"),
    Wanted,
    (Entry("line", TEXT), Entry("count", whole(1, MOST_HEADS), 1, omit=never)),
)
RULES = Record(
    later("rules of pieces"),
    Rules,
    (
        *_numbers(Rules),
        Entry("keeps_weight", YES_OR_NO, True),
        Entry("keeps_front_taper", YES_OR_NO, False),
        Entry("tubes_stay", YES_OR_NO, False),
    ),
)
PIECES = Record(
    later("pieces"),
    Making,
    (
        Entry("wanted", many(WANTED, MOST_HEADS, later("heads")), ()),
        Entry("rules", one(RULES), Rules()),
    ),
)
BUILD_PIECE = Record(
    later("piece"),
    BuildPiece,
    (
        Entry("row", whole(0, MOST_SEGMENTS)),
        Entry("last_row", whole(0, MOST_SEGMENTS)),
        Entry("step", whole(0, MOST_SEGMENTS), 0),
        Entry("steps", whole(1, MOST_SEGMENTS), 1),
        Entry("material", one(STOCK)),
        Entry("turned", YES_OR_NO, False),
        *_numbers(BuildPiece),
        SURE,
    ),
)
JOINT_MADE = Record(later("joint"), JointMade, (*_numbers(JointMade), SURE))
HEAD_BUILD = Record(
    later("build"),
    HeadBuild,
    (
        KEY,
        LINE_KEY,
        Entry("copy", whole(1, MOST_COPIES), 1),
        NOTE,
        Entry("head", one(LINE)),
        Entry("rules", one(RULES), Rules()),
        Entry("pieces", many(BUILD_PIECE, MOST_SEGMENTS, later("pieces"))),
        Entry("is_cut", YES_OR_NO, False, "cut"),
        Entry("joints", many(JOINT_MADE), ()),
        *_numbers(HeadBuild),
        Entry("has_loops", YES_OR_NO, False, "loops"),
        Entry("sure_last", YES_OR_NO, False),
        Entry("was_told", YES_OR_NO, False, "told"),
        Entry("is_finished", YES_OR_NO, False, "finished"),
        Entry("built", optional(TEXT), None),
    ),
)
VERSION = Record(
    later("version"),
    Version,
    (KEY, Entry("of", TEXT), NAME, Entry("date", TEXT), NOTE, Entry("line", one(LINE))),
)
PHOTOGRAPHS = several(
    TEXT, Sentence("a list of at most {most} paths", most=MOST_PHOTOGRAPHS), MOST_PHOTOGRAPHS
)
JOB = Record(
    later("job"),
    Job,
    (
        KEY,
        Entry("customer", TEXT, ""),
        Entry("ticket", TEXT, ""),
        Entry("rod", optional(TEXT), None),
        LINE_KEY,
        Entry("before", optional(TEXT), None),
        Entry("after", optional(TEXT), None),
        Entry("begun", optional(DAY), None),
        Entry("finished", optional(DAY), None),
        Entry("state", choice(JobState)),
        NOTE,
        Entry("cast", TEXT, ""),
        Entry("photographs", PHOTOGRAPHS, ()),
        Entry("rig", optional(TEXT), None),
        Entry("rig_before", TEXTS, ()),
        Entry("rig_after", TEXTS, ()),
    ),
)
BENCH = Record(
    later("bench"),
    Bench,
    (
        NOTE,
        Entry("water", one(WATER), Water(), omit=never),
        Entry("rod", optional(TEXT), None, omit=never),
        Entry("view", one(VIEW), View(), omit=never),
        Entry("lines", many(LINE)),
        Entry("rods", many(ROD), (), omit=never),
        Entry("stock", many(STOCK), (), omit=never),
        Entry("measurements", many(MEASUREMENT), ()),
        Entry("cut_backs", many(CUT_BACK), ()),
        Entry("rigs", many(RIG), ()),
        Entry("swing", one(SWING), Swing()),
        Entry("ranges", many(RANGE), ()),
        Entry("behind", one(BEHIND), LoopBehind()),
        Entry("throw", one(THROW), Throw()),
        Entry("answers", one(ANSWERS), Answers()),
        Entry("pieces", one(PIECES), Making()),
        Entry("versions", many(VERSION, MOST_VERSIONS, later("versions")), ()),
        Entry("jobs", many(JOB, MOST_JOBS, later("jobs")), ()),
        Entry("builds", many(HEAD_BUILD, MOST_BUILDS, later("builds")), ()),
    ),
)
