"""A rig looked at as one line: its figures, what a rod judges of it, what is said of its joints."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from taperlab.model.bench import Bench, View
from taperlab.model.line import ONE_EXTRUSION, Joint, JointKind, Line, Loop, Style
from taperlab.model.rig import Leader, Rig
from taperlab.model.rod import Measured, Rod, Window
from taperlab.model.segment import Part, Segment
from taperlab.model.water import Water
from taperlab.physics.profile import Profile
from taperlab.shop.analyse import analyse_line
from taperlab.shop.joints import hinge_words, joint_name, loops_words, step_words
from taperlab.shop.rig import Carry, looped
from taperlab.shop.whole import in_hand, whole_line, whole_rig
from taperlab.shop.wording import judged_words, place_on_rod, ratio_words
from taperlab.trade.windows import Place
from taperlab.units.finding import Level
from tests.looped import BODY, FOOT, GRAIN, INCH, TIP

WATER = Water()
EXTENSION = Line(
    "extension",
    "Extension",
    segments=(Segment(Part.EXTENSION, 4 * FOOT, 0.1 * INCH, 0.09 * INCH, 860.0),),
)
HEAVY = replace(
    TIP,
    key="heavy",
    name="Heavy",
    segments=(Segment(Part.SINK_TIP, 10 * FOOT, 0.06 * INCH, 0.06 * INCH, 6000.0),),
)


def mass(line: Line) -> float:
    return Profile.of(line).total_mass


def rod(measured: Measured, low: float, high: float, style: Style = Style.SKAGIT) -> Rod:
    window = Window(style, low, high, measured_on=measured)
    return Rod("rod", "Rod", 13 * FOOT, windows=(window,))


def test_the_window_judges_the_head_alone_unless_it_says_otherwise() -> None:
    rig = whole_rig(looped(BODY, [TIP]), WATER)
    head, together = mass(BODY), mass(BODY) + mass(TIP)
    for measured, weighs in ((Measured.HEAD, head), (Measured.HEAD_AND_TIP, together)):
        fit = rig.on_rod(rod(measured, weighs - GRAIN, weighs + GRAIN))
        assert fit is not None
        assert (fit.judged, fit.place) == (measured, Place.INSIDE)
        assert fit.mass == pytest.approx(weighs, rel=1e-12)
        other = rig.on_rod(rod(measured, weighs + GRAIN, weighs + 2 * GRAIN))
        assert other is not None
        assert other.place is Place.BELOW
    alone = rig.on_rod(rod(Measured.HEAD, 0.01, 0.02))
    both = rig.on_rod(rod(Measured.HEAD_AND_TIP, 0.01, 0.02))
    assert alone is not None
    assert both is not None
    assert str(judged_words(alone)) == "the head alone"
    assert str(judged_words(both)) == "head and tip"


def test_what_is_asked_outdoes_what_the_window_says() -> None:
    rig = whole_rig(looped(BODY, [TIP]), WATER)
    fit = rig.on_rod(rod(Measured.HEAD, 0.01, 0.02), judged=Measured.HEAD_AND_TIP)
    assert fit is not None
    assert fit.judged is Measured.HEAD_AND_TIP
    assert fit.mass == pytest.approx(mass(BODY) + mass(TIP), rel=1e-12)


def test_a_window_of_head_and_tip_does_not_judge_a_head_alone_but_one_too_heavy_by_itself() -> None:
    body = whole_line(BODY, WATER)
    fit = body.on_rod(rod(Measured.HEAD_AND_TIP, mass(BODY) - GRAIN, mass(BODY) + GRAIN))
    assert fit is not None
    assert fit.place is None
    assert str(place_on_rod(fit)) == "the grain window is for head and tip: loop a tip to it"
    heavy = body.on_rod(rod(Measured.HEAD_AND_TIP, 0.001, mass(BODY) - GRAIN))
    assert heavy is not None
    assert heavy.place is Place.ABOVE
    assert heavy.findings[0].level is Level.CAUTION
    # Looped to an extension it still has no tip.
    longer = whole_rig(looped(BODY, behind=[EXTENSION]), WATER)
    fit = longer.on_rod(rod(Measured.HEAD_AND_TIP, 0.001, 1.0))
    assert fit is not None
    assert fit.place is None


@pytest.mark.parametrize(
    ("style", "feet", "counted"),
    [
        (Style.SKAGIT, 30.0, "(body and tip)"),
        (Style.SCANDI, 20.0, "(head, without leader)"),
        (Style.OTHER, 20.0, "(head)"),
    ],
)
def test_the_ratio_counts_what_the_practice_of_the_style_counts(
    style: Style, feet: float, counted: str
) -> None:
    leader = Leader(12 * FOOT)
    rig = looped(replace(BODY, style=style), [TIP], leader=leader)
    fit = whole_rig(rig, WATER).on_rod(rod(Measured.HEAD, 0.01, 0.02))
    assert fit is not None
    assert fit.ratio == pytest.approx(feet / 13.0)
    assert str(ratio_words(fit)).endswith(counted)
    longer = looped(replace(BODY, style=style), [TIP], [EXTENSION], leader)
    fit = whole_rig(longer, WATER).on_rod(rod(Measured.HEAD, 0.01, 0.02))
    assert fit is not None
    assert fit.ratio == pytest.approx((feet + 4.0) / 13.0)
    assert str(ratio_words(fit)).endswith(counted.replace(")", ", with the extension)"))


def test_a_body_with_an_extension_alone_is_no_more_judged_than_a_body() -> None:
    fit = whole_rig(looped(BODY, behind=[EXTENSION]), WATER).on_rod(rod(Measured.HEAD, 0.01, 0.02))
    assert fit is not None
    assert not fit.judges_ratio


def test_a_floating_tip_counts_as_a_tip_too() -> None:
    floating = replace(
        TIP, segments=(Segment(Part.FRONT_TAPER, 10 * FOOT, 0.04 * INCH, 0.08 * INCH, 870.0),)
    )
    fit = whole_rig(looped(BODY, [floating]), WATER).on_rod(rod(Measured.HEAD, 0.01, 0.02))
    assert fit is not None
    assert fit.judges_ratio


def test_sink_tips_of_no_said_style_are_told_as_a_tip() -> None:
    """Their parts say what they are; a head that sinks all over has a belly."""
    fit = whole_line(replace(TIP, style=Style.OTHER), WATER).on_rod(length=13 * FOOT)
    assert fit is not None
    assert "a tip" in str(fit.reading.words)
    head = Line("h", "Sinking", segments=(Segment(Part.BELLY, 9.0, 0.002, 0.002, 1200.0),))
    fit = whole_line(head, WATER).on_rod(length=13 * FOOT)
    assert fit is not None
    assert "a short head" in str(fit.reading.words)


def test_both_loops_of_a_joint_are_weighed() -> None:
    """Each is 2.5 in of line folded back and 0.4 gr: worked out by hand."""
    (joint,) = looped(BODY, [TIP]).joints
    fold = 2.5 * INCH
    tip = 3800.0 * math.pi * (0.044 * INCH) ** 2 / 4.0 * fold
    body = 870.0 * math.pi * (0.09 * INCH) ** 2 / 4.0 * fold
    assert joint.loops == pytest.approx(tip + body + 0.8 * GRAIN, rel=1e-12)
    assert joint.lines == ("Tip", "Body")
    assert str(joint_name(joint)) == "Tip to Body"
    assert str(loops_words(joint)) == f"Both loops weigh {joint.loops / GRAIN:.2f} gr."
    bare = replace(TIP, rear_loop=Loop()), replace(BODY, front_loop=Loop())
    (joint,) = looped(bare[1], [bare[0]]).joints
    assert joint.loops == 0.0
    assert "no loops" in str(loops_words(joint))


def test_a_step_is_read_in_words_and_not_judged_within_a_caliper() -> None:
    """A thousandth of an inch on 0.06 and on 0.09 in is 2 × sqrt((1/60)² + (1/90)²) = 4 %."""
    (joint,) = looped(BODY, [HEAVY]).joints
    assert joint.error == pytest.approx(2.0 * math.hypot(1.0 / 60.0, 1.0 / 90.0))
    assert joint.carry is Carry.HINGES
    assert "which must carry it" in str(hinge_words(joint))
    assert "A caliper leaves 4 %: a step up by less is not judged." in str(step_words(joint))
    near = replace(HEAVY, segments=(replace(HEAVY.segments[0], density=870.0 * 1.02 * 2.25),))
    (joint,) = looped(BODY, [near]).joints
    assert joint.step == pytest.approx(1.02)
    assert joint.carry is Carry.UNSURE
    assert "Too close to tell" in str(hinge_words(joint))


def test_findings_name_the_line_or_the_joint_they_are_of() -> None:
    step = replace(
        BODY,
        segments=(
            Segment(Part.FRONT_TAPER, 2 * FOOT, 0.09 * INCH, 0.1 * INCH, 870.0),
            Segment(Part.BELLY, 20 * FOOT, 0.08 * INCH, 0.08 * INCH, 870.0),
        ),
        joints=(ONE_EXTRUSION,),
    )
    found = whole_rig(looped(step, [HEAVY], [EXTENSION]), WATER).analysis.findings
    said = [(str(each.sentence), each.segment) for each in found]
    assert [row for _, row in said] == [0, 1]
    assert said[0][0].startswith("Heavy is ")
    assert "at the joint as Body, which must carry it" in said[0][0]
    assert said[1][0].startswith("Body: Segment 1 is 1.56 times as heavy per foot")


def test_what_is_in_hand_is_the_rig_as_long_as_the_current_line_is_in_it() -> None:
    rig = Rig("rig", "Winter", "body", ("tip",))
    bench = Bench(lines=(BODY, TIP, EXTENSION), rigs=(rig,), view=View("tip", rig="rig"))
    whole = in_hand(bench)
    assert whole is not None
    assert (whole.key, whole.name, whole.line.name) == ("rig", "Winter", "Winter")
    assert whole.joints == pytest.approx((10 * FOOT,))
    assert whole.head is not None
    assert whole.head.mass == pytest.approx(mass(BODY) + mass(TIP), rel=1e-12)
    other = in_hand(replace(bench, view=View("extension", rig="rig")))
    assert other is not None
    assert (other.key, other.looped) == ("extension", None)
    assert in_hand(Bench()) is None


def test_the_figures_of_the_head_alone_are_those_of_its_line() -> None:
    """Running line and what joins it lie behind the head, and count in none of its figures."""
    running = replace(
        BODY,
        segments=(*BODY.segments, Segment(Part.RUNNING_LINE, 90 * FOOT, 0.001, 0.001, 900.0)),
        joints=(Joint(JointKind.BUTT_WELD, mass=2 * GRAIN),),
    )
    rig = whole_rig(looped(running, [TIP]), WATER)
    assert rig.parts is not None
    assert rig.parts.head == analyse_line(running, WATER).head


def test_which_line_lies_where() -> None:
    running = replace(
        BODY,
        segments=(*BODY.segments, Segment(Part.RUNNING_LINE, 90 * FOOT, 0.001, 0.001, 900.0)),
        joints=(ONE_EXTRUSION,),
    )
    rig = whole_rig(looped(running, [TIP], [EXTENSION]), WATER)
    places = [0.0, 9.9, 10.1, 29.9, 33.0, 60.0]
    assert [rig.member_at(feet * FOOT) for feet in places] == [0, 0, 1, 1, 2, 1]
    assert whole_line(BODY, WATER).member_at(1.0) == 0
