"""The native file: what is saved comes back, and what is damaged is refused in one sentence."""

import json
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from taperlab.files import native
from taperlab.files.problem import FileProblem
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
from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, OnScale, Style
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
from taperlab.model.water import COLDEST, SALTIEST, WARMEST, ZERO_CELSIUS, Water, WaterKind
from taperlab.model.which_head import Answers, Breadth, Casting, Stripping, Thrown, Wading
from taperlab.units.kinds import (
    BESIDE,
    CURRENT,
    DENSITY,
    DENSITY_OFF,
    DIAMETER,
    DISTANCE,
    DRAG_AREA,
    DURATION,
    FINE_LENGTH,
    FLY_MASS,
    FLY_WEIGHT,
    GUIDES,
    HEIGHT,
    LENGTH,
    LINE_SPEED,
    LOOP_HEIGHT,
    RATIO,
    RIVER_DEPTH,
    ROD_LENGTH,
    ROOM,
    SHORT_LENGTH,
    SMALL_WEIGHT,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    Kind,
)

TEXTS = st.text(max_size=12)


def within(kind: Kind) -> st.SearchStrategy[float]:
    """Any number that may be typed, the limits themselves more often than not."""
    return st.sampled_from([kind.lowest, kind.highest]) | st.floats(kind.lowest, kind.highest)


LENGTHS, DIAMETERS, DENSITIES = within(LENGTH), within(DIAMETER), within(DENSITY)
DISTANCES, WEIGHTS = within(DISTANCE), within(WEIGHT)
FOLDS, ADDED = within(SHORT_LENGTH), within(SMALL_WEIGHT)
JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | TEXTS
    | st.floats(allow_nan=False).filter(math.isfinite),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(TEXTS, inner, max_size=2),
    max_leaves=4,
)
# No key of ours starts so.
EXTRAS = st.dictionaries(st.text(max_size=5).map("later ".__add__), JSON, max_size=2)


@st.composite
def round_sections(draw: st.DrawFn) -> dict[str, Any]:
    front, rear = draw(DIAMETERS), draw(DIAMETERS)
    core = None
    if draw(st.booleans()):
        thickness = draw(st.floats(DIAMETER.lowest, min(front, rear)))
        core = Core(thickness, draw(DENSITIES), draw(EXTRAS))
    return {
        "part": draw(st.sampled_from(Part)),
        "length": draw(LENGTHS),
        "front_diameter": front,
        "rear_diameter": rear,
        "density": draw(DENSITIES),
        "core": core,
        "note": draw(TEXTS),
        "extra": draw(EXTRAS),
    }


LOOPS = st.builds(Loop, st.sampled_from(LoopKind), FOLDS, ADDED, EXTRAS)
JOINTS = st.builds(Joint, st.sampled_from(JointKind), FOLDS, ADDED, extra=EXTRAS) | st.builds(
    Joint, st.just(JointKind.LOOP_TO_LOOP), FOLDS, ADDED, LOOPS, LOOPS, EXTRAS
)


TOLERANCES = st.just(AS_READ) | st.builds(
    Tolerance,
    *[
        st.none() | within(kind)
        for kind in (SHORT_LENGTH, FINE_LENGTH, FINE_LENGTH, DENSITY_OFF, LENGTH)
    ],
    EXTRAS,
)


ON_SCALE = st.builds(
    OnScale, within(WEIGHT), within(LENGTH), st.just(0.0) | within(WEIGHT), ADDED, EXTRAS
)


@st.composite
def lines(draw: st.DrawFn, key: str) -> Line:
    segments = draw(st.lists(round_sections().map(lambda kept: Segment(**kept)), max_size=3))
    joints = [draw(JOINTS) for _ in segments[1:]]
    return Line(
        key,
        draw(TEXTS),
        draw(st.sampled_from(Style)),
        tuple(segments),
        tuple(joints),
        draw(LOOPS),
        draw(LOOPS),
        draw(TEXTS),
        draw(TOLERANCES),
        draw(EXTRAS),
        weighed=draw(st.none() | ON_SCALE),
    )


