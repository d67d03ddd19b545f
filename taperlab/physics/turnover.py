"""A loop that rolls out over a line held at the rod tip: what energy it keeps, how fast it is.

s runs along the line from the rod tip, l is the length already unrolled, v the speed of the leg
with the fly, h the height of the loop, L the whole length with its leader. The leg at the rod is
still, the loop moves at v/2. Where the loop has turned a piece by theta from the top, that moves at
v cos(theta/2), with v cos^2(theta/2) along itself and v sin(theta)/2 across::

    M = integral of w m ds + fly's mass        w = sin^2(pi xi/2), xi = clip((s - l)/lambda, 0, 1)
    D = integral of d (Ct w^3 + Cn sin^3(pi xi)/8) ds + fly's drag area       lambda = pi h/2
    E = M v^2/2       dE/dl = -2 rho D E/M       dt = 2 dl/v       until the fly enters the loop

Drag of the parts along and across a piece: C. Gatti-Bono and N. C. Perkins, J. Appl. Mech. 71, 745
(2004), eq. 6. Energy of a rolling loop: G. A. Spolek, Am. J. Phys. 54, 832 (1986), from memory; at
a fold: C. W. Wong and K. Yasui, Am. J. Phys. 74, 490 (2006).

E/E0, v/V0 and V0 t do not depend on V0: one run serves every line speed. Not in it: what moves out
of the plane, wind, the rod after its stop, the anchor, a wet line.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Self

import numpy as np

from taperlab.physics.frustum import Array
from taperlab.physics.rigging import Rigging

AIR_DENSITY = 1.2
"""Of air [kg/m^3]."""

ACROSS = 1.0
"""Drag coefficient of a cylinder across the air at Reynolds numbers near 1000, remembered."""

ALONG = 0.015
"""Drag coefficient along the line per diameter and length, not per wetted area; remembered."""

PANELS = 48
"""Into so many equal parts the way is cut, besides where the line's pieces meet."""

LOOP_NODES = 28
"""At so many places round the loop the line is read."""

MOST_JOINTS = 40
"""Where more pieces meet, each of them is short beside the loop, and none is a step of the sum."""

_GRADED = 10
_ORDER = 4


@dataclass(frozen=True, eq=False, slots=True)
class Air:
    """Air, and what it does to a line: density [kg/m^3]; drag across and along the line [1]."""

    density: float = AIR_DENSITY
    across: float = ACROSS
    along: float = ALONG


@dataclass(frozen=True, eq=False, slots=True)
class Flying:
    """A rig as it flies, its pieces from the fly up.

    ends: (n + 1,) where pieces end, from the fly [m]. mass, area: (3, n) and (2, n), what a piece
    weighs [kg] and covers [m^2] up to a distance inside, by powers of that. mass_before,
    area_before: (n,) of all pieces ahead. points, point_masses: loops and sleeves, from the fly
    [m], [kg]. fly_mass: of fly and of a loop that it is tied
    to, in air [kg]; fly_drag: drag coefficient times area [m^2].
    """

    ends: Array
    mass: Array
    area: Array
    mass_before: Array
    area_before: Array
    points: Array
    point_masses: Array
    fly_mass: float = 0.0
    fly_drag: float = 0.0

    @classmethod
    def of(cls, rig: Rigging, fly_mass: float = 0.0) -> Self:
        """A rig, and what its fly weighs in air [kg]."""
        flare = (rig.rear - rig.front) / rig.lengths
        mass = np.array(
            [
                rig.coat * rig.front**2 + rig.core,
                rig.coat * rig.front * flare,
                rig.coat * flare**2 / 3.0,
            ]
        )
        area = np.array([rig.front, flare / 2.0])
        powers = rig.lengths ** np.array([[1.0], [2.0], [3.0]])
        ends = np.concatenate(([0.0], np.cumsum(rig.lengths)))
        # What lies at the fly's end moves with the fly to the last.
        there = (rig.joint_masses > 0.0) & (ends > 0.0)
        return cls(
            ends,
            mass,
            area,
            _before((mass * powers).sum(axis=0)),
            _before((area * powers[:2]).sum(axis=0)),
            ends[there],
            rig.joint_masses[there],
            fly_mass + float(rig.joint_masses[0]),
            rig.fly_drag,
        )

    @property
    def length(self) -> float:
        """From the rod tip to the fly [m]."""
        return float(self.ends[-1])

    def ahead(self, place: Array) -> tuple[Array, Array]:
        """Mass [kg] and area [m^2] of the line between places [m from the rod tip] and the fly.

        Loops, sleeves and the fly are left out.
        """
        x = np.clip(self.length - place, 0.0, self.length)
        i = np.clip(np.searchsorted(self.ends, x, side="right") - 1, 0, self.mass.shape[1] - 1)
        t = x - self.ends[i]
        a, b, c = self.mass
        d, e = self.area
        mass = self.mass_before[i] + t * (a[i] + t * (b[i] + t * c[i]))
        return mass, self.area_before[i] + t * (d[i] + t * e[i])

    def mass_per_length(self, place: Array) -> Array:
        """Mass per length [kg/m] at places [m from the rod tip]; at a joint, of what is ahead."""
        x = np.clip(self.length - place, 0.0, self.length)
        i = np.clip(np.searchsorted(self.ends, x, side="left") - 1, 0, self.mass.shape[1] - 1)
        t = x - self.ends[i]
        a, b, c = self.mass
        return np.asarray(a[i] + t * (2.0 * b[i] + t * 3.0 * c[i]))

    def total_mass(self) -> float:
        """Of line, leader, loops and fly [kg]."""
        line = float(self.ahead(np.zeros(1))[0][0])
        return line + float(self.point_masses.sum()) + self.fly_mass


