"""Weight per length across a joint, and whether the rig hinges there."""

from __future__ import annotations

import math
from dataclasses import dataclass

# No published threshold was found. Practice asks that weight per foot never rise toward the fly and
# quotes tips of half the body's weight per foot and more; the exact figures are ours.

HINGE_OVER = 1.0
"""Front over rear mass per length above which the front is heavier than what carries it."""

ABRUPT_UNDER = 0.5
"""Front over rear mass per length below which the drop is more than practice takes in one step."""


@dataclass(frozen=True, slots=True)
class JointStep:
    """Mass per length just ahead of a joint over that just behind it, and how it reads."""

    ratio: float
    hinges: bool
    abrupt: bool

    @property
    def words(self) -> str:
        """The reading in words."""
        if self.hinges:
            return "heavier per foot than what must carry it: the rig may hinge here"
        if self.abrupt:
            return "less than half as heavy per foot as what is behind it: it may kick over"
        return "no heavier per foot than what is behind it, and the step is an ordinary one"


def joint_step(front_linear_density: float, rear_linear_density: float) -> JointStep:
    """Read the step at a joint from the mass per length ahead of it and behind it [kg/m].

    Raises ValueError unless both are above zero.
    """
    for value in (front_linear_density, rear_linear_density):
        if not (math.isfinite(value) and value > 0.0):
            raise ValueError(f"mass per length must be above zero, not {value!r}")
    ratio = front_linear_density / rear_linear_density
    rounding = 1e-6
    return JointStep(
        ratio=ratio,
        hinges=ratio > HINGE_OVER + rounding,
        abrupt=ratio < ABRUPT_UNDER - rounding,
    )
