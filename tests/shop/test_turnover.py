"""What is told of a rig that is thrown: verdicts, ties, words, the film beside the figures."""

from __future__ import annotations

import itertools
import math
import os
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.model.casting import Throw
from taperlab.model.rig import Leader
from taperlab.physics.sinking import STANDARD_GRAVITY
from taperlab.physics.turnover import Air, turn_over
from taperlab.shop.rig import Looped, looped
from taperlab.shop.steps import finish
from taperlab.shop.turnover.film import MARKS, MOST_STEPS, SOUND, Ending, Film, beside, film
from taperlab.shop.turnover.study import (
    Better,
    LookAgain,
    TurnoverStudy,
    Verdict,
    compare,
    flying,
    needed_for,
    study,
    verdict_of,
)
from taperlab.shop.turnover.words import (
    against_words,
    arrives_words,
    beside_words,
    figure_words,
    film_words,
    gives_away_words,
    landing_words,
    look_again_words,
    needed_words,
    remarks,
    time_words,
    verdict_words,
)
from taperlab.units.finding import Impossible
from taperlab.units.kinds import System
from taperlab.units.sentence import render
from tests.flown import NO_AIR, taper
from tests.looped import BODY, TIP

FILMS = int(os.environ.get("TAPERLAB_FILMS", "6"))
"""How many random rigs are filmed; all of them: 500."""

THROW = Throw()
SCANDI = taper((0.0009, 0.0021, 0.0021), (8.0, 3.0), leader=3.6)
SKAGIT = looped(BODY, [TIP], (), Leader(1.2), SCANDI.fly)


def shot(rig: Looped, throw: Throw = THROW, **options: object) -> Film:
    return finish(film(rig, throw, **options))  # type: ignore[arg-type]


# -- the verdict --------------------------------------------------------------------------------


def test_the_verdict_is_of_what_falls_meanwhile() -> None:
    """By hand: 15 m of way over a drop of 4.9 m, which takes 1 s: 15 m/s, give or take a fifth."""
    needed = needed_for(15.0, 0.5 * STANDARD_GRAVITY)
    assert needed.estimate == pytest.approx(15.0)
    assert (needed.low, needed.high) == pytest.approx((12.0, 18.0))
    assert verdict_of(18.1, needed) is Verdict.YES
    assert verdict_of(11.9, needed) is Verdict.NO
    assert verdict_of(15.0, needed) is Verdict.CLOSE


def test_at_the_speed_that_is_needed_it_lands_as_it_turns() -> None:
    found = study(SCANDI, THROW)
    again = study(SCANDI, replace(THROW, speed=found.needed.estimate))
    assert again.height == pytest.approx(0.0, abs=1e-9)
    assert again.verdict is Verdict.CLOSE
    assert again.energy_left == found.energy_left


def test_landing_decides() -> None:
    needed = study(SCANDI, THROW).needed.estimate
    assert study(SCANDI, replace(THROW, rod_tip=1.5)).needed.estimate > needed
    assert study(SCANDI, replace(THROW, launch=math.radians(10.0))).needed.estimate < needed
    down = study(SCANDI, replace(THROW, launch=math.radians(-45.0)))
    assert math.isinf(down.needed.estimate)
    assert down.verdict is Verdict.NO
    assert "at any line speed" in str(needed_words(down))
    assert str(figure_words(down)) == "No speed"


def test_what_has_nothing_left_to_unroll_has_no_answer() -> None:
    with pytest.raises(Impossible, match="Nothing is left to turn over"):
        study(taper((0.001, 0.002), (1.5,)), THROW)
    with pytest.raises(Impossible, match="Nothing is left to turn over"):
        shot(taper((0.001, 0.002), (1.5,)))


def test_half_is_half_of_all_of_it() -> None:
    found = study(SCANDI, THROW)
    assert found.half == pytest.approx(THROW.speed * found.run.speed_at(0.5 * (11.0 + 3.6)))
    assert found.time == pytest.approx(found.run.way[-1] / THROW.speed)
    # A start beyond the half has no speed there.
    assert math.isnan(study(SCANDI, replace(THROW, start=8.0)).half)


# -- pairs --------------------------------------------------------------------------------------


