"""A rig is a line made by joining lines: whatever takes a line takes it, and loses nothing."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.model.cut_log import CutEnd, CutStep, NewLoop
from taperlab.model.line import Line, Loop
from taperlab.model.measurement import USUAL
from taperlab.model.segment import Part, Segment
from taperlab.model.water import Water
from taperlab.physics.profile import Profile
from taperlab.physics.trim import join
from taperlab.shop.analyse import analyse_line
from taperlab.shop.cut_back.belief import begin
from taperlab.shop.cut_back.one_cut import Plan, cut_at, figures_of
from taperlab.shop.cut_back.terms import Terms
from taperlab.shop.reading import read_line
from tests.looped import BODY, BRAIDED, FOOT, GRAIN, INCH, TIP

EXTENSION = replace(
    BODY,
    key="extension",
    segments=(Segment(Part.EXTENSION, 4 * FOOT, 0.1 * INCH, 0.09 * INCH, 860.0),),
)
RUNNING = Line(
    "running",
    "Running",
    segments=(Segment(Part.RUNNING_LINE, 100 * FOOT, 0.035 * INCH, 0.035 * INCH, 900.0),),
    front_loop=BRAIDED,
    rear_loop=BRAIDED,
)
RIG = join(join(TIP, BODY), EXTENSION)
JOINTS = (10 * FOOT, 30 * FOOT)


def mass(line: Line) -> float:
    return Profile.of(line).total_mass


def test_the_head_of_a_rig_has_the_loops_of_its_pieces_and_not_the_running_lines() -> None:
    head = analyse_line(join(RIG, RUNNING), Water()).head
    assert head is not None
    assert head.mass == pytest.approx(mass(TIP) + mass(BODY) + mass(EXTENSION), rel=1e-12)
    assert head.length == pytest.approx(34 * FOOT)


def test_the_running_weight_steps_by_both_loops_at_a_joint() -> None:
    analysis = analyse_line(RIG, Water())
    ahead, there = read_line(analysis, JOINTS[0] - 1e-9), read_line(analysis, JOINTS[0])
    assert ahead is not None
    assert there is not None
    assert there.joint == RIG.joints[0]
    loops = mass(TIP) - mass(replace(TIP, rear_loop=Loop()))
    loops += mass(BODY) - mass(replace(BODY, front_loop=Loop()))
    assert there.running_mass - ahead.running_mass == pytest.approx(loops, abs=1e-6 * GRAIN)


places = st.one_of(st.floats(0.3, 33.0), st.sampled_from([10.0, 30.0]))


@given(places, st.sampled_from([CutEnd.FRONT, CutEnd.REAR]), st.sampled_from([0.0, 2.5 * INCH]))
def test_what_a_cut_takes_off_a_rig_and_what_it_leaves_make_the_whole(
    feet: float, end: CutEnd, fold: float
) -> None:
    loop = NewLoop(fold, 1.0 * GRAIN)
    terms = Terms(end, front_loop=loop, rear_loop=loop)
    plan = cut_at(RIG, *terms.split(feet * FOOT), terms)
    assert isinstance(plan, Plan)
    assert plan.before.mass == pytest.approx(mass(RIG), rel=1e-12)
    left = plan.before.mass - plan.cut_mass + 1.0 * GRAIN
    assert plan.after.mass == pytest.approx(left, abs=1e-6 * GRAIN)


@given(places, st.booleans())
def test_a_head_part_way_through_a_cut_back_weighs_what_is_left_of_it(
    feet: float, front: bool
) -> None:
    step = CutStep(feet * FOOT, 0.0) if front else CutStep(0.0, feet * FOOT)
    belief = begin(RIG, USUAL).after(step)
    assert belief.head_mass()[0] == pytest.approx(mass(belief.line()), rel=1e-9)
    end = belief.line().front_loop if front else belief.line().rear_loop
    assert end == Loop()


def test_a_sink_tip_looped_ahead_of_a_belly_is_a_joint_step_like_any_tip() -> None:
    at_tip = Profile.of(TIP).linear_density(TIP.length)
    expected = float(at_tip / Profile.of(BODY).linear_density(0.0))
    for part in (Part.TIP, Part.SINK_TIP):
        tip = replace(TIP, segments=(replace(TIP.segments[0], part=part),))
        step = figures_of(join(tip, BODY), Terms().limits, None).joint_step
        assert step is not None
        assert step == pytest.approx(expected, rel=1e-12)
    # A belly behind a tip counts; what is not a tip ahead of it, or a tip behind a tip, does not.
    assert figures_of(join(BODY, EXTENSION), Terms().limits, None).joint_step is None
    assert figures_of(join(TIP, TIP), Terms().limits, None).joint_step is None


def test_the_rig_sinks_between_its_pieces() -> None:
    rates = [analyse_line(line, Water()).head for line in (TIP, BODY, join(TIP, BODY))]
    tip, body, rig = (head.sink for head in rates if head is not None)
    assert body < rig < tip
    assert math.isfinite(rig)
