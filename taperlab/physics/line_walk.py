"""Up a line from its fly: the equations, step by step, and the highest point that is reached.

All cases side by side in arrays, or a few one by one in plain numbers, which is quicker: the
equations are written once for both.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Generator
from dataclasses import dataclass
from typing import Any, NamedTuple, TypeVar

import numpy as np

from taperlab.physics.current import RIVER_POWER, river_share
from taperlab.physics.drag_law import Drag
from taperlab.physics.frustum import Array
from taperlab.physics.line_steps import Mesh, Start

T = TypeVar("T")

Walk = Generator[None, None, T]
"""Yields whenever there is a good moment to stop, and returns the answer."""

FEW_ROWS = 10
"""Up to so many lines are quicker one by one, in plain numbers, than together in arrays."""

_NODES_AT_A_TIME = 8


class Flow(NamedTuple):
    """What the slopes need of the water, the drag and the current, in numbers or arrays alike.

    per_re: density over viscosity. normal, skin: half the density times the drag factor, and
    times pi and the friction coefficient. share: of the surface speed at a height above the fly;
    None where the current is the same at all depths.
    """

    hypot: Any
    drag: Any
    per_re: Any
    normal: Any
    skin: Any
    speed: Any
    share: Any


def slopes(h: Any, v: Any, z: Any, d: Any, w: Any, water: Flow) -> tuple[Any, Any, Any, Any]:
    """H', V', sin and cos of the angle, at one place; see the head of this module."""
    tension = water.hypot(h, v) + 1e-30
    sine, cosine = v / tension, h / tension
    speed = water.speed if water.share is None else water.speed * water.share(z)
    across, q = abs(sine), d * speed * speed
    normal = water.normal * water.drag(across * speed * d * water.per_re) * q * sine * across
    along = water.skin * q * cosine * abs(cosine)
    return normal * sine + along * cosine, w - normal * cosine + along * sine, sine, cosine


def _step(
    h: Any, v: Any, x: Any, z: Any, size: Any, d: Any, w: Any, water: Flow
) -> tuple[Any, Any, Any, Any]:
    """One step of the classical Runge-Kutta method; d and w at its start, middle and end."""
    half = 0.5 * size
    h1, v1, s1, c1 = slopes(h, v, z, d[0], w[0], water)
    h2, v2, s2, c2 = slopes(h + half * h1, v + half * v1, z + half * s1, d[1], w[1], water)
    h3, v3, s3, c3 = slopes(h + half * h2, v + half * v2, z + half * s2, d[1], w[1], water)
    h4, v4, s4, c4 = slopes(h + size * h3, v + size * v3, z + size * s3, d[2], w[2], water)
    sixth = size / 6.0
    return (
        h + sixth * (h1 + 2.0 * (h2 + h3) + h4),
        v + sixth * (v1 + 2.0 * (v2 + v3) + v4),
        x - sixth * (c1 + 2.0 * (c2 + c3) + c4),
        z + sixth * (s1 + 2.0 * (s2 + s3) + s4),
    )


@dataclass(frozen=True, eq=False, slots=True)
class Slackens:
    """Share of the surface speed at a height above flies at depths (r,), over a bed [m]."""

    fly: Array
    bed: float

    def __call__(self, z: Array) -> Array:
        """At heights z (r,) [m]."""
        return river_share(self.fly - z, self.bed)

    def of_row(self, row: int) -> Callable[[float], float]:
        """The same for one of the flies, in plain numbers."""
        fly, bed = float(self.fly[row]), self.bed
        return lambda z: min(max(1.0 - (fly - z) / bed, 0.0), 1.0) ** RIVER_POWER


@dataclass(frozen=True, eq=False, slots=True)
class Path:
    """H and V above each node (N + 1, r), V below it, and x, z from the fly."""

    h: Array
    v: Array
    below: Array
    x: Array
    z: Array


def walk_up(mesh: Mesh, start: Start, flow: Flow, law: Drag) -> Walk[Path]:
    """From the fly to the rod, or to where nothing further up can be under water."""
    few = mesh.sizes.shape[1] <= FEW_ROWS
    walk = _walk_one_by_one(mesh, start, flow, law) if few else _walk(mesh, start, flow)
    return (yield from walk)


def _walk(mesh: Mesh, start: Start, water: Flow) -> Walk[Path]:
    """Up the line, all cases side by side."""
    count, rows = mesh.sizes.shape
    h, v, below, x, z = np.empty((5, count + 1, rows))
    h[0], v[0], below[0], x[0], z[0] = start.h, start.v, start.v, start.x, start.z
    reached = count
    for i in range(count):
        d, w = mesh.diameters[:, i], mesh.weights[:, i]
        h[i + 1], below[i + 1], x[i + 1], z[i + 1] = _step(
            h[i], v[i], x[i], z[i], mesh.sizes[i], d, w, water
        )
        v[i + 1] = below[i + 1] + mesh.kicks[i + 1]
        if i + 1 < count and not mesh.sinks[i + 1] and (v[i + 1] < 0.0).all():
            reached = i + 1
            break
        if i % _NODES_AT_A_TIME == 0:
            yield
    for each in (h, v, below, x, z):
        each[reached + 1 :] = each[reached]
    return Path(h, v, below, x, z)


def _walk_one_by_one(mesh: Mesh, start: Start, water: Flow, law: Drag) -> Walk[Path]:
    """As :func:`_walk`, each case in plain numbers."""
    count, rows = mesh.sizes.shape
    path = Path(*np.empty((5, count + 1, rows)))
    kicks, sinks = mesh.kicks.tolist(), mesh.sinks.tolist()
    for row in range(rows):
        yield
        own = Flow(
            math.hypot,
            law.at,
            water.per_re,
            float(water.normal[row]),
            float(water.skin[row]),
            float(water.speed[row]),
            water.share and water.share.of_row(row),
        )
        h, v, x, z = (float(each[row]) for each in (start.h, start.v, start.x, start.z))
        sizes = mesh.sizes[:, row].tolist()
        d = mesh.diameters[:, :, row].T.tolist()
        w = mesh.weights[:, :, row].T.tolist()
        found = [(h, v, v, x, z)]
        for i in range(count):
            h, under, x, z = _step(h, v, x, z, sizes[i], d[i], w[i], own)
            v = under + kicks[i + 1]
            found.append((h, v, under, x, z))
            if v < 0.0 and i + 1 < count and not sinks[i + 1]:
                break
        found += [found[-1]] * (count + 1 - len(found))
        for array, column in zip(
            (path.h, path.v, path.below, path.x, path.z), zip(*found, strict=True), strict=True
        ):
            array[:, row] = column
    return path


class _Cubic:
    """Hermite's cubic over a step of a size, through both ends with their slopes."""

    def __init__(self, size: Array, ends: tuple[Array, Array], slopes: tuple[Array, Array]) -> None:
        (self.a, b), (m, n) = ends, slopes
        self.b, rise = size * m, b - self.a
        self.c = 3.0 * rise - size * (2.0 * m + n)
        self.d = size * (m + n) - 2.0 * rise

    def at(self, t: Array) -> Array:
        """Its value at a share of the step."""
        return np.asarray(self.a + t * (self.b + t * (self.c + t * self.d)))

    def zero(self) -> Array:
        """The share where it falls through nought, from a first end above to a last below."""
        rise = self.b + self.c + self.d
        t = np.clip(-self.a / np.where(rise < 0.0, rise, -1.0), 0.0, 1.0)
        for _ in range(8):
            slope = self.b + t * (2.0 * self.c + t * 3.0 * self.d)
            t = np.clip(t - self.at(t) / np.where(slope < 0.0, slope, -np.inf), 0.0, 1.0)
        return np.asarray(t)


