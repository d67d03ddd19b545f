"""Steps up a line, close where the tension is small; and what is pulled where they begin."""

from __future__ import annotations

import math
from copy import copy
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from taperlab.physics.drag_law import Drag, critical_angle
from taperlab.physics.frustum import QUARTER_PI, Array
from taperlab.physics.rigging import Cases, Rigging
from taperlab.physics.sinking import STANDARD_GRAVITY
from taperlab.physics.water import WaterState

Flags = np.ndarray[tuple[int, ...], np.dtype[np.bool_]]
Places = np.ndarray[tuple[int, ...], np.dtype[np.intp]]

_STEPS_A_CHANGE = 5.0
"""Steps while a wrong angle would fall to 1/e of itself: the line forgets its end so fast."""

_FORGOTTEN = 8.0
"""After so many of these changes what a piece began with is forgotten, and one step each will do.

The method stays stable up to 2.7 changes a step. Depths of 100 random rigs in three currents each,
alone and among others, came within 1e-4 of those with six times the steps; with three steps each
throughout a few did not.
"""

_FEWEST_STEPS = 16
_MOST_STEPS = 300
_BARE = 1e-4
"""Share of the first piece over which a line with next to no load at its end is straight."""


@dataclass(frozen=True, eq=False, slots=True)
class Mesh:
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

    def only(self, of: Places) -> Mesh:
        """The mesh of some of the cases."""
        sizes, along = self.sizes[:, of], self.along[:, of]
        return Mesh(
            sizes, self.diameters[:, :, of], self.weights[:, :, of], self.kicks, along, self.sinks
        )


@dataclass(frozen=True, eq=False, slots=True)
class Start:
    """What holds at the fly, or at the end of the straight part of a bare end: all (r,)."""

    h: Array
    v: Array
    x: Array
    z: Array
    along: Array

    def only(self, of: Places) -> Start:
        """The start of some of the cases."""
        return Start(self.h[of], self.v[of], self.x[of], self.z[of], self.along[of])


class Rows:
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

    def only(self, of: Places) -> Rows:
        """Current and drag of some of the cases; what the line weighs, the mesh has for them."""
        some = copy(self)
        some.speed, some.drag, some.skin = self.speed[of], self.drag[of], self.skin[of]
        return some

    def weight(self, piece: int, diameter: Array) -> Array:
        """Weight in water of a length of a piece where it is so thick [N/m]."""
        measured = diameter - self.grow[piece]
        displaced = QUARTER_PI * self.state.density * diameter**2
        mass = self.coat[piece] * measured**2 + self.core[piece]
        return np.asarray(STANDARD_GRAVITY * (mass - displaced))

    def straight(
        self, weight: Array, diameter: Array, law: Drag, guess: ArrayLike, *, rounds: int
    ) -> tuple[Array, Array]:
        """Critical angle [rad] of lines by weight [N/m] and diameter [m], and their drag there.

        The coefficient hangs on the angle and falls with it slowly: each round leaves a third of
        the error, or less.
        """
        angle, coefficient = np.broadcast_to(np.asarray(guess), weight.shape), np.ones(1)
        for _ in range(rounds):
            reynolds = self.speed * np.sin(angle) * diameter * self.per_re
            coefficient = self.drag * law.at_many(reynolds)
            angle = critical_angle(weight, diameter, self.speed, self.state.density, coefficient)
        return angle, coefficient


def mesh_of(rows: Rows, law: Drag, refine: float) -> tuple[Mesh, Start]:
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
        share = _shares(float(changes.max()), length / longest, refine)[:, np.newaxis]
        count = len(share) - 1
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
    return Mesh(size, np.concatenate(diameters, axis=1), heaviness, kicks, along, above), start


def _shares(changes: float, fewest: float, refine: float) -> Array:
    """Where along a piece its steps end, from 0 to 1, by how often the line forgets its end there.

    fewest: so many steps at the least; refine: factor on their number.
    """
    early = min(changes, _FORGOTTEN)
    wanted = _STEPS_A_CHANGE * early + changes - early
    count = max(1, min(math.ceil(max(wanted, fewest) * refine), int(_MOST_STEPS * refine)))
    if wanted <= 0.0:
        return np.linspace(0.0, 1.0, count + 1)
    knots = np.array([0.0, _STEPS_A_CHANGE * early, wanted])
    along = np.array([0.0, early, changes]) / changes
    return np.asarray(np.interp(np.linspace(0.0, wanted, count + 1), knots, along))


def _start(rows: Rows, bare: Flags, angle: Array) -> Start:
    speed = rows.speed
    along = np.where(bare, _BARE * rows.lengths[0], 0.0)
    weight = rows.weight(0, rows.front[0])
    sine, cosine = np.copysign(np.sin(angle), weight), np.cos(angle)
    friction = 0.5 * rows.state.density * np.pi * rows.skin * rows.front[0] * (speed * cosine) ** 2
    tension = np.maximum(friction + weight * sine, 1e-12 * np.abs(weight)) * along + 1e-30
    drag = rows.fly_drag * speed**2
    return Start(
        np.where(bare, tension * cosine, drag),
        np.where(bare, tension * sine, rows.fly_weight),
        np.where(bare, -along * cosine, 0.0),
        np.where(bare, along * sine, 0.0),
        along,
    )
