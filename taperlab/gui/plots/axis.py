"""What an axis shows: the kind of value, its unit, its title, and where its rules lie."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from taperlab.units.kinds import LENGTH, SHORT_LENGTH, Kind, System
from taperlab.units.language import later, tr
from taperlab.units.show import MINUS, from_unit, show


@dataclass(frozen=True, slots=True)
class Unit:
    """How an axis is told in one system of units.

    name: the unit. title: what stands beside the axis, marked for translation. fine, coarse: what
    one key press moves, in this unit; coarse with Shift. drag: what a drag goes in whole steps of,
    as fine as one key press by default.
    """

    name: str
    title: str
    fine: float = 1.0
    coarse: float = 1.0
    drag: float = 0.0


Ticks = list[tuple[float, str]]
"""Where the rules of an axis lie [SI], and what is written at each."""


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis of a plot, as a value.

    mirrored: as much is shown below zero as above, and both sides are labelled alike, as for a
    line seen from the side, unless ``signed``. room: how much more is shown than is needed.
    least: the axis reaches at least this far [SI].
    """

    kind: Kind
    us: Unit
    metric: Unit
    mirrored: bool = False
    signed: bool = False
    room: float = 1.05
    least: float = 0.0

    def unit(self, system: System) -> Unit:
        """How it is told in a system."""
        return self.us if system is System.US else self.metric

    def title(self, system: System) -> str:
        """What stands beside it."""
        return tr(self.unit(system).title)

    def size(self, system: System) -> float:
        """One unit [SI]."""
        return _size(self.unit(system).name, self.kind)

    def step(self, system: System, *, coarse: bool = False) -> float:
        """What one key press moves [SI]."""
        unit = self.unit(system)
        return (unit.coarse if coarse else unit.fine) * self.size(system)

    def drag_step(self, system: System) -> float:
        """What a drag goes in whole steps of [SI]."""
        unit = self.unit(system)
        return (unit.drag or unit.fine) * self.size(system)

    def drag_step_text(self, system: System) -> str:
        """That, in words."""
        kind = SHORT_LENGTH if self.kind is LENGTH else self.kind
        return show(self.drag_step(system), kind, system)

    def ticks(self, low: float, high: float, most: int, system: System) -> Ticks:
        """Round numbers between two values [SI], about ``most`` of them."""
        unit = self.size(system)
        if self.mirrored:
            # As many marks on both sides, one at least, however little room there is.
            top = high / unit
            step = min(step_for(top, max(1, most // 2)), round_below(top))
            count = int(top / step + 1e-9)
            found = [number * step for number in range(-count, count + 1)]
        else:
            most = max(2, most)
            step = step_for((high - low) / unit, most)
            found = ticks(low / unit, high / unit, most)
        plain = self.mirrored and not self.signed
        return [(each * unit, tick_text(abs(each) if plain else each, step)) for each in found]

    def holding(self, low: float, high: float, system: System) -> tuple[float, float]:
        """Both ends of an axis that holds zero and these [SI], rounded so as to change seldom."""
        unit = self.size(system)
        low, high = min(low, 0.0), max(high, 0.0)
        if self.mirrored:
            low, high = 0.0, max(high, -low)
        high = max(high, self.least)
        if high - low <= 0.0:
            high = low + unit
        step = step_for((high - low) / unit * self.room, 12) * unit
        top = math.ceil(high * self.room / step - 1e-9) * step
        if self.mirrored:
            return -top, top
        bottom = math.floor(low * self.room / step + 1e-9) * step
        spare = (top - bottom) * 0.035
        return bottom - spare, top + spare


@cache
def _size(unit: str, kind: Kind) -> float:
    return from_unit(1.0, unit, kind)


DISTANCE = Axis(
    LENGTH,
    Unit("ft", later("feet from the fly end"), 1.0 / 12.0, 1.0, drag=1.0 / 96.0),
    Unit("m", later("metres from the fly end"), 0.01, 0.1, drag=0.001),
)
"""The axis along a line. A drag goes to what a length is shown to: eighths, or millimetres."""


# -- round numbers -----------------------------------------------------------------------------


def step_for(span: float, most: int) -> float:
    """The smallest of 1, 2 or 5 times a power of ten that parts a span into at most ``most``."""
    if not (span > 0.0 and math.isfinite(span)):
        return 1.0
    rough = span / max(1, most)
    power = 10.0 ** math.floor(math.log10(rough))
    for factor in (1.0, 2.0, 5.0):
        if factor * power >= rough * (1.0 - 1e-9):
            return factor * power
    return 10.0 * power


def round_below(value: float) -> float:
    """The largest of 1, 2 or 5 times a power of ten that is not above a value."""
    power = 10.0 ** math.floor(math.log10(value) + 1e-9)
    return max(factor * power for factor in (1.0, 2.0, 5.0) if factor * power <= value * 1.000001)


def ticks(low: float, high: float, most: int) -> list[float]:
    """Round numbers from low to high, about ``most`` of them, zero included if it lies between."""
    if not (high > low and math.isfinite(high - low)):
        return []
    step = step_for(high - low, most)
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [number * step for number in range(first, last + 1)]


def tick_text(value: float, step: float) -> str:
    """A number with as many decimals as its step needs and a true minus sign."""
    decimals = max(0, -math.floor(math.log10(step) + 1e-9)) if step > 0.0 else 0
    text = f"{abs(value):.{decimals}f}"
    return f"{MINUS}{text}" if value < 0.0 and float(text) != 0.0 else text
