"""How deep rigs fish: one against scipy's integration, and a chart of twelve with their bands."""

from __future__ import annotations

import math
import time

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from scipy.constants import g
from scipy.integrate import solve_ivp

from taperlab.model.line import line_of
from taperlab.model.rig import Fly, Leader
from taperlab.model.segment import Part, Segment
from taperlab.physics.rigging import Cases, Rigging
from taperlab.physics.tight_line import hang
from taperlab.physics.water import WaterState
from taperlab.shop.rig import Looped, looped
from taperlab.shop.steps import finish
from taperlab.shop.water.band import doubts_of
from taperlab.shop.water.fishing import Fishing
from taperlab.shop.water.study import depths_against_current
from tests.looped import FOOT, GRAIN, INCH

WATER = WaterState(999.7, 1.306e-3)
FLY = Fly(3.0 * GRAIN, 8.0 * GRAIN, 1e-4)
HEAD = line_of("head", "Head", (Segment(Part.BELLY, 25 * FOOT, 0.09 * INCH, 0.08 * INCH, 870.0),))


def rig(grains: float) -> Looped:
    density = grains * GRAIN / FOOT / (math.pi / 4.0 * (0.04 * INCH) ** 2)
    tip = Segment(Part.SINK_TIP, 10 * FOOT, 0.04 * INCH, 0.04 * INCH, density)
    return looped(HEAD, [line_of("tip", "Tip", (tip,))], (), Leader(4 * FOOT), FLY)


def by_scipy(pieces: Rigging, speed: float) -> float:
    """Depth of the fly, in plain float arithmetic: the quickest form that scipy can be given."""
    rho, per_re = WATER.density, WATER.density / WATER.viscosity
    y, highest = [0.5 * rho * FLY.drag_area * speed**2, g * FLY.weight, 0.0], 0.0
    for length, front, rear, coat in zip(
        *(each.tolist() for each in (pieces.lengths, pieces.front, pieces.rear, pieces.coat)),
        strict=True,
    ):

        def slopes(
            s: float,
            y: list[float],
            front: float = front,
            flare: float = (rear - front) / length,
            net: float = g * (coat - math.pi / 4.0 * rho),
        ) -> tuple[float, float, float]:
            d = front + flare * s
            tension = math.hypot(y[0], y[1])
            sine, cosine = y[1] / tension, y[0] / tension
            re = max(abs(sine) * speed * d * per_re, 1e-6)
            drag = (
                11.0 * re**-0.75
                + 0.9 * (1.0 - math.exp(-1000.0 / re))
                + 1.2 * (1.0 - math.exp(-((re / 4500.0) ** 0.7)))
            )
            pull = 0.5 * rho * d * speed * speed
            normal = pull * drag * sine * abs(sine)
            along = pull * 0.008 * math.pi * cosine * abs(cosine)
            return (
                normal * sine + along * cosine,
                net * d * d - normal * cosine + along * sine,
                sine,
            )

        found = solve_ivp(slopes, (0.0, length), y, method="LSODA", rtol=1e-6, atol=1e-9)
        highest = max(highest, float(found.y[2].max()))
        y = found.y[:, -1].tolist()
    return highest


def test_one_rig(benchmark: BenchmarkFixture) -> None:
    """Quicker than scipy's quickest, and the same depth."""
    pieces, cases = rig(14.0).rigging(), Cases(0.9)
    found = benchmark.pedantic(lambda: hang(pieces, cases, WATER), rounds=60, warmup_rounds=3)
    times = []
    for _ in range(15):
        start = time.perf_counter()
        expected = by_scipy(pieces, 0.9)
        times.append(time.perf_counter() - start)
    # Its highest point is one of its steps, not between two of them.
    assert found.depth[0] == pytest.approx(expected, rel=0.01)
    own, theirs = benchmark.stats.stats.median, float(np.median(times))
    benchmark.extra_info.update(scipy=theirs, ratio=theirs / own)
    print(f"\n{own * 1e3:.1f} ms against {theirs * 1e3:.1f} ms")  # noqa: T201
    assert theirs / own >= 1.0


def test_twelve_tips_in_twenty_five_currents_with_bands(benchmark: BenchmarkFixture) -> None:
    """At least five times faster than scipy's quickest, one case after the other."""
    rigs = [rig(grains) for grains in np.linspace(6.0, 18.0, 12)]
    speeds = np.linspace(0.3, 2.0, 25)

    def ours() -> object:
        return finish(depths_against_current(rigs, Fishing(0.9), speeds))

    benchmark.pedantic(ours, rounds=5, warmup_rounds=1)
    start = time.perf_counter()
    for speed in speeds[::5]:
        by_scipy(rigs[5].rigging(), float(speed))
    cases = 2 + 2 * len(doubts_of(rigs[5], Fishing(0.9)))
    theirs = (time.perf_counter() - start) * 5.0 * len(rigs) * cases
    own = benchmark.stats.stats.median
    benchmark.extra_info.update(loop_scaled_up=theirs, ratio=theirs / own)
    print(f"\n{own:.2f} s against {theirs:.1f} s")  # noqa: T201
    assert theirs / own >= 5.0
