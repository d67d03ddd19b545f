"""A studied measurement as it is drawn and read: its curve, its breakpoints, a reading of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from taperlab.model.measurement import Measurement
from taperlab.physics.frustum import Array
from taperlab.shop.belief.outline import Outline
from taperlab.shop.errors import (
    CONFIDENT,
    DiameterError,
    WeightError,
    WeightPerLengthError,
)
from taperlab.shop.measure.breakpoints import BoolArray
from taperlab.shop.measure.placing import Breakpoint, placed_breakpoints
from taperlab.shop.measure.slips import LeftOut
from taperlab.shop.measure.study import Study
from taperlab.units.sentence import Diameter, Length, Sentence, Weight, WeightPerLength

POINTS, POINTS_BEYOND = 121, 9
INSIDE = 1e-7
"""A curve with steps is drawn from just inside a segment to just inside its other end [m]."""

NEAR_END = 0.01
"""A station that stands nearer to an end than this stands at it [m]."""

SAME_PLACE = 1e-6
"""Distances closer than this are one breakpoint [m]."""


@dataclass(frozen=True, eq=False, slots=True)
class Along:
    """A quantity along a fitted line: distances [m], values and reach of error [SI].

    The true value lies within ``upper`` and ``lower`` in 95 of 100 measurements.
    """

    position: Array
    value: Array
    upper: Array
    lower: Array


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
    row takes no part. left_out: its readings that are left out. in_doubt: to be read again,
    and not only for being at an end.
    """

    off: float | None
    left_out: tuple[LeftOut, ...]
    in_doubt: bool


@dataclass(frozen=True, slots=True)
class FitReading:
    """A line at one place: [m], diameter [m], weight per length [kg/m], weight ahead of it [kg].

    Half-widths (95 in 100) stand behind the values. is_measured: whether stations stand on both
    sides; elsewhere only the range is known.
    """

    position: float
    is_measured: bool
    diameter: float
    diameter_half: float
    linear_density: float
    linear_density_half: float
    running: float
    running_half: float


def weight_along(study: Study) -> tuple[Along, ...]:
    """The weight per length [kg/m] where stations stand, then ahead of and behind them.

    The first is measured, the others are ranges; none where nothing was fitted.
    """
    if study.fit is None:
        return ()
    belief, made = study.fit.weights.belief, []
    for places in _stretches(belief.outline):
        read = belief.read(places)
        made.append(_along(places, read.linear_density, read.linear_density_half))
    return tuple(made)


def unmeasured_diameters(study: Study) -> tuple[Along, ...]:
    """The diameter [m] ahead of the first station and behind the last, as ranges."""
    if study.fit is None:
        return ()
    outline = study.fit.weights.belief.outline
    return tuple(
        _along(places, outline.mean(places), CONFIDENT * outline.error(places))
        for places in _stretches(outline)[1:]
    )


def _along(places: Array, value: Array, half: Array) -> Along:
    return Along(places, value, value + half, np.maximum(value - half, 0.0))


def _stretches(outline: Outline) -> list[Array]:
    """Places [m] where stations stand, then ahead of the first and behind the last, if any."""
    first, last, length = outline.first, outline.last, outline.shape.length
    nodes = outline.shape.breakpoints
    x = np.concatenate([np.linspace(first, last, POINTS), nodes - INSIDE, nodes + INSIDE])
    found = [np.unique(x[(x >= first) & (x <= last)])]
    if first > NEAR_END:
        found.append(np.linspace(0.0, first - INSIDE, POINTS_BEYOND))
    if last < length - NEAR_END:
        found.append(np.linspace(last + INSIDE, length, POINTS_BEYOND))
    return found


def breakpoints_of(measurement: Measurement | None, study: Study | None) -> tuple[Breakpoint, ...]:
    """The breakpoints as fitted; fixed ones that wait for a fit included."""
    if measurement is None or study is None or study.fit is None:
        return ()
    shape, fixed = study.fit.shape, measurement.breakpoints
    made = [
        each
        for each in placed_breakpoints(shape)
        if not each.fixed or any(abs(each.position - held) < SAME_PLACE for held in fixed)
    ]
    for each in fixed:
        if not any(abs(each - known.position) < SAME_PLACE for known in made):
            diameter = float(np.interp(each, shape.positions, shape.diameters))
            made.append(Breakpoint(each, diameter, True, between=(each, each)))
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
        np.concatenate((shape.residuals, out - shape.state.diameter(at))),
        np.arange(len(read) + len(at)) < len(read),
    )


def rows_read(study: Study) -> tuple[RowRead, ...]:
    """Each row of the stations of a study, in the order of the measurement."""
    measurement, fit = study.measurement, study.fit
    if fit is None:
        return tuple(RowRead(None, (), False) for _ in measurement.stations)
    shape, beyond = fit.shape, measurement.length + measurement.instruments.tape
    doubted = [each.distance for each in shape.doubts if not each.at_end]
    found = []
    for row, station in enumerate(measurement.stations):
        out = tuple(each for each in shape.left_out if each.station == row)
        gone = {each.number for each in out}
        kept = [each for i, each in enumerate(station.readings) if i not in gone]
        mean = out[0].diameter if out else sum(kept) / len(kept)
        off = mean - float(shape.state.diameter(np.array([station.distance]))[0])
        near = any(
            abs(station.distance - each) < measurement.instruments.tape / 2.0 for each in doubted
        )
        found.append(RowRead(off if station.distance <= beyond else None, out, near))
    return tuple(found)


def read_fit(study: Study, position: float) -> FitReading | None:
    """Read a fitted line at a distance from the fly end [m]; None where nothing was fitted."""
    if study.fit is None:
        return None
    belief = study.fit.weights.belief
    read = belief.read(np.array([min(max(position, 0.0), belief.length)]))
    return FitReading(
        position,
        bool(read.measured[0]),
        *(
            float(each[0])
            for each in (
                read.diameter,
                read.diameter_half,
                read.linear_density,
                read.linear_density_half,
                read.running,
                read.running_half,
            )
        ),
    )


def words(reading: FitReading) -> tuple[Sentence, ...]:
    """A reading in words: place, diameter, weight per length and weight ahead, with errors.

    Beyond the stations no value, but from where to where it may lie.
    """
    place = Sentence("{place}", place=Length(reading.position))
    ahead = Sentence(
        "{weight} {error} ahead",
        weight=Weight(reading.running),
        error=WeightError(reading.running_half),
    )
    if not reading.is_measured:
        thin, thick = _from_to(reading.diameter, reading.diameter_half)
        light, heavy = _from_to(reading.linear_density, reading.linear_density_half)
        return (
            place,
            Sentence(
                "not measured: ⌀ {low} to {high}",
                low=Diameter(thin, unit=False),
                high=Diameter(thick, unit=False),
            ),
            Sentence(
                "{low} to {high}",
                low=WeightPerLength(light, unit=False),
                high=WeightPerLength(heavy),
            ),
            ahead,
        )
    return (
        place,
        Sentence(
            "⌀ {diameter} {error}",
            diameter=Diameter(reading.diameter, unit=False),
            error=DiameterError(reading.diameter_half),
        ),
        Sentence(
            "{weight} {error}",
            weight=WeightPerLength(reading.linear_density, unit=False),
            error=WeightPerLengthError(reading.linear_density_half),
        ),
        ahead,
    )


def _from_to(value: float, half: float) -> tuple[float, float]:
    return max(value - half, 0.0), value + half
