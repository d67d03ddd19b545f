"""Which stretch of each axis is seen: the whole of what is shown, or a part of it."""

from __future__ import annotations

import math

from taperlab.gui.plots.axis import step_for
from taperlab.gui.plots.ink import Span

NARROWEST = 1.0 / 400.0
"""The shortest stretch of the shared axis that is looked at, as a share of all of it."""


class ViewRange:
    """The stretch of the shared axis that is seen [SI], and the heights of the plots.

    Axes grow at once, but shrink only where that is allowed: not under a handle being dragged.
    """

    def __init__(self) -> None:
        self._zoom: Span | None = None
        self._full = 1.0
        self._heights: dict[str, Span] = {}

    @property
    def zoomed(self) -> bool:
        """Whether only a part of the whole is seen."""
        return self._zoom is not None

    @property
    def whole(self) -> Span:
        """Both ends of the axis when all of it is seen."""
        return -0.014 * self._full, 1.006 * self._full

    @property
    def span(self) -> Span:
        """Both ends of what is seen."""
        return self._zoom if self._zoom is not None else self.whole

    def holds(self, position: float) -> bool:
        """Whether a position is in sight."""
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
        """See ``width`` of the axis from ``low`` on, as far as there is axis."""
        first, last = self.whole
        width = max(width, NARROWEST * (last - first))
        if width >= (last - first) * (1.0 - 1e-9):
            self._zoom = None
        else:
            low = min(max(low, first), last - width)
            self._zoom = (low, low + width)

    def reach(self, longest: float, unit: float, *, shrink: bool) -> None:
        """Let the axis reach so far, to a round number of its unit [SI]."""
        longest /= unit
        step = step_for(longest, 40)
        full = math.ceil(longest * 1.003 / step - 1e-9) * step * unit
        if shrink or full > self._full:
            self._full = full
        first, last = self.whole
        if self._zoom and self._zoom[1] > last:
            width = self._zoom[1] - self._zoom[0]
            self._zoom = (last - width, last) if last - width > first else None

    def height(self, plot: str, needed: Span, *, shrink: bool) -> Span:
        """Lower and upper end of a plot that needs at least these."""
        bottom, top = needed
        if not shrink and plot in self._heights:
            bottom = min(bottom, self._heights[plot][0])
            top = max(top, self._heights[plot][1])
        self._heights[plot] = (bottom, top)
        return bottom, top
