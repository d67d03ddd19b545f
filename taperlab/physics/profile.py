"""Weight along a whole line: running weight, its inverse, balance."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

import numpy as np

from taperlab.model.line import Line
from taperlab.physics import frustum
from taperlab.physics.frustum import Array


@dataclass(frozen=True, eq=False, slots=True)
class Profile:
    """The segments of a line as arrays, with the point masses that lie on it.

    Shapes: ``starts`` (n + 1,), one more than the segments, the last being the rear end; the
    other segment arrays (n,). ``point_positions``, ``point_masses``, ``point_folds`` and
    ``point_diameters`` (m,), in order from the fly end: loops at the ends, sleeves at the joints.
    Folds are lengths of line folded back, the diameters theirs; what else is added is small and
    taken as having no size. All SI: [m], [kg], [kg/m^3].
    """

    starts: Array
    lengths: Array
    front_diameters: Array
    rear_diameters: Array
    densities: Array
    core_diameters: Array
    core_densities: Array
    point_positions: Array
    point_masses: Array
    point_folds: Array
    point_diameters: Array
    segment_masses: Array
    cumulative: Array

    @classmethod
    def of(cls, line: Line) -> Self:
        """The profile of a line, which may be empty."""
        rows = np.array(
            [
                (
                    s.length,
                    s.front_diameter,
                    s.rear_diameter,
                    s.density,
                    s.core.diameter if s.core else 0.0,
                    s.core.density if s.core else 0.0,
                )
                for s in line.segments
            ],
            dtype=float,
        ).reshape(-1, 6)
        lengths, front, rear, density, core, core_density = rows.T
        starts = np.concatenate(([0.0], np.cumsum(lengths)))
        masses = frustum.mass(lengths, front, rear, density, core, core_density)
        points: list[tuple[float, float, float, float]] = []
        if line.segments:
            ends = (
                (line.front_loop, 0.0, (front[0], density[0], core[0], core_density[0])),
                (
                    line.rear_loop,
                    float(starts[-1]),
                    (rear[-1], density[-1], core[-1], core_density[-1]),
                ),
            )
            loops = [
                (
                    where,
                    loop.mass + loop.fold * float(frustum.linear_density(*section)),
                    loop.fold,
                    float(section[0]),
                )
                for loop, where, section in ends
            ]
            joints = [
                (float(starts[i + 1]), joint.mass, 0.0, 0.0) for i, joint in enumerate(line.joints)
            ]
            points = [point for point in (loops[0], *joints, loops[1]) if point[1] > 0.0]
        return cls(
            starts=starts,
            lengths=lengths,
            front_diameters=front,
            rear_diameters=rear,
            densities=density,
            core_diameters=core,
            core_densities=core_density,
            point_positions=np.array([where for where, _, _, _ in points], dtype=float),
            point_masses=np.array([mass for _, mass, _, _ in points], dtype=float),
            point_folds=np.array([fold for _, _, fold, _ in points], dtype=float),
            point_diameters=np.array([diameter for _, _, _, diameter in points], dtype=float),
            segment_masses=masses,
            cumulative=np.concatenate(([0.0], np.cumsum(masses))),
        )

    @property
    def length(self) -> float:
        """Length of the line [m]."""
        return float(self.starts[-1])

    @property
    def total_mass(self) -> float:
        """Mass of the line [kg], loops and sleeves included."""
        return float(self.cumulative[-1] + self.point_masses.sum())

    def segment_at(self, position: Array | float) -> np.ndarray[tuple[int, ...], np.dtype[np.intp]]:
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
        return frustum.linear_density(
            self.diameter(x, i), self.densities[i], self.core_diameters[i], self.core_densities[i]
        )

    def _segments_to(self, x: Array) -> Array:
        i = self.segment_at(x)
        inside = frustum.mass_to(
            x - self.starts[i],
            self.lengths[i],
            self.front_diameters[i],
            self.rear_diameters[i],
            self.densities[i],
            self.core_diameters[i],
            self.core_densities[i],
        )
        return np.asarray(self.cumulative[i] + inside)

    def running_mass(self, position: Array | float, *, points: bool = True) -> Array:
        """Mass [kg] from the fly end up to each position [m], points at it included.

        Positions outside the line are moved to its nearer end.
        """
        if not len(self.lengths):
            return np.zeros_like(np.asarray(position, dtype=float))
        x = np.clip(np.asarray(position, dtype=float), 0.0, self.length)
        total = self._segments_to(x)
        if points and len(self.point_masses):
            reached = self.point_positions <= x[..., np.newaxis] + 1e-12
            total = total + reached @ self.point_masses
        return np.asarray(total)

    def mass_between(self, front: float, rear: float, *, points: bool = True) -> float:
        """Mass [kg] of the line from one position to another [m], points at both ends included."""
        segments = self.running_mass(np.array([front, rear]), points=False)
        total = float(segments[1] - segments[0])
        if points and len(self.point_masses):
            inside = (self.point_positions >= front - 1e-12) & (
                self.point_positions <= rear + 1e-12
            )
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
        return float(
            self.starts[i]
            + frustum.distance_of_mass(
                mass - at_starts[i],
                self.lengths[i],
                self.front_diameters[i],
                self.rear_diameters[i],
                self.densities[i],
                self.core_diameters[i],
                self.core_densities[i],
            )
        )

    def balance(self, within: Array | None = None, points: Array | None = None) -> float:
        """Centre of mass [m from the fly end] of the line, or of part of it.

        ``within`` (n,) and ``points`` (m,) are masks of the segments and point masses to count.
        Returns nan where nothing is counted.
        """
        moments = self.starts[:-1] * self.segment_masses + frustum.first_moment(
            self.lengths,
            self.front_diameters,
            self.rear_diameters,
            self.densities,
            self.core_diameters,
            self.core_densities,
        )
        weight_segments = np.ones(len(self.lengths)) if within is None else np.asarray(within)
        weight_points = np.ones(len(self.point_masses)) if points is None else np.asarray(points)
        total = self.segment_masses @ weight_segments + self.point_masses @ weight_points
        if total <= 0.0:
            return float("nan")
        moment = moments @ weight_segments
        moment += (self.point_positions * self.point_masses) @ weight_points
        return float(moment / total)

    def sample(self, per_segment: int) -> tuple[Array, np.ndarray[tuple[int], np.dtype[np.intp]]]:
        """Positions [m] for drawing, both sides of every breakpoint, and the segment of each.

        Shapes (n * per_segment,). The first and last point of a segment are its own ends, so a
        step between segments is drawn as a step.
        """
        share = np.linspace(0.0, 1.0, per_segment)
        positions = self.starts[:-1, np.newaxis] + self.lengths[:, np.newaxis] * share
        index = np.repeat(np.arange(len(self.lengths)), per_segment)
        return positions.ravel(), index
