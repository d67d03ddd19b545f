"""Making a head heavier or lighter, against quadrature and scipy's root finder."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, Style, line_of
from taperlab.model.segment import Core, Part, Segment
from taperlab.physics.grading import Bound, Grading, stretched
from taperlab.physics.profile import Profile

FOOT, INCH, GRAIN = 0.3048, 0.0254, 64.79891e-6
BRAID = Loop(LoopKind.BRAIDED, 0.0, 1.5 * GRAIN)
FOLD = Loop(LoopKind.FOLDED, 2.5 * INCH, 0.4 * GRAIN)


def scandi(core: Core | None = None) -> Line:
    """A head that thins toward its fly end, with a level tip, a rear taper, loops and a sleeve."""
    density = 870.0
    rows = [
        (Part.TIP, 1.0, 0.034, 0.034),
        (Part.FRONT_TAPER, 17.0, 0.034, 0.076),
        (Part.FRONT_TAPER, 12.0, 0.076, 0.104),
        (Part.BELLY, 7.0, 0.104, 0.104),
        (Part.REAR_TAPER, 1.5, 0.104, 0.060),
    ]
    segments = tuple(
        Segment(part, length * FOOT, front * INCH, rear * INCH, density, core)
        for part, length, front, rear in rows
    )
    butt = Joint(JointKind.BUTT_WELD, mass=0.8 * GRAIN)
    plain = line_of("head", "Head", segments, Style.SCANDI)
    joints = (*plain.joints[:2], butt, plain.joints[3])
    return replace(plain, joints=joints, front_loop=FOLD, rear_loop=BRAID)


CORED = Core(0.022 * INCH, 1150.0)


def weight_by_quadrature(head: Line) -> float:
    """Grains of a head by integration along it: nothing of the program's own sums."""
    total = 0.0
    for segment in head.segments:
        rho, core = segment.density, segment.core
        a, b, size = segment.front_diameter, segment.rear_diameter, segment.length
        c, excess = (core.diameter, core.density - rho) if core else (0.0, 0.0)

        def along(
            x: float,
            a: float = a,
            slope: float = (b - a) / size,
            rho: float = rho,
            core: float = excess * c * c,
        ) -> float:
            return math.pi / 4.0 * (rho * (a + slope * x) ** 2 + core)

        total += quad(along, 0.0, size, epsabs=0.0, epsrel=1e-13)[0]
    ends = ((head.front_loop, head.segments[0], 0), (head.rear_loop, head.segments[-1], 1))
    for loop, segment, at_rear in ends:
        d = segment.rear_diameter if at_rear else segment.front_diameter
        core = segment.core
        c, excess = (core.diameter, core.density - segment.density) if core else (0.0, 0.0)
        folded = math.pi / 4.0 * (segment.density * d**2 + excess * c**2)
        total += loop.mass + loop.fold * folded
    return (total + sum(joint.mass for joint in head.joints)) / GRAIN


def with_diameters(head: Line, law) -> Line:
    return replace(
        head,
        segments=tuple(
            replace(each, front_diameter=law(i, 0, each), rear_diameter=law(i, 1, each))
            for i, each in enumerate(head.segments)
        ),
    )


def held_front(head: Line, k: float) -> Line:
    """The law of a held front end as the words have it, with the thickest place by name."""
    tip, top = 0.034 * INCH, 0.104 * INCH

    def law(row: int, at_rear: int, each: Segment) -> float:
        d = each.rear_diameter if at_rear else each.front_diameter
        ahead = row <= 2
        return d + k * (d - tip) * top / (top - tip) if ahead else d * (1.0 + k)

    return with_diameters(head, law)


