"""Densities, parts, comparison and the next measurement, from a line whose truth is known."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Loop, LoopKind, line_of
from taperlab.model.measurement import USUAL, Material, Measurement, Station, WeighedSection
from taperlab.model.segment import Part, Segment
from taperlab.physics.profile import Profile
from taperlab.shop.errors import rounding_error
from taperlab.shop.measure.as_built import compare
from taperlab.shop.measure.next_measurement import Aim, Kind, Prospect
from taperlab.shop.measure.outcome import NoFit
from taperlab.shop.measure.parts import as_line, guess_parts
from taperlab.shop.measure.shape import ShapeFit
from taperlab.shop.measure.study import study
from taperlab.shop.measure.weights import WeightFit
from tests.measured import fit_shape, fit_weights, remarks

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


def weighed_as(*sections: WeighedSection, **kwargs: object) -> WeightFit:
    fit = fit_weights(shape(), sections, USUAL, **kwargs)  # type: ignore[arg-type]
    assert isinstance(fit, WeightFit), fit
    return fit


WHOLE = weighed(0.0, LENGTH)
PARTS = [weighed(0.0, 9 * FOOT), weighed(9 * FOOT, 25 * FOOT), weighed(25 * FOOT, LENGTH)]


def test_the_total_alone_gives_a_sharp_weight_and_says_what_it_cannot_tell() -> None:
    fit = weighed_as(WHOLE)
    total, half = fit.total
    assert total == pytest.approx(WHOLE.mass, abs=1e-3 * GRAIN)
    assert half == pytest.approx(1.96 * rounding_error(USUAL.scale), rel=1e-2)
    (said,) = [each for each in remarks(fit) if each.startswith("Only one weight")]
    share = float(said.split("may be ")[1].split()[0])
    assert 4.0 < share < 7.0
    even = weighed_as(WHOLE, material=Material.EVEN)
    assert any("that is your word" in each for each in remarks(even, material=Material.EVEN))
    assert even.mass(0.0, 15 * FOOT)[1] < 0.65 * fit.mass(0.0, 15 * FOOT)[1]


def test_a_density_is_no_surer_than_the_micrometer() -> None:
    # A micrometer that squeezes by 0.3 thou finds 1 % less volume: the scale does not see it.
    rng = np.random.default_rng(5)
    x = np.linspace(0.0, LENGTH, 17)
    level = 0.060 * INCH
    mass = 900.0 * np.pi / 4.0 * level**2 * LENGTH
    whole = WeighedSection(0.0, LENGTH, round(mass / USUAL.scale) * USUAL.scale)
    covered = []
    for _ in range(100):
        off = rng.normal(0.0, 0.3e-3 * INCH)
        noisy = level + off + rng.normal(0.0, USUAL.scatter, len(x))
        read = np.round(noisy / USUAL.micrometer) * USUAL.micrometer
        stations = [Station(float(a), (float(d),)) for a, d in zip(x, read, strict=True)]
        found = fit_shape(stations, LENGTH, USUAL, only_fixed=True)
        assert isinstance(found, ShapeFit)
        fit = fit_weights(found, [whole], USUAL)
        assert isinstance(fit, WeightFit)
        covered.append(bool(np.all(np.abs(fit.densities - 900.0) < fit.density_halves)))
    assert sum(covered) >= 90


def test_sections_tell_the_densities_apart() -> None:
    fit = weighed_as(WHOLE, *PARTS)
    true = np.array([910.0, 880.0, 900.0])
    assert np.all(np.abs(fit.densities - true) < fit.density_halves)
    alone = weighed_as(WHOLE)
    assert np.all(fit.mass_halves < 0.85 * alone.mass_halves)
    front, half = fit.mass(0.0, 9 * FOOT)
    assert front == pytest.approx(PARTS[0].mass, abs=1.5 * half)


def test_a_front_that_is_lighter_for_its_volume_is_said_so() -> None:
    light = [replace(PARTS[0], mass=0.93 * PARTS[0].mass), *PARTS[1:]]
    whole = replace(WHOLE, mass=sum(each.mass for each in light))
    (said,) = [each for each in remarks(weighed_as(whole, *light)) if "for its volume" in each]
    assert said.startswith("The first 9")
    assert "lighter" in said
    # Of 910 to some 887 the front is 2.6 % heavier; 7 % less of it makes it 4.6 % lighter.
    assert float(said.split(" is ")[1].split()[0]) == pytest.approx(4.6, abs=1.5)


def test_weights_that_no_one_material_has_are_a_question() -> None:
    heavy = [replace(PARTS[0], mass=1.4 * PARTS[0].mass), *PARTS[1:]]
    whole = replace(WHOLE, mass=sum(each.mass for each in heavy))
    (said,) = [each for each in remarks(weighed_as(whole, *heavy)) if "one material" in each]
    assert "Two pieces?" in said
    # Between the middles of the first and the second section.
    assert "between 4 ft 6 in and 17 ft" in said.replace("\u00a0", " ")


def test_loops_are_part_of_the_weight() -> None:
    loop = Loop(LoopKind.FOLDED, 2.5 * INCH, 1.5 * GRAIN)
    looped = replace(TRUTH, rear_loop=loop)
    mass = Profile.of(looped).total_mass
    fit = weighed_as(WeighedSection(0.0, LENGTH, mass), rear_loop=loop)
    plain = weighed_as(WeighedSection(0.0, LENGTH, PROFILE.total_mass))
    assert fit.densities == pytest.approx(plain.densities, rel=1e-4)
    line = as_line(fit, "k", "n")
    assert Profile.of(line).total_mass == pytest.approx(mass, rel=1e-6)
    # The same at the front, and no loop on a section from the middle.
    mass = Profile.of(replace(TRUTH, front_loop=loop)).total_mass
    tail = WeighedSection(25 * FOOT, LENGTH, PROFILE.mass_between(25 * FOOT, LENGTH))
    fit = weighed_as(WeighedSection(0.0, LENGTH, mass), tail, front_loop=loop)
    plain = weighed_as(WeighedSection(0.0, LENGTH, PROFILE.total_mass), tail)
    assert fit.densities == pytest.approx(plain.densities, rel=1e-4)


def test_a_weight_that_contradicts_the_rest_is_named() -> None:
    wrong = replace(PARTS[1], mass=PARTS[1].mass + 20 * GRAIN)
    assert any(
        "weigh it again" in each for each in remarks(weighed_as(WHOLE, PARTS[0], wrong, PARTS[2]))
    )
    assert not any("weigh it again" in each for each in remarks(weighed_as(WHOLE, *PARTS)))


def test_weights_that_cannot_be_used_get_a_sentence() -> None:
    for answer in (
        fit_weights(shape(), [], USUAL),
        fit_weights(shape(), [WeighedSection(0.0, 40 * FOOT, 0.01)], USUAL),
    ):
        assert isinstance(answer, NoFit)
        assert str(answer.sentence).endswith(".")


def test_a_weighed_section_ends_on_the_line_give_or_take_the_tape() -> None:
    mass = weighed(9 * FOOT, LENGTH).mass
    for beyond in (0.0, 0.9 * USUAL.tape):
        tail = WeighedSection(9 * FOOT, LENGTH + beyond, mass)
        assert isinstance(fit_weights(SHAPE, [WHOLE, tail], USUAL), WeightFit)
    for beyond in (1.1 * USUAL.tape, 0.1, 1.0, 5.0, 10.0, 100.0):
        answer = fit_weights(SHAPE, [WHOLE, WeighedSection(0.0, LENGTH + beyond, mass)], USUAL)
        assert isinstance(answer, NoFit)
        assert "beyond the line’s end" in str(answer.sentence)
    for front in (LENGTH, LENGTH + 1e-4):
        answer = fit_weights(SHAPE, [WeighedSection(front, LENGTH + 1e-3, mass)], USUAL)
        assert isinstance(answer, NoFit)


def test_the_fit_as_a_line_weighs_what_the_fit_says() -> None:
    fit = weighed_as(WHOLE, PARTS[2])
    line = as_line(fit, "key", "Measured")
    assert [segment.part for segment in line.segments] == [
        Part.FRONT_TAPER,
        Part.BELLY,
        Part.REAR_TAPER,
    ]
    assert Profile.of(line).total_mass == pytest.approx(fit.total[0], rel=1e-9)
    # A line has one density a segment; what is believed may differ from place to place.
    x = np.linspace(0.1, 9.0, 7)
    believed = fit.belief.read(x)
    off = np.abs(Profile.of(line).linear_density(x) - believed.linear_density)
    assert np.all(off < believed.linear_density_half)
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
    fit = weighed_as(WHOLE, *PARTS)
    built = as_line(fit, "built", "Built")
    rows = compare(TRUTH, built, fit)
    assert [str(row.name) for row in rows] == ["front taper", "belly", "rear taper", "whole line"]
    # Of ninety-five in a hundred a few fall outside; three standard deviations none should.
    for amount in [amount for row in rows for amount in (row.mass, row.length)]:
        assert amount.difference is not None
        assert amount.error is not None
        assert abs(amount.difference) < 1.5 * amount.error
        assert bool(amount.outside) is (abs(amount.difference) > amount.error)
    heavy = replace(
        TRUTH,
        segments=(TRUTH.segments[0], replace(TRUTH.segments[1], density=980.0), TRUTH.segments[2]),
    )
    outside = [row.mass.outside for row in compare(heavy, built, fit)]
    assert outside[1]
    assert outside[3]
    assert rows[3].mass.error == pytest.approx(fit.total[1])


def test_segments_without_a_partner_stand_alone() -> None:
    tip = Segment(Part.TIP, FOOT, 0.036 * INCH, 0.036 * INCH, 900.0)
    fit = weighed_as(WHOLE, *PARTS)
    built = as_line(fit, "built", "Built", parts=[each.part for each in TRUTH.segments])
    rows = compare(line_of("k", "n", (tip, *TRUTH.segments)), built, fit)
    assert [(row.designed, row.built) for row in rows[:-1]] == [(0, None), (1, 0), (2, 1), (3, 2)]
    assert rows[0].mass.difference is None
    assert rows[-1].mass.difference == pytest.approx(
        Profile.of(built).total_mass
        - Profile.of(line_of("k", "n", (tip, *TRUTH.segments))).total_mass
    )


def prospect(fit: WeightFit, end: float = LENGTH) -> Prospect:
    return Prospect(fit, USUAL, end)


def test_cutting_comes_last_and_is_marked_as_such() -> None:
    for aim in Aim:
        found = prospect(weighed_as(WHOLE), 25 * FOOT).suggestions(aim)
        assert {each.kind for each in found} == set(Kind)
        assert found[-1].kind is Kind.CUT
        assert str(found[-1].sentence).startswith("only if it is cut off anyway: ")
        assert all("cut" not in str(each.sentence) for each in found[:-1])
        harmless = [each.after for each in found[:-1]]
        assert harmless == sorted(harmless)


def test_an_end_on_the_pan_sharpens_the_rest_and_says_how_sure_it_is() -> None:
    found = prospect(weighed_as(WHOLE), 20 * FOOT).suggestions(Aim.HEAD_WEIGHT)
    by_kind = {each.kind: each for each in found}
    pan = by_kind[Kind.PAN]
    assert pan.after < 0.6 * pan.before
    assert "on the pan" in str(pan.sentence)
    assert "by judgement, tried on no real line" in str(pan.sentence)
    # A diameter more hardly helps where the shape is known.
    assert by_kind[Kind.DIAMETER].after > 0.95 * pan.before


def test_what_is_promised_of_the_next_weighing_comes_true() -> None:
    """Means move with what is read, and rungs with them; the size of the error stays alike."""
    fit = weighed_as(WHOLE)
    cut = prospect(fit, 9 * FOOT).suggestions(Aim.HEAD_WEIGHT)[-1]
    then = weighed_as(WHOLE, weighed(cut.front, cut.rear))
    again = prospect(then, 9 * FOOT).suggestions(Aim.HEAD_WEIGHT)[0]
    assert cut.before == pytest.approx(fit.mass(0.0, 9 * FOOT)[1], rel=1e-3)
    assert again.before == pytest.approx(cut.after, rel=0.3)


def test_a_suggestion_says_where_what_and_how_much() -> None:
    found = prospect(weighed_as(WHOLE), 25 * FOOT).suggestions(Aim.HEAD_WEIGHT)
    for each in found:
        sentence = str(each.sentence).replace("\u00a0", " ")
        before, after = each.before / GRAIN, each.after / GRAIN
        assert (
            f"the weight of the first 25 ft from ± {before:.1f} gr to ± {after:.1f} gr" in sentence
        )
        assert sentence.endswith("(95 in 100).")


def test_where_the_stations_end_a_diameter_beyond_helps_most() -> None:
    x = np.linspace(0.0, 24 * FOOT, 20)
    stations = [Station(float(a), (float(PROFILE.diameter(a)),)) for a in x]
    short = fit_shape(stations, LENGTH, USUAL)
    assert isinstance(short, ShapeFit)
    fit = fit_weights(short, [WHOLE], USUAL)
    assert isinstance(fit, WeightFit)
    best = prospect(fit, LENGTH).suggestions(Aim.GRAINS_PER_FOOT)
    diameter = next(each for each in best if each.kind is Kind.DIAMETER)
    assert diameter.front > 26 * FOOT
    (said,) = [each for each in remarks(fit) if each.startswith("No diameter beyond 24")]
    assert "anything from" in said
    # What an offcut weighs there is no matter of density while its diameter is not known.
    offcut = fit_weights(short, [WHOLE, weighed(26 * FOOT, LENGTH)], USUAL)
    assert isinstance(offcut, WeightFit)
    assert not any("for its volume" in each or "one material" in each for each in remarks(offcut))


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
    fit = fit_weights(SHAPE, [WHOLE], USUAL)
    more = fit_weights(SHAPE, [replace(WHOLE, mass=WHOLE.mass * factor)], USUAL)
    assert isinstance(fit, WeightFit)
    assert isinstance(more, WeightFit)
    assert more.densities == pytest.approx(fit.densities * factor, rel=1e-4)


SHAPE = shape()
