"""A tip of which only length and weight are known: how fast it may sink, and what decides it.

Length and weight give its weight per foot. How fast it sinks hangs on how thick it is: it is told
for the lightest and the densest stock that tips are made of here, not as one figure.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from taperlab.model.line import Line, Style, line_of
from taperlab.model.segment import Part, Segment
from taperlab.model.stock import Stock
from taperlab.model.water import Water
from taperlab.physics import section
from taperlab.physics.sinking import sink_rate
from taperlab.physics.water import water_state
from taperlab.units.sentence import Diameter, Sentence, SinkRate


@dataclass(frozen=True, slots=True)
class IfMadeOf:
    """A level tip, were it as dense as a stock: how thick it is [m], how fast it sinks [m/s]."""

    stock: str
    density: float
    diameter: float
    sink: float


def diameter_of(linear_density: float, density: float) -> float:
    """Diameter [m] of level line of a mass per length [kg/m] and a density [kg/m^3]."""
    return math.sqrt(4.0 * linear_density / (math.pi * density))


def between(
    length: float, mass: float, stocks: Sequence[Stock], water: Water
) -> tuple[IfMadeOf, IfMadeOf] | None:
    """A tip so long [m] and so heavy [kg] of the lightest and of the densest stock that sinks.

    None where no stock sinks.
    """
    state = water_state(water)
    dense = sorted(
        (density, stock.name)
        for stock in stocks
        if (density := section.mean_density(stock)) > state.density
    )
    if not dense:
        return None

    def made(density: float, name: str) -> IfMadeOf:
        thick = diameter_of(mass / length, density)
        return IfMadeOf(name, density, thick, float(sink_rate(thick, mass / length, state)))

    return made(*dense[0]), made(*dense[-1])


def between_words(found: tuple[IfMadeOf, IfMadeOf]) -> Sentence:
    """How fast it may sink, and what would tell."""
    slow, fast = found
    return Sentence(
        "It may sink {slow} to {fast}: as dense as {light} it is {thick} thick, as dense as "
        "{heavy} {thin}. Its diameter tells which.",
        slow=SinkRate(slow.sink, unit=False),
        fast=SinkRate(fast.sink),
        light=slow.stock,
        heavy=fast.stock,
        thick=Diameter(slow.diameter),
        thin=Diameter(fast.diameter),
    )


def weighed_tip(name: str, length: float, mass: float, diameter: float) -> Line:
    """A level tip so long, so heavy and so thick [m], [kg], [m]; its loops count as line."""
    density = mass / (length * math.pi / 4.0 * diameter**2)
    piece = Segment(Part.SINK_TIP, length, diameter, diameter, density)
    return line_of("tip", name, (piece,), Style.TIP)
