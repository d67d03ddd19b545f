"""A lapped weld: two ends bevelled over each other, and the line that such welds make.

Both bevels are straight in area, so that the share of the piece behind grows evenly from 0 to 1
along the lap: mass per length is F (1 - u) + R u, with u = y/o + 1/2 and y from the joint's centre.
A plane cut through a round line would share otherwise, and differs by under 2 parts in 100 of the
step in running weight at the centre; a sleeve, a file and a thumb leave neither.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from taperlab.model.line import JointKind, Line
from taperlab.model.segment import Segment
from taperlab.physics.frustum import Array, floats
from taperlab.physics.mass_along import MassAlong, moved, taper_coefficients


def lap_mass(overlap: ArrayLike, ahead: ArrayLike, behind: ArrayLike) -> Array:
    """Mass of a lap, both pieces together, over the whole overlap.

    Parameters
    ----------
    overlap : length of the lap [m]
    ahead : mass per length of the piece ahead about the centre: value, slope, half the second
        derivative, carried on along its own taper, on the last axis [kg/m, kg/m^2, kg/m^3]
    behind : that of the piece behind likewise [kg/m, kg/m^2, kg/m^3]

    Returns
    -------
    mass [kg]

    Notes
    -----
    o (aF + aR)/2 + (bR - bF) o^2/12 + (cF + cR) o^3/24, the integral of F (1 - u) + R u over the
    lap, derived here. Level pieces weigh what they would weigh butted at the centre, whatever
    their diameters and densities.
    """
    o, f, r = floats(overlap, ahead, behind)
    level = o * (f[..., 0] + r[..., 0]) / 2.0
    sloped = (r[..., 1] - f[..., 1]) * o**2 / 12.0
    return np.asarray(level + sloped + (f[..., 2] + r[..., 2]) * o**3 / 24.0)


def lap_moment(overlap: ArrayLike, ahead: ArrayLike, behind: ArrayLike) -> Array:
    """First moment of a lap about its centre, both pieces together.

    Parameters
    ----------
    overlap : length of the lap [m]
    ahead : mass per length of the piece ahead about the centre, as in ``lap_mass``
        [kg/m, kg/m^2, kg/m^3]
    behind : that of the piece behind likewise [kg/m, kg/m^2, kg/m^3]

    Returns
    -------
    moment [kg*m]

    Notes
    -----
    (aR - aF) o^2/12 + (bF + bR) o^3/24 + (cR - cF) o^4/80, derived here.
    """
    o, f, r = floats(overlap, ahead, behind)
    step = (r[..., 0] - f[..., 0]) * o**2 / 12.0
    sloped = (f[..., 1] + r[..., 1]) * o**3 / 24.0
    return np.asarray(step + sloped + (r[..., 2] - f[..., 2]) * o**4 / 80.0)


@dataclass(frozen=True, slots=True)
class LapProblem:
    """Two laps of one segment that would meet. row: its row; needed: how long it must be [m]."""

    row: int
    needed: float


HAIR = 1e-6
"""A shorter overlap is none [m]."""

CLEAR = 0.0254
"""Full section that is left between two laps of one piece [m]: an inch, by common practice."""


def lap_problem(line: Line) -> LapProblem | None:
    """The first segment that is too short for the laps at its ends, with an inch between them."""
    overlaps = _overlaps(line)
    for row, segment in enumerate(line.segments):
        ahead, behind = overlaps[row], overlaps[row + 1]
        if not ahead and not behind:
            continue
        needed = (ahead + behind) / 2.0 + CLEAR
        if segment.length < needed:
            return LapProblem(row, needed)
    return None


def lapped(line: Line) -> MassAlong:
    """Mass per length along a line with its laps as they are made; loops and sleeves left out.

    Raises ValueError where two laps of one segment meet.
    """
    overlaps = _overlaps(line)
    lengths: list[float] = []
    cells: list[Array] = []
    cubics = [np.append(taper_coefficients(each), 0.0) for each in line.segments]
    for row, segment in enumerate(line.segments):
        begin, end = overlaps[row] / 2.0, segment.length - overlaps[row + 1] / 2.0
        if end < begin:
            raise ValueError(f"the laps of segment {row + 1} meet")
        if end > begin:
            lengths.append(end - begin)
            cells.append(moved(cubics[row], begin))
        if o := overlaps[row + 1]:
            lengths.append(o)
            cells.append(_blend(moved(cubics[row], end), moved(cubics[row + 1], -o / 2.0), o))
    return MassAlong.of_cells(lengths, cells)


@dataclass(frozen=True, eq=False, slots=True)
class Laps:
    """The laps of a line, and what the line is inside them; outside it is as its segments are.

    begins, ends: (n,) of each lap, from the fly end [m]. along: mass per length with the laps as
    they are made; sharp: that of the segments alone. wide: (n, 2, 2) diameter at the begin of the
    lap, and its slope, of the piece ahead and of that behind, each carried on along its own taper
    [m, -].
    """

    begins: Array
    ends: Array
    along: MassAlong
    sharp: MassAlong
    wide: Array

    @classmethod
    def of(cls, line: Line) -> Laps | None:
        """Those of a line; None where no weld is lapped, or no such lap can be.

        That is where two laps of a segment meet, or a taper would end within one.
        """
        overlaps, starts = _overlaps(line), line.starts
        rows = [row for row in range(1, len(line.segments)) if overlaps[row]]
        if not rows:
            return None
        try:
            along = lapped(line)
        except ValueError:
            return None
        wide = []
        for row in rows:
            ahead, behind = line.segments[row - 1 : row + 1]
            back, slopes = overlaps[row] / 2.0, (_slope(ahead), _slope(behind))
            wide.append(
                [
                    (ahead.rear_diameter - back * slopes[0], slopes[0]),
                    (behind.front_diameter - back * slopes[1], slopes[1]),
                ]
            )
        (halves,) = floats([overlaps[row] / 2.0 for row in rows])
        (centres,) = floats([starts[row] for row in rows])
        sharp = MassAlong.of(line.segments)
        made = cls(centres - halves, centres + halves, along, sharp, np.array(wide))
        # A steep taper over a core, carried on past its end, would weigh less than nothing.
        return made if (along.linear_density(made.places(9)) > 0.0).all() else None

    def places(self, count: int) -> Array:
        """So many places in each lap, its ends among them, in order (n * count,) [m]."""
        return np.linspace(self.begins, self.ends, count, axis=1).ravel()

    def _inside(self, position: Array) -> tuple[NDArray[np.intp], NDArray[np.bool_]]:
        """The lap that a place lies in or would come next, and whether it lies in it."""
        i = np.minimum(np.searchsorted(self.ends, position), len(self.ends) - 1)
        return i, (self.begins[i] <= position) & (position <= self.ends[i])

    def linear_density(self, position: ArrayLike, sharp: ArrayLike) -> Array:
        """Mass per length [kg/m] at positions [m]. sharp: what it would be with no lap [kg/m]."""
        x, without = floats(position, sharp)
        _, inside = self._inside(x)
        return np.where(inside, self.along.linear_density(x), without)

    def diameter(self, position: ArrayLike, sharp: ArrayLike) -> Array:
        """Of a round section of as much area [m] at positions [m]; sharp: with no lap [m]."""
        x, without = floats(position, sharp)
        i, inside = self._inside(x)
        t = x - self.begins[i]
        share = t / (self.ends[i] - self.begins[i])
        ahead, behind = np.moveaxis(self.wide[i, :, 0] + self.wide[i, :, 1] * t[..., None], -1, 0)
        area = ahead**2 * (1.0 - share) + behind**2 * share
        return np.where(inside, np.sqrt(np.where(inside, area, 0.0)), without)

    def running_mass(self, position: ArrayLike, sharp: ArrayLike) -> Array:
        """Mass [kg] from the fly end to positions [m]; sharp: what it would be with no lap [kg].

        What all of a lap weighs more or less than its segments, some thousandths of a grain between
        tapers, is taken off it evenly, so that a line weighs what its segments weigh.
        """
        x, without = floats(position, sharp)
        i, inside = self._inside(x)
        begins, ends = self.begins[i], self.ends[i]
        share = (x - begins) / (ends - begins)
        more = self._more(begins, x) - share * self._more(begins, ends)
        return np.where(inside, without + more, without)

    def _more(self, begin: Array, end: Array) -> Array:
        """How much more is there between two places than without laps [kg]."""
        there = self.along.running_mass(end) - self.along.running_mass(begin)
        return np.asarray(there - (self.sharp.running_mass(end) - self.sharp.running_mass(begin)))

    def position_of(
        self, mass: float, sharp: float, running: Callable[[float], ArrayLike]
    ) -> float:
        """The place [m] up to which the line weighs ``mass`` [kg].

        sharp: that place with no lap [m]. running: mass up to a place, with no lap [kg].
        """
        i, inside = self._inside(np.asarray(sharp))
        if not inside:
            return sharp
        low, high = float(self.begins[i]), float(self.ends[i])
        for _ in range(60):
            middle = (low + high) / 2.0
            if float(self.running_mass(middle, running(middle))) < mass:
                low = middle
            else:
                high = middle
        return high


def _slope(segment: Segment) -> float:
    return (segment.rear_diameter - segment.front_diameter) / segment.length


def _blend(ahead: Array, behind: Array, overlap: float) -> Array:
    """F (1 - t/o) + R t/o as a cubic in t, from the start of the lap; both are quadratics."""
    step = (behind - ahead)[:3] / overlap
    return np.asarray(ahead + np.concatenate(([0.0], step)))


def _overlaps(line: Line) -> list[float]:
    """Of each end of the segments in order: the lap that lies on it [m]."""
    laps = (each.overlap if each.kind is JointKind.LAPPED_WELD else 0.0 for each in line.joints)
    return [0.0, *(each if each > HAIR else 0.0 for each in laps), 0.0]
