"""A cut-back studied: what a page and a sheet show of it, and the cuts that are tried out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab import shipped
from taperlab.edits.cut_back import measured_for, new_cut_back
from taperlab.edits.measure import put_on_bench
from taperlab.files.native import read_bench
from taperlab.model.cut_log import CutBack, CutEnd, CutStep, Limits, Target, TargetKind
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Line, line_of
from taperlab.model.measurement import USUAL, Measurement, Station, WeighedSection
from taperlab.model.segment import Part, Segment
from taperlab.model.water import Water
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.shop.cut_back.belief import Described, Measured
from taperlab.shop.cut_back.goal import NoPlan
from taperlab.shop.cut_back.one_cut import Plan, cut_at
from taperlab.shop.cut_back.staged import Staged, staged_cut
from taperlab.shop.cut_back.start import known_start
from taperlab.shop.cut_back.study import Study, study, study_now, try_blade, try_cut, without_trial
from taperlab.shop.cut_back.terms import SHORTEST_PIECE, terms_of
from taperlab.shop.cut_back.way import Act
from taperlab.shop.cut_back.way_words import words_of
from taperlab.shop.measure.study import study as measure_study

HALF_DONE = read_bench(shipped.sample("cut_back.taperlab"))
LINE, JOB, ROD = HALF_DONE.lines[0], HALF_DONE.cut_backs[0], HALF_DONE.chosen_rod
RUNNING = line_of("r", "Running", (Segment(Part.RUNNING_LINE, 30 * FOOT, 0.001, 0.001, 900.0),))


def sample_lines() -> Iterator[Line]:
    for name in ("scandi", "skagit", "single_hand", "long_belly", "cut_back"):
        yield from read_bench(shipped.sample(f"{name}.taperlab")).lines


def studied(**changes: Any) -> Study:
    return study_now(LINE, replace(JOB, **changes), ROD, Water())


def test_a_study_says_how_far_along_it_is() -> None:
    shares = list(study(LINE, JOB, ROD, Water()))
    assert shares == sorted(shares)
    assert 0.0 < shares[0] < shares[-1] < 1.0


def test_a_study_holds_what_was_asked_and_what_the_shop_answers() -> None:
    found = studied()
    answer = staged_cut(LINE, JOB, ROD)
    assert isinstance(answer, Staged)
    assert (found.line, found.job, found.rod) == (LINE, JOB, ROD)
    assert found.stages == answer.stages
    assert found.plan == answer.plan
    assert found.uncut is not None
    assert found.uncut.mass == pytest.approx(JOB.first_reading)
    assert found.left is not None
    assert found.left.mass == pytest.approx(answer.standing.belief.head_mass()[0])
    assert isinstance(found.plan, Plan)
    assert [str(each.title) for each in found.log] == [
        "Cut 1: 4 ft off the rod end",
        "Cut 2: 1 ft 9 7/8 in off the rod end",
    ]


def test_a_line_without_a_cut_back_is_studied_as_it_is_described() -> None:
    found = study_now(LINE, None, ROD, Water())
    assert found.described is not None
    assert found.left is found.described
    assert found.described.fit is not None
    assert (found.plan, found.log) == (None, ())
    for nothing in (None, RUNNING):
        none = study_now(nothing, None, ROD, Water())
        assert none.described is None
        assert none.most == 0.0


def test_a_log_that_cannot_be_followed_is_shown_all_the_same() -> None:
    found = studied(steps=(*JOB.steps, CutStep(rear=40 * FOOT)))
    assert isinstance(found.plan, NoPlan)
    assert found.standing is None
    assert len(found.log) == 3
    assert found.left is None
    assert try_cut(found, FOOT).trial is None


def test_a_head_that_is_done_is_shown_finished() -> None:
    last = CutStep(rear=INCH, head=459.5 * GRAIN, offcut=2.0 * GRAIN)
    found = studied(steps=(*JOB.steps, last))
    assert found.is_done
    assert found.finished is not None
    assert found.finished.mass == pytest.approx(460.1 * GRAIN, abs=0.3 * GRAIN)
    # 516 in less 48, 21 7/8 and 1 in, and 2 1/2 in for the loop.
    weight = f"{found.finished.mass / GRAIN:.1f} gr"
    story = f"Cut back from 43 ft to 36 ft 10 5/8 in and {weight}, in 3 cuts."
    assert str(found.story) == story
    with pytest.raises(ValueError, match="nothing was cut"):
        _ = studied(steps=()).story


def test_odd_readings_are_asked_about() -> None:
    found = studied()
    assert found.slip_of_head(459.5 * GRAIN) is None
    assert "More than before the cut" in str(found.slip_of_head(500.0 * GRAIN))
    assert "is expected" in str(found.slip_of_head(45.9 * GRAIN))
    assert found.slip_of_offcut(2.0 * GRAIN) is None
    assert found.slip_of_offcut(470.0 * GRAIN) is not None


# -- trying ------------------------------------------------------------------------------------


@given(st.floats(-1.0, 60.0), st.sampled_from(CutEnd), st.floats(0.05, 0.95))
def test_a_cut_tried_out_is_that_cut_on_what_is_left(
    feet: float, end: CutEnd, share: float
) -> None:
    found = HALF_STUDIED[end]
    job = replace(JOB, end=end)
    tried = try_cut(found, feet * FOOT)
    assert found.left is not None
    cut = min(max(feet * FOOT, 0.0), found.most)
    plan = cut_at(found.left.line, *terms_of(job).split(cut), terms_of(job), ROD and ROD.length)
    assert tried.plan == plan
    assert isinstance(plan, Plan)
    assert plan.after.length >= SHORTEST_PIECE
    assert without_trial(tried).plan == found.plan


HALF_STUDIED = {end: studied(end=end) for end in CutEnd}


@given(st.floats(1.0, 36.0), st.sampled_from(CutEnd), st.booleans())
def test_a_blade_lies_where_it_is_put_as_far_as_it_goes(
    feet: float, end: CutEnd, front: bool
) -> None:
    found = HALF_STUDIED[end]
    tried = try_blade(found, feet * FOOT, front=front)
    cuts = found.terms.cuts_front if front else found.terms.cuts_rear
    if not cuts:
        assert tried is found
        return
    plan = tried.plan
    assert isinstance(plan, Plan)
    at = plan.front_blade if front else plan.rear_blade
    longest = abs(plan.cut_length - found.most) < 1e-9
    # A blade within a billionth of a metre of a joint goes to the joint.
    assert at == pytest.approx(feet * FOOT, abs=2e-9) or longest


def test_a_cut_tried_out_says_which_limits_it_would_break() -> None:
    taper = replace(JOB.limits, keep_front_taper=True)
    for limits, end, feet, words in (
        (Limits(shortest=36 * FOOT), CutEnd.REAR, 5.0, "the shortest head allowed is 36 ft"),
        (taper, CutEnd.FRONT, 5.0, "the front taper, which is to stay whole"),
        (taper, CutEnd.REAR, 10.0, "the front taper, which is to stay whole"),
        (Limits(largest_step=0.9, tip_linear_density=1.0), CutEnd.REAR, 1.0, "a joint step of"),
    ):
        tried = try_cut(studied(limits=limits, end=end), feet * FOOT)
        assert any(words in str(each.sentence) for each in tried.findings), words
        free = try_cut(studied(limits=Limits(), end=end), feet * FOOT)
        assert not any(words in str(each.sentence) for each in free.findings)


# -- how it is worked out ----------------------------------------------------------------------


@pytest.mark.parametrize("end", CutEnd)
def test_an_answer_weighs_the_old_loops_once(end: CutEnd, monkeypatch: pytest.MonkeyPatch) -> None:
    """However many cuts are looked at on the way, a handful of profiles is all that is needed."""
    made: list[Line] = []
    plain = Profile.of.__func__  # type: ignore[attr-defined]

    def of(kind: type[Profile], line: Line) -> Profile:
        made.append(line)
        profile: Profile = plain(kind, line)
        return profile

    monkeypatch.setattr(Profile, "of", classmethod(of))
    for line in sample_lines():
        mass = plain(Profile, head_of(line)).total_mass
        aim = Target(TargetKind.WEIGHT, 0.7 * mass)
        job: CutBack = replace(new_cut_back(line, aim, USUAL), end=end, first_reading=mass)
        made.clear()
        answer = staged_cut(line, job)
        assert isinstance(answer, Staged)
        assert len(answer.stages) > 1
        assert len(made) <= 16, line.name


# -- a head that was measured ------------------------------------------------------------------

MEASURED = read_bench(shipped.sample("measured_head.taperlab"))


def built() -> tuple[Line, Measurement]:
    """The sample's measurement, its line put on the bench."""
    (measurement,) = MEASURED.measurements
    fit = measure_study(measurement).fit
    assert fit is not None
    bench = put_on_bench(MEASURED, measurement.key, fit.line).bench
    line = bench.current_line
    assert line is not None
    found = measured_for(bench, line)
    assert found is not None
    return line, found


