"""Mass per length along a line as cubics, cell by cell: what joins, laps and stretches are made of.

A straight taper of one make-up has a quadratic; where two of them are bevelled over each other, a
cubic (``lapped.py``). Mass is then a quartic, its moment a quintic, and the inverse a root in a
shrinking bracket.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Self

import numpy as np
from numpy.typing import ArrayLike

from taperlab.model.segment import RoundSection
from taperlab.physics.frustum import QUARTER_PI, Array, floats
from taperlab.physics.section import core_of

_GAUSS = np.polynomial.legendre.leggauss(3)
"""Three points: exact to the fifth degree, and what is squared here has the fourth."""


@dataclass(frozen=True, eq=False, slots=True)
class MassAlong:
    """Cells in order; in each, mass per length is a cubic in the distance from the cell's start.

    starts: (n + 1,) ends of the cells [m], the last being the end. coefficients: (n, 4), the
    constant first, [kg/m], [kg/m^2] and so on. masses: (n + 1,), what lies ahead of each start
    [kg].
    """

    starts: Array
    coefficients: Array
    masses: Array

    @classmethod
    def of(cls, sections: Iterable[RoundSection]) -> Self:
        """That of round sections, one behind the other."""
        given = tuple(sections)
        cells = np.zeros((len(given), 4))
        for cell, each in zip(cells, given, strict=True):
            cell[:3] = taper_coefficients(each)
        return cls.of_cells([each.length for each in given], cells)

    @classmethod
    def of_cells(cls, lengths: ArrayLike, coefficients: ArrayLike) -> Self:
        """Of cells that are so long [m], with their cubics [kg/m, kg/m^2, ...]."""
        sizes, cells = floats(lengths, coefficients)
        starts = np.concatenate(([0.0], np.cumsum(sizes)))
        own = _integral(cells, sizes)
        return cls(starts, cells, np.concatenate(([0.0], np.cumsum(own))))

    @property
    def length(self) -> float:
        """Its length [m]."""
        return float(self.starts[-1])

    @property
    def mass(self) -> float:
        """Its mass [kg]."""
        return float(self.masses[-1])

    def _at(self, position: ArrayLike) -> tuple[Array, Array, Array]:
        """The cubic there, the distance into its cell [m], and the mass ahead of that [kg]."""
        (x,) = floats(position)
        i = np.searchsorted(self.starts[1:-1], x, side="right")
        return self.coefficients[i], x - self.starts[i], self.masses[i]

    def linear_density(self, position: ArrayLike) -> Array:
        """Mass per length [kg/m] at positions [m]; at a breakpoint, that behind it."""
        cubic, t, _ = self._at(position)
        return _value(cubic, t)

    def running_mass(self, position: ArrayLike) -> Array:
        """Mass [kg] from the front up to positions [m]."""
        cubic, t, ahead = self._at(position)
        return np.asarray(ahead + _integral(cubic, t))

    def first_moment(self) -> float:
        """Integral of mass per length times the distance from the front [kg*m]."""
        size = np.diff(self.starts)
        powers = size[:, np.newaxis] ** np.arange(2, 6) / np.arange(2, 6)
        about_start = (self.coefficients * powers).sum(axis=1)
        return float((about_start + self.starts[:-1] * np.diff(self.masses)).sum())

    def position_of(self, mass: ArrayLike) -> Array:
        """Positions [m] up to which it weighs so much [kg], clipped to the whole.

        Newton steps kept inside a shrinking bracket, as mass never falls along a line.
        """
        (wanted,) = floats(mass)
        i = np.searchsorted(self.masses[1:-1], wanted, side="right")
        cubic, size = self.coefficients[i], np.diff(self.starts)[i]
        own = self.masses[i + 1] - self.masses[i]
        over = np.minimum(np.maximum(wanted - self.masses[i], 0.0), own)
        low, high = np.zeros_like(over), size
        t = size * over / own
        for _ in range(40):
            miss = _integral(cubic, t) - over
            low, high = np.where(miss <= 0.0, t, low), np.where(miss >= 0.0, t, high)
            # Line weighs something everywhere.
            step = t - miss / _value(cubic, t)
            step = np.where((step >= low) & (step <= high), step, (low + high) / 2.0)
            moved_by, t = np.abs(step - t), step
            if (moved_by <= 1e-14 * size).all():
                break
        return np.asarray(self.starts[i] + t)

    def reversed(self) -> MassAlong:
        """It turned end for end."""
        sizes = np.diff(self.starts)
        return MassAlong.of_cells(
            sizes[::-1],
            [turned(c, size) for c, size in zip(self.coefficients, sizes, strict=True)][::-1],
        )

    def cut(self, begin: float, end: float) -> MassAlong:
        """What lies between two positions [m]."""
        breaks = self.starts[1:-1]
        inner = breaks[(breaks > begin) & (breaks < end)]
        edges = np.concatenate(([begin], inner, [end]))
        middles = (edges[:-1] + edges[1:]) / 2.0
        cells = np.searchsorted(breaks, middles, side="right")
        shifted = [
            moved(self.coefficients[i], edge - self.starts[i])
            for i, edge in zip(cells, edges[:-1], strict=True)
        ]
        return MassAlong.of_cells(np.diff(edges), shifted)


def taper_coefficients(section: RoundSection) -> Array:
    """Mass per length of a straight taper as a quadratic [kg/m, kg/m^2, kg/m^3].

    ``linear_density`` of ``frustum.py`` with the diameter d1 + (d2 - d1) x / L.
    """
    core, core_density = core_of(section)
    d, slope = section.front_diameter, section.rear_diameter - section.front_diameter
    slope /= section.length
    rho = section.density
    return np.asarray(
        [
            QUARTER_PI * (rho * d * d + (core_density - rho) * core * core),
            QUARTER_PI * rho * 2.0 * d * slope,
            QUARTER_PI * rho * slope * slope,
        ]
    )


def moved(cubic: ArrayLike, by: float) -> Array:
    """A cubic [kg/m, kg/m^2, ...] about a place that lies so much further [m]."""
    a, b, c, d = floats(*np.asarray(cubic, dtype=float))
    return np.asarray(
        [
            a + by * (b + by * (c + by * d)),
            b + by * (2.0 * c + by * 3.0 * d),
            c + 3.0 * d * by,
            d,
        ]
    )


def turned(cubic: ArrayLike, size: float) -> Array:
    """A cubic [kg/m, kg/m^2, ...] of a cell so long [m], counted from its other end."""
    return np.asarray(moved(cubic, size) * np.array([1.0, -1.0, 1.0, -1.0]))


def _value(cubic: Array, t: Array) -> Array:
    a, b, c, d = cubic[..., 0], cubic[..., 1], cubic[..., 2], cubic[..., 3]
    return np.asarray(a + t * (b + t * (c + t * d)))


def _integral(cubic: Array, t: Array) -> Array:
    a, b, c, d = np.moveaxis(cubic, -1, 0)
    return np.asarray(t * (a + t * (b / 2.0 + t * (c / 3.0 + t * d / 4.0))))


def square_difference(one: MassAlong, other: MassAlong, begin: Array, length: Array) -> Array:
    """Mean square of the difference of two masses per length [kg^2/m^2].

    one: a line of which stretches are looked at that begin at ``begin`` and are ``length`` long
    [m], as many as there are; other: what each is laid against, all of it, stretched to that
    length. The integral of (one(begin + length u) - other(L u))^2 over u from 0 to 1, by three
    Gauss points between the breakpoints of both: exact for straight tapers.
    """
    first, size = (np.atleast_1d(each) for each in floats(begin, length))
    own = (one.starts[np.newaxis, 1:-1] - first[:, np.newaxis]) / size[:, np.newaxis]
    theirs = np.broadcast_to(other.starts / other.length, (len(first), len(other.starts)))
    nodes = np.sort(np.concatenate((np.clip(own, 0.0, 1.0), theirs), axis=1), axis=1)
    width = np.diff(nodes, axis=1)
    points, weights = _GAUSS
    middle = (nodes[:, 1:] + nodes[:, :-1]) / 2.0
    u = middle[..., np.newaxis] + width[..., np.newaxis] / 2.0 * points
    there = one.linear_density(
        first[:, np.newaxis, np.newaxis] + size[:, np.newaxis, np.newaxis] * u
    )
    apart = there - other.linear_density(other.length * u)
    return np.asarray((apart**2 @ weights * width / 2.0).sum(axis=1))


def worst_difference(one: MassAlong, other: MassAlong, begin: float, length: float) -> float:
    """The largest difference of two masses per length [kg/m], heavier above nought.

    Of the stretch of ``one`` from ``begin``, ``length`` long [m], less all of ``other`` stretched
    to it. Between breakpoints the difference of two straight tapers is a parabola: its ends and its
    vertex are all there is.
    """
    worst = 0.0
    for own, theirs in _laid_against(one, other, begin, length):
        middle, slope, bend = own - theirs
        places = [-1.0, 1.0]
        if abs(slope) < 2.0 * abs(bend):
            places.append(-slope / (2.0 * bend))
        for place in places:
            value = float(middle + place * (slope + place * bend))
            worst = max(worst, value, key=abs)
    return worst


def worst_share(one: MassAlong, other: MassAlong, begin: float, length: float) -> float:
    """The largest difference over ``other``'s own mass per length there, as a share [1].

    Of the same stretch of ``one`` from ``begin``, ``length`` long [m]. The thin end of a taper may
    be off most by its own measure where the thick one is by grains. Between breakpoints own/theirs
    is stationary where own' theirs - own theirs' = 0, which is a quadratic: the cubes cancel.
    """
    best = 0.0
    for own, theirs in _laid_against(one, other, begin, length):
        (s0, s1, s2), (t0, t1, t2) = own, theirs
        places = np.roots([s2 * t1 - s1 * t2, 2.0 * (s2 * t0 - s0 * t2), s1 * t0 - s0 * t1])
        inside = places.real[(np.abs(places.imag) < 1e-9) & (np.abs(places.real) <= 1.0)]
        u = np.concatenate((inside, [-1.0, 1.0]))
        there = t0 + u * (t1 + u * t2)
        best = max(best, float((np.abs(s0 + u * (s1 + u * s2) - there) / there).max()))
    return best


def _laid_against(
    one: MassAlong, other: MassAlong, begin: float, length: float
) -> Iterator[tuple[Array, Array]]:
    """Both as parabolas, from one breakpoint of either to the next.

    Of straight tapers. Their coefficients are in u from -1 to 1, the constant first [kg/m].
    """
    stretch = one.cut(begin, begin + length)
    own, theirs = stretch.starts / length, other.starts / other.length
    nodes = np.unique(np.concatenate((own, theirs)))
    nodes = nodes[np.concatenate(([True], np.diff(nodes) > 1e-12))]
    for low, high in pairwise(nodes):
        # Looked at from inside the cell: at a step both sides count.
        inside = low + (high - low) * np.array([1e-9, 0.5, 1.0 - 1e-9])
        both = (
            stretch.linear_density(length * inside),
            other.linear_density(other.length * inside),
        )
        first, second = (
            np.array([middle, (right - left) / 2.0, (right + left) / 2.0 - middle])
            for left, middle, right in both
        )
        yield first, second
