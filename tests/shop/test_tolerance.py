"""What each ± does to a head: one dimension at a time, all together, and by drawing lots."""

from __future__ import annotations

import math
import os
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Line, Loop, LoopKind, line_of
from taperlab.model.measurement import USUAL, Instruments
from taperlab.model.rod import Window
from taperlab.model.segment import Core, Part, Segment
from taperlab.model.tolerance import Tolerance
from taperlab.model.water import Water
from taperlab.physics.profile import Profile
from taperlab.physics.water import water_state
from taperlab.shop.analyse import analyse_line
from taperlab.shop.errors import rounding_error
from taperlab.shop.tolerance.builds import (
    belly_row,
    builds,
    landing,
    left_on,
    shrink_for,
)
from taperlab.shop.tolerance.dimensions import TWICE, What
from taperlab.shop.tolerance.study import Asked, ToleranceStudy, study
from taperlab.units.finding import Impossible
from tests.strategies import lines_

DRAWS = int(os.environ.get("TAPERLAB_LOTS", "50000"))
"""Heads that are drawn by lot."""

WATER = Water()
STATE = water_state(WATER)


def scandi(density: float = 870.0) -> Line:
    """A head of four rows, three diameters and the belly's, of one batch."""
    ends = (0.034, 0.034, 0.078, 0.104, 0.104)
    sizes = (1.0, 16.0, 13.0, 7.0)
    parts = (Part.TIP, Part.FRONT_TAPER, Part.FRONT_TAPER, Part.BELLY)
    rows = tuple(
        Segment(part, size * FOOT, a * INCH, b * INCH, density)
        for part, size, a, b in zip(parts, sizes, ends, ends[1:], strict=False)
    )
    return line_of("line", "Head", rows)


def told(line: Line, **typed: float | None) -> ToleranceStudy:
    return study(Asked(replace(line, tolerance=Tolerance(**typed)), USUAL, WATER))


SILENT = {"length": 0.0, "diameter": 0.0, "offset": 0.0, "density": 0.0}


def figures(line: Line) -> tuple[float, float, float, float]:
    """The four figures, as everywhere else in the program."""
    head = analyse_line(line, WATER).head
    assert head is not None
    return head.mass, head.balance_point, head.front_taper_mass_share, head.sink


def moved(line: Line, cause, by: float) -> Line:
    """The line with one dimension moved, cell by cell: the code under test has its own way."""
    dimension = cause.dimension
    segments = []
    for i, each in enumerate(line.segments):
        changes = {}
        if dimension.what is What.LENGTH and i in dimension.rows:
            changes["length"] = each.length + by
        if dimension.what is What.DENSITY and i in dimension.rows:
            changes["density"] = each.density + by
        for name in ("front_diameter", "rear_diameter"):
            old = getattr(each, name)
            own = i in dimension.rows and math.isclose(old, dimension.value, rel_tol=1e-9)
            if dimension.what is What.OFFSET or (dimension.what is What.DIAMETER and own):
                changes[name] = old + by
        segments.append(replace(each, **changes))
    return replace(line, segments=tuple(segments))


# -- dimensions ----------------------------------------------------------------------------------


def test_ends_that_are_one_are_one_dimension():
    found = told(scandi())
    assert sorted(each.dimension.rows for each in found.of(What.DIAMETER)) == [
        (0, 1),
        (1, 2),
        (2, 3),
    ]
    belly = next(c for c in found.of(What.DIAMETER) if c.dimension.rows == (2, 3))
    assert belly.dimension.level == (3,)
    assert len(found.of(What.LENGTH)) == 4
    assert [each.dimension.rows for each in found.of(What.DENSITY)] == [(0, 1, 2, 3)]


def test_a_step_at_a_joint_is_two_dimensions_and_another_density_another_batch():
    line = scandi()
    front = replace(line.segments[0], rear_diameter=0.033 * INCH, density=1200.0)
    found = told(replace(line, segments=(front, *line.segments[1:])))
    assert len(found.of(What.DIAMETER)) == 5
    assert sorted(each.dimension.rows for each in found.of(What.DENSITY)) == [(0,), (1, 2, 3)]


def test_splitting_a_straight_taper_adds_a_diameter_but_no_weight_by_all_diameters():
    whole, parted = scandi(), scandi()
    taper = parted.segments[1]
    ahead, behind = taper.cut(0.0, 3.0), taper.cut(3.0, taper.length)
    rows = (parted.segments[0], ahead, behind, *parted.segments[2:])
    parted = line_of("line", "Head", rows)
    one, other = told(whole), told(parted)
    assert other.every_diameter == pytest.approx(one.every_diameter, rel=1e-12)
    assert len(other.of(What.DIAMETER)) == len(one.of(What.DIAMETER)) + 1


