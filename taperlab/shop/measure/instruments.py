"""What the instruments of a bench can tell apart, as standard deviations."""

from __future__ import annotations

import math

from taperlab.model.measurement import USUAL, Instruments

__all__ = ["USUAL", "diameter_error", "rounding_error"]


def rounding_error(step: float) -> float:
    """Standard deviation of a reading rounded to the nearest ``step``, in the step's unit.

    step / sqrt(12): a reading rounded to a step is off by anything up to half of it, all equally
    likely (JCGM 100:2008, Guide to the expression of uncertainty in measurement, F.2.2.1).
    """
    return step / math.sqrt(12.0)


def diameter_error(instruments: Instruments, readings: int) -> float:
    """Standard deviation of the mean of so many diameters at one station [m].

    Repeating averages the rounding away only if the readings scatter by about a step or more;
    with less they all round alike and the rounding stays.
    """
    rounding = rounding_error(instruments.micrometer) ** 2
    scatter = instruments.scatter**2
    if instruments.scatter >= instruments.micrometer / 2.0:
        return math.sqrt((rounding + scatter) / readings)
    return math.sqrt(rounding + scatter / readings)
