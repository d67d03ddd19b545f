"""Diameters between stations and beyond them."""

import numpy as np
import pytest

from taperlab.model.exact_units import FOOT, INCH
from taperlab.shop.belief.outline import OFFSET, Outline, Shape

THOU = 0.001 * INCH


def shape(feet, thou, breakpoints=(), *, length=30.0, error=0.5, loose=False) -> Shape:
    x = np.asarray(feet, dtype=float) * FOOT
    at = np.asarray(breakpoints, dtype=float) * FOOT
    return Shape(
        length * FOOT,
        x,
        np.asarray(thou, dtype=float) * THOU,
        np.full(len(x), error * THOU),
        at,
        np.zeros(len(at)),
        np.full(len(at), loose),
    )


def test_a_straight_taper_is_that_of_least_squares():
    """Without wobble or breakpoints: against the closed form of a straight line's error."""
    rng = np.random.default_rng(0)
    feet = np.linspace(0.0, 30.0, 21)
    thou = 40.0 + 1.3 * feet + rng.normal(0.0, 0.5, 21)
    outline = Outline(shape(feet, thou))
    slope, start = np.polyfit(feet, thou, 1)
    x = np.linspace(0.0, 30.0, 7)
    assert outline.mean(x * FOOT) / THOU == pytest.approx(start + slope * x, abs=0.15)
    closed = 0.5 * np.sqrt(1 / 21 + (x - 15.0) ** 2 / np.sum((feet - 15.0) ** 2))
    least = np.hypot(closed, OFFSET / THOU)
    found = outline.error(x * FOOT) / THOU
    assert np.all(found >= least * 0.98)
    assert np.all(found < 2.0 * least)


def test_beyond_the_stations_anything_is_possible_and_the_more_so_the_farther():
    outline = Outline(shape(np.linspace(0.0, 25.0, 18), np.full(18, 62.0)))
    x = np.array([12.0, 25.0, 25.5, 27.0, 30.0]) * FOOT
    errors = outline.error(x)
    assert np.all(np.diff(errors[1:]) > 0.0)
    assert errors[-1] > 10.0 * errors[0]
    assert outline.is_measured(x).tolist() == [True, True, False, False, False]
    # A rear taper that halves the line in the last five feet is no surprise.
    assert 1.96 * errors[-1] > 25.0 * THOU


def test_a_breakpoint_that_no_station_places_leaves_the_gaps_beside_it_open():
    feet = np.array([0.0, 4.0, 8.0, 12.0, 16.0, 20.0])
    thou = np.interp(feet, [0.0, 8.0, 20.0], [40.0, 80.0, 80.0])
    placed, loose = (
        Outline(shape(feet, thou, [8.0], length=20.0, loose=each)) for each in (False, True)
    )
    inside = np.array([6.0, 10.0]) * FOOT
    assert np.all(loose.error(inside) > 2.0 * placed.error(inside))
    # Nothing is gained or lost at a station: it was measured.
    at = np.array([8.0]) * FOOT
    assert loose.error(at) == pytest.approx(placed.error(at), rel=0.05)


def test_two_pieces_meet_somewhere_in_a_short_steep_stretch():
    feet = np.linspace(0.0, 20.0, 21)
    thou = np.interp(feet, [0.0, 9.5, 10.5, 20.0], [60.0, 60.0, 90.0, 90.0])
    outline = Outline(shape(feet, thou, [9.5, 10.5], length=20.0))
    (joint,) = outline.joints
    assert joint.front / FOOT == pytest.approx(9.0)
    assert joint.rear / FOOT == pytest.approx(11.0)
    assert joint.rise / THOU == pytest.approx(30.0, rel=0.1)
    # Either piece may reach that far.
    assert 1.96 * outline.error(np.array([9.6 * FOOT]))[0] > 13.0 * THOU
    smooth = Outline(shape(feet, np.interp(feet, [0, 8, 20], [60, 90, 90]), [8.0], length=20.0))
    assert smooth.joints == ()


def test_scatter_that_is_larger_than_said_widens_everything():
    rng = np.random.default_rng(1)
    feet = np.linspace(0.0, 30.0, 25)
    noise = rng.normal(0.0, 1.0, 25)
    calm, wild = (
        Outline(shape(feet, 60.0 + size * noise)).error(np.array([15.0 * FOOT]))[0]
        for size in (0.5, 2.0)
    )
    assert wild**2 - OFFSET**2 > 4.0 * (calm**2 - OFFSET**2)


@pytest.mark.parametrize("count", [1, 2, 3])
def test_few_stations_give_an_outline_all_the_same(count):
    feet = np.linspace(5.0, 20.0, count)
    outline = Outline(shape(feet, np.full(count, 60.0)))
    x = np.linspace(0.0, 30.0, 11) * FOOT
    assert outline.mean(x) / THOU == pytest.approx(np.full(11, 60.0), abs=0.5)
    covariance = outline.covariance(x)
    assert np.all(np.isfinite(covariance))
    assert np.linalg.eigvalsh(covariance).min() > -1e-9 * covariance.max()