@dataclass(frozen=True, eq=False, slots=True)
class Turnover:
    """A loop that rolls out, at lengths unrolled from its start to its end; arrays (p,).

    at: length unrolled, from the rod tip [m]. mass: what moves with the loop, as if all of it went
    at v [kg]. energy: of what there was at the start [1]. speed: of the leg with the fly, of that
    at the start [1]. way: the speed at the start times the time since [m]. weighs: the line's mass
    per length where the loop begins [kg/m]; drags: what the air takes there, 2 rho D, as a mass per
    length: the leg speeds up where that is less. length: of it all; wave: of the line in the loop
    [m].
    """

    at: Array
    mass: Array
    energy: Array
    speed: Array
    way: Array
    weighs: Array
    drags: Array
    length: float
    wave: float

    @property
    def energy_left(self) -> float:
        """What of the energy arrives as the fly enters the loop [1]."""
        return float(self.energy[-1])

    def speed_at(self, unrolled: float) -> float:
        """Speed at a length unrolled [m], of that at the start [1]; nan outside the run."""
        if not self.at[0] <= unrolled <= self.at[-1]:
            return math.nan
        return float(np.interp(unrolled, self.at, self.speed))


def wave_of(height: float) -> float:
    """Length of line in a loop so high, half a circle [m]."""
    return 0.5 * math.pi * height


def turn_over(
    line: Flying,
    start: float,
    height: float,
    air: Air = Air(),
    *,
    refine: int = 1,
) -> Turnover:
    """Roll a loop out over a line.

    Parameters
    ----------
    line : what is thrown
    start : length already unrolled as the loop begins [m]
    height : of the loop, as the air shapes it; 0 for a fold [m]
    air : density, and drag coefficients
    refine : factor on the number of steps [1]

    Returns
    -------
    speed, energy and the rest along the line

    Raises
    ------
    ValueError : if the line ends in the loop from the start
    """
    wave, length = wave_of(height), line.length
    end = length - wave
    if not 0.0 <= start < end:
        raise ValueError("no line is left to turn over")
    edges = edges_of(line, start, end, wave, refine)
    at, inner = _nodes(edges)
    mass, drag = _loop(line, at, wave, air, refine)
    sizes = np.diff(edges)
    rates = 2.0 * air.density * drag[inner] / mass[inner]
    lost, within = _sums(rates.reshape(-1, _ORDER), sizes)
    energy = np.exp(-lost)
    there = np.exp(-within)
    with np.errstate(divide="ignore"):
        # At the very end of a fold without a fly nothing is left to move.
        speed = np.sqrt(energy * mass[0] / mass[~inner])
    slow = 2.0 * np.sqrt(mass[inner].reshape(-1, _ORDER) / (there * mass[0]))
    way, _ = _sums(slow, sizes)
    return Turnover(
        edges,
        mass[~inner],
        energy,
        speed,
        way,
        line.mass_per_length(edges),
        2.0 * air.density * drag[~inner],
        length,
        wave,
    )