def test_a_head_that_was_measured_starts_as_it_was_measured() -> None:
    line, measurement = built()
    job = new_cut_back(line, Target(TargetKind.WEIGHT, 380.0 * GRAIN), USUAL, "job")
    found = study_now(line, job, MEASURED.chosen_rod, Water(), measurement)
    measured = measure_study(measurement)
    total, half = measured.total
    assert found.is_weighed
    assert found.standing is not None
    mass, error = found.standing.belief.head_mass()
    assert mass == pytest.approx(total, abs=0.2 * GRAIN)
    assert 1.96 * error == pytest.approx(half, abs=0.5 * GRAIN)
    assert found.uncut is not None
    assert found.uncut.mass == pytest.approx(mass)
    assert found.standing.beliefs[0].is_measured
    assert found.stages
    # Known along its length, so the first cut may go nearer to the target.
    described = study_now(line, replace(job, first_reading=mass), MEASURED.chosen_rod, Water())
    assert found.stages[0].plus_minus < described.stages[0].plus_minus
    assert described.standing is not None
    assert not described.standing.beliefs[0].is_measured


def test_another_length_is_another_line() -> None:
    line, measurement = built()
    longer = replace(measurement, length=measurement.length + INCH)
    assert isinstance(known_start(longer, line), Described)
    assert isinstance(known_start(None, line), Described)
    assert isinstance(known_start(measurement, line), Measured)


