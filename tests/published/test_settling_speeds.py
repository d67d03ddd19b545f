"""Sink rates against a published formula, a table of drag values, and what the trade quotes."""

import itertools
import math

import numpy as np
import pytest
from scipy.optimize import brentq

from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.water import Water, WaterKind
from taperlab.physics.sinking import sink_rate
from taperlab.physics.water import WaterState, water_state
from taperlab.trade.starters import starter_stock

AT_15 = WaterState(999.1026, 1.13757e-3)  # fresh water, 15 °C
STANDARD_SALINITY = 0.03516504

# Re, C_d: values gathered from computation and experiment (see test_cylinder_drag.py).
LOG_RE, LOG_CD = np.log(
    [
        (1, 10.3),
        (2, 6.65),
        (5, 3.93),
        (10, 2.76),
        (20, 2.02),
        (40, 1.53),
        (60, 1.42),
        (100, 1.34),
        (200, 1.28),
        (500, 1.09),
        (1000, 0.97),
        (2000, 0.91),
    ]
).T


def level(inches, specific_gravity, state=AT_15):
    """Our sink rate [in/s] of a level line."""
    d = inches * INCH
    mass = specific_gravity * state.density * math.pi / 4.0 * d * d
    return float(sink_rate(d, mass, state)) / INCH


def tabled(inches, specific_gravity, state=AT_15):
    """Sink rate [in/s] with drag read off the table, solved by bracketing."""
    d = inches * INCH
    net = (specific_gravity - 1.0) * state.density * math.pi / 4.0 * d * d * 9.80665

    def unbalance(v):
        reynolds = state.density * v * d / state.viscosity
        drag = math.exp(np.interp(math.log(reynolds), LOG_RE, LOG_CD))
        return 0.5 * state.density * drag * d * v * v - net

    return brentq(unbalance, 1e-3, 2.0) / INCH


def havstad(inches, specific_gravity):
    """U = 37.5 (S - 1)^0.563 D^0.689, in/s and in; J. W. Havstad, 2008, as quoted by others."""
    return 37.5 * (specific_gravity - 1.0) ** 0.563 * inches**0.689


TABLE = [  # D [in], S, with the table of drag values, with Cheng 2013, by Havstad; all in/s
    (0.040, 1.05, 0.746, 0.732, 0.756),
    (0.040, 1.30, 2.23, 2.173, 2.072),
    (0.040, 2.00, 4.25, 4.261, 4.082),
    (0.040, 3.00, 6.08, 6.179, 6.030),
    (0.050, 2.00, 4.81, 4.882, 4.760),
    (0.060, 1.50, 3.71, 3.764, 3.653),
    (0.080, 1.50, 4.35, 4.444, 4.454),
]


@pytest.mark.parametrize(("inches", "gravity", "table", "cheng", "formula"), TABLE)
def test_force_balance(inches, gravity, table, cheng, formula):
    """Worked out for this test's source by independent programs, not by this one."""
    assert level(inches, gravity) == pytest.approx(cheng, abs=0.005)
    assert tabled(inches, gravity) == pytest.approx(table, rel=0.005)
    assert havstad(inches, gravity) == pytest.approx(formula, abs=0.001)


@pytest.mark.parametrize(("inches", "gravity", "table", "cheng", "formula"), TABLE)
def test_havstad_within_8_percent(inches, gravity, table, cheng, formula):
    """As quoted by others; 1 % is claimed for it, which the force balance does not bear out."""
    assert level(inches, gravity) == pytest.approx(formula, rel=0.08)


def test_over_the_whole_range_of_fly_lines():
    """0.030 to 0.080 in, 1.05 to 3.5 times water: ours within 4 % of the table of drag values.

    Havstad's formula is within 9 % of that table; ours follows it within 12 %, worst where the
    line is slowest (Re near 10), since Cheng's drag is high there.
    """
    for inches, gravity in itertools.product(
        (0.030, 0.045, 0.06, 0.08), (1.05, 1.2, 1.6, 2.5, 3.5)
    ):
        reference = tabled(inches, gravity)
        assert level(inches, gravity) == pytest.approx(reference, rel=0.04)
        assert havstad(inches, gravity) == pytest.approx(reference, rel=0.09)
        assert level(inches, gravity) == pytest.approx(havstad(inches, gravity), rel=0.12)


def test_warmer_is_faster_and_salt_is_slower():
    """1.998 g/cm^3, 0.040 in, with the table of drag values; order is exact, figures 2 %."""
    d = 0.040 * INCH
    waters = {
        "sea 10": (Water(WaterKind.SEA, 283.15, STANDARD_SALINITY), 4.08),
        0: (Water(temperature=273.15), 4.13),
        5: (Water(temperature=278.15), 4.17),
        10: (Water(temperature=283.15), 4.21),
        20: (Water(temperature=293.15), 4.27),
    }
    rates = {}
    for name, (water, expected) in waters.items():
        rates[name] = float(sink_rate(d, 1998.0 * math.pi / 4.0 * d * d, water_state(water))) / INCH
        assert rates[name] == pytest.approx(expected, rel=0.02)
    assert rates[0] < rates[5] < rates[10] < rates[20]
    assert rates["sea 10"] < rates[10]


def test_lead_core():
    """27 lb lead core, 11.4 gr/ft, about 1/32 in (a maker's figures), so 4.902 times water.

    7.5 in/s is worked out from them with the table of drag values; nobody's measurement.
    """
    rate = float(sink_rate(INCH / 32.0, 11.4 * GRAIN / FOOT, AT_15)) / INCH
    assert tabled(1.0 / 32.0, 4.902) == pytest.approx(7.5, abs=0.05)
    assert rate == pytest.approx(7.5, rel=0.04)


# Level tungsten stock: gr/ft, quoted rate from and to [in/s], diameter that fits both [in],
# diameter as remembered [in]. Rates: common practice, from memory. Remembered diameters: from
# memory, and not to be relied on. The fitting diameters follow from weight and rate by a force
# balance with the table of drag values, so they are no measurement either.
TUNGSTEN = [
    (8, 6.0, 7.0, 0.028, 0.032),
    (11, 7.0, 8.0, 0.030, 0.036),
    (14, 8.0, 9.0, 0.032, 0.041),
    (17, 9.0, 10.0, 0.032, 0.047),
    (20, 9.5, 10.5, 0.034, None),  # "about 10"
]


@pytest.mark.parametrize(("weight", "low", "high", "fits", "remembered"), TUNGSTEN)
def test_tungsten_tips_reach_the_quoted_rates_if_thin_enough(weight, low, high, fits, remembered):
    rate = float(sink_rate(fits * INCH, weight * GRAIN / FOOT, AT_15)) / INCH
    assert low <= rate <= high


@pytest.mark.parametrize(("weight", "low", "high", "fits", "remembered"), TUNGSTEN[:-1])
def test_remembered_diameters_cannot_give_the_quoted_rates(weight, low, high, fits, remembered):
    """Rates and diameters as remembered contradict each other: so a label rate is advice only."""
    rate = float(sink_rate(remembered * INCH, weight * GRAIN / FOOT, AT_15)) / INCH
    assert rate < low


@pytest.mark.parametrize(("weight", "low", "high", "fits", "remembered"), TUNGSTEN)
def test_starter_tips_sink_as_the_trade_quotes(weight, low, high, fits, remembered):
    (stock,) = (s for s in starter_stock() if s.key == f"stock-tungsten-{weight}")
    mass = stock.density * math.pi / 4.0 * stock.front_diameter**2
    assert low <= float(sink_rate(stock.front_diameter, mass, AT_15)) / INCH <= high
