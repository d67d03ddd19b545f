"""The analysis of a line: heads, shares, findings, ratings, rods."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from scipy import integrate, optimize

from taperlab.edits.cut_back import start_cut_back
from taperlab.edits.edited import Refused
from taperlab.model.bench import Bench
from taperlab.model.cut_log import Target, TargetKind
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, Style, line_of
from taperlab.model.measurement import USUAL
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Core, Part, Segment
from taperlab.model.water import Water, WaterKind
from taperlab.physics.head import head_rows
from taperlab.physics.sinking import sink_rate
from taperlab.physics.water import water_state
from taperlab.shop.analyse import analyse_line, compare_heads
from taperlab.shop.cut_back.goal import NoPlan
from taperlab.shop.cut_back.plan import plan_cut
from taperlab.shop.cut_back.terms import Terms
from taperlab.shop.on_rod import fit_to_rod
from taperlab.trade.windows import Place
from taperlab.units.finding import Level
from tests.strategies import lines_

FRESH = Water()


def level(part: Part, feet: float, grains_per_foot: float, diameter: float = 0.08) -> Segment:
    """A level segment of a chosen weight per foot."""
    area = math.pi / 4.0 * (diameter * INCH) ** 2
    return Segment(
        part,
        feet * FOOT,
        diameter * INCH,
        diameter * INCH,
        grains_per_foot * GRAIN / FOOT / area,
    )


def head_of(*segments: Segment, **line: object) -> Line:
    return replace(line_of("line-1", "Test", segments), **line)


def test_head_leaves_out_handling_and_running_line() -> None:
    line = head_of(
        level(Part.FRONT_TAPER, 10, 8),
        level(Part.BELLY, 20, 16),
        level(Part.HANDLING_LINE, 4, 6),
        level(Part.RUNNING_LINE, 70, 2),
    )
    analysis = analyse_line(line, FRESH)
    assert analysis.head is not None
    assert analysis.head.mass == pytest.approx(400 * GRAIN, rel=1e-12)
    assert analysis.head.length == pytest.approx(30 * FOOT)
    assert analysis.mass == pytest.approx((400 + 24 + 140) * GRAIN, rel=1e-12)
    assert analysis.head.front_taper_mass_share == pytest.approx(80 / 400)
    assert analysis.head.front_taper_length_share == pytest.approx(10 / 30)
    assert analysis.head.balance_point / FOOT == pytest.approx((80 * 5 + 320 * 20) / 400)
    assert head_rows(line) == (0, 1)


def test_level_tip_counts_in_the_front_taper_share_but_not_in_the_first_30_ft() -> None:
    line = head_of(level(Part.TIP, 1, 4), level(Part.FRONT_TAPER, 9, 6), level(Part.BELLY, 25, 10))
    head = analyse_line(line, FRESH).head
    assert head is not None
    assert head.front_taper_mass_share == pytest.approx((4 + 54) / (4 + 54 + 250))
    assert head.first_30_ft == pytest.approx((54 + 210) * GRAIN)


def test_loops_do_not_count_in_the_first_30_ft() -> None:
    plain = head_of(level(Part.BELLY, 35, 10))
    looped = replace(plain, front_loop=Loop(LoopKind.FOLDED, 2 * INCH, GRAIN))
    for line in (plain, looped):
        head = analyse_line(line, FRESH).head
        assert head is not None
        assert head.first_30_ft == pytest.approx(300 * GRAIN)


def test_no_first_30_ft_for_a_shorter_head_and_never_an_exception() -> None:
    """A 23 ft Skagit head has no class in either table."""
    analysis = analyse_line(head_of(level(Part.BELLY, 23, 23)), FRESH)
    assert analysis.head is not None
    assert analysis.head.first_30_ft is None
    assert analysis.single_hand is None
    assert analysis.two_handed is None


def test_exactly_30_ft_is_weighed() -> None:
    head = analyse_line(head_of(level(Part.BELLY, 30, 160 / 30)), FRESH).head
    assert head is not None
    assert head.first_30_ft == pytest.approx(160 * GRAIN)


def test_loops_and_sleeves_on_the_head_count_and_those_behind_it_do_not() -> None:
    sleeve, tube = 1.5 * GRAIN, 0.5 * GRAIN
    plain = head_of(level(Part.BELLY, 20, 14), level(Part.RUNNING_LINE, 10, 2))
    fitted = replace(
        plain,
        front_loop=Loop(LoopKind.FOLDED, 2.5 * INCH, tube),
        rear_loop=Loop(LoopKind.BRAIDED, 0.0, 2 * GRAIN),
        joints=(Joint(JointKind.BUTT_WELD, 0.0, sleeve),),
    )
    bare, whole = analyse_line(plain, FRESH).head, analyse_line(fitted, FRESH).head
    assert bare is not None
    assert whole is not None
    # 2.5 in folded back on 14 gr/ft weighs 2.917 gr.
    assert (whole.mass - bare.mass) / GRAIN == pytest.approx(2.5 / 12 * 14 + 0.5 + 1.5)
    assert whole.length == bare.length
    assert analyse_line(fitted, FRESH).mass > whole.mass + 2 * GRAIN


def test_a_rear_loop_of_a_line_that_is_all_head_counts() -> None:
    line = head_of(level(Part.BELLY, 20, 14), rear_loop=Loop(LoopKind.BRAIDED, 0.0, 2 * GRAIN))
    head = analyse_line(line, FRESH).head
    assert head is not None
    assert head.mass / GRAIN == pytest.approx(282)


def test_empty_lines_and_lines_without_a_head_say_so() -> None:
    empty = analyse_line(head_of(), FRESH)
    assert empty.head is None
    assert "no segments" in str(empty.findings[0].sentence)
    assert len(empty.curves.position) == 0
    running = analyse_line(head_of(level(Part.RUNNING_LINE, 50, 2)), FRESH)
    assert running.head is None
    assert "no head" in str(running.findings[0].sentence)


def test_running_line_ahead_of_the_head_is_a_caution() -> None:
    line = head_of(level(Part.RUNNING_LINE, 50, 2), level(Part.BELLY, 30, 10))
    found = analyse_line(line, FRESH).findings
    assert any("wrong way round" in str(each.sentence) and each.segment == 0 for each in found)


@pytest.mark.parametrize(
    "segments",
    [
        (),
        (level(Part.RUNNING_LINE, 50, 2),),
        (level(Part.RUNNING_LINE, 50, 2), level(Part.BELLY, 30, 10)),
        (level(Part.BELLY, 20, 10), level(Part.RUNNING_LINE, 50, 2), level(Part.BELLY, 30, 10)),
    ],
)
def test_why_there_is_no_head_to_cut_is_said_in_the_same_words_everywhere(
    segments: tuple[Segment, ...],
) -> None:
    line = head_of(*segments)
    why = str(analyse_line(line, FRESH).findings[0].sentence)
    aim = Target(TargetKind.WEIGHT, 100 * GRAIN)
    planned = plan_cut(line, aim, Terms())
    assert isinstance(planned, NoPlan)
    assert str(planned.sentence) == f"{line.name} can’t be cut back. {why}"
    with pytest.raises(Refused) as refused:
        start_cut_back(Bench((line,)), line.key, aim, USUAL)
    assert str(refused.value) == f"{line.name} can’t be cut back. {why}"


def test_a_heavier_front_at_a_joint_is_a_caution_and_a_lighter_one_is_not() -> None:
    heavy = head_of(
        level(Part.SINK_TIP, 10, 20, 0.04),
        level(Part.BELLY, 23, 17),
        joints=(Joint(JointKind.LOOP_TO_LOOP),),
    )
    found = [f for f in analyse_line(heavy, FRESH).findings if f.level is Level.CAUTION]
    assert len(found) == 1
    assert "1.18" in str(found[0].sentence)
    light = head_of(
        level(Part.SINK_TIP, 10, 14, 0.04),
        level(Part.BELLY, 23, 24),
        joints=(Joint(JointKind.LOOP_TO_LOOP),),
    )
    assert not analyse_line(light, FRESH).findings


@pytest.mark.parametrize(
    ("grains_ahead", "joint", "warned"),
    [
        (10.5, Joint(), False),  # a breakpoint of one extrusion, measured a little off
        (11.5, Joint(), True),
        (10.5, Joint(JointKind.BUTT_WELD), True),
        (9.9, Joint(JointKind.BUTT_WELD), False),
    ],
)
def test_a_made_joint_is_judged_more_strictly_than_a_breakpoint(
    grains_ahead: float, joint: Joint, warned: bool
) -> None:
    line = head_of(
        level(Part.FRONT_TAPER, 10, grains_ahead), level(Part.BELLY, 20, 10), joints=(joint,)
    )
    assert bool(analyse_line(line, FRESH).findings) is warned


def test_a_floating_head_reports_the_spare_buoyancy() -> None:
    diameter, density = 0.09 * INCH, 850.0
    line = head_of(Segment(Part.BELLY, 10.0, diameter, diameter, density))
    analysis = analyse_line(line, FRESH)
    assert analysis.head is not None
    volume = math.pi / 4 * diameter**2 * 10.0
    assert analysis.head.floats
    assert analysis.head.sink < 0.0
    assert analysis.head.spare_buoyancy == pytest.approx(
        (analysis.state.density - density) * volume
    )


def test_a_folded_loop_floats_as_the_line_it_is_made_of_does() -> None:
    diameter, density, fold = 0.09 * INCH, 995.0, 3 * INCH
    plain = head_of(Segment(Part.BELLY, 10.0, diameter, diameter, density))
    looped = replace(plain, front_loop=Loop(LoopKind.FOLDED, fold), rear_loop=Loop(fold=fold))
    analysis = analyse_line(looped, FRESH)
    assert analysis.head is not None
    volume = math.pi / 4 * diameter**2 * (10.0 + 2 * fold)
    assert analysis.head.spare_buoyancy == pytest.approx(
        (analysis.state.density - density) * volume
    )
    assert analysis.head.floats
    assert analysis.head.sink < 0.0
    bare = analyse_line(plain, FRESH).head
    assert bare is not None
    # Line folded back has the buoyancy and the drag of any other piece of it.
    assert analysis.head.sink == pytest.approx(bare.sink, rel=1e-9)
    # What is added besides line only weighs.
    glued = replace(looped, rear_loop=Loop(LoopKind.BRAIDED, fold, 0.001))
    heavier = analyse_line(glued, FRESH).head
    assert heavier is not None
    assert heavier.spare_buoyancy == pytest.approx(analysis.head.spare_buoyancy - 0.001)


def test_the_slowest_point_of_a_cored_taper_may_lie_inside_it() -> None:
    """Thin coat on a lead core sinks fast for its core, thick coat for its size."""
    core = Core(0.4e-3, 11340.0)
    line = head_of(Segment(Part.SINK_TIP, 10.0, 0.5e-3, 2.0e-3, 2000.0, core))
    analysis = analyse_line(line, FRESH)
    head, piece = analysis.head, analysis.segments[0]
    assert head is not None

    def rate(diameter: float) -> float:
        mass = math.pi / 4 * (2000.0 * (diameter**2 - 0.4e-3**2) + 11340.0 * 0.4e-3**2)
        return float(sink_rate(diameter, mass, analysis.state))

    least = optimize.minimize_scalar(rate, bounds=(0.5e-3, 2.0e-3), method="bounded").fun
    assert least < 0.95 * min(piece.front_sink, piece.rear_sink)
    assert head.slowest == pytest.approx(least, rel=1e-3)
    assert head.fastest == pytest.approx(max(piece.front_sink, piece.rear_sink))


def test_sea_water_slows_a_sinking_line_and_cold_water_does_too() -> None:
    line = head_of(level(Part.SINK_TIP, 10, 11, 0.04))

    def rate(water: Water) -> float:
        head = analyse_line(line, water).head
        assert head is not None
        return head.sink

    assert rate(Water(WaterKind.SEA)) < rate(FRESH)
    assert rate(Water(temperature=274.15)) < rate(FRESH) < rate(Water(temperature=293.15))


@given(lines_())
def test_fastest_head_and_slowest_are_in_order(line: Line) -> None:
    head = analyse_line(line, FRESH).head
    if head is not None:
        assert head.fastest >= head.sink >= head.slowest


@given(lines_())
def test_curves_agree_with_numerical_integration(line: Line) -> None:
    analysis = analyse_line(line, FRESH)
    curves = analysis.curves
    if not line.segments:
        return
    # Mass per length integrates to the segment's mass: Simpson's rule is exact for a quadratic.
    for i, figures in enumerate(analysis.segments):
        start, end = analysis.profile.starts[i], analysis.profile.starts[i + 1]
        x = np.linspace(start, end, 3)
        total = integrate.simpson(analysis.profile.linear_density(x, i), x=x)
        assert total == pytest.approx(figures.mass, rel=1e-9)
    assert np.all(np.diff(curves.running_mass) >= -1e-15)
    assert curves.running_mass[-1] == pytest.approx(analysis.mass, rel=1e-12)


@pytest.mark.parametrize("grains_per_foot", [9.0, 15.3, 16.0, 25.0])
def test_how_far_a_sink_rate_may_be_off_follows_drag_and_density(grains_per_foot: float) -> None:
    """A level line, 8 % of drag and 1 % of density off either way, each put in by hand."""
    head = analyse_line(head_of(level(Part.BELLY, 30, grains_per_foot)), FRESH).head
    assert head is not None
    segment, state = level(Part.BELLY, 30, grains_per_foot), water_state(FRESH)
    area = math.pi / 4.0 * segment.front_diameter**2
    displaced = state.density * area
    own = segment.density * area

    def rate(linear_density: float) -> float:
        return float(sink_rate(segment.front_diameter, linear_density, state))

    # Drag k times as large is a net weight k times as small.
    drag = [rate(displaced + (own - displaced) / k) - rate(own) for k in (1.08, 0.92)]
    density = [rate(own * k) - rate(own) for k in (1.01, 0.99)]
    below = math.hypot(min(drag), min(density))
    above = math.hypot(max(drag), max(density))
    assert head.sink_low == pytest.approx(head.sink - below, rel=1e-6)
    assert head.sink_high == pytest.approx(head.sink + above, rel=1e-6)
    assert head.sink_low < head.sink < head.sink_high


def test_near_the_density_of_water_a_rate_is_far_less_sure() -> None:
    def share(grains_per_foot: float) -> float:
        head = analyse_line(head_of(level(Part.BELLY, 30, grains_per_foot)), FRESH).head
        assert head is not None
        return (head.sink_high - head.sink_low) / 2.0 / head.sink

    displaced = 999.70 * math.pi / 4.0 * level(Part.BELLY, 30, 1.0).front_diameter ** 2
    neutral = displaced * FOOT / GRAIN
    assert share(1.02 * neutral) > 0.25
    assert share(3.0 * neutral) < 0.06


def test_a_step_within_a_calipers_error_is_no_caution() -> None:
    """0.060 in ahead of 0.059 in, of one density: read with a caliper, they may be alike."""
    for ahead, caution in ((0.0600, False), (0.0625, True)):
        front = Segment(Part.TIP, 10 * FOOT, ahead * INCH, ahead * INCH, 900.0)
        rear = Segment(Part.BELLY, 20 * FOOT, 0.059 * INCH, 0.059 * INCH, 900.0)
        line = head_of(front, rear)
        line = replace(line, joints=(Joint(JointKind.LAPPED_WELD),))
        found = analyse_line(line, FRESH).findings
        assert any("hinge" in str(each.sentence) for each in found) is caution


def test_ratio_and_window_on_a_rod() -> None:
    line = head_of(level(Part.BELLY, 35, 15), style=Style.SCANDI)
    window = Window(Style.SCANDI, 450 * GRAIN, 560 * GRAIN)
    rod = Rod("rod-1", "Alder 13", 13 * FOOT, windows=(window,))
    fit = fit_to_rod(analyse_line(line, FRESH), rod)
    assert fit is not None
    assert fit.ratio == pytest.approx(35 / 13)
    assert fit.place is Place.INSIDE
    assert fit.to_edge == pytest.approx(35 * GRAIN)
    assert not fit.findings


def test_an_overweight_head_is_a_caution_for_the_rod() -> None:
    line = head_of(level(Part.BELLY, 35, 16), style=Style.SCANDI)
    rod = Rod("rod-1", "Alder", 13 * FOOT, windows=(Window(Style.OTHER, 400 * GRAIN, 500 * GRAIN),))
    fit = fit_to_rod(analyse_line(line, FRESH), rod)
    assert fit is not None
    assert fit.place is Place.ABOVE
    assert "can break" in str(fit.findings[0].sentence)


def test_differences_are_the_first_minus_the_second() -> None:
    one = analyse_line(head_of(level(Part.BELLY, 35, 15)), FRESH).head
    other = analyse_line(head_of(level(Part.BELLY, 37, 15)), FRESH).head
    difference = compare_heads(one, other)
    assert difference is not None
    assert difference.mass == pytest.approx(-30 * GRAIN)
    assert difference.length == pytest.approx(-2 * FOOT)
    assert compare_heads(one, None) is None
