"""How far a real line may differ from what its diameters and a common density say.

The share e(x) by which mass per length at x differs is what all of the line is off by plus what
changes along it. The latter has the correlation of :func:`correlation`, and a size that is not
known: five sizes are carried side by side, the rungs of a :class:`~taperlab.shop.belief.ladder.
Ladder`. Sizes and their weights are this project's own judgement, tried on simulated lines; no
table of real lines is known to us.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from taperlab.model.exact_units import FOOT
from taperlab.physics.frustum import Array

SPREADS = (0.007, 0.014, 0.027, 0.05, 0.30)
"""Standard deviations of the local share, rung by rung."""

LIKELY = (0.15, 0.25, 0.44, 0.14, 0.02)
"""How likely each of them is before anything was weighed."""

REACH = 10.0 * FOOT
"""Distance [m] over which the local share forgets itself; a third of a shorter line."""

STEP_SHARE = 0.3
"""How much of the local variance is a density that each segment has for itself."""

TREND = 0.4
"""Variance at either end of a drift from one end to the other, as a share of the local one."""

SINKING = 1150.0
"""Lines denser than this [kg/m^3] are weighted with metal, and by how much changes in steps."""

SINKING_SPREAD = 3.0
SINKING_STEP_SHARE = 0.6
"""By how much the sizes are larger for those, and how much of it belongs to a segment."""


def reach_of(length: float) -> float:
    """Distance [m] over which the local share of a line of this length [m] forgets itself."""
    return min(REACH, length / 3.0)


def correlation(
    places: Array, length: float, segments: NDArray[np.intp], step_share: float = STEP_SHARE
) -> Array:
    """Covariance (n, n) of the local share at places [m], of size one, the trend on top.

    (1 - b) exp(-|x - x'| / l) + b [same segment] + 0.4 t t', with t from -1 at the fly end to 1
    at the rod end and b the step share. length: of the line [m]; segments (n,): the number of the
    segment where each place lies. The first term is a stationary Gauss-Markov process (Rasmussen
    and Williams, Gaussian Processes for Machine Learning, 2006, appendix B).
    """
    apart = np.abs(places[:, np.newaxis] - places)
    same = segments[:, np.newaxis] == segments
    along = 2.0 * places / length - 1.0
    return np.asarray(
        (1.0 - step_share) * np.exp(-apart / reach_of(length))
        + step_share * same
        + TREND * np.outer(along, along)
    )