def test_a_tie_is_a_tie() -> None:
    one = study(SCANDI, THROW)
    near = study(taper((0.0009, 0.00211, 0.00211), (8.0, 3.0), leader=3.6), THROW)
    found = compare(one, near)
    assert found.needs_less is Better.TIE
    assert found.look_again
    assert all("tie" in str(each) for each in against_words(one, near, compare(one, one)))


def test_a_heavy_tip_needs_less_and_arrives_hard() -> None:
    one, other = study(SCANDI, THROW), study(SKAGIT, THROW)
    found = compare(one, other)
    assert found.needs_less is Better.OTHER
    assert found.arrives_softer is Better.ONE
    said = [str(each) for each in against_words(one, other, found)]
    assert "more line speed" in said[0]
    assert "less energy" in said[1]
    turned = compare(other, one)
    assert (turned.needs_less, turned.arrives_softer) == (Better.ONE, Better.OTHER)
    assert other.kicks
    assert LookAgain.KICKS in other.look_again
    assert "likely to kick" in str(arrives_words(other))
    assert "likely" not in str(arrives_words(one))


def test_a_large_step_asks_for_the_film() -> None:
    stepped = taper((0.0009, 0.0009), (6.0,), leader=2.0)
    assert study(stepped, THROW).look_again == ()
    rig = taper((0.0008, 0.0008, 0.0021), (3.0, 8.0), leader=2.0)
    assert LookAgain.STEPS not in study(rig, THROW).look_again
    line = rig.spans[0].line
    thick = replace(line.segments[1], front_diameter=0.0016)
    jump = looped(replace(line, segments=(line.segments[0], thick)), (), (), None, rig.fly)
    found = study(jump, THROW)
    assert LookAgain.STEPS in found.look_again
    assert "large step" in str(look_again_words(found))


def test_the_leader_is_where_energy_is_given_away() -> None:
    found = study(SCANDI, THROW)
    ((low, high),) = found.gives_away
    assert low == pytest.approx(11.0, abs=0.8)
    assert high == pytest.approx(found.run.at[-1])
    assert "gives more to the air" in str(gives_away_words(found))
    heavy = study(taper((0.002, 0.002), (9.0,), fly=0.0), THROW)
    assert heavy.gives_away == ()
    assert "speeds up all along" in str(gives_away_words(heavy))


def test_where_a_taper_begins_to_give_it_is_found_between_places() -> None:
    """There what it weighs and what the air takes are one."""
    found = study(taper((0.0003, 0.002), (14.0,), fly=0.0002), THROW)
    ((low, high),) = found.gives_away
    run = found.run
    assert low not in run.at.tolist()
    weighs, drags = (float(np.interp(low, run.at, each)) for each in (run.weighs, run.drags))
    assert weighs == pytest.approx(drags, rel=1e-6)
    assert high == pytest.approx(run.at[-1])


def said(found: TurnoverStudy, system: System) -> str:
    words = (needed_words, verdict_words, landing_words, time_words, arrives_words, figure_words)
    return " ".join(render(each(found), system) for each in words)


@pytest.mark.parametrize("system", System)
def test_it_is_said_in_both_systems(system: System) -> None:
    unit = "ft/s" if system is System.US else "m/s"
    for speed in (5.0, 14.5, 40.0):
        found = study(SCANDI, replace(THROW, speed=speed))
        text = said(found, system)
        assert unit in text
        assert "{" not in text
        assert all(render(each, system) for each in remarks(found))


# -- the film -----------------------------------------------------------------------------------


def test_film_and_figures_agree_without_drag() -> None:
    """Two models of one thing: speeds within 1 % at a quarter, a half and three quarters."""
    for rig in (
        taper((0.0018, 0.0018), (12.0,)),
        taper((0.0012, 0.002), (12.0,)),
        taper((0.0012, 0.002), (12.0,), leader=1.0),
    ):
        throw = replace(THROW, launch=0.0, loop_height=0.8, loop_factor=1.0)
        shown = shot(rig, throw, air=NO_AIR, gravity=0.0)
        live = turn_over(flying(rig), throw.start, throw.loop_height, NO_AIR, refine=3)
        travel = (live.at - live.at[0]) / (live.at[-1] - live.at[0])
        for mark in shown.marks[:3]:
            speed = throw.speed * float(np.interp(mark.share, travel, live.speed))
            assert mark.speed == pytest.approx(speed, rel=0.01)
            assert mark.energy == pytest.approx(1.0, abs=SOUND)


