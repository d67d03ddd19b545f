"""A loop that rolls out: what moves with it, what the air takes, and that no mesh shows."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from taperlab.model.line import Line, Loop, LoopKind, line_of
from taperlab.model.rig import Fly, Leader
from taperlab.model.segment import Core, Part, Segment
from taperlab.physics import section
from taperlab.physics.rigging import Rigging
from taperlab.physics.turnover import Air, Flying, turn_over, wave_of
from taperlab.shop.rig import looped
from taperlab.shop.turnover.study import flying
from tests.flown import NO_AIR, level, taper
from tests.looped import BODY, TIP

AIR = Air()
HEAD = line_of(
    "line-1",
    "Head",
    (
        Segment(Part.FRONT_TAPER, 4.0, 0.0009, 0.0018, 900.0),
        Segment(Part.BELLY, 5.0, 0.0022, 0.0022, 850.0, Core(0.0008, 1150.0)),
        Segment(Part.REAR_TAPER, 1.5, 0.0022, 0.0012, 880.0),
    ),
)
FLY = Fly(0.0, 0.0006, 1.2e-4)

rigs = st.builds(
    lambda first, second, third, one, other, leader, fly, drag: flying(
        taper((first, second, third), (one, other), leader=leader, fly=fly, drag=drag)
    ),
    *(st.floats(0.0006, 0.0028) for _ in range(3)),
    *(st.floats(1.0, 9.0) for _ in range(2)),
    st.floats(0.0, 4.0),
    st.floats(5e-5, 0.001),
    st.floats(0.0, 3e-4),
)


def by_scipy(rig: Line, leader: Leader, start: float, height: float) -> tuple[float, float]:
    """Energy left and way, from the definitions: integrals of each piece, and two equations."""
    pieces = [(each.length, each, None) for each in rig.segments[::-1]]
    wave = wave_of(height)
    length = rig.length + leader.length

    def local(s: float) -> tuple[float, float]:
        """Mass per length and diameter at a place from the rod tip."""
        for size, segment, _ in pieces:
            if s <= size:
                there = segment.length - s
                return section.linear_density(segment, there), segment.diameter(there)
            s -= size
        return leader.density * math.pi / 4.0 * leader.diameter**2, leader.diameter

    joints = [*np.cumsum([size for size, *_ in pieces])]

    def total(weight, unrolled: float) -> float:
        edges = sorted({unrolled, min(length, unrolled + wave), length, *joints})
        edges = [each for each in edges if unrolled <= each <= length]
        return sum(
            quad(lambda s: weight(s, (s - unrolled) / wave), low, high, limit=200)[0]
            for low, high in itertools.pairwise(edges)
        )

    def moving(s: float, turned: float) -> float:
        return local(s)[0] * math.sin(0.5 * math.pi * min(turned, 1.0)) ** 2

    def dragged(s: float, turned: float) -> float:
        inside = min(turned, 1.0)
        share = math.sin(0.5 * math.pi * inside) ** 2
        across = math.sin(math.pi * inside) ** 3 / 8.0
        return local(s)[1] * (AIR.along * share**3 + AIR.across * across)

    def slopes(unrolled: float, state: list[float]) -> list[float]:
        mass = total(moving, unrolled) + FLY.mass
        drag = total(dragged, unrolled) + FLY.drag_area
        energy = math.exp(state[0])
        return [-2.0 * AIR.density * drag / mass, 2.0 / math.sqrt(energy * first / mass)]

    first = total(moving, start) + FLY.mass
    found = solve_ivp(slopes, (start, length - wave), [0.0, 0.0], rtol=1e-5, atol=1e-7)
    return math.exp(found.y[0, -1]), float(found.y[1, -1])


def test_it_is_what_its_equations_say() -> None:
    leader = Leader(2.5)
    energy, way = by_scipy(HEAD, leader, 1.0, 0.6)
    run = turn_over(flying(looped(HEAD, (), (), leader, FLY)), 1.0, 0.6)
    assert run.energy_left == pytest.approx(energy, rel=1e-3)
    assert run.way[-1] == pytest.approx(way, rel=1e-3)


@given(rigs, st.floats(0.05, 1.2))
def test_no_mesh_shows(line: Flying, height: float) -> None:
    if line.length - wave_of(height) < 1.5:
        return
    coarse, fine = (turn_over(line, 1.0, height, refine=refine) for refine in (1, 4))
    assert coarse.energy_left == pytest.approx(fine.energy_left, rel=2e-3, abs=1e-6)
    assert coarse.way[-1] == pytest.approx(fine.way[-1], rel=1e-3)


@given(rigs, st.floats(0.05, 1.2))
def test_energy_only_ever_goes(line: Flying, height: float) -> None:
    if line.length - wave_of(height) < 1.5:
        return
    run = turn_over(line, 1.0, height)
    assert np.all(np.diff(run.energy) <= 0.0)
    assert np.all(np.diff(run.mass) < 1e-12)
    assert np.all(np.diff(run.way) > 0.0)
    free = turn_over(line, 1.0, height, NO_AIR)
    assert free.energy == pytest.approx(np.ones(len(free.energy)))
    # The leg speeds up where the line gives more than the air takes; for a fold, exactly so.
    fold = turn_over(line, 1.0, 0.0)
    sure = np.abs(fold.weighs - fold.drags) > 0.2 * fold.weighs
    faster = np.diff(fold.speed) > 0.0
    gains = (fold.weighs > fold.drags)[:-1]
    same = gains == (fold.weighs > fold.drags)[1:]
    both = same & sure[:-1] & sure[1:] & (np.diff(fold.at) > 1e-6)
    assert np.all(faster[both] == gains[both])


def test_a_line_in_pieces_is_the_line() -> None:
    whole = flying(taper((0.001, 0.002), (8.0,), leader=2.0))
    parts = flying(taper((0.001, 0.00125, 0.0015, 0.002), (2.0, 2.0, 4.0), leader=2.0))
    one, other = (turn_over(each, 1.0, 0.6) for each in (whole, parts))
    assert one.energy_left == pytest.approx(other.energy_left, rel=1e-5)
    assert one.way[-1] == pytest.approx(other.way[-1], rel=1e-5)


def test_a_line_in_very_many_pieces_is_still_the_line() -> None:
    thick = np.linspace(0.001, 0.002, 301).tolist()
    many = flying(taper(thick, [8.0 / 300] * 300, leader=2.0))
    one, other = (
        turn_over(each, 1.0, 0.6)
        for each in (flying(taper((0.001, 0.002), (8.0,), leader=2.0)), many)
    )
    assert len(other.at) < 100
    assert one.energy_left == pytest.approx(other.energy_left, rel=2e-4)
    assert one.way[-1] == pytest.approx(other.way[-1], rel=2e-4)


def test_what_a_rig_weighs_is_all_of_it() -> None:
    """Loops and fly too; a line of mean diameters would weigh 5.5 % less on such a taper."""
    rig = looped(BODY, [TIP], (), Leader(1.2), FLY)
    line = flying(rig)
    leader = 1140.0 * math.pi / 4.0 * 0.0003048**2 * 1.2
    assert line.total_mass() == pytest.approx(rig.mass + leader + FLY.mass)
    front, rear, length = 0.0009, 0.0022, 8.0
    exact = flying(taper((front, rear), (length,), fly=0.0)).total_mass()
    mean = 870.0 * math.pi / 4.0 * (0.5 * (front + rear)) ** 2 * length
    assert mean / exact == pytest.approx(1.0 - 0.055, abs=0.002)


def test_a_loop_at_the_rod_never_moves() -> None:
    heavy = replace(HEAD, rear_loop=Loop(LoopKind.BRAIDED, 0.0, 0.002))
    speeds = [
        turn_over(flying(looped(each, (), (), None, FLY)), 0.0, 0.6, NO_AIR).speed[-1]
        for each in (HEAD, heavy)
    ]
    assert speeds[0] == pytest.approx(speeds[1], rel=1e-12)


def test_a_loop_between_two_lines_gives_its_energy_on() -> None:
    """Without drag the speed in the end is that of all mass that moved over the fly’s."""
    rig = looped(BODY, [TIP], (), None, FLY)
    line = flying(rig)
    assert len(line.points) >= 1
    run = turn_over(line, 0.0, 0.0, NO_AIR)
    at_rod = line.point_masses[line.points >= line.length - 1e-9].sum()
    moved = line.total_mass() - at_rod
    assert line.fly_mass > FLY.mass
    assert run.speed[-1] ** 2 * line.fly_mass == pytest.approx(moved, rel=1e-6)


def test_speed_does_not_scale_and_neither_do_energies() -> None:
    run = turn_over(level(12.0, 2e-3, fly=5e-4), 1.0, 0.6)
    assert (run.speed[0], run.energy[0], run.way[0]) == (1.0, 1.0, 0.0)
    assert math.isnan(run.speed_at(0.5))


@pytest.mark.parametrize(("start", "height"), [(12.0, 0.6), (11.5, 1.0), (0.0, 8.0), (-1.0, 0.5)])
def test_nothing_left_to_unroll(start: float, height: float) -> None:
    with pytest.raises(ValueError, match="no line"):
        turn_over(level(12.0, 2e-3), start, height)


def test_an_empty_leader_changes_nothing() -> None:
    one = Flying.of(Rigging.of(HEAD), 0.0)
    other = Flying.of(Rigging.of(HEAD, Leader(1e-5)), 0.0)
    found = [turn_over(each, 1.0, 0.6).energy_left for each in (one, other)]
    assert found[0] == pytest.approx(found[1], rel=1e-4)
