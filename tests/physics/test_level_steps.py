"""Level steps in place of a taper, against all breaks on a grid."""

from __future__ import annotations

import itertools
import math
import os
import random

import numpy as np
import pytest

from taperlab.model.segment import Part, Segment
from taperlab.physics.level_steps import (
    EIGHTH,
    LevelSteps,
    StepLimits,
    level_steps,
    smallest_tolerance,
    widest_gap,
)
from taperlab.physics.mass_along import MassAlong
from tests.looped import FOOT, GRAIN, INCH

PER_FOOT = GRAIN / FOOT
SHELF = [each * PER_FOOT for each in (6.0, 8.0, 10.0, 11.0, 14.0, 17.0)]
DRAWN = int(os.environ.get("TAPERLAB_STEPS", "25"))


def taper(feet: float, front: float, rear: float) -> MassAlong:
    return MassAlong.of((Segment(Part.BELLY, feet * FOOT, front * INCH, rear * INCH, 870.0),))


def by_hand(
    target: MassAlong, stocks: list[float], limits: StepLimits, most: list[float]
) -> int | None:
    """The fewest pieces with breaks on a grid of an inch, every sequence and every break tried.

    The weight may be off by what half a step of the grid at every break can do.
    """
    cells = round(target.length / INCH)
    grid = np.arange(cells + 1) * INCH
    wanted = target.linear_density(grid)
    least = round(limits.shortest / INCH)
    fits = [np.abs(wanted - each) <= limits.tolerance + 1e-12 for each in stocks]
    cover = [np.concatenate(([0], np.cumsum(~each))) for each in fits]

    def fine(stock: int, begin: int, end: int) -> bool:
        return bool(cover[stock][end + 1] - cover[stock][begin] == 0)

    for count in range(1, 4):
        for chosen in itertools.permutations(range(len(stocks)), count):
            steps = [
                max(stocks[a], stocks[b]) / min(stocks[a], stocks[b])
                for a, b in itertools.pairwise(chosen)
            ]
            if any(each > limits.largest_step for each in steps):
                continue
            slack = limits.slack + sum(
                abs(stocks[a] - stocks[b]) * INCH / 2.0 for a, b in itertools.pairwise(chosen)
            )
            for breaks in itertools.combinations(range(least, cells - least + 1), count - 1):
                edges = (0, *breaks, cells)
                sizes = [b - a for a, b in itertools.pairwise(edges)]
                if min(sizes) < least:
                    continue
                if any(size * INCH > most[i] for i, size in zip(chosen, sizes, strict=True)):
                    continue
                if not all(
                    fine(one, a, b)
                    for one, (a, b) in zip(chosen, itertools.pairwise(edges), strict=True)
                ):
                    continue
                mass = sum(stocks[i] * size * INCH for i, size in zip(chosen, sizes, strict=True))
                if abs(mass - target.mass) <= slack:
                    return count
    return None


def check(target: MassAlong, limits: StepLimits, found: LevelSteps, stocks: list[float]) -> None:
    assert found.breaks[0] == 0.0
    assert found.breaks[-1] == pytest.approx(target.length)
    assert min(found.lengths) >= limits.shortest - 1e-9
    mass = sum(stocks[i] * size for i, size in zip(found.stocks, found.lengths, strict=True))
    assert mass - target.mass == pytest.approx(found.mass_off, abs=1e-12)
    heaviest, lightest = max(stocks), min(stocks)
    # A break on the tape is within half an eighth of where it should be.
    slack = limits.slack if len(found.stocks) == 1 else (heaviest - lightest) * EIGHTH
    assert abs(found.mass_off) <= slack + limits.slack
    for stock, (begin, end) in zip(found.stocks, itertools.pairwise(found.breaks), strict=True):
        places = np.linspace(begin, end, 41)
        off = np.abs(target.linear_density(places) - stocks[stock]).max()
        slope = np.abs(np.diff(target.linear_density(places))).max() * 40 / (end - begin)
        assert off <= limits.tolerance + slope * EIGHTH + 1e-12
        assert off <= abs(found.worst) + 1e-9
    # The mean square of the difference, by as many places as a square needs.
    places = (np.arange(20_000) + 0.5) / 20_000 * target.length
    own = np.array(stocks)[list(found.stocks)][np.searchsorted(found.breaks[1:-1], places)]
    rms = math.sqrt(float(((own - target.linear_density(places)) ** 2).mean()))
    assert found.rms == pytest.approx(rms, rel=2e-3)
    for inner in found.breaks[1:-1]:
        assert inner / EIGHTH == pytest.approx(round(inner / EIGHTH), abs=1e-6)
    for a, b in itertools.pairwise(found.stocks):
        ratio = max(stocks[a], stocks[b]) / min(stocks[a], stocks[b])
        assert ratio <= limits.largest_step * (1.0 + 1e-9)