@dataclass(frozen=True, eq=False, slots=True)
class Top:
    """Where the surface is, (r,): node below it, share of the step above that, and z there."""

    node: np.ndarray[tuple[int, ...], np.dtype[np.intp]]
    share: Array
    z: Array


def highest(mesh: Mesh, path: Path, water: Flow) -> Top:
    """The highest point of each line, between nodes too."""
    count, rows = mesh.sizes.shape
    every = np.arange(rows)
    node = np.argmax(path.z, axis=0)
    height = path.z[node, every]
    share = np.zeros(rows)
    below = np.maximum(node - 1, 0)
    fallen = (node > 0) & (path.v[below, every] > 0.0) & (path.below[node, every] < 0.0)
    step = np.where(fallen, below, np.minimum(node, count - 1))
    turns = fallen | (
        (node < count)
        & (path.v[step, every] > 0.0)
        & (path.below[np.minimum(step + 1, count), every] < 0.0)
    )
    if turns.any():
        own = water
        d, w = mesh.diameters[:, step, every], mesh.weights[:, step, every]
        h, v, z = path.h[step, every], path.v[step, every], path.z[step, every]
        h2, v2, z2 = (each[step + 1, every] for each in (path.h, path.below, path.z))
        _, rise, sine, _ = slopes(h, v, z, d[0], w[0], own)
        _, rise2, sine2, _ = slopes(h2, v2, z2, d[2], w[2], own)
        size = mesh.sizes[step, every]
        t = _Cubic(size, (v, v2), (rise, rise2)).zero()
        top = _Cubic(size, (z, z2), (sine, sine2)).at(t)
        better = turns & (top >= height)
        node, share = np.where(better, step, node), np.where(better, t, share)
        height = np.where(better, top, height)
    return Top(node, share, height)
