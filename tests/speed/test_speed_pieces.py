"""Pieces: the best stretch against a dense search, level steps, and the cutting plan.

Seconds are printed and not held: what is held are ratios in one run, and how near the best a plan
is. ``TAPERLAB_LONG_PLAN=1`` works on the hard plan until it has its best bound.
"""

from __future__ import annotations

import os
import time

import numpy as np
from pytest_benchmark.fixture import BenchmarkFixture

from taperlab.model.segment import Part, Segment
from taperlab.physics.level_steps import StepLimits, level_steps
from taperlab.physics.mass_along import MassAlong, square_difference
from taperlab.physics.stretch import Wanted, best_stretches
from taperlab.shop.pieces.bars import metres
from taperlab.shop.pieces.fitting import fitted
from taperlab.shop.pieces.planning import Effort, plan
from taperlab.shop.steps import finish
from tests.cutting import cutting_drawn
from tests.looped import FOOT, GRAIN, INCH

PER_FOOT = GRAIN / FOOT


def taper(feet: float, front: float, rear: float) -> Segment:
    return Segment(Part.BELLY, feet * FOOT, front * INCH, rear * INCH, 870.0)


HEAD = MassAlong.of(
    (taper(4, 0.04, 0.045), taper(9, 0.045, 0.08), taper(14, 0.08, 0.085), taper(12, 0.085, 0.036))
)
WANTED = Wanted(MassAlong.of((taper(5.3, 0.052, 0.071),)), 0.75 * INCH, 0.75 * INCH)


def test_a_stretch_of_one_stock_line(benchmark: BenchmarkFixture) -> None:
    found = benchmark(best_stretches, HEAD, WANTED)
    begun = time.perf_counter()
    best = np.inf
    for line in (HEAD, HEAD.reversed()):
        begins = np.linspace(0.02, line.length - 2.0, 20_001)
        room = line.running_mass(begins) + WANTED.taper.mass <= line.mass
        begins = begins[room]
        lengths = line.position_of(line.running_mass(begins) + WANTED.taper.mass) - begins
        best = min(best, float(square_difference(line, WANTED.taper, begins, lengths).min()))
    taken = time.perf_counter() - begun
    assert min(each.rms for each in found) <= np.sqrt(best) + 1e-5 * PER_FOOT
    if benchmark.stats:
        assert taken > benchmark.stats.stats.median


def test_level_steps_of_a_long_taper(benchmark: BenchmarkFixture) -> None:
    target = MassAlong.of((taper(8, 0.05, 0.083),))
    stocks = [each * PER_FOOT for each in (6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.5, 14.0)]
    found = benchmark(level_steps, target, stocks, StepLimits(1.2 * PER_FOOT))
    assert found is not None


def test_sixty_pieces_of_six_kinds(benchmark: BenchmarkFixture) -> None:
    cutting = cutting_drawn(1, kinds=6, rounded=True)
    found = benchmark.pedantic(lambda: finish(plan(cutting)), rounds=1)
    assert found.proved
    assert found.cuts.is_sound(cutting)


def test_sixty_pieces_of_one_kind_are_near_the_best(benchmark: BenchmarkFixture) -> None:
    cutting = cutting_drawn(1, kinds=1, rounded=False)
    found = benchmark.pedantic(lambda: finish(plan(cutting)), rounds=1)
    bound = found.bound
    if os.environ.get("TAPERLAB_LONG_PLAN"):
        bound = max(bound, finish(plan(cutting, Effort(whole=1_000_000, parts=200))).bound)
    assert found.cost <= 1.15 * bound
    assert found.cost <= metres(fitted(cutting).cost(cutting)) + 1e-9
    benchmark.extra_info["cost [ft]"] = found.cost / FOOT
    benchmark.extra_info["bound [ft]"] = bound / FOOT
