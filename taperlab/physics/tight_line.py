"""A tight line in a current: how it hangs from the rod, and how deep its fly is.

The line lies in one upright plane along the current, in the same state for as long as one looks:
straight downstream of the rod tip, neither mended nor led. ``s`` runs from the fly up the line; H
and V are the horizontal and the vertical part of its tension, phi the angle of the line with the
current, u the speed of the water there, w the weight in water of a length, d the diameter::

    H' = Dx    V' = w - Dz    x' = -cos phi    z' = sin phi    tan phi = V / H
    Dn = rho C_d(u |sin phi| d / nu) d u^2 sin phi |sin phi| / 2
    Dt = rho C_f pi d u^2 cos phi |cos phi| / 2
    Dx = Dn sin phi + Dt cos phi       Dz = Dn cos phi - Dt sin phi

At the fly H is its drag and V its weight in water. Normal and tangential drag apart: S. F. Hoerner,
Fluid-Dynamic Drag (1965); the angle of a straight line: L. Pode (1951), as quoted by E. E. Zajac,
Bell System Technical Journal 36, 1129-1207 (1957).

Nothing holds a line above the water, so its surface lies at the highest point of the line: where
it comes level in a floating part, with no sinking part further up that would pull it under again;
or at the rod, where all of it is under. From there up it lies flat and only adds tension.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Generator
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import lru_cache
from typing import Any, NamedTuple, TypeVar

import numpy as np
from numpy.typing import ArrayLike

from taperlab.physics.current import RIVER_POWER, Stream, river_share
from taperlab.physics.frustum import QUARTER_PI, Array
from taperlab.physics.rigging import Rigging
from taperlab.physics.sinking import STANDARD_GRAVITY, drag_and_slope
from taperlab.physics.water import WaterState

SKIN_FRICTION = 0.008
"""Drag coefficient along the line on its wetted surface, remembered: 0.003 laminar, 0.015 rough."""

SAME_DEPTH = 1e-9
"""Depths that differ by less are the same [m]."""

_STEPS_A_CHANGE = 3.0
"""Steps while a wrong angle would fall to 1/e of itself: the line forgets its end so fast."""
_FEWEST_STEPS = 16
_MOST_STEPS = 300
_BARE = 1e-4
"""Share of the first piece over which a line with next to no load at its end is straight."""
_FEW_ROWS = 6
"""Up to so many lines are quicker one by one, in plain numbers, than together in arrays."""
_NODES_AT_A_TIME = 8
_LOWEST_RE = 1e-6
_SAME_IN_RIVER = 1e-6


T = TypeVar("T")

Walk = Generator[None, None, T]
"""Yields whenever there is a good moment to stop, and returns the answer."""


class State(StrEnum):
    """How a line hangs: values are what scripts read."""

    LEVEL = "level"
    UNDER = "under"
    HANGS = "hangs"
    FLOATS = "floats"
    BOTTOM = "bottom"


@dataclass(frozen=True, eq=False, slots=True)
class Cases:
    """What one rig is asked about, many at once: each (r,), or of a shape that broadcasts to it.

    speed: of the current at the surface [m/s]. drag: factor on the drag coefficient of a smooth
    cylinder. skin: friction coefficient. thicker: added to the diameters of sinking pieces of line,
    mass per length as it is [m]. denser: added to the density of floating pieces of line [kg/m^3].
    heavier: added to the fly's weight in water [kg].
    """

    speed: ArrayLike
    drag: ArrayLike = 1.0
    skin: ArrayLike = SKIN_FRICTION
    thicker: ArrayLike = 0.0
    denser: ArrayLike = 0.0
    heavier: ArrayLike = 0.0

    def rows(self) -> tuple[Array, ...]:
        """All six, each of one row for every case."""
        given = (self.speed, self.drag, self.skin, self.thicker, self.denser, self.heavier)
        arrays = np.broadcast_arrays(*(np.asarray(each, dtype=float) for each in given))
        return tuple(np.array(np.atleast_1d(each)) for each in arrays)


@dataclass(frozen=True, eq=False, slots=True)
class Shape:
    """A line in the water from the fly up to where it reaches the surface or the rod.

    along, x, depth: (p,) distance from the fly along the line, distance downstream of the last
    point, depth below the surface [m]. angle: with the current [rad]. tension: [N].
    """

    along: Array
    x: Array
    depth: Array
    angle: Array
    tension: Array


@dataclass(frozen=True, eq=False, slots=True)
class TightLine:
    """How a rig hangs in each of r cases; arrays (r,) unless said otherwise.

    depth: of the fly, never above the surface; deepest: of the deepest point; nan for both where
    the line lies on the bottom [m]. under: length of rig below the surface [m]. tension: at the end
    of the rig toward the rod [N]. states: of each case. rises: whether the fly would lie above the
    surface, or a floating part ahead of a sinking one reaches it first, so that the figure is of
    what lies ahead of that alone.
    """

    depth: Array
    deepest: Array
    under: Array
    tension: Array
    states: tuple[State, ...]
    rises: tuple[bool, ...]
    _hung: _Hung = field(repr=False)

    def shape(self, row: int = 0) -> Shape:
        """Its shape in one of the cases."""
        return _shape(self._hung, row, float(self.under[row]))


class Drag:
    """A drag coefficient by Reynolds number, read from a table: of a smooth cylinder, or constant.

    Parameters
    ----------
    constant : the coefficient, where it is the same at every Reynolds number [1]
    """

    def __init__(self, constant: float | None = None) -> None:
        self._start = math.log(_LOWEST_RE)
        self._per = 512.0
        logs = self._start + np.arange(int(30.0 * self._per)) / self._per
        values = drag_and_slope(logs)[0] if constant is None else np.full(len(logs), constant)
        self._last = len(logs) - 2
        self._values, self._rises = values, np.diff(values, append=values[-1])
        self._value_list, self._rise_list = self._values.tolist(), self._rises.tolist()

    def at(self, reynolds: float) -> float:
        """The coefficient at one Reynolds number [1]."""
        place = (math.log(max(reynolds, _LOWEST_RE)) - self._start) * self._per
        i = min(int(place), self._last)
        value: float = self._value_list[i] + (place - i) * self._rise_list[i]
        return value

    def at_many(self, reynolds: Array) -> Array:
        """The coefficient at many Reynolds numbers [1]."""
        place = (np.log(np.maximum(reynolds, _LOWEST_RE)) - self._start) * self._per
        i = np.minimum(place.astype(np.intp), self._last)
        return np.asarray(self._values[i] + (place - i) * self._rises[i])


@lru_cache(maxsize=8)
def drag_law(constant: float | None = None) -> Drag:
    """The drag of a smooth cylinder, or a constant coefficient [1]."""
    return Drag(constant)


def critical_angle(weight: Array, diameter: Array, speed: Array, rho: float, drag: Array) -> Array:
    """Angle with the current of a long straight line without anything at its end.

    Parameters
    ----------
    weight : weight in water of a length, without its sign [N/m]
    diameter : diameter [m]
    speed : speed of the current [m/s]
    rho : density of the water [kg/m^3]
    drag : drag coefficient across the line [1]

    Returns
    -------
    angle [rad]

    Notes
    -----
    w cos phi = R sin^2 phi with R = rho C_d d u^2 / 2, so cos phi = (sqrt(k^2 + 4) - k) / 2 with
    k = w / R, written so that it loses no digits. Pode (1951), as quoted by Zajac (1957), eq. 6.
    """
    broadside = 0.5 * rho * drag * diameter * speed**2
    with np.errstate(divide="ignore", invalid="ignore"):
        k = np.where(broadside > 0.0, weight / broadside, np.inf)
        cosine = 2.0 / (k + np.sqrt(k * k + 4.0))
        # sin^2 = k cos, which keeps small angles.
        sine = np.sqrt(np.where(np.isinf(k), 1.0, k * cosine))
    found = np.arctan2(sine, cosine)
    return np.asarray(np.where((broadside <= 0.0) & (weight <= 0.0), 0.0, found))


class _Water(NamedTuple):
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


def _slopes(h: Any, v: Any, z: Any, d: Any, w: Any, water: _Water) -> tuple[Any, Any, Any, Any]:
    """H', V', sin and cos of the angle, at one place; see the head of this module."""
    tension = water.hypot(h, v) + 1e-30
    sine, cosine = v / tension, h / tension
    speed = water.speed if water.share is None else water.speed * water.share(z)
    across, q = abs(sine), d * speed * speed
    normal = water.normal * water.drag(across * speed * d * water.per_re) * q * sine * across
    along = water.skin * q * cosine * abs(cosine)
    return normal * sine + along * cosine, w - normal * cosine + along * sine, sine, cosine


def _step(
    h: Any, v: Any, x: Any, z: Any, size: Any, d: Any, w: Any, water: _Water
) -> tuple[Any, Any, Any, Any]:
    """One step of the classical Runge-Kutta method; d and w at its start, middle and end."""
    half = 0.5 * size
    h1, v1, s1, c1 = _slopes(h, v, z, d[0], w[0], water)
    h2, v2, s2, c2 = _slopes(h + half * h1, v + half * v1, z + half * s1, d[1], w[1], water)
    h3, v3, s3, c3 = _slopes(h + half * h2, v + half * v2, z + half * s2, d[1], w[1], water)
    h4, v4, s4, c4 = _slopes(h + size * h3, v + size * v3, z + size * s3, d[2], w[2], water)
    sixth = size / 6.0
    return (
        h + sixth * (h1 + 2.0 * (h2 + h3) + h4),
        v + sixth * (v1 + 2.0 * (v2 + v3) + v4),
        x - sixth * (c1 + 2.0 * (c2 + c3) + c4),
        z + sixth * (s1 + 2.0 * (s2 + s3) + s4),
    )


@dataclass(frozen=True, eq=False, slots=True)
class _Slackens:
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
class _Mesh:
    """Steps up the line, N of them in each of r cases.

    sizes (N, r); diameters, weights (3, N, r) at start, middle and end; kicks (N + 1,): weights at
    the nodes [N]; along (N + 1, r). sinks (N,): whether a step, or one above it, sinks somewhere.
    """

    sizes: Array
    diameters: Array
    weights: Array
    kicks: Array
    along: Array
    sinks: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]


@dataclass(frozen=True, eq=False, slots=True)
class _Start:
    """What holds at the fly, or at the end of the straight part of a bare end: all (r,)."""

    h: Array
    v: Array
    x: Array
    z: Array
    along: Array


@dataclass(frozen=True, eq=False, slots=True)
class _Path:
    """H and V above each node (N + 1, r), V below it, and x, z from the fly."""

    h: Array
    v: Array
    below: Array
    x: Array
    z: Array


class _Rows:
    """A rig in r cases: its pieces as they are there, (n, r)."""

    def __init__(self, rig: Rigging, cases: Cases, state: WaterState) -> None:
        self.speed, self.drag, self.skin, thicker, denser, heavier = cases.rows()
        self.state, self.per_re = state, state.density / state.viscosity
        own = rig.line * np.where(rig.net_masses(state) > 0.0, 1.0, 0.0)
        light = rig.line - own
        grow = own[:, np.newaxis] * thicker
        self.lengths = rig.lengths
        self.front = rig.front[:, np.newaxis] + grow
        self.rear = rig.rear[:, np.newaxis] + grow
        self.grow = grow
        self.coat = rig.coat[:, np.newaxis] + QUARTER_PI * light[:, np.newaxis] * denser
        self.core = rig.core[:, np.newaxis]
        self.kicks = rig.joint_weights(state)
        self.fly_weight = STANDARD_GRAVITY * (rig.fly_weight + heavier) + self.kicks[0]
        self.fly_drag = 0.5 * state.density * rig.fly_drag

    def weight(self, piece: int, diameter: Array) -> Array:
        """Weight in water of a length of a piece where it is so thick [N/m]."""
        measured = diameter - self.grow[piece]
        displaced = QUARTER_PI * self.state.density * diameter**2
        mass = self.coat[piece] * measured**2 + self.core[piece]
        return np.asarray(STANDARD_GRAVITY * (mass - displaced))

    def straight(
        self, weight: Array, diameter: Array, law: Drag, guess: ArrayLike, *, rounds: int
    ) -> tuple[Array, Array]:
        """Critical angle of lines of such weight and diameter, and their drag coefficient there.

        The coefficient hangs on the angle and falls with it slowly: each round leaves a third of
        the error, or less.
        """
        angle, coefficient = np.broadcast_to(np.asarray(guess), weight.shape), np.ones(1)
        for _ in range(rounds):
            reynolds = self.speed * np.sin(angle) * diameter * self.per_re
            coefficient = self.drag * law.at_many(reynolds)
            angle = critical_angle(weight, diameter, self.speed, self.state.density, coefficient)
        return angle, coefficient


def _mesh(rows: _Rows, law: Drag, refine: float) -> tuple[_Mesh, _Start]:
    """Steps that shorten where the tension is small, and where to begin."""
    state, speed = rows.state, rows.speed
    middle = (rows.front + rows.rear) / 2.0
    weight = np.stack([rows.weight(i, middle[i]) for i in range(len(rows.lengths))])
    ends = np.concatenate((rows.front[:1], middle))
    heavy = np.abs(np.concatenate((rows.weight(0, rows.front[0])[np.newaxis], weight)))
    # Near enough to space the steps by; exact only where a bare end is laid along it.
    angle, coefficient = rows.straight(heavy, ends, law, 0.3, rounds=3)
    # How fast the tension grows up the line, at the least, and how fast a wrong angle fades.
    friction = 0.5 * state.density * np.pi * rows.skin * ends * (speed * np.cos(angle)) ** 2
    grows = friction + np.maximum(np.concatenate((heavy[:1], weight)), 0.0) * np.sin(angle)
    at_fly = np.hypot(rows.fly_weight, rows.fly_drag * speed**2)
    first = grows[0] * _BARE * rows.lengths[0]
    bare = np.asarray(at_fly <= first)
    load = np.maximum(at_fly, first)
    own = np.arctan2(np.abs(rows.fly_weight), rows.fly_drag * speed**2)
    steepest = np.maximum.accumulate(np.maximum(angle, np.where(bare, 0.0, own)), axis=0)
    broadside = 0.5 * state.density * coefficient * ends * speed**2
    fades = heavy + broadside * np.sin(2.0 * np.minimum(steepest, np.pi / 4.0))
    tensions = load + np.concatenate(
        (np.zeros((1, len(speed))), np.cumsum(grows[1:] * rows.lengths[:, np.newaxis], axis=0))
    )
    longest = rows.lengths.sum() / _FEWEST_STEPS
    if bare.any():
        angle[0], _ = rows.straight(heavy[0], ends[0], law, angle[0], rounds=20)
    start = _start(rows, bare, angle[0])
    sizes, diameters, weights, ends_at = [], [], [], [0]
    for i, length in enumerate(rows.lengths):
        from_here = start.along if i == 0 else np.zeros(len(speed))
        growth = np.maximum(grows[i + 1] * length / (tensions[i] + 1e-30), 1e-9)
        changes = fades[i + 1] * length / (tensions[i] + 1e-30) * np.log1p(growth) / growth
        wanted = max(float(changes.max()) * _STEPS_A_CHANGE, length / longest) * refine
        count = max(1, min(math.ceil(wanted), int(_MOST_STEPS * refine)))
        share = np.linspace(0.0, 1.0, count + 1)[:, np.newaxis]
        places = np.expm1(share * np.log1p(growth)) / growth
        places = from_here + (length - from_here) * places
        middles = (places[:-1] + places[1:]) / 2.0
        at = np.stack((places[:-1], middles, places[1:])) / length
        thick = rows.front[i] + (rows.rear[i] - rows.front[i]) * at
        sizes.append(np.diff(places, axis=0))
        diameters.append(thick)
        weights.append(rows.weight(i, thick))
        ends_at.append(ends_at[-1] + count)
    size, heaviness = np.concatenate(sizes), np.concatenate(weights, axis=1)
    sinks = np.asarray((heaviness > 0.0).any(axis=(0, 2)))
    kicks = np.zeros(len(size) + 1)
    kicks[ends_at[1:]] = rows.kicks[1:]
    along = start.along + np.concatenate((np.zeros((1, len(speed))), np.cumsum(size, axis=0)))
    above = np.logical_or.accumulate(sinks[::-1])[::-1]
    return _Mesh(size, np.concatenate(diameters, axis=1), heaviness, kicks, along, above), start


def _start(rows: _Rows, bare: Any, angle: Array) -> _Start:
    speed = rows.speed
    along = np.where(bare, _BARE * rows.lengths[0], 0.0)
    weight = rows.weight(0, rows.front[0])
    sine, cosine = np.copysign(np.sin(angle), weight), np.cos(angle)
    friction = 0.5 * rows.state.density * np.pi * rows.skin * rows.front[0] * (speed * cosine) ** 2
    tension = np.maximum(friction + weight * sine, 1e-12 * np.abs(weight)) * along + 1e-30
    drag = rows.fly_drag * speed**2
    return _Start(
        np.where(bare, tension * cosine, drag),
        np.where(bare, tension * sine, rows.fly_weight),
        np.where(bare, -along * cosine, 0.0),
        np.where(bare, along * sine, 0.0),
        along,
    )


def _walk(mesh: _Mesh, start: _Start, water: _Water) -> Walk[_Path]:
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
    return _Path(h, v, below, x, z)


def _walk_one_by_one(mesh: _Mesh, start: _Start, water: _Water, law: Drag) -> Walk[_Path]:
    """As :func:`_walk`, each case in plain numbers."""
    count, rows = mesh.sizes.shape
    path = _Path(*np.empty((5, count + 1, rows)))
    kicks, sinks = mesh.kicks.tolist(), mesh.sinks.tolist()
    for row in range(rows):
        yield
        own = _Water(
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
class _Top:
    """Where the surface is, (r,): node below it, share of the step above that, and z there."""

    node: np.ndarray[tuple[int, ...], np.dtype[np.intp]]
    share: Array
    z: Array


def _highest(mesh: _Mesh, path: _Path, water: _Water) -> _Top:
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
        _, rise, sine, _ = _slopes(h, v, z, d[0], w[0], own)
        _, rise2, sine2, _ = _slopes(h2, v2, z2, d[2], w[2], own)
        size = mesh.sizes[step, every]
        t = _Cubic(size, (v, v2), (rise, rise2)).zero()
        top = _Cubic(size, (z, z2), (sine, sine2)).at(t)
        better = turns & (top >= height)
        node, share = np.where(better, step, node), np.where(better, t, share)
        height = np.where(better, top, height)
    return _Top(node, share, height)


@dataclass(frozen=True, eq=False, slots=True)
class _Hung:
    """Mesh, path and top of a rig in its cases."""

    mesh: _Mesh
    path: _Path
    top: _Top


def _hang(
    rows: _Rows, mesh: _Mesh, start: _Start, law: Drag, share: _Slackens | None = None
) -> Walk[_Hung]:
    state = rows.state
    water = _Water(
        np.hypot,
        law.at_many,
        rows.per_re,
        0.5 * state.density * rows.drag,
        0.5 * state.density * np.pi * rows.skin,
        rows.speed,
        share,
    )
    if share is not None:
        drag = rows.fly_drag * (rows.speed * share(np.zeros(len(rows.speed)))) ** 2
        start = replace(start, h=np.where(start.along == 0.0, drag, start.h))
    few = len(rows.speed) <= _FEW_ROWS
    walk = _walk_one_by_one(mesh, start, water, law) if few else _walk(mesh, start, water)
    path = yield from walk
    return _Hung(mesh, path, _highest(mesh, path, water))


def hang(
    rig: Rigging,
    cases: Cases,
    state: WaterState,
    stream: Stream = Stream(),  # noqa: B008 - frozen
    *,
    coefficient: float | None = None,
    refine: float = 1.0,
) -> TightLine:
    """How a rig hangs on a tight line, in every case: :func:`hanging`, done here and now.

    Parameters and errors are those of :func:`hanging`; lengths are in [m].
    """
    walk = hanging(rig, cases, state, stream, coefficient=coefficient, refine=refine)
    while True:
        try:
            next(walk)
        except StopIteration as end:
            found: TightLine = end.value
            return found


def hanging(
    rig: Rigging,
    cases: Cases,
    state: WaterState,
    stream: Stream = Stream(),  # noqa: B008 - frozen
    *,
    coefficient: float | None = None,
    refine: float = 1.0,
) -> Walk[TightLine]:
    """How a rig hangs on a tight line, in every case; yields every few milliseconds.

    Parameters
    ----------
    rig : pieces from the fly up, and the fly
    cases : current, drag and what the rig is taken for in each case
    state : density and viscosity of the water
    stream : depth of the bed, and whether the current slackens toward it
    coefficient : a drag coefficient across the line that holds everywhere, in place of that of a
        smooth cylinder; for comparison with closed forms [1]
    refine : factor on the number of steps [1]

    Returns
    -------
    depth, tension and the rest, for each case

    Raises
    ------
    ValueError : if the rig has neither line nor leader
    """
    rows = _Rows(rig, cases, state)
    law = drag_law(coefficient)
    if not len(rig.lengths):
        raise ValueError("there is no line to hang")
    mesh, start = _mesh(rows, law, refine)
    grounded = np.zeros(len(rows.speed), dtype=bool)
    if stream.slackens:
        fly, grounded = yield from _depth_in_river(rows, mesh, start, law, stream.bed)
        hung = yield from _hang(rows, mesh, start, law, _Slackens(fly, stream.bed))
    else:
        hung = yield from _hang(rows, mesh, start, law)
    return _told(rows, hung, stream, grounded)


def _depth_in_river(
    rows: _Rows, mesh: _Mesh, start: _Start, law: Drag, bed: float
) -> Walk[tuple[Array, Any]]:
    """Depth of the fly at which the line just reaches the surface; and whether there is none.

    The current at the fly hangs on its depth, and that on the current: the first depth from the
    surface down at which both agree. Where they agree at none, the fly lies on the bottom.
    """

    def missing(fly: Array) -> Walk[Array]:
        hung = yield from _hang(rows, mesh, start, law, _Slackens(fly, bed))
        return np.asarray(hung.top.z - fly)

    low = np.zeros(len(rows.speed))
    over_low = yield from missing(low)
    high, over_high = low, over_low
    found = over_low <= SAME_DEPTH
    for part in (0.25, 0.5, 0.75, 0.9, 1.0):
        there = np.where(found, high, part * bed)
        over = yield from missing(there)
        low, over_low = np.where(found, low, high), np.where(found, over_low, over_high)
        high, over_high = there, np.where(found, over_high, over)
        found = found | (over_high <= 0.0)
        if found.all():
            break
    grounded = ~found
    last = np.zeros(len(low))
    for _ in range(30):
        gap = over_low - over_high
        share = np.where(gap > 0.0, over_low / np.where(gap > 0.0, gap, 1.0), 0.0)
        there = np.where(grounded, bed, low + (high - low) * share)
        over = yield from missing(there)
        if (grounded | (np.abs(over) <= _SAME_IN_RIVER) | (high - low <= _SAME_IN_RIVER)).all():
            break
        # Where one end stays twice, half of what it is over by lets it move (Illinois).
        side = np.sign(over)
        stays = side == last
        over_high = np.where(side < 0.0, over, np.where(stays, over_high / 2.0, over_high))
        over_low = np.where(side < 0.0, np.where(stays, over_low / 2.0, over_low), over)
        low, high = np.where(side < 0.0, low, there), np.where(side < 0.0, there, high)
        last = side
    return there, grounded


def _told(rows: _Rows, hung: _Hung, stream: Stream, grounded: Any) -> TightLine:
    mesh, path, top = hung.mesh, hung.path, hung.top
    count, every = mesh.sizes.shape[0], np.arange(mesh.sizes.shape[1])
    size = mesh.sizes[np.minimum(top.node, count - 1), every]
    under = np.where(top.z > 0.0, mesh.along[top.node, every] + top.share * size, 0.0)
    beneath = np.arange(count + 1)[:, np.newaxis] <= top.node
    deepest = top.z - np.where(beneath, np.minimum(path.z, 0.0), np.inf).min(axis=0)
    depth = np.maximum(top.z, 0.0)
    on_bed = grounded | (deepest > stream.bed)
    states, rises = [], []
    for row in every:
        ends = top.node[row] == count and path.v[count, row] - mesh.kicks[count] > 0.0
        # Where the fly itself is the highest point, or floats ahead of what sinks further up.
        rises.append(
            bool(
                top.z[row] <= 0.0 < deepest[row] - SAME_DEPTH
                or (not ends and mesh.sinks[min(top.node[row], count - 1)] and top.z[row] > 0.0)
            )
        )
        if on_bed[row]:
            states.append(State.BOTTOM)
        elif depth[row] <= SAME_DEPTH:
            states.append(State.FLOATS)
        elif rows.speed[row] == 0.0:
            states.append(State.HANGS)
        else:
            states.append(State.UNDER if ends else State.LEVEL)
    return TightLine(
        depth=np.where(on_bed, np.nan, depth),
        deepest=np.where(on_bed, np.nan, deepest),
        under=under,
        tension=_tension_at_rod(rows, hung, under),
        states=tuple(states),
        rises=tuple(rises),
        _hung=hung,
    )


def _tension_at_rod(rows: _Rows, hung: _Hung, under: Array) -> Array:
    """Tension where the line reaches the surface, and the friction of what lies flat behind it."""
    mesh, path, top = hung.mesh, hung.path, hung.top
    count, every = mesh.sizes.shape[0], np.arange(len(under))
    there = np.hypot(path.h[top.node, every], path.v[top.node, every])
    further = np.minimum(top.node + 1, count)
    beyond = np.hypot(path.h[further, every], path.below[further, every])
    there = there + top.share * (beyond - there)
    steps = np.arange(count)[:, np.newaxis]
    part = np.where(steps == top.node, 1.0 - top.share, np.where(steps > top.node, 1.0, 0.0))
    flat = (part * mesh.sizes * mesh.diameters[1]).sum(axis=0)
    return np.asarray(there + 0.5 * rows.state.density * np.pi * rows.skin * rows.speed**2 * flat)


def _shape(hung: _Hung, row: int, under: float) -> Shape:
    mesh, path, top = hung.mesh, hung.path, hung.top
    last = int(top.node[row]) + 1
    t, node = float(top.share[row]), last - 1
    along, x, z = (each[:last, row] for each in (mesh.along, path.x, path.z))
    h, v = path.h[:last, row], path.v[:last, row]
    if along[0] > 0.0:
        # The straight part of a bare end.
        along, x, z = (np.concatenate(([0.0], each)) for each in (along, x, z))
        h, v = (np.concatenate((each[:1], each)) for each in (h, v))
    if t > 0.0:
        along = np.append(along, under)
        x = np.append(x, x[-1] + t * (path.x[node + 1, row] - x[-1]))
        z = np.append(z, top.z[row])
        h = np.append(h, h[-1] + t * (path.h[node + 1, row] - h[-1]))
        v = np.append(v, 0.0)
    surface = max(float(top.z[row]), 0.0)
    return Shape(along, x - x[-1], surface - z, np.arctan2(v, h), np.hypot(h, v))
