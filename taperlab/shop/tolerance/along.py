"""Where along a head a thousandth costs most: what a diameter read wrong weighs, place by place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from taperlab.model.line import Line
from taperlab.physics.frustum import QUARTER_PI, Array
from taperlab.shop.tolerance.dimensions import What
from taperlab.shop.tolerance.study import Cause, ToleranceStudy

POINTS = 9
"""Places along each segment."""


@dataclass(frozen=True, eq=False, slots=True)
class Reach:
    """What one diameter does along the head. position: [m]; cost: [kg/m] for each [m] of it.

    peak: in the middle of where it does most [m].
    """

    cause: Cause
    position: Array
    cost: Array
    peak: float


@dataclass(frozen=True, eq=False, slots=True)
class Along:
    """What all diameters together do along the head, and what each does, from the fly end."""

    position: Array
    cost: Array
    each: tuple[Reach, ...]


def along(found: ToleranceStudy) -> Along:
    """What diameters do along a head: d(mass per length)/d(diameter) = pi/2 r d.

    A diameter where two segments meet acts on both, less and less toward their other ends.
    """
    head = found.head
    share = np.linspace(0.0, 1.0, POINTS)
    starts = np.array(head.starts)
    position = (starts[:-1, np.newaxis] + np.diff(starts)[:, np.newaxis] * share).ravel()
    each = sorted(
        (_reach(cause, head, starts, share) for cause in found.of(What.DIAMETER)),
        key=lambda reach: reach.peak,
    )
    return Along(position, np.concatenate([_whole(head, i, share) for i in _rows(head)]), (*each,))


def _rows(head: Line) -> range:
    return range(len(head.segments))


def _whole(head: Line, row: int, share: Array) -> Array:
    one = head.segments[row]
    thick = one.front_diameter + (one.rear_diameter - one.front_diameter) * share
    return np.asarray(2.0 * QUARTER_PI * one.density * thick)


def _reach(cause: Cause, head: Line, starts: Array, share: Array) -> Reach:
    own = cause.dimension
    positions, costs = [], []
    for row in own.rows:
        weight = np.ones_like(share)
        if row not in own.level:
            front = abs(head.segments[row].front_diameter - own.value)
            rear = abs(head.segments[row].rear_diameter - own.value)
            weight = share if rear < front else 1.0 - share
        positions.append(starts[row] + (starts[row + 1] - starts[row]) * share)
        costs.append(_whole(head, row, share) * weight)
    position, cost = np.concatenate(positions), np.concatenate(costs)
    if own.level:
        peak = float(starts[own.level[0]] + starts[own.level[-1] + 1]) / 2.0
    else:
        peak = float(position[int(cost.argmax())])
    return Reach(cause, position, cost, peak)
