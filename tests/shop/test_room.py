"""What is told of the room behind: habits, the head turned round, a drawing."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from taperlab.model.casting import Cast, LoopBehind
from taperlab.model.exact_units import FOOT
from taperlab.model.rig import Leader
from taperlab.model.segment import Part
from taperlab.shop.rig import looped
from taperlab.shop.room.study import Parts, RoomStudy, drawn, longest, on_water_of, study
from taperlab.shop.room.words import figure_words, longest_words, room_words
from taperlab.units.kinds import System
from taperlab.units.sentence import render
from tests.looped import BODY, TIP

ROD = 13.0 * FOOT
SCANDI = Parts(37.0 * FOOT, 0.0, 12.0 * FOOT)
SUSTAINED = LoopBehind(Cast.SUSTAINED)

parts = st.builds(Parts, st.floats(5.0, 25.0), st.floats(0.0, 5.0), st.floats(0.0, 5.0))
behinds = st.builds(
    LoopBehind, st.sampled_from(Cast), st.floats(0.0, 0.8), wading=st.floats(0.0, 1.2)
)


def test_what_lies_on_the_water_does_not_hang() -> None:
    whole = Parts(25.0 * FOOT, 10.0 * FOOT, 4.0 * FOOT)
    assert on_water_of(LoopBehind(), whole) == pytest.approx(4.0 * FOOT)
    assert on_water_of(SUSTAINED, whole) == pytest.approx(14.0 * FOOT)
    assert study(whole, ROD, LoopBehind()).line == pytest.approx(36.0 * FOOT)
    assert study(whole, ROD, SUSTAINED).line == pytest.approx(26.0 * FOOT)
    told = replace(SUSTAINED, on_water=2.0 * FOOT, overhang=0.0)
    assert study(whole, ROD, told).line == pytest.approx(37.0 * FOOT)


def test_the_tip_of_a_rig_is_what_is_looped_ahead_or_sinks_in_front() -> None:
    rig = looped(BODY, [TIP], (), Leader(1.2))
    assert Parts.of(rig) == Parts(20.0 * FOOT, 10.0 * FOOT, 1.2)
    assert Parts.of(looped(BODY)).tip == 0.0
    # A line that is all tip is the head of its own cast.
    assert Parts.of(looped(TIP)) == Parts(10.0 * FOOT)
    joined = replace(
        BODY,
        segments=(replace(TIP.segments[0], part=Part.SINK_TIP), *BODY.segments),
        joints=looped(BODY, [TIP]).cast.joints,
    )
    assert Parts.of(looped(joined)).tip == pytest.approx(10.0 * FOOT)


def moved(behind: LoopBehind, rod: float, ahead: float, lean: float) -> LoopBehind:
    """As one's habits have it: so many quarters of a rod ahead, so many times ten degrees."""
    peel = study(SCANDI, rod, behind).ends.peel_ahead + ahead * 0.25 * rod
    leant = behind.lean + lean * math.radians(10.0)
    return replace(behind, lean=max(0.0, leant), peel=max(0.0, peel))


@given(parts, behinds, st.floats(3.0, 5.0), st.floats(-1.0, 1.0), st.floats(-1.0, 1.0))
def test_the_band_holds_whatever_one_s_habits_are(
    what: Parts, behind: LoopBehind, rod: float, ahead: float, lean: float
) -> None:
    found = study(what, rod, behind)
    corners = [moved(behind, rod, *each) for each in itertools.product((-1.0, 1.0), repeat=2)]
    assume(all(study(what, rod, each).loop for each in corners))
    other = study(what, rod, moved(behind, rod, ahead, lean))
    assert found.low - 0.02 * rod <= other.round <= found.high + 1e-9
    assert found.low - 0.02 * rod <= other.pointed <= found.high + 1e-9


@given(parts, behinds, st.floats(3.0, 5.0))
def test_a_head_as_long_as_the_room_takes_wants_that_room(
    what: Parts, behind: LoopBehind, rod: float
) -> None:
    found = study(what, rod, behind)
    if found.loop and found.round > 0.1:
        turned = longest(what, rod, behind, found.round)
        again = study(replace(what, head=turned.round), rod, behind)
        assert again.round == pytest.approx(found.round, abs=1e-6)
        assert turned.low <= turned.round <= turned.high


def test_a_loop_that_stays_ahead_wants_none() -> None:
    far = LoopBehind(Cast.SUSTAINED, lean=0.0, peel=6.0, ahead=4.0)
    assert study(Parts(9.0), 4.0, far).round == 0.0


def test_too_little_line_is_not_no_room() -> None:
    found = study(Parts(10.0 * FOOT), ROD, LoopBehind())
    assert not found.loop
    assert math.isnan(found.round)
    said = render(room_words(found), System.US)
    assert "No loop" in said
    assert "not the same as no room" in said
    assert not len(drawn(found).round)


def test_said_in_whole_feet() -> None:
    found = study(SCANDI, ROD, LoopBehind(wading=2.0 * FOOT))
    figure, below = (render(each, System.US) for each in figure_words(found))
    assert figure == f"{found.round / FOOT:.0f} to {found.pointed / FOOT:.0f} ft"
    assert below == f"{found.low / FOOT:.0f} to {found.high / FOOT:.0f} ft with your habits"
    metric = render(figure_words(found)[0], System.METRIC)
    assert metric.endswith(" m")
    assert all(float(each) % 0.5 == 0.0 for each in metric.removesuffix(" m").split(" to "))


def test_a_room_smaller_than_the_rod_reaches_back_takes_no_head() -> None:
    turned = longest(SCANDI, ROD, LoopBehind(), 2.0 * FOOT)
    assert math.isnan(turned.round)
    assert "No head is short enough" in str(longest_words(turned))


def sides(found: RoomStudy) -> tuple[float, float]:
    picture = drawn(found)
    return -float(picture.round[:, 0].min()), -float(picture.pointed[:, 0].min())


def test_the_drawing_is_of_what_is_said() -> None:
    for cast in Cast:
        found = study(SCANDI, ROD, LoopBehind(cast, wading=2.0 * FOOT))
        assert sides(found) == pytest.approx((found.round, found.pointed), abs=0.01)
        picture = drawn(found)
        rod = np.linalg.norm(picture.rod[1] - picture.rod[0])
        assert rod == pytest.approx(ROD)
        assert picture.rod[0] == pytest.approx([1.0 * FOOT, 0.0, 3.0 * FOOT])
        assert picture.round[0] == pytest.approx(picture.rod[1])
        assert picture.round[-1] == pytest.approx(picture.water[0])
        lies = float(np.linalg.norm(picture.water[1] - picture.water[0]))
        assert lies == pytest.approx(on_water_of(found.behind, SCANDI))
