"""What is known of the diameter along a line from stations, between them and beyond them.

Universal kriging (Cressie, Statistics for Spatial Data, 1993, section 3.4): a broken line with
hinges where the taper changes, and what it leaves out. That is a number of shapes of unknown
height, each with a size that it usually has, and a wobble that goes all along. The sizes are this
project's own, tried on simulated lines.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from taperlab.model.exact_units import FOOT, INCH
from taperlab.physics.frustum import Array

THOU = 0.001 * INCH

LEVEL_SPREAD = 0.1
SLOPE_SPREAD = 0.01
LONE_SLOPE_SPREAD = 1e-4
"""Plausible size of the diameter [m], of a slope or a change of slope [m/m], and of the slope of a
line known from one station: far wider than real tapers."""

WOBBLES = (0.0, 0.003, 0.008)
WOBBLES_LIKELY = (0.45, 0.45, 0.1)
WOBBLE_GAPS = 2.0
"""How far the coating wobbles about its taper, as a share of the diameter; how likely each is; and
over how many gaps between stations it forgets itself."""

NOISES = (1.0, 1.5, 2.2, 3.3)
NOISES_LIKELY = (0.55, 0.25, 0.13, 0.07)
"""How many times larger the scatter of the diameters may be than it is said to be, and how likely
each is: soft coatings and hands differ."""

NEGLIGIBLE = 1e-4
"""Sizes less likely than this are left out."""

BEND, BEND_IN_END_GAP, BEND_WHERE_PLACED = 0.25, 0.6, 0.08
"""Height of a bend inside a gap beside a breakpoint, as a share of the gap times the change of
slope: where no station places the breakpoint, in the first and last gap, and where they do."""

LEAST_SLOPE = THOU / FOOT
"""Beyond the last station a line may turn by the steepest slope seen, and by this at least."""

UNMEASURED = 0.3
UNMEASURED_REACH = 4.0 * FOOT
"""Nor need it go on as before: how far off it may be altogether, as a share of the diameter, and
over what distance it gets there. Rear tapers halve a line in some 5 ft."""

WITHIN = 16
"""Places between two others at which the diameter is looked at for the volume between them."""

OFFSET = 0.3 * THOU
"""Standard deviation of what a micrometer or the hand that holds it is off by everywhere."""

JOINT_GAPS, JOINT_STEEPER, JOINT_SURE, JOINT_RISE = 2.6, 3.0, 5.0, 0.05
"""A joint is a stretch shorter than so many gaps, steeper than so many times its neighbours, with
a rise of more than so many errors and of more than this share of the diameter."""

JOINT_SPREAD, JOINT_REACH = 1.2, 0.25
"""Inside it the diameter may be anything: standard deviation over that of a place drawn at random,
and over what share of its width it forgets itself."""


@dataclass(frozen=True, eq=False, slots=True)
class Shape:
    """What is known of a line's shape, in order from the fly end, in metres.

    length; distances, diameters, errors (n,): stations, their means and standard deviations;
    breakpoints (k,): where the taper changes; spreads (k,): by how much each may lie elsewhere,
    0 for "a gap between stations"; loose (k,): whether too few stations place it.
    """

    length: float
    distances: Array
    diameters: Array
    errors: Array
    breakpoints: Array
    spreads: Array
    loose: NDArray[np.bool_]

    @property
    def gap(self) -> float:
        """The usual distance between stations [m]."""
        if len(self.distances) < 2:
            return self.length
        return float(np.median(np.diff(self.distances)))

    def hinges(self, x: Array) -> Array:
        """Values of 1, x and every hinge at each x [m], (m, 2 + k)."""
        open_by = np.maximum(0.0, x[:, np.newaxis] - self.breakpoints)
        return np.column_stack([np.ones(len(x)), x, open_by])

    @property
    def hinge_spreads(self) -> Array:
        """Plausible size of the coefficient of each, (2 + k,)."""
        slope = LONE_SLOPE_SPREAD if len(self.distances) == 1 else SLOPE_SPREAD
        return np.array([LEVEL_SPREAD, slope, *[SLOPE_SPREAD] * len(self.breakpoints)])

    def broken(self) -> Array:
        """Coefficients of the broken line through the stations, (2 + k,)."""
        rows = self.hinges(self.distances) / self.errors[:, np.newaxis]
        stacked = np.vstack([rows, np.diag(1.0 / self.hinge_spreads)])
        right = np.concatenate([self.diameters / self.errors, np.zeros(rows.shape[1])])
        return np.asarray(np.linalg.lstsq(stacked, right, rcond=None)[0], dtype=float)


@dataclass(frozen=True, slots=True)
class Joint:
    """Two pieces meet somewhere between two stations [m]; the diameter rises by so much [m]."""

    front: float
    rear: float
    rise: float


@dataclass(frozen=True, eq=False, slots=True)
class _Fit:
    """The line under one size of wobble and of noise.

    square: of the wobble, as a share; likely: logarithm of how likely that is; inverse (n, n): of
    the covariance of what the stations read about the design; heights, known: of the design, and
    their covariance; left (n,): what the design leaves of the stations.
    """

    square: float
    likely: float
    inverse: Array
    heights: Array
    known: Array
    left: Array


class Outline:
    """The diameter along a line, with the covariance of its error between any two places.

    shape: what it was worked out from; joints: stretches in which two pieces seem to meet.
    """

    def __init__(self, shape: Shape) -> None:
        self.shape = shape
        self._gap = shape.gap
        self._broken = shape.broken()
        self._slopes = np.cumsum(self._broken[1:])
        self.joints = tuple(_joints(shape, self._broken))
        spreads = [shape.hinge_spreads, np.ones(self._shapes(shape.distances).shape[1])]
        self._precision = np.diag(np.concatenate(spreads) ** -2.0)
        sizes = list(
            product(
                zip(WOBBLES, WOBBLES_LIKELY, strict=True), zip(NOISES, NOISES_LIKELY, strict=True)
            )
        )
        fits = [self._fit(wobble, noise) for (wobble, _), (noise, _) in sizes]
        prior = np.array([likely * so_too for (_, likely), (_, so_too) in sizes])
        evidence = np.array([fit.likely for fit in fits]) + np.log(prior)
        shares = np.exp(evidence - evidence.max())
        shares = shares / shares.sum()
        likely = zip(shares.tolist(), fits, strict=True)
        self._fits = tuple((share, fit) for share, fit in likely if share > NEGLIGIBLE)
        self._heights = np.asarray(sum(share * fit.heights for share, fit in self._fits))
        # All wobbles have one form, so that their means are one sum.
        pulls = (share * fit.square * (fit.inverse @ fit.left) for share, fit in self._fits)
        self._pull = np.asarray(sum(pulls))

    @property
    def first(self) -> float:
        """Distance of the first station [m]."""
        return float(self.shape.distances[0])

    @property
    def last(self) -> float:
        """Distance of the last station [m]."""
        return float(self.shape.distances[-1])

    def is_measured(self, x: Array) -> NDArray[np.bool_]:
        """Whether there are stations on both sides of each x [m], or at it."""
        return np.asarray((x >= self.first) & (x <= self.last))

    def mean(self, x: Array) -> Array:
        """Diameter [m] at each x [m], (m,)."""
        own = self._design(x) @ self._heights
        return np.asarray(own + self._form(x, self.shape.distances) @ self._pull)

    def covariance(self, x: Array) -> Array:
        """Covariance of the errors of the diameters at each x [m], (m, m) [m^2]."""
        at = self.shape.distances
        design, of_stations = self._design(x), self._design(at)
        form, cross = self._form(x, x), self._form(x, at)
        mean = design @ self._heights + cross @ self._pull
        whole = np.full((len(x), len(x)), OFFSET**2)
        for share, fit in self._fits:
            follows = fit.square * cross @ fit.inverse
            away = design @ fit.heights + follows @ fit.left - mean
            rest = design - follows @ of_stations
            own = fit.square * (form - follows @ cross.T)
            whole += share * (own + rest @ fit.known @ rest.T + np.outer(away, away))
        for joint in self.joints:
            width = joint.rear - joint.front
            inside = (x > joint.front) & (x < joint.rear)
            apart = np.abs(x[:, np.newaxis] - x) / (JOINT_REACH * width)
            size = JOINT_SPREAD * joint.rise / np.sqrt(12.0)
            whole += size**2 * np.outer(inside, inside) * np.exp(-apart)
        return whole

    def error(self, x: Array) -> Array:
        """Standard deviation of the diameter [m] at each x [m], (m,)."""
        return np.asarray(np.sqrt(np.maximum(np.diag(self.covariance(x)), 0.0)))

    def volume_error(self, front: float, rear: float) -> float:
        """Standard deviation of the volume between two places [m], as a share of it."""
        nodes, weights = np.polynomial.legendre.leggauss(WITHIN)
        x = front + (rear - front) * (nodes + 1.0) / 2.0
        d = self.mean(x)
        # To first order twice the diameter's error, of each place by what it holds of the volume.
        row = 2.0 * weights * d / float(weights @ d**2)
        return math.sqrt(max(0.0, float(row @ self.covariance(x) @ row)))

    # -- what a broken line leaves out ---------------------------------------------------------

    def _shapes(self, x: Array) -> Array:
        """What a broken line leaves out, each at the height that it usually has, (m, shapes)."""
        columns = [*self._moved(x), *self._bends(x), *self._beyond(x)]
        return np.column_stack(columns) if columns else np.zeros((len(x), 0))

    def _moved(self, x: Array) -> Sequence[Array]:
        """A breakpoint lies elsewhere: all behind it is thicker or thinner by as much."""
        shape = self.shape
        reach = np.where(shape.spreads > 0.0, shape.spreads, self._gap)
        changes = self._broken[2:]
        return [
            change * far * np.heaviside(x - at, 0.5)
            for at, change, far in zip(shape.breakpoints, changes, reach, strict=True)
        ]

    def _bends(self, x: Array) -> list[Array]:
        """A taper bends between two stations, and is what they say at both."""
        shape, at = self.shape, self.shape.distances
        heights = np.zeros(max(len(at) - 1, 0))
        for place, change, loose in zip(
            shape.breakpoints, self._broken[2:], shape.loose, strict=True
        ):
            # A breakpoint on a station touches the gaps on both sides of it.
            near = np.flatnonzero((at[:-1] <= place + 1e-9) & (place - 1e-9 <= at[1:]))
            for gap in near.tolist():
                is_end = gap in (0, len(at) - 2)
                share = BEND if loose else BEND_WHERE_PLACED
                share = BEND_IN_END_GAP if loose and is_end else share
                heights[gap] = max(heights[gap], share * abs(change) * (at[gap + 1] - at[gap]))
        bends = []
        for gap in np.flatnonzero(heights).tolist():
            u = np.clip((x - at[gap]) / (at[gap + 1] - at[gap]), 0.0, 1.0)
            arch = heights[gap] * u * (1.0 - u)
            bends += [4.0 * arch, 10.39 * arch * (0.5 - u)]
        return bends

    def _beyond(self, x: Array) -> list[Array]:
        """Beyond the stations a taper runs on as it likes."""
        turn = max(float(np.abs(self._slopes).max()), LEAST_SLOPE)
        thick = self.shape.diameters[[0, -1]]
        shapes = []
        for far, diameter in zip((self.first - x, x - self.last), thick.tolist(), strict=True):
            beyond = np.maximum(far, 0.0)
            other = UNMEASURED * diameter * -np.expm1(-beyond / UNMEASURED_REACH)
            shapes += [turn * beyond, other]
        return shapes

    # -- kriging -------------------------------------------------------------------------------

    def _design(self, x: Array) -> Array:
        return np.hstack([self.shape.hinges(x), self._shapes(x)])

    def _form(self, x: Array, other: Array) -> Array:
        """Covariance of a wobble of size one between places x and others (m, n) [m^2]."""
        apart = (x[:, np.newaxis] - other) / (WOBBLE_GAPS * self._gap)
        thick = (self.shape.hinges(each) @ self._broken for each in (x, other))
        return np.asarray(np.outer(*thick) * np.exp(-0.5 * apart**2))

    def _fit(self, wobble: float, times: float) -> _Fit:
        at, y = self.shape.distances, self.shape.diameters
        noise = wobble**2 * self._form(at, at) + np.diag((times * self.shape.errors) ** 2)
        inverse, design = np.asarray(np.linalg.inv(noise), dtype=float), self._design(at)
        information = design.T @ inverse @ design + self._precision
        scale = 1.0 / np.sqrt(np.diag(information))
        known = np.asarray(np.linalg.inv(information * np.outer(scale, scale)), dtype=float)
        known *= np.outer(scale, scale)
        heights = np.asarray(known @ design.T @ inverse @ y)
        left = y - design @ heights
        squares = left @ inverse @ left + heights @ self._precision @ heights
        sizes = np.linalg.slogdet(noise)[1] - np.linalg.slogdet(known)[1]
        return _Fit(wobble**2, -0.5 * float(squares + sizes), inverse, heights, known, left)


def _joints(shape: Shape, broken: Array) -> list[Joint]:
    """Short steep stretches between two breakpoints, in which one piece ends and another begins."""
    at, slopes = shape.breakpoints, np.cumsum(broken[1:])
    found = []
    for k in range(len(at) - 1):
        width, steep = at[k + 1] - at[k], abs(slopes[k + 1])
        rise = float(steep * width)
        thick = float((shape.hinges(at[k : k + 1]) @ broken)[0])
        if (
            width < JOINT_GAPS * shape.gap
            and steep > JOINT_STEEPER * max(abs(slopes[k]), abs(slopes[k + 2]))
            and broken[2 + k] * broken[3 + k] < 0.0
            and rise > max(JOINT_SURE * float(np.median(shape.errors)), JOINT_RISE * thick)
        ):
            ahead = shape.distances[shape.distances <= at[k] + 1e-9]
            behind = shape.distances[shape.distances >= at[k + 1] - 1e-9]
            front = float(ahead[-1]) if len(ahead) else 0.0
            rear = float(behind[0]) if len(behind) else shape.length
            found.append(Joint(front, rear, rise))
    return found