def test_film_and_figures_agree_in_air_to_what_is_promised() -> None:
    """The loop's nose sharpens by itself in the film: 0.6 of the height stands for that."""
    for rig in (SCANDI, SKAGIT):
        found, shown = study(rig, THROW), shot(rig)
        rows = beside(found, shown)
        assert [each.share for each in rows[:3]] == list(MARKS[:3])
        for each in rows[:3]:
            assert each.film_speed == pytest.approx(each.live_speed, rel=0.1)
            assert each.film_time == pytest.approx(each.live_time, rel=0.1)
            assert "in the film" in str(beside_words(each))
            assert ("ft/s" in str(beside_words(each))) == (each.share <= 0.5)


def test_no_mesh_shows_in_what_is_told() -> None:
    coarse, fine = (shot(SCANDI, links=links) for links in (100, 150))
    for one, other in zip(coarse.marks[:2], fine.marks[:2], strict=True):
        assert one.speed == pytest.approx(other.speed, rel=0.01)
        assert one.time == pytest.approx(other.time, rel=0.01)
    assert coarse.marks[3].time == pytest.approx(fine.marks[3].time, rel=0.01)
    assert coarse.marks[3].energy == pytest.approx(fine.marks[3].energy, rel=0.1)


def test_frames_are_of_one_line_that_does_not_stretch() -> None:
    shown = shot(SCANDI)
    assert shown.ending is Ending.TURNED
    steps = np.linalg.norm(np.diff(shown.places, axis=1), axis=2)
    assert steps == pytest.approx(np.full_like(steps, 14.6 / 100.0))
    assert shown.places[:, 0] == pytest.approx(np.tile([0.0, THROW.rod_tip], (len(steps), 1)))
    assert np.all(np.diff(shown.seconds) > 0.0)
    assert shown.off < SOUND
    half = shown.at(0.5 * (shown.seconds[3] + shown.seconds[4]))
    assert half == pytest.approx(0.5 * (shown.places[3] + shown.places[4]))
    assert shown.at(99.0) == pytest.approx(shown.places[-1])
    assert shown.at(-1.0) == pytest.approx(shown.places[0])


def test_a_slow_cast_lands_and_the_film_says_so() -> None:
    shown = shot(SCANDI, replace(THROW, speed=6.0))
    assert shown.ending is Ending.LANDED
    assert shown.touches < shown.length
    assert shown.model_ends == shown.touches
    assert len(shown.marks) < len(MARKS)
    words = " ".join(str(each) for each in film_words(shown))
    assert "lands" in words
    assert "touches the water" in words


def test_a_loop_too_small_for_links_is_told() -> None:
    with pytest.raises(Impossible, match="too small for the film"):
        shot(SCANDI, replace(THROW, loop_height=0.05))


def test_it_can_be_left_at_any_time() -> None:
    work = film(SCANDI, THROW)
    shares = [next(work) for _ in range(10)]
    assert shares == sorted(shares)
    work.close()


@st.composite
def throws(draw: st.DrawFn) -> Throw:
    return Throw(
        draw(st.floats(3.0, 40.0)),
        draw(st.floats(0.1, 3.0)),
        draw(st.floats(0.3, 1.2)),
        draw(st.floats(0.0, 6.0)),
        math.radians(draw(st.floats(-30.0, 40.0))),
        draw(st.floats(0.0, 3.0)),
    )


def drawn(random: np.random.Generator) -> tuple[Looped, Throw]:
    count = int(random.integers(1, 5))
    rig = taper(
        random.uniform(0.0006, 0.0028, count + 1).tolist(),
        random.uniform(0.3, 8.0, count).tolist(),
        leader=float(random.choice([0.0, random.uniform(0.3, 5.0)])),
        fly=float(random.uniform(0.0, 0.002)),
        drag=float(random.uniform(0.0, 4e-4)),
        density=float(random.uniform(700.0, 4000.0)),
    )
    throw = Throw(
        float(random.uniform(3.0, 40.0)),
        float(random.uniform(0.1, 3.0)),
        float(random.uniform(0.3, 1.2)),
        float(random.uniform(0.0, 6.0)),
        math.radians(float(random.uniform(-30.0, 40.0))),
        float(random.uniform(0.0, 3.0)),
    )
    return rig, throw