@settings(max_examples=25, deadline=None)
@given(line=lines_(least=1))
def test_every_slope_is_what_the_figures_do(line):
    rows = tuple(replace(each, core=None) for each in line.segments)
    assume(all(each.part.in_head for each in rows))
    line = replace(line, segments=rows, tolerance=Tolerance())
    try:
        found = study(Asked(line, USUAL, WATER))
    except Impossible:
        assume(False)
    for cause in found.causes:
        scale = {What.LENGTH: 1e-5, What.DENSITY: 1e-3}.get(cause.dimension.what, 1e-9)
        high, low = (figures(moved(line, cause, way * scale)) for way in (1.0, -1.0))
        for name, up, down, size in zip(
            ("mass", "balance", "share"), high, low, found.values, strict=False
        ):
            central = (up - down) / (2.0 * scale)
            slack = 1e-8 * abs(size) / scale
            assert getattr(cause.slopes, name) == pytest.approx(central, rel=1e-4, abs=slack)


@pytest.mark.parametrize("density", [870.0, 1300.0])
def test_sink_slopes_are_what_the_rate_does_away_from_neutral(density):
    line = replace(scandi(density), front_loop=Loop(LoopKind.FOLDED, 0.06, 5e-5))
    typed = {"length": 0.02, "diameter": 1e-6, "offset": 1e-6, "density": 0.5}
    for cause in told(line, **typed).causes:
        step = {What.LENGTH: 1e-4, What.DENSITY: 0.01}.get(cause.dimension.what, 1e-8)
        high, low = (figures(moved(line, cause, way * step))[3] for way in (1.0, -1.0))
        central = (high - low) / (2.0 * step)
        most = 2e-3 * abs(found_rate(line)) / (20.0 * FOOT)
        assert cause.slopes.sink == pytest.approx(central, rel=5e-3, abs=most)


def found_rate(line: Line) -> float:
    return figures(line)[3]


def test_typed_and_read():
    """A typed ± is two standard deviations; a step read is rounded, JCGM 100:2008, F.2.2.1."""
    tools = Instruments(0.5 * GRAIN, INCH / 8.0, 0.0005 * INCH)
    read = study(Asked(scandi(), tools, WATER))
    length = read.of(What.LENGTH)[0].dimension.sigma
    assert length == pytest.approx(INCH / 8.0 / (2.0 * math.sqrt(3.0)), rel=1e-12)
    diameter = read.of(What.DIAMETER)[0].dimension.sigma
    assert diameter == pytest.approx(0.0005 * INCH / (2.0 * math.sqrt(3.0)), rel=1e-12)
    typed = told(scandi(), length=0.004, diameter=2e-5, offset=3e-5, density=8.0)
    for what, off in (
        (What.LENGTH, 0.004),
        (What.DIAMETER, 2e-5),
        (What.OFFSET, 3e-5),
        (What.DENSITY, 8.0),
    ):
        assert {each.off for each in typed.of(what)} == {off}


# -- the traps -------------------------------------------------------------------------------------


def test_a_micrometers_offset_moves_all_diameters_one_way():
    found = told(scandi(), **{**SILENT, "offset": 2e-5})
    each = sum(cause.slopes.mass for cause in found.of(What.DIAMETER))
    assert found.every_diameter == pytest.approx(each, rel=1e-12)
    assert found.spread.one.mass == pytest.approx(each * 2e-5, rel=1e-12)
    high = figures(moved(scandi(), found.of(What.OFFSET)[0], 2e-5))[0]
    assert high - found.values.mass == pytest.approx(found.spread.one.mass, rel=0.01)


def test_an_offset_cancels_where_density_was_weighed_on_a_piece_measured_alike():
    level = line_of("line", "Level", (Segment(Part.BELLY, 8.0, 0.0024, 0.0024, 870.0),))
    typed = {**SILENT, "offset": 2e-5}
    bare, weighed = (told(level, **typed, piece=piece).spread.one.mass for piece in (None, 3.0))
    assert bare > 1e-5
    assert weighed == pytest.approx(0.0, abs=1e-12)
    # Of a taper most cancels: the piece is as thick as its heaviest part.
    bare, weighed = (told(scandi(), **typed, piece=piece).spread.one.mass for piece in (None, 3.0))
    assert weighed < 0.15 * bare


def test_a_density_weighed_on_a_piece_is_as_sure_as_scale_tape_and_micrometer():
    """Against three pieces as thick as the heaviest segment's middle, each read a little wrong."""
    line, piece, d, r = scandi(), 3.0, 0.091 * INCH, 870.0
    m = r * math.pi / 4.0 * d * d * piece

    def density(mass=m, length=piece, diameter=d):
        return mass / (math.pi / 4.0 * diameter**2 * length)

    found = told(line, length=0.004, diameter=2e-5, piece=piece)
    apart = (
        (density(mass=m + rounding_error(USUAL.scale)) - r),
        (density(length=piece + 0.002) - r),
        (density(diameter=d + 1e-5) - r),
    )
    assert found.of(What.DENSITY)[0].dimension.sigma == pytest.approx(math.hypot(*apart), rel=0.01)


