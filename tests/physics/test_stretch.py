"""The best stretch of a tapered stock line, against a dense search over all beginnings."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from taperlab.model.segment import Part, Segment
from taperlab.physics.mass_along import MassAlong, square_difference, worst_difference
from taperlab.physics.stretch import ALIKE, Stretch, Wanted, best_stretches, grid_stretches
from tests.looped import FOOT, GRAIN, INCH

PER_FOOT = GRAIN / FOOT


def taper(feet: float, front: float, rear: float, density: float = 870.0) -> Segment:
    return Segment(Part.BELLY, feet * FOOT, front * INCH, rear * INCH, density)


HEAD = MassAlong.of(
    (taper(4, 0.04, 0.045), taper(9, 0.045, 0.08), taper(14, 0.08, 0.085), taper(12, 0.085, 0.036))
)


def dense(stock: MassAlong, wanted: Wanted, points: int = 20_001) -> float:
    """Least root mean square over beginnings on a dense grid, both ways round."""
    best = math.inf
    for line in (stock, stock.reversed()):
        begins = np.linspace(wanted.ahead, line.length - wanted.behind, points)
        if wanted.keeps_weight:
            heaviest = line.running_mass(line.length - wanted.behind)
            begins = begins[line.running_mass(begins) + wanted.taper.mass <= heaviest]
            lengths = line.position_of(line.running_mass(begins) + wanted.taper.mass) - begins
        else:
            begins = begins[begins + wanted.taper.length <= line.length - wanted.behind]
            lengths = np.full_like(begins, wanted.taper.length)
        if len(begins):
            square = square_difference(line, wanted.taper, begins, lengths)
            best = min(best, math.sqrt(float(square.min())))
    return best


@settings(max_examples=20, deadline=None)
@given(
    st.floats(2.0, 12.0), st.floats(0.036, 0.086), st.floats(0.036, 0.086), st.booleans(),
    st.floats(0.0, 2.0),
)  # fmt: skip
def test_it_is_as_good_as_a_dense_search(
    feet: float, front: float, rear: float, keeps: bool, beyond: float
) -> None:
    wanted = Wanted(MassAlong.of((taper(feet, front, rear),)), beyond * INCH, beyond * INCH, keeps)
    found = best_stretches(HEAD, wanted)
    best = min(each.rms for each in found)
    assert best <= dense(HEAD, wanted) + 1e-7 * PER_FOOT
    # What is shown first is as good, and nearer an end.
    assert found[0].rms <= best + ALIKE
    for each in found:
        check(HEAD, wanted, each)


def check(stock: MassAlong, wanted: Wanted, found: Stretch) -> None:
    """The weight or the length is kept, and all that is taken lies on the stock."""
    assert found.taken[0] + 1e-9 >= 0.0
    assert found.taken[1] <= stock.length + 1e-9
    taken = found.taken[1] - found.taken[0]
    assert taken == pytest.approx(found.length + wanted.ahead + wanted.behind, abs=1e-9)
    mass = float(stock.running_mass(found.begin + found.length) - stock.running_mass(found.begin))
    assert found.mass == pytest.approx(mass, rel=1e-9)
    if wanted.keeps_weight:
        assert mass == pytest.approx(wanted.taper.mass, rel=1e-9)
    else:
        assert found.length == wanted.taper.length
    # The worst place, against many places.
    line = stock.reversed() if found.turned else stock
    begin = stock.length - found.begin - found.length if found.turned else found.begin
    u = np.linspace(1e-9, 1.0 - 1e-9, 4001)
    there = wanted.taper.linear_density(wanted.taper.length * u)
    apart = line.linear_density(begin + found.length * u) - there
    assert abs(found.worst) == pytest.approx(float(np.abs(apart).max()), abs=2e-3 * PER_FOOT)
    # And by its own measure, which may be elsewhere.
    assert found.share_off == pytest.approx(float((np.abs(apart) / there).max()), abs=1e-3)


@pytest.mark.parametrize("keeps", [True, False])
def test_of_one_cone_for_another_the_best_place_is_inside(keeps: bool) -> None:
    """No breakpoint of either falls between: the least lies where nothing else would be tried."""
    cone = MassAlong.of((taper(12, 0.03, 0.09),))
    wanted = Wanted(MassAlong.of((taper(4, 0.05, 0.064),)), keeps_weight=keeps)
    found = min(best_stretches(cone, wanted), key=lambda each: each.rms)
    assert found.rms <= dense(cone, wanted) + 1e-7 * PER_FOOT
    assert 1.0 * FOOT < found.begin < cone.length - found.length - 1.0 * FOOT


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_the_worst_place_may_lie_between_ends_that_agree(sign: float) -> None:
    """A parabola that is two fifths heavier, or lighter, in its middle than at both ends."""
    size, end = 3.0, 1e-3
    bent = MassAlong.of_cells(
        [size], [[end, sign * 1.6 * end / size, -sign * 1.6 * end / size**2, 0.0]]
    )
    even = MassAlong.of_cells([size], [[end, 0.0, 0.0, 0.0]])
    assert worst_difference(bent, even, 0.0, size) == pytest.approx(sign * 0.4 * end)
    assert worst_difference(even, bent, 0.0, size) == pytest.approx(-sign * 0.4 * end)


def test_a_stretch_of_the_stock_itself_is_found_either_way_round() -> None:
    own = HEAD.cut(6.0 * FOOT, 11.0 * FOOT)
    for target, turned in ((own, False), (own.reversed(), True)):
        for keeps in (True, False):
            found = min(
                best_stretches(HEAD, Wanted(target, keeps_weight=keeps)), key=lambda e: e.rms
            )
            assert found.rms < 1e-6 * PER_FOOT
            assert found.begin == pytest.approx(6.0 * FOOT, abs=1e-3 * FOOT)
            assert found.turned is turned


def test_on_a_level_stretch_the_end_of_the_stock_is_taken() -> None:
    level = MassAlong.of((taper(30, 0.08, 0.08),))
    first = best_stretches(level, Wanted(level.cut(0.0, 5.0 * FOOT), 0.5 * INCH, 0.5 * INCH))[0]
    assert not first.turned
    assert first.taken[0] == pytest.approx(0.0, abs=1e-9)
    behind = best_stretches(level, Wanted(level.cut(0.0, 5.0 * FOOT)), [(8.0 * FOOT, 14.0 * FOOT)])[
        0
    ]
    assert behind.begin == pytest.approx(8.0 * FOOT)


def test_stock_that_is_too_short_or_spoken_for_has_none() -> None:
    target = Wanted(HEAD.cut(2.0, 9.0))
    assert best_stretches(HEAD, target, [(0.0, 1.0), (4.0, 6.0)]) == ()
    short = MassAlong.of((taper(3, 0.04, 0.05),))
    for keeps in (True, False):
        assert best_stretches(short, Wanted(HEAD, keeps_weight=keeps)) == ()


def test_both_ends_keep_to_the_joint_step() -> None:
    target = HEAD.cut(5.0 * FOOT, 10.0 * FOOT)
    neighbour = float(HEAD.linear_density(7.0 * FOOT))
    wanted = Wanted(target, largest_step=1.05, before=neighbour)
    for each in best_stretches(HEAD, wanted):
        line = HEAD.reversed() if each.turned else HEAD
        begin = HEAD.length - each.begin - each.length if each.turned else each.begin
        step = float(line.linear_density(begin)) / neighbour
        assert max(step, 1.0 / step) <= 1.0501


def test_on_the_grid_are_all_that_fit() -> None:
    target = Wanted(HEAD.cut(5.0 * FOOT, 10.0 * FOOT))
    found = grid_stretches(HEAD, target, 0.25 * FOOT, 0.5 * PER_FOOT)
    assert found
    assert all(each.rms <= 0.5 * PER_FOOT for each in found)
    begins = sorted(each.begin for each in found if not each.turned)
    assert any(abs(each - 5.0 * FOOT) < 1e-6 for each in begins)
    for each in found:
        check(HEAD, target, each)
