"""Tips on a head: which of a bench they are, whether they hinge, how they are told apart."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from taperlab.model.bench import Bench, View
from taperlab.model.line import NO_LOOP, Line, Loop, LoopKind, Style, line_of
from taperlab.model.rig import Fly, Leader
from taperlab.model.rod import Rod
from taperlab.model.segment import Part, Segment
from taperlab.model.stock import Stock
from taperlab.model.swing import Swing
from taperlab.model.water import Water
from taperlab.physics.profile import Profile
from taperlab.shop.joints import step_words
from taperlab.shop.rig import looped
from taperlab.shop.steps import finish
from taperlab.shop.tips.building import (
    Aim,
    Recipe,
    decided_words,
    find_now,
    of_length,
    sought,
    starter_words,
    tip_stock,
)
from taperlab.shop.tips.study import (
    Carry,
    Question,
    TipsStudy,
    head_in_hand,
    heads_of,
    left_out,
    question_of,
    study,
    study_now,
    tips_of,
)
from taperlab.shop.tips.weighed import between, between_words, weighed_tip
from taperlab.shop.tips.words import Tone, verdict
from taperlab.trade.starters import starter_stock
from taperlab.units.finding import Impossible
from tests.looped import FOOT, GRAIN, INCH

HEAD = line_of(
    "head",
    "Head",
    (
        Segment(Part.FRONT_TAPER, 3 * FOOT, 0.087 * INCH, 0.1 * INCH, 870.0),
        Segment(Part.BELLY, 20 * FOOT, 0.1 * INCH, 0.1 * INCH, 870.0),
    ),
    Style.SKAGIT,
)
DRY = Fly(-5e-5, 5e-5, 1e-4)
ROD = Rod("rod", "Thirteen", 13 * FOOT, True)


def per_foot(diameter: float, density: float) -> float:
    """Grains in a foot of level line: density times pi/4 d^2."""
    return density * math.pi / 4.0 * (diameter * INCH) ** 2 * FOOT / GRAIN


def tip(key: str, feet: float, grains: float, diameter: float = 0.032, name: str = "") -> Line:
    """A level tip so heavy for its length, and so thick [in]."""
    density = grains / per_foot(diameter, 1.0)
    piece = Segment(Part.SINK_TIP, feet * FOOT, diameter * INCH, diameter * INCH, density)
    return line_of(key, name or key, (piece,), Style.TIP)


def bench_of(*tips: Line, head: Line = HEAD) -> Bench:
    return Bench((head, *tips), (ROD,), rod="rod")


def studied(*tips: Line, head: Line = HEAD) -> TipsStudy:
    question = question_of(bench_of(*tips, head=head))
    assert question is not None
    return study_now(question)


def said(found: TipsStudy, key: str) -> tuple[Tone, str]:
    row = found.row(key)
    assert row is not None
    told = verdict(row, found)
    return told.tone, str(told.words)


# -- what is a tip -----------------------------------------------------------------------------


def test_a_line_is_a_tip_by_its_style_or_because_all_of_it_sinks() -> None:
    called = replace(tip("called", 10, 3, 0.06), style=Style.TIP)  # which floats
    sinks = replace(tip("sinks", 10, 14), style=Style.OTHER)
    sinking_head = replace(tip("whole", 30, 14), style=Style.SHORT_BELLY)
    half = replace(
        HEAD, key="half", style=Style.OTHER, segments=(sinks.segments[0], HEAD.segments[1])
    )
    empty = line_of("empty", "Empty", (), Style.TIP)
    bench = bench_of(called, sinks, sinking_head, half, empty)
    assert [line.key for line in tips_of(bench)] == ["called", "sinks"]
    assert [line.key for line in heads_of(bench)] == ["head", "whole", "half"]
    ((line, why),) = left_out(bench)
    assert line is empty
    assert "no segments" in str(why.sentence)


def test_the_head_is_the_current_line_or_the_first_that_is_no_tip() -> None:
    other = replace(HEAD, key="other")
    bench = Bench((tip("tip", 10, 14), HEAD, other))
    assert head_in_hand(bench) is HEAD
    assert head_in_hand(replace(bench, view=View("other"))) is other
    assert head_in_hand(replace(bench, view=View("tip"))) is HEAD
    assert question_of(Bench((tip("tip", 10, 14),))) is None


# -- verdicts ----------------------------------------------------------------------------------


def test_the_joint_decides_who_hinges_and_a_caliper_s_error_is_a_question() -> None:
    front = per_foot(0.087, 870.0)
    found = studied(
        tip("light", 10, 0.7 * front), tip("close", 10, 1.04 * front), tip("heavy", 10, 1.2 * front)
    )
    assert [row.carry for row in found.rows] == [Carry.CARRIES, Carry.UNSURE, Carry.HINGES]
    # Twice the error of each diameter as a share, squares added up.
    error = 2.0 * math.hypot(0.001 / 0.032, 0.001 / 0.087)
    assert [row.joint.error for row in found.rows] == pytest.approx([error] * 3)
    assert [row.joint.step for row in found.rows] == pytest.approx([0.7, 1.04, 1.2])
    assert said(found, "heavy") == (
        Tone.FAULT,
        f"Hinges: {1.2 * front:.2f} gr/ft ahead of {front:.2f}.",
    )
    tone, words = said(found, "close")
    assert tone is Tone.QUESTION
    assert words.startswith("May hinge: a step of 1.04 is within a caliper’s 7 %.")


def test_the_deepest_is_sought_among_those_that_do_not_hinge() -> None:
    found = studied(tip("short", 6, 11), tip("best", 12, 14), tip("hinges", 14, 20))
    assert found.best is found.row("best")
    hinging, best = found.row("hinges"), found.row("best")
    assert hinging is not None
    assert best is not None
    assert hinging.middle > best.middle
    assert said(found, "best") == (Tone.PLAIN, "Carries. The deepest that does not hinge.")
    short = found.row("short")
    assert short is not None
    assert short.against is not None
    share = short.water.depth / best.water.depth
    assert said(found, "short")[1] == f"Carries. {100 * (1 - share):.0f} % shallower than best."


def test_depths_within_one_part_in_twenty_are_called_equal() -> None:
    found = studied(tip("one", 12, 14), tip("like it", 11.9, 14), tip("less", 10, 14))
    assert said(found, "like it")[1] == "Carries. As deep as one, within the error."
    assert "shallower than one" in said(found, "less")[1]


def test_what_floats_and_what_lies_on_the_bottom_are_no_deepest() -> None:
    # With nothing that pulls it down.
    floats = tip("floats", 10, 5, 0.06)
    question = question_of(
        replace(bench_of(floats, tip("sinks", 12, 14)), swing=Swing(0.9, bed=0.05, fly=DRY))
    )
    assert question is not None
    found = study_now(question)
    assert said(found, "floats")[1] == "Carries. Stays at the surface."
    assert said(found, "sinks")[1] == "Carries. On the bottom: no depth to compare."
    assert found.best is None


def test_figures_of_a_row_are_those_of_the_tip_and_of_the_whole() -> None:
    heavy, light = tip("a", 4, 14).segments[0], tip("b", 6, 8).segments[0]
    stepped = line_of("stepped", "Stepped", (light, heavy), Style.TIP)
    (row,) = studied(stepped).rows
    assert row.mass == pytest.approx((6 * 8 + 4 * 14) * GRAIN)
    assert row.length == pytest.approx(10 * FOOT)
    assert row.front * FOOT / GRAIN == pytest.approx(8.0)
    assert row.joint.ahead * FOOT / GRAIN == pytest.approx(14.0)
    assert row.rig_mass == pytest.approx(row.mass + Profile.of(HEAD).total_mass)
    assert row.ratio == pytest.approx(33.0 / 13.0)
    assert row.slowest < row.fastest
    scandi = replace(HEAD, style=Style.SCANDI)  # whose practice counts the head alone
    (other,) = studied(stepped, head=scandi).rows
    assert other.ratio == pytest.approx(23.0 / 13.0)
    assert "A step down: 14.00 gr/ft ahead of the joint" in str(step_words(row.joint))


def test_the_leader_and_the_fly_of_the_bench_are_tied_on() -> None:
    bench = bench_of(tip("tip", 12, 14))
    longer = replace(bench, swing=replace(bench.swing, leader=Leader(8 * FOOT)))
    questions = question_of(bench), question_of(longer)
    assert questions[0] is not None
    assert questions[1] is not None
    assert questions[0].fly is not None  # a usual one, where the bench says nothing
    one, other = (study_now(each).rows[0] for each in questions if each is not None)
    assert other.middle != pytest.approx(one.middle, rel=1e-3)


def test_only_what_is_new_is_worked_out_again() -> None:
    bench = bench_of(tip("one", 12, 14), tip("two", 10, 11))
    question = question_of(bench)
    assert question is not None
    first = study_now(question)
    more = question_of(replace(bench, lines=(*bench.lines, tip("three", 8, 8))))
    assert more is not None
    again = finish(study(more, first))
    assert [row.water for row in again.rows[:2]] == [row.water for row in first.rows]
    assert len(again.rows) == 3
    faster = question_of(replace(bench, swing=Swing(1.5)))
    assert faster is not None
    other = finish(study(faster, first))
    assert other.rows[0].water is not first.rows[0].water
    assert other.rows[0].middle < first.rows[0].middle


# -- building ----------------------------------------------------------------------------------


def stock(name: str) -> Stock:
    return next(each for each in starter_stock() if each.name == name)


FOLDED = 2.5 / 12.0
"""Of a foot, folded back at either end of a tip."""

LEVEL = Recipe((stock("Tungsten level tip, 14 gr/ft"),))
STEPS = Recipe(tuple(stock(f"Tungsten level tip, {n} gr/ft") for n in (8, 11, 14)))
TAPER = Recipe((stock("Taper on a braided core"),))


@lru_cache(maxsize=1)
def asked() -> Question:
    question = question_of(bench_of())
    assert question is not None
    return question


def test_level_and_tapered_stock_are_told_apart_and_the_shelf_comes_first() -> None:
    own = replace(LEVEL.stocks[0], key="own", name="Own, thin")
    bench = replace(bench_of(), stock=(own,))
    names = [each.name for each in tip_stock(bench)]
    assert names[0] == "Own, thin"
    assert "Tungsten level tip, 14 gr/ft" in names
    assert "Floating running line, thin" not in names
    assert [each.name for each in tip_stock(bench, level=False)] == [
        "Long blank, Scandi front",
        "Taper on a braided core",
    ]
    kept = replace(own, name="Kept for every bench")
    assert [each.name for each in tip_stock(bench, kept=(kept, own))][:2] == [own.name, kept.name]
    assert not starter_words(Recipe((own, kept)))
    assert "common practice" in str(starter_words(Recipe((own, LEVEL.stocks[0]))))
    twice = replace(own, name="Tungsten level tip, 14 gr/ft")
    assert len(tip_stock(replace(bench, stock=(twice,)))) == len(tip_stock(bench_of()))


@settings(max_examples=25, deadline=None)
@given(grains=st.floats(30.0, 240.0), recipe=st.sampled_from([LEVEL, STEPS, TAPER]))
def test_a_weight_that_is_asked_for_is_met(grains: float, recipe: Recipe) -> None:
    """At the scale: what is cut to that length weighs so much."""
    question = replace(asked(), fishing=replace(asked().fishing, speed=0.0))
    try:
        built = find_now(recipe, Aim.WEIGHT, grains * GRAIN, question)
    except Impossible as problem:
        longest = recipe.made(recipe.longest)
        assert grains > Profile.of(longest).total_mass / GRAIN
        assert "of this stock give" in str(problem)  # noqa: PT017
        return
    assert Profile.of(built.line).total_mass / GRAIN == pytest.approx(grains, abs=0.01)
    assert built.row.length <= recipe.longest * (1.0 + 1e-9)


def test_a_level_tip_of_so_many_grains_is_as_long_as_division_says() -> None:
    built = find_now(LEVEL, Aim.WEIGHT, 154.0 * GRAIN, asked())
    # 14 gr/ft to four figures; the line folded into both loops is of the 154 grains.
    assert built.row.length / FOOT == pytest.approx(11.0 - 2.0 * FOLDED, abs=0.01)
    assert built.line.style is Style.TIP
    bare = find_now(replace(LEVEL, loop=NO_LOOP), Aim.WEIGHT, 154.0 * GRAIN, asked())
    assert bare.row.length / FOOT == pytest.approx(11.0, abs=0.01)


def test_a_built_tip_brings_its_loop_to_the_joint() -> None:
    built = find_now(LEVEL, Aim.WEIGHT, 154.0 * GRAIN, asked())
    of_head = Loop(LoopKind.FOLDED, 2.0 * INCH, 0.5 * GRAIN)
    rig = looped(replace(HEAD, front_loop=of_head), [built.line])
    joint = rig.cast.joints[0]
    assert (joint.loop_ahead, joint.loop_behind) == (built.line.rear_loop, of_head)
    assert joint.loop_ahead.fold == pytest.approx(2.5 * INCH)
    weights = [
        Profile.of(each).total_mass for each in (built.line, replace(HEAD, front_loop=of_head))
    ]
    assert rig.mass == pytest.approx(sum(weights))


def test_the_shelf_must_hold_what_is_folded_back_too() -> None:
    with pytest.raises(Impossible) as impossible:
        finish(of_length(LEVEL, 30 * FOOT, asked()))
    assert "is 29 ft 7 in at the most, its loops left out." in str(impossible.value)
    finish(of_length(replace(LEVEL, loop=NO_LOOP), 30 * FOOT, asked()))
    scrap = Recipe((replace(LEVEL.stocks[0], length=0.7 * FOOT),))
    found = finish(sought(scrap, Aim.WEIGHT, 5 * GRAIN, asked()))
    assert str(found).endswith("is too short for a tip of 6 in with its loops.")
    assert scrap.longest < 0.5 * FOOT


def test_a_depth_that_is_asked_for_is_the_middle_of_what_is_told() -> None:
    built = find_now(LEVEL, Aim.DEPTH, 2.5 * FOOT, asked())
    again = finish(of_length(LEVEL, built.row.length, asked()))
    assert again.row.middle == pytest.approx(2.5 * FOOT, abs=0.01 * FOOT)
    assert again.row.water.band.low < 2.5 * FOOT < again.row.water.band.high


def test_what_the_stock_decides_is_said_and_not_looked_for() -> None:
    words = str(decided_words(LEVEL))
    assert "Level tips of one stock sink alike at any length, and the longer fishes deeper" in words
    assert "decides the step" in str(decided_words(STEPS))
    assert not decided_words(TAPER)
    for aim in (Aim.STEP, Aim.SINK):
        with pytest.raises(Impossible) as impossible:
            find_now(LEVEL, aim, 0.2, asked())
        assert "at any length" in str(impossible.value)


def test_a_tapered_tip_has_a_length_for_a_step() -> None:
    built = find_now(TAPER, Aim.STEP, 0.6, asked())
    assert built.row.joint.step == pytest.approx(0.6, abs=1e-6)
    longer = finish(of_length(TAPER, built.row.length + FOOT, asked()))
    assert longer.row.joint.step > 0.6


def test_what_no_length_gives_is_said_with_what_there_is() -> None:
    found = finish(sought(LEVEL, Aim.WEIGHT, 900.0 * GRAIN, asked()))
    # Half a foot and 29 ft 7 in, and twice 2.5 in that are folded back.
    assert str(found) == "6 in to 29 ft 7 in of this stock give 12.8 gr to 420.0 gr."
    with pytest.raises(Impossible) as impossible:
        finish(of_length(LEVEL, 31 * FOOT, asked()))
    assert "is 29 ft 7 in at the most" in str(impossible.value)


def test_the_steps_of_a_stepped_tip_are_equally_long_and_weld_to_weld() -> None:
    built = find_now(STEPS, Aim.WEIGHT, 132.0 * GRAIN, asked())
    lengths = [segment.length for segment in built.line.segments]
    assert lengths == pytest.approx([lengths[0]] * 3)
    # 8 + 11 + 14 gr/ft, a third of the length each; loops of the first and of the last.
    loops = (8.0 + 14.0) * FOLDED
    assert sum(lengths) / FOOT == pytest.approx((132.0 - loops) / 11.0, abs=0.01)
    assert built.row.slowest < built.row.fastest


# -- a tip of which little is known ------------------------------------------------------------


def test_of_length_and_weight_alone_a_tip_sinks_between_two_rates() -> None:
    stocks = tip_stock(bench_of())
    found = between(10 * FOOT, 110 * GRAIN, stocks, Water())
    assert found is not None
    slow, fast = found
    sinking = [stock.density for stock in stocks if stock.density > 1000.0]
    assert (slow.density, fast.density) == (min(sinking), max(sinking))
    assert slow.sink < fast.sink
    for each in found:
        assert each.diameter / INCH == pytest.approx(
            math.sqrt(11.0 / per_foot(1.0, each.density)), rel=1e-9
        )
        alone = weighed_tip("Tip", 10 * FOOT, 110 * GRAIN, each.diameter)
        assert alone.segments[0].density == pytest.approx(each.density)
        (row,) = studied(alone).rows
        assert row.mass == pytest.approx(110 * GRAIN)
        assert row.fastest == pytest.approx(each.sink)
    assert "Its diameter tells which." in str(between_words(found))
    assert between(10 * FOOT, 110 * GRAIN, (), Water()) is None
