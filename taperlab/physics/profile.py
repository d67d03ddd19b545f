"""Weight along a whole line: running weight, its inverse, balance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from types import EllipsisType
from typing import Self

import numpy as np
from numpy.typing import ArrayLike

from taperlab.model.line import ONE_EXTRUSION, Line, Loop
from taperlab.physics import frustum, section, sinking
from taperlab.physics.frustum import Array, Taper
from taperlab.physics.section import core_of, shape_of
from taperlab.physics.water import WaterState

Rows = np.ndarray[tuple[int, ...], np.dtype[np.intp]]


SAME_PLACE = 1e-12
"""Positions that differ by less are the same [m]."""


@dataclass(frozen=True, slots=True)
class Point:
    """What lies at one place of a line beside its segments: an end loop, a joint's loop or sleeve.

    position: [m]. segment: row of the segment that it is made of or lies on. mass: [kg], fold
    included. fold: [m] of line folded back; diameter: of that line [m].
    """

    position: float
    segment: int
    mass: float
    fold: float = 0.0
    diameter: float = 0.0


@dataclass(frozen=True, eq=False, slots=True)
class Profile:
    """The segments of a line as arrays, with the point masses that lie on it.

    Shapes: ``starts`` (n + 1,), one more than the segments, the last being the rear end; the
    other segment arrays (n,). The ``point_`` arrays (m,), in order from the fly end: loops at the
    ends, loops and sleeves at the joints, each as a :class:`Point`. Folds are lengths of line
    folded back, the diameters theirs; what else is added is small and taken as having no size.
    All SI: [m], [kg], [kg/m^3].

    Many lines at once (:meth:`of_many`) have one more axis in front, and no points;
    :meth:`mass`, :meth:`volume`, :meth:`balance` and :meth:`sink_rate` then answer for each.
    """

    starts: Array
    lengths: Array
    front_diameters: Array
    rear_diameters: Array
    densities: Array
    core_diameters: Array
    core_densities: Array
    point_positions: Array
    point_segments: Rows
    point_masses: Array
    point_folds: Array
    point_diameters: Array
    segment_masses: Array
    cumulative: Array

    @classmethod
    def of(cls, line: Line) -> Self:
        """The profile of a line, which may be empty."""
        columns = np.array(
            [(*shape_of(each), each.density, *core_of(each)) for each in line.segments],
            dtype=float,
        ).reshape(-1, 6)
        return cls._made(columns.T, points_on(line))

    @classmethod
    def of_many(
        cls,
        lengths: ArrayLike,
        front_diameters: ArrayLike,
        rear_diameters: ArrayLike,
        densities: ArrayLike,
        core_diameters: ArrayLike = 0.0,
        core_densities: ArrayLike = 0.0,
    ) -> Self:
        """The profile of l lines of n segments each, loops and joints left out.

        All (l, n) or of a shape that broadcasts to it, [m] and [kg/m^3]; a core of diameter 0
        stands for none. Lines of fewer segments are filled up with segments of length 0.
        """
        given = (lengths, front_diameters, rear_diameters, densities, core_diameters)
        arrays = [np.asarray(each, dtype=float) for each in (*given, core_densities)]
        return cls._made(np.stack(np.broadcast_arrays(*arrays)), ())

    @classmethod
    def _made(cls, columns: Array, points: Sequence[Point]) -> Self:
        lengths, front, rear, density, core, core_density = columns
        masses = Taper(*columns).mass()
        none = np.zeros((*lengths.shape[:-1], 1))
        beside = np.array(
            [(p.position, p.mass, p.fold, p.diameter) for p in points], dtype=float
        ).reshape(-1, 4)
        return cls(
            starts=np.concatenate((none, np.cumsum(lengths, axis=-1)), axis=-1),
            lengths=lengths,
            front_diameters=front,
            rear_diameters=rear,
            densities=density,
            core_diameters=core,
            core_densities=core_density,
            point_positions=beside[:, 0],
            point_segments=np.array([p.segment for p in points], dtype=np.intp),
            point_masses=beside[:, 1],
            point_folds=beside[:, 2],
            point_diameters=beside[:, 3],
            segment_masses=masses,
            cumulative=np.concatenate((none, np.cumsum(masses, axis=-1)), axis=-1),
        )

    @property
    def length(self) -> float:
        """Length of the line [m]."""
        return float(self.starts[-1])

    @property
    def total_mass(self) -> float:
        """Mass of the line [kg], loops and sleeves included."""
        return float(self.cumulative[-1] + self.point_masses.sum())

    def segment_at(self, position: Array | float) -> Rows:
        """Index of the segment at each position [m]; at a breakpoint, the one to the rear."""
        found = np.searchsorted(self.starts, position, side="right") - 1
        return np.asarray(np.clip(found, 0, max(0, len(self.lengths) - 1)))

    def diameter(self, position: Array | float, segment: object = None) -> Array:
        """Diameter [m] at each position [m], taken inside ``segment`` where that is given."""
        x = np.asarray(position, dtype=float)
        i = self.segment_at(x) if segment is None else np.asarray(segment)
        front, rear = self.front_diameters[i], self.rear_diameters[i]
        return np.asarray(front + (rear - front) * (x - self.starts[i]) / self.lengths[i])

    def linear_density(self, position: Array | float, segment: object = None) -> Array:
        """Mass per length [kg/m] at each position [m]; loops and sleeves are left out."""
        x = np.asarray(position, dtype=float)
        i = self.segment_at(x) if segment is None else np.asarray(segment)
        return self.tapers(i).linear_density(self.diameter(x, i))

    def tapers(self, i: Rows | int | EllipsisType = ...) -> Taper:
        """The segments with these numbers, or all, as the closed forms take them."""
        return Taper(
            self.lengths[i],
            self.front_diameters[i],
            self.rear_diameters[i],
            self.densities[i],
            self.core_diameters[i],
            self.core_densities[i],
        )

    def running_mass(self, position: Array | float, *, points: bool = True) -> Array:
        """Mass [kg] from the fly end up to each position [m], points at it included.

        Positions outside the line are moved to its nearer end.
        """
        if not len(self.lengths):
            return np.zeros_like(np.asarray(position, dtype=float))
        x = np.clip(np.asarray(position, dtype=float), 0.0, self.length)
        i = self.segment_at(x)
        total = self.cumulative[i] + self.tapers(i).mass_to(x - self.starts[i])
        if points and len(self.point_masses):
            reached = self.point_positions <= x[..., np.newaxis] + SAME_PLACE
            total = total + reached @ self.point_masses
        return np.asarray(total)

    def mass_between(self, front: float, rear: float, *, points: bool = True) -> float:
        """Mass [kg] of the line from one position to another [m], points at both ends included."""
        segments = self.running_mass(np.array([front, rear]), points=False)
        total = float(segments[1] - segments[0])
        if points and len(self.point_masses):
            where = self.point_positions
            inside = (where >= front - SAME_PLACE) & (where <= rear + SAME_PLACE)
            total += float(self.point_masses[inside].sum())
        return total

    def position_of(self, mass: float) -> float:
        """The first position [m] up to which the line weighs ``mass`` [kg].

        Inverse of :meth:`running_mass`. Raises ValueError if the line is lighter than that or
        the mass is negative.
        """
        slack = 1e-12 * self.total_mass
        if not 0.0 <= mass <= self.total_mass + slack:
            raise ValueError(f"the line holds {self.total_mass!r} kg, not {mass!r} kg")
        at_starts = self.running_mass(self.starts)
        i = int(np.searchsorted(at_starts, mass, side="left")) - 1
        if i < 0:
            return 0.0
        i = min(i, len(self.lengths) - 1)
        return float(self.starts[i] + self.tapers(i).distance_of_mass(mass - at_starts[i]))

    def mass(self, within: Array | float = 1.0, points: Array | float = 1.0) -> Array:
        """Mass [kg] of the line, or of what counts of it.

        ``within`` (n,) and ``points`` (m,), here and below: 1 for each segment and each point
        that counts, 0 for the others.
        """
        return np.asarray(
            (self.segment_masses * within).sum(axis=-1) + (self.point_masses * points).sum(axis=-1)
        )

    def volume(self, within: Array | float = 1.0, points: Array | float = 1.0) -> Array:
        """Volume [m^3] of the line, or of what counts of it; folds included."""
        segments = self.tapers().volume()
        folds = frustum.volume(self.point_folds, self.point_diameters, self.point_diameters)
        return np.asarray((segments * within).sum(axis=-1) + (folds * points).sum(axis=-1))

    def balance(self, within: Array | float = 1.0, points: Array | float = 1.0) -> Array:
        """Centre of mass [m from the fly end] of what counts; nan where nothing does."""
        own = self.tapers().first_moment()
        moments = (self.starts[..., :-1] * self.segment_masses + own) * within
        beside = self.point_positions * self.point_masses * points
        total = self.mass(within, points)
        moment = moments.sum(axis=-1) + beside.sum(axis=-1)
        return np.asarray(moment / np.where(total > 0.0, total, np.nan))

    def sink_rate(
        self,
        state: WaterState,
        within: Array | float = 1.0,
        points: Array | float = 1.0,
        extra_mass: Array | float = 0.0,
    ) -> Array:
        """Speed [m/s] at which what counts settles together, positive sinking.

        Line folded into a loop lies beside the rest, with volume and drag of its own; what else
        a loop or a joint adds weighs alone. extra_mass: weighs alone too [kg]. nan where nothing
        counts.
        """
        lines, count = self.lengths.shape[:-1], len(self.point_masses)

        def row(of_segments: Array | float, of_points: Array | float) -> Array:
            segments = np.broadcast_to(np.asarray(of_segments, dtype=float), self.lengths.shape)
            beside = np.broadcast_to(np.asarray(of_points, dtype=float), (*lines, count))
            return np.concatenate((segments, beside), axis=-1)

        return sinking.body_sink_rate(
            row(self.lengths, self.point_folds),
            row(self.front_diameters, self.point_diameters),
            row(self.rear_diameters, self.point_diameters),
            row(self.segment_masses, 0.0),
            state,
            weights=row(within, points),
            extra_mass=(self.point_masses * points).sum(axis=-1) + extra_mass,
        )

    def sample(self, per_segment: int) -> tuple[Array, np.ndarray[tuple[int], np.dtype[np.intp]]]:
        """Positions [m] for drawing, both sides of every breakpoint, and the segment of each.

        Shapes (n * per_segment,). The first and last point of a segment are its own ends, so a
        step between segments is drawn as a step.
        """
        share = np.linspace(0.0, 1.0, per_segment)
        positions = self.starts[:-1, np.newaxis] + self.lengths[:, np.newaxis] * share
        index = np.repeat(np.arange(len(self.lengths)), per_segment)
        return positions.ravel(), index


def points_on(line: Line) -> tuple[Point, ...]:
    """Loops and sleeves of a line that weigh something, in order from the fly end."""
    if not line.segments:
        return ()
    starts, last = line.starts, len(line.segments) - 1
    found: list[Point] = []

    def looped(loop: Loop, row: int, *, at_rear: bool) -> None:
        if loop.fold or loop.mass:
            segment = line.segments[row]
            where = segment.length if at_rear else 0.0
            mass = loop.mass + loop.fold * section.linear_density(segment, where)
            diameter = segment.diameter(where)
            found.append(Point(starts[row + at_rear], row, mass, loop.fold, diameter))

    looped(line.front_loop, 0, at_rear=False)
    for i, joint in enumerate(line.joints):
        # Most joints are of one extrusion, and a line is looked at very often.
        if joint is not ONE_EXTRUSION:
            looped(joint.loop_ahead, i, at_rear=True)
            if joint.mass:
                found.append(Point(starts[i + 1], i, joint.mass))
            looped(joint.loop_behind, i + 1, at_rear=False)
    looped(line.rear_loop, last, at_rear=True)
    return tuple(found)
