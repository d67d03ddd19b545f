"""Mass per length from an outline and weights."""

from itertools import pairwise

import numpy as np
import pytest

from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import NO_LOOP, Loop, LoopKind
from taperlab.model.measurement import USUAL, Material, WeighedSection
from taperlab.shop.belief.line import LineBelief
from taperlab.shop.belief.outline import Outline, Shape

THOU = 0.001 * INCH

LENGTH = 30.0 * FOOT
FEET = np.linspace(0.0, 30.0, 21)
DENSITY = 900.0
MASS = float(DENSITY * np.pi / 12.0 * LENGTH * (0.04**2 + 0.04 * 0.08 + 0.08**2) * INCH**2)
"""A straight taper from 0.040 to 0.080 in: a frustum."""

WHOLE = WeighedSection(0.0, LENGTH, MASS)


def outline(last: float = 30.0) -> Outline:
    feet = np.linspace(0.0, last, 21)
    thick = (40.0 + 40.0 * feet / 30.0) * THOU
    none = np.array([])
    error = np.full(21, 0.3 * THOU)
    return Outline(Shape(LENGTH, feet * FOOT, thick, error, none, none, none.astype(bool)))


def belief(*sections, loops=(NO_LOOP, NO_LOOP), material=Material.NOT_SAID, last=30.0):
    return LineBelief(outline(last), sections, USUAL, loops=loops, material=material)


def frustum(front: float, rear: float) -> float:
    d1, d2 = (0.04 + 0.04 * x / LENGTH for x in (front, rear))
    return DENSITY * np.pi / 12.0 * (rear - front) * (d1**2 + d1 * d2 + d2**2) * INCH**2


def test_a_straight_taper_of_one_density_weighs_what_a_frustum_does():
    found = belief(WHOLE)
    assert found.density == pytest.approx(DENSITY, rel=1e-3)
    x = np.array([3.0, 11.1, 17.77, 30.0]) * FOOT
    read = found.read(x)
    assert read.running == pytest.approx([frustum(0.0, each) for each in x], rel=2e-3)
    d = 0.04 + 0.04 * x / LENGTH
    assert read.linear_density == pytest.approx(DENSITY * np.pi / 4.0 * (d * INCH) ** 2, rel=3e-3)
    # The whole is known as well as the scale says, and a place is not.
    assert read.running_half[-1] == pytest.approx(1.96 * 0.5 / np.sqrt(12.0) * GRAIN, rel=0.02)
    assert np.all(read.linear_density_half[:3] > 0.03 * read.linear_density[:3])


def test_a_weight_ahead_is_as_sure_however_it_is_asked_for():
    found, x = belief(WHOLE), np.array([6.0, 18.0, 29.0]) * FOOT
    read = found.read(x)
    for asked in (
        found.weight([WeighedSection(0.0, float(each), 1.0) for each in x]),
        found.mass(np.zeros(3), x),
    ):
        assert asked[0] == pytest.approx(read.running, rel=1e-6)
        assert asked[1] == pytest.approx(read.running_half, rel=0.02)


def test_weighing_parts_and_knowing_the_material_narrow_the_band():
    at = np.array([0.0, 10.0, 20.0, 30.0]) * FOOT
    parts = [WeighedSection(a, b, frustum(a, b)) for a, b in pairwise(at)]
    x = np.array([5.0, 15.0, 25.0]) * FOOT
    alone, three, even, one = (
        each.read(x).linear_density_half
        for each in (
            belief(WHOLE),
            belief(WHOLE, *parts),
            belief(WHOLE, material=Material.EVEN),
            belief(WHOLE, material=Material.ONE),
        )
    )
    assert np.all(three < 0.5 * alone)
    assert np.all(even < 0.65 * alone)
    assert np.all(one < 1.2 * alone)


def test_a_denser_front_is_seen_from_an_offcut():
    front = WeighedSection(0.0, 8.0 * FOOT, 1.1 * frustum(0.0, 8.0 * FOOT))
    total = MASS + 0.1 * frustum(0.0, 8.0 * FOOT)
    found = belief(WeighedSection(0.0, LENGTH, total), front)
    mass, half = found.mass(np.array([0.0]), np.array([8.0 * FOOT]))
    assert mass[0] == pytest.approx(front.mass, abs=half[0])
    assert half[0] < 1.0 * GRAIN
    e = found.ladder.mean(np.eye(found.ladder.size))
    assert e[5] - e[80] == pytest.approx(0.1, abs=0.04)


def test_loops_belong_to_the_ends():
    loop = Loop(LoopKind.FOLDED, 3.0 * INCH, 2.0 * GRAIN)
    at_end = np.pi / 4.0 * DENSITY * (0.08 * INCH) ** 2 * 3.0 * INCH + 2.0 * GRAIN
    found = belief(WeighedSection(0.0, LENGTH, MASS + at_end), loops=(NO_LOOP, loop))
    assert found.density == pytest.approx(DENSITY, rel=1e-3)
    without, _ = found.mass(np.array([0.0]), np.array([LENGTH]))
    assert without[0] == pytest.approx(MASS, rel=1e-4)
    with_it, _ = found.weight([WHOLE])
    assert with_it[0] == pytest.approx(MASS + at_end, rel=1e-4)


def test_an_end_on_the_pan_carries_half_of_what_hangs():
    """Less 3 %: 8 ft from the rod end on the pan, 15 in free."""
    span, front = 15.0 * INCH, 22.0 * FOOT
    read = frustum(front, LENGTH) + 0.47 * frustum(front - span, front)
    found = belief(WHOLE)
    row = found.weighed([WeighedSection(front, LENGTH, read, span)])
    assert row.described[0] == pytest.approx(read, rel=2e-3)
    assert row.noise[0] == pytest.approx(1.0 * GRAIN, rel=0.1)
    mirrored = found.weighed([WeighedSection(0.0, 8.0 * FOOT, read, span)])
    expected = frustum(0.0, 8.0 * FOOT) + 0.47 * frustum(8.0 * FOOT, 8.0 * FOOT + span)
    assert mirrored.described[0] == pytest.approx(expected, rel=2e-3)
    # Weighed so, the front is known better than from the total alone.
    then = belief(WHOLE, WeighedSection(front, LENGTH, read, span))
    before, after = (each.mass(np.array([0.0]), np.array([front]))[1][0] for each in (found, then))
    assert after < 0.6 * before


def test_where_no_station_stands_is_told_from_where_they_do():
    read = belief(WHOLE, last=25.0).read(np.array([24.0, 27.0, 29.5]) * FOOT)
    assert read.measured.tolist() == [True, False, False]
    assert np.all(np.diff(read.linear_density_half / read.linear_density) > 0.0)
    assert read.diameter_half[-1] > 15.0 * THOU


def test_a_section_that_ends_within_the_tape_ends_with_the_line():
    for short in (0.0, 0.002, -0.002):
        found = belief(WeighedSection(0.0, LENGTH + short, MASS))
        assert found.density == pytest.approx(DENSITY, rel=1e-3)
        assert found.readings.noise[0] == pytest.approx(0.5 * GRAIN / np.sqrt(12.0), rel=1e-6)
