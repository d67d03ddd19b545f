"""How far a real line may differ from what its diameters and a common density say.

The share e(x) by which mass per length at x differs is what all of the line is off by plus what
changes along it. The latter has the correlation of :func:`correlation`, and a size that is not
known: five sizes are carried side by side, the rungs of a :class:`~taperlab.shop.belief.ladder.
Ladder`. Sizes and their weights are this project's own judgement, tried on simulated lines; no
table of real lines is known to us.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from taperlab.model.exact_units import FOOT
from taperlab.model.measurement import Material
from taperlab.physics.frustum import Array

SPREADS = (0.004, 0.014, 0.027, 0.08, 0.25)
"""Standard deviations of the local share, rung by rung."""

LIKELY = (0.21, 0.25, 0.475, 0.033, 0.032)
"""How likely each of them is before anything was weighed."""

REACH = 10.0 * FOOT
REACH_SHARE = 0.25
"""Distance [m] over which the local share forgets itself, and this share of a shorter line."""

STEP_SHARE = 0.3
"""How much of the local variance is a density that each segment has for itself."""

TREND = 0.4
"""Variance at either end of a drift from one end to the other, as a share of the local one."""

SINKING = 1150.0
"""Lines denser than this [kg/m^3] are weighted with metal, and by how much changes in steps."""

SINKING_SPREAD = 3.0
SINKING_STEP_SHARE = 0.6
"""By how much the sizes are larger for those, and how much of it belongs to a segment."""

WIDEST = 0.30
"""No size is larger than this."""

EVEN = 0.5
"""By how much they are smaller where a person knows that the line is even."""


def reach_of(length: float) -> float:
    """Distance [m] over which the local share of a line of this length [m] forgets itself."""
    return min(REACH, REACH_SHARE * length)


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


@dataclass(frozen=True, slots=True)
class Spread:
    """Size of the local share on each rung, and how much of it belongs to a segment."""

    sizes: tuple[float, ...] = SPREADS
    step_share: float = STEP_SHARE

    def times(self, factor: float, step_share: float) -> Self:
        """Other sizes, none beyond :data:`WIDEST`, and another share."""
        return type(self)(tuple(min(factor * size, WIDEST) for size in self.sizes), step_share)


def spread_of(material: Material, density: float) -> Spread:
    """How far a line of this make may stray, whose density [kg/m^3] is this on the whole."""
    usual = Spread()
    if material is Material.EVEN:
        return usual.times(EVEN, 0.0)
    if material is Material.ONE:
        return usual.times(1.0, 0.0)
    if density > SINKING:
        return usual.times(SINKING_SPREAD, SINKING_STEP_SHARE)
    return usual
