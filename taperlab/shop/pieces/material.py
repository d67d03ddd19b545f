"""Which stock may be cut for a segment, and what its kinds are called."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from taperlab.model.segment import RoundSection, Segment
from taperlab.model.stock import Stock
from taperlab.physics import section
from taperlab.physics.mass_along import MassAlong
from taperlab.units.kinds import System
from taperlab.units.language import later
from taperlab.units.sentence import Sentence, WeightPerLength, render

_FLOATS = 1000.0
_ALIKE = 0.25
"""Sinking stock may be so much denser or lighter than what it stands in for, as a share."""


class Fit(StrEnum):
    """How well stock fits a design, in a builder's words. Our own bounds: no source has any.

    A step of several in place of a taper is as far off as was asked for, and no worse for it.
    """

    GOOD = later("as good as the design")
    CLOSE = later("close")
    COMPROMISE = later("a compromise")
    NONE = later("does not fit")
    STEP = later("a level step")


MOST_OFF = 0.15
"""What is off by more, as a share of the mass per length where it is off most, does not fit."""


def fit_of(share_off: float) -> Fit:
    """How well it fits that is off by such a share of the mass per length where it is off most."""
    for most, fit in ((0.03, Fit.GOOD), (0.07, Fit.CLOSE), (MOST_OFF, Fit.COMPROMISE)):
        if share_off <= most + 1e-9:
            return fit
    return Fit.NONE


@dataclass(frozen=True, eq=False, slots=True)
class Material:
    """A piece of stock, its mass along it, and its mass per length where it is level [kg/m]."""

    stock: Stock
    along: MassAlong
    is_level: bool
    density: float

    @classmethod
    def of(cls, stock: Stock) -> Material:
        """What is to be known of a piece of stock."""
        along = MassAlong.of(stock.sections)
        return cls(stock, along, stock.is_level, along.mass / along.length)

    @property
    def kind(self) -> str:
        """What may be cut in its place: its kind where it has one, else what it weighs."""
        if self.stock.kind or not self.is_level:
            return self.stock.kind or self.stock.name
        return render(Sentence("{weight}", weight=WeightPerLength(self.density)), System.US)

    def may_be(self, segment: Segment) -> bool:
        """Whether a segment may be cut from it: it is tied to it, or it floats or sinks alike."""
        if segment.stock:
            return segment.stock in (self.stock.name, self.stock.kind, self.stock.key)
        return sinks_alike(segment, self.stock)


def sinks_alike(one: RoundSection, other: RoundSection) -> bool:
    """Whether two materials both float, or sink about alike."""
    first, second = section.mean_density(one), section.mean_density(other)
    if first < _FLOATS and second < _FLOATS:
        return True
    return abs(first - second) <= _ALIKE * max(first, second) and (first < _FLOATS) == (
        second < _FLOATS
    )


def per_length(stock: Stock) -> float:
    """Its mean mass per length, as it is believed [kg/m]."""
    return Material.of(stock).density
