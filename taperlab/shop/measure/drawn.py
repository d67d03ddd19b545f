"""A studied measurement as it is drawn and read: its curve, its breakpoints, a reading of it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from taperlab.model.measurement import Measurement
from taperlab.physics.frustum import Array
from taperlab.shop.measure.breakpoints import BoolArray
from taperlab.shop.measure.densities import ODD_WEIGHT
from taperlab.shop.measure.shape import Placed
from taperlab.shop.measure.slips import LeftOut
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


@dataclass(frozen=True, eq=False, slots=True)
class PointsRead:
    """What was read, kept places first, then readings left out: all [m], shape (n,).

    errors: standard deviations; residuals: off the fit, 0 where nothing was fitted; kept: a mask.
    """

    distances: Array
    diameters: Array
    errors: Array
    residuals: Array
    kept: BoolArray


@dataclass(frozen=True, slots=True)
class RowRead:
    """A row of the stations as judged by a fit: how far it lies off [m], and why it is marked.

    off: of the mean of what is kept of the row, or of the first reading left out; None where the
    row takes no part. left_out: its readings that are left out. in_doubt: to be read again.
    """

    off: float | None
    left_out: tuple[LeftOut, ...]
    in_doubt: bool


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


def points_read(study: Study) -> PointsRead:
    """What was read as the plots of a study show it."""
    read, fit = study.stations, study.fit
    if fit is None:
        kept = np.ones(len(read), dtype=bool)
        return PointsRead(read.distances, read.diameters, read.errors, np.zeros(len(read)), kept)
    shape = fit.shape
    at = np.array([each.distance for each in shape.left_out], dtype=float)
    out = np.array([each.diameter for each in shape.left_out], dtype=float)
    return PointsRead(
        np.concatenate((read.distances, at)),
        np.concatenate((read.diameters, out)),
        np.concatenate((read.errors, np.zeros(len(at)))),
        np.concatenate((shape.residuals, out - shape.diameter(at))),
        np.arange(len(read) + len(at)) < len(read),
    )


def rows_read(study: Study) -> tuple[RowRead, ...]:
    """Each row of the stations of a study, in the order of the measurement."""
    measurement, fit = study.measurement, study.fit
    if fit is None:
        return tuple(RowRead(None, (), False) for _ in measurement.stations)
    shape, beyond = fit.shape, measurement.length + measurement.instruments.tape
    doubted = [each.distance for each in shape.doubts]
    found = []
    for row, station in enumerate(measurement.stations):
        out = tuple(each for each in shape.left_out if each.station == row)
        gone = {each.number for each in out}
        kept = [each for i, each in enumerate(station.readings) if i not in gone]
        mean = out[0].diameter if out else sum(kept) / len(kept)
        off = mean - float(shape.diameter(np.array([station.distance]))[0])
        near = any(
            abs(station.distance - each) < measurement.instruments.tape / 2.0 for each in doubted
        )
        found.append(RowRead(off if station.distance <= beyond else None, out, near))
    return tuple(found)


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
