"""Numbers as scripts get them."""

from __future__ import annotations

import math

from taperlab.units.kinds import Kind
from taperlab.units.show import to_unit


def figure(value: float | None, unit: str, kind: Kind) -> float | None:
    """SI value in a unit, to twelve figures, so that 160 gr is 160.0; None if there is none."""
    found = plain(value)
    return None if found is None else float(f"{to_unit(found, unit, kind):.12g}")


def plain(value: float | None) -> float | None:
    """A number as it is; None if there is none, or if it is not finite."""
    return None if value is None or not math.isfinite(value) else float(value)
