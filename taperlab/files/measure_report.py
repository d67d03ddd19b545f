"""What measuring a line has told: as text to read, as JSON for scripts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from taperlab.files.report import figure
from taperlab.physics.frustum import Array
from taperlab.shop.errors import ErrorOf, WeightError
from taperlab.shop.measure.drawn import read_fit, words
from taperlab.shop.measure.placing import placed_breakpoints
from taperlab.shop.measure.study import Measured, Study
from taperlab.units.kinds import (
    DENSITY,
    DIAMETER,
    DISTANCE,
    LENGTH,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    Kind,
    System,
)
from taperlab.units.sentence import NOTHING, Density, Diameter, OnTape, Sentence, Weight, render
from taperlab.units.words import capital, heading

SCHEMA = 1


def as_json(studied: Study, at: Sequence[float]) -> dict[str, Any]:
    """The measurement for scripts; unknown is None, each pm the half-width of 95 %.

    at: distances from the fly end [m] to read the line at. ``measured`` is false where no station
    stands on both sides: value and pm are then the middle and the half of a range. ``placed`` is
    false where the taper changes somewhere within pm of the position, and no more can be said.
    Names, units and meaning of these keys never change; more may be added.
    """
    fit = studied.fit
    total, half = studied.total if fit else (None, None)
    return {
        "schema": SCHEMA,
        "total": {
            "weight_gr": figure(total, "gr", WEIGHT),
            "weight_pm_gr": figure(half, "gr", WEIGHT),
            "length_ft": figure(studied.measurement.length, "ft", LENGTH),
        },
        "segments": _segments(fit) if fit else [],
        "breakpoints": _breakpoints(fit) if fit else [],
        "at": _readings(fit, at) if fit and at else [],
        "left_out": [
            {
                "distance_ft": figure(each.distance, "ft", DISTANCE),
                "diameter_in": figure(each.diameter, "in", DIAMETER),
            }
            for each in (fit.shape.left_out if fit else ())
        ],
        "remarks": [str(each) for each in remarks(studied)],
    }


def _segments(fit: Measured) -> list[dict[str, Any]]:
    halves = fit.weights.density_halves.tolist()
    masses = fit.weights.masses.tolist()
    return [
        {
            "part": str(segment.part),
            "length_ft": figure(segment.length, "ft", LENGTH),
            "front_diameter_in": figure(segment.front_diameter, "in", DIAMETER),
            "rear_diameter_in": figure(segment.rear_diameter, "in", DIAMETER),
            "density_g_cm3": figure(segment.density, "g/cm³", DENSITY),
            "density_pm_g_cm3": figure(half, "g/cm³", DENSITY),
            "weight_gr": figure(mass, "gr", WEIGHT),
        }
        for segment, half, mass in zip(fit.line.segments, halves, masses, strict=True)
    ]


def _breakpoints(fit: Measured) -> list[dict[str, Any]]:
    return [
        {
            "position_ft": figure(each.position, "ft", DISTANCE),
            "pm_ft": figure(each.half_width, "ft", LENGTH),
            "placed": each.is_placed,
        }
        for each in placed_breakpoints(fit.shape)
    ]


def _readings(fit: Measured, at: Sequence[float]) -> list[dict[str, Any]]:
    read = fit.weights.belief.read(np.array(at))
    columns: dict[str, tuple[Sequence[float] | Array, str, Kind]] = {
        "position_ft": (at, "ft", DISTANCE),
        "diameter_in": (read.diameter, "in", DIAMETER),
        "diameter_pm_in": (read.diameter_half, "in", DIAMETER),
        "gr_per_ft": (read.linear_density, "gr/ft", WEIGHT_PER_LENGTH),
        "gr_per_ft_pm": (read.linear_density_half, "gr/ft", WEIGHT_PER_LENGTH),
        "running_gr": (read.running, "gr", WEIGHT),
        "running_pm_gr": (read.running_half, "gr", WEIGHT),
    }
    return [
        {
            **{
                name: figure(float(values[i]), unit, kind)
                for name, (values, unit, kind) in columns.items()
            },
            "measured": bool(read.measured[i]),
        }
        for i in range(len(at))
    ]


def remarks(studied: Study) -> tuple[Sentence, ...]:
    """What is worth knowing of the measurement, then what to measure next."""
    found = tuple(each.sentence for each in studied.fit.findings) if studied.fit else ()
    return found + studied.advice


def as_text(studied: Study, at: Sequence[float], system: System) -> str:
    """The measurement to read. Raises ValueError where nothing could be fitted."""
    fit = studied.fit
    if fit is None:
        raise ValueError("nothing was fitted")
    total, half = studied.total
    rows = [
        Sentence(
            "{weight} {error} at {length}",
            weight=Weight(total),
            error=WeightError(half),
            length=OnTape(studied.measurement.length),
        ),
        NOTHING,
        *(
            Sentence(
                "{part}: {length}, ⌀ {front} to {rear}, {density} {error}",
                part=heading(segment.part),
                length=OnTape(segment.length),
                front=Diameter(segment.front_diameter, unit=False),
                rear=Diameter(segment.rear_diameter),
                density=Density(segment.density),
                error=ErrorOf(DENSITY, half),
            )
            for segment, half in zip(
                fit.line.segments, fit.weights.density_halves.tolist(), strict=True
            )
        ),
    ]
    for place in at:
        reading = read_fit(studied, place)
        if reading is not None:
            rows += [NOTHING, *words(reading)]
    lines = [render(row, system) for row in rows]
    lines += ["", *(capital(render(each, system)) for each in remarks(studied))]
    return "\n".join(lines) + "\n"
