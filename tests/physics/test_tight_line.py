"""A tight line: against another integration, its limits, its traps, and what must always hold."""

from __future__ import annotations

import math
import os
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.constants import g

from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, line_of
from taperlab.model.rig import Fly, Leader
from taperlab.model.segment import Core, Part, Segment
from taperlab.physics.current import Stream
from taperlab.physics.rigging import Cases, Rigging
from taperlab.physics.sinking import sink_rate
from taperlab.physics.tight_line import State, TightLine, hang
from taperlab.physics.water import WaterState
from tests.hung import depth_by_scipy, depth_in_river
from tests.looped import FOOT, GRAIN, INCH

WATER = WaterState(999.1026, 1.13757e-3)  # fresh, 15 °C
FLY = Fly(3.0 * GRAIN, 8.0 * GRAIN, 1e-4)
LEADER = Leader(4.0 * FOOT)
HOW_MANY = int(os.environ.get("TAPERLAB_RIGS", "120"))
"""Random rigs, each in five currents; 2,000 on demand."""


def of_weight(grains_per_foot: float, inches: float = 0.04) -> float:
    """Density of a line that weighs so much."""
    return grains_per_foot * GRAIN / FOOT / (math.pi / 4.0 * (inches * INCH) ** 2)


def piece(feet: float, inches: float, density: float, rear: float | None = None) -> Segment:
    return Segment(Part.BELLY, feet * FOOT, inches * INCH, (rear or inches) * INCH, density)


TIP, HEAD = piece(10.0, 0.04, of_weight(14.0)), piece(25.0, 0.09, 870.0)
RIG = Rigging.of(line_of("rig", "Rig", (TIP, HEAD)), LEADER, FLY)


def on(rig: Rigging, speed: float, **other: float) -> TightLine:
    return hang(rig, Cases(speed, **other), WATER)


def rigs(seed: int) -> Rigging:
    """A rig drawn at random: tapers of all densities, often a floating head, leader and fly."""
    chance = np.random.default_rng(seed)
    segments = []
    for _ in range(chance.integers(1, 5)):
        front, rear = chance.uniform(0.0007, 0.0025, 2)
        density = chance.choice([chance.uniform(750.0, 1000.0), chance.uniform(1000.0, 5000.0)])
        core = Core(0.0004, 1400.0) if chance.random() < 0.3 else None
        segments.append(Segment(Part.BELLY, chance.uniform(0.3, 6.0), front, rear, density, core))
    if chance.random() < 0.6:
        segments.append(Segment(Part.BELLY, 8.0, 0.002, 0.0024, 870.0))
    line = line_of("rig", "Rig", tuple(segments))
    if chance.random() < 0.3:
        line = replace(line, front_loop=Loop(LoopKind.BRAIDED, 0.03, 5e-5))
    leader = Leader(chance.uniform(0.2, 3.0), chance.uniform(1e-4, 6e-4), chance.uniform(850, 1800))
    fly = Fly(chance.uniform(-3e-4, 1e-3), 1e-3, 10.0 ** chance.uniform(-5.0, -3.4))
    return Rigging.of(
        line, leader if chance.random() < 0.7 else None, fly if chance.random() < 0.7 else None
    )


@pytest.mark.parametrize("seed", range(14))
def test_random_rigs_against_another_integration(seed: int) -> None:
    rig = rigs(seed)
    speed = 10.0 ** np.random.default_rng(seed + 1000).uniform(-1.0, 0.5)
    other = depth_by_scipy(rig, WATER, float(speed))
    assert on(rig, speed).depth[0] == pytest.approx(other, rel=2e-4, abs=2e-4)


@pytest.mark.parametrize("method", ["RK45", "Radau"])
def test_the_other_integration_does_not_hang_on_its_method(method: str) -> None:
    other = depth_by_scipy(RIG, WATER, 0.9, method=method, tolerance=1e-7)
    assert on(RIG, 0.9).depth[0] == pytest.approx(other, rel=2e-5)


