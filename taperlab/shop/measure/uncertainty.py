"""How sure a number is, as it is said: ± what 95 in 100 measurements lie within."""

from __future__ import annotations

from functools import partial

from taperlab.units import kinds
from taperlab.units.kinds import System
from taperlab.units.sentence import Quantity
from taperlab.units.show import show_error

CONFIDENT = 1.96
"""Standard deviations within which 95 in 100 measurements lie (normal distribution)."""


class ErrorOf(Quantity):
    """The half-width of what a value [SI] lies within: ``± 0.3 gr``, ``± 1.5 %``."""

    def text(self, system: System) -> str:
        """It, with the sign for it; never rounded down to nothing."""
        return show_error(self.value, self.kind, system)


WeightError = partial(ErrorOf, kinds.WEIGHT)
ShareError = partial(ErrorOf, kinds.SHARE)
DiameterError = partial(ErrorOf, kinds.DIAMETER)
WeightPerLengthError = partial(ErrorOf, kinds.WEIGHT_PER_LENGTH)
