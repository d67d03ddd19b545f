"""A studied measurement as it is drawn and read: its curve, its breakpoints, a reading of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from taperlab.model.measurement import Measurement
from taperlab.physics.frustum import Array
from taperlab.shop.measure.breakpoints import BoolArray
from taperlab.shop.measure.densities import ODD_WEIGHT
from taperlab.shop.measure.shape import Placed, ShapeFit
from taperlab.shop.measure.slips import LeftOut
from taperlab.shop.measure.study import Measured, Study
from taperlab.shop.measure.uncertainty import CONFIDENT, DiameterError, WeightPerLengthError
from taperlab.units.sentence import Diameter, Length, Sentence, WeightPerLength

POINTS_A_SEGMENT = 24
INSIDE = 1e-7
"""A curve with steps is drawn from just inside a segment to just inside its other end [m]."""

PLACED_WITHIN = 0.5
"""A breakpoint that may lie farther off than this share of the shorter segment beside it says
only that the taper changes somewhere between two places."""

OWN, FEWEST_OWN = 3.0, 2
"""Standard deviations by which a station lies off both segments beside its own, and how many
such a segment needs to have its ends where the fit puts them."""

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
    """An inner node of a fit: where [m], how thick [m], and whether the user holds it there.

    half_width: how far it may lie from there in 95 of 100 measurements [m]. between: from where
    to where it may lie, no farther than the nodes beside it [m]. is_placed: whether the stations
    place it well enough to be called a breakpoint there, and not only somewhere in between.
    """

    position: float
    diameter: float
    fixed: bool
    half_width: float = 0.0
    between: tuple[float, float] = (0.0, 0.0)
    is_placed: bool = True


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
    made, thin = [], _thin(shape)
    nodes, diameters = shape.positions.tolist(), shape.diameters.tolist()
    for i, placed in enumerate(shape.placed, 1):
        held = placed is Placed.FIXED
        if not held or any(abs(nodes[i] - each) < SAME_PLACE for each in fixed):
            low, high = _between(shape, i, thin) if not held else (nodes[i], nodes[i])
            reach = float(CONFIDENT * shape.errors.positions[i])
            reach = max(reach, nodes[i] - low, high - nodes[i])
            between = max(nodes[i - 1], nodes[i] - reach), min(nodes[i + 1], nodes[i] + reach)
            shorter = min(nodes[i] - nodes[i - 1], nodes[i + 1] - nodes[i])
            sure = held or reach < PLACED_WITHIN * shorter
            made.append(Breakpoint(nodes[i], diameters[i], held, reach, between, sure))
    for each in fixed:
        if not any(abs(each - known.position) < SAME_PLACE for known in made):
            diameter = float(np.interp(each, shape.positions, shape.diameters))
            made.append(Breakpoint(each, diameter, True, between=(each, each)))
    return tuple(sorted(made, key=lambda each: each.position))


def _thin(shape: ShapeFit) -> list[bool]:
    """Which segments have fewer than two stations that no neighbouring segment explains as well.

    Such a segment may as well begin later or end sooner: nothing says where in the gap between
    two stations.
    """
    read, nodes = shape.stations, shape.positions
    slopes = np.diff(shape.diameters) / shape.state.lengths
    found = []
    for j in range(len(slopes)):
        inside = (read.distances >= nodes[j] - INSIDE) & (read.distances <= nodes[j + 1] + INSIDE)
        for k in (j - 1, j + 1):
            if 0 <= k < len(slopes):
                on = shape.diameters[k] + slopes[k] * (read.distances - nodes[k])
                inside &= np.abs(read.diameters - on) > OWN * read.errors
        found.append(int(inside.sum()) < FEWEST_OWN)
    return found


def _between(shape: ShapeFit, node: int, thin: Sequence[bool]) -> tuple[float, float]:
    """From where to where [m] stations leave a node free beside a segment that is thin.

    A station where the node is belongs to the segment that others hold too.
    """
    at, x = float(shape.positions[node]), shape.stations.distances
    ahead, behind = thin[node - 1], thin[node]
    if not ahead and not behind:
        return at, at
    low = x[x < at - INSIDE] if ahead else x[x <= at + INSIDE]
    high = x[x > at + INSIDE] if behind else x[x >= at - INSIDE]
    return float(low.max(initial=0.0)), float(high.min(initial=shape.length))


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
    doubted = [each.distance for each in shape.doubts]
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
