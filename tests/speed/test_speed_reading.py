"""Reading tables and benches takes as long as they are: twice the size, about twice the time."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Callable

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from taperlab.files import native
from taperlab.files.problem import FileProblem
from taperlab.units.limits import MOST_SEGMENTS
from tests.tables import parse_table

HEADING = "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3]\n"
ROW = "belly,0.1,0.06,0.06,0.85\n"
SEGMENT = (
    '{"part":"belly","length_m":0.1,"front_diameter_m":0.001,"rear_diameter_m":0.001,'
    '"density_kg_m3":800.0}'
)


def table(rows: int) -> None:
    with contextlib.suppress(FileProblem):
        parse_table(HEADING + ROW * rows, "x.csv", "x")


def bench(segments: int) -> None:
    lines = (
        f'{{"key":"{i}","name":"x","style":"other","segments":[{",".join([SEGMENT] * 1000)}]}}'
        for i in range(segments // 1000)
    )
    native.loads(f'{{"format":"taperlab bench","version":1,"lines":[{",".join(lines)}]}}', "x")


def keys(count: int) -> None:
    inside = ",".join(f'"k{i}":1' for i in range(count))
    with pytest.raises(FileProblem, match="stands twice"):
        native.loads(f'{{"format":"taperlab bench","version":1,{inside},"k0":2}}', "x")


@pytest.mark.parametrize(
    ("read", "size"),
    [
        pytest.param(table, MOST_SEGMENTS // 2, id="rows"),
        pytest.param(table, 50_000, id="rows beyond the limit"),
        pytest.param(bench, 10_000, id="segments of a bench"),
        pytest.param(keys, 20_000, id="keys, one of them twice"),
    ],
)
def test_twice_the_size_takes_about_twice_the_time(
    benchmark: BenchmarkFixture, read: Callable[[int], None], size: int
) -> None:
    def taken(count: int) -> float:
        best = float("inf")
        for _ in range(3):
            begun = time.process_time()
            read(count)
            best = min(best, time.process_time() - begun)
        return best

    benchmark.pedantic(read, (size,), rounds=3)
    assert taken(2 * size) < 3.0 * taken(size)
