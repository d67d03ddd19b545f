"""What each plot shows, in which unit."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from taperlab.physics.frustum import Array
from taperlab.shop.analyse import Curves
from taperlab.units.kinds import (
    DIAMETER,
    LENGTH,
    SINK_RATE,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    Kind,
    System,
)
from taperlab.units.show import from_unit


class Plot(Enum):
    """The plots from top to bottom."""

    OUTLINE = "outline"
    WEIGHT = "weight"
    RUNNING = "running"
    SINK = "sink"


FINE = {System.US: 0.0254, System.METRIC: 0.01}
COARSE = {System.US: 0.3048, System.METRIC: 0.1}
"""Steps by key along the distance axis [m]."""


@dataclass(frozen=True, slots=True)
class Scale:
    """An axis: its title, the kind of value and how much SI one unit on it is."""

    title: str
    kind: Kind
    unit: float


_TITLES = {
    Plot.OUTLINE: (
        DIAMETER,
        ("thou", "Diameter, thousandths of an inch"),
        ("mm", "Diameter, millimetres"),
    ),
    Plot.WEIGHT: (
        WEIGHT_PER_LENGTH,
        ("gr/ft", "Weight per length, grains per foot"),
        ("g/m", "Weight per length, grams per metre"),
    ),
    Plot.RUNNING: (
        WEIGHT,
        ("gr", "Running weight from the fly end, grains"),
        ("g", "Running weight from the fly end, grams"),
    ),
    Plot.SINK: (
        SINK_RATE,
        ("in/s", "Sink rate, inches per second; below zero it rises"),
        ("cm/s", "Sink rate, centimetres per second; below zero it rises"),
    ),
}


def scale_of(plot: Plot, system: System) -> Scale:
    """The upright axis of a plot."""
    kind, us, metric = _TITLES[plot]
    unit, title = us if system is System.US else metric
    return Scale(title, kind, from_unit(1.0, unit, kind))


def distance_scale(system: System) -> Scale:
    """The axis that all plots share."""
    if system is System.US:
        return Scale("feet from the fly end", LENGTH, from_unit(1.0, "ft", LENGTH))
    return Scale("metres from the fly end", LENGTH, from_unit(1.0, "m", LENGTH))


def values(curves: Curves, plot: Plot) -> Array:
    """The curve of a plot [SI], point by point."""
    return {
        Plot.OUTLINE: curves.diameter,
        Plot.WEIGHT: curves.linear_density,
        Plot.RUNNING: curves.running_mass,
        Plot.SINK: curves.sink,
    }[plot]
