"""A loop that rolls out over a line that shoots: what is kept, what is lost, its limits."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from taperlab.physics.shooting import CONSERVING, Running, Shot, StalledError, shoot
from taperlab.physics.turnover import Air, Flying, turn_over
from taperlab.shop.rig import looped
from taperlab.shop.turnover.study import flying
from tests.flown import NO_AIR, level, taper
from tests.looped import BODY, TIP

REAR, FRONT, LENGTH, DENSITY = 0.0022, 0.0010, 12.0, 900.0
FLY, DRAG = 0.0004, 1e-4
START, HEIGHT, SPEED = 1.0, 0.6, 18.0
TAPER = flying(taper((FRONT, REAR), (LENGTH,), fly=FLY, drag=DRAG, density=DENSITY))
HELD = Running(6e-4, 9e-4, math.inf)


def by_scipy(running: Running, air: Air, speed: float = SPEED) -> tuple[float, ...]:
    """Line shot, both speeds and time at the end: Lagrange's equations as they stand, in time.

    Sums over pieces of the line, each dragged along itself the way it slips.
    """
    wave = 0.5 * math.pi * HEIGHT
    nodes, weights = np.polynomial.legendre.leggauss(80)
    nodes, weights = 0.5 * (nodes + 1.0), 0.5 * weights * wave

    def thick(s):
        return REAR + (FRONT - REAR) * s / LENGTH

    def heavy(s):
        return DENSITY * math.pi / 4.0 * thick(s) ** 2

    def covered(one: float, other: float) -> float:
        return (other - one) * thick(0.5 * (one + other))

    def weighs(one: float, other: float) -> float:
        a, b = thick(one), thick(other)
        return DENSITY * math.pi / 12.0 * (other - one) * (a * a + a * b + b * b)

    whole = weighs(0.0, LENGTH) + FLY

    def rates(_time: float, now):
        unrolled, roll, out, u = now
        place = unrolled + wave * nodes
        theta = math.pi * (1.0 - nodes)
        share = np.cos(0.5 * theta) ** 2
        moving = weights @ (heavy(place) * share) + weighs(unrolled + wave, LENGTH) + FLY
        slope = -(weights @ (heavy(place) * 0.5 * math.pi * np.sin(math.pi * nodes))) / wave
        half = 0.5 * air.density
        slips = (u + roll) * np.cos(theta) + roll
        along = half * air.along * thick(place) * np.abs(slips) * slips
        across = half * air.across * (weights @ (thick(place) * np.sin(theta) ** 3))
        across *= (u + roll) ** 2
        leg = half * (air.along * covered(unrolled + wave, LENGTH) + DRAG) * (u + 2.0 * roll) ** 2
        behind = half * air.along * (covered(0.0, unrolled) + running.diameter * out) * u * u
        mu = running.mass
        pushed = -(weights @ (along * np.cos(theta))) - across - leg - behind
        turned = -(weights @ (along * (1.0 + np.cos(theta)))) - across - 2.0 * leg
        right = np.array(
            [
                pushed - running.friction - running.pickup * mu * u * u - 2.0 * slope * roll**2,
                turned - 2.0 * slope * roll**2,
            ]
        )
        left = np.array([[whole + mu * out, 2.0 * moving], [2.0 * moving, 4.0 * moving]])
        faster, rolls = np.linalg.solve(left, right)
        if u <= 0.0 and faster <= 0.0:
            faster, rolls = 0.0, right[1] / (4.0 * moving)
        return roll, rolls, u, faster

    def turned(_time: float, now) -> float:
        return LENGTH - wave - now[0]

    turned.terminal = True
    found = solve_ivp(
        rates, (0.0, 9.0), (START, 0.5 * speed, 0.0, 0.0),
        events=turned, rtol=1e-8, atol=1e-10, max_step=0.02,
    )  # fmt: skip
    assert found.status == 1
    _, roll, out, u = found.y[:, -1]
    return out, u, u + 2.0 * roll, found.t[-1]


def told(shot: Shot, speed: float = SPEED) -> tuple[float, ...]:
    run = shot.run
    end = float(run.speed[-1]) * speed, float(run.way[-1]) / speed
    return shot.shot, float(shot.follows[-1]), *end


@pytest.mark.parametrize(
    ("running", "air"),
    [
        (Running(6e-4, 9e-4, 0.0), Air()),
        (Running(6e-4, 9e-4, 0.15), Air()),
        (Running(1.5e-3, 1.2e-3, 0.05), Air()),
        (Running(6e-4, 9e-4, 0.1, CONSERVING), NO_AIR),
        (Running(6e-4, 9e-4, 0.4), Air()),
    ],
)
def test_as_lagrange_s_equations_in_time(running: Running, air: Air) -> None:
    found = told(shoot(TAPER, running, SPEED, START, HEIGHT, air))
    assert found == pytest.approx(by_scipy(running, air), rel=1e-3)


def test_held_fast_it_is_a_loop_over_a_line_that_is_held() -> None:
    for line in (TAPER, flying(looped(BODY, [TIP]))):
        held = turn_over(line, START, HEIGHT)
        shot = shoot(line, HELD, SPEED, START, HEIGHT)
        assert (shot.shot, shot.follows.max(), shot.to_pickup[-1]) == (0.0, 0.0, 0.0)
        assert shot.run.energy_left == pytest.approx(held.energy_left, rel=1e-4)
        assert shot.run.speed[-1] == pytest.approx(held.speed[-1], rel=1e-4)
        assert shot.run.way[-1] == pytest.approx(held.way[-1], rel=1e-4)
        assert np.interp(held.at, shot.run.at, shot.run.drags) == pytest.approx(
            held.drags, rel=0.02
        )


def test_friction_that_the_line_never_overcomes_holds_it_as_well() -> None:
    firm = shoot(TAPER, Running(6e-4, 9e-4, 50.0), SPEED, START, HEIGHT)
    assert firm.shot == 0.0
    assert firm.run.energy_left == shoot(TAPER, HELD, SPEED, START, HEIGHT).run.energy_left


def test_it_slips_where_the_leg_pulls_harder_than_the_guides_hold() -> None:
    """By hand: a level line without air pulls with m v^2/4, which grows as it rolls out."""
    mass, speed = 0.01, 12.0
    line = level(12.0, mass, fly=0.001)
    first = 0.25 * mass * speed**2
    free = shoot(line, Running(5e-4, 9e-4, 0.98 * first), speed, 1.0, 0.6, NO_AIR)
    assert free.follows[1] > 0.0
    later = shoot(line, Running(5e-4, 9e-4, 1.5 * first), speed, 1.0, 0.6, NO_AIR)
    begins = int(np.flatnonzero(later.follows > 0.0)[0])
    pulls = 0.25 * mass * (later.run.speed[begins - 1 : begins + 1] * speed) ** 2
    assert pulls[0] <= 1.5 * first * (1.0 + 1e-6)
    assert pulls[1] >= 1.5 * first * 0.98


@given(
    st.floats(2e-4, 2e-3), st.floats(0.0008, 0.0024), st.floats(0.0008, 0.0024), st.floats(0.3, 1.5)
)
def test_without_air_and_friction_energy_or_momentum_is_kept(
    mass: float, front: float, rear: float, height: float
) -> None:
    line = flying(taper((front, rear), (11.0,), fly=0.0004))
    kept = shoot(line, Running(mass, 9e-4, 0.0, CONSERVING), SPEED, START, height, NO_AIR)
    assert kept.total == pytest.approx(np.full_like(kept.total, kept.total[0]), rel=2e-4)
    assert kept.to_pickup[-1] == 0.0
    slack = shoot(line, Running(mass, 9e-4, 0.0), SPEED, START, height, NO_AIR)
    assert slack.momentum == pytest.approx(
        np.full_like(slack.momentum, slack.momentum[0]), rel=2e-4
    )
    assert slack.total + slack.to_pickup == pytest.approx(
        np.full_like(slack.total, slack.total[0]), rel=2e-4
    )
    assert slack.shot < kept.shot


def test_every_joule_is_somewhere() -> None:
    for line in (TAPER, flying(looped(BODY, [TIP]))):
        shot = shoot(line, Running(7e-4, 9e-4, 0.12), SPEED, START, HEIGHT)
        whole = shot.total + shot.to_guides + shot.to_pickup + shot.to_air
        assert whole == pytest.approx(np.full_like(whole, whole[0]), rel=5e-4)
        assert min(shot.to_guides[-1], shot.to_pickup[-1], shot.to_air[-1]) > 0.0


def test_more_friction_and_heavier_running_line_shoot_less() -> None:
    lengths = [
        shoot(TAPER, Running(6e-4, 9e-4, each), SPEED, START, HEIGHT).shot
        for each in (0.0, 0.1, 0.2, 0.4)
    ]
    assert lengths == sorted(lengths, reverse=True)
    heavy = shoot(TAPER, Running(3e-3, 9e-4, 0.0), SPEED, START, HEIGHT)
    assert heavy.shot < lengths[0]
    assert heavy.pickup_share > 0.0


def test_no_mesh_shows() -> None:
    for line in (TAPER, flying(looped(BODY, [TIP]))):
        running = Running(6e-4, 9e-4, 0.15)
        coarse, fine = (
            told(shoot(line, running, SPEED, START, HEIGHT, refine=each)) for each in (1, 6)
        )
        assert coarse == pytest.approx(fine, rel=1e-3)


def test_what_cannot_roll_out_has_a_reason() -> None:
    with pytest.raises(ValueError, match="no line is left"):
        shoot(TAPER, HELD, SPEED, 11.9, HEIGHT)
    with pytest.raises(ValueError, match="height"):
        shoot(TAPER, HELD, SPEED, START, 0.0)


def test_a_loop_that_the_line_behind_overtakes_has_stalled() -> None:
    """A fly like a parachute: the line behind, free to follow, comes to go as fast as its leg."""
    braked = level(12.0, 0.01, fly=1e-5, drag=0.05)
    with pytest.raises(StalledError):
        shoot(braked, Running(1e-5, 1e-4, 0.0), SPEED, START, HEIGHT)


@given(
    st.floats(1.0, 50.0), st.floats(0.02, 4.0), st.floats(0.0, 3.0), st.floats(1e-5, 0.01),
    st.floats(0.0, 5.0), st.floats(0.0005, 0.0027), st.floats(2.0, 20.0), st.floats(0.0, 0.002),
)  # fmt: skip
def test_any_line_shoots_or_has_a_reason(
    speed: float, height: float, start: float, mass: float, friction: float, front: float,
    length: float, drag: float,
) -> None:  # fmt: skip
    line: Flying = flying(taper((front, 0.002), (length,), drag=drag))
    assume(length - 0.5 * math.pi * height > start)
    try:
        shot = shoot(line, Running(mass, 9e-4, friction), speed, start, height)
    except StalledError:
        return
    assert np.all(np.isfinite(shot.run.speed))
    assert np.all(np.diff(shot.out) >= 0.0)
    assert 0.0 < shot.run.energy_left <= 1.0 + 1e-6
    assert shot.total[-1] <= shot.total[0] * (1.0 + 2e-3)
