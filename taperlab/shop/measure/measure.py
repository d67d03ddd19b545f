"""A measurement on the bench turned into a line, in one call."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.model.line import Line, Style
from taperlab.model.measurement import Measurement
from taperlab.shop.measure.densities import SPREAD, DensityFit, fit_densities
from taperlab.shop.measure.outcome import NoFit
from taperlab.shop.measure.parts import as_line
from taperlab.shop.measure.shape import ShapeFit, fit_shape
from taperlab.units.finding import Finding


@dataclass(frozen=True, eq=False, slots=True)
class Measured:
    """A fitted measurement: its shape, its densities and the line they make."""

    shape: ShapeFit
    densities: DensityFit
    line: Line
    findings: tuple[Finding, ...]


def measure(
    measurement: Measurement, *, spread: float = SPREAD, style: Style = Style.OTHER
) -> Measured | NoFit:
    """Fit shape and densities to what was measured.

    ``spread``: prior spread of the segments' densities, as a share (one standard deviation).
    Parts that the user gave are used while they are as many as the fitted segments, else guessed.
    """
    shape = fit_shape(
        measurement.stations,
        measurement.length,
        measurement.instruments,
        fixed=measurement.breakpoints,
        only_fixed=measurement.only_fixed,
    )
    if isinstance(shape, NoFit):
        return shape
    densities = fit_densities(
        shape,
        measurement.sections,
        measurement.instruments,
        spread=spread,
        front_loop=measurement.front_loop,
        rear_loop=measurement.rear_loop,
    )
    if isinstance(densities, NoFit):
        return densities
    fits = len(measurement.parts) == len(densities.densities)
    line = as_line(
        densities,
        measurement.key,
        measurement.name,
        parts=measurement.parts if fits else (),
        style=style,
    )
    return Measured(shape, densities, line, (*shape.findings, *densities.findings))
