"""Breakpoints from diameters: few readings, odd readings, and what the user fixes."""

import math

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from taperlab.model.exact_units import FOOT, INCH
from taperlab.model.measurement import USUAL, Instruments, Station, WeighedSection
from taperlab.shop.errors import diameter_error, rounding_error
from taperlab.shop.measure.breakpoints import Given, fit_broken, search
from taperlab.shop.measure.outcome import NoFit
from taperlab.shop.measure.shape import Placed, ShapeFit
from taperlab.shop.measure.stations import Stations
from taperlab.shop.measure.weights import WeightFit
from taperlab.shop.steps import finish
from tests.measured import fit_shape, fit_weights, remarks

THOU = 0.001 * INCH
LENGTH = 30 * FOOT
NODES = np.array([0.0, 9.0, 25.0, 30.0]) * FOOT
DIAMETERS = np.array([36.0, 62.0, 62.0, 42.0]) * THOU
NONE_GIVEN = Given((), 0.0)
EXACT = Instruments(scale=1e-6, tape=1e-4, micrometer=0.1 * THOU)


def stations(feet: np.ndarray, nodes=NODES, diameters=DIAMETERS) -> list[Station]:
    at = np.interp(feet * FOOT, nodes, diameters)
    return [Station(float(x * FOOT), (float(d),)) for x, d in zip(feet, at, strict=True)]


def shape(*args: object, **kwargs: object) -> ShapeFit:
    fit = fit_shape(*args, **kwargs)  # type: ignore[arg-type]
    assert isinstance(fit, ShapeFit), fit
    return fit


def test_exact_diameters_give_the_breakpoints_back() -> None:
    fit = shape(stations(np.linspace(0, 30, 24)), LENGTH, EXACT)
    assert fit.positions == pytest.approx(NODES, abs=2e-3)
    assert fit.diameters == pytest.approx(DIAMETERS, rel=1e-4)
    assert fit.placed == (Placed.FOUND, Placed.FOUND)
    assert np.abs(fit.residuals).max() < 0.1 * THOU
    assert not fit.findings


def test_order_and_doubles_do_not_matter() -> None:
    rows = stations(np.linspace(0, 30, 21))
    plain = shape(rows, LENGTH, USUAL)
    shuffled = shape([*rows[::-2], *rows[-2::-2]], LENGTH, USUAL)
    assert np.array_equal(plain.positions, shuffled.positions)
    twice = shape([*rows, *rows], LENGTH, USUAL)
    assert len(twice.stations.distances) == 21
    assert twice.errors.diameters == pytest.approx(plain.errors.diameters / np.sqrt(2.0), rel=0.02)


def test_only_stations_that_the_tape_cannot_tell_apart_become_one() -> None:
    rows = stations(np.linspace(0, 30, 21))
    step = USUAL.tape
    for apart, count in ((0.4 * step, 21), (1.0 * step, 22)):
        near = Station(rows[5].distance + apart, rows[5].readings)
        assert len(shape([*rows, near], LENGTH, USUAL).stations.distances) == count


def test_scatter_beyond_the_micrometers_widens_the_errors_by_as_much() -> None:
    rng = np.random.default_rng(2)
    rows = stations(np.linspace(0, 30, 41))
    # Six times the scatter that the instruments are said to have.
    noisy = [
        Station(row.distance, (row.readings[0] + 6.0 * rng.normal(0.0, USUAL.scatter),))
        for row in rows
    ]
    fixed = [float(node) for node in NODES[1:-1]]
    calm = shape(rows, LENGTH, USUAL, fixed=fixed, only_fixed=True)
    wild = shape(noisy, LENGTH, USUAL, fixed=fixed, only_fixed=True)
    assert any("scatter" in str(finding.sentence) for finding in wild.findings)
    wider = math.sqrt(wild.chi_square / wild.freedom)
    assert 4.0 < wider < 7.0
    assert wild.errors.diameters[:-1] == pytest.approx(wider * calm.errors.diameters[:-1], rel=0.1)