def test_one_by_one_and_side_by_side_are_the_same() -> None:
    speeds = np.linspace(0.1, 2.0, 12)
    together = hang(RIG, Cases(speeds), WATER)
    for stream in (Stream(), Stream(3.0, slackens=True)):
        together = hang(RIG, Cases(speeds), WATER, stream)
        alone = [hang(RIG, Cases(each), WATER, stream) for each in speeds]
        assert together.states == tuple(each.states[0] for each in alone)
        assert together.depth == pytest.approx(
            np.concatenate([each.depth for each in alone]), rel=1e-4, nan_ok=True
        )


# -- limits -------------------------------------------------------------------------------------


@pytest.mark.parametrize("density", [of_weight(8.0), of_weight(14.0), 1100.0])
@pytest.mark.parametrize("speed", [0.3, 1.0, 2.0])
def test_a_lone_sinking_line_hangs_as_its_sink_rate_has_it(density: float, speed: float) -> None:
    """For one drag coefficient, sin phi / sqrt(cos phi) is the sink rate over the current."""
    d = 0.04 * INCH
    rig = Rigging.level([10.0 * FOOT], [d], [density])
    shape = on(rig, speed).shape()
    rate = float(sink_rate(d, density * math.pi / 4.0 * d**2, WATER))
    phi = float(shape.angle[-1])
    # The normal speed is a little below the sink rate, and the drag coefficient a little above.
    assert math.sin(phi) / math.sqrt(math.cos(phi)) == pytest.approx(rate / speed, rel=0.02)
    if rate < speed / 3.0:
        # Nearly across the current it is the sink rate itself.
        assert speed * math.sin(phi) == pytest.approx(rate, rel=0.03)


def test_without_a_current_the_depth_is_what_its_weight_can_pull_under() -> None:
    found = on(RIG, 0.0)
    assert found.states == (State.HANGS,)
    floating = 25.0 * FOOT * g * (WATER.density - 870.0) * math.pi / 4.0 * (0.09 * INCH) ** 2
    pulled = (FLY.weight * g + g * float(RIG.net_masses(WATER)[:2].sum())) / floating
    expected = 14.0 * FOOT + min(pulled, 1.0) * 25.0 * FOOT
    assert found.depth[0] == pytest.approx(expected, rel=1e-6)
    slow = on(RIG, 1e-4)
    assert slow.depth[0] == pytest.approx(expected, rel=1e-3)


def test_the_loops_of_a_joint_pull_it_down() -> None:
    looped = Line(
        "rig",
        "Rig",
        segments=(TIP, HEAD),
        joints=(Joint(JointKind.LOOP_TO_LOOP, loop_ahead=Loop(LoopKind.BRAIDED, 0.0, 1e-3)),),
    )
    plain = on(RIG, 0.9).depth[0]
    assert on(Rigging.of(looped, LEADER, FLY), 0.9).depth[0] > plain + 0.01
    # As much mass in the fly's weight, at the other end of the tip, pulls more.
    heavy = Rigging.of(line_of("rig", "Rig", (TIP, HEAD)), LEADER, replace(FLY, weight=1.2e-3))
    assert on(heavy, 0.9).depth[0] > on(Rigging.of(looped, LEADER, FLY), 0.9).depth[0]


# -- traps --------------------------------------------------------------------------------------


def test_a_floating_leader_below_a_sinking_tip_does_not_end_the_line() -> None:
    coated = Leader(6.0 * FOOT, 0.03 * INCH, 900.0)
    rig = Rigging.of(line_of("rig", "Rig", (TIP, HEAD)), coated, replace(FLY, weight=0.0))
    found = on(rig, 0.6)
    assert found.states == (State.LEVEL,)
    assert found.depth[0] == pytest.approx(depth_by_scipy(rig, WATER, 0.6), rel=2e-4)
    # It is well below the surface, and rides above the lowest point of the tip.
    assert found.depth[0] > 0.5
    assert found.deepest[0] > found.depth[0] + 0.02
    assert not found.rises[0]


def test_a_dry_fly_on_a_sinking_tip_is_never_above_the_surface() -> None:
    buoyant, dry = Leader(9.0 * FOOT, 0.06 * INCH, 700.0), replace(FLY, weight=-2e-4)
    rig = Rigging.of(line_of("rig", "Rig", (piece(2.0, 0.04, 1500.0), HEAD)), buoyant, dry)
    found = on(rig, 1.0)
    assert found.states == (State.FLOATS,)
    assert found.depth[0] == 0.0
    assert found.deepest[0] >= 0.0