@st.composite
def windows(draw: st.DrawFn) -> Window:
    light, heavy = sorted((draw(WEIGHTS), draw(WEIGHTS)))
    measured = draw(st.sampled_from(Measured))
    return Window(draw(st.sampled_from(Style)), light, heavy, draw(TEXTS), measured, draw(EXTRAS))


@st.composite
def waters(draw: st.DrawFn) -> Water:
    kind = draw(st.sampled_from(WaterKind))
    lowest = ZERO_CELSIUS if kind is WaterKind.FRESH else COLDEST
    return Water(
        kind, draw(st.floats(lowest, WARMEST)), draw(st.floats(0.0, SALTIEST)), draw(EXTRAS)
    )


INSTRUMENTS = st.builds(
    Instruments,
    ADDED.filter(bool),
    FOLDS.filter(bool),
    within(FINE_LENGTH).filter(bool),
    within(FINE_LENGTH),
    EXTRAS,
)
STATIONS = st.builds(
    Station, DISTANCES, st.lists(DIAMETERS, min_size=1, max_size=3).map(tuple), EXTRAS
)
SECTIONS = st.builds(
    lambda ends, *rest: WeighedSection(min(ends), max(ends), *rest),
    st.lists(DISTANCES, min_size=2, max_size=2, unique=True),
    WEIGHTS,
    FOLDS,
    EXTRAS,
)
NEW_LOOPS = st.builds(NewLoop, FOLDS, ADDED, EXTRAS)
LIMITS = st.builds(
    Limits,
    DISTANCES,
    st.just(math.inf) | within(RATIO),
    st.none() | within(WEIGHT_PER_LENGTH),
    st.booleans(),
    EXTRAS,
)
STEPS = st.builds(
    CutStep,
    DISTANCES,
    DISTANCES,
    st.none() | WEIGHTS,
    st.none() | st.just(0.0) | WEIGHTS,
    TEXTS,
    st.none() | WEIGHTS,
    st.none() | st.just(0.0) | WEIGHTS,
    st.booleans(),
    EXTRAS,
)


@st.composite
def measurements(draw: st.DrawFn, key: str) -> Measurement:
    return Measurement(
        key,
        draw(TEXTS),
        draw(LENGTHS),
        draw(INSTRUMENTS),
        draw(st.none() | TEXTS),
        tuple(draw(st.lists(STATIONS, max_size=2))),
        tuple(draw(st.lists(SECTIONS, max_size=2))),
        tuple(draw(st.lists(DISTANCES, max_size=2))),
        draw(st.booleans()),
        tuple(draw(st.lists(st.sampled_from(Part), max_size=2))),
        draw(LOOPS),
        draw(LOOPS),
        draw(TEXTS),
        draw(st.sampled_from(Material)),
        draw(EXTRAS),
    )


@st.composite
def cut_backs(draw: st.DrawFn, key: str) -> CutBack:
    kind = draw(st.sampled_from(TargetKind))
    value = draw(st.floats(0.0, 1.0) if kind is TargetKind.WINDOW else within(RATIO))
    return CutBack(
        key,
        draw(TEXTS),
        Target(kind, value, draw(TEXTS), draw(EXTRAS)),
        draw(INSTRUMENTS),
        draw(st.sampled_from(CutEnd)),
        draw(st.floats(0.0, 1.0)),
        draw(NEW_LOOPS),
        draw(NEW_LOOPS),
        draw(LIMITS),
        draw(st.none() | WEIGHTS),
        tuple(draw(st.lists(STEPS, max_size=2))),
        draw(TEXTS),
        draw(st.none() | WEIGHTS),
        draw(st.booleans()),
        draw(st.none() | WEIGHTS),
        draw(st.booleans()),
        draw(st.booleans()),
        draw(st.booleans()),
        draw(EXTRAS),
    )


