"""Fits of what was measured, given piece by piece."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from taperlab.model.measurement import Instruments, Measurement, Station, WeighedSection
from taperlab.shop.measure import weights
from taperlab.shop.measure.outcome import NoFit
from taperlab.shop.measure.remarks import remarks_on
from taperlab.shop.measure.shape import ShapeFit, shape_steps
from taperlab.shop.measure.weights import WeightFit
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


def fit_weights(
    shape: ShapeFit, sections: Sequence[WeighedSection], instruments: Instruments, **more: Any
) -> WeightFit | NoFit:
    measured = Measurement(
        "m", "Measured", shape.length, instruments, sections=tuple(sections), **more
    )
    return weights.fit_weights(shape, measured)


def remarks(fit: WeightFit, **more: Any) -> list[str]:
    belief = fit.belief
    measured = Measurement(
        "m", "Measured", fit.length, belief.instruments, sections=belief.sections, **more
    )
    return [str(finding.sentence) for finding in remarks_on(fit, measured)]
