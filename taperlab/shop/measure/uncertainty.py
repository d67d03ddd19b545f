"""How sure a number is, as it is said: ± two standard deviations."""

from __future__ import annotations

from taperlab.units import kinds
from taperlab.units.kinds import System
from taperlab.units.sentence import Quantity
from taperlab.units.show import show_error

CONFIDENT = 1.96
"""Standard deviations within which 95 in 100 measurements lie (normal distribution)."""


class WeightError(Quantity):
    """The standard deviation of a weight [kg]: ``± 0.3 gr`` for 95 in 100."""

    __slots__ = ()
    kind = kinds.WEIGHT

    def text(self, system: System) -> str:
        """Twice as much, with the sign for it."""
        return show_error(CONFIDENT * self.value, self.kind, system)


class ShareError(WeightError):
    """The standard deviation of a value as a share of it: ``± 1.5 %`` for 95 in 100."""

    __slots__ = ()
    kind = kinds.SHARE


class DiameterError(WeightError):
    """The standard deviation of a diameter [m]."""

    __slots__ = ()
    kind = kinds.DIAMETER


class WeightPerLengthError(WeightError):
    """The standard deviation of a weight per length [kg/m]."""

    __slots__ = ()
    kind = kinds.WEIGHT_PER_LENGTH
