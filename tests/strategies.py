"""Hypothesis strategies for what a bench holds and for what a person can do to it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from hypothesis import strategies as st

from taperlab.edits import bench as bench_edits
from taperlab.edits import breakpoints as breakpoint_edits
from taperlab.edits import builds as build_edits
from taperlab.edits import casting as casting_edits
from taperlab.edits import cells as cell_edits
from taperlab.edits import (
    cut_back,
    cut_steps,
    figures,
    goals,
    jobs,
    lines,
    measure,
    ranges,
    rigs,
    tips,
    versions,
    which_head,
)
from taperlab.edits import pieces as piece_edits
from taperlab.edits import rows as row_edits
from taperlab.edits import stock as stock_edits
from taperlab.edits import tolerance as tolerance_edits
from taperlab.edits import values as value_edits
from taperlab.edits.cells import CELLS
from taperlab.edits.edited import Edited, Ends, Solve
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
    Weighing,
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
from taperlab.units.columns import Column
from taperlab.units.limits import CELL_LIMITS, GOAL_LIMITS, LIMITS

# -- measures that line can have [SI] -----------------------------------------------------------

lengths = st.floats(0.02, 30.0)
diameters = st.floats(0.0003, 0.004)
densities = st.floats(300.0, 8000.0)
masses = st.floats(1e-5, 0.1)
linear_densities = st.floats(1e-4, 0.02)
rates = st.floats(-0.3, 0.5)
notes = st.text(max_size=12)
names = st.text(st.characters(categories=("L", "N", "P"), codec="utf-8"), min_size=1, max_size=8)
parts = st.sampled_from(Part)
styles = st.sampled_from(Style)

# -- what a bench holds -------------------------------------------------------------------------


@st.composite
def holds_(draw: st.DrawFn) -> tuple[Hold, ...]:
    if draw(st.integers(0, 4)):
        return ()
    cells = draw(st.lists(st.sampled_from(Cell), max_size=2, unique=True))
    found = []
    for cell in sorted(cells, key=list(Cell).index):
        kind = CELL_LIMITS[cell].kind
        ends = sorted(draw(st.floats(kind.lowest, kind.highest)) for _ in range(2))
        low, high = ends if draw(st.booleans()) else (None, None)
        hold = Hold(cell, draw(st.booleans()), low, high, draw(st.sampled_from(["", "a", "b"])))
        found += [hold] if hold.holds else []
    return tuple(found)


@st.composite
def goals_(draw: st.DrawFn, others: list[str] | None = None) -> Goal:
    kind = draw(st.sampled_from(GoalKind))
    if kind is GoalKind.STEP and not others:
        kind = GoalKind.WEIGHT
    limits = GOAL_LIMITS[kind].kind
    ends = sorted(draw(st.floats(limits.lowest, limits.highest)) for _ in range(2))
    if draw(st.booleans()):
        ends[1] = ends[0]
    at = draw(st.floats(0.0, 30.0)) if kind is GoalKind.RUNNING else None
    other = None
    if kind is GoalKind.STEP or (kind is GoalKind.RUNNING and others and draw(st.booleans())):
        other = draw(st.sampled_from(others or []))
    return Goal(kind, ends[0], ends[1], at, other)


@st.composite
def aims_(draw: st.DrawFn, others: list[str] | None = None) -> Aim:
    if draw(st.integers(0, 4)):
        return NO_AIM
    wanted = draw(st.lists(goals_(others), max_size=2, unique_by=lambda each: each.of))
    return Aim(tuple(wanted), *(draw(st.booleans()) for _ in range(3)))


@st.composite
def segments_(draw: st.DrawFn, *, cores: bool = True) -> Segment:
    front = draw(diameters)
    rear = draw(st.one_of(st.just(front), diameters))
    core = None
    if cores and draw(st.integers(0, 2)) == 0:
        thickness = draw(st.floats(0.1, 0.9)) * min(front, rear)
        core = Core(thickness, draw(densities))
    return Segment(
        draw(parts),
        draw(lengths),
        front,
        rear,
        draw(densities),
        core,
        note=draw(notes),
        holds=draw(holds_()),
    )


loops = st.builds(
    Loop,
    kind=st.sampled_from(LoopKind),
    fold=st.floats(0.0, 0.1),
    mass=st.one_of(st.just(0.0), st.floats(0.0, 5e-4)),
)

joints = st.one_of(
    st.builds(
        Joint,
        kind=st.sampled_from(JointKind),
        overlap=st.floats(0.0, 0.05),
        mass=st.one_of(st.just(0.0), st.floats(0.0, 5e-4)),
    ),
    st.builds(
        Joint,
        kind=st.just(JointKind.LOOP_TO_LOOP),
        mass=st.one_of(st.just(0.0), st.floats(0.0, 5e-4)),
        loop_ahead=loops,
        loop_behind=loops,
    ),
)


tolerances = st.builds(
    Tolerance,
    *[st.one_of(st.none(), st.floats(0.0, most)) for most in (0.1, 1e-3, 1e-3, 500.0)],
    st.one_of(st.none(), st.floats(0.1, 30.0)),
)


def on_scale_() -> st.SearchStrategy[OnScale]:
    """What a scale said of a head."""
    return st.builds(
        OnScale, masses, st.floats(1.0, 30.0), st.sampled_from([0.0, 2e-5]), st.just(3.24e-5)
    )


@st.composite
def lines_(
    draw: st.DrawFn, key: str = "line-1", *, least: int = 0, most: int = 4, cores: bool = True
) -> Line:
    rows = draw(st.lists(segments_(cores=cores), min_size=least, max_size=most))
    if draw(st.booleans()):  # continuous, as most lines are
        for i in range(1, len(rows)):
            fits = rows[i].core is None or rows[i].core.diameter <= rows[i - 1].rear_diameter
            if fits:
                rows[i] = Segment(
                    rows[i].part,
                    rows[i].length,
                    rows[i - 1].rear_diameter,
                    rows[i].rear_diameter,
                    rows[i].density,
                    rows[i].core,
                    rows[i].note,
                    holds=rows[i].holds,
                )
    gaps = max(0, len(rows) - 1)
    return Line(
        key,
        draw(names),
        draw(styles),
        tuple(rows),
        tuple(draw(st.lists(joints, min_size=gaps, max_size=gaps))),
        draw(loops),
        draw(loops),
        draw(notes),
        draw(st.one_of(st.just(AS_READ), tolerances)),
        aim=draw(aims_()),
        weighed=draw(st.none() | on_scale_()),
    )


@st.composite
def rods_(draw: st.DrawFn, key: str = "rod-1") -> Rod:
    windows = []
    for style in draw(st.lists(styles, max_size=2, unique=True)):
        low = draw(st.floats(0.005, 0.05))
        high, measured = low * draw(st.floats(1.0, 2.0)), draw(st.sampled_from(list(Measured)))
        windows.append(Window(style, low, high, draw(notes), measured))
    return Rod(
        key,
        draw(names),
        draw(st.floats(1.8, 5.5)),
        draw(st.booleans()),
        draw(st.text(max_size=4)),
        tuple(windows),
        draw(notes),
    )


@st.composite
def stocks(draw: st.DrawFn, key: str = "stock-1") -> Stock:
    material = replace(Stock.like(draw(segments_()), draw(names)), key=key)
    if draw(st.integers(0, 2)):
        return material
    behind = draw(st.lists(segments_(), max_size=2))
    return replace(
        material,
        behind=tuple(replace(each, part=material.part) for each in behind),
        kind=draw(notes),
        coating=draw(notes),
        labelled=draw(st.one_of(st.none(), linear_densities)),
        mass_error=draw(st.one_of(st.none(), st.floats(1e-4, 0.05))),
        leftover=draw(st.booleans()),
        place=draw(notes),
        cost=draw(st.one_of(st.none(), st.floats(0.01, 200.0))),
    )


@st.composite
def waters(draw: st.DrawFn) -> Water:
    kind = draw(st.sampled_from(WaterKind))
    coldest = ZERO_CELSIUS if kind is WaterKind.FRESH else COLDEST
    return Water(kind, draw(st.floats(coldest, WARMEST)), draw(st.floats(0.0, SALTIEST)))


instruments = st.builds(
    Instruments,
    scale=st.floats(1e-6, 1e-3),
    tape=st.floats(1e-4, 0.02),
    micrometer=st.floats(1e-6, 1e-4),
    scatter=st.one_of(st.just(0.0), st.floats(0.0, 1e-4)),
)
stations = st.builds(
    Station, st.floats(0.0, 30.0), st.lists(diameters, min_size=1, max_size=3).map(tuple)
)


_spans = st.one_of(st.just(0.0), st.floats(0.05, 0.6))


@st.composite
def sections(draw: st.DrawFn) -> WeighedSection:
    front = draw(st.one_of(st.just(0.0), st.floats(0.0, 20.0)))
    return WeighedSection(front, front + draw(lengths), draw(masses), draw(_spans))


@st.composite
def measurements_(
    draw: st.DrawFn, key: str = "measurement-1", line: str | None = None
) -> Measurement:
    return Measurement(
        key,
        draw(names),
        draw(lengths),
        draw(instruments),
        line,
        tuple(draw(st.lists(stations, max_size=4))),
        tuple(draw(st.lists(sections(), max_size=2))),
        tuple(draw(st.lists(lengths, max_size=2))),
        draw(st.booleans()),
        tuple(draw(st.lists(parts, max_size=3))),
        draw(loops),
        draw(loops),
        draw(notes),
        draw(st.sampled_from(Material)),
    )


_cut_lengths = st.floats(0.0, 2.0)
_new_loops = st.builds(NewLoop, st.floats(0.0, 0.1), st.floats(0.0, 5e-4))
_targets = st.one_of(
    st.builds(Target, st.just(TargetKind.WINDOW), st.floats(0.0, 1.0)),
    st.builds(
        Target,
        st.sampled_from([kind for kind in TargetKind if kind is not TargetKind.WINDOW]),
        st.floats(1e-3, 20.0),
        st.sampled_from(["", "H"]),
    ),
)
_limits = st.builds(
    Limits,
    st.floats(0.0, 10.0),
    st.one_of(st.just(math.inf), st.floats(0.5, 3.0)),
    st.one_of(st.none(), linear_densities),
    st.booleans(),
)
_steps = st.builds(
    CutStep,
    _cut_lengths,
    _cut_lengths,
    st.one_of(st.none(), masses),
    st.one_of(st.none(), st.just(0.0), masses),
    notes,
    st.one_of(st.none(), masses),
    st.one_of(st.none(), st.just(0.0), masses),
    st.booleans(),
)


@st.composite
def cut_backs_(draw: st.DrawFn, key: str = "cut-back-1", line: str = "line-1") -> CutBack:
    return CutBack(
        key,
        line,
        draw(_targets),
        draw(instruments),
        draw(st.sampled_from(CutEnd)),
        draw(st.floats(0.0, 1.0)),
        draw(_new_loops),
        draw(_new_loops),
        draw(_limits),
        draw(st.one_of(st.none(), masses)),
        tuple(draw(st.lists(_steps, max_size=3))),
        draw(notes),
        draw(st.one_of(st.none(), masses)),
        draw(st.booleans()),
        draw(st.one_of(st.none(), masses)),
        draw(st.booleans()),
        draw(st.booleans()),
        draw(st.booleans()),
    )


leaders = st.builds(Leader, lengths, diameters, densities)
flies = st.builds(
    Fly,
    st.floats(-0.005, 0.01),
    st.floats(0.0, 0.01),
    st.floats(0.0, 0.005),
    st.sampled_from(FlyKind),
)


behinds = st.builds(
    LoopBehind,
    st.sampled_from(Cast),
    st.floats(0.0, STEEPEST_LEAN),
    st.floats(0.0, 2.0),
    st.floats(0.0, 1.0),
    st.floats(0.0, 1.5),
    st.floats(0.0, 2.0),
    st.one_of(st.none(), st.floats(0.0, 5.0)),
    st.one_of(st.none(), st.floats(0.0, 5.0)),
    st.one_of(st.none(), st.floats(0.0, 8.0)),
)
throws = st.builds(
    Throw,
    st.floats(1.0, 50.0),
    st.floats(0.02, 5.0),
    st.floats(0.1, 2.0),
    st.floats(0.0, 10.0),
    st.floats(-STEEPEST_LAUNCH, STEEPEST_LAUNCH),
    st.floats(0.0, 5.0),
    st.booleans(),
    st.floats(0.0, 1.0),
    st.one_of(st.none(), st.floats(1e-4, 0.01)),
)


answers = st.builds(
    Answers,
    st.one_of(st.none(), st.sampled_from(Thrown)),
    st.one_of(st.none(), st.floats(0.0, 30.0)),
    st.one_of(st.none(), st.sampled_from(Breadth)),
    st.one_of(st.none(), st.sampled_from(Stripping)),
    st.one_of(st.none(), st.sampled_from(Casting)),
    st.one_of(st.none(), st.sampled_from(Wading)),
)


@st.composite
def swings(draw: st.DrawFn) -> Swing:
    bed = draw(st.one_of(st.none(), st.floats(0.1, 20.0)))
    return Swing(
        draw(st.floats(0.0, 4.0)),
        draw(st.floats(0.0, STEEPEST)),
        bed,
        bed is not None and draw(st.booleans()),
        draw(st.floats(0.0, 60.0)),
        draw(st.one_of(st.none(), leaders)),
        draw(st.one_of(st.none(), flies)),
    )


@st.composite
def rigs_(draw: st.DrawFn, keys: list[str], key: str = "rig-1") -> Rig:
    head, *ahead = draw(st.permutations(keys))
    tied = draw(st.one_of(st.none(), leaders)), draw(st.one_of(st.none(), flies))
    return Rig(key, draw(names), head, tuple(ahead), None, *tied, draw(notes))


@st.composite
def ranges_(draw: st.DrawFn, parent: str, key: str = "range-1") -> Range:
    rods = st.one_of(st.none(), st.floats(2.0, 5.0))
    # Few own lines, and short ones: they are drawn like any line.
    own = st.one_of(st.none(), st.none(), lines_("member-A", least=1, most=2))
    member = st.builds(Member, masses, rods, own)
    return Range(
        key,
        draw(names),
        parent,
        tuple(draw(st.lists(member, min_size=1, max_size=3))),
        draw(st.sampled_from(LengthRule)),
        draw(st.sampled_from(ThicknessRule)),
        draw(rods),
        draw(st.one_of(st.none(), st.just(0.0), st.floats(1.0, 5.0))),
        draw(st.booleans()),
        draw(notes),
    )


@st.composite
def piece_rules(draw: st.DrawFn) -> Rules:
    return Rules(
        draw(st.floats(1e-4, 1e-2)),
        draw(st.one_of(st.just(math.inf), st.floats(1.0, 3.0))),
        draw(st.floats(0.05, 1.0)),
        draw(st.floats(0.0, 3.0)),
        draw(st.sampled_from([0.0, 0.04])),
        draw(st.one_of(st.none(), st.floats(0.0, 0.1))),
        draw(st.booleans()),
        draw(st.floats(1e-5, 1e-4)),
        tube=draw(st.one_of(st.none(), st.floats(0.0, 4e-4))),
        tubes_stay=draw(st.booleans()),
    )


@st.composite
def makings_(draw: st.DrawFn, keys: list[str]) -> Making:
    wanted = tuple(Wanted(key, draw(st.integers(1, 4))) for key in keys if draw(st.booleans()))
    return Making(wanted, draw(piece_rules()))


@st.composite
def build_pieces(draw: st.DrawFn, row: int, stock: Stock) -> BuildPiece:
    """A piece off a stock."""
    return BuildPiece(
        row,
        row,
        replace(stock, cost=None),
        begin=draw(st.floats(0.0, 10.0)),
        turned=draw(st.booleans()),
        spare=draw(st.sampled_from([0.0, 0.0254])),
        heavier=draw(st.sampled_from([1.0, 1.02])),
        own=draw(st.one_of(st.none(), masses)),
        sure=draw(st.booleans()),
        trimmed=draw(st.one_of(st.none(), st.just(0.0), st.just(1e-3))),
        opened=draw(st.one_of(st.none(), st.just(stock.whole_length))),
    )


@st.composite
def builds_(draw: st.DrawFn, line: str | None, shelf: Sequence[Stock], key: str) -> HeadBuild:
    """A build somewhere on its way."""
    head = draw(lines_("built", least=1))
    off = [*shelf, draw(stocks("used-up"))]
    pieces = tuple(
        draw(build_pieces(row, draw(st.sampled_from(off)))) for row in range(len(head.segments))
    )
    cut = draw(st.booleans())
    count = draw(st.integers(0, len(pieces) - 1)) if cut else 0
    joints = tuple(
        JointMade(draw(st.one_of(st.none(), masses)), draw(st.booleans())) for _ in range(count)
    )
    last = cut and count == len(pieces) - 1 and draw(st.booleans())
    return HeadBuild(
        key,
        line,
        draw(st.integers(1, 4)),
        head,
        draw(piece_rules()),
        pieces,
        cut,
        joints,
        rear_trimmed=draw(st.sampled_from([None, 0.0, 0.01])) if last else None,
        has_loops=last,
        last_reading=draw(st.one_of(st.none(), masses)) if last else None,
        was_told=draw(st.booleans()),
        note=draw(notes),
    )


dates = st.dates(date(2000, 1, 1), date(2099, 12, 31)).map(date.isoformat)


@st.composite
def versions_(draw: st.DrawFn, of: str, key: str) -> Version:
    line = draw(lines_(of, least=1, most=1))
    return Version(key, of, draw(names), draw(dates), line, draw(notes))


days = st.dates(date(2019, 1, 1), date(2031, 12, 31))
photographs = st.sampled_from(["before.jpg", "pictures/after.png", "C:/elsewhere/a.jpg"])


@st.composite
def jobs_(
    draw: st.DrawFn,
    lines: list[str],
    rods: list[str],
    key: str = "job-1",
    rigs: Sequence[str] = (),
    versions: Sequence[str] = (),
) -> Job:
    begun, finished = sorted(draw(st.lists(days, min_size=2, max_size=2)))
    return Job(
        key,
        draw(notes),
        draw(notes),
        draw(st.sampled_from([None, *rods])),
        draw(st.sampled_from([None, *lines])),
        begun=draw(st.sampled_from([None, begun])),
        finished=draw(st.sampled_from([None, finished])),
        state=draw(st.sampled_from(JobState)),
        note=draw(notes),
        cast=draw(notes),
        photographs=tuple(draw(st.lists(photographs, max_size=2, unique=True))),
        rig=draw(st.sampled_from([None, *rigs])),
        before=draw(st.sampled_from([None, *versions])),
        rig_before=draw(st.sampled_from([(), *((each, each) for each in versions)])),
    )


@st.composite
def benches(draw: st.DrawFn, *, least_lines: int = 0, least_rows: int = 0) -> Bench:
    rack = tuple(
        draw(lines_(f"line-{i + 1}", least=least_rows))
        for i in range(draw(st.integers(least_lines, 2)))
    )
    keys = [line.key for line in rack]
    owned = tuple(draw(rods_(f"rod-{i + 1}")) for i in range(draw(st.integers(0, 2))))
    shelf = tuple(draw(stocks(f"stock-{i + 1}")) for i in range(draw(st.integers(0, 2))))
    put = tuple(draw(rigs_(keys)) for _ in keys[1:2] if draw(st.booleans()))
    kept = tuple(
        draw(versions_(key, "version-1"))
        for key in draw(st.lists(st.sampled_from([*keys, "line-gone"]), max_size=1))
    )
    known = [rod.key for rod in owned], [rig.key for rig in put], [each.key for each in kept]
    return Bench(
        rack,
        owned,
        shelf,
        draw(waters()),
        draw(st.sampled_from([None, *(rod.key for rod in owned)])),
        draw(notes),
        View(
            draw(st.sampled_from([None, *keys])),
            tuple(key for key in keys if draw(st.booleans())),
            rig=draw(st.sampled_from([None, "rig-1"])),
            rig_overlays=("rig-1",) if draw(st.booleans()) else (),
            version_overlays=("version-1",) if draw(st.booleans()) else (),
        ),
        tuple(
            draw(measurements_(f"measurement-{i + 1}", draw(st.sampled_from([None, *keys]))))
            for i in range(draw(st.integers(0, 2)))
        ),
        tuple(draw(cut_backs_(line=key)) for key in keys[: draw(st.integers(0, 1))]),
        put,
        draw(swings()),
        tuple(draw(ranges_(key)) for key in keys[:1] if draw(st.booleans())),
        draw(behinds),
        draw(throws),
        draw(answers),
        pieces=draw(makings_(keys)),
        versions=kept,
        jobs=tuple(
            draw(jobs_(keys, known[0], f"job-{i + 1}", *known[1:]))
            for i in range(draw(st.integers(0, 2)))
        ),
        builds=tuple(
            draw(builds_(key, shelf, "build-1")) for key in keys[: draw(st.integers(0, 1))]
        ),
    )


# -- what a person can do -----------------------------------------------------------------------

Arguments = tuple[tuple[Any, ...], dict[str, Any]]
Drawing = Callable[[st.DrawFn, Bench], Arguments]

_SENSELESS = st.sampled_from([math.nan, math.inf, -math.inf, -1.0, 0.0, 1e-12, 1e12, 1e300])


def _perhaps_bad(good: st.SearchStrategy[float]) -> st.SearchStrategy[float]:
    return st.integers(0, 9).flatmap(lambda n: _SENSELESS if n == 0 else good)


def _line(draw: st.DrawFn, bench: Bench) -> str:
    keys = [line.key for line in bench.lines] or ["line-gone"]
    return draw(st.sampled_from([*keys * 4, "line-gone"]))


def _count(bench: Bench, key: str) -> int:
    return next((len(line.segments) for line in bench.lines if line.key == key), 0)


def _row(draw: st.DrawFn, bench: Bench, key: str) -> int:
    return draw(st.integers(-1, _count(bench, key)))


def _rows(draw: st.DrawFn, bench: Bench, key: str) -> list[int]:
    return draw(st.lists(st.integers(0, max(0, _count(bench, key) - 1)), max_size=4))


def _cell(*values: st.SearchStrategy[Any], **options: st.SearchStrategy[Any]) -> Drawing:
    def arguments(draw: st.DrawFn, bench: Bench) -> Arguments:
        key = _line(draw, bench)
        row = _row(draw, bench, key)
        return (key, row, *(draw(value) for value in values)), {
            name: draw(value) for name, value in options.items()
        }

    return arguments


def _of_line(*values: st.SearchStrategy[Any]) -> Drawing:
    def arguments(draw: st.DrawFn, bench: Bench) -> Arguments:
        return (_line(draw, bench), *(draw(value) for value in values)), {}

    return arguments


def _line_as_it_was(draw: st.DrawFn, bench: Bench) -> Arguments:
    return (draw(lines_(_line(draw, bench))),), {}


def _of_rows(*values: st.SearchStrategy[Any], **options: st.SearchStrategy[Any]) -> Drawing:
    def arguments(draw: st.DrawFn, bench: Bench) -> Arguments:
        key = _line(draw, bench)
        return (key, _rows(draw, bench, key), *(draw(value) for value in values)), {
            name: draw(value) for name, value in options.items()
        }

    return arguments


def _of_bench(*values: st.SearchStrategy[Any]) -> Drawing:
    return lambda draw, bench: (tuple(draw(value) for value in values), {})


def _cells(draw: st.DrawFn) -> dict[tuple[int, Column], Any]:
    values = {
        Column.PART: parts,
        Column.LENGTH: _perhaps_bad(lengths),
        Column.FRONT_DIAMETER: _perhaps_bad(diameters),
        Column.REAR_DIAMETER: _perhaps_bad(diameters),
        Column.DENSITY: _perhaps_bad(densities),
        Column.WEIGHT: _perhaps_bad(masses),
        Column.NOTE: notes,
    }
    places = st.tuples(st.integers(0, 3), st.sampled_from(CELLS))
    return {place: draw(values[place[1]]) for place in draw(st.lists(places, max_size=6))}


@st.composite
def pasted(draw: st.DrawFn) -> dict[tuple[int, Column], Any]:
    return _cells(draw)


def _key_of(what: str) -> Drawing:
    def arguments(draw: st.DrawFn, bench: Bench) -> Arguments:
        keys = [each.key for each in getattr(bench, what)]
        return (draw(st.sampled_from([*keys, "gone"])),), {}

    return arguments


def _from_stock(draw: st.DrawFn, bench: Bench) -> Arguments:
    key = _line(draw, bench)
    shelf = [each.key for each in bench.stock]
    return (
        key,
        _row(draw, bench, key),
        draw(st.sampled_from([*shelf * 4, "gone"])),
        draw(_perhaps_bad(lengths)),
    ), {}


def _to_stock(draw: st.DrawFn, bench: Bench) -> Arguments:
    key = _line(draw, bench)
    return (key, _row(draw, bench, key), draw(st.one_of(names, st.just(" ")))), {}


def _of_stock(*values: st.SearchStrategy[Any]) -> Drawing:
    def arguments(draw: st.DrawFn, bench: Bench) -> Arguments:
        keys = [each.key for each in bench.stock]
        key = draw(st.sampled_from([*keys * 4, "gone"]))
        return (key, *(draw(value) for value in values)), {}

    return arguments


def _plan_cut(draw: st.DrawFn, bench: Bench) -> Arguments:
    keys = [each.key for each in bench.stock]
    cuts = st.lists(st.tuples(_perhaps_bad(lengths), _perhaps_bad(lengths)), max_size=3)
    return (draw(st.dictionaries(st.sampled_from([*keys * 4, "gone"]), cuts, max_size=2)),), {}


def _of_cut_back(*values: st.SearchStrategy[Any], **options: st.SearchStrategy[Any]) -> Drawing:
    def arguments(draw: st.DrawFn, bench: Bench) -> Arguments:
        keys = [job.key for job in bench.cut_backs]
        key = draw(st.sampled_from([*keys * 4, "gone"]))
        return (key, *(draw(value) for value in values)), {
            name: draw(value) for name, value in options.items()
        }

    return arguments


def _keys(things: Sequence[Any]) -> list[str]:
    return [each.key for each in things]


def _of_build(*values: st.SearchStrategy[Any], **options: st.SearchStrategy[Any]) -> Drawing:
    def arguments(draw: st.DrawFn, bench: Bench) -> Arguments:
        key = draw(st.sampled_from([*_keys(bench.builds) * 4, "gone"]))
        return (key, *(draw(value) for value in values)), {
            name: draw(value) for name, value in options.items()
        }

    return arguments


def _of_range(*values: st.SearchStrategy[Any], **options: st.SearchStrategy[Any]) -> Drawing:
    def arguments(draw: st.DrawFn, bench: Bench) -> Arguments:
        keys = [each.key for each in bench.ranges]
        key = draw(st.sampled_from([*keys * 4, "gone"]))
        return (key, *(draw(value) for value in values)), {
            name: draw(value) for name, value in options.items()
        }

    return arguments


def _of_job(*values: st.SearchStrategy[Any]) -> Drawing:
    def arguments(draw: st.DrawFn, bench: Bench) -> Arguments:
        keys = [each.key for each in bench.jobs]
        key = draw(st.sampled_from([*keys * 4, "gone"]))
        return (key, *(draw(value) for value in values)), {}

    return arguments


def _of_measurement(*values: st.SearchStrategy[Any]) -> Drawing:
    def arguments(draw: st.DrawFn, bench: Bench) -> Arguments:
        keys = [each.key for each in bench.measurements]
        key = draw(st.sampled_from([*keys * 6, "gone"]))
        return (key, *(draw(value) for value in values)), {}

    return arguments


def _fixed_place(draw: st.DrawFn, bench: Bench) -> Arguments:
    (key,), _ = _of_measurement()(draw, bench)
    fixed = [place for each in bench.measurements for place in each.breakpoints]
    return (key, draw(st.sampled_from([0.5, *fixed]))), {}


_places = _perhaps_bad(st.floats(0.0, 30.0))
_row_numbers = st.integers(-1, 3)
_weights_and_rods = st.tuples(
    st.lists(_perhaps_bad(masses), max_size=3),
    st.lists(_perhaps_bad(st.floats(2.0, 5.0)), max_size=2),
)
_row_lists = st.lists(st.integers(0, 3), max_size=2)
_readings = st.lists(_perhaps_bad(diameters), max_size=3).map(tuple)
_tool_steps = _perhaps_bad(st.floats(1e-7, 1e-3))

_solves, _ends = st.sampled_from(Solve), st.sampled_from(Ends)
ways_to_move = st.one_of(
    st.builds(
        figures.May, st.sampled_from([each for each in figures.Moves if each != "one length"])
    ),
    st.builds(figures.May, st.just(figures.Moves.LENGTH), st.integers(-1, 4)),
)
_or_none = st.none()
_places_in_rows = st.lists(
    st.tuples(st.integers(-1, 4), st.sampled_from(Cell)), min_size=1, max_size=3
)


def _goal_of(draw: st.DrawFn, bench: Bench) -> Arguments:
    others = [line.key for line in bench.lines] + ["gone"]
    return (_line(draw, bench), draw(goals_(others))), {}


@st.composite
def _wild(draw: st.DrawFn, things: st.SearchStrategy[Any]) -> Any:
    """A thing, now and then with a number that the model allows and no file may hold."""
    thing = draw(things)
    if draw(st.integers(0, 4)):
        return thing
    name, limited = draw(st.sampled_from(list(LIMITS[type(thing)].items())))
    kind = limited.kind
    value = draw(st.sampled_from([1e-12, kind.lowest / 2.0, kind.highest * 2.0, 1e6]))
    try:
        return replace(thing, **{name: value})
    except ValueError:
        return thing


EDITS: dict[Callable[..., Edited], Drawing] = {
    value_edits.set_part: _cell(parts),
    value_edits.set_note: _cell(notes),
    value_edits.set_length: _cell(_perhaps_bad(lengths)),
    value_edits.set_front_diameter: _cell(_perhaps_bad(diameters), _ends),
    value_edits.set_rear_diameter: _cell(_perhaps_bad(diameters), _ends),
    value_edits.set_density: _cell(_perhaps_bad(densities)),
    value_edits.set_weight: _cell(_perhaps_bad(masses), _solves, _ends),
    value_edits.set_front_linear_density: _cell(_perhaps_bad(linear_densities), _solves, _ends),
    value_edits.set_rear_linear_density: _cell(_perhaps_bad(linear_densities), _solves, _ends),
    value_edits.set_sink_rate: _cell(_perhaps_bad(rates)),
    value_edits.set_core: _cell(
        _perhaps_bad(diameters),
        _perhaps_bad(densities),
        st.one_of(_or_none, _perhaps_bad(densities)),
    ),
    value_edits.remove_core: _cell(),
    value_edits.set_joint: _cell(_wild(joints)),
    row_edits.insert: _cell(segments_()),
    row_edits.insert_default: _cell(),
    row_edits.insert_rows: _cell(st.lists(segments_(), max_size=3)),
    row_edits.delete: _of_rows(),
    row_edits.duplicate: _of_rows(),
    row_edits.move: _of_rows(st.integers(-1, 7)),
    row_edits.split_segment: _cell(_perhaps_bad(lengths)),
    row_edits.merge: _of_rows(keep_weight=st.booleans()),
    row_edits.reverse: _of_line(),
    cell_edits.fill_down: _of_rows(st.lists(st.sampled_from(CELLS), max_size=3), _ends),
    cell_edits.paste_cells: _cell(pasted(), _ends),
    breakpoint_edits.drag_breakpoint: _cell(
        st.one_of(_or_none, _perhaps_bad(st.floats(-1.0, 60.0))),
        behind=st.booleans(),
        diameter=st.one_of(_or_none, _perhaps_bad(diameters)),
        linear_density=st.one_of(_or_none, _perhaps_bad(linear_densities)),
        joined=_ends,
    ),
    breakpoint_edits.put_back: _line_as_it_was,
    breakpoint_edits.drag_measured: _of_measurement(_places, _places),
    figures.set_figure: _of_line(
        st.sampled_from(figures.Figure), _perhaps_bad(st.floats(0.001, 30.0)), ways_to_move
    ),
    goals.set_goal: _goal_of,
    goals.clear_goals: _of_line(st.one_of(_or_none, st.lists(goals_(), max_size=2))),
    goals.set_columns: _of_line(*[st.one_of(_or_none, st.booleans())] * 3),
    goals.set_locks: _of_line(_places_in_rows, st.booleans()),
    goals.set_bounds: _cell(
        st.sampled_from(Cell),
        st.one_of(_or_none, _perhaps_bad(lengths)),
        st.one_of(_or_none, _perhaps_bad(lengths)),
    ),
    goals.set_tie: _of_line(_places_in_rows, st.booleans()),
    goals.take_answer: _of_line(
        st.lists(
            st.tuples(st.integers(-1, 3), st.sampled_from(Cell), _perhaps_bad(diameters)),
            max_size=3,
        ),
        st.booleans(),
    ),
    lines.add_line: _of_bench(st.text(max_size=4)),
    lines.add_begun_line: _of_bench(lines_()),
    lines.duplicate_line: _of_line(),
    lines.delete_line: _of_line(),
    lines.rename_line: _of_line(st.text(max_size=4)),
    lines.set_style: _of_line(styles),
    lines.describe_line: _of_line(st.text(max_size=4), styles, _wild(loops), _wild(loops), notes),
    lines.add_lines_from: _of_bench(
        st.lists(lines_(most=2), max_size=1).map(lambda rack: Bench(tuple(rack)))
    ),
    bench_edits.set_rods: _of_bench(
        st.lists(
            st.sampled_from(["rod-1", "rod-2"]).flatmap(lambda key: _wild(rods_(key))), max_size=2
        ).map(tuple),
        st.sampled_from([None, "rod-1", "rod-2"]),
    ),
    bench_edits.choose_rod: lambda draw, bench: (
        (None,) if draw(st.booleans()) else _key_of("rods")(draw, bench)[0],
        {},
    ),
    stock_edits.keep_as_stock: _to_stock,
    stock_edits.put_on_shelf: _of_bench(stocks()),
    stock_edits.delete_stock: _key_of("stock"),
    stock_edits.add_stock: _of_bench(st.lists(_wild(stocks()), max_size=2)),
    stock_edits.change_stock: _of_stock(_wild(stocks())),
    stock_edits.weigh_stock: _of_stock(
        _perhaps_bad(lengths), _perhaps_bad(masses), _perhaps_bad(st.floats(1e-6, 1e-4))
    ),
    stock_edits.believe_stock: _of_stock(
        _perhaps_bad(st.floats(0.8, 1.2)), _perhaps_bad(st.floats(0.0, 0.1))
    ),
    stock_edits.cut_from_stock: _of_stock(_perhaps_bad(lengths), _perhaps_bad(lengths)),
    stock_edits.cut_plan: _plan_cut,
    stock_edits.tie_segments: _of_rows(notes),
    stock_edits.insert_from_stock: _from_stock,
    bench_edits.set_water: _of_bench(
        st.sampled_from(WaterKind),
        _perhaps_bad(st.floats(COLDEST, WARMEST)),
        _perhaps_bad(st.floats(0.0, SALTIEST)),
    ),
    bench_edits.set_note: _of_bench(notes),
    tips.add_tip: _of_bench(lines_(most=2)),
    rigs.make_rig: lambda draw, bench: (
        (_line(draw, bench), [_line(draw, bench) for _ in range(draw(st.integers(0, 2)))]),
        {"name": draw(notes)},
    ),
    rigs.loop_otherwise: lambda draw, bench: (
        (*_key_of("rigs")(draw, bench)[0], _line(draw, bench), [_line(draw, bench)]),
        {},
    ),
    rigs.describe_rig: lambda draw, bench: (
        (
            *_key_of("rigs")(draw, bench)[0],
            draw(notes),
            draw(st.one_of(st.none(), _wild(leaders))),
            draw(st.one_of(st.none(), _wild(flies))),
            draw(notes),
        ),
        {},
    ),
    rigs.rename_rig: lambda draw, bench: (
        (*_key_of("rigs")(draw, bench)[0], draw(st.text(max_size=8))),
        {},
    ),
    rigs.duplicate_rig: _key_of("rigs"),
    rigs.delete_rig: _key_of("rigs"),
    ranges.make_range: lambda draw, bench: (
        (_line(draw, bench), *draw(_weights_and_rods)),
        {"name": draw(notes)},
    ),
    ranges.ask_members: lambda draw, bench: (
        (*_key_of("ranges")(draw, bench)[0], *draw(_weights_and_rods)),
        {},
    ),
    ranges.change_member: _of_range(
        _row_numbers, _perhaps_bad(masses), st.one_of(_or_none, _perhaps_bad(st.floats(2.0, 5.0)))
    ),
    ranges.add_member: _of_range(
        _perhaps_bad(masses), st.one_of(_or_none, _perhaps_bad(st.floats(2.0, 5.0)))
    ),
    ranges.remove_members: _of_range(_row_lists),
    ranges.set_rules: _of_range(st.sampled_from(LengthRule), st.sampled_from(ThicknessRule)),
    ranges.set_basis: _of_range(
        st.one_of(_or_none, _perhaps_bad(st.floats(2.0, 5.0))),
        st.one_of(_or_none, _perhaps_bad(lengths)),
        is_rounded=st.booleans(),
    ),
    ranges.grade_from: lambda draw, bench: (
        (*_key_of("ranges")(draw, bench)[0], _line(draw, bench)),
        {},
    ),
    ranges.edit_by_hand: _of_range(_row_numbers, lines_(most=2)),
    ranges.type_by_hand: _of_range(_row_numbers, lines_("member-A", least=1, most=2), pasted()),
    ranges.follow_again: _of_range(_row_numbers),
    ranges.lay_on_bench: _of_bench(st.lists(lines_(most=2), max_size=2)),
    ranges.rename_range: _of_range(st.text(max_size=8)),
    ranges.delete_range: _key_of("ranges"),
    versions.keep_version: _of_line(st.text(max_size=4), dates, notes),
    versions.rename_version: lambda draw, bench: (
        (*_key_of("versions")(draw, bench)[0], draw(st.text(max_size=4))),
        {},
    ),
    versions.note_version: lambda draw, bench: (
        (*_key_of("versions")(draw, bench)[0], draw(notes)),
        {},
    ),
    versions.drop_version: _key_of("versions"),
    versions.bring_back: _key_of("versions"),
    versions.put_version_on_bench: _key_of("versions"),
    rigs.set_swing: _of_bench(_wild(swings())),
    casting_edits.set_behind: _of_bench(_wild(behinds)),
    which_head.set_answers: _of_bench(_wild(answers)),
    casting_edits.set_throw: _of_bench(_wild(throws)),
    measure.start_measurement: lambda draw, bench: (
        (
            draw(st.sampled_from([None, _line(draw, bench)])),
            draw(st.one_of(_or_none, _perhaps_bad(lengths))),
            draw(st.one_of(_or_none, _perhaps_bad(masses))),
            draw(notes),
        ),
        {},
    ),
    measure.delete_measurement: _of_measurement(),
    measure.set_material: _of_measurement(st.sampled_from(Material)),
    measure.describe_measurement: _of_measurement(
        st.text(max_size=4),
        st.sampled_from([None, "line-1", "gone"]),
        _wild(loops),
        _wild(loops),
        notes,
    ),
    measure.set_instruments: _of_measurement(*[_tool_steps] * 4),
    measure.set_total_length: _of_measurement(_perhaps_bad(lengths)),
    measure.set_total_weight: _of_measurement(st.one_of(_or_none, _perhaps_bad(masses))),
    measure.add_station: _of_measurement(_places, _perhaps_bad(diameters)),
    measure.replace_station: _of_measurement(_row_numbers, _places, _readings),
    measure.delete_stations: _of_measurement(_row_lists),
    measure.paste_stations: _of_measurement(st.lists(st.tuples(_places, _readings), max_size=3)),
    measure.add_section: _of_measurement(_places, _places, _perhaps_bad(masses), _spans),
    measure.replace_section: _of_measurement(_row_numbers, _places, _places, _perhaps_bad(masses)),
    measure.delete_sections: _of_measurement(_row_lists),
    measure.fix_breakpoint: _of_measurement(_places),
    measure.move_breakpoint: _of_measurement(_places, _places),
    measure.release_breakpoint: _fixed_place,
    measure.set_breakpoints: _of_measurement(st.lists(_places, max_size=2)),
    measure.set_only_fixed: _of_measurement(st.booleans()),
    measure.set_part: _of_measurement(_row_numbers, parts, st.lists(parts, max_size=3)),
    measure.put_on_bench: _of_measurement(lines_(least=1, cores=False)),
    jobs.take_in_job: _of_bench(
        st.sampled_from([None, "line-1", "line-gone"]),
        st.sampled_from([None, "rod-1", "gone"]),
        notes,
        notes,
        st.sampled_from([None, "rig-1", "rig-gone"]),
    ),
    jobs.begin_job: _of_job(days),
    jobs.finish_job: _of_job(days),
    jobs.hand_over_job: _of_job(),
    jobs.come_to: _of_job(st.sampled_from(JobState), days),
    jobs.describe_job: _of_job(
        jobs_(["line-1", "line-gone"], ["rod-1", "rod-gone"], "other", ["rig-1", "rig-gone"])
    ),
    jobs.set_days: _of_job(st.none() | days, st.none() | days),
    jobs.repeat_job: _of_job(),
    jobs.drop_job: _of_job(),
    jobs.attach_photographs: _of_job(st.lists(st.one_of(photographs, st.just(" ")), max_size=3)),
    jobs.detach_photograph: _of_job(photographs),
    jobs.rename_photographs: _of_bench(st.dictionaries(photographs, photographs, max_size=2)),
    piece_edits.want_heads: _of_line(st.integers(-1, 300)),
    piece_edits.set_rules: _of_bench(_wild(piece_rules())),
    build_edits.begin_builds: lambda draw, bench: (
        (
            [
                draw(builds_(draw(st.sampled_from([*_keys(bench.lines), None])), bench.stock, ""))
                for _ in range(draw(st.integers(0, 2)))
            ],
            *_plan_cut(draw, bench)[0],
        ),
        {},
    ),
    build_edits.weigh_piece: _of_build(_row_numbers, st.one_of(_or_none, _perhaps_bad(masses))),
    build_edits.weigh_tube: _of_build(st.one_of(_or_none, _perhaps_bad(st.floats(0.0, 4e-4)))),
    build_edits.trust_piece: _of_build(_row_numbers, sure=st.booleans()),
    build_edits.pieces_are_cut: _of_build(),
    build_edits.trim_piece: _of_build(_row_numbers, _perhaps_bad(st.just(0.0) | lengths)),
    build_edits.make_joint: _of_build(st.one_of(_or_none, _perhaps_bad(masses))),
    build_edits.weigh_joint: _of_build(_row_numbers, _perhaps_bad(masses)),
    build_edits.trust_joint: _of_build(_row_numbers, sure=st.booleans()),
    build_edits.trim_rear: _of_build(_perhaps_bad(st.just(0.0) | lengths)),
    build_edits.make_loops: _of_build(),
    build_edits.weigh_finished: _of_build(st.one_of(_or_none, _perhaps_bad(masses))),
    build_edits.trust_finished: _of_build(sure=st.booleans()),
    build_edits.take_back_step: _of_build(),
    build_edits.tell_shelf: lambda draw, bench: (
        (
            *_of_build()(draw, bench)[0],
            draw(
                st.dictionaries(
                    st.sampled_from([*_keys(bench.stock), "gone"]),
                    st.tuples(_perhaps_bad(st.floats(0.8, 1.2)), _perhaps_bad(st.floats(0.0, 0.1))),
                    max_size=2,
                )
            ),
        ),
        {},
    ),
    build_edits.finish_build: _of_build(lines_(least=1), st.text(max_size=4), notes),
    build_edits.give_up_build: _of_build(),
    build_edits.delete_build: _of_build(),
    tolerance_edits.set_tolerance: _of_line(_wild(tolerances)),
    tolerance_edits.leave_on: lambda draw, bench: (
        (
            *_cell(_perhaps_bad(lengths))(draw, bench)[0],
            draw(_perhaps_bad(masses)),
            draw(_wild(instruments)),
        ),
        {},
    ),
    cut_back.start_cut_back: _of_line(_targets, _wild(instruments)),
    cut_back.delete_cut_back: _of_cut_back(),
    cut_back.set_target: _of_cut_back(_targets),
    cut_back.set_end: _of_cut_back(
        st.sampled_from(CutEnd), st.one_of(_or_none, _perhaps_bad(st.floats(0.0, 1.0)))
    ),
    cut_back.tell_ends: _of_cut_back(told=st.booleans()),
    cut_back.set_new_loops: _of_cut_back(_wild(_new_loops), _wild(_new_loops)),
    cut_back.set_limits: _of_cut_back(_wild(_limits)),
    cut_back.set_instruments: _of_cut_back(_wild(instruments)),
    cut_back.set_first_reading: _of_cut_back(st.one_of(_or_none, _perhaps_bad(masses))),
    cut_back.set_last_reading: _of_cut_back(st.one_of(_or_none, _perhaps_bad(masses))),
    cut_back.record_cut: _of_cut_back(_wild(_steps)),
    cut_steps.cut_off: _of_cut_back(st.sampled_from(CutEnd), _perhaps_bad(lengths)),
    cut_steps.weigh_cut: _of_cut_back(
        st.one_of(_or_none, _perhaps_bad(masses)), st.one_of(_or_none, _perhaps_bad(masses))
    ),
    cut_steps.take_back: _of_cut_back(),
    cut_back.drop_reading: _of_cut_back(st.sampled_from(Weighing), st.integers(-1, 3)),
    cut_back.take_reading_again: _of_cut_back(st.sampled_from(Weighing), st.integers(-1, 3)),
    cut_back.trust_last_reading: _of_cut_back(sure=st.booleans()),
    cut_back.trust_readings: _of_cut_back(st.integers(-1, 3) | st.none(), sure=st.booleans()),
    cut_back.change_step: _of_cut_back(st.integers(-1, 3), _wild(_steps)),
    cut_back.remove_last_step: _of_cut_back(),
    cut_back.put_on_bench: _of_cut_back(
        lines_(least=1),
        st.text(max_size=4),
        notes,
        keep=st.booleans(),
        uncut=st.one_of(_or_none, lines_(least=1)),
    ),
}
"""Every edit, and how to draw arguments for it, some of which make no sense."""


@st.composite
def done_to(
    draw: st.DrawFn, bench: Bench, edit: Callable[..., Edited] | None = None
) -> tuple[Callable[..., Edited], tuple[Any, ...], dict[str, Any]]:
    """An edit (or the one named) with arguments that fit a bench more often than not."""
    chosen = edit or draw(st.sampled_from(list(EDITS)))
    args, options = EDITS[chosen](draw, bench)
    return chosen, args, options
