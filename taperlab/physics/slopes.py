"""How a line's figures answer to its numbers: slopes in closed form.

A slope is what a figure gains for each unit that one number gains while all others stay. The
numbers are each row's length, front and rear diameter, and density (of the coating where there is
a core). Loops and sleeves count: line folded into a loop weighs what the end that it is folded
from weighs, and a loop moves with its end.

With K = pi/4, diameters a and b, density r, core c of density rc, over a length L:

    w = K (r L (a^2 + ab + b^2)/3 + (rc - r) c^2 L)
    m = K L^2 (r (a^2 + 2ab + 3b^2)/12 + (rc - r) c^2/2)          moment about the row's own front

which are :meth:`frustum.Taper.mass` and :meth:`frustum.Taper.first_moment`; what stands below is
their derivatives.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Self

import numpy as np

from taperlab.model.line import Line
from taperlab.physics.frustum import QUARTER_PI, Array, Taper
from taperlab.physics.profile import SAME_PLACE
from taperlab.physics.section import core_of, shape_of

LENGTH, FRONT, REAR, DENSITY = range(4)
"""First index of a table of slopes (4, n): by each row's length, diameters, density."""


@dataclass(frozen=True, eq=False, slots=True)
class Fittings:
    """Loops and sleeves by the row that they lie on, at its front and at its rear; (n,) each.

    front_fold, rear_fold: [m] of line folded back there. front_added, rear_added: [kg] of whatever
    else is added.
    """

    front_fold: Array
    front_added: Array
    rear_fold: Array
    rear_added: Array

    @classmethod
    def of(cls, line: Line) -> Self:
        """Those of a line."""
        folds, added = np.zeros((2, len(line.segments))), np.zeros((2, len(line.segments)))
        if line.segments:
            last = len(line.segments) - 1
            ends = [(line.front_loop, 0, 0), (line.rear_loop, last, 1)]
            for i, joint in enumerate(line.joints):
                ends += [(joint.loop_ahead, i, 1), (joint.loop_behind, i + 1, 0)]
                added[1, i] += joint.mass
            for loop, row, end in ends:
                folds[end, row] += loop.fold
                added[end, row] += loop.mass
        return cls(folds[0], added[0], folds[1], added[1])


class Sloped:
    """The rows of a line, what each weighs and its moment, and how both answer to its numbers.

    Parameters
    ----------
    columns : lengths, front diameters, rear diameters [m], densities [kg/m^3], core diameters [m],
        0 for none, core densities [kg/m^3]; (6, n)
    fittings : loops and sleeves of those rows
    """

    def __init__(self, columns: Array, fittings: Fittings) -> None:
        self.columns, self.fittings = columns, fittings
        self.lengths, self.fronts, self.rears, self.densities, self.cores, self.core_densities = (
            columns
        )
        self.starts = np.concatenate(([0.0], np.cumsum(self.lengths)))

    @classmethod
    def of(cls, line: Line) -> Self:
        """The rows of a line."""
        columns = np.array(
            [(*shape_of(each), each.density, *core_of(each)) for each in line.segments],
            dtype=float,
        ).reshape(-1, 6)
        return cls(np.ascontiguousarray(columns.T), Fittings.of(line))

    @cached_property
    def core_square(self) -> Array:
        """Square of each core's diameter [m^2]."""
        return np.asarray(self.cores**2)

    def _per_length(self, diameter: Array) -> Array:
        """Mass per length of each row where it is this thick [kg/m]."""
        core = (self.core_densities - self.densities) * self.core_square
        return np.asarray(QUARTER_PI * (self.densities * diameter**2 + core))

    @cached_property
    def masses(self) -> Array:
        """Mass of each row, its loops and sleeves included [kg]."""
        return np.asarray(self.plain_masses + self._at_front + self._at_rear)

    @cached_property
    def plain_masses(self) -> Array:
        """Mass of each row without loops and sleeves [kg]."""
        return Taper(*self.columns).mass()

    @cached_property
    def _at_front(self) -> Array:
        return np.asarray(
            self.fittings.front_added + self.fittings.front_fold * self._per_length(self.fronts)
        )

    @cached_property
    def _at_rear(self) -> Array:
        return np.asarray(
            self.fittings.rear_added + self.fittings.rear_fold * self._per_length(self.rears)
        )

    @cached_property
    def moments(self) -> Array:
        """Moment of each row about its own front, loops and sleeves included [kg*m]."""
        return np.asarray(Taper(*self.columns).first_moment() + self.lengths * self._at_rear)

    @cached_property
    def plain_mass_slopes(self) -> Array:
        """Of :attr:`plain_masses`, each by the numbers of its own row; (4, n)."""
        a, b, r, size = self.fronts, self.rears, self.densities, self.lengths
        coat = QUARTER_PI * size
        return np.array(
            [
                self.plain_masses / size,
                coat * r * (2.0 * a + b) / 3.0,
                coat * r * (a + 2.0 * b) / 3.0,
                coat * ((a * a + a * b + b * b) / 3.0 - self.core_square),
            ]
        )

    @cached_property
    def _rear_slopes(self) -> Array:
        """Of the mass folded at each row's rear; (4, n)."""
        b, fold = self.rears, QUARTER_PI * self.fittings.rear_fold
        none = np.zeros_like(b)
        by_density = fold * (b * b - self.core_square)
        return np.array([none, none, 2.0 * fold * self.densities * b, by_density])

    @cached_property
    def _front_slopes(self) -> Array:
        """Of the mass folded at each row's front; (4, n)."""
        a, fold = self.fronts, QUARTER_PI * self.fittings.front_fold
        none = np.zeros_like(a)
        by_density = fold * (a * a - self.core_square)
        return np.array([none, 2.0 * fold * self.densities * a, none, by_density])

    @cached_property
    def mass_slopes(self) -> Array:
        """Of :attr:`masses`, each by the numbers of its own row; (4, n)."""
        return np.asarray(self.plain_mass_slopes + self._front_slopes + self._rear_slopes)

    @cached_property
    def moment_slopes(self) -> Array:
        """Of :attr:`moments`, each by the numbers of its own row; (4, n)."""
        a, b, r, size = self.fronts, self.rears, self.densities, self.lengths
        plain = Taper(*self.columns).first_moment()
        square = QUARTER_PI * size * size
        own = np.array(
            [
                2.0 * plain / size + self._at_rear,
                square * r * (a + b) / 6.0,
                square * r * (a + 3.0 * b) / 6.0,
                square * ((a * a + 2.0 * a * b + 3.0 * b * b) / 12.0 - self.core_square / 2.0),
            ]
        )
        return np.asarray(own + size * self._rear_slopes)


