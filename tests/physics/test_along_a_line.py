"""What must hold of weight along any line: additive, rising, invertible, mirrored."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, line_of
from taperlab.model.segment import Core, Part, Segment
from taperlab.physics import frustum
from taperlab.physics.frustum import Taper
from taperlab.physics.profile import Profile


@st.composite
def segments(draw):
    front, rear = draw(st.floats(3e-4, 4e-3)), draw(st.floats(3e-4, 4e-3))
    core = None
    if draw(st.booleans()):
        core = Core(draw(st.floats(0.1, 1.0)) * min(front, rear), draw(st.floats(800.0, 3000.0)))
    return Segment(
        Part.BELLY, draw(st.floats(0.01, 30.0)), front, rear, draw(st.floats(300.0, 8e3)), core
    )


lines = st.lists(segments(), min_size=1, max_size=8).map(lambda s: line_of("k", "n", tuple(s)))
shares = st.floats(0.0, 1.0)


def reversed_line(line):
    pieces = [
        replace(s, front_diameter=s.rear_diameter, rear_diameter=s.front_diameter)
        for s in reversed(line.segments)
    ]
    return replace(
        line,
        segments=tuple(pieces),
        joints=line.joints[::-1],
        front_loop=line.rear_loop,
        rear_loop=line.front_loop,
    )


@given(segments(), st.floats(0.001, 0.999))
def test_a_cut_loses_no_weight(piece, share):
    d = piece.front_diameter + (piece.rear_diameter - piece.front_diameter) * share
    front = replace(piece, length=piece.length * share, rear_diameter=d)
    rear = replace(piece, length=piece.length * (1.0 - share), front_diameter=d)
    whole = Profile.of(line_of("k", "n", (piece,)))
    cut = Profile.of(line_of("k", "n", (front, rear)))
    assert cut.total_mass == pytest.approx(whole.total_mass, rel=1e-12)
    assert cut.balance() == pytest.approx(whole.balance(), rel=1e-12)


@given(lines, shares, shares)
def test_weight_is_additive(line, one, other):
    profile = Profile.of(line)
    a, b = sorted((one * profile.length, other * profile.length))
    parts = (
        profile.mass_between(0.0, a)
        + profile.mass_between(a, b)
        + profile.mass_between(b, profile.length)
    )
    assert parts == pytest.approx(profile.total_mass, rel=1e-12)


@given(lines)
def test_running_weight_rises_from_nothing_to_all(line):
    profile = Profile.of(line)
    running = profile.running_mass(np.linspace(0.0, profile.length, 301))
    assert running[0] == 0.0
    assert np.all(np.diff(running) > 0.0)
    assert running[-1] == pytest.approx(profile.total_mass, rel=1e-14)


@given(lines, shares)
def test_the_inverse_inverts(line, share):
    profile = Profile.of(line)
    x = share * profile.length
    back = profile.position_of(float(profile.running_mass(x)))
    # Where a thin part lies far behind heavy ones, a weight's last digit spans more length.
    thinnest = min(profile.linear_density(profile.starts[:-1], np.arange(len(line.segments))))
    thinnest = min(
        thinnest, *profile.linear_density(profile.starts[1:], np.arange(len(line.segments)))
    )
    slack = 1e-14 * profile.total_mass / thinnest
    assert back == pytest.approx(x, rel=1e-12, abs=slack + 1e-14)


@given(lines, shares)
def test_a_weight_is_found_where_it_is_reached(line, share):
    profile = Profile.of(line)
    mass = share * profile.total_mass
    assert profile.running_mass(profile.position_of(mass)) == pytest.approx(
        mass, rel=1e-12, abs=1e-14 * profile.total_mass
    )


@given(lines)
def test_reversing_mirrors_the_balance_point(line):
    forward, back = Profile.of(line), Profile.of(reversed_line(line))
    assert back.total_mass == pytest.approx(forward.total_mass, rel=1e-13)
    assert back.balance() == pytest.approx(forward.length - forward.balance(), rel=1e-9, abs=1e-9)


@given(lines, st.floats(0.1, 10.0))
def test_twice_as_dense_is_twice_as_heavy_and_balances_the_same(line, factor):
    heavier = replace(
        line,
        segments=tuple(
            replace(
                s,
                density=s.density * factor,
                core=Core(s.core.diameter, s.core.density * factor) if s.core else None,
            )
            for s in line.segments
        ),
    )
    before, after = Profile.of(line), Profile.of(heavier)
    assert after.total_mass == pytest.approx(before.total_mass * factor, rel=1e-12)
    assert after.balance() == pytest.approx(before.balance(), rel=1e-12)


LOOPED = Line(
    "k",
    "n",
    segments=(
        Segment(Part.SINK_TIP, 3.0, 0.0008, 0.0008, 5736.0),
        Segment(Part.BELLY, 7.0, 0.0024, 0.0024, 871.0),
    ),
    joints=(Joint(JointKind.LOOP_TO_LOOP, mass=0.0003),),
    front_loop=Loop(LoopKind.FOLDED, fold=0.06, mass=0.00005),
    rear_loop=Loop(LoopKind.BRAIDED, mass=0.0001),
)


def test_loops_and_sleeves_lie_where_they_are():
    profile = Profile.of(LOOPED)
    tip = float(frustum.linear_density(0.0008, 5736.0))
    assert profile.point_positions.tolist() == [0.0, 3.0, 10.0]
    front = 0.00005 + 0.06 * tip
    assert profile.point_masses == pytest.approx([front, 0.0003, 0.0001])
    assert profile.running_mass(0.0) == pytest.approx(front)
    assert profile.running_mass(2.0) == pytest.approx(front + 2.0 * tip)
    assert profile.running_mass(3.0) == pytest.approx(front + 3.0 * tip + 0.0003)
    assert profile.total_mass == pytest.approx(float(profile.running_mass(10.0)))


def test_a_stretch_weighs_what_lies_at_its_ends():
    profile = Profile.of(LOOPED)
    bare = profile.mass_between(1.0, 3.0, points=False)
    assert profile.mass_between(1.0, 3.0) == pytest.approx(bare + 0.0003)
    bare = profile.mass_between(3.0, 9.0, points=False)
    assert profile.mass_between(3.0, 9.0) == pytest.approx(bare + 0.0003)
    assert profile.mass_between(0.0, 10.0) == pytest.approx(profile.total_mass)


def test_loops_and_sleeves_count_in_the_balance():
    profile = Profile.of(LOOPED)
    tip, belly = (
        float(Taper(*row).mass())
        for row in ((3.0, 8e-4, 8e-4, 5736.0), (7.0, 2.4e-3, 2.4e-3, 871.0))
    )
    front, sleeve, rear = profile.point_masses
    moment = tip * 1.5 + belly * 6.5 + front * 0.0 + sleeve * 3.0 + rear * 10.0
    assert profile.balance() == pytest.approx(moment / profile.total_mass, rel=1e-12)
    assert profile.balance(np.array([1.0, 0.0]), np.array([1.0, 1.0, 0.0])) == pytest.approx(
        (tip * 1.5 + sleeve * 3.0) / (tip + front + sleeve), rel=1e-12
    )


def test_a_fold_is_as_long_and_as_thick_as_its_line_and_glue_has_no_size():
    profile = Profile.of(LOOPED)
    assert profile.point_folds == pytest.approx([0.06, 0.0, 0.0])
    assert profile.point_diameters[0] == pytest.approx(0.0008)


def test_a_breakpoint_belongs_to_the_segment_behind_it():
    profile = Profile.of(LOOPED)
    assert profile.segment_at(np.array([0.0, 2.9, 3.0, 3.1, 10.0])).tolist() == [0, 0, 1, 1, 1]
    assert profile.diameter(3.0) == 0.0024
    assert profile.linear_density(3.0) == pytest.approx(np.pi / 4.0 * 0.0024**2 * 871.0)


def test_a_weight_inside_a_sleeve_is_found_at_the_sleeve():
    profile = Profile.of(LOOPED)
    before = float(profile.running_mass(3.0)) - 0.0003
    assert profile.position_of(before + 0.0001) == pytest.approx(3.0, abs=1e-12)
    assert profile.position_of(0.0) == 0.0
    assert profile.position_of(profile.total_mass) == pytest.approx(10.0, abs=1e-12)


@pytest.mark.parametrize("factor", [-0.1, 1.01])
def test_a_weight_that_the_line_does_not_hold_is_refused(factor):
    profile = Profile.of(LOOPED)
    with pytest.raises(ValueError, match="the line holds"):
        profile.position_of(factor * profile.total_mass)


def test_an_empty_line_weighs_nothing_and_balances_nowhere():
    profile = Profile.of(Line("k", "n"))
    assert profile.total_mass == 0.0
    assert profile.running_mass(1.0) == 0.0
    assert np.isnan(profile.balance())
