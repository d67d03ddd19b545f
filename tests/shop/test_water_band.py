"""The band of a depth: moved one thing at a time, against drawing all of them together."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from taperlab.model.line import line_of
from taperlab.model.rig import Fly, FlyKind, Leader
from taperlab.model.segment import Part, Segment
from taperlab.physics.current import Stream, swing_factor
from taperlab.physics.rigging import Cases
from taperlab.physics.tight_line import State, hang
from taperlab.physics.water import water_state
from taperlab.shop.rig import Looped, looped
from taperlab.shop.steps import finish
from taperlab.shop.water.band import DRAG, TENTH, Cause, doubts_of
from taperlab.shop.water.fishing import Fishing
from taperlab.shop.water.settling import drift_of, settling_of, tip_and_leader
from taperlab.shop.water.study import compare, depths_against_current, study_now
from taperlab.trade.flies import flies
from tests.looped import FOOT, GRAIN, INCH

USUAL = flies()[FlyKind.USUAL].fly
HEAD = line_of("head", "Head", (Segment(Part.BELLY, 25 * FOOT, 0.09 * INCH, 0.09 * INCH, 860.0),))


def tip(grains: float = 14.0, feet: float = 10.0, inches: float = 0.04, key: str = "tip"):
    density = grains * GRAIN / FOOT / (math.pi / 4.0 * (inches * INCH) ** 2)
    segment = Segment(Part.SINK_TIP, feet * FOOT, inches * INCH, inches * INCH, density)
    return line_of(key, f"Tip of {grains:g}", (segment,))


def rig(grains: float = 14.0, fly: Fly = USUAL, feet: float = 4.0, inches: float = 0.04) -> Looped:
    return looped(HEAD, [tip(grains, inches=inches)], leader=Leader(feet * FOOT), fly=fly)


PACE = Fishing(3.0 * FOOT)


def drawn(asked: Looped, fishing: Fishing, count: int) -> np.ndarray:
    """Depths of rigs in currents that are drawn, all doubts at once."""
    chance = np.random.default_rng(11)
    moved = {
        "speed": np.full(count, fishing.dangle_speed),
        "drag": np.full(count, DRAG[1]),
        "skin": np.full(count, 0.008),
        "thicker": np.zeros(count),
        "denser": np.zeros(count),
        "heavier": np.zeros(count),
    }
    for doubt in doubts_of(asked, fishing):
        middle = {"speed": 1.0, "drag": DRAG[1], "skin": 0.008}.get(doubt.moves, 0.0)
        q = chance.normal(size=count) / TENTH
        value = middle + np.where(q > 0.0, q * (doubt.high - middle), q * (middle - doubt.low))
        if doubt.moves == "speed":
            moved["speed"] = moved["speed"] * value
        else:
            moved[doubt.moves] = np.maximum(value, 1e-4) if middle else value
    return hang(asked.rigging(), Cases(**moved), water_state(fishing.water)).depth


@pytest.mark.parametrize(
    ("asked", "fishing"),
    [
        (rig(), PACE),
        (rig(8.0), Fishing(2.0 * FOOT)),
        (rig(14.0, flies()[FlyKind.WEIGHTED].fly), Fishing(4.0 * FOOT, math.radians(40.0))),
        (rig(17.0, replace(USUAL, kind=FlyKind.OWN)), PACE),
    ],
)
def test_the_band_is_that_of_drawing_everything_at_once(asked: Looped, fishing: Fishing) -> None:
    """Where 1 in 10 drawn depths lie below and above, to 4 % of the depth.

    The sampled tenths of 2,000 are sure to about 2 %, and cost a hundred times as much.
    """
    found = study_now(asked, fishing)
    low, middle, high = np.percentile(drawn(asked, fishing, 2000), [10, 50, 90])
    assert found.band.low == pytest.approx(low, abs=0.04 * middle)
    assert found.band.high == pytest.approx(high, abs=0.04 * middle)


def test_the_causes_are_those_of_the_notes() -> None:
    """A 10 ft, 14 gr/ft tip at 3 ft/s, by another program: its shares of the depth, each way."""
    found = study_now(rig(), PACE)
    effects = {
        each.cause: (each.minus / found.depth, each.plus / found.depth)
        for each in found.band.effects
    }
    assert effects[Cause.CURRENT] == pytest.approx((0.13, 0.17), abs=0.03)
    assert effects[Cause.FLY] == pytest.approx((0.08, 0.20), abs=0.04)
    assert effects[Cause.SKIN] == pytest.approx((0.05, 0.08), abs=0.04)
    assert effects[Cause.DIAMETER] == pytest.approx((0.035, 0.035), abs=0.02)
    assert effects[Cause.DENSITY] == pytest.approx((0.02, 0.04), abs=0.02)
    sizes = [effect.size for effect in found.band.effects]
    assert sizes == sorted(sizes, reverse=True)
    assert found.band.low < found.depth < found.band.high


def test_a_fly_that_was_weighed_is_no_doubt_to_speak_of() -> None:
    own = study_now(rig(fly=replace(USUAL, kind=FlyKind.OWN)), PACE)
    usual = study_now(rig(), PACE)
    assert own.depth == pytest.approx(usual.depth)
    assert own.band.high - own.band.low < usual.band.high - usual.band.low
    assert own.band.effects[-1].cause is Cause.FLY


def test_two_rigs_in_one_current_are_compared_better_than_either_is_known() -> None:
    one, other = study_now(rig(14.0), PACE), study_now(rig(10.0), PACE)
    found = compare(one, other)
    assert found is not None
    assert found.ratio == pytest.approx(one.depth / other.depth)
    assert not found.alike
    assert found.low < found.ratio < found.high
    # The fly and the head are the same, the current too: half of the doubt cancels, or more.
    alone = math.log(one.band.high / one.band.low)
    assert math.log(found.high / found.low) < 0.5 * alone
    back = compare(other, one)
    assert back is not None
    assert back.ratio == pytest.approx(1.0 / found.ratio)
    assert (back.low, back.high) == pytest.approx((1.0 / found.high, 1.0 / found.low), rel=0.02)


def test_rigs_within_five_percent_are_alike() -> None:
    near = compare(study_now(rig(14.0), PACE), study_now(rig(14.4), PACE))
    assert near is not None
    assert near.alike
    floats = study_now(looped(HEAD), PACE)
    assert compare(study_now(rig(), PACE), floats) is None


def test_a_bed_within_the_band_leaves_its_deep_end_open() -> None:
    free = study_now(rig(), PACE)
    bed = Stream((free.depth + free.band.high) / 2.0)
    found = study_now(rig(), replace(PACE, stream=bed))
    assert found.state is State.LEVEL
    assert found.band.low == pytest.approx(free.band.low, rel=0.05)
    assert math.isnan(found.band.high)
    shallow = study_now(rig(), replace(PACE, stream=Stream(0.3)))
    assert shallow.state is State.BOTTOM
    assert math.isnan(shallow.depth)


def test_a_floating_rig_has_no_band() -> None:
    found = study_now(looped(HEAD), PACE)
    assert found.state is State.FLOATS
    assert (found.depth, found.band.low) == (0.0, 0.0)


def test_the_dangle_is_the_floor_of_the_swing() -> None:
    dangle = study_now(rig(), PACE)
    assert float(swing_factor(0.0)) == 1.0
    swung = study_now(rig(), replace(PACE, angle=math.radians(30.0)))
    assert swung.depth > dangle.depth
    slower = study_now(rig(), Fishing(3.0 * FOOT * float(swing_factor(math.radians(30.0)))))
    assert swung.depth == pytest.approx(slower.depth)
    assert Cause.ANGLE in {effect.cause for effect in swung.band.effects}
    assert Cause.ANGLE not in {effect.cause for effect in dangle.band.effects}


def test_many_rigs_and_currents_are_those_of_each_alone() -> None:
    speeds = np.array([1.0, 3.0, 5.0]) * FOOT
    rigs = (rig(10.0), rig(14.0))
    walk = depths_against_current(rigs, PACE, speeds)
    shares = []
    while True:
        try:
            shares.append(next(walk))
        except StopIteration as end:
            curves = end.value
            break
    assert len(shares) > 4
    assert shares == sorted(shares)
    assert 0.0 <= shares[0] < shares[-1] <= 1.0
    for asked, curve in zip(rigs, curves, strict=True):
        assert curve.rig is asked
        for i, speed in enumerate(speeds):
            alone = study_now(asked, Fishing(float(speed)))
            assert curve.depth[i] == pytest.approx(alone.depth, rel=1e-3)
            assert curve.low[i] == pytest.approx(alone.band.low, rel=5e-3)
            assert curve.high[i] == pytest.approx(alone.band.high, rel=5e-3)


def test_many_currents_can_be_left_half_done() -> None:
    walk = depths_against_current((rig(),), PACE, np.array([1.0, 2.0]))
    next(walk)
    walk.close()
    assert finish(depths_against_current((), PACE, np.array([1.0]))) == ()


# -- settling and drift -------------------------------------------------------------------------


def test_a_rig_settles_piece_by_piece() -> None:
    state = water_state(PACE.water)
    found = settling_of(rig(), state)
    assert [str(each.name) for each in found.pieces] == ["fly", "leader", "Tip of 14", "Head"]
    rates = [each.rate for each in found.pieces]
    assert found.tip == rates[2]
    assert found.fly_slow == min(rates[0], rates[2])
    assert found.fly_fast == max(rates[0], rates[2])
    assert rates[3] < 0.0
    # Weight against drag: W g = rho C_d A v^2 / 2.
    drag = 0.5 * state.density * USUAL.drag_area * rates[0] ** 2
    assert drag == pytest.approx(USUAL.weight * 9.80665)
    assert math.isnan(settling_of(looped(HEAD), state).tip)


def test_a_drift_is_forgotten_and_nothing_is_told_before_it_is_known() -> None:
    """As z_eq + (z0 - z_eq) exp(-(U t / (c L))^2), c 1.1 sinking and 2.0 lifting."""
    state = water_state(PACE.water)
    asked = rig()
    length = tip_and_leader(asked, state)
    assert length == pytest.approx(14.0 * FOOT)
    settled = 0.8
    rate = settling_of(asked, state).tip
    short = drift_of(asked, state, 1.0, 1.0, settled)
    assert short.tip_depth == pytest.approx(rate)
    assert short.then[0].seconds == pytest.approx(1.5 * length)
    begin = rate - settled
    assert short.then[0].depth == pytest.approx(settled + begin * math.exp(-((1.5 / 1.1) ** 2)))
    long = drift_of(asked, state, 20.0, 1.0, settled)
    lifted = settled + (20.0 * rate - settled) * math.exp(-((1.5 / 2.0) ** 2))
    assert long.then[0].depth == pytest.approx(lifted)
    depths = [abs(moment.depth - settled) for moment in long.then]
    assert depths == sorted(depths, reverse=True)
    assert drift_of(asked, state, 4.0, 1.0, math.nan).then == ()
    assert drift_of(asked, state, 4.0, 0.0, settled).then == ()
