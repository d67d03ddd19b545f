"""Rigs side by side in one current, what can be fished of a bench, and how a rig is drawn."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from taperlab.files.native import read_bench
from taperlab.model.bench import Bench
from taperlab.model.line import Style
from taperlab.model.rig import FlyKind, Leader, Rig
from taperlab.model.swing import Swing
from taperlab.physics.current import Stream
from taperlab.physics.tight_line import State
from taperlab.physics.water import water_state
from taperlab.shipped import sample
from taperlab.shop.rig import looped
from taperlab.shop.steps import finish
from taperlab.shop.water.asking import CLOCK, PACES, leaf_speed
from taperlab.shop.water.band import Cause, Effect
from taperlab.shop.water.choices import MOST, choices, compared
from taperlab.shop.water.drawn import SECONDS, drawn, falls
from taperlab.shop.water.fishing import Fishing
from taperlab.shop.water.settling import Settling, settling_of
from taperlab.shop.water.study import depths_against_current, study_now
from taperlab.shop.water.together import ASIDE, lying, together
from taperlab.shop.water.words import (
    aside_words,
    causes,
    curve_words,
    effect_words,
    falls_words,
    figure_words,
    ratio_words,
)
from tests.shop.test_water_band import HEAD, PACE, rig

FOOT = 0.3048


@pytest.fixture
def bench() -> Bench:
    return read_bench(sample("rigs.taperlab"))


def test_the_rigs_come_first_then_what_is_looped_on_the_spot(bench: Bench) -> None:
    every, why = choices(bench)
    # All three tips are in a rig already; the body alone is left.
    assert [(each.kept, each.rig.lines) for each in every] == [
        (True, ("line-3", "line-1")),
        (True, ("line-2", "line-1")),
        (True, ("line-4", "line-1")),
        (False, ("line-1",)),
    ]
    assert not why
    assert all(each.looped.leader == bench.swing.leader for each in every)
    assert all(each.looped.fly and each.looped.fly.kind is FlyKind.USUAL for each in every)
    loose, _ = choices(replace(bench, rigs=()))
    assert [each.rig.lines for each in loose] == [
        ("line-2", "line-1"),
        ("line-3", "line-1"),
        ("line-4", "line-1"),
        ("line-1",),
    ]


def test_a_tip_that_is_current_is_looped_to_nothing(bench: Bench) -> None:
    bench = replace(bench, rigs=(), view=replace(bench.view, line="line-2"))
    every, _ = choices(bench)
    assert [each.rig.lines for each in every] == [("line-2",)]


def test_what_cannot_be_fished_is_left_out_and_said(bench: Bench) -> None:
    empty = replace(bench.lines[0], segments=(), joints=())
    every, why = choices(replace(bench, lines=(empty, *bench.lines[1:])))
    assert every == ()
    assert "Skagit body, 23 ft" in str(why)
    none, why = choices(Bench())
    assert none == ()
    assert str(why).startswith("Put a line on the bench first")


def test_rigs_are_compared_with_rigs_and_no_more_than_can_be_told_apart(bench: Bench) -> None:
    every, _ = choices(bench)
    assert [each.key for each in compared(every, every[1])] == ["rig-2", "rig-1", "rig-3"]
    assert [each.key for each in compared(every, every[3])][1:] == ["rig-1", "rig-2", "rig-3"]
    many = tuple(Rig(f"r{i}", f"R{i}", "line-1", ("line-2",)) for i in range(12))
    every, _ = choices(replace(bench, rigs=many))
    assert len(compared(every, every[5])) == MOST
    assert compared(every, every[5])[0] is every[5]


def test_together_is_each_by_itself_and_the_ratios() -> None:
    light, heavy = rig(8.0), rig()
    found = finish(together((heavy, light), PACE))
    one, other = study_now(heavy, PACE), study_now(light, PACE)
    assert [each.depth for each in found.studies] == [one.depth, other.depth]
    assert found.aside.fishing.angle == ASIDE
    # By hand: a ratio of the two depths.
    (against,) = found.against
    assert against is not None
    assert against.ratio == pytest.approx(other.depth / one.depth)
    assert str(ratio_words(against)).endswith("% shallower")
    swung = finish(together((heavy,), replace(PACE, angle=math.radians(40.0))))
    assert swung.aside.fishing.angle == 0.0
    assert str(aside_words(swung.aside)).endswith("straight below")
    (same,) = finish(together((heavy, rig()), PACE)).against
    assert str(ratio_words(same)) == "equal, within 5 %"


def test_the_line_alone_lies_as_the_study_has_it() -> None:
    line, found = lying(rig(), PACE), study_now(rig(), PACE)
    assert float(line.shape.depth[0]) == pytest.approx(found.depth, rel=1e-4)  # other steps
    assert line.is_seen
    assert line.comes_level
    assert not lying(rig(), replace(PACE, stream=Stream(0.3))).is_seen


def test_the_pieces_are_drawn_end_to_end_at_their_lengths() -> None:
    fished = rig()
    picture = drawn(lying(fished, PACE))
    whole = sum(
        float(np.hypot(np.diff(each.x), np.diff(each.depth)).sum()) for each in picture.pieces
    )
    leader = fished.leader.length if fished.leader else 0.0
    assert whole == pytest.approx(fished.cast.length + leader, rel=1e-3)  # chords of a curve
    for one, other in zip(picture.pieces, picture.pieces[1:], strict=False):
        assert (one.x[-1], one.depth[-1]) == pytest.approx((other.x[0], other.depth[0]))
    assert picture.fly == (picture.pieces[0].x[0], picture.pieces[0].depth[0])
    assert picture.pieces[-1].is_head
    assert picture.pieces[-1].depth[-1] == 0.0
    assert picture.pieces[-1].x[-1] == pytest.approx(-picture.flat)
    # A joint lies where its two lines meet.
    (joint,) = picture.joints
    assert joint == pytest.approx((picture.pieces[-1].x[0], picture.pieces[-1].depth[0]))
    assert 0.0 < picture.slope < math.pi / 2.0


def test_still_water_hangs_straight_and_a_floating_line_lies_flat() -> None:
    still = drawn(lying(rig(), Fishing(0.0)))
    assert max(float(np.abs(each.x).max()) for each in still.pieces) < 1e-6
    assert math.degrees(still.slope) == pytest.approx(90.0)
    floats = drawn(lying(looped(HEAD), PACE))
    assert floats.fly[1] == 0.0
    assert floats.flat == pytest.approx(HEAD.length, rel=1e-3)  # less where it begins


def test_settling_stops_at_the_bed_and_by_hand_at_ten_seconds() -> None:
    settling = Settling((), 0.2, 0.1, math.inf)
    open_water = falls(settling, math.inf)
    assert open_water.tip is not None
    assert open_water.slow is not None
    assert open_water.tip.depth == pytest.approx(0.2 * SECONDS)
    assert not open_water.tip.on_bed
    assert open_water.fast is None  # it would be anywhere at once
    over = falls(settling, 1.0)
    assert over.tip is not None
    assert over.slow is not None
    assert over.fast is not None
    assert (over.tip.seconds, over.tip.depth) == pytest.approx((5.0, 1.0))
    assert over.tip.on_bed
    assert over.slow.seconds == pytest.approx(10.0)
    assert over.fast.seconds == 0.0
    assert over.fast.on_bed
    assert str(falls_words(over)) == "The tip, at 7.9 in/s, is on the bed in 5 s."
    rises = falls(Settling((), -0.1, math.nan, math.nan), 1.0)
    assert rises.slow is None
    assert str(falls_words(rises)) == "The tip floats."
    bare = falls(settling_of(looped(HEAD), water_state(PACE.water)), 1.0)
    assert str(falls_words(bare)) == "Nothing of this rig sinks ahead of its head."


def test_the_figure_in_words_or_why_there_is_none() -> None:
    figure, below = figure_words(study_now(rig(), PACE))
    assert " to " in str(figure)
    assert str(below) == "down, eight times in ten"
    bottom = study_now(rig(), replace(PACE, stream=Stream(0.3)))
    assert bottom.state is State.BOTTOM
    assert str(figure_words(bottom)[0]) == "On the bottom"
    assert causes(bottom) == ()
    near = study_now(rig(), PACE)
    near = replace(near, band=replace(near.band, high=math.nan))
    assert str(figure_words(near)[0]).endswith(" or more")
    floats = study_now(looped(HEAD), PACE)
    assert str(figure_words(floats)[0]) == "At the surface"


def test_effects_are_told_as_roughly_as_the_depth() -> None:
    def said(minus: float, plus: float) -> str:
        return str(effect_words(Effect(Cause.FLY, minus * FOOT, plus * FOOT)))

    assert said(0.5, 0.26) == "½ ft shallower, ¼ ft deeper"
    assert said(0.01, 0.5) == "½ ft deeper"
    assert said(0.5, 0.01) == "½ ft shallower"
    assert said(0.01, 0.02) == "hardly any, either way"
    assert said(0.5, math.nan) == "½ ft shallower, or on the bottom"


def test_a_curve_is_read_between_its_speeds_and_not_off_the_bottom() -> None:
    fishing = Fishing(1.0, stream=Stream(0.6))
    (curve,) = finish(depths_against_current([rig()], fishing, np.array([0.3, 1.5, 1.8])))
    assert str(curve_words("It", curve, 0.3)) == "It: on the bottom."
    read = str(curve_words("It", curve, 1.8))
    assert read.startswith("It: ")
    assert " to " in read


def test_a_leaf_and_the_words_for_a_current() -> None:
    assert leaf_speed(10 * FOOT, 4.0) == pytest.approx(2.5 * FOOT)
    assert [each.speed / FOOT for each in PACES] == pytest.approx([2.0, 3.0, 5.0])
    # Twelve is upstream and six downstream, so an hour is 30 degrees.
    assert [math.degrees(each.angle) for each in CLOCK] == pytest.approx([0, 15, 30, 45, 60])


def test_the_sample_holds_what_it_should(bench: Bench) -> None:
    assert isinstance(bench.swing, Swing)
    assert bench.swing.leader == Leader(4 * FOOT)
    assert all(bench.line(rig.ahead[0]).style is Style.TIP for rig in bench.rigs)
