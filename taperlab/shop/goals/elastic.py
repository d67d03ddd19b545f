"""Elastic least squares: the smallest step that brings straight functions between bounds."""

from __future__ import annotations

import numpy as np

from taperlab.physics.frustum import Array

Flags = np.ndarray[tuple[int, ...], np.dtype[np.bool_]]

_SLACK = 1e-10
_ROUNDS = 12
_MOST_STEPS = 300
_STILL = 1e-9
_BISECTIONS = 26


def elastic_least_squares(
    slopes: Array,
    values: Array,
    bottom: Array,
    top: Array,
    firm: Array,
    low: Array,
    high: Array,
    start: Array,
) -> Array:
    """The z between its bounds that makes |z|^2 + |firm * outside(slopes z + values)|^2 least.

    ``outside`` is how far a row lies below its ``bottom`` or above its ``top``.

    Parameters
    ----------
    slopes : (m, k) [1]
    values : (m,) [1]
    bottom : least that each row should be, -inf where there is no least (m,) [1]
    top : most that each row should be, inf where there is no most (m,) [1]
    firm : what a row that is outside counts for (m,) [1]
    low : lower bounds (k,) [1]
    high : upper bounds, never below ``low`` (k,) [1]
    start : where a like problem ended: what was at its bounds there is tried first (k,) [1]

    Returns
    -------
    z (k,) [1]

    Notes
    -----
    What is least is convex and made of quadratics. A round takes each z as free or held, and each
    row as counting or not, solves that, and changes all that turn out otherwise: after P. B. Stark
    and R. L. Parker, Computational Statistics 10, 129-141 (1995), whose bounds are those of z
    alone. Where rounds go in circles, one bound changes at a time, as theirs do.
    """
    z = np.clip(start, low, high)
    rows = slopes * firm[:, np.newaxis]
    offset, bottom, top = values * firm, bottom * firm, top * firm
    always = bottom == top
    held = (low == high) | (z == low) | (z == high)
    at = rows @ z + offset
    below, above = (at < bottom) | always, (at > top) & ~always
    for _ in range(_ROUNDS):
        solved = _solved(rows, offset, bottom, top, below, above, z, held)
        z = np.clip(solved, low, high)
        outside = solved != z
        at = rows @ solved + offset
        new_below, new_above = (at < bottom) | always, (at > top) & ~always
        slope = _downhill(rows, offset, bottom, top, z)
        inward = held & (low < high)
        scale = _SLACK * (1.0 + float(np.abs(slope).max(initial=0.0)))
        inward &= ((z <= low) & (slope > scale)) | ((z >= high) & (slope < -scale))
        same = np.array_equal(new_below, below) and np.array_equal(new_above, above)
        if same and not outside.any() and not inward.any():
            return z
        held, below, above = (held | outside) & ~inward, new_below, new_above
    return _one_by_one(rows, offset, bottom, top, always, low, high, z)


def _solved(
    rows: Array,
    offset: Array,
    bottom: Array,
    top: Array,
    below: Flags,
    above: Flags,
    z: Array,
    held: Flags,
) -> Array:
    """What is held as it is, and the rest best for the rows that count."""
    free = np.flatnonzero(~held)
    z = z.copy()
    if not len(free):
        return z
    counts = np.flatnonzero(below | above)
    some = rows[counts]
    aim = np.where(below[counts], bottom[counts], top[counts]) - offset[counts]
    if len(free) < len(z):
        aim = aim - some[:, held] @ z[held]
        some = some[:, free]
    if len(counts) < len(free):
        # As many equations as rows count: z = A' (1 + A A')^-1 aim.
        small = some @ some.T
        small[np.arange(len(counts)), np.arange(len(counts))] += 1.0
        z[free] = some.T @ np.linalg.solve(small, aim)
    else:
        gram = some.T @ some
        gram[np.arange(len(free)), np.arange(len(free))] += 1.0
        z[free] = np.linalg.solve(gram, some.T @ aim)
    return z


def _outside(rows: Array, offset: Array, bottom: Array, top: Array, z: Array) -> Array:
    at = rows @ z + offset
    return np.asarray(np.minimum(at - bottom, 0.0) + np.maximum(at - top, 0.0))


def _downhill(rows: Array, offset: Array, bottom: Array, top: Array, z: Array) -> Array:
    """Half of how fast what is to be least falls with each z."""
    return np.asarray(-z - rows.T @ _outside(rows, offset, bottom, top, z))


def _one_by_one(
    rows: Array,
    offset: Array,
    bottom: Array,
    top: Array,
    always: Flags,
    low: Array,
    high: Array,
    z: Array,
) -> Array:
    """The same, a bound at a time: each step is as long as helps most, and none goes outside."""
    held = (z <= low) | (z >= high)
    for _ in range(_MOST_STEPS):
        at = rows @ z + offset
        below, above = (at < bottom) | always, (at > top) & ~always
        step = _solved(rows, offset, bottom, top, below, above, z, held) - z
        if float(np.abs(step).max(initial=0.0)) > _STILL:
            with np.errstate(divide="ignore", invalid="ignore"):
                room = np.where(step < 0.0, (low - z) / step, (high - z) / step)
            room[held | (step == 0.0)] = np.inf
            end = min(1.0, float(room.min(initial=1.0)))
            share = _best_share(rows, offset, bottom, top, z, step, end)
            first = int(room.argmin())
            z = np.clip(z + share * step, low, high)
            if share == end < 1.0:
                z[first] = low[first] if step[first] < 0.0 else high[first]
                held[first] = True
            if share > 0.0:
                continue
        slope = _downhill(rows, offset, bottom, top, z)
        gain = np.where(held & (low < high), np.where(z <= low, slope, -slope), -np.inf)
        best = int(gain.argmax()) if len(gain) else 0
        if not len(gain) or gain[best] <= _SLACK * (1.0 + float(np.abs(slope).max())):
            break
        held[best] = False
    return z


def _best_share(
    rows: Array, offset: Array, bottom: Array, top: Array, z: Array, step: Array, end: float
) -> float:
    """How much of a step makes least what is to be least: its slope rises along the way."""

    def rises(share: float) -> bool:
        return float(_downhill(rows, offset, bottom, top, z + share * step) @ step) < 0.0

    if end <= 0.0 or not rises(end):
        return end
    low, high = 0.0, end
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2.0
        low, high = (low, middle) if rises(middle) else (middle, high)
    return low
