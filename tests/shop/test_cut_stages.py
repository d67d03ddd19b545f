"""Cutting in stages: margins, weighings, and when to stop."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.model.cut_log import CutBack, CutEnd, CutStep, Limits, NewLoop, Target, TargetKind
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, Style
from taperlab.model.measurement import Instruments
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Part, Segment
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.shop.belief.prior import SPREADS
from taperlab.shop.cut_back.belief import Belief, Described, begin
from taperlab.shop.cut_back.goal import NoPlan
from taperlab.shop.cut_back.staged import Staged, staged_cut
from taperlab.shop.cut_back.staging import (
    Stage,
    Stop,
    Why,
    next_stage,
    stages_ahead,
)
from taperlab.shop.cut_back.terms import Terms
from taperlab.shop.steps import finish

TOOLS = Instruments(scale=0.5 * GRAIN, tape=INCH / 8, micrometer=0.0005 * INCH)
HEAD = Line(
    "head",
    "Bought head",
    Style.SKAGIT,
    (
        Segment(Part.FRONT_TAPER, 8 * FOOT, 0.05 * INCH, 0.095 * INCH, 900.0),
        Segment(Part.BELLY, 20 * FOOT, 0.095 * INCH, 0.095 * INCH, 900.0),
        Segment(Part.REAR_TAPER, 4 * FOOT, 0.095 * INCH, 0.07 * INCH, 900.0),
        Segment(Part.RUNNING_LINE, 60 * FOOT, 0.035 * INCH, 0.035 * INCH, 950.0),
    ),
    (Joint(), Joint(), Joint(JointKind.BUTT_WELD, mass=2 * GRAIN)),
    front_loop=Loop(LoopKind.FOLDED, 2 * INCH, GRAIN),
)
WEIGHT = Profile.of(head_of(HEAD)).total_mass
LOOP = NewLoop(2.5 * INCH, 1.0 * GRAIN)
TERMS = Terms(rear_loop=LOOP, front_loop=LOOP)
TARGET = 440.0 * GRAIN


def job(**changes: object) -> CutBack:
    plain = CutBack("job", "head", Target(TargetKind.WEIGHT, TARGET), TOOLS, rear_loop=LOOP)
    return replace(plain, **changes)  # type: ignore[arg-type]


def staged(**changes: object) -> Staged:
    answer = staged_cut(HEAD, job(**changes), ROD)
    assert isinstance(answer, Staged), answer
    return answer


ROD = Rod("rod", "Alder 12", 12 * FOOT, windows=(Window(Style.SKAGIT, 400 * GRAIN, 460 * GRAIN),))


def test_the_first_cut_leaves_a_margin_and_the_last_goes_to_the_target() -> None:
    answer = staged(first_reading=500.0 * GRAIN)
    first, *_, last = answer.stages
    assert not first.last
    assert first.expected > TARGET
    assert first.expected - 3.0 * first.plus_minus / 1.96 >= TARGET - 0.01 * GRAIN
    assert last.last
    assert last.expected == pytest.approx(TARGET, abs=2.0 * GRAIN)
    assert last.plus_minus < first.plus_minus / 4.0
    assert answer.stop is not None
    assert answer.stop.why in (Why.DONE, Why.TOO_SHORT_TO_CUT)
    assert sum(stage.rear for stage in answer.stages) == pytest.approx(
        answer.plan.rear_cut,
        abs=INCH / 4,  # type: ignore[union-attr]
    )


@given(st.floats(0.6, 0.93), st.sampled_from(CutEnd), st.booleans())
def test_no_stage_but_the_last_may_end_below_the_target(
    share: float, end: CutEnd, weighed: bool
) -> None:
    belief = begin(HEAD, TOOLS, WEIGHT if weighed else None)
    target = share * WEIGHT
    terms = replace(TERMS, end=end, front_share=0.3)
    stages, stop = finish(stages_ahead(belief, target, terms))
    if not weighed and not stages:
        assert stop is not None
        assert stop.why is Why.NOT_WEIGHED
        return
    assert stages
    for stage in stages:
        assert stage.length >= INCH / 4 - 1e-9
        for part in (stage.front, stage.rear):
            assert part / TOOLS.tape == pytest.approx(round(part / TOOLS.tape))
        if not stage.last:
            assert stage.expected - 3.0 / 1.96 * stage.plus_minus >= target - 1e-9
    widths = [stage.plus_minus for stage in stages]
    assert widths == sorted(widths, reverse=True)
    assert stop is not None
    assert abs(stages[-1].expected - target) <= max(0.01 * target, 3 * GRAIN)


def test_weighing_sharpens_and_moves_what_is_known() -> None:
    before = begin(HEAD, TOOLS)
    known = before.head_mass()
    after = before.weighed_head(1.05 * WEIGHT)
    assert after.head_mass()[1] < 0.2 * GRAIN < known[1]
    assert after.head_mass()[0] == pytest.approx(1.05 * WEIGHT, abs=0.05 * GRAIN)


def test_a_heavy_offcut_makes_the_next_cut_shorter() -> None:
    belief = begin(HEAD, TOOLS, 500.0 * GRAIN)
    first = next_stage(belief, TARGET, TERMS)
    assert isinstance(first, Stage)
    offcut = 500.0 * GRAIN - first.before_loops
    plain = belief.after(CutStep(rear=first.rear, offcut=offcut))
    heavy = belief.after(CutStep(rear=first.rear, offcut=1.02 * offcut))
    assert heavy.head_mass()[0] < plain.head_mass()[0]
    # Heavier where it was cut off, so heavier beside it too, and better known there.
    beside = int(np.searchsorted(belief.edges, belief.profile.length - first.rear - 0.1)) - 1
    assert heavy.mean[beside] > plain.mean[beside]
    assert np.all(
        plain.known.covariances[:, beside, beside] < belief.known.covariances[:, beside, beside]
    )
    left = [next_stage(each, TARGET, TERMS) for each in (plain, heavy)]
    assert isinstance(left[0], Stage)
    assert isinstance(left[1], Stage)
    assert left[1].rear < left[0].rear


def test_head_and_offcuts_are_expected_to_weigh_what_the_head_weighed() -> None:
    belief = begin(HEAD, TOOLS, 500.0 * GRAIN)
    for step in (CutStep(rear=0.4), CutStep(front=0.3), CutStep(front=0.1, rear=0.2)):
        before = belief.head_mass()[0]
        then = belief.after(step)
        gone = before - then.head_mass()[0]
        weighed = then.after(CutStep(head=then.head_mass()[0]))
        assert weighed.head_mass()[0] == pytest.approx(then.head_mass()[0], abs=1e-9)
        assert gone > 0.0
        belief = then


def test_the_line_that_is_left_weighs_what_is_believed() -> None:
    belief = begin(HEAD, TOOLS, 505.0 * GRAIN)
    steps = (
        CutStep(rear=0.6, head=470.0 * GRAIN, offcut=34.0 * GRAIN),
        CutStep(front=0.2, rear=0.1, head=461.5 * GRAIN, offcut=8.5 * GRAIN),
    )
    for step in steps:
        belief = belief.after(step)
        line = belief.line()
        assert line.length == pytest.approx(belief.length)
        left = Profile.of(line).total_mass
        # What the tape was off by has moved the blade a little; the line keeps the tape's length.
        assert left == pytest.approx(belief.head_mass()[0], abs=0.3 * GRAIN)


def test_a_log_is_replayed_and_taking_a_step_back_gives_the_plan_back() -> None:
    fresh = staged(first_reading=500.0 * GRAIN)
    first = fresh.stages[0]
    step = CutStep(
        rear=first.rear, head=first.before_loops, offcut=500 * GRAIN - first.before_loops
    )
    on = staged(first_reading=500.0 * GRAIN, steps=(step,))
    assert len(on.standing.beliefs) == 2
    assert len(on.stages) == len(fresh.stages) - 1
    assert on.stages[0].rear == pytest.approx(fresh.stages[1].rear)
    assert staged(first_reading=500.0 * GRAIN).stages == fresh.stages


def test_a_whole_cut_back_ends_by_itself() -> None:
    steps: tuple[CutStep, ...] = ()
    for _ in range(8):
        answer = staged(first_reading=500.0 * GRAIN, steps=steps)
        if not answer.stages:
            break
        stage = answer.stages[0]
        before = steps[-1].head if steps else 500.0 * GRAIN
        assert before is not None
        # The real head is a little heavier toward the rear than described.
        head = stage.before_loops - 0.5 * GRAIN
        steps += (CutStep(rear=stage.rear, head=head, offcut=before - head),)
    assert answer.stop is not None
    assert answer.stop.why in (Why.DONE, Why.TOO_SHORT_TO_CUT, Why.SCALE_TOO_COARSE)
    assert abs(answer.stop.off) <= 4.4 * GRAIN
    assert 2 <= len(steps) <= 5


def stop_of(belief: Belief, target: float, terms: Terms = TERMS) -> Stop:
    stage = next_stage(belief, target, terms)
    assert isinstance(stage, Stop), stage
    return stage


def test_a_head_that_is_known_is_uncertain_by_blade_and_scale_alone() -> None:
    known = Described(common=1e-6, shape=1e-6, spreads=(1e-6,) * len(SPREADS))
    off = np.array([6 * FOOT])
    belief = begin(HEAD, TOOLS, WEIGHT, known)
    belly = float(belief.profile.linear_density(20 * FOOT))
    _, error = belief.expected(np.zeros(1), off)
    blade = belly * TOOLS.tape / math.sqrt(12.0)
    assert error[0] == pytest.approx(blade, rel=1e-3)
    # Nothing is known better than one rounding of the scale that will read it.
    coarse = replace(TOOLS, scale=5.0 * GRAIN)
    stage = next_stage(begin(HEAD, coarse, WEIGHT, known), TARGET, TERMS)
    assert isinstance(stage, Stage)
    assert stage.plus_minus == pytest.approx(1.96 * 5.0 * GRAIN / math.sqrt(12.0), rel=1e-3)


def test_stopping_has_its_reasons() -> None:
    belief = begin(HEAD, TOOLS, 500.0 * GRAIN)
    assert stop_of(belief, 520.0 * GRAIN).why is Why.TOO_LIGHT
    # Were it cut, the old sleeve would come off: 2 gr less, below the target. It stays on.
    near = stop_of(belief, 499.5 * GRAIN, Terms())
    assert near.why is Why.DONE
    assert "0.5 gr over the target of 499.5 gr: near enough" in str(near.sentence)
    short = replace(TERMS, limits=Limits(shortest=32 * FOOT))
    assert stop_of(belief, 470.0 * GRAIN, short).why is Why.LIMIT
    coarse = replace(TOOLS, scale=15.4 * GRAIN)
    rough = begin(HEAD, coarse, 500.0 * GRAIN)
    rough = rough.after(CutStep(rear=0.2))
    stages, stop = finish(stages_ahead(rough, 480.0 * GRAIN, TERMS))
    assert stop is not None
    assert stop.why in (Why.SCALE_TOO_COARSE, Why.DONE)
    assert not any(stage.last for stage in stages)


def test_targets_of_every_kind() -> None:
    by_window = staged(first_reading=500.0 * GRAIN, target=Target(TargetKind.WINDOW, 0.5))
    assert by_window.target == pytest.approx(430.0 * GRAIN)
    by_length = staged(first_reading=500.0 * GRAIN, target=Target(TargetKind.LENGTH, 28 * FOOT))
    assert len(by_length.stages) == 1
    assert by_length.stages[0].rear == pytest.approx(4 * FOOT - 2.5 * INCH)
    assert by_length.stages[0].plus_minus > 0.0
    by_size = staged(first_reading=500.0 * GRAIN, target=Target(TargetKind.TWO_HANDED_SIZE, 8.0))
    assert by_size.target == pytest.approx(360.0 * GRAIN)
    heavy = staged_cut(HEAD, job(target=Target(TargetKind.SINGLE_HAND_SIZE, 15.0)), ROD)
    assert isinstance(heavy, NoPlan)


def test_a_limit_that_stops_the_whole_cut_is_named() -> None:
    answer = staged_cut(
        HEAD, job(first_reading=500.0 * GRAIN, limits=Limits(shortest=31 * FOOT)), ROD
    )
    assert isinstance(answer, NoPlan)
    assert answer.limit == "shortest head"


def test_slips_on_the_scale_are_caught() -> None:
    first = CutStep(rear=2 * FOOT, head=459.5 * GRAIN, offcut=24.5 * GRAIN)
    fine = staged(first_reading=484.0 * GRAIN, steps=(first,))
    assert not fine.findings
    for missing, doubted in ((0.5, False), (1.0, True)):
        step = replace(first, offcut=(24.5 - missing) * GRAIN)
        found = staged(first_reading=484.0 * GRAIN, steps=(step,)).findings
        assert [f.segment for f in found] == [0] * doubted
    slip = replace(first, head=429.5 * GRAIN, offcut=54.5 * GRAIN)
    sentences = [
        str(f.sentence) for f in staged(first_reading=484.0 * GRAIN, steps=(slip,)).findings
    ]
    assert len(sentences) == 1
    assert "less than that cut can explain" in sentences[0]
    other = staged(first_reading=1.2 * WEIGHT)
    assert "is it the right line" in str(other.findings[0].sentence)


def test_a_length_that_was_cut_to_needs_no_more_cutting() -> None:
    by_length = Target(TargetKind.LENGTH, 28 * FOOT)
    fresh = staged(first_reading=484.0 * GRAIN, target=by_length)
    step = CutStep(rear=fresh.stages[0].rear, head=430.0 * GRAIN)
    done = staged(first_reading=484.0 * GRAIN, target=by_length, steps=(step,))
    assert not done.stages
    assert done.stop is not None
    assert done.stop.why is Why.DONE


@pytest.mark.parametrize("reading", [None, 400.0])
def test_a_head_cut_shorter_than_asked_for_is_not_done(reading: float | None) -> None:
    """32 ft less 5 ft less the fold of 2 1/2 in is 26 ft 9 1/2 in, 1 ft 2 1/2 in under 28 ft."""
    by_length = Target(TargetKind.LENGTH, 28 * FOOT)
    step = CutStep(rear=5 * FOOT)
    last = None if reading is None else reading * GRAIN
    found = staged(
        first_reading=484.0 * GRAIN,
        target=by_length,
        steps=(step,),
        last_reading=last,
        sure_last=True,
    )
    assert not found.stages
    assert found.stop is not None
    assert found.stop.why is Why.TOO_SHORT
    assert "26 ft 9 1/2 in" in str(found.stop.sentence)
    assert "1 ft 2 1/2 in less than the 28 ft asked for" in str(found.stop.sentence)


def test_a_log_that_cuts_more_than_there_was_is_refused() -> None:
    answer = staged_cut(HEAD, job(steps=(CutStep(rear=40 * FOOT),)), ROD)
    assert isinstance(answer, NoPlan)
    running = replace(HEAD, segments=HEAD.segments[-1:], joints=())
    assert isinstance(staged_cut(running, job(), ROD), NoPlan)


def test_what_is_left_weighs_what_the_belief_says() -> None:
    """The plan and the stages start from one weight, whatever the readings put down to the tape."""
    belief = begin(HEAD, TOOLS, WEIGHT)
    before, _ = belief.head_mass()
    odd = CutStep(rear=FOOT, head=before - 14.0 * GRAIN, offcut=16.0 * GRAIN)
    after = belief.after(odd)
    assert Profile.of(after.line()).total_mass == pytest.approx(after.head_mass()[0], rel=1e-12)
