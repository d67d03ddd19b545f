"""A range of twelve: all figures of all members, against scipy's minimiser at the same."""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np
from pytest_benchmark.fixture import BenchmarkFixture
from scipy.optimize import minimize

from taperlab.edits.ranges import make_range
from taperlab.model.line import Line
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.shop.range.study import RangeStudy, question_of, study_now
from tests.looped import FOOT, GRAIN
from tests.shop.test_range import bench_with, head

MASSES = [grains * GRAIN for grains in range(360, 600, 20)]
RODS = [(11.0 + i / 3.0) * FOOT for i in range(12)]


def by_scipy(line: Line, mass: float, factor: float) -> Line:
    """One member by general optimisation: nodes move as little as may be, the weight is met."""
    whole = head_of(line)
    longer = tuple(replace(each, length=each.length * factor) for each in whole.segments)
    free = len(longer) * 2

    def made(scales: np.ndarray) -> Line:
        segments = tuple(
            replace(
                each,
                front_diameter=each.front_diameter * float(scales[2 * i]),
                rear_diameter=each.rear_diameter * float(scales[2 * i + 1]),
            )
            for i, each in enumerate(longer)
        )
        return replace(whole, segments=segments)

    found = minimize(
        lambda scales: float(((scales - 1.0) ** 2).sum()),
        np.ones(free),
        method="SLSQP",
        constraints=[
            {"type": "eq", "fun": lambda s: Profile.of(made(s)).total_mass / mass - 1.0},
            {"type": "eq", "fun": lambda s: s[:3] - 1.0},
        ],
    )
    return made(found.x)


def test_twelve_members(benchmark: BenchmarkFixture) -> None:
    bench = make_range(bench_with(head()), "line-1", MASSES, RODS).bench
    question = question_of(bench, "range-1")
    assert question is not None
    found: RangeStudy = benchmark(study_now, question)
    assert len(found.members) == 12
    begun = time.perf_counter()
    others = [
        by_scipy(head(), mass, each.length / (37.0 * FOOT))
        for mass, each in zip(MASSES, found.members, strict=True)
    ]
    taken = time.perf_counter() - begun
    for other, each in zip(others, found.members, strict=True):
        assert abs(Profile.of(other).total_mass / each.mass - 1.0) < 1e-5
    if benchmark.stats:
        ratio = taken / benchmark.stats.stats.median
        benchmark.extra_info["scipy SLSQP / ours"] = ratio
        print(f"\nSLSQP takes {ratio:.0f} times as long")  # noqa: T201
        assert ratio > 3.0


def test_twelve_members_as_they_are_built(benchmark: BenchmarkFixture) -> None:
    """Rounded too, twelve members take no longer than a tenth of a second does: it is a job."""
    bench = make_range(bench_with(head()), "line-1", MASSES, RODS, is_rounded=True).bench
    question = question_of(bench, "range-1")
    found: RangeStudy = benchmark.pedantic(study_now, args=(question,), rounds=5, warmup_rounds=1)
    assert all(
        abs(each.mass - mass) < 0.5 * GRAIN
        for each, mass in zip(found.members, MASSES, strict=True)
    )
