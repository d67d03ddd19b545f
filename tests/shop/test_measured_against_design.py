"""A measured line as it is compared with its design, drawn and read: numbers worked out by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Line, Loop, LoopKind, line_of
from taperlab.model.measurement import USUAL, Measurement, Station, WeighedSection
from taperlab.model.segment import Part, Segment
from taperlab.shop.measure.as_built import Amount, Row, compare
from taperlab.shop.measure.drawn import breakpoints_of, read_fit, weight_along, words
from taperlab.shop.measure.study import Measured, Study, study
from taperlab.units.sentence import Sentence

LOOP = Loop(LoopKind.FOLDED, fold=2.5 * INCH, mass=0.0001)
BUILT = (
    Segment(Part.FRONT_TAPER, 9 * FOOT, 0.036 * INCH, 0.062 * INCH, 900.0),
    Segment(Part.BELLY, 16 * FOOT, 0.062 * INCH, 0.062 * INCH, 900.0),
    Segment(Part.REAR_TAPER, 5 * FOOT, 0.062 * INCH, 0.042 * INCH, 900.0),
)
LENGTH = 30 * FOOT


def frustum(segment: Segment) -> float:
    """Mass of a segment: a third of its height times both circles and their mean proportional."""
    one, two = (math.pi / 4.0 * d**2 for d in (segment.front_diameter, segment.rear_diameter))
    return segment.density * segment.length / 3.0 * (one + two + math.sqrt(one * two))


def thickness(x: float) -> float:
    for segment in BUILT:
        if x <= segment.length:
            share = x / segment.length
            return segment.front_diameter * (1.0 - share) + segment.rear_diameter * share
        x -= segment.length
    return BUILT[-1].rear_diameter


MEASURED = Measurement(
    "built",
    "Built",
    LENGTH,
    USUAL,
    stations=tuple(Station(x, (thickness(x),)) for x in np.linspace(0.0, LENGTH, 41).tolist()),
    sections=(WeighedSection(0.0, LENGTH, sum(map(frustum, BUILT))),),
)


def studied(measurement: Measurement = MEASURED, design: Line | None = None) -> Study:
    found = study(measurement, design)
    assert found.fit is not None
    return found


@cache
def fitted() -> Measured:
    fit = studied().fit
    assert fit is not None
    return fit


def rows_against(*segments: Segment, loop: Loop | None = None) -> tuple[Row, ...]:
    fit, design = fitted(), line_of("design", "Design", segments)
    return compare(replace(design, rear_loop=loop) if loop else design, fit.line, fit.weights)


# -- as designed against as built --------------------------------------------------------------


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_difference_is_outside_beyond_95_in_100(sign: float) -> None:
    inside, outside = (Amount(1.0, 1.0 + sign * each, 0.196) for each in (0.195, 0.197))
    assert not inside.outside
    assert outside.outside == outside.difference == pytest.approx(sign * 0.197)


def test_one_side_alone_has_no_difference() -> None:
    for amount in (Amount(1.0, None, None), Amount(None, 1.0, 0.1)):
        assert amount.difference is None
        assert not amount.outside


SAME = Amount(1.0, 1.0, 0.1)
MORE, LESS = Amount(1.0, 1.5, 0.1), Amount(1.0, 0.5, 0.1)


@pytest.mark.parametrize(
    ("mass", "length", "differs", "said"),
    [
        (SAME, SAME, False, "✓ within error"),
        (MORE, SAME, True, "▲ heavier"),
        (LESS, SAME, True, "▲ lighter"),
        (SAME, MORE, True, "▲ longer"),
        (SAME, LESS, True, "▲ shorter"),
        (LESS, MORE, True, "▲ longer, lighter"),
        (Amount(1.0, None, None), Amount(1.0, None, None), True, "only in the design"),
        (Amount(None, 1.0, 0.1), Amount(None, 1.0, 0.1), True, "not in the design"),
    ],
)
def test_what_a_comparison_comes_to(mass: Amount, length: Amount, differs: bool, said: str) -> None:
    row = Row(Sentence("belly"), 0, 0, mass, length)
    assert row.differs is differs
    assert str(row.verdict) == said
    assert not row.is_whole


def test_each_segment_is_set_beside_its_own_and_the_whole_has_its_loops() -> None:
    heavier = [replace(segment, density=950.0, length=1.01 * segment.length) for segment in BUILT]
    *rows, whole = rows_against(*heavier, loop=LOOP)
    weights, line = fitted().weights, fitted().line
    assert [str(row.name) for row in rows] == ["front taper", "belly", "rear taper"]
    for i, (row, drawn) in enumerate(zip(rows, heavier, strict=True)):
        made = line.segments[i]
        assert (row.designed, row.built) == (i, i)
        assert row.mass.designed == pytest.approx(frustum(drawn))
        assert row.mass.built == pytest.approx(frustum(made))
        assert row.mass.error == pytest.approx(weights.mass_halves[i])
        assert row.length.designed == pytest.approx(drawn.length)
        assert row.length.built == pytest.approx(made.length)
        assert row.length.error == pytest.approx(weights.lengths[1][i])
    assert whole.is_whole
    folded = LOOP.fold * 950.0 * math.pi / 4.0 * BUILT[-1].rear_diameter ** 2
    assert whole.mass.designed == pytest.approx(sum(map(frustum, heavier)) + folded + LOOP.mass)
    assert whole.mass.built == pytest.approx(sum(map(frustum, BUILT)), rel=1e-4)
    assert whole.mass.error == pytest.approx(weights.total[1])
    assert whole.length.designed == pytest.approx(1.01 * LENGTH)
    assert whole.length.built == pytest.approx(LENGTH)
    assert whole.length.error == pytest.approx(1.96 * USUAL.tape / math.sqrt(12.0))


TIP = Segment(Part.TIP, FOOT, 0.036 * INCH, 0.036 * INCH, 900.0)
SINK = replace(TIP, part=Part.SINK_TIP)


@pytest.mark.parametrize(
    ("design", "pairs"),
    [
        (BUILT[:2], [(0, 0), (1, 1), (None, 2)]),
        ((TIP, *BUILT), [(0, None), (1, 0), (2, 1), (3, 2)]),
        (BUILT[1:], [(None, 0), (0, 1), (1, 2)]),
        # As many: one by one, whatever they are called.
        ((TIP, *BUILT[:2]), [(0, 0), (1, 1), (2, 2)]),
        # In place of the front taper two others: the first takes its place.
        ((TIP, SINK, *BUILT[1:]), [(0, 0), (1, None), (2, 1), (3, 2)]),
        ((SINK,), [(0, 0), (None, 1), (None, 2)]),
    ],
)
def test_segments_find_their_partners_by_their_parts(
    design: tuple[Segment, ...], pairs: list[tuple[int | None, int | None]]
) -> None:
    *rows, whole = rows_against(*design)
    assert [(row.designed, row.built) for row in rows] == pairs
    assert [row.is_whole for row in (*rows, whole)] == [False] * len(rows) + [True]
    for row in rows:
        parts = [segment.part for segment in (BUILT if row.built is not None else design)]
        at = row.built if row.built is not None else row.designed
        assert at is not None
        assert str(row.name) == parts[at]
        assert (
            (row.mass.designed is None) is (row.length.designed is None) is (row.designed is None)
        )
        assert (row.mass.built is None) is (row.length.error is None) is (row.built is None)


# -- as it is drawn and read -------------------------------------------------------------------


def test_the_curve_runs_from_station_to_station_with_its_error_on_both_sides() -> None:
    (curve,) = weight_along(studied())
    assert curve.position[[0, -1]] == pytest.approx([0.0, LENGTH])
    assert np.all(np.diff(curve.position) > 0.0)
    # One density all along, so that the weight goes with the square of the thickness.
    for x, value in zip(curve.position.tolist(), curve.value.tolist(), strict=True):
        assert value == pytest.approx(900.0 * math.pi / 4.0 * thickness(x) ** 2, rel=0.01)
    assert curve.upper - curve.value == pytest.approx(curve.value - curve.lower)
    # From the whole alone no place is known to 3 %, and all to 10 %.
    share = curve.upper / curve.value - 1.0
    assert np.all((share > 0.03) & (share < 0.1))


def test_beyond_the_stations_the_curve_goes_on_apart() -> None:
    short = replace(MEASURED, stations=MEASURED.stations[6:-6])
    known, ahead, behind = weight_along(studied(short))
    ends = [short.stations[0].distance, short.stations[-1].distance]
    assert known.position[[0, -1]] == pytest.approx(ends)
    assert (ahead.position[0], behind.position[-1]) == (0.0, LENGTH)
    for beyond in (ahead, behind):
        assert np.all(beyond.lower >= 0.0)
        wide = (beyond.upper - beyond.lower).max()
        assert wide > 2.0 * (known.upper - known.lower).max()


@pytest.mark.parametrize(("place", "read_at"), [(2.0, 2.0), (-1.0, 0.0), (99.0, LENGTH)])
def test_a_reading_is_that_of_the_belief_and_beyond_an_end_that_of_the_end(
    place: float, read_at: float
) -> None:
    reading = read_fit(studied(), place)
    assert reading is not None
    assert reading.position == place
    assert reading.is_measured
    assert reading.diameter == pytest.approx(thickness(read_at), rel=0.005)
    weight = 900.0 * math.pi / 4.0 * thickness(read_at) ** 2
    assert reading.linear_density == pytest.approx(weight, rel=0.01)
    assert abs(reading.diameter - thickness(read_at)) < reading.diameter_half
    said = [str(each) for each in words(reading)]
    assert len(said) == 4
    assert said[1].startswith(f"⌀ {reading.diameter / INCH:.3f}")
    assert all("±" in each for each in said[1:])


def test_nothing_is_drawn_or_read_where_nothing_fits() -> None:
    unweighed = replace(MEASURED, sections=())
    found = study(unweighed)
    assert found.fit is None
    assert weight_along(found) == ()
    assert read_fit(found, 1.0) is None
    assert breakpoints_of(unweighed, found) == ()
    assert breakpoints_of(None, found) == ()
    assert breakpoints_of(MEASURED, None) == ()


def test_breakpoints_are_those_of_the_fit_and_those_that_wait_for_one() -> None:
    free = breakpoints_of(MEASURED, studied())
    assert [each.position for each in free] == pytest.approx([9 * FOOT, 25 * FOOT], abs=0.1)
    assert [each.diameter for each in free] == pytest.approx([0.062 * INCH] * 2, rel=0.02)
    assert [each.fixed for each in free] == [False, False]
    held = replace(MEASURED, breakpoints=(9 * FOOT,))
    known = studied(held)
    found = breakpoints_of(held, known)
    assert [each.fixed for each in found] == [True, False]
    assert found[0].position == pytest.approx(9 * FOOT, abs=1e-9)
    # Fixed since the study was made: it waits among the others, as thick as the fit is there.
    more = replace(held, breakpoints=(9 * FOOT, 4.5 * FOOT))
    waiting, *others = breakpoints_of(more, known)
    assert (waiting.position, waiting.fixed) == (4.5 * FOOT, True)
    assert waiting.diameter == pytest.approx(0.049 * INCH, rel=0.02)
    assert tuple(others) == found
    # Let go since then: it is not drawn as held any more.
    assert breakpoints_of(MEASURED, known) == found[1:]


def test_a_weighing_stands_out_beyond_four_of_its_errors_only() -> None:
    whole = sum(map(frustum, BUILT))
    # The same stretch weighed twice: half of what the two differ by is left over on each.
    for grains, odd in ((0.0, False), (20.0, True), (-20.0, True)):
        more = WeighedSection(0.0, LENGTH, whole + grains * GRAIN)
        fit = studied(replace(MEASURED, sections=(*MEASURED.sections, more))).fit
        assert fit is not None
        # Half of 20 gr over a rounding error of 0.14 gr.
        assert [fit.weights.stands_out(i) for i in (0, 1)] == [odd, odd]
