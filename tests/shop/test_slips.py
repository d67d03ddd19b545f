"""Slips of the hand: which reading is kept, and what becomes of the other."""

from dataclasses import replace
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.measurement import USUAL, Measurement, Station, WeighedSection
from taperlab.shop.measure.breakpoints import Given
from taperlab.shop.measure.drawn import points_read, rows_read
from taperlab.shop.measure.shape import ShapeFit
from taperlab.shop.measure.slips import Sifted, Why, sift_steps
from taperlab.shop.measure.stations import gather
from taperlab.shop.measure.study import study
from taperlab.shop.steps import finish
from taperlab.units.kinds import System
from taperlab.units.sentence import render
from tests.measured import fit_shape
from tests.slipped import FAMILIES, draw

THOU = 0.001 * INCH
LENGTH = 30 * FOOT
NODES, DIAMETERS = (
    np.array([0.0, 14.0, 26.0, 30.0]) * FOOT,
    np.array([40.0, 96.0, 96.0, 52.0]) * THOU,
)


def true(feet: float) -> float:
    return float(np.interp(feet * FOOT, NODES, DIAMETERS))


def read(feet: float, *thou: float) -> Station:
    """A station, with what was read there or else what is true, to half a thousandth."""
    rounded = round(true(feet) / THOU * 2.0) / 2.0
    return Station(feet * FOOT, tuple(each * THOU for each in thou or (rounded,)))


def row(*odd: Station) -> list[Station]:
    """Stations every 18 inches, some with other readings, some between."""
    others = {round(each.distance, 6) for each in odd}
    every = [read(feet) for feet in np.arange(0.0, 30.1, 1.5).tolist()]
    return [*(each for each in every if round(each.distance, 6) not in others), *odd]


def fitted(stations: list[Station]) -> ShapeFit:
    fit = fit_shape(stations, LENGTH, USUAL)
    assert isinstance(fit, ShapeFit)
    return fit


def worst(fit: ShapeFit) -> float:
    """How far the fitted line lies off the true one anywhere [thou]."""
    at = np.linspace(0.0, LENGTH, 400)
    return float(np.abs(fit.state.diameter(at) - np.interp(at, NODES, DIAMETERS)).max() / THOU)


def sentences(fit: ShapeFit) -> list[str]:
    return [render(finding.sentence, System.US) for finding in fit.findings]


def sifted(stations: list[Station], length: float = LENGTH) -> Sifted:
    places, _ = gather(stations, length, USUAL)
    return finish(sift_steps(places, USUAL, Given((), 0.0)))


# -- a bad reading and a good one -------------------------------------------------------------


