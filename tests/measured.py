"""Fits of what was measured, given piece by piece."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from taperlab.model.measurement import Instruments, Measurement, Station, WeighedSection
from taperlab.shop.measure import densities
from taperlab.shop.measure.densities import SPREAD, DensityFit
from taperlab.shop.measure.outcome import NoFit
from taperlab.shop.measure.shape import ShapeFit, shape_steps
from taperlab.shop.steps import finish


def fit_shape(
    stations: Sequence[Station],
    length: float,
    instruments: Instruments,
    *,
    fixed: Sequence[float] = (),
    only_fixed: bool = False,
) -> ShapeFit | NoFit:
    measured = Measurement(
        "m",
        "Measured",
        length,
        instruments,
        stations=tuple(stations),
        breakpoints=tuple(fixed),
        only_fixed=only_fixed,
    )
    return finish(shape_steps(measured))


def fit_densities(
    shape: ShapeFit,
    sections: Sequence[WeighedSection],
    instruments: Instruments,
    *,
    spread: float = SPREAD,
    **loops: Any,
) -> DensityFit | NoFit:
    measured = Measurement(
        "m", "Measured", shape.length, instruments, sections=tuple(sections), **loops
    )
    return densities.fit_densities(shape, measured, spread=spread)
