"""A loop that rolls out, against closed forms and published equations."""

from __future__ import annotations

import math

import numpy as np
import pytest

from taperlab.physics.turnover import Air, turn_over
from tests.flown import NO_AIR, level

# G. A. Spolek, Am. J. Phys. 54, 832 (1986), bibliography from memory: without drag a level line
# keeps its energy, so v = v0 sqrt(l0 / l) with l what is left to unroll, and 4 l0 / (3 v0) in all.


def test_a_level_line_without_drag() -> None:
    """10 m thrown at 20 m/s: 40 m/s with 2.5 m left, 0.66667 s in all."""
    run = turn_over(level(10.0, 1e-3), 0.0, 0.0, NO_AIR)
    assert run.speed_at(7.5) * 20.0 == pytest.approx(40.0, rel=1e-6)
    assert run.way[-1] / 20.0 == pytest.approx(0.66667, abs=5e-6)


@pytest.mark.parametrize("start", [0.0, 1.0, 4.0])
def test_how_its_speed_grows(start: float) -> None:
    run = turn_over(level(12.0, 2e-3), start, 0.0, NO_AIR)
    wanted = np.sqrt((12.0 - start) / (12.0 - run.at[:-1]))
    assert run.speed[:-1] == pytest.approx(wanted, rel=1e-12)
    assert run.way[-1] == pytest.approx(4.0 * (12.0 - start) / 3.0, rel=1e-6)


def test_all_energy_reaches_a_fly_that_is_a_point() -> None:
    """1 g/m of 10 m and a fly of 0.625 g: sqrt(1 + 10/0.625) = 4.123 times the speed at the start.

    After Spolek (above), with the fold of C. W. Wong and K. Yasui, Am. J. Phys. 74, 490 (2006).
    """
    run = turn_over(level(10.0, 1e-3, fly=0.625e-3), 0.0, 0.0, NO_AIR)
    assert run.energy_left == pytest.approx(1.0, abs=1e-12)
    assert run.speed[-1] == pytest.approx(4.123, abs=5e-4)


def test_skin_friction_alone_takes_the_same_share_everywhere() -> None:
    """E0 exp(-k (l - l0)) with k = 2 rho Ct d / m for a fold in a level line; by hand."""
    m, d = 1.5e-3, 1.2e-3
    run = turn_over(level(12.0, m, d), 1.0, 0.0, Air(1.2, 0.0, 0.015))
    k = 2.0 * 1.2 * 0.015 * d / m
    assert run.energy == pytest.approx(np.exp(-k * (run.at - 1.0)), rel=1e-9)


@pytest.mark.parametrize("height", [0.5, 1.0, 2.0])
def test_form_drag_alone_goes_by_a_power_of_what_still_moves(height: float) -> None:
    """E = E0 (M/M0)^p with p = rho Cn d h / (6 m) for a level line; by hand."""
    m, d = 1.5e-3, 1.2e-3
    run = turn_over(level(12.0, m, d), 1.0, height, Air(1.2, 1.0, 0.0))
    p = 1.2 * 1.0 * d * height / (6.0 * m)
    assert run.energy == pytest.approx((run.mass / run.mass[0]) ** p, rel=1e-9)


def test_drag_of_a_whole_loop() -> None:
    """Each piece's drag times its speed, summed here over half a circle that rolls ahead.

    C. Gatti-Bono and N. C. Perkins, J. Appl. Mech. 71, 745 (2004), eq. 6, as quoted by others.
    rho 1.225, d 1 mm, radius 0.5 m, 20 m/s, Ct 0.015, Cn 1: the loop of their eq. 11.
    """
    rho, d, radius, v, ct, cn = 1.225, 1e-3, 0.5, 20.0, 0.015, 1.0
    edge = np.linspace(0.0, math.pi, 4001)
    turn = 0.5 * (edge[1:] + edge[:-1])
    along, across = v * np.cos(turn / 2.0) ** 2, 0.5 * v * np.sin(turn)
    power = 0.5 * rho * d * radius * np.diff(edge) @ (ct * along**3 + cn * across**3)
    length = 20.0
    still = length - math.pi * radius
    run = turn_over(level(length, 1e-3, d), 1.0, 2.0 * radius, Air(rho, cn, ct))
    # At the end the loop is all that moves but the fly: its power is rho D v^3 / 2.
    assert run.at[-1] == pytest.approx(still)
    assert 0.5 * v**3 * 0.5 * run.drags[-1] == pytest.approx(power, rel=1e-5)
