"""Figures of 10,000 heads in one call, against a loop that integrates each with scipy's quad.

The loop is timed on a sample of the lines and scaled up, since all of them would take minutes.
Its integrands are plain float arithmetic, the quickest form that quad can be given.
"""

from __future__ import annotations

import math
import time

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from scipy.constants import g
from scipy.integrate import quad
from scipy.optimize import brentq

from taperlab.physics.profile import Profile
from taperlab.physics.water import WaterState

LINES, SEGMENTS, TAPERED, SAMPLE = 10_000, 20, 8, 12
WATER = WaterState(999.7, 1.306e-3)


def many_lines() -> tuple[np.ndarray, ...]:
    chance = np.random.default_rng(20)
    lengths = chance.uniform(0.2, 1.5, (LINES, SEGMENTS))
    ends = chance.uniform(0.0008, 0.0025, (LINES, SEGMENTS + 1))
    densities = chance.uniform(1500.0, 3000.0, (LINES, SEGMENTS))
    return lengths, ends[:, :-1], ends[:, 1:], densities


def by_quad(
    lengths: list[float], fronts: list[float], rears: list[float], densities: list[float]
) -> tuple[float, float, float, float]:
    """Weight, front-taper share, balance point and sink rate of one line, by integration."""
    mass = moment = taper = volume = start = 0.0
    for i, (length, front, rear, density) in enumerate(
        zip(lengths, fronts, rears, densities, strict=True)
    ):
        slope = (rear - front) / length

        def section(x: float, front: float = front, slope: float = slope) -> float:
            return math.pi / 4.0 * (front + slope * x) ** 2

        piece = density * quad(section, 0.0, length)[0]
        about = density * quad(lambda x, s=section: x * s(x), 0.0, length)[0]
        mass += piece
        moment += start * piece + about
        volume += piece / density
        taper += piece if i < TAPERED else 0.0
        start += length

    def drag(speed: float) -> float:
        total = 0.0
        for length, front, rear in zip(lengths, fronts, rears, strict=True):
            slope = (rear - front) / length

            def force(x: float, front: float = front, slope: float = slope) -> float:
                d = front + slope * x
                re = WATER.density * speed * d / WATER.viscosity
                coefficient = (
                    11.0 * re**-0.75
                    + 0.9 * (1.0 - math.exp(-1000.0 / re))
                    + 1.2 * (1.0 - math.exp(-((re / 4500.0) ** 0.7)))
                )
                return 0.5 * WATER.density * coefficient * d * speed**2

            total += quad(force, 0.0, length)[0]
        return total

    net = (mass - WATER.density * volume) * g
    sink = brentq(lambda speed: drag(speed) - net, 1e-3, 2.0, rtol=1e-8)
    return mass, taper / mass, moment / mass, sink


def test_ten_thousand_lines(benchmark: BenchmarkFixture) -> None:
    """At least 50 times faster than the loop, and the same figures."""
    lengths, fronts, rears, densities = many_lines()
    in_front = (np.arange(SEGMENTS) < TAPERED).astype(float)

    def ours() -> tuple[np.ndarray, ...]:
        lines = Profile.of_many(lengths, fronts, rears, densities)
        share = lines.mass(in_front) / lines.mass()
        return lines.mass(), share, lines.balance(), lines.sink_rate(WATER)

    found = benchmark.pedantic(ours, rounds=7, warmup_rounds=1)
    rows = [
        tuple(a[i].tolist() for a in (lengths, fronts, rears, densities)) for i in range(SAMPLE)
    ]
    start = time.perf_counter()
    expected = [by_quad(*row) for row in rows]
    loop = (time.perf_counter() - start) * LINES / SAMPLE
    for i, line in enumerate(expected):
        for ours_, theirs, close in zip(found, line, (1e-9, 1e-9, 1e-9, 1e-5), strict=True):
            assert ours_[i] == pytest.approx(theirs, rel=close)
    own = benchmark.stats.stats.median
    benchmark.extra_info.update(loop_scaled_up=loop, ratio=loop / own)
    print(f"\n{own:.3f} s against {loop:.1f} s: {loop / own:.0f} times faster")  # noqa: T201
    assert loop / own >= 50.0