def test_what_floats_is_at_the_surface() -> None:
    rig = Rigging.of(line_of("rig", "Rig", (HEAD,)))
    for speed in (0.0, 0.5, 3.0):
        found = on(rig, speed)
        assert found.states == (State.FLOATS,)
        assert (found.depth[0], found.deepest[0], found.under[0]) == (0.0, 0.0, 0.0)


def test_a_sinking_piece_behind_a_long_floating_one_leaves_the_fly_where_it_was() -> None:
    behind = line_of("rig", "Rig", (TIP, HEAD, piece(3.0, 0.05, 1100.0)))
    found = on(Rigging.of(behind, LEADER, FLY), 0.9)
    assert found.states == (State.LEVEL,)
    assert found.rises[0]
    assert found.depth[0] == pytest.approx(on(RIG, 0.9).depth[0], rel=1e-6)


def test_the_whole_line_may_be_under() -> None:
    rig = Rigging.of(line_of("rig", "Rig", (TIP,)), LEADER, FLY)
    found = on(rig, 0.9)
    assert found.states == (State.UNDER,)
    assert found.under[0] == pytest.approx(14.0 * FOOT)


def test_a_bed_is_told_of_and_never_clipped_to() -> None:
    assert on(RIG, 0.6).depth[0] > 0.8
    found = hang(RIG, Cases([0.6, 2.0]), WATER, Stream(0.8))
    assert found.states == (State.BOTTOM, State.LEVEL)
    assert np.isnan(found.depth[0])
    assert found.depth[1] == pytest.approx(on(RIG, 2.0).depth[0], rel=1e-4)


def test_in_a_river_the_line_reaches_the_surface_from_the_depth_that_was_assumed() -> None:
    """The depth is where current and depth agree; slower water below lets it hang deeper."""
    speeds = np.array([0.5, 0.9, 1.5])
    river = hang(RIG, Cases(speeds), WATER, Stream(3.0, slackens=True))
    plain = hang(RIG, Cases(speeds), WATER)
    assert (river.depth > plain.depth).all()
    slowest = (1.0 - river.depth / 3.0) ** (1.0 / 6.0)
    assert (river.depth < hang(RIG, Cases(speeds * slowest), WATER).depth).all()
    deep = hang(RIG, Cases(speeds), WATER, Stream(1e4, slackens=True))
    assert deep.depth == pytest.approx(plain.depth, rel=1e-3)


@pytest.mark.parametrize(("seed", "speed", "bed"), [(0, 0.5, 0.8), (2, 0.9, 1.5), (5, 1.2, 3.0)])
def test_random_rigs_in_a_river_against_another_search(seed: int, speed: float, bed: float) -> None:
    """Found by another integration, and by looking down from the surface step by step."""
    rig = rigs(seed)
    found = hang(rig, Cases(speed), WATER, Stream(bed, slackens=True))
    other = depth_in_river(rig, WATER, speed, bed)
    assert found.depth[0] == pytest.approx(other, rel=3e-4, abs=1e-4, nan_ok=True)


def test_a_river_gives_the_same_for_a_case_alone_as_among_many() -> None:
    """Free, near the bed, and on the bottom: by secants, by the bracket, and not at all."""
    speeds = np.geomspace(0.15, 2.0, 14)
    for bed in (0.8, 2.0):
        stream = Stream(bed, slackens=True)
        many = hang(RIG, Cases(speeds), WATER, stream)
        alone = [hang(RIG, Cases(speed), WATER, stream) for speed in speeds]
        assert many.states == tuple(each.states[0] for each in alone)
        assert {State.BOTTOM, State.LEVEL} <= set(many.states)
        depths = [float(each.depth[0]) for each in alone]
        assert many.depth == pytest.approx(depths, rel=2e-4, nan_ok=True)
        free = np.isfinite(many.depth)
        tensions = np.array([each.tension[0] for each in alone])
        assert many.tension[free] == pytest.approx(tensions[free], rel=1e-3)


def test_a_rig_with_two_ways_to_hang_in_a_river_is_no_division_by_nought() -> None:
    """What is missing jumps where another floating part reaches the surface first."""
    speeds = 10.0 ** np.random.default_rng(41).uniform(-1, 0.4, 12)
    found = hang(rigs(34), Cases(speeds), WATER, Stream(1.5, slackens=True))
    known = np.array([state is not State.BOTTOM for state in found.states])
    assert (np.isfinite(found.depth) == known).all()


