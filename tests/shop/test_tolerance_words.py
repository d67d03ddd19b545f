"""What is said of tolerances, and where along a head a thousandth costs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from taperlab.model.bench import Bench, View
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import line_of
from taperlab.model.measurement import USUAL, Measurement
from taperlab.model.rod import Window
from taperlab.model.segment import Part, Segment
from taperlab.shop.instruments import METRIC_USUAL
from taperlab.shop.tolerance.along import along
from taperlab.shop.tolerance.asking import asked_of, instruments_on
from taperlab.shop.tolerance.builds import builds, left_on
from taperlab.shop.tolerance.columns import COLUMNS, error, rows_of
from taperlab.shop.tolerance.dimensions import What
from taperlab.shop.tolerance.words import (
    alike_words,
    landing_words,
    left_on_words,
    of_hundred,
    shrink_words,
    summary,
)
from taperlab.units import kinds
from taperlab.units.kinds import System
from tests.shop.test_tolerance import SILENT, scandi, told

LEVEL = line_of("line", "Level", (Segment(Part.BELLY, 8.0, 0.0024, 0.0024, 870.0),))


def window(low: float, high: float) -> Window:
    return Window(scandi().style, low * GRAIN, high * GRAIN)


# -- the one sentence ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({}, "measure those first; the tape hardly matters."),
        ({"density": 40.0}, "but the density does more, ±\u00a0"),
        ({"length": 1.0}, "but the tape does more: measure lengths first."),
        ({"length": 0.08}, "; the tape adds ±\u00a0"),
        (SILENT, "; nothing is said to be off."),
    ],
)
def test_what_to_measure_first_is_what_makes_most(typed, said):
    assert said in str(summary(told(scandi(), **typed)))


def test_one_diameter_is_spoken_of_alone():
    assert str(summary(told(LEVEL))).startswith("0.001 in on the diameter is ")


def test_a_diameter_that_is_at_one_place_is_told_by_its_distance():
    rows = list(scandi().segments)
    rows[3] = replace(rows[3], part=Part.REAR_TAPER, rear_diameter=0.05 * INCH)
    found = told(line_of("line", "Head", tuple(rows)))
    assert "0.001 in at 17 ft is " in str(summary(found))
    names = {row[0] for row in rows_of(found, System.US)[1:]}
    assert {"Diameter, tip", "Diameter at 17 ft", "Diameter at 30 ft", "Diameter, rod end"} <= names


# -- builds ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("share", "count"), [(1.0, 100), (0.9996, 100), (0.999, 99), (0.5, 50), (0.001, 1), (0.0, 0)]
)
def test_all_and_none_are_said_only_where_that_is_nearly_sure(share, count):
    assert of_hundred(share) == count


def test_a_window_a_design_beside_it_and_one_that_is_too_narrow():
    found = told(scandi())
    mass = found.values.mass / GRAIN
    wide = builds(found, window(mass - 60.0, mass + 60.0))
    assert str(landing_words(wide)) == "Of 100 builds 100 land in the grain window."
    assert str(shrink_words(wide, found)) == "Close enough: 95 of 100 land, or more."
    assert not alike_words(wide)
    narrow = builds(found, window(mass - 5.0, mass + 5.0))
    assert str(shrink_words(narrow, found)).startswith("Work closer: for 95 of 100 every ±")
    for low, high, why in (
        (mass + 3.0, mass + 40.0, "3 gr too light"),
        (mass - 40.0, mass - 3.0, "3.0 gr too heavy"),
        (mass, mass + 40.0, "on the edge"),
    ):
        said = str(shrink_words(builds(found, window(low, high)), found))
        assert said.startswith("Closer work does not help")
        assert why.replace("3 gr", "3.0 gr") in said


def test_line_behind_the_belly_is_spoken_of():
    whole = told(scandi())
    assert "blade" not in str(left_on_words(left_on(whole), whole))
    rear = Segment(Part.REAR_TAPER, 2.0, 0.104 * INCH, 0.05 * INCH, 870.0)
    tapered = told(line_of("line", "Head", (*scandi().segments, rear)))
    assert "what lies behind the belly goes first" in str(left_on_words(left_on(tapered), tapered))


# -- the table -------------------------------------------------------------------------------------


def test_little_gets_a_decimal_more_and_nothing_is_nought():
    assert error(5.66 * GRAIN, kinds.WEIGHT, System.US) == "5.7"
    assert error(0.04 * GRAIN, kinds.WEIGHT, System.US) == "0.04"
    assert error(0.001 * GRAIN, kinds.WEIGHT, System.US) == "0"
    assert error(float("nan"), kinds.WEIGHT, System.US) == "—"


@pytest.mark.parametrize("system", System)
def test_numbers_of_the_table_are_numbers_to_a_spreadsheet(system):
    heading, *rows = rows_of(told(scandi()), system)
    assert len(heading) == len(COLUMNS)
    for row in rows:
        for column, cell in zip(COLUMNS, row, strict=True):
            if column.unit(system):
                float(cell)


# -- along the head --------------------------------------------------------------------------------


@pytest.mark.parametrize("line", [scandi(), LEVEL])
def test_what_a_diameter_costs_is_the_area_below_its_curve(line):
    drawn = along(told(line))
    for reach in drawn.each:
        area = np.trapezoid(reach.cost, reach.position)
        assert area == pytest.approx(reach.cause.slopes.mass, rel=0.01)
    together = sum(
        np.interp(20.0 * FOOT, each.position, each.cost, left=0.0, right=0.0) for each in drawn.each
    )
    assert together == pytest.approx(np.interp(20.0 * FOOT, drawn.position, drawn.cost), rel=0.02)
    assert [each.peak for each in drawn.each] == sorted(each.peak for each in drawn.each)


# -- what is asked ---------------------------------------------------------------------------------


def test_instruments_are_those_of_the_lines_own_measurement_then_the_last_then_usual():
    line = scandi()
    mine, other = replace(USUAL, tape=0.002), replace(USUAL, tape=0.005)
    bench = Bench((line,), view=View(line="line"))
    assert instruments_on(bench, line, System.US) is USUAL
    assert instruments_on(bench, line, System.METRIC) is METRIC_USUAL
    last = replace(bench, measurements=(Measurement("m-1", "One", 8.0, other),))
    assert instruments_on(last, line, System.US) is other
    own = (Measurement("m-2", "Two", 8.0, mine, line="line"), *last.measurements)
    assert instruments_on(replace(bench, measurements=own), line, System.US) is mine
    assert asked_of(last, line, System.US).instruments is other


def test_densities_and_diameters_that_differ_by_rounding_are_one():
    rows = scandi().segments
    nearly = (rows[0], replace(rows[1], density=870.0 * (1.0 + 1e-12)), *rows[2:])
    found = told(line_of("line", "Head", nearly))
    assert len(found.of(What.DENSITY)) == 1
