"""Slopes of drag against central differences, and of a level piece against the closed form."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from taperlab.physics.drag_slopes import drag_slopes
from taperlab.physics.frustum import Taper
from taperlab.physics.sinking import (
    STANDARD_GRAVITY,
    drag_and_slope,
    segment_drag,
    sink_rate,
)
from taperlab.physics.water import WaterState

WATER = WaterState(999.7, 1.306e-3)


@settings(max_examples=40, deadline=None)
@given(
    speed=st.floats(0.005, 0.3),
    length=st.floats(0.1, 20.0),
    front=st.floats(0.0005, 0.004),
    rear=st.floats(0.0005, 0.004),
)
def test_slopes_are_what_drag_does(speed, length, front, rear):
    def drag(size, a, b):
        return float(segment_drag(speed, Taper(size, a, b, 1000.0), WATER))

    found = drag_slopes(speed, length, front, rear, WATER)
    for slope, moved in (
        (found.by_length, lambda h: drag(length + h * length, front, rear) / length),
        (found.by_front, lambda h: drag(length, front + h * front, rear) / front),
        (found.by_rear, lambda h: drag(length, front, rear + h * rear) / rear),
    ):
        central = (moved(1e-4) - moved(-1e-4)) / 2e-4
        assert float(slope) == pytest.approx(central, rel=1e-4)


def test_speed_has_no_sign_and_no_length_has_no_slope_by_diameter():
    one, other = (drag_slopes(v, 2.0, 0.001, 0.002, WATER) for v in (0.1, -0.1))
    assert one == other
    assert drag_slopes(0.1, 0.0, 0.001, 0.001, WATER).by_front == 0.0


@pytest.mark.parametrize("density", [700.0, 950.0, 1100.0, 3000.0])
@pytest.mark.parametrize("diameter", [0.0008, 0.0024])
def test_a_level_piece_answers_by_the_closed_form(density, diameter):
    """Derived forms, held by differences: by density, by diameter at one density and one weight.

    d ln v/d ln r = (S/(S - 1))/(2 + p); d ln v/d ln d = 3/(2 + p) - 1 at one density, and
    ((S - 3)/(S - 1))/(2 + p) - 1 at one weight per length.
    """

    def rate(r, d, mass=None):
        return float(sink_rate(d, r * math.pi / 4.0 * d * d if mass is None else mass, WATER))

    v, s = rate(density, diameter), density / WATER.density
    value, slope = drag_and_slope(
        math.log(abs(v) * diameter * WATER.density / WATER.viscosity)  # type: ignore[arg-type]
    )
    p = float(slope / value)
    h = 1e-5
    by_r = (rate(density * (1 + h), diameter) - rate(density * (1 - h), diameter)) / (2 * h * v)
    by_d = (rate(density, diameter * (1 + h)) - rate(density, diameter * (1 - h))) / (2 * h * v)
    mass = density * math.pi / 4.0 * diameter**2
    at_one = [rate(0.0, diameter * (1 + way * h), mass) for way in (1.0, -1.0)]
    assert by_r == pytest.approx(s / (s - 1.0) / (2.0 + p), rel=1e-5)
    assert by_d == pytest.approx(3.0 / (2.0 + p) - 1.0, rel=1e-4, abs=1e-6)
    assert (at_one[0] - at_one[1]) / (2 * h * v) == pytest.approx(
        (s - 3.0) / (s - 1.0) / (2.0 + p) - 1.0, rel=1e-5
    )
    # The slopes of drag give the same: what is heavier by 1 N needs 1/(dD/dv) more speed.
    own = drag_slopes(v, 1.0, diameter, diameter, WATER)
    drag = float(segment_drag(v, Taper(1.0, diameter, diameter, density), WATER))
    net = STANDARD_GRAVITY * (density - WATER.density) * math.pi / 4.0 * diameter**2
    assert abs(net) == pytest.approx(drag, rel=1e-9)
    by_diameter = 2.0 * drag - float(own.by_front + own.by_rear) * diameter
    assert by_diameter / (drag * (2.0 + p)) == pytest.approx(by_d, rel=1e-4, abs=1e-6)
