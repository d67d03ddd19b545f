"""How a rig is drawn in the water: its pieces by place and depth, and how it settles, by time."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from taperlab.physics.frustum import Array
from taperlab.shop.water.settling import Settling
from taperlab.shop.water.together import Lying

SECONDS = 10.0
"""For so long settling is shown [s]."""


@dataclass(frozen=True, eq=False, slots=True)
class Piece:
    """One line of a rig, or its leader: places downstream of where it comes level, depths [m]."""

    name: str
    x: Array
    depth: Array
    is_head: bool = False
    is_leader: bool = False


@dataclass(frozen=True, eq=False, slots=True)
class Drawn:
    """A rig in the water from the side [m].

    pieces: from the fly. joints: where lines meet, place and depth. flat: length of line that lies
    at the surface, upstream of nought. slope: of what is ahead of the head, in its middle [rad];
    nan where nothing of it is under.
    """

    pieces: tuple[Piece, ...]
    joints: tuple[tuple[float, float], ...]
    fly: tuple[float, float]
    deepest: float
    flat: float
    slope: float


def drawn(found: Lying) -> Drawn:
    """The pieces of a rig where they lie."""
    rig, shape = found.rig, found.shape
    under = float(shape.along[-1])
    leader = rig.leader.length if rig.leader else 0.0
    ends = [(leader + each.start, leader + each.end) for each in rig.spans]

    def at(along: float) -> tuple[float, float]:
        if along >= under:
            return under - along, 0.0
        x = np.interp(along, shape.along, shape.x)
        return float(x), float(np.interp(along, shape.along, shape.depth))

    def piece(start: float, end: float) -> tuple[Array, Array]:
        inside = shape.along[(shape.along > start) & (shape.along < end)]
        level = [under] if start < under < end else []
        x, depth = np.array([at(each) for each in (start, *inside, *level, end)]).T
        return x, depth

    pieces = []
    if leader:
        pieces.append(Piece("", *piece(0.0, leader), is_leader=True))
    for i, (span, (start, end)) in enumerate(zip(rig.spans, ends, strict=True)):
        pieces.append(Piece(span.line.name, *piece(start, end), is_head=i == rig.head))
    first, last = leader, ends[max(rig.head - 1, 0)][1]
    middle = (first + min(last, under)) / 2.0
    slope = float(np.interp(middle, shape.along, shape.angle)) if middle < under else math.nan
    return Drawn(
        tuple(pieces),
        tuple(at(end) for _, end in ends[:-1]),
        at(0.0),
        float(shape.depth.max()),
        max(0.0, ends[-1][1] - under),
        slope,
    )


@dataclass(frozen=True, slots=True)
class Fall:
    """How deep something has settled: evenly, to ``depth`` [m] after ``seconds``.

    on_bed: it lies on the bed from then on.
    """

    rate: float
    seconds: float
    depth: float
    on_bed: bool


@dataclass(frozen=True, slots=True)
class Falls:
    """The tip, and the fly on its own and with the tip; None where there is no such thing."""

    tip: Fall | None
    slow: Fall | None
    fast: Fall | None


def falls(settling: Settling, bed: float) -> Falls:
    """How a rig settles from a slack cast, over a bed [m], infinite where it is not known."""
    return Falls(
        *(_fall(each, bed) for each in (settling.tip, settling.fly_slow, settling.fly_fast))
    )


def _fall(rate: float, bed: float) -> Fall | None:
    if math.isnan(rate):
        return None
    if rate <= 0.0:
        return Fall(rate, SECONDS, 0.0, on_bed=False)
    if math.isinf(rate):
        return Fall(rate, 0.0, bed, on_bed=True) if math.isfinite(bed) else None
    seconds = bed / rate
    if seconds <= SECONDS:
        return Fall(rate, seconds, bed, on_bed=True)
    return Fall(rate, SECONDS, rate * SECONDS, on_bed=False)
