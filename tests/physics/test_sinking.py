import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from taperlab.model.water import Water, WaterKind
from taperlab.physics import frustum
from taperlab.physics.frustum import Taper
from taperlab.physics.sinking import (
    body_sink_rate,
    density_for_sink_rate,
    drag_and_slope,
    segment_drag,
    sink_rate,
)
from taperlab.physics.water import WaterState, water_state

WATER = WaterState(999.7, 1.306e-3)
diameters = st.floats(2e-4, 0.01)
densities = st.floats(50.0, 20_000.0)
lengths = st.floats(0.01, 40.0)


def level_mass(d, rho):
    return rho * math.pi / 4.0 * d * d


def drag_coefficient(reynolds):
    return drag_and_slope(np.log(reynolds))[0]


def drag_by_quad(speed, length, front, rear, state=WATER):
    def integrand(x):
        d = front + (rear - front) * x / length
        reynolds = state.density * speed * d / state.viscosity
        return 0.5 * state.density * float(drag_coefficient(reynolds)) * d * speed**2

    return quad(integrand, 0.0, length, epsabs=0.0, epsrel=1e-12, limit=200)[0]


@given(diameters, densities)
def test_net_weight_equals_drag(d, rho):
    v = float(sink_rate(d, level_mass(d, rho), WATER))
    net = (rho - WATER.density) * math.pi / 4.0 * d * d * 9.80665
    if v == 0.0:
        assert abs(rho - WATER.density) < 1e-10
        return
    reynolds = WATER.density * abs(v) * d / WATER.viscosity
    drag = 0.5 * WATER.density * float(drag_coefficient(reynolds)) * d * v * v
    assert math.copysign(drag, v) == pytest.approx(net, rel=1e-9, abs=1e-12 * d * d)


@given(diameters, densities)
def test_the_sign_says_whether_it_sinks(d, rho):
    v = float(sink_rate(d, level_mass(d, rho), WATER))
    assert np.sign(v) == np.sign(round(rho - WATER.density, 9))


@given(diameters, st.floats(1.0, 900.0))
def test_it_rises_as_fast_as_it_would_sink_with_the_opposite_net_weight(d, excess):
    sinking = float(sink_rate(d, level_mass(d, WATER.density + excess), WATER))
    rising = float(sink_rate(d, level_mass(d, WATER.density - excess), WATER))
    assert rising == pytest.approx(-sinking, rel=1e-9)


@given(diameters)
def test_a_neutral_line_does_not_move(d):
    assert sink_rate(d, level_mass(d, WATER.density), WATER) == 0.0
    mass = Taper(2.0, d, 2.0 * d, WATER.density).mass()
    assert body_sink_rate([2.0], [d], [2.0 * d], [mass], WATER) == 0.0


@pytest.mark.parametrize(
    ("d", "rho"),
    list(itertools.product((1e-6, 2e-4, 1e-3, 0.05), (1.0, 999.0, 999.6999, 1000.0, 3e4))),
)
def test_against_a_bracketed_root_over_all_sizes(d, rho):
    """Some of these are far outside what the drag formula was given for; the root still holds."""
    target = math.log(
        math.pi / 2.0 * 9.80665 * d**3 * abs(rho - WATER.density) * WATER.density
    ) - 2.0 * math.log(WATER.viscosity)
    x = brentq(lambda x: math.log(drag_coefficient(math.exp(x))) + 2.0 * x - target, -60, 40)
    expected = math.exp(x) * WATER.viscosity / WATER.density / d
    found = abs(float(sink_rate(d, level_mass(d, rho), WATER)))
    assert found == pytest.approx(expected, rel=1e-8)


def test_a_section_with_a_core_sinks_by_its_mass_per_length():
    mass = frustum.linear_density(0.002, 820.0, 0.0006, 1140.0)
    mean = float(mass) / (math.pi / 4.0 * 0.002**2)
    assert sink_rate(0.002, mass, WATER) == pytest.approx(
        float(sink_rate(0.002, level_mass(0.002, mean), WATER)), rel=1e-12
    )