def test_more_readings_at_a_station_sharpen_it() -> None:
    assert diameter_error(USUAL, 4) == pytest.approx(diameter_error(USUAL, 1) / 2.0)
    stiff = Instruments(USUAL.scale, USUAL.tape, USUAL.micrometer, scatter=0.0)
    assert diameter_error(stiff, 100) == rounding_error(stiff.micrometer)


def test_few_stations() -> None:
    assert isinstance(fit_shape([], LENGTH, USUAL), NoFit)
    one = shape(stations(np.array([10.0])), LENGTH, USUAL)
    assert one.diameters == pytest.approx([62 * THOU] * 2, rel=1e-6)
    assert "level" in str(one.findings[0].sentence)
    two = shape(stations(np.array([0.0, 9.0])), 9 * FOOT, USUAL)
    assert two.diameters == pytest.approx([36 * THOU, 62 * THOU], rel=1e-4)
    assert "straight taper" in str(two.findings[0].sentence)
    three = shape(stations(np.array([0.0, 9.0, 25.0])), 25 * FOOT, USUAL)
    assert three.diameters == pytest.approx([36 * THOU, 62 * THOU, 62 * THOU], rel=1e-4)
    assert three.placed == (Placed.AT_STATION,)
    assert three.errors.positions[1] > FOOT


def test_a_corner_measured_alone_becomes_a_breakpoint_with_a_wide_error() -> None:
    fit = shape(stations(np.array([0.0, 9.0, 17.0, 25.0, 30.0])), LENGTH, USUAL)
    assert fit.positions == pytest.approx(NODES)
    # Two stations on each side place the second corner; nothing places the first.
    assert fit.placed == (Placed.AT_STATION, Placed.FOUND)
    assert fit.errors.positions[1] > 3 * FOOT
    weighed = fit_weights(fit, [WeighedSection(0.0, LENGTH, 0.02)], USUAL)
    assert isinstance(weighed, WeightFit)
    loose = [each for each in remarks(weighed) if "somewhere" in each]
    assert loose[0].startswith("The taper changes somewhere between ")


@pytest.mark.parametrize("between", [60.0, 80.0])
def test_one_station_between_two_corners_does_not_lead_the_search_astray(between: float) -> None:
    # 50 to 8 ft, 90 from 12 ft, and one reading at 10 ft: two corners pass through all of them,
    # one at 8 or 12 ft; of the lines that pass it is the one that the stations place.
    feet = np.array([0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20], dtype=float)
    read = np.array([50.0] * 5 + [between] + [90.0] * 5)
    errors = np.full(len(feet), diameter_error(USUAL, 1))
    points = Stations(feet * FOOT, read * THOU, errors)
    fit = finish(search(points, NONE_GIVEN))
    assert fit.chi_square < 1e-3
    corners = [8.0, 8.0 + 80.0 / 30.0] if between > 70.0 else [12.0 - 80.0 / 30.0, 12.0]
    assert fit.breakpoints / FOOT == pytest.approx(corners, abs=0.01)
    # Fitted again from where it is, it stays.
    again = fit_broken(points, fit.breakpoints, NONE_GIVEN)
    assert again.chi_square == pytest.approx(fit.chi_square, abs=1e-3)


def test_a_level_line_needs_one_segment() -> None:
    rng = np.random.default_rng(3)
    rows = [
        Station(float(x), (float(rng.normal(40 * THOU, 0.5 * THOU)),))
        for x in np.linspace(0, LENGTH, 20)
    ]
    fit = shape(rows, LENGTH, USUAL)
    assert len(fit.positions) == 2
    assert fit.chi_square < 40


@pytest.mark.parametrize("where", [4.0, 14.0, 28.0])
def test_one_misread_diameter_is_left_out_and_named(where: float) -> None:
    feet = np.linspace(0, 30, 31)
    rows = stations(feet)
    k = int(where)
    rows[k] = Station(rows[k].distance, (rows[k].readings[0] + 8 * THOU,))
    fit = shape(rows, LENGTH, USUAL)
    assert [each.station for each in fit.left_out] == [k]
    assert any("read it again" in str(finding.sentence) for finding in fit.findings)
    assert fit.positions == pytest.approx(NODES, abs=0.3)