LEADERS = st.none() | st.builds(Leader, LENGTHS, DIAMETERS, DENSITIES, EXTRAS)
FLIES = st.none() | st.builds(
    Fly,
    within(FLY_WEIGHT),
    within(FLY_MASS),
    within(DRAG_AREA),
    st.sampled_from(FlyKind),
    EXTRAS,
)


@st.composite
def rigs(draw: st.DrawFn, key: str) -> Rig:
    lines = draw(st.lists(TEXTS.filter(bool), min_size=1, max_size=4, unique=True))
    head, behind, *ahead = [*lines, None] if len(lines) < 2 else lines
    tied = draw(LEADERS), draw(FLIES)
    return Rig(key, draw(TEXTS), head, tuple(ahead), behind, *tied, draw(TEXTS), draw(EXTRAS))


BEHINDS = st.builds(
    LoopBehind,
    st.sampled_from(Cast),
    st.floats(0.0, STEEPEST_LEAN),
    within(HEIGHT),
    within(BESIDE),
    within(HEIGHT),
    within(BESIDE),
    st.none() | within(BESIDE),
    st.none() | within(BESIDE),
    st.none() | within(BESIDE),
    EXTRAS,
)
ANSWERS = st.builds(
    Answers,
    st.none() | st.sampled_from(Thrown),
    st.none() | within(ROOM),
    st.none() | st.sampled_from(Breadth),
    st.none() | st.sampled_from(Stripping),
    st.none() | st.sampled_from(Casting),
    st.none() | st.sampled_from(Wading),
    EXTRAS,
)
THROWS = st.builds(
    Throw,
    within(LINE_SPEED),
    within(LOOP_HEIGHT),
    within(RATIO),
    within(HEIGHT),
    st.floats(-STEEPEST_LAUNCH, STEEPEST_LAUNCH),
    within(BESIDE),
    st.booleans(),
    within(GUIDES),
    st.none() | within(WEIGHT_PER_LENGTH),
    EXTRAS,
)


@st.composite
def swings(draw: st.DrawFn) -> Swing:
    bed = draw(st.none() | within(RIVER_DEPTH))
    return Swing(
        draw(within(CURRENT)),
        draw(st.floats(0.0, STEEPEST)),
        bed,
        bed is not None and draw(st.booleans()),
        draw(within(DURATION)),
        draw(LEADERS),
        draw(FLIES),
        draw(EXTRAS),
    )


@st.composite
def ranges(draw: st.DrawFn, key: str) -> Range:
    rods = st.none() | within(ROD_LENGTH)
    members = st.builds(Member, within(WEIGHT), rods, st.none() | lines("own"), EXTRAS)
    return Range(
        key,
        draw(TEXTS),
        draw(TEXTS.filter(bool)),
        tuple(draw(st.lists(members, max_size=3))),
        draw(st.sampled_from(LengthRule)),
        draw(st.sampled_from(ThicknessRule)),
        draw(rods),
        draw(st.none() | st.just(0.0) | within(LENGTH)),
        draw(st.booleans()),
        draw(TEXTS),
        draw(EXTRAS),
    )


@st.composite
def versions(draw: st.DrawFn, key: str) -> Version:
    day = draw(st.dates()).isoformat()
    of = draw(TEXTS.filter(bool))
    return Version(key, of, draw(TEXTS), day, draw(lines("was")), draw(TEXTS), draw(EXTRAS))


@st.composite
def jobs(draw: st.DrawFn, key: str) -> Job:
    days = sorted(draw(st.lists(st.dates(), min_size=2, max_size=2)))
    begun, finished = (draw(st.sampled_from([None, day])) for day in days)
    return Job(
        key,
        draw(TEXTS),
        draw(TEXTS),
        draw(st.none() | TEXTS),
        draw(st.none() | TEXTS),
        draw(st.none() | TEXTS),
        draw(st.none() | TEXTS),
        begun,
        finished,
        draw(st.sampled_from(JobState)),
        draw(TEXTS),
        draw(TEXTS),
        tuple(draw(st.lists(TEXTS, max_size=2, unique=True))),
        draw(st.none() | TEXTS),
        tuple(draw(st.lists(TEXTS, max_size=2))),
        tuple(draw(st.lists(TEXTS, max_size=2))),
        draw(EXTRAS),
    )


