"""Which stretch of each axis is seen: the whole of the lines shown, or a part of them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from taperlab.gui.plots.scales import Plot, values
from taperlab.gui.plots.ticks import step_for
from taperlab.model.rod import Window
from taperlab.shop.analyse import LineAnalysis

NARROWEST = 0.15
"""The shortest stretch of the distance axis that is looked at [m]."""


class ViewRange:
    """The stretch of the distance axis that is seen [m], and the heights of the plots.

    Axes grow at once, but shrink only where that is allowed: not under a handle being dragged.
    """

    def __init__(self) -> None:
        self._zoom: tuple[float, float] | None = None
        self._full = 1.0
        self._heights: dict[Plot, tuple[float, float]] = {}

    @property
    def zoomed(self) -> bool:
        """Whether only a part of the whole is seen."""
        return self._zoom is not None

    @property
    def whole(self) -> tuple[float, float]:
        """Both ends of the axis when all of it is seen [m]."""
        return -0.014 * self._full, 1.006 * self._full

    @property
    def span(self) -> tuple[float, float]:
        """Both ends of what is seen [m]."""
        return self._zoom if self._zoom is not None else self.whole

    def holds(self, position: float) -> bool:
        """Whether a position [m] is in sight."""
        low, high = self.span
        return low <= position <= high

    def see_whole(self) -> None:
        """See all of the axis, and let the heights shrink."""
        self._zoom = None
        self.forget_heights()

    def forget_heights(self) -> None:
        """Let the heights shrink; other units need others."""
        self._heights.clear()

    def look(self, low: float, width: float) -> None:
        """See ``width`` of the axis from ``low`` on [m], as far as there is axis."""
        first, last = self.whole
        width = max(width, NARROWEST)
        if width >= (last - first) * (1.0 - 1e-9):
            self._zoom = None
        else:
            low = min(max(low, first), last - width)
            self._zoom = (low, low + width)

    def reach(self, longest: float, unit: float, *, shrink: bool) -> None:
        """Let the axis hold a line of this length [m], to a round number of its unit [m]."""
        longest /= unit
        step = step_for(longest, 40)
        full = float(np.ceil(longest * 1.003 / step - 1e-9) * step * unit)
        if shrink or full > self._full:
            self._full = full
        first, last = self.whole
        if self._zoom and self._zoom[1] > last:
            width = self._zoom[1] - self._zoom[0]
            self._zoom = (last - width, last) if last - width > first else None

    def height(
        self, plot: Plot, needed: tuple[float, float], *, shrink: bool
    ) -> tuple[float, float]:
        """Lower and upper end of a plot that needs at least these, in any one unit."""
        bottom, top = needed
        if not shrink and plot in self._heights:
            bottom = min(bottom, self._heights[plot][0])
            top = max(top, self._heights[plot][1])
        self._heights[plot] = (bottom, top)
        room = 0.0 if plot is Plot.OUTLINE else (top - bottom) * 0.035
        return bottom - room, top + room


def needed_height(
    plot: Plot, analyses: Sequence[LineAnalysis], window: Window | None, unit: float
) -> tuple[float, float]:
    """Lowest and highest value [SI] that a plot must hold, rounded so as to change seldom.

    unit: one unit of the plot's axis [SI].
    """
    curves = [values(analysis.curves, plot) for analysis in analyses]
    top = max(float(curve.max()) for curve in curves)
    bottom = 0.0
    if plot is Plot.SINK:
        bottom = min(0.0, *(float(curve.min()) for curve in curves))
        top = max(0.0, top)
    if plot is Plot.RUNNING and window:
        top = max(top, window.heaviest)
    if top - bottom <= 0.0:
        top = bottom + unit
    room = 1.16 if plot is Plot.OUTLINE else 1.05
    step = step_for((top - bottom) / unit * room, 12) * unit
    top = float(np.ceil(top * room / step - 1e-9) * step)
    bottom = float(np.floor(bottom * room / step + 1e-9) * step)
    return (-top if plot is Plot.OUTLINE else bottom), top