@pytest.mark.parametrize(
    ("sections", "least"),
    [
        # Two weights of the whole line, 60 gr apart: the middle is 30 gr from either.
        ([(0, 36, 560), (0, 36, 500)], 30.0),
        # Two halves that add up to 40 gr more than the whole: the middle is 20 gr from either.
        ([(0, 36, 560), (0, 18, 300), (18, 36, 300)], 20.0),
    ],
)
def test_a_measurement_that_contradicts_itself_is_no_start(
    sections: list[tuple[float, float, float]], least: float
) -> None:
    feet = (0.0, 7.0, 14.0, 22.0, 30.0, 33.0, 36.0)
    thick = (0.045, 0.070, 0.095, 0.095, 0.095, 0.0725, 0.050)
    measurement = Measurement(
        "line-1",
        "Line",
        36 * FOOT,
        USUAL,
        stations=tuple(
            Station(place * FOOT, (wide * INCH,)) for place, wide in zip(feet, thick, strict=True)
        ),
        sections=tuple(WeighedSection(a * FOOT, b * FOOT, w * GRAIN) for a, b, w in sections),
    )
    measured = measure_study(measurement)
    assert measured.fit is not None
    total, half = measured.total
    assert 500 * GRAIN <= total <= 600 * GRAIN
    assert half >= 0.999 * least * GRAIN
    line = measured.fit.line
    assert isinstance(known_start(measurement, line), Described)
    job = new_cut_back(line, Target(TargetKind.WEIGHT, 440.0 * GRAIN), USUAL, "job")
    found = study_now(line, job, None, Water(), measurement)
    assert found.standing is None or not found.standing.beliefs[0].is_measured
    due = found.due()
    assert due.act is Act.WEIGH_FIRST
    said = "The weights measured on this line do not agree: weigh the head."
    assert said in [str(each) for each in words_of(found, due).amiss]
    # One weight alone contradicts nothing.
    one = replace(measurement, sections=measurement.sections[:1])
    plain = study_now(line, job, None, Water(), one)
    assert plain.standing is not None
    assert plain.standing.beliefs[0].is_measured
    assert plain.due().act is Act.TELL_ENDS
    assert measure_study(one).total[1] < GRAIN