def test_readings_that_disagree_and_stations_off_the_line_are_remarked_on() -> None:
    rows = stations(np.linspace(0, 30, 16))
    rows[3] = Station(rows[3].distance, (rows[3].readings[0], rows[3].readings[0] + 20 * THOU))
    rows.append(Station(31 * FOOT, (40 * THOU,)))
    sentences = [str(finding.sentence) for finding in shape(rows, LENGTH, USUAL).findings]
    assert any("fits the neighbours" in sentence for sentence in sentences)
    assert any("beyond the line’s end" in sentence for sentence in sentences)


def test_ends_without_a_station_have_a_range_and_no_value() -> None:
    fit = fit_weights(
        shape(stations(np.linspace(4, 26, 20)), LENGTH, USUAL),
        [WeighedSection(0.0, LENGTH, 0.02)],
        USUAL,
    )
    assert isinstance(fit, WeightFit)
    said = remarks(fit)
    assert sum("anything from" in each for each in said) == 2
    outline = fit.belief.outline
    ends = outline.error(np.array([0.0, LENGTH]))
    assert np.all(ends > 8.0 * outline.error(np.array([15 * FOOT]))[0])


def test_a_fixed_breakpoint_stays_and_the_others_are_still_found() -> None:
    rows = stations(np.linspace(0, 30, 24))
    fit = shape(rows, LENGTH, USUAL, fixed=[9 * FOOT])
    assert fit.positions[1] == 9 * FOOT
    assert fit.placed == (Placed.FIXED, Placed.FOUND)
    assert fit.errors.positions[1] == pytest.approx(rounding_error(USUAL.tape), rel=0.01)
    extra = shape(rows, LENGTH, USUAL, fixed=[17 * FOOT])
    assert 17 * FOOT in extra.positions
    assert len(extra.positions) == 5
    only = shape(rows, LENGTH, USUAL, fixed=[9 * FOOT, 21 * FOOT], only_fixed=True)
    assert only.positions.tolist() == [0.0, 9 * FOOT, 21 * FOOT, LENGTH]
    assert any("scatter" in str(finding.sentence) for finding in only.findings)
    none = shape(rows, LENGTH, USUAL, only_fixed=True)
    assert len(none.positions) == 2


def test_a_breakpoint_beyond_the_line_is_refused() -> None:
    answer = fit_shape(stations(np.linspace(0, 30, 9)), LENGTH, USUAL, fixed=[31 * FOOT])
    assert isinstance(answer, NoFit)
    assert "between the ends" in str(answer.sentence)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.0, 9.0), st.floats(0.0005, 0.004)), min_size=1, max_size=14),
    st.lists(st.floats(0.1, 9.0), max_size=3),
)
# A found breakpoint that is moved to a station must not land on a fixed one there.
@example([(0.0, 0.0039), (1.0, 0.00195), (2.0, 0.0039), (3.0, 0.0039), (1.5, 0.0039)], [1.0])
# A fixed breakpoint beyond the last station stays where it is.
@example([(0.0, 0.001), (1.75, 0.004), (4.75, 0.00371), (4.0, 0.00287)], [5.0])
def test_whatever_is_typed_gets_an_answer(
    rows: list[tuple[float, float]], fixed: list[float]
) -> None:
    fit = fit_shape([Station(x, (d,)) for x, d in rows], 9.1, USUAL, fixed=fixed)
    if isinstance(fit, NoFit):
        assert str(fit.sentence).endswith(".")
        return
    assert np.all(np.diff(fit.positions) > 0.0)
    assert set(fixed) <= set(fit.positions.tolist())
    assert np.all(fit.diameters > 0.0)
    assert np.all(np.isfinite(fit.covariance))
    assert np.all(np.diag(fit.covariance) >= 0.0)
