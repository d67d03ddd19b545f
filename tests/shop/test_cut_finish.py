"""What a cut-back aims at first, and the head as it leaves the bench."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.model.cut_log import CutBack, CutEnd, CutStep, NewLoop, Target, TargetKind
from taperlab.model.line import Line, Style, line_of
from taperlab.model.measurement import Instruments
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Part, Segment
from taperlab.physics.profile import Profile
from taperlab.shop.cut_back.staged import Standing, finished_head, standing
from taperlab.shop.cut_back.start import usual_target
from taperlab.shop.cut_back.terms import terms_of

FOOT, INCH, GRAIN = 0.3048, 0.0254, 64.79891e-6
HEAD = line_of(
    "h",
    "Head",
    (
        Segment(Part.FRONT_TAPER, 15 * FOOT, 0.001, 0.0022, 860.0),
        Segment(Part.BELLY, 20 * FOOT, 0.0022, 0.0022, 860.0),
    ),
    Style.SCANDI,
)
WEIGHT = Profile.of(HEAD).total_mass


def job(**changes: object) -> CutBack:
    tools = Instruments(0.5 * GRAIN, INCH / 8, 1e-5)
    return replace(CutBack("c", "h", Target(TargetKind.WEIGHT, 0.9 * WEIGHT), tools), **changes)


def rod(low: float, high: float) -> Rod:
    return Rod("r", "Rod", 13 * FOOT, windows=(Window(Style.SCANDI, low * WEIGHT, high * WEIGHT),))


def test_the_first_aim_is_one_that_a_cut_can_reach() -> None:
    assert usual_target(HEAD, rod(0.8, 0.9)) == Target(TargetKind.WINDOW, 0.5)
    assert usual_target(HEAD, rod(0.9, 1.2)) == Target(TargetKind.WINDOW, 0.0)
    for none in (None, rod(1.1, 1.3), Rod("r", "Rod", 4.0)):
        target = usual_target(HEAD, none)
        assert target.kind is TargetKind.WEIGHT
        assert 0.9 * WEIGHT < target.value < WEIGHT
        assert target.value / (5 * GRAIN) == pytest.approx(round(target.value / (5 * GRAIN)))


@given(
    front=st.floats(0.0, 5.0),
    rear=st.floats(0.0, 5.0),
    fold=st.floats(0.0, 0.1),
    added=st.floats(0.0, 1.0),
)
def test_new_loops_take_their_fold_and_keep_the_weight(
    front: float, rear: float, fold: float, added: float
) -> None:
    loop = NewLoop(fold, added * GRAIN)
    step = CutStep(front * FOOT, rear * FOOT)
    cut = job(end=CutEnd.BOTH, front_loop=loop, rear_loop=loop, steps=(step,))
    found = standing(HEAD, cut)
    assert isinstance(found, Standing)
    made = finished_head(found.belief, terms_of(cut))
    assert isinstance(made, Line)
    # The least of all floats in feet is nothing in metres.
    ends = (step.front > 0.0) + (step.rear > 0.0)
    left = Profile.of(HEAD).mass_between(front * FOOT, HEAD.length - rear * FOOT)
    assert Profile.of(made).total_mass == pytest.approx(left + ends * added * GRAIN, abs=1e-8)
    assert made.length == pytest.approx(HEAD.length - (front + rear) * FOOT - ends * fold, abs=1e-6)


def test_where_it_stands_follows_the_scale() -> None:
    reading = 1.05 * WEIGHT
    found = standing(HEAD, job(first_reading=reading))
    assert isinstance(found, Standing)
    assert Profile.of(found.uncut).total_mass == pytest.approx(reading, rel=1e-3)
    assert found.left is not None
    assert found.belief.readings == 1
