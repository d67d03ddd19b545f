"""Densities, parts, comparison and the next measurement, from a line whose truth is known."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Loop, LoopKind, line_of
from taperlab.model.measurement import Measurement, Station, WeighedSection
from taperlab.model.segment import Part, Segment
from taperlab.physics.profile import Profile
from taperlab.shop.measure.as_built import compare
from taperlab.shop.measure.densities import DensityFit
from taperlab.shop.measure.instruments import USUAL, rounding_error
from taperlab.shop.measure.next_measurement import Aim, Kind, sharpest_next
from taperlab.shop.measure.outcome import NoFit
from taperlab.shop.measure.parts import as_line, guess_parts
from taperlab.shop.measure.shape import ShapeFit
from taperlab.shop.measure.study import study
from taperlab.units.show import show_eighths
from tests.measured import fit_densities, fit_shape

TRUTH = line_of(
    "truth",
    "Bench head",
    (
        Segment(Part.FRONT_TAPER, 9 * FOOT, 0.036 * INCH, 0.062 * INCH, 910.0),
        Segment(Part.BELLY, 16 * FOOT, 0.062 * INCH, 0.062 * INCH, 880.0),
        Segment(Part.REAR_TAPER, 5 * FOOT, 0.062 * INCH, 0.042 * INCH, 900.0),
    ),
)
PROFILE = Profile.of(TRUTH)
LENGTH = PROFILE.length


def shape(count: int = 31) -> ShapeFit:
    rng = np.random.default_rng(11)
    x = np.linspace(0.0, LENGTH, count)
    noisy = PROFILE.diameter(x) + rng.normal(0.0, USUAL.scatter, count)
    read = np.round(noisy / USUAL.micrometer) * USUAL.micrometer
    fit = fit_shape(
        [Station(float(a), (float(d),)) for a, d in zip(x, read, strict=True)], LENGTH, USUAL
    )
    assert isinstance(fit, ShapeFit)
    return fit


def weighed(front: float, rear: float) -> WeighedSection:
    mass = PROFILE.mass_between(front, rear)
    return WeighedSection(front, rear, round(mass / USUAL.scale) * USUAL.scale)


def densities(*sections: WeighedSection, **kwargs: object) -> DensityFit:
    fit = fit_densities(shape(), sections, USUAL, **kwargs)  # type: ignore[arg-type]
    assert isinstance(fit, DensityFit), fit
    return fit


WHOLE = weighed(0.0, LENGTH)
PARTS = [weighed(0.0, 9 * FOOT), weighed(9 * FOOT, 25 * FOOT), weighed(25 * FOOT, LENGTH)]


def test_the_total_alone_gives_one_density_and_a_sharp_weight() -> None:
    fit = densities(WHOLE)
    total, error = fit.total
    assert total == pytest.approx(WHOLE.mass, abs=1e-3 * GRAIN)
    assert error == pytest.approx(rounding_error(USUAL.scale), rel=1e-3)
    assert np.ptp(fit.densities) / fit.densities.mean() < 0.01
    assert fit.errors.densities.min() / fit.densities.mean() > 0.005
    assert any("common density" in str(finding.sentence) for finding in fit.findings)


def test_sections_tell_the_densities_apart() -> None:
    fit = densities(WHOLE, *PARTS, spread=0.2)
    assert np.all(np.abs(fit.densities - [910.0, 880.0, 900.0]) < 3.0 * fit.errors.densities)
    alone = densities(WHOLE, spread=0.2)
    assert np.all(fit.errors.densities < 0.5 * alone.errors.densities)
    front, error = fit.mass(0.0, 9 * FOOT)
    assert front == pytest.approx(PARTS[0].mass, abs=3.0 * error)


def test_loops_are_part_of_the_weight() -> None:
    loop = Loop(LoopKind.FOLDED, 2.5 * INCH, 1.5 * GRAIN)
    looped = replace(TRUTH, rear_loop=loop)
    mass = Profile.of(looped).total_mass
    fit = densities(WeighedSection(0.0, LENGTH, mass), rear_loop=loop)
    plain = densities(WeighedSection(0.0, LENGTH, PROFILE.total_mass))
    assert fit.densities == pytest.approx(plain.densities, rel=1e-4)
    line = as_line(fit, "k", "n")
    assert Profile.of(line).total_mass == pytest.approx(mass, rel=1e-6)
    # The same at the front, and no loop on a section from the middle.
    mass = Profile.of(replace(TRUTH, front_loop=loop)).total_mass
    tail = WeighedSection(25 * FOOT, LENGTH, PROFILE.mass_between(25 * FOOT, LENGTH))
    fit = densities(WeighedSection(0.0, LENGTH, mass), tail, front_loop=loop)
    plain = densities(WeighedSection(0.0, LENGTH, PROFILE.total_mass), tail)
    assert fit.densities == pytest.approx(plain.densities, rel=1e-4)


def test_a_weight_that_contradicts_the_rest_is_named() -> None:
    wrong = replace(PARTS[1], mass=PARTS[1].mass + 20 * GRAIN)
    fit = densities(WHOLE, PARTS[0], wrong, PARTS[2])
    assert any("weigh it again" in str(finding.sentence) for finding in fit.findings)
    good = densities(WHOLE, *PARTS)
    assert not any("weigh it again" in str(finding.sentence) for finding in good.findings)


def test_weights_that_cannot_be_used_get_a_sentence() -> None:
    for answer in (
        fit_densities(shape(), [], USUAL),
        fit_densities(shape(), [WeighedSection(0.0, 40 * FOOT, 0.01)], USUAL),
    ):
        assert isinstance(answer, NoFit)
        assert str(answer.sentence).endswith(".")


def test_a_weighed_section_ends_on_the_line_give_or_take_the_tape() -> None:
    mass = weighed(9 * FOOT, LENGTH).mass
    for beyond in (0.0, 0.9 * USUAL.tape):
        tail = WeighedSection(9 * FOOT, LENGTH + beyond, mass)
        assert isinstance(fit_densities(SHAPE, [WHOLE, tail], USUAL), DensityFit)
    for beyond in (1.1 * USUAL.tape, 0.1, 1.0, 5.0, 10.0, 100.0):
        answer = fit_densities(SHAPE, [WHOLE, WeighedSection(0.0, LENGTH + beyond, mass)], USUAL)
        assert isinstance(answer, NoFit)
        assert "beyond the line’s end" in str(answer.sentence)
    for front in (LENGTH, LENGTH + 1e-4):
        answer = fit_densities(SHAPE, [WeighedSection(front, LENGTH + 1e-3, mass)], USUAL)
        assert isinstance(answer, NoFit)


def test_the_fit_as_a_line_weighs_what_the_fit_says() -> None:
    fit = densities(WHOLE, PARTS[2])
    line = as_line(fit, "key", "Measured")
    assert [segment.part for segment in line.segments] == [
        Part.FRONT_TAPER,
        Part.BELLY,
        Part.REAR_TAPER,
    ]
    assert Profile.of(line).total_mass == pytest.approx(fit.total[0], rel=1e-9)
    x = np.linspace(0.1, 9.0, 7)
    assert Profile.of(line).linear_density(x) == pytest.approx(fit.linear_density(x)[0])
    renamed = as_line(fit, "key", "n", parts=(Part.TIP, Part.BELLY, Part.BELLY))
    assert renamed.segments[0].part is Part.TIP
    with pytest.raises(ValueError, match="longer"):
        as_line(fit, "key", "n", parts=(Part.TIP,))


def thou(*values: float) -> np.ndarray:
    return np.array(values) * 0.001 * INCH


@pytest.mark.parametrize(
    ("feet", "diameters", "parts"),
    [
        ((0, 30), thou(60, 60), "belly"),
        ((0, 10, 30), thou(36, 70, 70), "front taper, belly"),
        ((0, 1, 9, 25, 30), thou(37, 37, 62, 62, 42), "tip, front taper, belly, rear taper"),
        (
            (0, 10, 30, 34, 100),
            thou(40, 80, 80, 35, 35),
            "front taper, belly, rear taper, running line",
        ),
        (
            (0, 10, 30, 34, 42, 43, 110),
            thou(40, 80, 80, 50, 50, 35, 35),
            "front taper, belly, rear taper, rear taper, rear taper, running line",
        ),
        ((0, 12, 30), thou(90, 90, 60), "belly, rear taper"),
        ((0, 6, 9, 25), thou(37, 37, 62, 62), "front taper, front taper, belly"),
        ((0, 30), thou(40, 80), "belly"),
    ],
)
def test_parts_are_guessed_from_the_shape(
    feet: tuple[float, ...], diameters: np.ndarray, parts: str
) -> None:
    guess = guess_parts(np.array(feet) * FOOT, diameters)
    assert ", ".join(guess) == parts


def test_a_built_line_is_compared_with_its_design() -> None:
    fit = densities(WHOLE, *PARTS)
    built = as_line(fit, "built", "Built")
    rows = compare(TRUTH, built, fit)
    assert [str(row.name) for row in rows] == ["front taper", "belly", "rear taper", "whole line"]
    # Of ninety-five in a hundred a few fall outside; three standard deviations none should.
    for amount in [amount for row in rows for amount in (row.mass, row.length)]:
        assert amount.difference is not None
        assert amount.error is not None
        assert abs(amount.difference) < 3.0 * amount.error
        assert bool(amount.outside) is (abs(amount.difference) > 1.96 * amount.error)
    heavy = replace(
        TRUTH,
        segments=(TRUTH.segments[0], replace(TRUTH.segments[1], density=980.0), TRUTH.segments[2]),
    )
    outside = [row.mass.outside for row in compare(heavy, built, fit)]
    assert outside[1]
    assert outside[3]
    assert rows[3].mass.error == pytest.approx(fit.total[1])


def test_the_errors_of_a_segment_are_those_of_many_such_lines() -> None:
    fit = densities(WHOLE, *PARTS)
    rng = np.random.default_rng(5)
    lines = fit.state.like(rng.multivariate_normal(fit.state.values, fit.covariance, 20_000))
    x, d, rho = lines.positions, lines.diameters, lines.densities
    for k in range(len(fit.densities)):
        long = x[:, k + 1] - x[:, k]
        squares = d[:, k] ** 2 + d[:, k] * d[:, k + 1] + d[:, k + 1] ** 2
        mass = np.pi / 12.0 * rho[:, k] * long * squares
        found = [float(np.std(each)) for each in (mass, long)]
        stated = fit.segment_masses[1][k], fit.segment_lengths[1][k]
        assert stated == pytest.approx(found, rel=0.05)


def test_segments_without_a_partner_stand_alone() -> None:
    tip = Segment(Part.TIP, FOOT, 0.036 * INCH, 0.036 * INCH, 900.0)
    fit = densities(WHOLE, *PARTS)
    built = as_line(fit, "built", "Built", parts=[each.part for each in TRUTH.segments])
    rows = compare(line_of("k", "n", (tip, *TRUTH.segments)), built, fit)
    assert [(row.designed, row.built) for row in rows[:-1]] == [(0, None), (1, 0), (2, 1), (3, 2)]
    assert rows[0].mass.difference is None
    assert rows[-1].mass.difference == pytest.approx(
        Profile.of(built).total_mass
        - Profile.of(line_of("k", "n", (tip, *TRUTH.segments))).total_mass
    )


def test_what_is_promised_of_the_next_measurement_comes_true() -> None:
    fit = densities(WHOLE)
    best, *others = sharpest_next(fit, USUAL, count=6)
    assert best.after < best.before
    assert best.after <= min(other.after for other in others)
    weight = next(s for s in (best, *others) if s.kind is Kind.WEIGHT)
    section = weighed(weight.front, weight.rear)
    then = densities(WHOLE, section)
    again = sharpest_next(then, USUAL)[0]
    assert again.before == pytest.approx(weight.after, rel=0.02)


def test_a_diameter_is_promised_what_it_brings() -> None:
    rows = shape(16).stations
    stations = [
        Station(float(x), (float(d),)) for x, d in zip(rows.distances, rows.diameters, strict=True)
    ]

    def spread(extra: list[Station]) -> tuple[float, DensityFit]:
        fixed = [9 * FOOT, 25 * FOOT]
        fit = fit_shape([*stations, *extra], LENGTH, USUAL, fixed=fixed, only_fixed=True)
        assert isinstance(fit, ShapeFit)
        dense = fit_densities(fit, [WHOLE], USUAL)
        assert isinstance(dense, DensityFit)
        return sharpest_next(dense, USUAL)[0].before, dense

    before, fit = spread([])
    best = next(s for s in sharpest_next(fit, USUAL, count=20) if s.kind is Kind.DIAMETER)
    where = best.front
    after, _ = spread([Station(where, (float(PROFILE.diameter(where)),))])
    assert best.before == before
    assert after == pytest.approx(best.after, rel=0.02)


def test_diameters_that_are_suggested_lie_apart() -> None:
    for fit in (densities(WHOLE), densities(WHOLE, *PARTS)):
        found = sharpest_next(fit, USUAL, count=20)
        places = sorted(each.front for each in found if each.kind is Kind.DIAMETER)
        assert len(places) > 3
        assert np.diff(places).min() >= 0.08 * LENGTH


@pytest.mark.parametrize("aim", Aim)
def test_a_suggestion_says_where_what_and_how_much(aim: Aim) -> None:
    found = sharpest_next(densities(WHOLE), USUAL, aim=aim, head=25 * FOOT, count=60)
    goal = "the head’s weight" if aim is Aim.HEAD_WEIGHT else "the weight per length"
    step, unit = (GRAIN, "gr") if aim is Aim.HEAD_WEIGHT else (0.01, "%")
    ways = set()
    for each in found:
        front, rear = show_eighths(each.front), show_eighths(each.rear)
        way = (each.kind, each.front == 0.0, each.rear == LENGTH)
        ways.add(way)
        what = {
            (Kind.DIAMETER, True, False): "a diameter at the fly end",
            (Kind.DIAMETER, False, False): f"a diameter at {front}",
            (Kind.DIAMETER, False, True): "a diameter at the rod end",
            (Kind.WEIGHT, True, True): "the weight of the whole line",
            (Kind.WEIGHT, True, False): (
                f"the weight of the front {rear}, if it is cut off anyway,"
            ),
            (Kind.WEIGHT, False, True): (
                f"the weight from {front} to the rod end, if it is cut off anyway,"
            ),
            (Kind.WEIGHT, False, False): (
                f"the weight from {front} to {rear}, if it is cut out anyway,"
            ),
        }[way]
        sentence = str(each.sentence)
        before = f"±\u00a0{1.96 * each.before / step:.1f}\u00a0{unit}"
        assert sentence.startswith(f"{what} would bring {goal} from {before} to ±\u00a0")
        assert sentence.endswith(f"\u00a0{unit}.")
    assert len(ways) > 4


def test_a_weighed_head_gains_most_from_weighing_it_again() -> None:
    fit = densities(WHOLE)
    best = sharpest_next(fit, USUAL, aim=Aim.HEAD_WEIGHT)[0]
    assert (best.kind, best.front, best.rear) == (Kind.WEIGHT, 0.0, pytest.approx(LENGTH))
    assert best.after == pytest.approx(best.before / np.sqrt(2.0), rel=0.01)


def test_a_measurement_in_one_call() -> None:
    x = np.linspace(0.0, LENGTH, 24)
    stations = tuple(Station(float(a), (float(PROFILE.diameter(a)),)) for a in x)
    plain = Measurement("m", "On the bench", LENGTH, USUAL, None, stations, (WHOLE,))
    fit = study(plain).fit
    assert fit is not None
    assert fit.line.segments[1].part is Part.BELLY
    assert Profile.of(fit.line).total_mass == pytest.approx(WHOLE.mass, rel=1e-4)
    named = study(replace(plain, parts=(Part.FRONT_TAPER, Part.BELLY, Part.EXTENSION))).fit
    assert named is not None
    assert named.line.segments[2].part is Part.EXTENSION
    for bad in (replace(plain, stations=()), replace(plain, sections=())):
        assert study(bad).fit is None


@given(st.floats(0.5, 2.0))
def test_densities_scale_with_the_weight(factor: float) -> None:
    fit = fit_densities(SHAPE, [WHOLE], USUAL)
    more = fit_densities(SHAPE, [replace(WHOLE, mass=WHOLE.mass * factor)], USUAL)
    assert isinstance(fit, DensityFit)
    assert isinstance(more, DensityFit)
    assert more.densities == pytest.approx(fit.densities * factor, rel=1e-4)


SHAPE = shape()