def test_a_shape_begins_at_the_fly_and_ends_at_the_surface() -> None:
    for rig in (RIG, Rigging.level([3.0], [0.001], [3000.0])):
        found = on(rig, 0.9)
        shape = found.shape()
        assert shape.along[0] == 0.0
        assert shape.depth[0] == pytest.approx(found.depth[0])
        assert shape.depth[-1] == pytest.approx(0.0, abs=1e-9)
        assert shape.x[-1] == 0.0
        steps = np.hypot(np.diff(shape.x), np.diff(shape.depth))
        assert steps.sum() == pytest.approx(found.under[0], rel=2e-3)
        assert (np.diff(shape.along) > 0.0).all()


# -- what must always hold ----------------------------------------------------------------------


def test_every_random_rig_has_a_depth_or_a_reason() -> None:
    """None fails; none is deeper than it is long, or above the surface."""
    speeds = np.array([0.0, 0.05, 0.3, 1.0, 2.5])
    for seed in range(HOW_MANY):
        rig = rigs(seed)
        stream = Stream(1.5, slackens=True) if seed % 10 == 0 else Stream()
        found = hang(rig, Cases(speeds), WATER, stream)
        known = np.array([state is not State.BOTTOM for state in found.states])
        assert (np.isfinite(found.depth) == known).all(), seed
        assert (found.depth[known] >= 0.0).all(), seed
        assert (found.depth[known] <= rig.length * (1.0 + 1e-9)).all(), seed
        assert (found.deepest[known] >= found.depth[known] - 1e-9).all(), seed
        assert np.isfinite(found.tension).all(), seed


seeds = st.integers(0, 100_000)
currents = st.floats(0.05, 3.0)


def heavier(rig: Rigging, times: float) -> Rigging:
    """Each piece of line so much heavier, as thick as it is."""
    return replace(rig, coat=rig.coat * np.where(rig.line > 0.0, times, 1.0))


@given(st.floats(5.0, 20.0), st.floats(1.02, 2.0), currents, st.floats(3.0, 20.0))
@settings(max_examples=60)
def test_a_heavier_tip_of_one_diameter_is_never_shallower(
    grains: float, times: float, speed: float, feet: float
) -> None:
    depths = [
        on(
            Rigging.of(
                line_of("rig", "Rig", (piece(feet, 0.045, of_weight(each, 0.045)), HEAD)),
                LEADER,
                FLY,
            ),
            speed,
        ).depth[0]
        for each in (grains, grains * times)
    ]
    assert depths[1] >= depths[0] - 2e-4


@given(seeds, currents, st.floats(1.02, 2.0))
@settings(max_examples=60)
def test_a_heavier_line_is_never_shallower(seed: int, speed: float, times: float) -> None:
    rig = rigs(seed)
    assert on(heavier(rig, times), speed).deepest[0] >= on(rig, speed).deepest[0] - 5e-4


@given(st.floats(5.0, 20.0), currents, st.floats(1.02, 3.0), st.floats(0.0, 0.3))
@settings(max_examples=60)
def test_faster_water_never_lets_it_deeper(
    grains: float, speed: float, times: float, taper: float
) -> None:
    tip = piece(10.0, 0.04, of_weight(grains), 0.04 * (1.0 + taper))
    rig = Rigging.of(line_of("rig", "Rig", (tip, HEAD)), LEADER, FLY)
    assert on(rig, speed * times).depth[0] <= on(rig, speed).depth[0] + 2e-4


@given(seeds, currents)
@settings(max_examples=40)
def test_finer_steps_change_nothing(seed: int, speed: float) -> None:
    rig = rigs(seed)
    fine = hang(rig, Cases(speed), WATER, refine=3.0)
    assert on(rig, speed).depth[0] == pytest.approx(fine.depth[0], rel=1e-4, abs=2e-4)


def test_a_rig_needs_something_to_hang() -> None:
    with pytest.raises(ValueError, match="no line"):
        hang(Rigging.of(line_of("rig", "Rig", ())), Cases(1.0), WATER)