def test_warmer_is_faster_and_salt_is_slower():
    waters = [Water(WaterKind.SEA, 283.15)]
    waters += [Water(temperature=kelvin) for kelvin in (273.15, 278.15, 283.15, 293.15)]
    sea, *fresh = (
        float(sink_rate(0.001, level_mass(0.001, 2000.0), water_state(each))) for each in waters
    )
    assert fresh == sorted(fresh)
    assert sea < fresh[2]


def test_sink_rate_broadcasts():
    rates = sink_rate(np.array([[0.001], [0.002]]), level_mass(0.001, 2000.0), WATER)
    assert rates.shape == (2, 1)
    assert sink_rate(np.zeros(0), np.zeros(0), WATER).shape == (0,)


@pytest.mark.parametrize(
    ("front", "rear"),
    [(0.0009, 0.0009), (0.0007, 0.0022), (0.0022, 0.0007), (0.0005, 0.0025), (0.001, 0.001000001)],
)
@pytest.mark.parametrize("speed", [1e-4, 0.01, 0.1, 0.3, 1.0])
def test_drag_of_a_taper_against_integration(front, rear, speed):
    expected = drag_by_quad(speed, 3.0, front, rear)
    assert segment_drag(speed, Taper(3.0, front, rear, 0.0), WATER) == pytest.approx(
        expected, rel=1e-9
    )


def test_drag_without_motion_is_nothing_and_its_sign_is_ignored():
    taper = Taper(1.0, 0.001, 0.002, 0.0)
    assert segment_drag(0.0, taper, WATER) == 0.0
    assert segment_drag(-0.1, taper, WATER) == segment_drag(0.1, taper, WATER)


BODY = (
    np.array([3.0, 0.9, 5.5, 1.2]),
    np.array([0.0008, 0.0017, 0.0025, 0.0025]),
    np.array([0.0008, 0.0025, 0.0025, 0.0009]),
    np.array([5736.0, 871.0, 871.0, 871.0]),
)


def test_body_against_a_root_of_integrals():
    size, front, rear, rho = BODY
    masses = Taper(size, front, rear, rho).mass()
    extra = 0.0002
    volume = frustum.volume(size, front, rear).sum()
    net = (masses.sum() + extra - WATER.density * volume) * 9.80665

    def unbalance(v):
        rows = zip(size, front, rear, strict=True)
        return sum(drag_by_quad(v, *row) for row in rows) - net

    expected = brentq(unbalance, 1e-4, 1.0, xtol=1e-14, rtol=1e-12)
    found = body_sink_rate(size, front, rear, masses, WATER, extra_mass=extra)
    assert found == pytest.approx(expected, rel=1e-9)


@given(st.lists(st.tuples(lengths, diameters, diameters, densities), min_size=1, max_size=6))
def test_body_balances_whatever_it_is_made_of(pieces):
    size, front, rear, rho = (np.array(column) for column in zip(*pieces, strict=True))
    masses = Taper(size, front, rear, rho).mass()
    displaced = WATER.density * frustum.volume(size, front, rear)
    v = float(body_sink_rate(size, front, rear, masses, WATER))
    net = (masses.sum() - displaced.sum()) * 9.80665
    drag = float(segment_drag(v, Taper(size, front, rear, rho), WATER).sum())
    assert math.copysign(drag, v) == pytest.approx(net, rel=1e-9, abs=1e-12 * displaced.sum())


@given(st.lists(st.tuples(lengths, diameters, diameters, densities), min_size=1, max_size=5))
def test_body_lies_between_its_own_ends(pieces):
    """No body outruns its fastest section or lags its slowest."""
    size, front, rear, rho = (np.array(column) for column in zip(*pieces, strict=True))
    masses = Taper(size, front, rear, rho).mass()
    ends = np.concatenate(
        [sink_rate(d, frustum.linear_density(d, rho), WATER) for d in (front, rear)]
    )
    v = float(body_sink_rate(size, front, rear, masses, WATER))
    slack = 1e-9 * np.abs(ends).max() + 1e-12
    assert ends.min() - slack <= v <= ends.max() + slack


def test_body_of_one_level_piece_sinks_like_the_piece():
    mass = level_mass(0.001, 3000.0)
    assert body_sink_rate([4.0], [0.001], [0.001], [4.0 * mass], WATER) == pytest.approx(
        float(sink_rate(0.001, mass, WATER)), rel=1e-12
    )


