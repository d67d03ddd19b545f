"""What each ± does to a head of twelve segments, against the analysis of that head."""

from __future__ import annotations

import time
from itertools import pairwise

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from taperlab.model.line import Line, line_of
from taperlab.model.measurement import USUAL
from taperlab.model.segment import Part, Segment
from taperlab.model.water import Water
from taperlab.shop.tolerance.study import Asked, study

MOST = 0.003
"""A keystroke on the page Shape must not wait for it [s]."""


def twelve() -> Line:
    ends = [0.0009 + 0.00014 * i for i in range(13)]
    rows = tuple(
        Segment(Part.FRONT_TAPER if i < 9 else Part.BELLY, 0.9, a, b, 860.0 + 2.0 * (i % 3))
        for i, (a, b) in enumerate(pairwise(ends))
    )
    return line_of("line", "Twelve", rows)


@pytest.mark.benchmark
def test_tolerances_of_twelve_segments(benchmark: BenchmarkFixture) -> None:
    asked = Asked(twelve(), USUAL, Water())
    study(asked)
    found = benchmark(study, asked)
    assert len(found.causes) > 12
    begun = time.perf_counter()
    for _ in range(20):
        study(asked)
    each = (time.perf_counter() - begun) / 20.0
    benchmark.extra_info["of_the_limit"] = each / MOST
    assert each < MOST