@st.composite
def makings(draw: st.DrawFn, keys: list[str]) -> Making:
    rules = Rules(
        draw(within(WEIGHT_PER_LENGTH)),
        draw(st.just(math.inf) | st.floats(1.0, 50.0)),
        draw(LENGTHS),
        draw(within(LENGTH)),
        draw(within(SHORT_LENGTH)),
        draw(st.none() | within(SHORT_LENGTH)),
        draw(st.booleans()),
        draw(within(WEIGHT)),
        draw(within(SHORT_LENGTH)),
        draw(st.booleans()),
        draw(st.none() | within(SMALL_WEIGHT)),
        draw(st.booleans()),
        draw(EXTRAS),
    )
    wanted = tuple(Wanted(key, draw(st.integers(1, 200)), draw(EXTRAS)) for key in keys[:1])
    return Making(wanted, rules, draw(EXTRAS))


@st.composite
def stocks(draw: st.DrawFn, key: str) -> Stock:
    behind = draw(st.lists(round_sections(), max_size=1))
    return Stock(
        key=key,
        name=draw(TEXTS),
        behind=tuple(Segment(**each, stock=draw(TEXTS)) for each in behind),
        kind=draw(TEXTS),
        coating=draw(TEXTS),
        labelled=draw(st.none() | within(WEIGHT_PER_LENGTH)),
        mass_error=draw(st.none() | st.floats(0.0, 1.0)),
        leftover=draw(st.booleans()),
        place=draw(TEXTS),
        cost=draw(st.none() | st.floats(0.0, 1e6)),
        **draw(round_sections()),
    )


@st.composite
def builds(draw: st.DrawFn, key: str) -> HeadBuild:
    head = draw(lines("head").filter(lambda each: each.segments))
    pieces = tuple(
        BuildPiece(
            row,
            row,
            draw(stocks("spool")),
            draw(st.integers(0, 2)),
            3,
            draw(within(LENGTH)),
            draw(st.booleans()),
            draw(within(SHORT_LENGTH)),
            draw(st.floats(0.1, 10.0)),
            draw(st.none() | within(WEIGHT)),
            draw(st.none() | st.just(0.0) | within(LENGTH)),
            draw(st.booleans()),
            draw(st.none() | within(LENGTH)),
            draw(EXTRAS),
        )
        for row in range(len(head.segments))
    )
    joints = st.builds(JointMade, st.none() | within(WEIGHT), st.booleans(), EXTRAS)
    return HeadBuild(
        key,
        draw(st.none() | TEXTS),
        draw(st.integers(1, 9)),
        head,
        draw(makings([])).rules,
        pieces,
        draw(st.booleans()),
        tuple(draw(st.lists(joints, max_size=len(pieces) - 1))),
        draw(st.none() | st.just(0.0) | within(LENGTH)),
        draw(st.booleans()),
        draw(st.none() | within(WEIGHT)),
        draw(st.booleans()),
        draw(st.booleans()),
        draw(st.booleans()),
        draw(st.none() | TEXTS),
        draw(TEXTS),
        draw(EXTRAS),
    )