def test_a_piece_of_a_cored_line_tells_of_its_coating():
    core = Core(0.001, 1140.0)
    line = line_of("line", "Cored", (Segment(Part.BELLY, 8.0, 0.0024, 0.0024, 800.0, core),))
    typed = {**SILENT, "offset": 2e-5}
    assert told(line, **typed, piece=3.0).spread.one.mass == pytest.approx(0.0, abs=1e-12)


def test_once_weighed_the_weight_is_as_sure_as_the_scale():
    found = told(scandi())
    scale = TWICE * rounding_error(USUAL.scale)
    assert found.scale == scale
    assert found.spread.weighed.mass == pytest.approx(scale, rel=2e-3)
    assert found.spread.weighed.mass < scale
    for name in ("balance", "share", "sink"):
        assert getattr(found.spread.weighed, name) <= getattr(found.spread.one, name)


def test_a_scale_that_tells_nothing_leaves_all_as_it_was():
    coarse = replace(USUAL, scale=1.0)
    found = study(Asked(scandi(), coarse, WATER))
    for name in ("mass", "balance", "share", "sink"):
        after, before = (getattr(each, name) for each in (found.spread.weighed, found.spread.one))
        assert after == pytest.approx(before, rel=1e-3)


def test_near_neutral_both_ends_are_worked_out():
    """A head as dense as the water sinks or rises; its slope there has no end."""
    line = scandi(STATE.density)
    found = told(line, **{**SILENT, "density": 10.0})
    assert found.values.sink == 0.0
    low, high = (
        found_rate(moved(line, found.of(What.DENSITY)[0], way * 10.0)) for way in (-1.0, 1.0)
    )
    assert low < 0.0 < high
    assert found.sink_ends == pytest.approx((low, high), rel=1e-6)
    assert found.spread.one.sink == pytest.approx((high - low) / 2.0, rel=1e-6)
    nearly = told(scandi(STATE.density + 4.0), **{**SILENT, "density": 10.0})
    assert nearly.sink_ends[0] < 0.0 < nearly.sink_ends[1]
    assert abs(nearly.sink_ends[0]) < nearly.sink_ends[1]


def test_independent_and_common_are_apart_and_drag_is_in_no_sum():
    found = told(scandi())
    alone = told(scandi(), offset=0.0, density=0.0)
    common = told(scandi(), length=0.0, diameter=0.0)
    assert found.spread.apart == pytest.approx(alone.spread.one, rel=1e-9)
    assert found.spread.alike == pytest.approx(common.spread.one, rel=1e-9)
    assert alone.spread.alike == (0.0, 0.0, 0.0, 0.0)
    for name in ("mass", "balance", "share"):
        apart, alike, one = (
            getattr(each, name)
            for each in (found.spread.apart, found.spread.alike, found.spread.one)
        )
        assert one == pytest.approx(math.hypot(apart, alike), rel=1e-9)
    nothing = told(scandi(), **SILENT)
    assert nothing.spread.one == (0.0, 0.0, 0.0, 0.0)
    assert nothing.sink_ends[0] == nothing.sink_ends[1] == pytest.approx(nothing.values.sink)
    assert nothing.drag_ends == found.drag_ends
    assert found.drag_ends[0] < found.values.sink < found.drag_ends[1]


def test_a_line_without_a_head_has_none():
    line = line_of("line", "Running", (Segment(Part.RUNNING_LINE, 20.0, 0.001, 0.001, 900.0),))
    with pytest.raises(Impossible):
        study(Asked(line, USUAL, WATER))


def test_what_lies_behind_the_head_does_not_count():
    line = scandi()
    running = Segment(Part.RUNNING_LINE, 20.0, 0.001, 0.001, 900.0)
    longer = line_of("line", "Head", (*line.segments, running))
    assert told(longer).spread == told(line).spread


# -- by lot ------------------------------------------------------------------------------------


def drawn(line: Line, found: ToleranceStudy, seed: int) -> Profile:
    """Heads whose dimensions are drawn by lot, each by itself, as arrays."""
    chance = np.random.default_rng(seed)
    count, rows = DRAWS, len(line.segments)
    base = Profile.of(line)
    lengths = np.tile(base.lengths, (count, 1))
    front, rear = (
        np.tile(base.front_diameters, (count, 1)),
        np.tile(base.rear_diameters, (count, 1)),
    )
    density = np.tile(base.densities, (count, 1))
    for cause in found.causes:
        one = cause.dimension
        by = chance.normal(0.0, one.sigma, count)
        for i in range(rows) if one.what is What.OFFSET else one.rows:
            if one.what is What.LENGTH:
                lengths[:, i] += by
            elif one.what is What.DENSITY:
                density[:, i] += by
            else:
                for ends, nominal in (
                    (front, line.segments[i].front_diameter),
                    (rear, line.segments[i].rear_diameter),
                ):
                    if one.what is What.OFFSET or math.isclose(nominal, one.value, rel_tol=1e-9):
                        ends[:, i] += by
    return Profile.of_many(lengths, front, rear, density)


