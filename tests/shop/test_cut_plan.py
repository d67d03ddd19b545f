"""One cut to a target: what comes off, what is left, and when there is no such cut."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.model.cut_log import CutEnd, Limits, NewLoop, Target, TargetKind
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, Style, line_of
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Part, Segment
from taperlab.model.water import Water
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.shop.analyse import analyse_line
from taperlab.shop.cut_back.goal import Goal, NoPlan
from taperlab.shop.cut_back.meter import Meter
from taperlab.shop.cut_back.one_cut import Plan, cut_at
from taperlab.shop.cut_back.plan import plan_cut
from taperlab.shop.cut_back.terms import Terms


def density(grains_per_foot: float, diameter: float) -> float:
    return grains_per_foot * GRAIN / FOOT / (math.pi / 4.0 * diameter**2)


LEVEL = line_of(
    "level",
    "Level body",
    (Segment(Part.BELLY, 30 * FOOT, 0.09 * INCH, 0.09 * INCH, density(20.0, 0.09 * INCH)),),
)
HEAD = Line(
    "head",
    "Long front",
    Style.SCANDI,
    (
        Segment(Part.FRONT_TAPER, 12 * FOOT, 0.04 * INCH, 0.09 * INCH, 900.0),
        Segment(Part.BELLY, 18 * FOOT, 0.09 * INCH, 0.09 * INCH, 900.0),
        Segment(Part.REAR_TAPER, 5 * FOOT, 0.09 * INCH, 0.06 * INCH, 900.0),
        Segment(Part.RUNNING_LINE, 70 * FOOT, 0.035 * INCH, 0.035 * INCH, 950.0),
    ),
    (Joint(), Joint(), Joint(JointKind.BUTT_WELD, mass=2 * GRAIN)),
    front_loop=Loop(LoopKind.FOLDED, 2 * INCH, GRAIN),
)
LOOP = NewLoop(2.5 * INCH, 1.0 * GRAIN)
TERMS = Terms(front_loop=LOOP, rear_loop=LOOP)
ROD = Rod("rod", "Alder 13", 13 * FOOT, windows=(Window(Style.SCANDI, 400 * GRAIN, 460 * GRAIN),))


def weight(grains: float) -> Target:
    return Target(TargetKind.WEIGHT, grains * GRAIN)


def planned(line: Line, target: Target, terms: Terms = TERMS, rod: Rod | None = ROD) -> Plan:
    plan = plan_cut(line, target, terms, rod)
    assert isinstance(plan, Plan), plan
    return plan


def test_twelve_inches_of_a_level_body_weigh_what_a_foot_weighs() -> None:
    plan = planned(LEVEL, weight(580.0), Terms())
    assert plan.rear_cut == pytest.approx(12 * INCH, rel=1e-9)
    assert plan.cut_mass == pytest.approx(20.0 * GRAIN, rel=1e-9)
    by_length = cut_at(LEVEL, 0.0, 12 * INCH, Terms())
    assert isinstance(by_length, Plan)
    assert by_length.after.mass == pytest.approx(580.0 * GRAIN, rel=1e-12)


def test_a_loop_folded_from_the_head_shortens_it_and_keeps_its_grains() -> None:
    fourteen = line_of(
        "k", "n", (Segment(Part.BELLY, 30 * FOOT, 0.002, 0.002, density(14.0, 0.002)),)
    )
    terms = Terms(rear_loop=NewLoop(fold=2.5 * INCH))
    plan = cut_at(fourteen, 0.0, FOOT, terms)
    assert isinstance(plan, Plan)
    assert plan.after.mass == pytest.approx(29 * 14.0 * GRAIN, rel=1e-12)
    assert plan.after.length == pytest.approx(29 * FOOT - 2.5 * INCH)
    loop = plan.line.rear_loop
    assert loop.fold * 14.0 * GRAIN / FOOT == pytest.approx(2.917 * GRAIN, abs=0.001 * GRAIN)


@pytest.mark.parametrize("end", CutEnd)
@given(st.floats(150.0, 470.0), st.floats(0.05, 0.95))
def test_offcuts_and_head_weigh_what_the_head_weighed(
    end: CutEnd, grains: float, share: float
) -> None:
    terms = replace(TERMS, end=end, front_share=share)
    plan = planned(HEAD, weight(grains), terms)
    assert plan.after.mass == pytest.approx(grains * GRAIN, abs=1e-6 * GRAIN)
    new_loops = GRAIN * (2 if end is CutEnd.BOTH else 1)
    left = plan.before.mass - plan.cut_mass + new_loops - plan.after.mass
    assert abs(left) < 0.01 * GRAIN
    assert plan.front_cut == pytest.approx(terms.share * plan.cut_length)


@given(st.floats(0.2, 20.0))
def test_the_share_of_the_front_taper_rises_from_the_rear_and_falls_from_the_front(
    feet: float,
) -> None:
    rear = cut_at(HEAD, 0.0, feet * FOOT, Terms())
    front = cut_at(HEAD, feet * FOOT, 0.0, Terms())
    assert isinstance(rear, Plan)
    assert isinstance(front, Plan)
    before = rear.before.front_taper_mass_share
    assert rear.after.front_taper_mass_share > before > front.after.front_taper_mass_share


def test_figures_agree_with_the_analysis_of_the_line_that_is_left() -> None:
    plan = planned(HEAD, weight(400.0))
    for figures, line in ((plan.before, HEAD), (plan.after, plan.line)):
        head = analyse_line(line, Water()).head
        assert head is not None
        assert figures.mass == pytest.approx(head.mass, rel=1e-12)
        assert figures.length == pytest.approx(head.length, rel=1e-12)
        assert figures.front_taper_mass_share == pytest.approx(head.front_taper_mass_share)
        assert figures.ratio == pytest.approx(head.length / ROD.length)


def test_running_line_comes_off_with_a_rear_cut_and_stays_on_at_a_front_cut() -> None:
    rear = planned(HEAD, weight(400.0))
    assert all(segment.part.in_head for segment in rear.line.segments)
    assert any("running line" in str(finding.sentence) for finding in rear.findings)
    front = planned(HEAD, weight(400.0), replace(TERMS, end=CutEnd.FRONT))
    assert front.line.segments[-1] == HEAD.segments[-1]
    assert Profile.of(head_of(front.line)).total_mass == pytest.approx(400.0 * GRAIN)


@pytest.mark.parametrize(("place", "grains"), [(0.0, 400.0), (0.5, 430.0), (1.0, 460.0)])
def test_places_in_the_window_of_the_rod(place: float, grains: float) -> None:
    plan = planned(HEAD, Target(TargetKind.WINDOW, place))
    assert plan.after.mass == pytest.approx(grains * GRAIN)


def test_a_length_and_a_ratio_count_the_finished_head() -> None:
    plan = planned(HEAD, Target(TargetKind.LENGTH, 28 * FOOT))
    assert plan.after.length == pytest.approx(28 * FOOT)
    assert plan.rear_cut == pytest.approx(7 * FOOT - 2.5 * INCH)
    plan = planned(HEAD, Target(TargetKind.RATIO, 2.0), replace(TERMS, end=CutEnd.BOTH))
    assert plan.after.length == pytest.approx(26 * FOOT)
    assert plan.front_cut == pytest.approx(plan.rear_cut)


@pytest.mark.parametrize("end", CutEnd)
def test_a_head_as_long_as_asked_for_is_left_alone(end: CutEnd) -> None:
    none = plan_cut(HEAD, Target(TargetKind.LENGTH, 35 * FOOT), replace(TERMS, end=end), ROD)
    assert isinstance(none, NoPlan)
    assert "Nothing to cut" in str(none.sentence)


def test_a_single_hand_size_is_weighed_over_thirty_feet_without_tip_or_loops() -> None:
    tip = Segment(Part.TIP, FOOT, 0.04 * INCH, 0.04 * INCH, 900.0)
    line = replace(HEAD, segments=(tip, *HEAD.segments), joints=(Joint(), *HEAD.joints))
    target = Target(TargetKind.SINGLE_HAND_SIZE, 13.0)
    # From the front heavier line slides into the first 30 ft: the size goes up.
    before = analyse_line(line, Water()).head
    assert before is not None
    assert before.first_30_ft is not None
    assert before.first_30_ft < 450.0 * GRAIN
    plan = planned(line, target, replace(TERMS, end=CutEnd.FRONT, front_loop=NewLoop()))
    figures = analyse_line(plan.line, Water()).head
    assert figures is not None
    assert figures.first_30_ft == pytest.approx(450.0 * GRAIN, rel=1e-9)
    short = planned(HEAD, Target(TargetKind.SINGLE_HAND_SIZE, 11.0))
    assert any("shorter than the 30 ft" in str(finding.sentence) for finding in short.findings)


def test_a_single_hand_size_leaves_a_level_tip_out() -> None:
    tip = Segment(Part.TIP, 2 * FOOT, 0.04 * INCH, 0.04 * INCH, 900.0)
    line = line_of("t", "With a tip", (tip, *HEAD.segments[:3]))
    for end in (CutEnd.REAR, CutEnd.FRONT):
        plan = planned(line, Target(TargetKind.SINGLE_HAND_SIZE, 11.0), Terms(end))
        left = Profile.of(plan.line)
        start = sum(s.length for s in plan.line.segments if s.part is Part.TIP)
        stop = min(start + 30 * FOOT, left.length)
        assert left.mass_between(start, stop) == pytest.approx(330.0 * GRAIN, rel=1e-9)


def test_a_two_handed_size_is_weighed_to_its_weigh_point() -> None:
    long = replace(
        HEAD,
        segments=(
            HEAD.segments[0],
            replace(HEAD.segments[1], length=33 * FOOT),
            *HEAD.segments[2:],
        ),
    )
    target = Target(TargetKind.TWO_HANDED_SIZE, 11.0, "H")
    plan = planned(long, target, replace(TERMS, end=CutEnd.FRONT, front_loop=NewLoop()))
    running = Profile.of(plan.line).running_mass(40 * FOOT)
    assert float(running) == pytest.approx(600.0 * GRAIN, rel=1e-9)
    rating = analyse_line(plan.line, Water()).two_handed
    assert rating is not None
    assert (rating.column.letter, rating.size) == ("H", 11)
    assert rating.offset == pytest.approx(0.0, abs=1e-9)


def test_a_head_cut_out_of_its_class_is_remarked_on() -> None:
    plan = planned(HEAD, Target(TargetKind.TWO_HANDED_SIZE, 8.0))
    assert plan.after.mass == pytest.approx(360.0 * GRAIN)
    assert plan.after.length < 30 * FOOT
    assert any("class H" in str(finding.sentence) for finding in plan.findings)


HEAD_WEIGHT = Profile.of(head_of(HEAD)).total_mass / GRAIN


@pytest.mark.parametrize(
    ("target", "terms", "words", "limit"),
    [
        (weight(900.0), TERMS, "only takes away", None),
        (weight(HEAD_WEIGHT), TERMS, "Nothing to cut", None),
        (weight(2.0), TERMS, "and its loop, the head comes to", None),
        (weight(HEAD_WEIGHT - 1.5), replace(TERMS, rear_loop=NewLoop()), "loop alone", None),
        (
            weight(300.0),
            replace(TERMS, limits=Limits(shortest=25 * FOOT)),
            "At most",
            "shortest head",
        ),
        (
            weight(400.0),
            replace(TERMS, end=CutEnd.FRONT, limits=Limits(keep_front_taper=True)),
            "front taper",
            "front taper",
        ),
        (
            weight(60.0),
            replace(TERMS, limits=Limits(keep_front_taper=True)),
            "At most",
            "front taper",
        ),
        (Target(TargetKind.SINGLE_HAND_SIZE, 40.0), TERMS, "lines 1 to 15", None),
        (Target(TargetKind.TWO_HANDED_SIZE, 40.0), TERMS, "lines 6 to 12", None),
        (Target(TargetKind.TWO_HANDED_SIZE, 8.0, "Q"), TERMS, "not Q", None),
        (Target(TargetKind.LENGTH, 50 * FOOT), TERMS, "less than the 50 ft", None),
        (weight(400.0), replace(TERMS, rear_loop=NewLoop(40 * FOOT)), "use up", None),
    ],
)
def test_what_cannot_be_cut_gets_a_sentence(
    target: Target, terms: Terms, words: str, limit: str | None
) -> None:
    answer = plan_cut(HEAD, target, terms, ROD)
    assert isinstance(answer, NoPlan), answer
    assert words in str(answer.sentence)
    assert answer.limit == limit
    assert str(answer.sentence).endswith(".")


def test_both_ends_stop_where_the_rear_one_reaches_the_front_taper() -> None:
    parts = ((Part.TIP, 10), (Part.FRONT_TAPER, 5), (Part.BELLY, 20))
    d = 0.09 * INCH
    line = line_of(
        "b", "B", tuple(Segment(part, n * FOOT, d, d, density(10.0, d)) for part, n in parts)
    )
    # 30 ft off 350 gr leave 50; three quarters of them, 22.5 ft, would come off 20 ft of belly.
    terms = Terms(CutEnd.BOTH, 0.25, limits=Limits(keep_front_taper=True))
    answer = plan_cut(line, weight(50.0), terms)
    assert isinstance(answer, NoPlan)
    assert answer.limit == "front taper"
    assert "At most 26 ft 8 in may come off; that leaves 83.3 gr." in str(answer.sentence)


def test_what_may_come_off_at_a_limit_just_respects_it() -> None:
    limits = Limits(shortest=25 * FOOT)
    answer = plan_cut(HEAD, weight(300.0), replace(TERMS, limits=limits), ROD)
    assert isinstance(answer, NoPlan)
    at_limit = cut_at(HEAD, 0.0, 10 * FOOT - 2.5 * INCH, TERMS)
    assert isinstance(at_limit, Plan)
    assert at_limit.after.length == pytest.approx(25 * FOOT)
    assert f"{at_limit.after.mass / GRAIN:.1f} gr" in str(answer.sentence)


def test_a_joint_step_beyond_the_limit_stops_the_plan() -> None:
    # Behind its belly this head thins toward the rear: cut from the front its front end thins too.
    thinning = line_of("k", "n", (Segment(Part.BELLY, 30 * FOOT, 0.1 * INCH, 0.05 * INCH, 900.0),))
    front = float(Profile.of(thinning).linear_density(0.0))
    limits = Limits(largest_step=1.0, tip_linear_density=0.9 * front)
    terms = Terms(end=CutEnd.FRONT, limits=limits)
    total = Profile.of(thinning).total_mass / GRAIN
    answer = plan_cut(thinning, weight(0.6 * total), terms)
    assert isinstance(answer, NoPlan)
    assert answer.limit == "joint step"
    near = plan_cut(thinning, weight(0.98 * total), terms)
    assert isinstance(near, Plan)
    assert near.after.joint_step is not None
    assert 0.9 < near.after.joint_step <= 1.0


def test_targets_that_need_a_rod_ask_for_one() -> None:
    for kind in (TargetKind.WINDOW, TargetKind.RATIO):
        answer = plan_cut(HEAD, Target(kind, 0.5), TERMS, None)
        assert isinstance(answer, NoPlan)
        assert "Choose a rod" in str(answer.sentence)
    no_window = Rod("rod", "Alder 12", 12 * FOOT)
    answer = plan_cut(HEAD, Target(TargetKind.WINDOW, 0.5), TERMS, no_window)
    assert isinstance(answer, NoPlan)
    assert "no grain window" in str(answer.sentence)


def test_a_line_without_a_head_cannot_be_cut() -> None:
    running = line_of("k", "n", (HEAD.segments[-1],))
    for answer in (plan_cut(running, weight(1.0), TERMS), cut_at(running, 0.0, 1.0, TERMS)):
        assert isinstance(answer, NoPlan)
        assert "no head" in str(answer.sentence)


def test_a_cut_inside_an_old_loop_is_remarked_on_and_a_sleeve_in_a_new_fold_stays() -> None:
    cut = cut_at(HEAD, INCH, 0.0, Terms(CutEnd.FRONT))
    assert isinstance(cut, Plan)
    (told,) = [str(each.sentence) for each in cut.findings if "old loop" in str(each.sentence)]
    # The offcut is the fold and the inch: measured once it is open, the mark lies that far in.
    assert HEAD.front_loop.fold == pytest.approx(2.0 * INCH)
    assert "mark 1 in from the end of the loop" in told
    assert "then lies 3 in from the end" in told
    clear = cut_at(HEAD, 3 * INCH, 0.0, Terms(CutEnd.FRONT))
    assert isinstance(clear, Plan)
    assert not any("inside the old loop" in str(finding.sentence) for finding in clear.findings)
    sleeved = replace(
        LEVEL, segments=LEVEL.segments * 2, joints=(Joint(JointKind.BUTT_WELD, mass=5 * GRAIN),)
    )
    # The blade 2 in behind the weld, the new loop folded back over 6 in: the weld is in the fold.
    plan = cut_at(sleeved, 0.0, 30 * FOOT - 2 * INCH, Terms(rear_loop=NewLoop(6 * INCH)))
    assert isinstance(plan, Plan)
    assert plan.after.length == pytest.approx(30 * FOOT - 4 * INCH)
    assert plan.after.mass == pytest.approx((600.0 + 20.0 / 6.0 + 5.0) * GRAIN, rel=1e-9)


def test_a_target_inside_a_joint_says_by_how_much_it_is_missed() -> None:
    heavy = Joint(JointKind.BUTT_WELD, mass=10 * GRAIN)
    line = replace(LEVEL, segments=LEVEL.segments * 2, joints=(heavy,))
    plan = planned(line, weight(605.0), Terms())
    assert plan.after.mass == pytest.approx(600.0 * GRAIN, rel=1e-6)
    assert any("5.0 gr lighter" in str(finding.sentence) for finding in plan.findings)


@pytest.mark.parametrize("cut", [FOOT, 4 * FOOT])
def test_the_loop_at_the_rod_end_counts_where_a_head_is_shorter_than_what_is_weighed(
    cut: float,
) -> None:
    """Cut at the fly end, a head of 35 ft keeps its loop at the rod end: all of it is weighed."""
    level = (Segment(Part.BELLY, 35 * FOOT, 0.002, 0.002, density(20.0, 0.002)),)
    loop = Loop(LoopKind.FOLDED, 6 * INCH, 5 * GRAIN)
    line = replace(line_of("l", "Level", level), rear_loop=loop)
    new = NewLoop(3 * INCH, 2 * GRAIN)
    goal = Goal(1.0, weighed_over=40 * FOOT)
    meter = Meter(line, line, Terms(CutEnd.FRONT, front_loop=new), goal)
    # 20 gr a foot: what is not cut, the loop's fold and its 5 gr, and what the new loop adds.
    uncut = 35 * 20.0 + 0.5 * 20.0 + 5.0
    assert meter(0.0, remade=False) == pytest.approx(uncut * GRAIN)
    assert meter(cut) == pytest.approx((uncut - cut / FOOT * 20.0 + 2.0) * GRAIN)
