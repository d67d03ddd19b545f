"""Weight per length across a joint, and whether the rig hinges there."""

from __future__ import annotations

import math
from dataclasses import dataclass

# No published threshold was found. Practice asks that weight per foot never rise toward the fly.

HINGE_OVER = 1.0
"""Front over rear mass per length above which the front is heavier than what carries it."""

ROUNDING = 1e-6
"""A step is not told from another that differs by less than this."""


@dataclass(frozen=True, slots=True)
class JointStep:
    """Mass per length just ahead of a joint over that just behind it, and whether it hinges."""

    ratio: float
    hinges: bool


def joint_step(front_linear_density: float, rear_linear_density: float) -> JointStep:
    """Read the step at a joint from the mass per length ahead of it and behind it [kg/m].

    Raises ValueError unless both are above zero.
    """
    for value in (front_linear_density, rear_linear_density):
        if not (math.isfinite(value) and value > 0.0):
            raise ValueError(f"mass per length must be above zero, not {value!r}")
    ratio = front_linear_density / rear_linear_density
    return JointStep(ratio, hinges=ratio > HINGE_OVER + ROUNDING)