@st.composite
def benches(draw: st.DrawFn) -> Bench:
    keys = draw(st.lists(TEXTS, min_size=3, max_size=3, unique=True))
    rods = [
        Rod(
            key,
            draw(TEXTS),
            draw(within(ROD_LENGTH)),
            draw(st.booleans()),
            draw(TEXTS),
            tuple(draw(st.lists(windows(), max_size=2))),
            draw(TEXTS),
            draw(EXTRAS),
        )
        for key in keys[:1]
    ]
    return Bench(
        lines=tuple(draw(lines(key)) for key in keys[: draw(st.integers(0, 2))]),
        rods=tuple(rods),
        stock=tuple(draw(stocks(key)) for key in keys[:1]),
        water=draw(waters()),
        rod=draw(st.sampled_from([None, *keys])),
        note=draw(TEXTS),
        view=View(
            draw(st.none() | TEXTS),
            tuple(draw(st.lists(TEXTS, max_size=2))),
            draw(TEXTS),
            draw(st.none() | TEXTS),
            tuple(draw(st.lists(TEXTS, max_size=2))),
            tuple(draw(st.lists(TEXTS, max_size=2))),
            draw(EXTRAS),
        ),
        measurements=tuple(draw(measurements(key)) for key in keys[: draw(st.integers(0, 1))]),
        cut_backs=tuple(draw(cut_backs(key)) for key in keys[: draw(st.integers(0, 1))]),
        rigs=tuple(draw(rigs(key)) for key in keys[: draw(st.integers(0, 2))]),
        swing=draw(swings()),
        ranges=tuple(draw(ranges(key)) for key in keys[: draw(st.integers(0, 1))]),
        behind=draw(BEHINDS),
        throw=draw(THROWS),
        answers=draw(ANSWERS),
        pieces=draw(makings(keys)),
        versions=tuple(draw(versions(key)) for key in keys[: draw(st.integers(0, 1))]),
        jobs=tuple(draw(jobs(key)) for key in keys[: draw(st.integers(0, 2))]),
        builds=tuple(draw(builds(key)) for key in keys[: draw(st.integers(0, 1))]),
        extra=draw(EXTRAS),
    )


def a_bench() -> Bench:
    belly = Segment(Part.BELLY, 7.0, 0.0021, 0.0022, 850.0, Core(0.0008, 1150.0), "measured wet")
    tip = Segment(Part.SINK_TIP, 3.048, 0.00104, 0.00104, 3400.0)
    return Bench(
        lines=(
            Line(
                "line-1",
                "Low water",
                Style.SKAGIT,
                (tip, belly),
                (Joint(JointKind.LOOP_TO_LOOP, mass=1e-4),),
                rear_loop=Loop(LoopKind.FOLDED, fold=0.06),
            ),
        ),
        rods=(Rod("rod-1", "Thirteen foot", 3.96, windows=(Window(Style.SKAGIT, 0.03, 0.036),)),),
        stock=(
            Stock(Part.SINK_TIP, 9.144, 0.00104, 0.00104, 3400.0, key="stock-1", name="14 gr/ft"),
        ),
        rod="rod-1",
        view=View("line-1"),
    )


def document() -> dict[str, Any]:
    found: dict[str, Any] = json.loads(native.dumps(a_bench()))
    return found


def refusal(text: str) -> str:
    with pytest.raises(FileProblem) as caught:
        native.loads(text, "x.taperlab")
    sentence = str(caught.value.sentence)
    assert sentence.startswith("x.taperlab")
    assert sentence.endswith(".")
    assert "\n" not in sentence
    return sentence


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(benches())
def test_save_then_load_is_identity(bench: Bench) -> None:
    text = native.dumps(bench)
    assert native.loads(text, "x") == bench
    assert native.dumps(native.loads(text, "x")) == text


def test_through_a_file(tmp_path: Path) -> None:
    path = tmp_path / "low water.taperlab"
    native.write_bench(a_bench(), path)
    assert native.read_bench(path) == a_bench()
    content = path.read_bytes()
    assert b"\r" not in content
    assert content.endswith(b"}\n")
    assert native.parse_bench(b"\xef\xbb\xbf" + content, "x") == a_bench()
    assert native.parse_bench(content.replace(b"\n", b"\r\n"), "x") == a_bench()


def test_a_person_can_read_it() -> None:
    text = native.dumps(a_bench())
    assert text.startswith('{\n  "format": "taperlab bench",\n  "version": 1,\n')
    for line in ('"length_m": 3.048', '"density_kg_m3": 3400.0', '"temperature_K": 283.15'):
        assert line in text
    changed = native.dumps(replace(a_bench(), note="x"))
    assert len(set(changed.splitlines()) ^ set(text.splitlines())) == 1


