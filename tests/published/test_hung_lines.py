"""How a line hangs in a stream, against closed forms and worked examples from outside.

A line here has a density chosen for a weight in water, so that w, R and the load at its end are
those of the formulas.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.constants import g
from scipy.integrate import quad

from taperlab.model.exact_units import FOOT, INCH
from taperlab.model.rig import Fly
from taperlab.physics.rigging import Cases, Rigging
from taperlab.physics.tight_line import State, TightLine, hang
from taperlab.physics.water import WaterState

WATER = WaterState(1000.0, 1.3e-3)
LB, KNOT, SLUG = 0.45359237, 1852.0 / 3600.0, 14.593903


def heavy(weight: float, length: float, diameter: float, water: WaterState = WATER) -> Rigging:
    """A level line of a weight in water of a length [N/m], nothing tied to it."""
    density = water.density + weight / (g * math.pi / 4.0 * diameter**2)
    return Rigging.level([length], [diameter], [density])


def loaded(rig: Rigging, weight: float, drag_area: float = 0.0) -> Rigging:
    """The same with a weight in water [N] and a drag area [m^2] at its end."""
    fly = Fly(weight / g, 0.0, drag_area)
    return Rigging(
        *(getattr(rig, name) for name in Rigging.__slots__[:8]), fly.weight, fly.drag_area
    )


def of_ratios(weight: float, broadside: float, length: float, **other: float) -> TightLine:
    """A line of such w and R [N/m], hung in a stream of 1 m/s at a drag coefficient of 1."""
    diameter = broadside / (0.5 * WATER.density)
    rig = loaded(heavy(weight, length, diameter), other.pop("end", 0.0))
    return hang(rig, Cases(1.0, **other), WATER, coefficient=1.0)


@pytest.mark.parametrize("k", [0.1, 0.2, 0.3, 0.5, 0.7, 1.0, 1.3, 1.6, 2.0])
@pytest.mark.parametrize("skin", [0.003, 0.015])
def test_a_line_without_an_end_load_is_straight_at_the_critical_angle(k: float, skin: float):
    """L. Pode, David Taylor Model Basin Report 687 (1951), as quoted by Zajac (1957), eq. 6."""
    found = of_ratios(k, 1.0, 3.0, skin=skin)
    angle = math.acos((math.sqrt(k * k + 4.0) - k) / 2.0)
    assert found.shape().angle == pytest.approx(angle, abs=1e-6)
    assert found.depth[0] == pytest.approx(3.0 * math.sin(angle), rel=1e-6)


@pytest.mark.parametrize(
    ("k", "degrees", "share"),
    [
        (0.05, 12.7578, 0.220829),
        (0.25, 28.0202, 0.469782),
        (4.0, 76.3454, 0.971737),
        (10.0, 84.3173, 0.995085),
    ],
)
def test_critical_angles_worked_out_apart(k: float, degrees: float, share: float):
    """Solutions of the same equation, tabled for this project with another program."""
    found = of_ratios(k, 1.0, 2.0)
    assert np.degrees(found.shape().angle) == pytest.approx(degrees, abs=1e-4)
    assert found.depth[0] / 2.0 == pytest.approx(share, abs=1e-6)


@pytest.mark.parametrize("sigma", [0.25, 0.5, 1.0, 2.0, 5.0])
def test_a_weightless_line_with_a_weight_at_its_end(sigma: float):
    """In units of P/R: depth asinh(s), trail sqrt(1 + s^2) - 1, cot phi = s with s = R L / P.

    The textbook solution for a line whose weight is neglected: H. O. Berteaux, Buoy Engineering
    (1976), remembered; it follows from P phi' = -R sin^2 phi.
    """
    load, broadside = 0.4, 1.0
    found = of_ratios(0.0, broadside, sigma * load / broadside, end=load, skin=0.0)
    shape = found.shape()
    unit = load / broadside
    assert found.depth[0] / unit == pytest.approx(math.asinh(sigma), rel=1e-4)
    assert shape.x[0] / unit == pytest.approx(math.sqrt(1.0 + sigma**2) - 1.0, rel=2e-4)
    assert 1.0 / math.tan(shape.angle[-1]) == pytest.approx(sigma, rel=2e-4)
    assert shape.tension == pytest.approx(load, rel=2e-4)


@pytest.mark.parametrize("end", [0.1, 0.5, 2.0])
def test_a_heavy_line_with_a_weight_at_its_end(end: float):
    """T(phi) in closed form, and s and depth from it by quadrature.

    T phi' = w cos phi - R sin^2 phi and T' = w sin phi give dT/T = w sin phi dphi / (w cos phi -
    R sin^2 phi), whose right side has partial fractions in cos phi: Zajac (1957), eqs 13 to 20.
    """
    w, broadside, length = 0.5, 1.0, 1.0
    root = math.sqrt(w * w + 4.0 * broadside**2)
    low, high = (-w - root) / (2.0 * broadside), (-w + root) / (2.0 * broadside)

    def tension(phi: float) -> float:
        c = math.cos(phi)
        share = (high - c) * -low / ((c - low) * high)
        return end * share ** (-w / (broadside * (high - low)))

    def along(phi: float) -> float:
        return tension(phi) / (broadside * math.sin(phi) ** 2 - w * math.cos(phi))

    found = of_ratios(w, broadside, length, end=end, skin=0.0)
    shape = found.shape()
    top = float(shape.angle[-1])
    assert quad(along, top, math.pi / 2.0)[0] == pytest.approx(length, rel=1e-4)
    depth = quad(lambda phi: along(phi) * math.sin(phi), top, math.pi / 2.0)[0]
    assert found.depth[0] == pytest.approx(depth, rel=1e-4)
    assert shape.tension[-1] == pytest.approx(tension(top), rel=1e-4)


@pytest.mark.parametrize(
    ("end", "angle", "tension", "trail", "depth"),
    [
        (0.1, 38.913, 0.444327, 0.705537, 0.688655),
        (0.5, 46.688, 0.925202, 0.484552, 0.850405),
        (2.0, 68.260, 2.486201, 0.206183, 0.972402),
    ],
)
def test_heavy_lines_integrated_apart(
    end: float, angle: float, tension: float, trail: float, depth: float
):
    """Of w 0.5, R 1, length 1, no skin friction: integrated for this project by another program."""
    found = of_ratios(0.5, 1.0, 1.0, end=end, skin=0.0)
    shape = found.shape()
    assert np.degrees(shape.angle[-1]) == pytest.approx(angle, abs=2e-3)
    assert shape.tension[-1] == pytest.approx(tension, rel=1e-4)
    assert shape.x[0] == pytest.approx(trail, rel=1e-4)
    assert found.depth[0] == pytest.approx(depth, rel=1e-4)


def test_without_a_current_a_line_hangs_straight():
    rig = Rigging.level([1.2, 3.0], [0.0003, 0.001], [1140.0, 3000.0])
    found = hang(loaded(rig, 0.01), Cases(0.0), WATER)
    assert found.states == (State.HANGS,)
    assert found.depth[0] == pytest.approx(4.2, rel=1e-12)
    assert found.tension[0] == pytest.approx(
        0.01 + g * float(rig.net_masses(WATER).sum()), rel=1e-9
    )


@pytest.mark.parametrize(
    ("pull", "layback", "length"),
    [(1200.0, 89.03, 139.00), (2000.0, 119.72, 161.31), (4000.0, 175.46, 206.80)],
)
def test_without_drag_a_line_hangs_in_a_catenary(pull: float, layback: float, length: float):
    """A cable of 23 kg/m laid in 93 m of water, by the horizontal pull [kg] at the sea bed.

    V. A. Mamatsopoulos and others, Journal of Marine Science and Engineering 8, 48 (2020). Pull,
    layback and length of their three cases give one height for all, 96.29 m, which must be that of
    the sheave that the cable leaves.
    """
    rig = loaded(heavy(23.0 * g, length, 0.1), 0.0, pull * g / (0.5 * WATER.density))
    found = hang(rig, Cases(1.0, drag=0.0, skin=0.0), WATER)
    assert found.depth[0] == pytest.approx(96.29, abs=0.02)
    assert found.shape().x[0] == pytest.approx(layback, abs=0.02)


@pytest.mark.parametrize(
    ("inches", "pounds_per_foot", "coefficient", "constant"),
    [(0.75, 0.243, 1.11, 64.0), (1.25, 0.705, 1.55, 70.0)],
)
def test_cables_of_zajacs_table(
    inches: float, pounds_per_foot: float, coefficient: float, constant: float
):
    """E. E. Zajac, Bell System Technical Journal 36, 1129-1207 (1957), table I.

    The angle of a laid cable in degrees is the tabled constant, in degree-knots, over the speed of
    the ship, for small angles; constants as measured, with the drag coefficient that he gives. The
    second rounds to 70 from what his own numbers make 71.
    """
    sea = WaterState(1.99 * SLUG / FOOT**3, 1.4e-3)
    rig = heavy(pounds_per_foot * LB * g / FOOT, 100.0, inches * INCH, sea)
    for knots in (6.0, 8.0):
        found = hang(rig, Cases(knots * KNOT), sea, coefficient=coefficient)
        degrees = float(np.degrees(found.shape().angle[0]))
        assert degrees * knots == pytest.approx(constant, rel=0.02)


@pytest.mark.parametrize("drag", [0.7, 1.0, 1.4])
def test_tension_rises_by_weight_times_depth(drag: float):
    """Without drag along the line, whatever the drag across it is: Zajac (1957), eq. 21."""
    rig = heavy(0.02, 4.0, 0.001)
    found = hang(loaded(rig, 0.01, 2e-4), Cases(0.8, drag=drag, skin=0.0), WATER, refine=3.0)
    shape = found.shape()
    rise = shape.tension[-1] - shape.tension[0]
    assert rise == pytest.approx(0.02 * found.depth[0], rel=1e-6)


@pytest.mark.parametrize(
    ("speed", "constant", "cylinder"),
    [
        (0.5, (23.106, 3.924), (20.686, 3.533)),
        (1.0, (11.681, 2.025), (10.446, 1.813)),
        (1.5, (7.803, 1.358), (6.977, 1.215)),
        (2.0, (5.856, 1.020), (5.236, 0.913)),
    ],
)
def test_a_tip_of_14_grains_a_foot(
    speed: float, constant: tuple[float, float], cylinder: tuple[float, float]
):
    """Angle in degrees and depth in feet of 10 ft of tip of 0.040 in, alone, fresh water of 15 °C.

    Worked out for this project by another program, with a drag coefficient of 1 and Cheng's.
    """
    water = WaterState(999.1026, 1.13757e-3)
    rig = heavy(0.0212444, 10.0 * FOOT, 0.040 * INCH, water)
    for (degrees, feet), coefficient in ((constant, 1.0), (cylinder, None)):
        found = hang(rig, Cases(speed), water, coefficient=coefficient)
        assert np.degrees(found.shape().angle) == pytest.approx(degrees, abs=2e-3)
        assert found.depth[0] / FOOT == pytest.approx(feet, abs=1.1e-3)
