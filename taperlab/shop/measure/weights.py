"""What a measured line weighs, piece by piece and at every place: shape and weights together."""

from __future__ import annotations

import math

import numpy as np

from taperlab.model.measurement import Instruments
from taperlab.shop.belief.outline import Outline, Shape
from taperlab.shop.measure.instruments import rounding_error
from taperlab.shop.measure.shape import Placed, ShapeFit


def outline_of(shape: ShapeFit, instruments: Instruments) -> Outline:
    """The diameter along the line whose breakpoints these are, from the stations that are kept."""
    kept = shape.stations.at(shape.used)
    nodes, inner = shape.positions, shape.positions[1:-1]
    slopes = np.diff(shape.diameters) / np.diff(nodes)
    tape = rounding_error(instruments.tape)
    segment = np.searchsorted(inner, kept.distances)
    errors = np.hypot(kept.errors, slopes[segment] * tape)
    if shape.is_scattered:
        errors = errors * math.sqrt(shape.chi_square / shape.freedom)
    held = np.array([each is Placed.FIXED for each in shape.placed], dtype=bool)
    loose = np.array([each is Placed.AT_STATION for each in shape.placed], dtype=bool)
    return Outline(
        Shape(
            shape.length,
            kept.distances,
            kept.diameters,
            errors,
            inner,
            np.where(held, tape, 0.0),
            loose,
        )
    )