def test_whole_numbers_and_left_out_keys_are_understood() -> None:
    text = """{"format": "taperlab bench", "version": 1, "lines": [{"key": "a", "name": "A",
        "style": "Scandi", "segments": [
          {"part": "tip", "length_m": 1, "front_diameter_m": 0.001, "rear_diameter_m": 0.001,
           "density_kg_m3": 850},
          {"part": "belly", "length_m": 2, "front_diameter_m": 0.001, "rear_diameter_m": 0.001,
           "density_kg_m3": 850}]}]}"""
    bench = native.loads(text, "x")
    assert bench.lines[0].length == 3.0
    assert isinstance(bench.lines[0].segments[0].length, float)
    assert bench.water == Water()


def test_whole_numbers_of_three_hundred_digits_are_kept_and_no_longer_ones() -> None:
    # Beyond some thousands of digits, reading and writing one takes longer than a person waits.
    for digits, kept in ((300, True), (301, False), (3000, False)):
        text = json.dumps({**document(), "later": "x"}).replace('"x"', "9" * digits)
        if kept:
            assert json.loads(native.dumps(native.loads(text, "x")))["later"] == 10**digits - 1
        else:
            assert f"a number of {digits} digits" in refusal(text)


def test_unknown_keys_come_back_at_every_level() -> None:
    found = document()
    line = found["lines"][0]
    for place in (
        found,
        found["water"],
        found["view"],
        line,
        line["segments"][1],
        line["segments"][1]["core"],
        line["joints"][0],
        line["rear_loop"],
        found["rods"][0],
        found["rods"][0]["windows"][0],
        found["stock"][0],
    ):
        place["later"] = {"made": [1, 2.5, "½", None, {"deep": True}]}
    text = json.dumps(found)
    assert json.loads(native.dumps(native.loads(text, "x"))) == found


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is empty"),
        ("part,length [ft]\n", "is not a Taperlab bench"),
        ("[1, 2]", "is not a Taperlab bench"),
        ('{"format": "other"}', "is not a Taperlab bench"),
        ('{"format": "taperlab bench"', "is damaged: row 1, column 28"),
        ('{"format": "taperlab bench",\n "version" 1}', "is damaged: row 2, column 12"),
        ('{"format": "taperlab bench", "note": "a", "note": "b"}', "key “note” stands twice"),
        ('{"format": "taperlab bench", "x": NaN}', "found NaN"),
        ('{"format": "taperlab bench", "x": -Infinity}', "found -Infinity"),
        ('{"format": "taperlab bench", "x": 1e999}', "found 1e999"),
        ('{"format": "taperlab bench", "x": ' + "9" * 5000 + "}", "5000 digits"),
        ('{"format": "taperlab bench", "x": ' + "9" * 301 + "}", "found a number of 301 digits"),
        ('{"format": "taperlab bench", "x": "\\ud800"}', "half a character"),
        ('{"format": "taperlab bench", "x": ' + "[" * 90 + "]" * 90 + "}", "nested too deep"),
        ('{"format": "taperlab bench", "x": ' + "[" * 9**5 + "}", "nested too deep"),
        ('{"format": "taperlab bench"}', "“version”: found None"),
        ('{"format": "taperlab bench", "version": true}', "“version”: found True"),
        ('{"format": "taperlab bench", "version": 1}', "“lines” is missing"),
        (
            '{"format": "taperlab bench", "version": 2, "lines": 5}',
            "was written by a newer Taperlab (format 2; this one reads up to 1)",
        ),
    ],
)
def test_each_kind_of_damage_has_its_own_sentence(text: str, words: str) -> None:
    assert words in refusal(text)


