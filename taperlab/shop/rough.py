"""Lengths that nobody knows to the inch: told in whole feet, or half metres."""

from __future__ import annotations

import math
from dataclasses import dataclass

from taperlab.model.exact_units import FOOT
from taperlab.units.kinds import BESIDE, System
from taperlab.units.sentence import Apart, Quantity, Sentence, Value


@dataclass(frozen=True, slots=True)
class Roughly(Quantity):
    """A length in whole feet, or half metres."""

    def text(self, system: System) -> str:
        """The length, ``13 ft`` or ``4.5 m``; without its unit where that follows."""
        if not math.isfinite(self.value):
            return Quantity.text(self, system)
        if system is System.METRIC:
            number = f"{math.floor(2.0 * self.value + 0.5) / 2.0:.1f}"
        else:
            number = f"{math.floor(self.value / FOOT + 0.5)}"
        return f"{number} {self.kind.shown(system).unit}" if self.unit else number


def about(value: float) -> Quantity:
    """A length [m], roughly."""
    return Roughly(BESIDE, value)


def from_to(low: float, high: float) -> Value:
    """Between two lengths [m]: ``13 to 17 ft``, or one of them where they read alike."""
    apart = Sentence("{low} to {high}", low=Roughly(BESIDE, low, unit=False), high=about(high))
    return Apart(about(low), about(high), apart, Sentence("{length}", length=about(high)))
