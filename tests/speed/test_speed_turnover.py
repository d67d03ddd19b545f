"""A rig that is thrown: the live figures of one line, and the film of it."""

from __future__ import annotations

from pytest_benchmark.fixture import BenchmarkFixture

from taperlab.model.casting import Throw
from taperlab.shop.steps import finish
from taperlab.shop.turnover.film import film
from taperlab.shop.turnover.study import study
from tests.flown import taper

RIG = taper((0.0009, 0.0016, 0.0021, 0.0021, 0.0014), (5.0, 3.0, 2.5, 0.8), leader=3.6)


def test_the_live_figures_of_a_line(benchmark: BenchmarkFixture) -> None:
    """An edit answers within a frame: 3 ms for a line."""
    benchmark(study, RIG, Throw())
    assert benchmark.stats["median"] < 0.003


def test_the_film(benchmark: BenchmarkFixture) -> None:
    """Half a second for a hundred links."""
    benchmark.pedantic(lambda: finish(film(RIG, Throw(), links=100)), rounds=3, iterations=1)
    assert benchmark.stats["min"] < 0.5


def test_the_live_figures_of_a_line_that_shoots(benchmark: BenchmarkFixture) -> None:
    """It shoots at several speeds to find the one that is needed: 40 ms for a line."""
    benchmark(study, RIG, Throw(shoots=True))
    assert benchmark.stats["median"] < 0.04