@pytest.mark.parametrize("core", [None, CORED], ids=["plain", "cored"])
@pytest.mark.parametrize("grains", [300.0, 359.0, 420.0, 480.0, 610.0])
def test_a_held_front_weighs_what_a_root_finder_makes_of_it(
    core: Core | None, grains: float
) -> None:
    head = scandi(core)
    k = brentq(lambda k: weight_by_quadrature(held_front(head, k)) - grains, -0.5, 1.0, xtol=1e-14)
    grading = Grading.of(head, hold_front=True)
    found = grading.for_mass(grains * GRAIN)
    assert found == pytest.approx(k, abs=1e-11)
    made = grading.moved(found)
    assert weight_by_quadrature(made) == pytest.approx(grains, rel=1e-12)
    for ours, theirs in zip(made.segments, held_front(head, k).segments, strict=True):
        assert ours.front_diameter == pytest.approx(theirs.front_diameter, rel=1e-11)
        assert ours.rear_diameter == pytest.approx(theirs.rear_diameter, rel=1e-11)


@pytest.mark.parametrize("core", [None, CORED], ids=["plain", "cored"])
@pytest.mark.parametrize("grains", [300.0, 480.0, 610.0])
def test_a_kept_shape_weighs_what_a_root_finder_makes_of_it(
    core: Core | None, grains: float
) -> None:
    head = scandi(core)

    def shaped(k: float) -> Line:
        def law(row: int, at_rear: int, each: Segment) -> float:
            return (1.0 + k) * (each.rear_diameter if at_rear else each.front_diameter)

        return with_diameters(head, law)

    k = brentq(lambda k: weight_by_quadrature(shaped(k)) - grains, -0.3, 1.0, xtol=1e-14)
    found = Grading.of(head, hold_front=False).for_mass(grains * GRAIN)
    assert found == pytest.approx(k, abs=1e-11)


def test_with_a_core_density_changes_so_the_root_of_the_weights_is_wrong() -> None:
    plain, cored = (replace(scandi(core), front_loop=BRAID) for core in (None, CORED))
    bare = [replace(each, rear_loop=Loop(), front_loop=Loop()) for each in (plain, cored)]
    bare = [replace(each, joints=line_of("", "", each.segments).joints) for each in bare]
    for head, fits in zip(bare, (True, False), strict=True):
        now = Profile.of(head).total_mass
        k = Grading.of(head, hold_front=False).for_mass(1.3 * now)
        by_root = math.sqrt(1.3) - 1.0
        assert (k == pytest.approx(by_root, rel=1e-12)) is fits
        made = Grading.of(head, hold_front=False).moved(k)
        assert Profile.of(made).total_mass == pytest.approx(1.3 * now, rel=1e-13)


def test_the_front_end_stays_to_the_last_digit_and_the_rear_taper_goes_with_the_belly() -> None:
    head = scandi()
    grading = Grading.of(head, hold_front=True)
    made = grading.moved(grading.for_mass(600.0 * GRAIN))
    tip = made.segments[0]
    assert (tip.front_diameter, tip.rear_diameter) == (0.034 * INCH, 0.034 * INCH)
    assert made.segments[1].front_diameter == 0.034 * INCH
    belly, rear = made.segments[3], made.segments[4]
    grown = belly.front_diameter / (0.104 * INCH)
    assert grown > 1.05
    assert rear.rear_diameter / (0.060 * INCH) == pytest.approx(grown, rel=1e-14)


@given(st.integers(1, 4), st.floats(0.02, 0.98), st.floats(330.0, 600.0), st.booleans())
@settings(max_examples=60, deadline=None)
def test_splitting_a_row_inside_a_straight_taper_changes_nothing(
    row: int, share: float, grains: float, hold: bool
) -> None:
    head = scandi(CORED)
    whole = head.segments[row]
    at = share * whole.length
    cut = (whole.cut(0.0, at), whole.cut(at, whole.length))
    segments = (*head.segments[:row], *cut, *head.segments[row + 1 :])
    joints = (*head.joints[:row], line_of("", "", cut).joints[0], *head.joints[row:])
    split = replace(head, segments=segments, joints=joints)
    k, other = (
        Grading.of(each, hold_front=hold).for_mass(grains * GRAIN) for each in (head, split)
    )
    assert k == pytest.approx(other, abs=1e-11)
    one, two = (Grading.of(each, hold_front=hold).moved(k) for each in (head, split))
    places = np.linspace(0.0, head.length * 0.999999, 57)
    np.testing.assert_allclose(
        Profile.of(one).diameter(places), Profile.of(two).diameter(places), rtol=1e-10
    )


