"""What is told of a rig that shoots: how much, at what cost, and at which speed it turns over."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.files.native import read_bench
from taperlab.model.casting import Throw
from taperlab.model.line import line_of
from taperlab.model.segment import Part, Segment
from taperlab.physics import section
from taperlab.shipped import sample
from taperlab.shop.rig import looped
from taperlab.shop.turnover.shooting import RunningOf, running_mass_of
from taperlab.shop.turnover.study import study
from taperlab.shop.turnover.words import needed_words, remarks, shot_words
from taperlab.units.finding import Impossible
from taperlab.units.kinds import System
from taperlab.units.sentence import render
from tests.flown import taper

HELD = Throw()
SHOOTS = Throw(shoots=True)
SCANDI = taper((0.0009, 0.0021, 0.0021), (8.0, 3.0), leader=1.5)
LONG_LEADER = taper((0.0009, 0.0021, 0.0021), (8.0, 3.0), leader=3.6)


def test_where_nothing_shoots_nothing_changes() -> None:
    held = study(SCANDI, HELD)
    firm = study(SCANDI, replace(SHOOTS, guides=2.0))
    assert held.shooting is None
    assert firm.shooting is not None
    assert firm.shooting.shot.shot == 0.0
    assert shot_words(held) == ()
    assert firm.needed.estimate == pytest.approx(held.needed.estimate, rel=2e-3)
    assert firm.energy_left == pytest.approx(held.energy_left, rel=1e-4)
    assert str(shot_words(firm)[0]).startswith("No running line is shot")


def test_what_shoots_needs_more_speed_and_arrives_softer() -> None:
    held = study(SCANDI, HELD)
    free = study(SCANDI, replace(SHOOTS, guides=0.002))
    assert free.shooting is not None
    assert free.shooting.shot.shot > 1.0
    assert held.needed.estimate < free.needed.estimate < math.inf
    assert free.energy_left < held.energy_left
    assert free.time > held.time


def test_a_study_that_is_known_does_not_hide_another_throw() -> None:
    held = study(SCANDI, HELD)
    free = study(SCANDI, SHOOTS, held)
    again = study(SCANDI, HELD, free)
    assert free.shooting is not None
    assert again.shooting is None
    assert again.energy_left == held.energy_left
    firmer = study(SCANDI, replace(SHOOTS, guides=0.03), free)
    assert firmer.shooting is not None
    assert firmer.shooting.shot.shot < free.shooting.shot.shot


def test_a_light_tip_that_the_line_behind_catches_up_with_has_a_reason() -> None:
    with pytest.raises(Impossible, match="shoots so freely that its loop does not roll out"):
        study(LONG_LEADER, replace(SHOOTS, guides=0.0))
    assert study(LONG_LEADER, SHOOTS).energy_left > 0.0


@pytest.mark.parametrize("guides", [0.005, 0.015, 0.03, 0.05])
@pytest.mark.parametrize("speed", [5.0, 18.0, 45.0])
def test_at_the_speed_that_is_needed_it_lands_as_it_turns(guides: float, speed: float) -> None:
    throw = replace(SHOOTS, guides=guides, speed=speed)
    found = study(SCANDI, throw)
    again = study(SCANDI, replace(throw, speed=found.needed.estimate))
    assert again.height == pytest.approx(0.0, abs=0.005 * (throw.rod_tip + throw.loop_height))


def test_thrown_down_no_speed_would_do() -> None:
    found = study(SCANDI, replace(SHOOTS, launch=math.radians(-45.0)))
    assert math.isinf(found.needed.estimate)
    assert "at this line speed and any above" in str(needed_words(found))


def test_the_running_line_is_the_line_s_own_unless_typed() -> None:
    bench = read_bench(sample("long_belly.taperlab"))
    rig = looped(bench.lines[0])
    mass, source = running_mass_of(rig, SHOOTS)
    behind = [each for each in bench.lines[0].segments if not each.part.in_head]
    weighs = sum(section.mass(each) for each in behind)
    assert source is RunningOf.LINE
    assert mass == pytest.approx(weighs / sum(each.length for each in behind))
    assert running_mass_of(rig, replace(SHOOTS, running=0.001)) == (0.001, RunningOf.TYPED)
    assert running_mass_of(SCANDI, SHOOTS)[1] is RunningOf.USUAL
    level = Segment(Part.RUNNING_LINE, 20.0, 0.001, 0.001, 900.0)
    head = Segment(Part.BELLY, 10.0, 0.0015, 0.0022, 900.0)
    own = running_mass_of(looped(line_of("line-1", "Own", (head, level))), SHOOTS)
    assert own[0] == pytest.approx(900.0 * math.pi / 4.0 * 1e-6)


def test_what_is_shot_is_said_and_what_is_not_in_it() -> None:
    found = study(SCANDI, SHOOTS)
    for system, unit in ((System.US, "ft"), (System.METRIC, "m")):
        said = " ".join(render(each, system) for each in remarks(found))
        assert f" {unit} of running line is shot by then" in said
        assert "just draws it through the guides" in said
        assert "The film does not shoot" in said
        assert "wet or dry is not modelled" in said
    assert "does not shoot" not in " ".join(map(str, remarks(study(SCANDI, HELD))))


@given(
    st.floats(1.0, 50.0), st.floats(0.05, 3.0), st.floats(0.0, 6.0), st.floats(-0.5, 0.7),
    st.floats(0.0, 2.0), st.one_of(st.none(), st.floats(1e-4, 0.02)), st.floats(2.0, 15.0),
)  # fmt: skip
def test_any_throw_that_shoots_has_figures_or_a_reason(
    speed: float, loop: float, tip: float, launch: float, guides: float, running: float | None,
    length: float,
) -> None:  # fmt: skip
    throw = Throw(speed, loop, rod_tip=tip, launch=launch, shoots=True, guides=guides)
    throw = replace(throw, running=running)
    try:
        found = study(taper((0.001, 0.002), (length,), leader=2.0), throw)
    except Impossible:
        return
    assert found.shooting is not None
    assert 0.0 < found.energy_left <= 1.0 + 1e-6
    assert np.isfinite(found.time)
    assert found.needed.estimate > 0.0
    for system in System:
        assert "nan" not in " ".join(render(each, system) for each in remarks(found))
