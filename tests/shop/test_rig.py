"""Lines looped into a rig: what belongs to which, and where running line goes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from taperlab.model.bench import Bench
from taperlab.model.line import Joint, JointKind, Line
from taperlab.model.rig import Fly, FlyKind, Leader, Rig
from taperlab.model.segment import Part, Segment
from taperlab.model.water import Water
from taperlab.physics.profile import Profile
from taperlab.physics.trim import join
from taperlab.shop.analyse import analyse_line
from taperlab.shop.rig import looped, of_rig
from taperlab.trade.flies import flies, weights_of
from taperlab.units.finding import Impossible
from tests.looped import BODY, BRAIDED, FOOT, GRAIN, INCH, TIP

EXTENSION = replace(
    BODY,
    key="extension",
    name="Extension",
    segments=(Segment(Part.EXTENSION, 4 * FOOT, 0.1 * INCH, 0.09 * INCH, 860.0),),
)
RUNNING = Line(
    "running",
    "Running",
    segments=(Segment(Part.RUNNING_LINE, 100 * FOOT, 0.035 * INCH, 0.035 * INCH, 900.0),),
    front_loop=BRAIDED,
)
FULL = replace(join(BODY, RUNNING), key="body", name="Body")


def mass(line: Line) -> float:
    return Profile.of(line).total_mass


def test_a_line_alone_is_itself() -> None:
    rig = looped(FULL)
    assert rig.whole is FULL
    assert rig.cast.length == pytest.approx(20 * FOOT)
    assert rig.names == ("Body",)
    assert rig.joints == ()
    assert rig.tip is None


def test_lines_are_looped_in_order_and_running_line_stays_last() -> None:
    rig = looped(FULL, [TIP], [EXTENSION])
    parts = [segment.part for segment in rig.whole.segments]
    assert parts == [Part.SINK_TIP, Part.BELLY, Part.EXTENSION, Part.RUNNING_LINE]
    assert rig.names == ("Tip", "Body", "Extension")
    assert [span.start / FOOT for span in rig.spans] == pytest.approx([0.0, 10.0, 30.0])
    assert [span.end / FOOT for span in rig.spans] == pytest.approx([10.0, 30.0, 34.0])
    assert rig.mass == pytest.approx(mass(TIP) + mass(BODY) + mass(EXTENSION), rel=1e-12)
    assert mass(rig.whole) == pytest.approx(rig.mass + mass(RUNNING), rel=1e-12)
    head = analyse_line(rig.whole, Water()).head
    assert head is not None
    assert head.mass == pytest.approx(rig.mass, rel=1e-12)
    # It is known as the head is.
    assert (rig.whole.key, rig.whole.style) == (FULL.key, FULL.style)


def test_joints_tell_the_step() -> None:
    rig = looped(BODY, [TIP])
    (joint,) = rig.joints
    profile = Profile.of(rig.cast)
    assert joint.position == pytest.approx(10 * FOOT)
    assert joint.ahead == pytest.approx(float(profile.linear_density(joint.position, 0)))
    assert joint.behind == pytest.approx(float(profile.linear_density(joint.position, 1)))
    assert joint.step == pytest.approx(joint.ahead / joint.behind)


def test_several_tips_are_one_tip() -> None:
    short = replace(TIP, key="short", name="Short")
    tip = looped(BODY, [short, TIP]).tip
    assert tip is not None
    assert tip.length == pytest.approx(20 * FOOT)


def test_a_rig_of_a_bench() -> None:
    bench = Bench(lines=(FULL, TIP, EXTENSION))
    leader, fly = Leader(1.2), flies()[FlyKind.LIGHT].fly
    rig = Rig("rig", "Winter", "body", ("tip",), "extension", leader, fly)
    found = of_rig(rig, bench)
    assert found == looped(FULL, [TIP], [EXTENSION], leader, fly)
    with pytest.raises(Impossible, match="no longer on the bench"):
        of_rig(replace(rig, ahead=("gone",)), bench)


def test_what_has_no_head_is_named() -> None:
    with pytest.raises(Impossible, match="Running: This line is all handling or running line"):
        looped(BODY, [RUNNING])


@pytest.mark.parametrize(
    ("wrong", "why"),
    [
        ({"head": ""}, "needs a head"),
        ({"ahead": ("body",)}, "same line twice"),
        ({"behind": "body"}, "same line twice"),
    ],
)
def test_a_rig_that_cannot_be_is_refused(wrong: dict[str, str], why: str) -> None:
    with pytest.raises(ValueError, match=why):
        replace(Rig("rig", "Winter", "body"), **wrong)


def test_flies_by_word_weigh_between_what_the_word_allows() -> None:
    assert set(flies()) == set(FlyKind) - {FlyKind.OWN}
    for kind, told in flies().items():
        assert told.fly.kind is kind
        assert told.lightest <= told.fly.weight <= told.heaviest
        assert told.fly.weight < told.fly.mass
    own = Fly(5 * GRAIN, 8 * GRAIN, 1e-4)
    assert weights_of(own) == pytest.approx((4.5 * GRAIN, 5.5 * GRAIN))


def test_an_extension_takes_the_loop_that_met_the_running_line() -> None:
    joint = Joint(JointKind.LOOP_TO_LOOP, loop_ahead=BODY.rear_loop, loop_behind=BRAIDED)
    assert FULL.joints[-1] == joint
    whole = looped(FULL, behind=[EXTENSION]).whole
    assert whole.joints[0].loop_ahead == BODY.rear_loop
    assert whole.joints[-1].loop_behind == BRAIDED