def test_any_rig_has_an_answer_or_a_reason() -> None:
    random = np.random.default_rng(7)
    turned, reasons = 0, []
    for _ in range(FILMS):
        rig, throw = drawn(random)
        try:
            found = study(rig, throw)
            shown = shot(rig, throw)
        except Impossible as problem:
            reasons.append(problem.sentence)
            continue
        assert 0.0 < found.energy_left <= 1.0
        assert found.needed.low <= found.needed.high
        assert shown.off <= SOUND
        assert np.all(np.isfinite(shown.places))
        assert shown.steps <= MOST_STEPS + 1
        assert all(math.isfinite(each.speed) for each in shown.marks)
        assert film_words(shown)
        turned += shown.ending is Ending.TURNED
    assert turned
    assert all(reasons)


def kin(random: np.random.Generator) -> Looped:
    """A floating head with a leader and a fly, as heads are."""
    tip, belly, rear = random.uniform([0.0008, 0.0018, 0.6], [0.0016, 0.0026, 1.0])
    front, middle, back = random.uniform([3.0, 2.0, 0.5], [9.0, 6.0, 3.0])
    leader, fly, drag = random.uniform([1.0, 0.0002, 0.3e-4], [4.5, 0.001, 2e-4])
    thick = (tip, belly, belly, rear * belly)
    return taper(thick, (front, middle, back), leader=leader, fly=fly, drag=drag)


def test_the_film_ranks_heads_as_the_figures_do() -> None:
    """Speeds needed that differ by a tenth never turn round, energies left by half in 1 of 50.

    What is closer is to be looked at in the film.
    """
    random = np.random.default_rng(3)
    rows = []
    for _ in range(min(FILMS, 60)):
        rig = kin(random)
        found = study(rig, THROW)
        marks = shot(rig, replace(THROW, launch=0.0), gravity=0.0).marks
        if len(marks) == len(MARKS):
            rows.append((found.time, marks[-1].time, found.energy_left, marks[-1].energy))
    apart = turned = 0
    for one, other in itertools.combinations(rows, 2):
        if max(one[0] / other[0], other[0] / one[0]) > 1.1:
            assert (one[0] - other[0]) * (one[1] - other[1]) > 0.0
        if max(one[2] / other[2], other[2] / one[2]) > 1.5:
            apart += 1
            turned += (one[2] - other[2]) * (one[3] - other[3]) < 0.0
    assert apart
    assert turned <= 0.02 * apart


def test_the_film_hardly_ever_gainsays_a_verdict() -> None:
    """What turns over in time does so dry, and what does not touches the water: but for 1 in 50."""
    random = np.random.default_rng(5)
    seen, gainsaid, count = set(), 0, min(FILMS, 200)
    for _ in range(count):
        rig = kin(random)
        throw = replace(THROW, speed=float(random.uniform(5.0, 24.0)))
        found, shown = study(rig, throw), shot(rig, throw)
        seen.add(found.verdict)
        dry = math.isinf(shown.touches)
        if found.verdict is Verdict.YES:
            gainsaid += not (dry and shown.ending is Ending.TURNED)
        if found.verdict is Verdict.NO:
            gainsaid += dry and shown.ending is Ending.TURNED
    assert len(seen) > 1
    assert gainsaid <= 0.02 * count


@given(throws(), st.floats(0.0005, 0.0027), st.floats(2.0, 15.0))
def test_any_throw_has_figures_or_a_reason(throw: Throw, diameter: float, length: float) -> None:
    rig = taper((diameter, 0.002), (length,), leader=2.0)
    try:
        found = study(rig, throw)
    except Impossible:
        assert length + 2.0 <= throw.start + 0.5 * math.pi * throw.height + 1e-9
        return
    assert 0.0 < found.energy_left <= 1.0
    assert found.time > 0.0
    for system in System:
        assert "nan" not in said(found, system)


def test_air_that_is_not_there_takes_nothing() -> None:
    shown = shot(SCANDI, air=Air(0.0), gravity=0.0)
    assert shown.marks[0].energy == pytest.approx(1.0, abs=SOUND)
