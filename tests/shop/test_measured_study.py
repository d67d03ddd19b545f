"""All that the page shows of a measurement, in one call."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.model.line import Style, line_of
from taperlab.model.measurement import USUAL, Measurement, Station, WeighedSection
from taperlab.model.segment import Part, Segment
from taperlab.physics.profile import Profile
from taperlab.shop.measure.drawn import breakpoints_of
from taperlab.shop.measure.next_measurement import Kind
from taperlab.shop.measure.study import head_end, study, study_steps
from taperlab.shop.weighed import on_scale
from tests.slipped import FAMILIES, Drawn, draw

FOOT, INCH, GRAIN = 0.3048, 0.0254, 64.79891e-6

DESIGN = line_of(
    "line-1",
    "Head with running line",
    (
        Segment(Part.FRONT_TAPER, 12 * FOOT, 0.040 * INCH, 0.096 * INCH, 860.0),
        Segment(Part.BELLY, 14 * FOOT, 0.096 * INCH, 0.096 * INCH, 860.0),
        Segment(Part.REAR_TAPER, 4 * FOOT, 0.096 * INCH, 0.036 * INCH, 860.0),
        Segment(Part.RUNNING_LINE, 40 * FOOT, 0.036 * INCH, 0.036 * INCH, 860.0),
    ),
    Style.SCANDI,
)


def measured(*, weighed: bool = True, spacing: float = 1.5) -> Measurement:
    profile = Profile.of(DESIGN)
    places = np.arange(0.0, profile.length / FOOT + 1e-9, spacing)
    ends = np.array(DESIGN.starts) / FOOT
    widths = [DESIGN.segments[0].front_diameter, *(s.rear_diameter for s in DESIGN.segments)]
    stations = tuple(
        Station(float(x * FOOT), (round(float(d) / 12.7e-6) * 12.7e-6,))
        for x, d in zip(places, np.interp(places, ends, widths), strict=True)
    )
    mass = float(profile.total_mass)
    sections = (WeighedSection(0.0, profile.length, mass),) if weighed else ()
    return Measurement("m-1", "Found", profile.length, USUAL, "line-1", stations, sections)


def test_the_head_is_told_apart_from_the_running_line() -> None:
    found = study(measured(), DESIGN)
    assert found.fit is not None
    assert found.head is not None
    head = Profile.of(line_of("h", "Head", DESIGN.segments[:3]))
    assert found.head_length == pytest.approx(30 * FOOT, abs=0.3 * FOOT)
    mass, error = found.head
    assert mass == pytest.approx(float(head.total_mass), abs=1.5 * error)
    assert found.total[0] == pytest.approx(float(Profile.of(DESIGN).total_mass), abs=0.5 * GRAIN)
    assert found.fit.line.style is Style.SCANDI
    assert found.rows[-1].is_whole
    # All of it lay on the scale, and the head is known by that; without, nothing says so.
    lay = on_scale(found.fit.line)
    assert lay is not None
    assert (lay.plus_minus, lay.step) == (error, USUAL.scale)
    guessed = study(measured(weighed=False), DESIGN)
    assert guessed.fit is None or on_scale(guessed.fit.line) is None


def test_head_end_of_a_line_without_running_line_is_its_end() -> None:
    head = line_of("h", "Head", DESIGN.segments[:3])
    assert head_end(head) == head.length
    assert head_end(DESIGN) == pytest.approx(30 * FOOT)


def test_what_is_missing_is_said_and_the_stations_are_shown() -> None:
    found = study(measured(weighed=False), DESIGN)
    assert found.fit is None
    assert "Weigh the whole line" in str(found.why_not)
    assert len(found.stations.distances) == 47
    assert found.rows == ()


def test_the_head_of_a_whole_line_is_the_first_thing_worth_sharpening() -> None:
    found = study(measured(), DESIGN)
    best, *others = found.next
    assert all("the weight of the first" in str(each.sentence) for each in found.next)
    assert best.after < 0.9 * best.before
    assert {each.before for each in others} == {best.before}
    # What harms nothing comes first, and cutting last.
    assert best.kind is not Kind.CUT
    assert others[-1].kind is Kind.CUT


@given(
    st.lists(st.floats(0.0, 35.0), min_size=0, max_size=9, unique=True),
    st.integers(0, 2**32 - 1),
    st.booleans(),
)
def test_a_few_stations_give_a_line_or_a_sentence(
    places: list[float], seed: int, offcut: bool
) -> None:
    noise = np.random.default_rng(seed)
    widths = np.interp(places, [0, 1, 12, 32, 35], [0.040, 0.040, 0.096, 0.098, 0.05])
    widths = widths + noise.normal(0.0, 0.0005, len(places))
    sections = [WeighedSection(0.0, 35 * FOOT, 520 * GRAIN)]
    if offcut:
        sections.append(WeighedSection(0.0, 2 * FOOT, 6 * GRAIN))
    found = study(
        Measurement(
            "m",
            "x",
            35 * FOOT,
            USUAL,
            stations=tuple(
                Station(x * FOOT, (float(d) * INCH,)) for x, d in zip(places, widths, strict=True)
            ),
            sections=tuple(sections),
        )
    )
    if found.fit is None:
        assert str(found.why_not).endswith(".")
    else:
        assert found.total[1] > 0.0
        assert found.fit.line.length == pytest.approx(35 * FOOT, abs=0.01)


def test_a_study_says_how_far_it_is_and_can_be_left_at_every_step() -> None:
    whole = study(measured(), DESIGN)
    steps = study_steps(measured(), DESIGN)
    shares = []
    try:
        while True:
            shares.append(next(steps))
    except StopIteration as end:
        found = end.value
    assert shares == sorted(shares)
    assert 0.0 <= shares[0] <= shares[-1] <= 1.0
    # Each of its three breakpoints is tried in a step of its own, and polished in another.
    assert len(shares) > 6
    assert (found.total, found.head, found.next) == (whole.total, whole.head, whole.next)
    for count in (0, 1, len(shares) // 2, len(shares)):
        left = study_steps(measured(), DESIGN)
        for _ in range(count):
            next(left)
        left.close()
        assert next(left, None) is None


def test_a_breakpoint_says_how_far_off_it_may_lie_and_whether_it_is_one() -> None:
    feet, nodes, thou = np.arange(0.0, 30.1, 1.5), [0.0, 13.8, 14.4, 30.0], [50.0, 50.0, 80.0, 80.0]
    at = tuple(Station(x * FOOT, (float(np.interp(x, nodes, thou)) * INCH / 1000.0,)) for x in feet)
    weighed = (WeighedSection(0.0, 30 * FOOT, 500 * GRAIN),)
    welded = Measurement("m-1", "Welded", 30 * FOOT, USUAL, stations=at, sections=weighed)
    # The weld lies between two stations: its ends may be anywhere there.
    found = breakpoints_of(welded, study(welded))
    assert found
    for each in found:
        assert not each.is_placed
        assert each.between[0] < each.position < each.between[1]
        assert each.half_width > 0.25 * FOOT
    assert found[0].between[0] < 14.0 * FOOT < found[-1].between[1]
    # A corner with many stations on both sides is placed; one that is held is wherever it is held.
    plain = replace(measured(), breakpoints=(0.5 * measured().length,))
    placed = breakpoints_of(plain, study(plain))
    assert all(each.is_placed for each in placed)
    assert all(each.half_width < 1.5 * FOOT for each in placed)
    assert sum(each.fixed for each in placed) == 1


def grains(line: Drawn, front: float, rear: float) -> float:
    """What a drawn tip of three densities weighs between two distances [ft], to half a grain.

    From pi/4 d^2 by a fine sum of its own.
    """
    at = np.linspace(front, rear, 20_001)
    density = np.interp(at, line.nodes, [1300.0, 1300.0, 1500.0, 1500.0, 1800.0, 1800.0])
    area = np.pi / 4.0 * (line.truth(at) * INCH / 1000.0) ** 2
    return round(2.0 * float(np.trapezoid(density * area, at * FOOT)) / GRAIN) / 2.0


@pytest.mark.parametrize("number", range(15))
def test_a_tip_in_three_steps_with_an_offcut_weighed_always_has_an_answer(number: int) -> None:
    line = draw(number * len(FAMILIES) + list(FAMILIES).index("three steps"))
    whole, cut = grains(line, 0.0, line.length), 0.7 * line.length
    offcut = grains(line, cut, line.length)
    sections = (
        WeighedSection(0.0, line.length * FOOT, whole * GRAIN),
        WeighedSection(cut * FOOT, line.length * FOOT, offcut * GRAIN),
    )
    found = study(
        Measurement("m", "Tip", line.length * FOOT, USUAL, None, tuple(line.stations()), sections)
    )
    assert found.fit is not None, found.why_not
    fit = found.fit.weights
    assert np.all(np.diff(fit.positions) > 0.0)
    assert fit.total[0] / GRAIN == pytest.approx(whole, abs=1.0)
    assert np.all(np.isfinite(fit.mass_halves))
