"""The one scale of depths that all rows of the table share, told in its heading."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from PySide6.QtCore import QRectF

from taperlab.gui.plots.axis import step_for, tick_text
from taperlab.shop.tips.study import TipRow
from taperlab.units.kinds import DEPTH, System
from taperlab.units.show import from_unit, to_unit

LEAST = 0.3
"""The scale goes down to so much at the least [m]."""

_MARKS = 4


@dataclass(frozen=True, slots=True)
class DepthScale:
    """Depths from the surface to ``end`` [m], ruled in a unit system."""

    end: float = 1.0
    system: System = System.US

    @classmethod
    def of(cls, rows: Iterable[TipRow], system: System) -> DepthScale:
        """A scale that holds the bands of all rows, to a round number."""
        found = [LEAST]
        for row in rows:
            band = row.water.band
            found += [end for end in (band.low, band.high) if math.isfinite(end)]
        unit = DEPTH.shown(system).unit
        top = to_unit(max(found), unit, DEPTH)
        step = step_for(top, _MARKS)
        return cls(from_unit(math.ceil(top / step - 1e-9) * step, unit, DEPTH), system)

    def ticks(self) -> list[tuple[float, str]]:
        """Round depths along it [m], and what is written at each."""
        unit = DEPTH.shown(self.system).unit
        top = to_unit(self.end, unit, DEPTH)
        step = step_for(top, _MARKS)
        count = int(top / step + 1e-9)
        return [
            (from_unit(i * step, unit, DEPTH), tick_text(i * step, step)) for i in range(count + 1)
        ]

    def place(self, depth: float, room: QRectF) -> float:
        """Where a depth [m] lies in a cell, or in the heading above it [px]."""
        return room.left() + 1.0 + depth / self.end * (room.width() - 2.0)