@pytest.mark.parametrize("feet", [6.0, 16.5, 19.5, 27.0])
def test_swapped_figures_stand_alone_and_are_named(feet: float) -> None:
    good = true(feet) / THOU
    bad = 10.0 * (good % 10 // 1) + good // 10.0
    fit = fitted(row(read(feet, bad)))
    (out,) = fit.left_out
    assert (out.distance, out.diameter) == pytest.approx((feet * FOOT, bad * THOU))
    assert (out.why, out.number) == (Why.ALONE, 0)
    assert out.among == pytest.approx(true(feet), abs=1.5 * THOU)
    assert feet * FOOT not in fit.stations.distances
    assert worst(fit) < 1.5


def test_the_sentence_says_what_was_read_where_and_among_what() -> None:
    (said,) = sentences(fitted(row(read(16.5, 69.0))))
    assert said == "0.069 at 16 ft 6 in stands alone among 0.096: left out, read it again."


@pytest.mark.parametrize("bad", [69.0, 86.0, 106.0, 960.0, 9.6])
@pytest.mark.parametrize("feet", [3.0, 16.5, 24.0])
def test_the_good_value_typed_at_the_same_place_is_the_one_that_is_kept(
    feet: float, bad: float
) -> None:
    good = round(true(feet) / THOU * 2.0) / 2.0
    slipped = fitted(row(read(feet, bad)))
    mended = fitted(row(read(feet, bad, good)))
    (out,) = mended.left_out
    assert (out.diameter, out.number) == (bad * THOU, 0)
    assert out.why is Why.UNLIKELY
    at = np.searchsorted(mended.stations.distances, feet * FOOT - 1e-6)
    assert mended.stations.diameters[at] == pytest.approx(good * THOU)
    assert worst(mended) <= worst(slipped) + 0.3
    assert worst(mended) < 1.5
    assert len(mended.positions) == 4


def test_typed_in_a_row_of_its_own_it_is_kept_too() -> None:
    stations = row(read(16.5, 69.0))
    fit = fitted([*stations, read(16.5)])
    (out,) = fit.left_out
    assert out.station == len(stations) - 1
    assert "read there too, fits the neighbours" in sentences(fit)[0]
    assert worst(fit) < 1.5


@pytest.mark.parametrize("beside", [0.25, 0.5, 0.75])
@pytest.mark.parametrize("feet", [16.5, 19.5, 22.5])
def test_a_good_station_beside_a_slip_makes_no_notch_of_it(feet: float, beside: float) -> None:
    slip = read(feet, 69.0)
    for good in (feet - beside, feet + beside):
        fit = fitted(row(slip, read(good)))
        assert [out.diameter for out in fit.left_out] == [69.0 * THOU]
        assert len(fit.positions) == 4
        assert worst(fit) < 1.5


def test_a_third_reading_that_agrees_outvotes_the_other() -> None:
    fit = fitted(row(read(16.5, 96.0, 69.0, 95.5)))
    (out,) = fit.left_out
    assert (out.number, out.why) == (1, Why.OUTVOTED)
    assert sentences(fit) == [
        "0.069 at 16 ft 6 in is left out: the other readings there agree on 0.0958."
    ]


def test_two_readings_that_the_neighbours_cannot_tell_apart_are_both_kept_with_a_wide_error() -> (
    None
):
    # A weld of two level pieces, the station in it: either reading may be right.
    stations = [Station(x * FOOT, (50 * THOU,)) for x in (0, 2, 4, 6, 8)]
    stations += [Station(x * FOOT, (90 * THOU,)) for x in (12, 14, 16, 18, 20)]
    found = sifted([*stations, Station(10 * FOOT, (60 * THOU, 80 * THOU))], 20 * FOOT)
    assert not found.left_out
    assert found.kept.diameters[5] == pytest.approx(70 * THOU)
    assert found.kept.errors[5] == pytest.approx(10 * THOU)
    (doubt,) = found.doubts
    assert doubt.diameters == pytest.approx((60 * THOU, 80 * THOU))
    fit = fit_shape([*stations, Station(10 * FOOT, (60 * THOU, 80 * THOU))], 20 * FOOT, USUAL)
    assert isinstance(fit, ShapeFit)
    assert (
        "Two readings at 10 ft disagree and the neighbours cannot tell: both kept, error widened."
        in sentences(fit)
    )


def test_a_first_or_last_reading_is_asked_about_and_kept_unless_it_is_another_size() -> None:
    fit = fitted(row(read(0.0, 70.0)))
    assert not fit.left_out
    (said,) = [each for each in sentences(fit) if "stands alone at the end" in each]
    assert said.startswith("0.070 at 0 in stands alone at the end")
    decimal = fitted(row(read(0.0, 400.0)))
    assert [out.diameter for out in decimal.left_out] == [400 * THOU]


def test_a_reading_that_a_taper_may_explain_is_asked_about_and_kept() -> None:
    # Behind a weld the next reading lies on the line through those ahead of it.
    thou = [51.5, 51.0, 51.5, 51.5, 71.5, 90.5, 71.5, 71.5, 72.0, 71.5, 71.5]
    fit = fit_shape(
        [Station(2 * i * FOOT, (each * THOU,)) for i, each in enumerate(thou)], 20 * FOOT, USUAL
    )
    assert isinstance(fit, ShapeFit)
    assert not fit.left_out
    (doubt,) = fit.doubts
    assert doubt.distance == 10 * FOOT
    (said,) = [each for each in sentences(fit) if "a taper may do that" in each]
    assert said.startswith("0.0905 at 10 ft stands alone among 0.071")


def test_at_most_three_are_left_out() -> None:
    odd = [read(feet, 20.0) for feet in (3.0, 10.5, 18.0, 25.5)]
    fit = fitted(row(*odd))
    assert len(fit.left_out) == 3


def test_few_stations_are_all_kept() -> None:
    stations = [read(feet) for feet in (0.0, 6.0, 14.0, 26.0, 30.0)]
    stations[2] = read(14.0, 20.0)
    assert not fitted(stations).left_out


def test_the_table_and_the_plots_mark_the_same_reading_once() -> None:
    stations = row(read(16.5, 96.0, 69.0))
    measured = Measurement("m", "Found", LENGTH, USUAL, stations=tuple(stations))
    weighed = (WeighedSection(0.0, LENGTH, 500 * GRAIN),)
    answer = study(replace(measured, sections=weighed))
    assert answer.fit is not None
    points, rows = points_read(answer), rows_read(answer)
    assert points.diameters[~points.kept].tolist() == [69.0 * THOU]
    assert points.residuals[~points.kept] == pytest.approx([-27.0 * THOU], abs=THOU)
    assert [i for i, each in enumerate(rows) if each.left_out] == [len(stations) - 1]
    assert rows[-1].off == pytest.approx(-27.0 * THOU, abs=THOU)
    assert not any(each.in_doubt for each in rows)


# -- whatever is typed ------------------------------------------------------------------------

SEEDS = st.integers(0, 10_000)


@settings(max_examples=10, deadline=None)
@given(SEEDS, st.randoms(use_true_random=False), st.lists(st.floats(8.0, 140.0), max_size=3))
def test_neither_the_order_of_stations_nor_of_repeats_matters(
    seed: int, random: Random, odd: list[float]
) -> None:
    line = draw(seed)
    rows = line.stations()
    for i, thou in enumerate(odd):
        at = (7 * seed + 5 * i) % len(rows)
        rows[at] = replace(rows[at], readings=(*rows[at].readings, thou * THOU))
    once = sifted(rows, line.length * FOOT)
    shuffled = [
        replace(each, readings=tuple(random.sample(each.readings, len(each.readings))))
        for each in random.sample(rows, len(rows))
    ]
    again = sifted(shuffled, line.length * FOOT)
    assert again.kept.distances.tolist() == once.kept.distances.tolist()
    assert again.kept.diameters.tolist() == once.kept.diameters.tolist()
    assert [(each.distance, each.diameter, each.why) for each in again.left_out] == [
        (each.distance, each.diameter, each.why) for each in once.left_out
    ]
    assert again.doubts == once.doubts


@settings(max_examples=15, deadline=None)
@given(
    SEEDS,
    st.integers(0, 19),
    st.floats(5.0, 300.0),
    st.floats(0.0, 1.0),
    st.lists(st.floats(5.0, 300.0), max_size=2),
)
def test_a_place_with_two_agreeing_readings_is_never_left_out(
    seed: int, at: int, thou: float, apart: float, more: list[float]
) -> None:
    line = draw(seed)
    rows = line.stations()
    rows[at] = replace(
        rows[at], readings=tuple(each * THOU for each in (thou, thou + apart, *more))
    )
    assert rows[at].distance in sifted(rows, line.length * FOOT).kept.distances


def test_the_drawn_lines_are_of_every_family() -> None:
    assert {draw(seed).family for seed in range(30)} == set(FAMILIES)