@pytest.mark.parametrize(("density", "seed"), [(870.0, 0), (1250.0, 1)])
def test_the_law_holds_by_lot(density, seed):
    """First order agrees with heads drawn by lot within 1 %, for all four figures."""
    line = scandi(density)
    found = told(line, length=0.01, diameter=2.5e-5, offset=1.5e-5, density=0.01 * density)
    many = drawn(line, found, seed)
    masses = many.mass()
    front = np.array([1.0, 1.0, 1.0, 0.0])
    sigmas = {
        "mass": masses.std(),
        "balance": many.balance().std(),
        "share": (many.mass(front) / masses).std(),
        "sink": many.sink_rate(STATE).std(),
    }
    for name, sigma in sigmas.items():
        assert getattr(found.spread.one, name) == pytest.approx(TWICE * sigma, rel=0.01), name


def test_builds_land_as_they_do_by_lot():
    line = scandi()
    found = told(line, length=0.01, diameter=5e-5, offset=3e-5, density=15.0)
    mass = found.values.mass
    window = Window(line.style, mass - 12.0 * GRAIN, mass + 20.0 * GRAIN)
    masses = drawn(line, found, 2).mass()
    landed = float(np.mean((masses >= window.lightest) & (masses <= window.heaviest)))
    assert builds(found, window).share == pytest.approx(landed, abs=0.01)


def test_weighed_heads_by_lot_vary_less():
    """Of heads that weigh alike, balance and share spread as told once weighed."""
    line = scandi()
    found = told(line, length=0.01, diameter=2.5e-5, offset=1.5e-5, density=8.0)
    many = drawn(line, found, 3)
    masses, balance = many.mass(), many.balance()
    slope = np.cov(masses, balance)[0, 1] / masses.var()
    left = balance - slope * masses
    assert found.spread.weighed.balance == pytest.approx(TWICE * left.std(), rel=0.01)


# -- builds, and the two ways out ------------------------------------------------------------------


def test_landing_of_no_scatter():
    window = Window(scandi().style, 0.030, 0.032)
    assert landing(0.031, 0.0, window) == 1.0
    assert landing(0.029, 0.0, window) == 0.0


@given(mass=st.floats(0.0301, 0.0319), sigma=st.floats(1e-6, 0.01), wanted=st.floats(0.5, 0.99))
def test_tightened_so_far_just_so_many_land(mass, sigma, wanted):
    window = Window(scandi().style, 0.030, 0.032)
    factor = shrink_for(wanted, mass, sigma, window)
    assert factor is not None
    assert 0.0 <= factor <= 1.0
    if factor < 1.0:
        assert landing(mass, factor * sigma, window) == pytest.approx(wanted, abs=2e-3)
    else:
        assert landing(mass, sigma, window) >= wanted


def test_no_closer_work_brings_a_design_into_its_window():
    window = Window(scandi().style, 0.030, 0.032)
    assert shrink_for(0.95, 0.0299, 1e-4, window) is None
    assert shrink_for(0.95, 0.030, 1e-4, window) is None


def test_a_batch_is_off_alike():
    found = told(scandi(), diameter=1e-6, offset=3e-5)
    mass = found.values.mass
    tight = Window(scandi().style, mass - 4.0 * GRAIN, mass + 4.0 * GRAIN)
    landed = builds(found, tight)
    assert landed.right > 0.99
    assert landed.least < 0.01
    assert landed.least < landed.share < landed.right


def test_belly_left_on_makes_up_for_two_standard_deviations():
    line = scandi()
    found = told(line)
    left = left_on(found)
    assert left.row == belly_row(found) == 3
    assert left.is_last
    belly = line.segments[3]
    longer = replace(belly, length=belly.length + left.length)
    heavier = replace(line, segments=(*line.segments[:3], longer))
    more = figures(heavier)[0] - found.values.mass
    assert more == pytest.approx(found.spread.one.mass, rel=1e-9)
    assert left.then == pytest.approx(TWICE * rounding_error(USUAL.scale))


def test_a_design_without_a_belly_leaves_its_heaviest_segment_long():
    rows = tuple(replace(each, part=Part.FRONT_TAPER) for each in scandi().segments)
    assert belly_row(told(line_of("line", "Head", rows))) == 2