@pytest.mark.parametrize(
    ("path", "value", "sentence"),
    [
        (
            ("lines", 0, "segments", 1, "length_m"),
            -1,
            "x.taperlab: line 1 (“Low water”), segment 2: “length_m”: found -1, "
            "expected a number from 1e-05 to 914.4.",
        ),
        (("lines", 0, "segments", 0, "part"), "tail", 'found "tail", expected one of tip, front'),
        (("lines", 0, "segments", 0, "density_kg_m3"), True, "found true, expected a number"),
        (("lines", 0, "segments", 0, "density_kg_m3"), 10**200, "found 1000"),
        (
            ("lines", 0, "segments", 1, "core", "diameter_m"),
            0.005,
            "must not exceed the thinner end",
        ),
        (("lines", 0, "segments", 1, "core"), [], "segment 2, core: found [], expected an object"),
        (
            ("lines", 0, "joints"),
            [],
            "the number of joints must be 1, one fewer than the segments, not 0",
        ),
        (("lines", 0, "joints", 0, "mass_kg"), -1.0, "joint 1: "),
        (("lines", 0, "name"), 5, "found 5, expected text"),
        (("lines", 0), "Alder", 'line 1: found "Alder", expected an object'),
        (("lines",), {}, "x.taperlab: “lines”: found {}, expected a list in square brackets"),
        (("rods", 0, "two_handed"), 1, "rod 1 (“Thirteen foot”): “two_handed”: found 1"),
        (("rods", 0, "windows", 0, "lightest_kg"), 0.04, "must not be heavier"),
        (("water", "temperature_K"), 400, "water: “temperature_K”: found 400, expected a number"),
        (("water", "temperature_K"), 272.5, "fresh water below 0 °C is ice"),
        (("view", "overlays"), [1], "expected a list of texts"),
    ],
)
def test_a_bad_value_is_named_with_its_place(
    path: tuple[str | int, ...], value: object, sentence: str
) -> None:
    found = document()
    place: Any = found
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    assert sentence in refusal(json.dumps(found, ensure_ascii=False))


def test_what_is_not_there_is_left_out_of_the_file() -> None:
    bench = replace(
        a_bench(),
        measurements=(Measurement("m", "Found", 9.0, Instruments(1e-5, 0.003, 1e-5)),),
        cut_backs=(
            CutBack("c", "line-1", Target(TargetKind.WEIGHT, 0.03), Instruments(1e-5, 0.003, 1e-5)),
        ),
    )
    found = json.loads(native.dumps(bench))
    assert set(found["measurements"][0]) == {"key", "name", "length_m", "instruments"}
    assert set(found["cut_backs"][0]) == {
        "key",
        "line",
        "target",
        "instruments",
        "end",
        "front_share",
    }
    assert native.loads(native.dumps(bench), "x") == bench
    plain = json.loads(native.dumps(a_bench()))
    assert "measurements" not in plain
    assert "cut_backs" not in plain


def test_a_limit_on_the_joint_step_is_kept() -> None:
    cut = CutBack(
        "c",
        "line-1",
        Target(TargetKind.WINDOW, 0.0),
        Instruments(1e-5, 0.003, 1e-5),
        limits=Limits(largest_step=1.2),
        steps=(CutStep(rear=0.1, head=0.03, offcut=0.0),),
    )
    found = json.loads(native.dumps(replace(a_bench(), cut_backs=(cut,))))["cut_backs"][0]
    assert found["limits"] == {"largest_step": 1.2}
    assert found["steps"] == [{"rear_m": 0.1, "head_kg": 0.03, "offcut_kg": 0.0}]


def test_two_lines_of_one_key_are_refused() -> None:
    found = document()
    found["lines"] *= 2
    assert "share a key" in refusal(json.dumps(found))


def test_what_is_not_there_or_not_text(tmp_path: Path) -> None:
    with pytest.raises(FileProblem, match="is not there"):
        native.read_bench(tmp_path / "none.taperlab")
    with pytest.raises(FileProblem, match="is a folder"):
        native.read_bench(tmp_path)
    with pytest.raises(FileProblem, match="is not a Taperlab bench"):
        native.parse_bench(b"\x89PNG\r\n\x1a\n", "x")
    with pytest.raises(FileProblem, match="row 2 is not UTF-8 text"):
        native.parse_bench(b'{"format":\n"\xff"}', "x")


