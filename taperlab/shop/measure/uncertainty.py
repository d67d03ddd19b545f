"""How sure a number is, as it is said: ± two standard deviations."""

from __future__ import annotations

from taperlab.units import kinds
from taperlab.units.kinds import System
from taperlab.units.sentence import Quantity
from taperlab.units.show import show_error

CONFIDENT = 1.96
"""Standard deviations within which 95 in 100 measurements lie (normal distribution)."""


class WeightError(Quantity, kind=kinds.WEIGHT):
    """The standard deviation of a weight [kg]: ``± 0.3 gr`` for 95 in 100."""

    def text(self, system: System) -> str:
        """Twice as much, with the sign for it."""
        return show_error(CONFIDENT * self.value, self.kind, system)


class ShareError(WeightError, kind=kinds.SHARE):
    """The standard deviation of a value as a share of it: ``± 1.5 %`` for 95 in 100."""


class DiameterError(WeightError, kind=kinds.DIAMETER):
    """The standard deviation of a diameter [m]."""


class WeightPerLengthError(WeightError, kind=kinds.WEIGHT_PER_LENGTH):
    """The standard deviation of a weight per length [kg/m]."""