def _before(each: Array) -> Array:
    return np.concatenate(([0.0], np.cumsum(each)[:-1]))


def edges_of(
    line: Flying, start: float, end: float, wave: float, refine: int, *, points: bool = False
) -> Array:
    """Where the way is cut [m]: evenly, where pieces meet, and closer and closer to its end.

    points: where loops and sleeves enter and leave the loop as well.
    """
    joints = line.length - line.ends[1:-1]
    if points:
        joints = np.concatenate((joints, line.length - line.points))
    if len(joints) > MOST_JOINTS:
        joints = joints[:0]
    marks = np.concatenate(
        (
            np.linspace(start, end, PANELS * refine + 1),
            joints,
            joints - wave,
            [0.5 * line.length],
            end - (end - start) * 0.5 ** np.arange(1, _GRADED + 1),
        )
    )
    marks = np.unique(marks[(marks >= start) & (marks <= end)])
    keep = np.concatenate((np.diff(marks) > 1e-9 * (end - start), [True]))
    keep[0] = True
    marks = marks[keep]
    marks[0], marks[-1] = start, end
    return np.asarray(marks)


def _nodes(edges: Array) -> tuple[Array, np.ndarray[tuple[int], np.dtype[np.bool_]]]:
    """Edges with the nodes between them, and which of them are nodes."""
    x, _, _ = gauss(_ORDER)
    between = edges[:-1, np.newaxis] + np.diff(edges)[:, np.newaxis] * x
    rows = np.concatenate((edges[:-1, np.newaxis], between), axis=1).ravel()
    inner = np.ones(len(rows) + 1, dtype=bool)
    inner[:: _ORDER + 1] = False
    return np.append(rows, edges[-1]), inner


def _sums(rates: Array, sizes: Array) -> tuple[Array, Array]:
    """Integrals up to each edge, and up to each node, of what is known at the nodes."""
    _, weights, inside = gauss(_ORDER)
    edges = np.concatenate(([0.0], np.cumsum((rates @ weights) * sizes)))
    return edges, edges[:-1, np.newaxis] + (rates @ inside.T) * sizes[:, np.newaxis]


@lru_cache(maxsize=8)
def gauss(order: int) -> tuple[Array, Array, Array]:
    """Gauss's nodes and weights on 0 to 1, and the weights (order, order) up to each node."""
    x, w = np.polynomial.legendre.leggauss(order)
    x, w = 0.5 * (x + 1.0), 0.5 * w
    powers = np.arange(order)
    moments = x[:, np.newaxis] ** (powers + 1) / (powers + 1)
    return x, w, np.asarray(moments @ np.linalg.inv(x[:, np.newaxis] ** powers))


def _loop(line: Flying, at: Array, wave: float, air: Air, refine: int) -> tuple[Array, Array]:
    """What moves with the loop [kg], and its drag [m^2], at lengths unrolled (p,).

    By parts, so that only what lies ahead of a place is read, which is exact and has no steps.
    """
    x, weights, _ = gauss(LOOP_NODES * refine)
    w, rise = share_of(x), rise_of(x)
    mass, area = line.ahead(at[:, np.newaxis] + wave * x)
    along = area @ (weights * 3.0 * w**2 * rise)
    bend = np.sin(np.pi * x) ** 2 * np.cos(np.pi * x) * (3.0 * np.pi / 8.0)
    across = area @ (weights * bend)
    moving = mass @ (weights * rise)
    if len(line.points):
        passed = line.length - line.points - at[:, np.newaxis]
        turned = np.clip(passed / wave, 0.0, 1.0) if wave else (passed > 0.0).astype(float)
        moving = moving + share_of(turned) @ line.point_masses
    drag = air.along * along + air.across * across + line.fly_drag
    return np.asarray(moving + line.fly_mass), np.asarray(drag)


def share_of(turned: Array) -> Array:
    """w, of pieces turned so far, 0 to 1: the square of their speed, of that of the leg [1]."""
    return np.asarray(np.sin(0.5 * np.pi * turned) ** 2)


def rise_of(turned: Array) -> Array:
    """How fast that share grows with how far a piece has turned [1]."""
    return np.asarray(0.5 * np.pi * np.sin(np.pi * turned))
