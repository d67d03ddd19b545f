"""Weight per length across a joint, and whether the rig hinges there."""

from __future__ import annotations

import math

from taperlab.model.exact_units import INCH

# No published threshold was found. Practice asks that weight per foot never rise toward the fly.

HINGE_OVER = 1.0
"""Front over rear mass per length above which the front is heavier than what carries it."""

CALIPER_ERROR = 0.001 * INCH
"""How far off one diameter read with a caliper may be [m]."""


def step_error(ahead: float, behind: float) -> float:
    """Relative error of a joint step that a caliper leaves.

    ahead, behind: diameters on either side of the joint [m]. Mass per length goes with the square
    of the diameter, so an error e of each, independent of the other, makes of the step
    2 sqrt((e / ahead)^2 + (e / behind)^2): 5 % at 0.060 in. Densities are taken as known.
    """
    return 2.0 * math.hypot(CALIPER_ERROR / ahead, CALIPER_ERROR / behind)


def hinges(step: float, error: float) -> bool:
    """Whether a rig may hinge where mass per length ahead is ``step`` times that behind.

    error: relative error of the step; one that may be no step at all is not spoken of.
    """
    return step > HINGE_OVER * (1.0 + error)