def mass(rows: Sloped, within: Array) -> tuple[float, Array]:
    """Mass of what counts [kg], and its slopes (4, n).

    ``within`` (n,), here and below: 1 for each row that counts with its loops and sleeves, else 0.
    """
    return float(rows.masses @ within), np.asarray(rows.mass_slopes * within)


def moment(rows: Sloped, within: Array) -> tuple[float, Array]:
    """Moment of what counts about the fly end [kg*m], and its slopes (4, n)."""
    weighed = rows.masses * within
    value = float(rows.starts[:-1] @ weighed + rows.moments @ within)
    slopes = rows.starts[:-1] * rows.mass_slopes * within + rows.moment_slopes * within
    # A row that grows pushes everything behind it away from the fly end.
    slopes[LENGTH] += weighed.sum() - np.cumsum(weighed)
    return value, np.asarray(slopes)


def balance(rows: Sloped, within: Array) -> tuple[float, Array]:
    """Centre of mass of what counts, from the fly end [m], and its slopes (4, n)."""
    whole, by_whole = mass(rows, within)
    turning, by_turning = moment(rows, within)
    where = turning / whole
    return where, np.asarray((by_turning - where * by_whole) / whole)


def front_share(rows: Sloped, front: Array, within: Array) -> tuple[float, Array]:
    """Weight of the rows in ``front`` over that of what counts [1], and its slopes (4, n).

    As in :class:`head.HeadSums`, loops and sleeves count below the line alone.
    """
    whole, by_whole = mass(rows, within)
    share = float(rows.plain_masses @ front) / whole
    return share, np.asarray((rows.plain_mass_slopes * front - share * by_whole) / whole)


def running_mass(rows: Sloped, position: float) -> tuple[float, Array]:
    """Mass from the fly end to a position [m], loops and sleeves up to it included; its slopes.

    [kg] and (4, n). A position beyond the line is its nearer end. At a breakpoint the slopes are
    those towards the rod end; a length that moves a loop or sleeve across the position makes a
    step, which no slope tells.
    """
    count = len(rows.lengths)
    slopes = np.zeros((4, count))
    if position <= 0.0 or position >= rows.starts[-1]:
        at = float(min(max(position, 0.0), rows.starts[-1]))
        if at == 0.0:
            slopes[:, 0] = rows._front_slopes[:, 0]
            return float(rows._at_front[0]), slopes
        return mass(rows, np.ones(count))
    k = int(np.searchsorted(rows.starts, position + SAME_PLACE, side="right")) - 1
    k = min(k, count - 1)
    x, size = position - rows.starts[k], rows.lengths[k]
    a, r = rows.fronts[k], rows.densities[k]
    share = x / size
    d = a + (rows.rears[k] - a) * share
    core = rows.core_square[k]
    excess = (rows.core_densities[k] - r) * core
    coat = QUARTER_PI * x
    inside = coat * (r * (a * a + a * d + d * d) / 3.0 + excess)
    there = QUARTER_PI * (r * d * d + excess)
    by_d = coat * r * (a + 2.0 * d) / 3.0
    slopes[:, :k] = rows.mass_slopes[:, :k]
    slopes[LENGTH, :k] -= there
    slopes[:, k] = rows._front_slopes[:, k]
    slopes[LENGTH, k] -= by_d * (rows.rears[k] - a) * share / size
    slopes[FRONT, k] += coat * r * (2.0 * a + d) / 3.0 + by_d * (1.0 - share)
    slopes[REAR, k] += by_d * share
    slopes[DENSITY, k] += coat * ((a * a + a * d + d * d) / 3.0 - core)
    return float(rows.masses[:k].sum() + rows._at_front[k] + inside), slopes


def front_rows(line: Line) -> Array:
    """1 for each row of a line that counts for its head's front-taper share, else 0; (n,)."""
    return np.array([1.0 if each.part.in_front_taper else 0.0 for each in line.segments])
