"""Ranges: members by what they keep, their figures against sums of their own, what is said."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from scipy.integrate import quad

from taperlab.edits.edited import Refused
from taperlab.edits.ranges import edit_by_hand, make_range, set_basis, set_rules
from taperlab.model.aim import Aim, Cell, Goal, GoalKind, Hold
from taperlab.model.bench import Bench
from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, Style, line_of
from taperlab.model.range import LengthRule, ThicknessRule
from taperlab.model.rod import Measured, Rod, Window
from taperlab.model.segment import Core, Part, Segment
from taperlab.shop.analyse import analyse_line
from taperlab.shop.on_rod import fit_to_rod
from taperlab.shop.range.member import MemberFigures, letter_of
from taperlab.shop.range.study import RangeStudy, question_of, reach_for, study_now
from taperlab.shop.range.words import (
    Standing,
    carries_words,
    cautions,
    length_reason,
    thickness_reason,
    verdict,
)
from taperlab.shop.rig import looped
from taperlab.units.kinds import System
from tests.looped import BRAIDED, FOLDED, FOOT, GRAIN, INCH

ROD = Rod("rod-1", "Long pool", 13.0 * FOOT, windows=(Window(Style.SCANDI, 0.028, 0.033),))
SWITCH = Rod("rod-2", "Ford", 11.0 * FOOT)


def head(core: Core | None = None, style: Style = Style.SCANDI) -> Line:
    rows = [
        (Part.TIP, 1.0, 0.034, 0.034),
        (Part.FRONT_TAPER, 29.0, 0.034, 0.104),
        (Part.BELLY, 7.0, 0.104, 0.104),
    ]
    segments = tuple(
        Segment(part, size * FOOT, a * INCH, b * INCH, 870.0, core) for part, size, a, b in rows
    )
    return replace(line_of("line-1", "Scandi", segments, style), front_loop=FOLDED)


def tip_of(key: str, feet: float, thick: float, density: float) -> Line:
    segment = Segment(Part.SINK_TIP, feet * FOOT, thick * INCH, thick * INCH, density)
    return line_of(key, f"Tip {key}", (segment,), Style.TIP)


def bench_with(line: Line, *others: Line, rod: str | None = "rod-1") -> Bench:
    return Bench((line, *others), (ROD, SWITCH), rod=rod)


def graded(
    bench: Bench,
    grains: list[float],
    rods: list[float] = (),
    length: LengthRule = LengthRule.ROD,
    thickness: ThicknessRule = ThicknessRule.FRONT_END,
    **basis: float | None,
) -> RangeStudy:
    masses, feet = [each * GRAIN for each in grains], [each * FOOT for each in rods]
    made = make_range(bench, bench.lines[0].key, masses, feet).bench
    made = set_rules(made, "range-1", length, thickness).bench
    if basis:
        rod, tip = basis.get("rod"), basis.get("tip")
        made = set_basis(made, "range-1", rod, tip, is_rounded=False).bench
    question = question_of(made, "range-1")
    assert question is not None
    return study_now(question)


def all_of(found: RangeStudy) -> list[MemberFigures]:
    assert not found.refused, [str(each.why) for each in found.refused]
    return list(found.members)


# -- what each switch keeps ----------------------------------------------------------------------


def test_lengths_that_follow_the_rod_keep_the_ratio() -> None:
    members = all_of(graded(bench_with(head()), [420, 460, 500], [12, 13, 14.5]))
    for each, feet in zip(members, (12.0, 13.0, 14.5), strict=True):
        assert each.length == pytest.approx(37.0 * FOOT * feet / 13.0)
        assert each.ratio == pytest.approx(37.0 / 13.0)
        assert each.tip_diameter == 0.034 * INCH
    assert [each.mass / GRAIN for each in members] == pytest.approx([420, 460, 500])


def test_where_a_tip_counts_head_and_tip_keep_the_ratio_together() -> None:
    body = replace(head(style=Style.SKAGIT), key="line-1")
    tip = tip_of("t", 12.0, 0.04, 4000.0)
    members = all_of(graded(bench_with(body, tip), [430, 470], [12, 15]))
    for each, feet in zip(members, (12.0, 15.0), strict=True):
        assert each.ratio == pytest.approx((37.0 + 12.0) / 13.0)
        assert each.length / FOOT == pytest.approx((37.0 + 12.0) / 13.0 * feet - 12.0)
    told = all_of(graded(bench_with(body, tip), [430], [12], tip=10.0 * FOOT))
    assert told[0].length / FOOT == pytest.approx(47.0 / 13.0 * 12.0 - 10.0)
    own = all_of(graded(bench_with(head(), tip), [430], [12]))
    assert own[0].ratio == pytest.approx(37.0 / 13.0)


def test_lengths_that_stay_keep_length() -> None:
    members = all_of(graded(bench_with(head()), [400, 520], [12, 14], LengthRule.SAME))
    assert [each.length / FOOT for each in members] == pytest.approx([37.0, 37.0])
    assert members[0].ratio == pytest.approx(37.0 / 12.0)


def test_lengths_that_follow_the_weight_keep_every_diameter_weight_per_foot_and_step() -> None:
    parent = head(Core(0.02 * INCH, 1150.0))
    bench = bench_with(parent, tip_of("t", 10.0, 0.035, 3000.0))
    found = graded(bench, [400, 520], length=LengthRule.WEIGHT)
    assert found.parent is not None
    for each in all_of(found):
        assert [(row.front_diameter, row.rear_diameter) for row in each.line.segments] == [
            (row.front_diameter, row.rear_diameter) for row in parent.segments
        ]
        assert each.tip_linear_density == found.parent.tip_linear_density
        assert each.thickest_linear_density == found.parent.thickest_linear_density
        assert each.steps[0].step == found.parent.steps[0].step
        assert each.mass in (pytest.approx(400 * GRAIN), pytest.approx(520 * GRAIN))
        # A straight part of it settles as before; the loop at the tip is a smaller share of it.
        assert each.sink == pytest.approx(found.parent.sink, rel=0.02)


def test_the_same_shape_keeps_share_balance_and_outline() -> None:
    plain = replace(head(), front_loop=Loop())
    found = graded(bench_with(plain), [380, 560], [12, 15], LengthRule.ROD, ThicknessRule.SHAPE)
    assert found.parent is not None
    for each in all_of(found):
        assert each.front_mass_share == pytest.approx(found.parent.front_mass_share)
        share = found.parent.balance_point / found.parent.length
        assert each.balance_point / each.length == pytest.approx(share)
        assert each.tip_diameter / each.thickest == pytest.approx(0.034 / 0.104)


def test_the_running_line_behind_the_head_stays_as_it_is() -> None:
    running = Segment(Part.RUNNING_LINE, 70 * FOOT, 0.03 * INCH, 0.03 * INCH, 900.0)
    plain = head()
    joint = Joint(JointKind.LOOP_TO_LOOP, loop_ahead=FOLDED, loop_behind=BRAIDED)
    whole = replace(plain, segments=(*plain.segments, running), joints=(*plain.joints, joint))
    (member,) = all_of(graded(bench_with(whole), [500]))
    assert member.mass == pytest.approx(500 * GRAIN)
    assert member.line.segments[-1] == running
    assert member.line.joints[-1] == joint
    assert member.length == pytest.approx(37 * FOOT)


# -- figures -------------------------------------------------------------------------------------


def test_figures_agree_with_sums_along_the_line_and_with_what_else_tells_of_a_line() -> None:
    core = Core(0.02 * INCH, 1150.0)
    bench = bench_with(head(core), tip_of("t", 10.0, 0.03, 3500.0))
    found = graded(bench, [410, 530], [12, 14])
    for each in all_of(found):

        def along(x: float, each: MemberFigures = each) -> float:
            for row, start in zip(each.line.segments, each.line.starts, strict=False):
                if start <= x <= start + row.length:
                    d = row.front_diameter + (row.rear_diameter - row.front_diameter) * (
                        (x - start) / row.length
                    )
                    excess = (core.density - row.density) * core.diameter**2
                    return math.pi / 4 * (row.density * d * d + excess)
            return 0.0

        breaks = each.line.starts[1:-1]
        mass = quad(along, 0.0, each.length, points=breaks, epsrel=1e-11)[0]
        moment = quad(lambda x: x * along(x), 0.0, each.length, points=breaks, epsrel=1e-11)[0]
        loop = FOLDED.mass + FOLDED.fold * along(0.0)
        assert mass + loop == pytest.approx(each.mass, rel=1e-9)
        assert moment / (mass + loop) == pytest.approx(each.balance_point, rel=1e-9)
        fit = fit_to_rod(analyse_line(each.line, bench.water), ROD)
        figures = analyse_line(each.line, bench.water).head
        assert figures is not None
        assert fit is not None
        assert each.sink == pytest.approx(figures.sink, rel=1e-6)
        assert each.floats == figures.floats
        assert each.front_mass_share == pytest.approx(figures.front_taper_mass_share)
        assert each.front_length_share == pytest.approx(figures.front_taper_length_share)
        assert each.thickest_linear_density == pytest.approx(figures.thickest_linear_density)
        rig = looped(each.line, [bench.lines[1]])
        assert each.steps[0].step == pytest.approx(rig.joints[0].step)


def test_coat_is_the_thinnest_over_any_core() -> None:
    (member,) = all_of(graded(bench_with(head(Core(0.02 * INCH, 1150.0))), [400]))
    assert member.coat is not None
    assert member.coat.thickness == pytest.approx(0.007 * INCH)
    assert member.coat.position == 0.0
    (plain,) = all_of(graded(bench_with(head()), [400]))
    assert plain.coat is None


def test_letters_go_on_beyond_z() -> None:
    assert [letter_of(i) for i in (0, 25, 26, 27, 52)] == ["A", "Z", "AA", "AB", "BA"]


# -- what can't be -------------------------------------------------------------------------------


def test_a_held_thick_front_is_refused_below_its_least_weight_and_that_is_said() -> None:
    thick = line_of(
        "line-1",
        "Skagit",
        (
            Segment(Part.FRONT_TAPER, 3 * FOOT, 0.09 * INCH, 0.1 * INCH, 870.0),
            Segment(Part.BELLY, 20 * FOOT, 0.1 * INCH, 0.1 * INCH, 870.0),
        ),
        Style.SKAGIT,
    )
    found = graded(bench_with(thick), [300, 430], length=LengthRule.SAME)
    (refused,), (made,) = found.refused, found.members
    # All of it 0.090 in thick and 23 ft long: K r L d².
    least = 2383.4419 * 0.87 * 23.0 * 0.09**2
    assert f"weighs {least:.1f} gr at least" in str(refused.why)
    assert made.least / GRAIN == pytest.approx(least, rel=1e-6)
    reach = reach_for(found, ThicknessRule.FRONT_END)
    assert reach is not None
    assert reach.least / GRAIN == pytest.approx(least, rel=1e-6)
    assert str(cautions(found)[0]).startswith("A, 300.0 gr, can’t be made. With its fly end held")
    shaped = graded(bench_with(thick), [300], length=LengthRule.SAME, thickness=ThicknessRule.SHAPE)
    assert not shaped.refused


def test_a_rod_shorter_than_the_tip_that_counts_is_refused() -> None:
    body = head(style=Style.SKAGIT)
    found = graded(bench_with(body), [400], [3.3], tip=30.0 * FOOT, rod=13.0 * FOOT)
    assert "the tip alone is longer" in str(found.refused[0].why)


def test_loops_that_outweigh_a_member_are_refused() -> None:
    heavy = replace(head(), rear_loop=Loop(LoopKind.BRAIDED, 0.0, 50 * GRAIN))
    found = graded(bench_with(heavy), [40], length=LengthRule.WEIGHT)
    assert "Its loops and joints alone weigh" in str(found.refused[0].why)


def test_a_level_head_falls_back_to_its_shape_and_says_so() -> None:
    level = line_of(
        "line-1", "Level", (Segment(Part.BELLY, 25 * FOOT, 0.08 * INCH, 0.08 * INCH, 870.0),)
    )
    found = graded(bench_with(level), [300, 400])
    assert found.falls_back
    assert any("the shape is kept instead" in str(each) for each in cautions(found))
    shaped = graded(bench_with(level), [300, 400], thickness=ThicknessRule.SHAPE)
    assert [each.thickest for each in found.members] == [each.thickest for each in shaped.members]
    assert not shaped.falls_back


def test_without_a_rod_lengths_stay_and_that_is_said() -> None:
    found = graded(bench_with(head(), rod=None), [400, 500])
    assert found.has_no_rod
    assert all(each.length == pytest.approx(37 * FOOT) for each in found.members)
    assert all(math.isnan(each.ratio) for each in found.members)
    assert any("rod is not known" in str(each) for each in cautions(found))


def test_a_line_without_a_head_is_told_of_and_never_a_range() -> None:
    running = Segment(Part.RUNNING_LINE, 30.0, 0.0008, 0.0008, 900.0)
    bench = bench_with(line_of("line-1", "Running", (running,)))
    with pytest.raises(Refused, match="has no head"):
        make_range(bench, "line-1", [0.03])
    made = make_range(bench_with(head()), "line-1", [0.03]).bench
    turned = replace(made, lines=bench.lines)
    question = question_of(turned, "range-1")
    assert question is not None
    found = study_now(question)
    assert found.why_not is not None
    assert found.rows == ()
    assert cautions(found) == (found.why_not,)


# -- what is said --------------------------------------------------------------------------------


def test_verdicts_on_the_window_of_the_rod_that_is_so_long() -> None:
    low, high = (each / GRAIN for each in (0.028, 0.033))
    grains = [low - 20, low, (low + high) / 2, high, high + 30, 470]
    found = graded(bench_with(head()), grains, [13, 13, 13, 13, 13, 11])
    told = [verdict(each) for each in found.members]
    assert [each.standing for each in told] == [
        Standing.OUTSIDE,
        Standing.EDGE,
        Standing.INSIDE,
        Standing.EDGE,
        Standing.OUTSIDE,
        Standing.NONE,
    ]
    assert str(told[0].words) == "20 gr below 432–509 gr"
    assert str(told[2].words) == "inside 432–509 gr"
    assert str(told[4].words) == "30 gr above 432–509 gr"
    said = [str(each) for each in cautions(found)]
    assert any("E is 30 gr above the grain window of Long pool" in each for each in said)
    assert any("an overloaded rod can break" in each for each in said)
    assert any(each == "F has no grain window: ask the rod’s maker." for each in said)
    assert any(each.startswith("B and D stand on an edge") for each in said)


def test_a_window_of_head_and_tip_judges_no_head_alone_but_one_that_is_too_heavy_by_itself() -> (
    None
):
    window = Window(Style.SCANDI, 0.028, 0.033, measured_on=Measured.HEAD_AND_TIP)
    bench = replace(bench_with(head()), rods=(replace(ROD, windows=(window,)),))
    inside, above = graded(bench, [460, 540]).members
    assert str(verdict(inside).words) == "432–509 gr for head and tip"
    assert verdict(inside).standing is Standing.NONE
    assert verdict(above).standing is Standing.OUTSIDE


def test_thin_floating_tips_with_a_core_go_neutral_and_lose_their_coat() -> None:
    parent = head(Core(0.020 * INCH, 1150.0))
    found = graded(
        bench_with(parent), [280, 500], length=LengthRule.SAME, thickness=ThicknessRule.SHAPE
    )
    light, heavy = all_of(found)
    # Over the core of 0.020 in, the front end has the mean density of both.
    d, c = light.tip_diameter / INCH, 0.020
    mean = (870.0 * (d * d - c * c) + 1150.0 * c * c) / (d * d)
    assert mean > 0.99 * 999.7
    assert light.neutral == 0.0
    assert heavy.neutral is None
    said = " ".join(str(each) for each in cautions(found))
    assert "A is as heavy as the water at its fly end, where the parent floats." in said
    assert "A has only 0.00" in said
    held = graded(bench_with(parent), [280, 500], length=LengthRule.SAME)
    assert all(each.neutral is None for each in held.members)


def test_a_tip_that_is_too_heavy_for_the_front_hinges() -> None:
    bench = bench_with(head(), tip_of("fine", 10, 0.03, 900.0), tip_of("lead", 10, 0.04, 6000.0))
    found = graded(bench, [420, 480])
    assert [[step.hinges for step in each.steps] for each in found.members] == [[False, True]] * 2
    assert any("Tip lead hinges on every one of them." in str(each) for each in cautions(found))


def test_no_law_keeps_the_feel_so_it_is_told_what_is_carried() -> None:
    light, same, heavy = all_of(graded(bench_with(head()), [300, 400, 500]))
    parent = same.mass / same.carries
    assert parent == pytest.approx(light.mass / light.carries)
    assert heavy.carries == pytest.approx(500 * GRAIN / parent)
    percent = round(100 * (heavy.carries - 1))
    assert str(carries_words(heavy)) == f"carries {percent} % more in front"
    assert "less in front" in str(carries_words(light))


def test_switches_say_what_they_keep() -> None:
    found = graded(bench_with(head()), [400])
    assert str(length_reason(LengthRule.ROD, found)) == "keeps the ratio, 2.85"
    assert str(length_reason(LengthRule.ROD, None)) == "keeps the ratio of head to rod"
    # The least is all of it as thin as the tip: K r L d² and the folded loop's own.
    level = 2383.4419 * 0.87 * 0.034**2
    least = level * 37.0 + level * FOLDED.fold / FOOT + FOLDED.mass / GRAIN
    assert str(thickness_reason(ThicknessRule.FRONT_END, found)) == (
        f"tip stays 0.034 in: leaders and tips still match; {least:.0f} gr at least"
    )
    body = graded(bench_with(head(style=Style.SKAGIT), tip_of("t", 12, 0.04, 4000.0)), [430])
    assert str(length_reason(LengthRule.ROD, body)) == "keeps the ratio, 3.77 with a tip of 12 ft"


# -- rounded to what can be built ----------------------------------------------------------------


def built(bench: Bench, grains: list[float], system: System = System.US, **rules) -> RangeStudy:
    made = make_range(bench, "line-1", [each * GRAIN for each in grains], is_rounded=True).bench
    length = rules.get("length", LengthRule.ROD)
    thickness = rules.get("thickness", ThicknessRule.FRONT_END)
    made = set_rules(made, "range-1", length, thickness).bench
    return study_now(question_of(made, "range-1", system))


def off_step(value: float, step: float) -> float:
    return abs(value / step - round(value / step))


@pytest.mark.parametrize("system", list(System))
@pytest.mark.parametrize("core", [None, Core(0.02 * INCH, 1150.0)], ids=["plain", "cored"])
def test_members_are_built_by_tape_and_micrometer_and_weigh_what_was_asked(
    system: System, core: Core | None
) -> None:
    tape, micrometer = (INCH / 8, INCH / 1000) if system is System.US else (0.001, 0.00001)
    asked = [380.0, 427.5, 480.0, 533.3, 610.0]
    found = built(bench_with(head(core)), asked, system)
    for each, grains in zip(all_of(found), asked, strict=True):
        assert each.mass / GRAIN == pytest.approx(grains, abs=0.5)
        # The fly end is held to the last digit, on a step or not.
        first = each.line.segments[0]
        assert first.front_diameter == first.rear_diameter == 0.034 * INCH
        for row in each.line.segments:
            assert off_step(row.length, tape) < 1e-6
        for row in each.line.segments[1:]:
            assert off_step(row.rear_diameter, micrometer) < 1e-6
        for ahead, behind in zip(each.line.segments, each.line.segments[1:], strict=False):
            assert ahead.rear_diameter == behind.front_diameter


def test_rounding_keeps_what_the_switches_keep() -> None:
    same = built(bench_with(head()), [430, 520], length=LengthRule.SAME)
    for each in all_of(same):
        assert each.length == pytest.approx(37 * FOOT, abs=INCH / 16)
        assert each.mass in (
            pytest.approx(430 * GRAIN, abs=0.5 * GRAIN),
            pytest.approx(520 * GRAIN, abs=0.5 * GRAIN),
        )
    longer = built(bench_with(head()), [430, 520], length=LengthRule.WEIGHT)
    diameters = [(row.front_diameter, row.rear_diameter) for row in head().segments]
    for each in all_of(longer):
        assert [(row.front_diameter, row.rear_diameter) for row in each.line.segments] == diameters


def test_goals_and_locks_of_the_parent_are_not_its_members() -> None:
    goal = Goal(GoalKind.WEIGHT, 0.05, 0.05)
    rows = tuple(replace(each, holds=(Hold(Cell.LENGTH, locked=True),)) for each in head().segments)
    parent = replace(head(), segments=rows, aim=Aim((goal,), lengths=False))
    plain, other = built(bench_with(head()), [450]), built(bench_with(parent), [450])
    assert plain.members[0].line.segments == other.members[0].line.segments
    assert other.members[0].line.aim == Aim()


# -- following and not following -----------------------------------------------------------------


def test_members_follow_the_parent_until_one_is_edited_by_hand() -> None:
    bench = make_range(bench_with(head()), "line-1", [400 * GRAIN, 450 * GRAIN]).bench
    before = study_now(question_of(bench, "range-1"))
    own = before.members[1].line
    own = replace(own, segments=(*own.segments[:2], replace(own.segments[2], length=2.5)))
    bench = edit_by_hand(bench, "range-1", 1, own).bench
    longer = replace(head(), segments=(*head().segments[:2], replace(head().segments[2], length=3)))
    bench = bench.with_line(longer)
    after = study_now(question_of(bench, "range-1"))
    assert after.members[0].length == pytest.approx(longer.length)
    assert after.members[1].line.segments == own.segments
    assert after.members[1].by_hand
    assert [str(each) for each in cautions(after)][-1] == (
        "B was edited by hand and no longer follows."
    )