def test_cutting_or_reversing_a_body_changes_nothing():
    size, front, rear, rho = BODY
    masses = Taper(size, front, rear, rho).mass()
    whole = float(body_sink_rate(size, front, rear, masses, WATER))
    back = float(body_sink_rate(size[::-1], rear[::-1], front[::-1], masses[::-1], WATER))
    middle = (front + rear) / 2.0
    halves = (
        np.repeat(size / 2.0, 2),
        np.column_stack([front, middle]).ravel(),
        np.column_stack([middle, rear]).ravel(),
    )
    cut = float(body_sink_rate(*halves, Taper(*halves, np.repeat(rho, 2)).mass(), WATER))
    assert back == pytest.approx(whole, rel=1e-12)
    assert cut == pytest.approx(whole, rel=1e-9)


def test_masked_and_padded_segments_count_for_nothing():
    size, front, rear, rho = BODY
    masses = Taper(size, front, rear, rho).mass()
    wanted = float(body_sink_rate(size[:3], front[:3], rear[:3], masses[:3], WATER))
    masked = body_sink_rate(size, front, rear, masses, WATER, weights=[1, 1, 1, 0])
    padded = body_sink_rate(
        np.append(size[:3], 0.0),
        np.append(front[:3], 0.0),
        np.append(rear[:3], 0.0),
        np.append(masses[:3], 0.0),
        WATER,
    )
    assert masked == pytest.approx(wanted, rel=1e-13)
    assert padded == pytest.approx(wanted, rel=1e-13)


def test_many_bodies_at_once_are_the_same_as_one_by_one():
    """More rows than one chunk holds, in two leading axes, with an extra mass per row."""
    size, front, rear, rho = BODY
    rng = np.random.default_rng(7)
    sizes = size * rng.uniform(0.2, 2.0, (3, 1500, 4))
    masses = Taper(sizes, front, rear, rho).mass()
    extra = rng.uniform(0.0, 0.001, (3, 1500))
    rates = body_sink_rate(sizes, front, rear, masses, WATER, extra_mass=extra)
    assert rates.shape == (3, 1500)
    for at in ((0, 0), (1, 749), (2, 1499)):
        alone = body_sink_rate(sizes[at], front, rear, masses[at], WATER, extra_mass=extra[at])
        assert rates[at] == pytest.approx(float(alone), rel=1e-12)


def test_no_segment_no_speed():
    assert math.isnan(body_sink_rate([], [], [], [], WATER))
    assert math.isnan(body_sink_rate([1.0], [1e-3], [1e-3], [1e-3], WATER, weights=[0.0]))
    nothing = np.zeros((4, 0))
    assert body_sink_rate(nothing, nothing, nothing, nothing, WATER).shape == (4,)


def test_a_sleeve_sinks_a_floating_head():
    mass = float(Taper(1.0, 0.002, 0.002, 990.0).mass())
    assert body_sink_rate([1.0], [0.002], [0.002], [mass], WATER) < 0.0
    assert body_sink_rate([1.0], [0.002], [0.002], [mass], WATER, extra_mass=0.001) > 0.0


@given(st.floats(-0.01, 0.5), lengths, diameters, diameters)
def test_density_for_a_sink_rate_gives_that_rate(rate, length, front, rear):
    try:
        rho = float(density_for_sink_rate(rate, Taper(length, front, rear, 0.0), WATER))
    except ValueError:
        assert rate < 0.0
        return
    mass = Taper(length, front, rear, rho).mass()
    found = float(body_sink_rate([length], [front], [rear], [mass], WATER))
    assert found == pytest.approx(rate, rel=1e-6, abs=1e-9)


def test_standing_still_takes_the_density_of_the_water():
    assert density_for_sink_rate(0.0, Taper(1.0, 0.001, 0.002, 0.0), WATER) == WATER.density


def test_nothing_rises_faster_than_weightlessness_allows():
    with pytest.raises(ValueError, match="light enough"):
        density_for_sink_rate(-5.0, Taper(1.0, 0.001, 0.001, 0.0), WATER)
