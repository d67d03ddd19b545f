"""What the stated ± of a stage covers: heads of six families, drawn anew at every run.

Each family strays from its description in a way of its own. Of 100 stages 95 must come out within
what was stated of them, whatever the family, and no head may fall below its target before the last
trim: of heads that stray at random by 6 %, one in some 5,000 did, by a hair more than the scale
tells, so one is let pass there. In the suite 60 heads a family; TAPERLAB_HEADS=200 as many as
were measured. ``--log-cli-level=info`` shows the figures.
"""

from __future__ import annotations

import logging
import math
import os
from collections.abc import Callable

import numpy as np
import pytest

from taperlab.model.exact_units import GRAIN
from taperlab.model.line import Line
from tests.real_heads import (
    TOOLS,
    Drift,
    RealHead,
    Result,
    cut_in_stages,
    described,
    terms_for,
    wrong_diameters,
)

LOG = logging.getLogger(__name__)
ASKED = os.environ.get("TAPERLAB_HEADS")
HEADS = int(ASKED or 36)

Rng = np.random.Generator


def straight(x: np.ndarray) -> np.ndarray:
    return np.zeros_like(x)


def linear(rng: Rng, length: float) -> Drift:
    """From one end to the other, 5 % either way of the middle."""
    slope = rng.choice([-0.05, 0.05])
    return lambda x: slope * (2.0 * x / length - 1.0)


def step(rng: Rng, length: float) -> Drift:
    """A joint inside what is described as one piece: 6 % lighter or heavier beyond it."""
    where, by = rng.uniform(0.1, 0.9) * length, rng.choice([-0.06, 0.06])
    return lambda x: np.where(x > where, by, 0.0)


def walk(rng: Rng, length: float, size: float) -> Drift:
    """A random walk that has strayed by ``size`` at the far end, as a standard deviation."""
    knots = np.linspace(0.0, length, 401)
    steps = rng.normal(0.0, size / math.sqrt(400.0), 400)
    heights = np.concatenate([[0.0], np.cumsum(steps)])
    return lambda x: np.interp(x, knots, heights)


def a_head(family: str, rng: Rng) -> tuple[Line, RealHead]:
    """What is on the bag, and what is in it."""
    bag = described(rng)
    heavier = rng.uniform(0.97, 1.03)
    drifts: dict[str, Callable[[], Drift]] = {
        "linear 5 %": lambda: linear(rng, bag.length),
        "step 6 %": lambda: step(rng, bag.length),
        "walk 4 %": lambda: walk(rng, bag.length, 0.04),
        "walk 6 %": lambda: walk(rng, bag.length, 0.06),
    }
    if family in drifts:
        return bag, RealHead(bag, drifts[family](), rng, heavier=heavier)
    if family == "maker's offset":
        return bag, RealHead(bag, straight, rng, heavier=rng.choice([0.9, 1.1]))
    if family == "tape 0.5 % long":
        return bag, RealHead(bag, straight, rng, heavier=heavier, tape=1.005)
    assert family == "3 % wrong diameters"
    return bag, RealHead(wrong_diameters(bag, rng, 0.03), straight, rng, heavier=heavier)


FAMILIES = (
    "linear 5 %",
    "step 6 %",
    "walk 4 %",
    "walk 6 %",
    "maker's offset",
    "tape 0.5 % long",
    "3 % wrong diameters",
)

STRAYING = FAMILIES[:4]
"""Those that stray as the belief expects; the others are better than it must fear."""

WIDEST = 10.0
"""What is stated is no more than so many times what is missed, over all stages of a family."""


@pytest.mark.slow
@pytest.mark.parametrize("family", FAMILIES)
def test_what_is_stated_of_a_stage_covers_95_of_100(family: str) -> None:
    seed = int(np.random.SeedSequence().generate_state(1)[0])
    rng = np.random.default_rng(seed)
    results: list[Result] = []
    for _ in range(HEADS):
        bag, real = a_head(family, rng)
        target = rng.uniform(0.6, 0.95) * real.weight
        results.append(cut_in_stages(bag, real, terms_for(rng), target))
    stages = sum(each.stages for each in results)
    covered = sum(each.covered for each in results) / stages
    stated, missed = (sum(getattr(each, of) for each in results) for of in ("stated", "missed"))
    below = min(each.below for each in results)
    off = np.array([abs(each.off) for each in results])
    LOG.info(
        f"{family}: covered {covered:.1%} of {stages} stages, {stages / HEADS:.2f} cuts a head, "
        f"mean miss {off.mean():.2f} gr, worst {off.max():.1f} gr, lowest before the last trim "
        f"{below:.2f} gr, stated {stated / missed:.1f} times what was missed (seed {seed})"
    )
    # 95 of 100, less what the draw of so many stages is off by once in a hundred times.
    assert covered >= 0.95 - 2.33 * math.sqrt(0.95 * 0.05 / stages), seed
    # A ± that is wide enough for anything says nothing.
    assert stated <= WIDEST * missed or family not in STRAYING, seed
    # The scale cannot tell half a step of it.
    passed = sum(each.below < -TOOLS.scale / GRAIN for each in results)
    assert passed <= (1 if family == "walk 6 %" else 0), seed
    # Readings that are only rounded are not called in question.
    assert sum(each.asked for each in results) <= 2, seed
    room = 0.0 if ASKED else 3.0 * math.sqrt(0.98 * 0.02 / HEADS)
    assert np.mean([each.good for each in results]) >= 0.98 - room, seed
