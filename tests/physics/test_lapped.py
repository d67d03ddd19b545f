"""Mass along a line with its laps, against quadrature; stretches of it against what they hold."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from taperlab.model.line import Joint, JointKind, Line, Style
from taperlab.model.segment import Part, Segment
from taperlab.physics import section
from taperlab.physics.lapped import CLEAR, Laps, lap_mass, lap_moment, lap_problem, lapped
from taperlab.physics.mass_along import MassAlong, moved, taper_coefficients
from taperlab.physics.profile import Profile
from tests.looped import FOOT, GRAIN, INCH
from tests.strategies import segments_


def at(segment: Segment, distance: float) -> float:
    """Mass per length [kg/m], carried on past its ends along its own taper."""
    slope = (segment.rear_diameter - segment.front_diameter) / segment.length
    d = segment.front_diameter + slope * distance
    core, inner = (segment.core.diameter, segment.core.density) if segment.core else (0.0, 0.0)
    return math.pi / 4.0 * (segment.density * (d * d - core * core) + inner * core * core)


@settings(max_examples=60, deadline=None)
@given(segments_(), segments_(), st.floats(0.005, 0.3))
def test_mass_and_moment_of_a_lap_against_quadrature(
    ahead: Segment, behind: Segment, overlap: float
) -> None:
    assume(min(ahead.length, behind.length) > overlap)

    def inside(y: float) -> float:
        share = y / overlap + 0.5
        return at(ahead, ahead.length + y) * (1.0 - share) + at(behind, y) * share

    f = moved(np.append(taper_coefficients(ahead), 0.0), ahead.length)[:3]
    r = taper_coefficients(behind)
    half = overlap / 2.0
    mass = quad(inside, -half, half)[0]
    moment = quad(lambda y: y * inside(y), -half, half)[0]
    assert lap_mass(overlap, f, r) == pytest.approx(mass, rel=1e-10)
    assert lap_moment(overlap, f, r) == pytest.approx(moment, rel=1e-8, abs=1e-12 * mass)


@st.composite
def lapped_lines(draw: st.DrawFn) -> Line:
    rows = draw(st.lists(segments_(), min_size=2, max_size=4))
    rows = [each for each in rows if each.length > 0.7]
    assume(len(rows) > 1)
    laps = [Joint(JointKind.LAPPED_WELD, draw(st.sampled_from([0.0, 0.04, 0.3]))) for _ in rows[1:]]
    return Line("a", "A", Style.OTHER, tuple(rows), tuple(laps))


@settings(max_examples=40, deadline=None)
@given(lapped_lines(), st.floats(0.0, 1.0))
def test_running_weight_inside_laps_against_quadrature(line: Line, share: float) -> None:
    along = lapped(line)
    assert along.length == pytest.approx(line.length, rel=1e-12)
    x = share * along.length
    nodes = [float(each) for each in along.starts if 0.0 < each < x]
    expected = quad(
        lambda z: float(along.linear_density(z)), 0.0, x, points=nodes or None, limit=200
    )[0]
    assert along.running_mass(x) == pytest.approx(expected, rel=1e-9, abs=1e-15)
    assert along.position_of(along.running_mass(x)) == pytest.approx(x, abs=1e-9)
    moment = sum(
        quad(lambda z: z * float(along.linear_density(z)), a, b)[0]
        for a, b in zip(along.starts[:-1], along.starts[1:], strict=True)
    )
    assert along.first_moment() == pytest.approx(moment, rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(lapped_lines(), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_turned_cut_and_joined_again_nothing_is_lost(line: Line, one: float, other: float) -> None:
    along = lapped(line)
    low, high = sorted((one * along.length, other * along.length))
    assume(low > 1e-3 and high - low > 1e-3 and along.length - high > 1e-3)
    parts = [along.cut(0.0, low), along.cut(low, high), along.cut(high, along.length)]
    again = MassAlong.of_cells(
        np.concatenate([np.diff(each.starts) for each in parts]),
        np.concatenate([each.coefficients for each in parts]),
    )
    assert sum(each.mass for each in parts) == pytest.approx(along.mass, rel=1e-12)
    assert again.first_moment() == pytest.approx(along.first_moment(), rel=1e-10)
    turned = along.reversed()
    assert turned.mass == pytest.approx(along.mass, rel=1e-12)
    assert turned.first_moment() == pytest.approx(
        along.mass * along.length - along.first_moment(), rel=1e-9, abs=1e-12
    )
    places = np.linspace(0.01, 0.99, 13) * along.length
    assert turned.running_mass(along.length - places) == pytest.approx(
        along.mass - along.running_mass(places), rel=1e-9, abs=1e-12 * along.mass
    )


@settings(max_examples=30, deadline=None)
@given(st.lists(segments_(), min_size=1, max_size=4))
def test_without_laps_it_is_the_profile(rows: list[Segment]) -> None:
    line = Line("a", "A", Style.OTHER, tuple(rows), (Joint(),) * (len(rows) - 1))
    along, profile = MassAlong.of(rows), Profile.of(line)
    places = np.linspace(0.0, line.length, 17)
    assert along.running_mass(places) == pytest.approx(
        profile.running_mass(places), rel=1e-9, abs=1e-15
    )
    assert along.first_moment() / along.mass == pytest.approx(float(profile.balance()), rel=1e-9)


def test_two_level_pieces_weigh_what_they_would_weigh_butted() -> None:
    """Nine and fourteen grains a foot over an inch and a half: not a thousandth of a grain."""
    light, heavy = (
        Segment(Part.BELLY, 10 * FOOT, d * INCH, d * INCH, 870.0) for d in (0.066, 0.0823)
    )
    lap = Joint(JointKind.LAPPED_WELD, 1.5 * INCH)
    along = lapped(Line("a", "A", Style.OTHER, (light, heavy), (lap,)))
    butted = section.mass(light) + section.mass(heavy)
    assert along.mass == pytest.approx(butted, rel=1e-14)
    step = float(along.linear_density(11 * FOOT) - along.linear_density(9 * FOOT))
    over = float(along.running_mass(10 * FOOT)) - section.mass(light)
    assert over == pytest.approx(step * 1.5 * INCH / 8.0, rel=1e-9)
    assert 0.05 * GRAIN < over < 0.1 * GRAIN


@settings(max_examples=40, deadline=None)
@given(lapped_lines(), st.floats(0.0, 1.0))
def test_what_is_read_inside_a_lap_against_quadrature(line: Line, share: float) -> None:
    laps, profile = Laps.of(line), Profile.of(line)
    overlaps = [each.overlap for each in line.joints]
    if laps is None:
        assert not any(overlaps)
        return
    row = next(i for i, each in enumerate(overlaps, start=1) if each)
    overlap, centre = overlaps[row - 1], line.starts[row]
    begin = centre - overlap / 2.0
    x = begin + share * overlap
    ahead, behind = line.segments[row - 1], line.segments[row]

    def inside(place: float) -> float:
        u = (place - begin) / overlap
        return at(ahead, ahead.length + place - centre) * (1.0 - u) + at(behind, place - centre) * u

    sharp = float(profile.linear_density(x))
    assert float(laps.linear_density(x, sharp)) == pytest.approx(inside(x), rel=1e-9)
    # All of a lap weighs what its segments do: what that takes is spread over it, and is little.
    first, last = (float(profile.running_mass(begin + each)) for each in (0.0, overlap))
    off = quad(inside, begin, begin + overlap)[0] - (last - first)
    expected = first + quad(inside, begin, x)[0] - share * off
    running = laps.running_mass(x, profile.running_mass(x))
    assert float(running) == pytest.approx(expected, rel=1e-9)
    place = laps.position_of(
        expected, profile.position_of(expected), lambda z: profile.running_mass(z)
    )
    assert place == pytest.approx(x, abs=1e-6)
    # The section has the area of both ends of it, and outside nothing is another.
    wide = float(laps.diameter(begin, profile.diameter(begin, row - 1)))
    slope = (ahead.rear_diameter - ahead.front_diameter) / ahead.length
    assert wide == pytest.approx(ahead.rear_diameter - slope * overlap / 2.0, rel=1e-9)
    # And at its end as the one behind is there.
    end = begin + overlap
    wide = float(laps.diameter(end, profile.diameter(end, row)))
    slope = (behind.rear_diameter - behind.front_diameter) / behind.length
    assert wide == pytest.approx(behind.front_diameter + slope * overlap / 2.0, rel=1e-9)
    assert float(laps.running_mass(begin - 1e-6, 1.25)) == 1.25
    assert float(laps.diameter(line.length, 2.5)) == 2.5


def test_laps_that_would_meet_are_told() -> None:
    short = Segment(Part.BELLY, 1.5 * INCH, 0.002, 0.002, 870.0)
    long = Segment(Part.BELLY, 5.0, 0.002, 0.002, 870.0)
    lap = Joint(JointKind.LAPPED_WELD, 1.0 * INCH)
    line = Line("a", "A", Style.OTHER, (long, short, long), (lap, lap))
    problem = lap_problem(line)
    assert problem is not None
    assert (problem.row, problem.needed) == (1, pytest.approx(1.0 * INCH + CLEAR))
    assert lap_problem(Line("a", "A", Style.OTHER, (long, long), (lap,))) is None
    longer = Joint(JointKind.LAPPED_WELD, 2.0 * INCH)
    meet = Line("a", "A", Style.OTHER, (long, short, long), (longer, longer))
    with pytest.raises(ValueError, match="meet"):
        lapped(meet)
    assert Laps.of(meet) is None
