"""Weight per length across a joint, and whether the rig hinges there."""

from __future__ import annotations

# No published threshold was found. Practice asks that weight per foot never rise toward the fly.

HINGE_OVER = 1.0
"""Front over rear mass per length above which the front is heavier than what carries it."""

ROUNDING = 1e-6
"""A step is not told from another that differs by less than this."""


def hinges(step: float) -> bool:
    """Whether a rig may hinge at a joint with mass per length ahead ``step`` times that behind."""
    return step > HINGE_OVER + ROUNDING
