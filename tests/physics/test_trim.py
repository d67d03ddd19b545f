"""Shortening a line: what is kept and what comes off make the whole."""

import itertools
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind
from taperlab.model.segment import Core, Part, Segment
from taperlab.physics.profile import Profile
from taperlab.physics.trim import scaled_to, trim

HEAD = (
    Segment(Part.TIP, 10 * FOOT, 0.04 * INCH, 0.04 * INCH, 4000.0),
    Segment(Part.FRONT_TAPER, 8 * FOOT, 0.05 * INCH, 0.09 * INCH, 880.0, Core(0.02 * INCH, 1140.0)),
    Segment(Part.BELLY, 15 * FOOT, 0.09 * INCH, 0.09 * INCH, 880.0),
)
LINE = Line(
    "k",
    "n",
    segments=(*HEAD, Segment(Part.RUNNING_LINE, 80 * FOOT, 0.03 * INCH, 0.03 * INCH, 900.0)),
    joints=(
        Joint(JointKind.BUTT_WELD, mass=2 * GRAIN),
        Joint(),
        Joint(JointKind.BUTT_WELD, mass=3 * GRAIN),
    ),
    front_loop=Loop(LoopKind.FOLDED, 2 * INCH, GRAIN),
    rear_loop=Loop(LoopKind.BRAIDED, 0.0, 1.5 * GRAIN),
)


@given(st.floats(0.001, 0.998), st.floats(0.001, 0.998))
def test_three_pieces_weigh_what_the_whole_weighs(a: float, b: float) -> None:
    low, high = sorted((a, b))
    if high - low < 1e-3:
        high = low + 1e-3
    cuts = [0.0, low * LINE.length, high * LINE.length, LINE.length]
    pieces = [trim(LINE, x, y) for x, y in itertools.pairwise(cuts)]
    sleeves = [mass for s, mass in ((10.0, 2.0), (33.0, 3.0)) if s * FOOT in cuts]
    total = sum(Profile.of(piece).total_mass for piece in pieces) + sum(sleeves) * GRAIN
    assert total == pytest.approx(Profile.of(LINE).total_mass, rel=1e-9)
    assert sum(piece.length for piece in pieces) == pytest.approx(LINE.length)


def test_a_cut_inside_a_taper_interpolates_the_diameter() -> None:
    piece = trim(LINE, 12 * FOOT, 16 * FOOT)
    assert len(piece.segments) == 1
    assert piece.segments[0].front_diameter == pytest.approx(0.06 * INCH)
    assert piece.segments[0].rear_diameter == pytest.approx(0.08 * INCH)
    assert piece.front_loop == piece.rear_loop == Loop()


def test_a_cut_at_a_joint_takes_the_joint_with_the_offcut() -> None:
    assert len(trim(LINE, 10 * FOOT, 33 * FOOT).joints) == 1
    assert Profile.of(trim(LINE, 0.0, 10 * FOOT)).total_mass + 2 * GRAIN + Profile.of(
        trim(LINE, 10 * FOOT, LINE.length)
    ).total_mass == pytest.approx(Profile.of(LINE).total_mass, rel=1e-12)


@pytest.mark.parametrize(("front", "rear"), [(2.0, 1.0), (-0.1, 1.0), (0.0, 99.0)])
def test_positions_outside_the_line_are_refused(front: float, rear: float) -> None:
    with pytest.raises(ValueError, match="cannot keep"):
        trim(LINE, front, rear)


@given(st.floats(100.0, 2000.0))
def test_scaling_reaches_the_weight_and_leaves_the_fittings_alone(grains: float) -> None:
    scaled = scaled_to(LINE, grains * GRAIN)
    assert Profile.of(scaled).total_mass == pytest.approx(grains * GRAIN, rel=1e-12)
    assert scaled.joints == LINE.joints
    assert scaled.front_loop == LINE.front_loop
    cored = scaled.segments[1]
    assert cored.core is not None
    assert LINE.segments[1].core is not None
    assert cored.density / LINE.segments[1].density == pytest.approx(
        cored.core.density / LINE.segments[1].core.density
    )


def test_nothing_can_be_scaled_to_less_than_its_fittings() -> None:
    with pytest.raises(ValueError, match="loops and joints"):
        scaled_to(LINE, 7 * GRAIN)
    with pytest.raises(ValueError, match="empty"):
        scaled_to(replace(LINE, segments=(), joints=()), 1.0)
