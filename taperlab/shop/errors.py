"""How far off a reading may be, and how that is said: standard deviations, and ± of 95 in 100."""

from __future__ import annotations

import math
from functools import partial

import numpy as np
from numpy.typing import ArrayLike, NDArray

from taperlab.model.measurement import Instruments
from taperlab.units import kinds
from taperlab.units.kinds import System
from taperlab.units.sentence import Quantity
from taperlab.units.show import show_error

CONFIDENT = 1.96
"""Standard deviations within which 95 in 100 measurements lie (normal distribution)."""


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


def combined(effects: ArrayLike) -> NDArray[np.float64]:
    """Standard deviation of what is moved by things that are off independently of each other.

    effects: what each moves it by, slope times standard deviation, along the last axis. The root of
    the sum of their squares (JCGM 100:2008, 5.1.2, equation 10).
    """
    return np.asarray(np.sqrt((np.asarray(effects, dtype=float) ** 2).sum(axis=-1)))


class ErrorOf(Quantity):
    """The half-width of what a value [SI] lies within: ``± 0.3 gr``, ``± 1.5 %``."""

    def text(self, system: System) -> str:
        """It, with the sign for it; never rounded down to nothing."""
        return show_error(self.value, self.kind, system, unit=self.unit)


WeightError = partial(ErrorOf, kinds.WEIGHT)
ShareError = partial(ErrorOf, kinds.SHARE)
DiameterError = partial(ErrorOf, kinds.DIAMETER)
WeightPerLengthError = partial(ErrorOf, kinds.WEIGHT_PER_LENGTH)
