"""Lines looped together: nothing is lost, and taking them apart gives both back."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from taperlab.edits.rows import reverse
from taperlab.model.bench import Bench
from taperlab.model.line import NO_LOOP, Joint, JointKind, Line, Loop, LoopKind, Style
from taperlab.model.segment import Part, Segment
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.physics.trim import join, scaled_to, trim
from taperlab.physics.water import WaterState
from taperlab.units.finding import Impossible
from tests.looped import BODY, BRAIDED, FOLDED, FOOT, GRAIN, INCH, TIP
from tests.strategies import lines_

WATER = WaterState(999.7, 1.306e-3)

pairs = st.tuples(lines_("a", least=1), lines_("b", least=1))


def mass(line: Line) -> float:
    return Profile.of(line).total_mass


@given(pairs)
def test_joined_lines_weigh_what_the_two_do(pair: tuple[Line, Line]) -> None:
    ahead, behind = pair
    assert mass(join(ahead, behind)) == pytest.approx(mass(ahead) + mass(behind), rel=1e-9)


@given(pairs)
def test_joined_lines_balance_where_the_two_together_do(pair: tuple[Line, Line]) -> None:
    ahead, behind = pair
    moments = mass(ahead) * Profile.of(ahead).balance()
    moments += mass(behind) * (ahead.length + Profile.of(behind).balance())
    expected = moments / (mass(ahead) + mass(behind))
    assert Profile.of(join(ahead, behind)).balance() == pytest.approx(expected, rel=1e-9)


@given(pairs)
def test_taken_apart_at_the_joint_each_has_its_own_loop_again(pair: tuple[Line, Line]) -> None:
    ahead, behind = pair
    whole = join(ahead, behind)
    front = trim(whole, 0.0, ahead.length)
    rear = trim(whole, ahead.length, whole.length)
    for back, given_ in ((front, ahead), (rear, behind)):
        assert (back.front_loop, back.rear_loop) == (given_.front_loop, given_.rear_loop)
        assert back.joints == given_.joints
        assert mass(back) == pytest.approx(mass(given_), rel=1e-9)
        assert Profile.of(back).balance() == pytest.approx(
            float(Profile.of(given_).balance()), rel=1e-6
        )


@given(pairs, st.floats(0.01, 0.99))
def test_a_cut_elsewhere_leaves_the_joint_as_it_is_and_makes_no_loop(
    pair: tuple[Line, Line], share: float
) -> None:
    ahead, behind = pair
    whole = join(ahead, behind)
    for at in (share * ahead.length, ahead.length + share * behind.length):
        assume(min(abs(at - start) for start in whole.starts) > 1e-6)
        front, rear = trim(whole, 0.0, at), trim(whole, at, whole.length)
        assert front.rear_loop == rear.front_loop == NO_LOOP
        assert mass(front) + mass(rear) == pytest.approx(mass(whole), rel=1e-9)
        assert (whole.joints[len(ahead.joints)] in front.joints) or at < ahead.length
        assert (whole.joints[len(ahead.joints)] in rear.joints) or at > ahead.length


@given(pairs)
def test_turned_end_for_end_it_is_the_two_turned_and_joined_the_other_way(
    pair: tuple[Line, Line],
) -> None:
    def turned(line: Line) -> Line:
        return reverse(Bench((line,)), line.key).bench.lines[0]

    ahead, behind = pair
    one, other = turned(join(ahead, behind)), join(turned(behind), turned(ahead))
    assert (one.joints, one.front_loop, one.rear_loop) == (
        other.joints,
        other.front_loop,
        other.rear_loop,
    )
    assert one.segments == other.segments


@given(st.tuples(lines_("a", least=1), lines_("b", least=1), lines_("c", least=1)))
def test_it_does_not_matter_which_two_are_joined_first(lines: tuple[Line, Line, Line]) -> None:
    a, b, c = lines
    assert join(join(a, b), c) == join(a, join(b, c))


def test_the_loops_of_tip_and_body_are_in_the_joint() -> None:
    rig = join(TIP, BODY)
    assert rig.joints == (Joint(JointKind.LOOP_TO_LOOP, loop_ahead=FOLDED, loop_behind=FOLDED),)
    assert (rig.key, rig.style) == ("body", Style.SKAGIT)
    assert (rig.front_loop, rig.rear_loop) == (BRAIDED, FOLDED)
    # Rear of the tip and front of the body, folded back over 2 1/2 in each, and what they add.
    profile = Profile.of(rig)
    at_tip = float(Profile.of(TIP).linear_density(TIP.length)) * 2.5 * INCH + 0.4 * GRAIN
    at_body = float(Profile.of(BODY).linear_density(0.0)) * 2.5 * INCH + 0.4 * GRAIN
    step = profile.running_mass(10 * FOOT) - profile.running_mass(10 * FOOT - 1e-9)
    assert step == pytest.approx(at_tip + at_body, rel=1e-6)
    assert profile.point_segments.tolist() == [0, 0, 1, 1]


def test_line_folded_into_the_loops_of_a_joint_has_drag_of_its_own() -> None:
    rig = join(TIP, BODY)
    bare = Line("bare", "bare", segments=rig.segments, joints=(Joint(),))
    folds = Profile.of(rig).volume() - Profile.of(bare).volume()
    # Three ends are folded: the rear of the tip, the front and the rear of the body.
    areas = [math.pi / 4.0 * d**2 for d in (0.044 * INCH, 0.09 * INCH, 0.1 * INCH)]
    assert folds == pytest.approx(2.5 * INCH * sum(areas), rel=1e-9)
    # The same weight as a sleeve has neither volume nor drag, so that rig sinks faster.
    sleeve = Joint(JointKind.LOOP_TO_LOOP, mass=mass(rig) - mass(bare))
    sleeved = replace(bare, joints=(sleeve,))
    assert mass(sleeved) == pytest.approx(mass(rig), rel=1e-12)
    assert Profile.of(sleeved).sink_rate(WATER) > Profile.of(rig).sink_rate(WATER) > 0.0


def test_the_loop_of_the_running_line_is_not_the_heads() -> None:
    running = Line(
        "running",
        "Running",
        segments=(Segment(Part.RUNNING_LINE, 30.0, 0.0008, 0.0008, 900.0),),
        front_loop=Loop(LoopKind.BRAIDED, 0.1, 3 * GRAIN),
    )
    whole = join(BODY, running)
    assert head_of(whole).rear_loop == BODY.rear_loop
    assert mass(head_of(whole)) == pytest.approx(mass(BODY), rel=1e-12)


def test_scaling_a_rig_to_its_weight_leaves_what_the_loops_add() -> None:
    rig = join(TIP, BODY)
    heavier = scaled_to(rig, 1.1 * mass(rig))
    assert mass(heavier) == pytest.approx(1.1 * mass(rig), rel=1e-12)
    assert heavier.joints == rig.joints
    with pytest.raises(Impossible, match="loops and joints alone"):
        scaled_to(rig, rig.added_mass)
    with pytest.raises(Impossible, match="empty line"):
        scaled_to(Line("k", "n"), 1.0)


def test_a_line_without_segments_is_not_joined() -> None:
    with pytest.raises(Impossible, match="without segments"):
        join(TIP, Line("k", "n"))
    with pytest.raises(Impossible, match="without segments"):
        join(Line("k", "n"), BODY)


def test_only_loop_to_loop_has_loops() -> None:
    for kind in JointKind:
        if kind is not JointKind.LOOP_TO_LOOP:
            with pytest.raises(ValueError, match="must be loop to loop"):
                Joint(kind, loop_ahead=FOLDED)
            with pytest.raises(ValueError, match="must be loop to loop"):
                Joint(kind, loop_behind=FOLDED)
