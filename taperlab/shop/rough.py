"""What nobody knows finely: lengths in whole feet or half metres, weights as they were written."""

from __future__ import annotations

import math
from dataclasses import dataclass

from taperlab.model.exact_units import FOOT
from taperlab.units.kinds import BESIDE, WEIGHT, System
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


@dataclass(frozen=True, slots=True)
class Plain(Quantity):
    """A quantity without decimals that say nothing: ``480 gr``, but ``480.5 gr``."""

    def text(self, system: System) -> str:
        """The quantity, its decimals left out where all of them are noughts."""
        number, blank, unit = Quantity.text(self, system).partition(" ")
        whole, _, decimals = number.partition(".")
        return f"{whole if decimals.strip('0') == '' else number}{blank}{unit}"


def written_window(lightest: float, heaviest: float) -> Sentence:
    """A grain window [kg] as its maker writes it: ``480 to 560 gr``."""
    return Sentence(
        "{lightest} to {heaviest}",
        lightest=Plain(WEIGHT, lightest, unit=False),
        heaviest=Plain(WEIGHT, heaviest),
    )


def about(value: float) -> Quantity:
    """A length [m], roughly."""
    return Roughly(BESIDE, value)


def from_to(low: float, high: float) -> Value:
    """Between two lengths [m]: ``13 to 17 ft``, or one of them where they read alike."""
    apart = Sentence("{low} to {high}", low=Roughly(BESIDE, low, unit=False), high=about(high))
    return Apart(about(low), about(high), apart, Sentence("{length}", length=about(high)))