@given(st.floats(-1e-9, 1e-9), st.booleans())
def test_nothing_cancels_near_the_weight_that_it_has(off: float, hold: bool) -> None:
    head = scandi(CORED)
    grading = Grading.of(head, hold_front=hold)
    _, b, now = grading.quadratic
    wanted = now * (1.0 + off)
    assume(wanted != now)
    k = grading.for_mass(wanted)
    # To first order k is the change over B; the next order is k times smaller.
    assert k == pytest.approx((wanted - now) / b, rel=1e-7)
    assert grading.for_mass(now) == 0.0


def test_a_held_front_has_a_least_weight_where_the_head_is_level() -> None:
    head = scandi()
    reach = Grading.of(head, hold_front=True).reach
    assert reach.lower is Bound.FRONT
    level = with_diameters(
        head,
        lambda row, at_rear, each: (
            (each.rear_diameter if at_rear else each.front_diameter) * 0.034 / 0.104
            if row > 2
            else 0.034 * INCH
        ),
    )
    assert reach.least / GRAIN == pytest.approx(weight_by_quadrature(level), rel=1e-12)
    grading = Grading.of(head, hold_front=True)
    assert grading.for_mass(reach.least * 0.999) is None
    at_least = grading.moved(grading.for_mass(reach.least * 1.000001))
    assert at_least.segments[3].front_diameter == pytest.approx(0.034 * INCH, rel=1e-4)
    # The same head with its shape kept goes far below that.
    assert Grading.of(head, hold_front=False).for_mass(reach.least * 0.5) is not None


def test_a_core_ends_it_where_no_coat_is_left() -> None:
    head = scandi(CORED)
    grading = Grading.of(head, hold_front=False)
    assert grading.reach.lower is Bound.CORE
    thinnest = grading.moved(grading.for_mass(grading.reach.least))
    assert min(each.front_diameter for each in thinnest.segments) == pytest.approx(0.022 * INCH)
    assert grading.for_mass(grading.reach.least * 0.99) is None


def test_line_is_not_made_thicker_than_there_is() -> None:
    grading = Grading.of(scandi(), hold_front=True)
    assert grading.reach.upper is Bound.DIAMETER
    made = grading.moved(grading.for_mass(grading.reach.most))
    assert max(each.rear_diameter for each in made.segments) == pytest.approx(0.0127)
    assert grading.for_mass(grading.reach.most * 1.01) is None


@pytest.mark.parametrize(
    ("front", "rear"), [(0.09, 0.09), (0.1, 0.08)], ids=["level", "thickest in front"]
)
def test_a_head_that_is_nowhere_thicker_than_its_front_end_keeps_its_shape(
    front: float, rear: float
) -> None:
    segment = Segment(Part.BELLY, 8.0, front * INCH, rear * INCH, 870.0)
    head = line_of("head", "Head", (segment,))
    held, shaped = (Grading.of(head, hold_front=hold) for hold in (True, False))
    assert not held.holds
    wanted = 1.2 * Profile.of(head).total_mass
    assert held.for_mass(wanted) == shaped.for_mass(wanted) == pytest.approx(math.sqrt(1.2) - 1)


@given(st.floats(0.3, 3.0), st.floats(200.0, 900.0), st.booleans())
@settings(max_examples=60, deadline=None)
def test_loops_and_sleeves_are_counted_and_stay(factor: float, grains: float, hold: bool) -> None:
    head = stretched(scandi(CORED), factor)
    assert head.length == pytest.approx(factor * 38.5 * FOOT)
    assert (head.front_loop, head.rear_loop, head.joints) == (
        FOLD,
        BRAID,
        scandi(CORED).joints,
    )
    grading = Grading.of(head, hold_front=hold)
    reach = grading.reach
    k = grading.for_mass(grains * GRAIN)
    assert (k is not None) == (reach.least <= grains * GRAIN <= reach.most)
    if k is not None:
        assert weight_by_quadrature(grading.moved(k)) == pytest.approx(grains, rel=1e-11)
