"""A rig as the water feels it: round pieces from the fly up, point weights between them, a fly."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from taperlab.model.line import Line
from taperlab.model.rig import Fly, Leader
from taperlab.physics.frustum import QUARTER_PI, Array, linear_density
from taperlab.physics.profile import SAME_PLACE, Profile
from taperlab.physics.sinking import STANDARD_GRAVITY
from taperlab.physics.water import WaterState

SKIN_FRICTION = 0.008
"""Drag coefficient along the line on its wetted surface, remembered: 0.003 laminar, 0.015 rough."""


@dataclass(frozen=True, eq=False, slots=True)
class Rigging:
    """Pieces (n,) from the fly up to the rod, what hangs at their ends (n + 1,), and the fly.

    lengths, front, rear (diameters): [m]. coat, core: mass per length is coat d^2 + core, with d
    the diameter [m]: [kg/m^3] and [kg/m]. joint_masses: loops and sleeves [kg]; joint_volumes: of
    line folded into loops [m^3]. line: 1 for a piece of line, 0 for the leader. fly_weight: in
    water, as a mass [kg]; fly_drag: drag coefficient times area [m^2].
    """

    lengths: Array
    front: Array
    rear: Array
    coat: Array
    core: Array
    joint_masses: Array
    joint_volumes: Array
    line: Array
    fly_weight: float = 0.0
    fly_drag: float = 0.0

    @classmethod
    def of(cls, line: Line, leader: Leader | None = None, fly: Fly | None = None) -> Rigging:
        """A line, from its fly end, with a leader and a fly ahead of it."""
        profile = Profile.of(line)
        excess = QUARTER_PI * (profile.core_densities - profile.densities)
        lengths, front, rear = profile.lengths, profile.front_diameters, profile.rear_diameters
        coat, core = QUARTER_PI * profile.densities, excess * profile.core_diameters**2
        masses, volumes = np.zeros((2, len(lengths) + 1))
        at = np.abs(profile.starts - profile.point_positions[:, np.newaxis]) <= SAME_PLACE
        masses += profile.point_masses @ at
        volumes += (QUARTER_PI * profile.point_folds * profile.point_diameters**2) @ at
        own = np.ones(len(lengths))
        if leader is not None:
            ahead = (leader.length, leader.diameter, leader.diameter)
            lengths, front, rear, coat, core, masses, volumes, own = (
                np.concatenate(([value], there))
                for value, there in zip(
                    (*ahead, QUARTER_PI * leader.density, 0.0, 0.0, 0.0, 0.0),
                    (lengths, front, rear, coat, core, masses, volumes, own),
                    strict=True,
                )
            )
        return cls(
            lengths,
            front,
            rear,
            coat,
            core,
            masses,
            volumes,
            own,
            fly.weight if fly else 0.0,
            fly.drag_area if fly else 0.0,
        )

    @classmethod
    def level(
        cls, lengths: Array, diameters: Array, densities: Array, *, fly: Fly | None = None
    ) -> Rigging:
        """Level pieces [m, kg/m^3] from the fly up, without loops."""
        sizes, d = np.asarray(lengths, dtype=float), np.asarray(diameters, dtype=float)
        coat = linear_density(1.0, densities)
        none, ends = np.zeros(len(sizes)), np.zeros(len(sizes) + 1)
        weight, drag = (fly.weight, fly.drag_area) if fly else (0.0, 0.0)
        return cls(sizes, d, d, coat, none, ends, ends, none + 1.0, weight, drag)

    @property
    def length(self) -> float:
        """Length from the fly to the rod [m]."""
        return float(self.lengths.sum())

    def net_masses(self, state: WaterState) -> Array:
        """Mass of each piece (n,) beyond the water that it displaces [kg]; below zero it floats."""
        square = self.lengths * (self.front**2 + self.front * self.rear + self.rear**2) / 3.0
        beyond = (self.coat - QUARTER_PI * state.density) * square
        return np.asarray(beyond + self.core * self.lengths)

    def joint_weights(self, state: WaterState) -> Array:
        """Weight in water of what hangs at the ends of the pieces (n + 1,) [N]."""
        beyond = self.joint_masses - state.density * self.joint_volumes
        return np.asarray(STANDARD_GRAVITY * beyond)


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