def test_no_permission(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "shut.taperlab"
    path.write_text("{}", encoding="utf-8")

    def forbid(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", forbid)
    with pytest.raises(FileProblem, match="no permission"):
        native.read_bench(path)


def _mangled_or_read(content: bytes) -> None:
    try:
        bench = native.parse_bench(content, "x.taperlab")
    except FileProblem:
        return
    assert native.loads(native.dumps(bench), "x") == bench


@given(st.data())
def test_no_flipped_byte_raises_anything_else(data: st.DataObject) -> None:
    content = bytearray(native.dumps(a_bench()).encode())
    for _ in range(data.draw(st.integers(1, 3))):
        content[data.draw(st.integers(0, len(content) - 1))] = data.draw(st.integers(0, 255))
    _mangled_or_read(bytes(content))


@given(st.integers(0, 10_000), st.integers(0, 10_000))
def test_no_missing_stretch_raises_anything_else(start: int, length: int) -> None:
    content = native.dumps(a_bench()).encode()
    start %= len(content)
    _mangled_or_read(content[:start] + content[start + length :])
    _mangled_or_read(content[:start])


def _places(value: Any) -> list[tuple[Any, Any]]:
    steps = list(value) if isinstance(value, dict) else list(range(len(value)))
    own = [(value, step) for step in steps]
    inner = [value[step] for step in steps if isinstance(value[step], dict | list)]
    return own + [place for each in inner for place in _places(each)]


@given(st.data())
def test_no_lost_or_swapped_value_raises_anything_else(data: st.DataObject) -> None:
    found = document()
    holder, step = data.draw(st.sampled_from(_places(found)))
    if data.draw(st.booleans()):
        del holder[step]
    else:
        holder[step] = data.draw(JSON)
    _mangled_or_read(json.dumps(found).encode())


def test_loops_that_an_older_program_left_in_another_kind_of_joint_are_let_go() -> None:
    loop = Loop(LoopKind.BRAIDED, 0.05, 1e-5)
    joint = Joint(JointKind.LOOP_TO_LOOP, loop_ahead=loop, loop_behind=loop)
    tip = Segment(Part.TIP, 3.0, 0.001, 0.001, 3000.0)
    bench = Bench((Line("line-1", "Rig", segments=(tip, tip), joints=(joint,)),))
    assert native.loads(native.dumps(bench), "x").lines[0].joints == (joint,)
    changed = native.dumps(bench).replace("loop to loop", "butt weld")
    assert native.loads(changed, "x").lines[0].joints == (Joint(JointKind.BUTT_WELD),)


def test_a_joint_of_an_older_file_has_no_loops_and_weighs_what_it_did() -> None:
    tip = Segment(Part.TIP, 3.0, 0.001, 0.001, 3000.0)
    joint = Joint(JointKind.LOOP_TO_LOOP, mass=4e-4)
    text = native.dumps(Bench((Line("line-1", "Rig", segments=(tip, tip), joints=(joint,)),)))
    assert "loop_" not in text
    assert native.loads(text, "x").lines[0].joints == (joint,)


@pytest.mark.parametrize("day", ["2026-02-30", "20260504", "2026-W19-1", "4.5.2026", 20260504])
def test_a_day_that_is_none_is_refused_by_its_place(day: object) -> None:
    text = json.dumps(
        {
            **json.loads(native.dumps(Bench())),
            "jobs": [{"key": "job-1", "state": "in work", "begun": day}],
        }
    )
    with pytest.raises(FileProblem) as refused:
        native.loads(text, "x.taperlab")
    assert "x.taperlab: job 1: “begun”: found" in str(refused.value.sentence)
    assert "2024-05-31" in str(refused.value.sentence)