@pytest.mark.parametrize("is_scarce", [False, True])
def test_as_few_pieces_as_by_trying_every_break(is_scarce: bool) -> None:
    """They agree but for the grid, also where there is little of each stock.

    Its slack in weight lets one more sequence in, and a box of breaks that is narrower than an inch
    holds none of its breaks.
    """
    chance = random.Random(20)
    same = other = 0
    for _ in range(DRAWN):
        feet = chance.choice((2.0, 3.0, 4.0))
        front, rear = (chance.uniform(0.05, 0.085) for _ in range(2))
        stocks = [each * PER_FOOT for each in sorted(chance.sample(range(6, 19), 4))]
        limits = StepLimits(
            chance.choice((1.0, 1.5, 2.5)) * PER_FOOT,
            largest_step=chance.choice((math.inf, 1.4)),
        )
        target = taper(feet, front, rear)
        most = [
            chance.choice((7.25, 10.25, 14.25, 99.25)) * INCH if is_scarce else math.inf
            for _ in stocks
        ]
        found = level_steps(target, stocks, limits, lambda i, *_: most[i])  # noqa: B023 - at once
        count = by_hand(target, stocks, limits, most)
        if found is not None:
            check(target, limits, found, stocks)
            for i, size in zip(found.stocks, found.lengths, strict=True):
                assert size <= most[i] + 1e-9
        ours = None if found is None else len(found.stocks)
        if ours is not None and ours > 3:
            ours = None
        same += ours == count
        other += ours != count
    assert same > 0
    assert other <= max(1, DRAWN // 25)


def test_a_missing_stock_is_named_by_the_least_tolerance() -> None:
    target = taper(8.0, 0.05, 0.083)
    need = smallest_tolerance(target, SHELF, StepLimits(PER_FOOT))
    assert need is not None
    # Half the gap between 11 and 14, which the taper passes.
    assert need / PER_FOOT == pytest.approx(1.5, abs=1e-3)
    gap = widest_gap(target, SHELF)
    assert gap is not None
    assert [each / PER_FOOT for each in gap] == pytest.approx([11.0, 14.0])
    assert level_steps(target, SHELF, StepLimits(1.49 * PER_FOOT)) is None
    found = level_steps(target, SHELF, StepLimits(1.51 * PER_FOOT))
    assert found is not None
    check(target, StepLimits(1.51 * PER_FOOT), found, SHELF)
    assert widest_gap(target, []) is None
    assert smallest_tolerance(target, [], StepLimits(PER_FOOT)) is None


def test_turned_round_it_is_the_same_turned_round() -> None:
    limits = StepLimits(1.6 * PER_FOOT)
    one = level_steps(taper(8.0, 0.05, 0.083), SHELF, limits)
    other = level_steps(taper(8.0, 0.083, 0.05), SHELF, limits)
    assert one is not None
    assert other is not None
    assert other.stocks == one.stocks[::-1]
    assert other.breaks == pytest.approx([8.0 * FOOT - each for each in one.breaks[::-1]], abs=5e-3)


@pytest.mark.parametrize(("front", "rear"), [(0.05, 0.083), (0.083, 0.05)])
def test_what_lies_at_an_end_may_be_as_long_as_its_stock_is_there(
    front: float, rear: float
) -> None:
    """What bevels and loops take of a stock hangs on which end of the taper it is for."""
    asked: set[tuple[int, bool, bool]] = set()

    def longest(stock: int, first: bool, last: bool) -> float:
        asked.add((stock, first, last))
        return math.inf

    found = level_steps(taper(8.0, front, rear), SHELF, StepLimits(1.6 * PER_FOOT), longest)
    assert found is not None
    assert len(found.stocks) > 2
    begin, *inner, end = found.stocks
    assert (begin, True, False) in asked
    assert (end, False, True) in asked
    assert {(each, False, False) for each in inner} <= asked


def test_one_level_piece_is_taken_only_where_it_weighs_the_same() -> None:
    level = MassAlong.of((Segment(Part.BELLY, 5 * FOOT, 0.002, 0.002, 870.0),))
    own = float(level.linear_density(1.0))
    limits = StepLimits(PER_FOOT)
    assert level_steps(level, [own], limits) is not None
    assert level_steps(level, [own * 1.03], limits) is None
    both = level_steps(level, [own * 0.97, own * 1.03], limits)
    assert both is not None
    assert both.mass_off / GRAIN == pytest.approx(0.0, abs=0.1)
