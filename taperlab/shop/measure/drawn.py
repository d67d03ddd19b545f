"""A studied measurement as it is drawn and read: its curve, its breakpoints, a reading of it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from taperlab.model.measurement import Measurement
from taperlab.physics.frustum import Array
from taperlab.shop.measure.densities import ODD_WEIGHT
from taperlab.shop.measure.shape import Placed
from taperlab.shop.measure.study import Measured, Study
from taperlab.shop.measure.uncertainty import CONFIDENT, DiameterError, WeightPerLengthError
from taperlab.units.sentence import Diameter, Length, Sentence, WeightPerLength

POINTS_A_SEGMENT = 24
INSIDE = 1e-7
"""A curve with steps is drawn from just inside a segment to just inside its other end [m]."""

SAME_PLACE = 1e-6
"""Distances closer than this are one breakpoint [m]."""


@dataclass(frozen=True, eq=False, slots=True)
class WeightCurve:
    """Weight per length along a fitted line: distances [m], values and reach of error [kg/m].

    The true value lies within ``upper`` and ``lower`` in 95 of 100 measurements.
    """

    position: Array
    value: Array
    upper: Array
    lower: Array


@dataclass(frozen=True, slots=True)
class Breakpoint:
    """An inner node of a fit: where [m], how thick [m], and whether the user holds it there."""

    position: float
    diameter: float
    fixed: bool


@dataclass(frozen=True, slots=True)
class FitReading:
    """A fitted line at one place: [m], diameter [m], weight per length [kg/m].

    The errors are standard deviations of what stands before them.
    """

    position: float
    diameter: float
    diameter_error: float
    linear_density: float
    linear_density_error: float


def weight_curve(study: Study) -> WeightCurve | None:
    """The weight per length of a study and its error, or None where nothing was fitted."""
    if study.fit is None:
        return None
    fit = study.fit.densities
    nodes = fit.positions
    x = np.concatenate(
        [
            np.linspace(front + INSIDE, rear - INSIDE, POINTS_A_SEGMENT)
            for front, rear in pairwise(nodes)
        ]
    )
    value, error = fit.linear_density(x)
    return WeightCurve(x, value, value + CONFIDENT * error, value - CONFIDENT * error)


def breakpoints_of(measurement: Measurement | None, study: Study | None) -> tuple[Breakpoint, ...]:
    """The breakpoints as fitted; fixed ones that wait for a fit included."""
    if measurement is None or study is None or study.fit is None:
        return ()
    shape, fixed = study.fit.shape, measurement.breakpoints
    made = []
    for position, diameter, placed in zip(
        shape.positions[1:-1].tolist(), shape.diameters[1:-1].tolist(), shape.placed, strict=True
    ):
        held = placed is Placed.FIXED
        if not held or any(abs(position - each) < SAME_PLACE for each in fixed):
            made.append(Breakpoint(position, diameter, held))
    for each in fixed:
        if not any(abs(each - known.position) < SAME_PLACE for known in made):
            diameter = float(np.interp(each, shape.positions, shape.diameters))
            made.append(Breakpoint(each, diameter, True))
    return tuple(sorted(made, key=lambda each: each.position))


def read_fit(study: Study, position: float) -> FitReading | None:
    """Read a fitted line at a distance from the fly end [m]; None where nothing was fitted."""
    if study.fit is None:
        return None
    fit = study.fit.densities
    at = np.array([min(max(position, 0.0), fit.length)])
    value, error = fit.linear_density(at)
    return FitReading(
        position=position,
        diameter=float(np.interp(at[0], fit.positions, fit.diameters)),
        diameter_error=float(study.fit.shape.diameter_error(at)[0]),
        linear_density=float(value[0]),
        linear_density_error=float(error[0]),
    )


def stands_out(measured: Measured, section: int) -> bool:
    """Whether a weighed section differs from the fit by more than its own error explains."""
    fit = measured.densities
    return bool(abs(fit.section_residuals[section]) > ODD_WEIGHT * fit.section_errors[section])


def words(reading: FitReading) -> tuple[Sentence, ...]:
    """A reading in words: place, diameter and weight per length with their errors."""
    return (
        Sentence("{place}", place=Length(reading.position)),
        Sentence(
            "⌀ {diameter} {error}",
            diameter=Diameter(reading.diameter, unit=False),
            error=DiameterError(reading.diameter_error),
        ),
        Sentence(
            "{weight} {error}",
            weight=WeightPerLength(reading.linear_density, unit=False),
            error=WeightPerLengthError(reading.linear_density_error),
        ),
    )
