"""How a current and an angle are told by a person at the water."""

from __future__ import annotations

import math
from dataclasses import dataclass

from taperlab.model.exact_units import FOOT
from taperlab.units.language import later


@dataclass(frozen=True, slots=True)
class Pace:
    """A pace beside the water that keeps up with it [m/s]: common practice."""

    name: str
    speed: float


PACES = (
    Pace(later("Slow walk"), 2.0 * FOOT),
    Pace(later("Walking"), 3.0 * FOOT),
    Pace(later("Brisk"), 5.0 * FOOT),
)


@dataclass(frozen=True, slots=True)
class ClockHand:
    """Where a line points on a clock whose twelve is straight upstream; angle [rad]."""

    name: str
    angle: float


CLOCK = (
    ClockHand(later("6 o’clock"), 0.0),
    ClockHand(later("Half past 5"), math.radians(15.0)),
    ClockHand(later("5 o’clock"), math.radians(30.0)),
    ClockHand(later("Half past 4"), math.radians(45.0)),
    ClockHand(later("4 o’clock"), math.radians(60.0)),
)


def leaf_speed(length: float, seconds: float) -> float:
    """Speed [m/s] of a leaf that drifts over a length [m] in so many seconds, which are not 0."""
    return length / seconds
