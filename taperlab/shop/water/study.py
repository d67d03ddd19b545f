"""What is told of a rig in the water: depth with its band, settling, drift, many currents."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from taperlab.physics.frustum import Array
from taperlab.physics.tight_line import Shape, State, TightLine, hanging
from taperlab.physics.water import water_state
from taperlab.shop.rig import Looped
from taperlab.shop.steps import Steps, finish
from taperlab.shop.water.band import (
    OF_THE_WATER,
    Against,
    Band,
    Cause,
    Doubt,
    against,
    bands,
    cases_of,
    doubts_of,
)
from taperlab.shop.water.fishing import Fishing
from taperlab.shop.water.settling import Drift, Settling, drift_of, settling_of


@dataclass(frozen=True, eq=False, slots=True)
class WaterStudy:
    """A rig as it is fished.

    state, depth, deepest, under, tension: as in TightLine, for the drag of a smooth cylinder; nan
    depths where it lies on the bottom. rises: whether the figure holds for a part alone. shape: how
    the line lies. drift: None where it did not drift.
    """

    rig: Looped
    fishing: Fishing
    state: State
    depth: float
    deepest: float
    under: float
    tension: float
    rises: bool
    shape: Shape
    band: Band
    settling: Settling
    drift: Drift | None
    depths: Array
    doubts: tuple[Doubt, ...]


@dataclass(frozen=True, eq=False, slots=True)
class DepthCurve:
    """Depth of one rig's fly against the current: arrays (m,) [m/s] and [m], nan on the bottom."""

    rig: Looped
    speed: Array
    depth: Array
    low: Array
    high: Array


def study(rig: Looped, fishing: Fishing) -> Steps[WaterStudy]:
    """Everything about one rig in one current."""
    state = water_state(fishing.water)
    doubts = doubts_of(rig, fishing)
    found = yield from _hang(rig, fishing, np.array([fishing.dangle_speed]), doubts)
    (band,) = bands(found.depth[np.newaxis], doubts, fishing.stream.bed)
    depth = float(found.depth[0])
    drift = None
    if fishing.drift is not None:
        drift = drift_of(rig, state, fishing.drift, fishing.speed, depth)
    return WaterStudy(
        rig=rig,
        fishing=fishing,
        state=found.states[0],
        depth=depth,
        deepest=float(found.deepest[0]),
        under=float(found.under[0]),
        tension=float(found.tension[0]),
        rises=found.rises[0],
        shape=found.shape(0),
        band=band,
        settling=settling_of(rig, state),
        drift=drift,
        depths=found.depth,
        doubts=doubts,
    )


def study_now(rig: Looped, fishing: Fishing) -> WaterStudy:
    """The same, done here and now."""
    return finish(study(rig, fishing))


def depths_against_current(
    rigs: Sequence[Looped], fishing: Fishing, speeds: Array
) -> Steps[tuple[DepthCurve, ...]]:
    """Depth against the speed of the current [m/s] for several rigs, each with its band."""
    curves = []
    dangle = speeds * (fishing.dangle_speed / fishing.speed if fishing.speed else 1.0)
    for i, rig in enumerate(rigs):
        doubts = doubts_of(rig, fishing)
        walk = _hang(rig, fishing, dangle, doubts)
        while True:
            try:
                share = next(walk)
            except StopIteration as end:
                found: TightLine = end.value
                break
            yield (i + share) / len(rigs)
        depths = found.depth.reshape(len(speeds), -1)
        told = bands(depths, doubts, fishing.stream.bed)
        low, high = (np.array([getattr(band, name) for band in told]) for name in ("low", "high"))
        curves.append(DepthCurve(rig, speeds, depths[:, 0], low, high))
    return tuple(curves)


def compare(one: WaterStudy, other: WaterStudy) -> Against | None:
    """One rig's depth over another's, in the same water; None where one of them has none."""
    shared = set(OF_THE_WATER)
    if one.rig.fly == other.rig.fly:
        shared.add(Cause.FLY)
    if one.rig.spans[one.rig.head].line == other.rig.spans[other.rig.head].line:
        shared.add(Cause.DENSITY)
    return against((one.depths, other.depths), (one.doubts, other.doubts), frozenset(shared))


def _hang(
    rig: Looped, fishing: Fishing, speeds: Array, doubts: Sequence[Doubt]
) -> Steps[TightLine]:
    walk = hanging(
        rig.rigging(), cases_of(speeds, doubts), water_state(fishing.water), fishing.stream
    )
    steps = 0
    while True:
        try:
            next(walk)
        except StopIteration as end:
            found: TightLine = end.value
            return found
        steps += 1
        yield steps / (steps + _USUAL_STEPS)


_USUAL_STEPS = 15
