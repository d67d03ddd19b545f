"""The plots that share an axis: which there are, where they lie, which stretch of them is seen."""

from __future__ import annotations

import math

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF

from taperlab.gui.kit.theme import Theme, Tokens, px
from taperlab.gui.plots.axis import step_for
from taperlab.gui.plots.brackets import BracketStrip
from taperlab.gui.plots.chart import Chart
from taperlab.gui.plots.ink import Span
from taperlab.gui.plots.marks import AcrossAxis, Frame, TickStrip
from taperlab.gui.plots.panel import LEFT, RIGHT, Panel
from taperlab.units.kinds import System

GAP = 6.0
"""Between plots, in pixels."""

LEAST = 44
"""Height of a plot in which something can be told, for usual letters [px]."""

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


class Stage:
    """The chart that is shown, the units and colours it is shown in, and a panel for each plot.

    panels: by the key of their plot; those whose plot is not in the chart are hidden.
    """

    def __init__(self, scene: pg.GraphicsScene, theme: Theme, system: System) -> None:
        self.theme = theme
        self.system = system
        self.chart = Chart()
        self.range = ViewRange()
        self.panels: dict[str, Panel] = {}
        self.axis, self.above = AcrossAxis(scene, theme), TickStrip(scene, theme)
        self.brackets = BracketStrip(scene, theme)
        self._scene = scene
        self._laid_out: object = None
        self._ruled: object = None

    @property
    def tokens(self) -> Tokens:
        """The colours in force."""
        return self.theme.tokens

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to draw."""
        return not self.chart.plots

    @property
    def shown(self) -> list[Panel]:
        """The panels on screen, from top to bottom."""
        return [self.panels[plot.key] for plot in self.chart.plots]

    @property
    def first(self) -> Panel:
        """The panel at the top; there is one unless the stage is empty."""
        return self.panels[self.chart.plots[0].key]

    def panel_at(self, point: QPointF) -> Panel | None:
        """The panel at a scene point, or just beside it."""
        for panel in self.shown:
            if panel.rect.adjusted(-8.0, -8.0, 8.0, 8.0).contains(point):
                return panel
        return None

    def show_chart(self, chart: Chart) -> None:
        """Show this; panels for plots never seen before are made now."""
        self.chart = chart
        for plot in chart.plots:
            if plot.key not in self.panels:
                self.panels[plot.key] = Panel(plot, self._scene, self.theme)
            self.panels[plot.key].show_plot(plot)
        keys = {plot.key for plot in chart.plots}
        for key, panel in self.panels.items():
            panel.set_shown(key in keys)

    def use_system(self, system: System) -> None:
        """Show another system's units."""
        self.system = system
        self.range.forget_heights()

    def least_height(self) -> int:
        """Below which nothing can be told from the plots [px]."""
        strip = px(TickStrip.HEIGHT) if self.chart.above else 0
        one = px(Frame.CAPTION) + px(LEAST) + round(GAP)
        strip += px(BracketStrip.HEIGHT) if self.chart.stretches else 0
        return px(AcrossAxis.HEIGHT) + strip + len(self.chart.plots) * one

    def arrange(self, width: float, height: float) -> None:
        """Lay the plots out in a scene of this size [px]."""
        plots = self.chart.plots
        caption, below = px(Frame.CAPTION), px(AcrossAxis.HEIGHT)
        above, under = bool(self.chart.above), bool(self.chart.stretches)
        wanted = (width, height, above, under, caption, [(p.key, p.share) for p in plots])
        if wanted == self._laid_out or not plots:
            return
        self._laid_out = wanted
        strip = px(TickStrip.HEIGHT) if above else 0.0
        left, room = px(LEFT), height - below - strip - len(plots) * caption
        brackets = px(BracketStrip.HEIGHT) if under else 0.0
        room -= GAP * (len(plots) - 1) + brackets
        whole = sum(plot.share for plot in plots)
        top = strip
        for plot in plots:
            top += caption
            tall = max(20.0, float(round(room * plot.share / whole)))
            self.panels[plot.key].place(QRectF(left, top, max(60.0, width - left - RIGHT), tall))
            top += tall + GAP + (brackets if plot is plots[0] else 0.0)

    def fit(self, *, shrink: bool) -> None:
        """Let the axes hold what is shown."""
        chart = self.chart
        if self.is_empty:
            return
        self.range.reach(chart.reach, chart.across.size(self.system), shrink=shrink)
        for panel in self.shown:
            spans = [span for ink in panel.inks if (span := ink.upright)]
            low = min((span[0] for span in spans), default=0.0)
            high = max((span[1] for span in spans), default=0.0)
            needed = panel.plot.axis.holding(low, high, self.system)
            panel.look_at(self.range.span, self.range.height(panel.plot.key, needed, shrink=shrink))
        seen = [(p.plot.key, p.plot.axis, p.rect, p.x_range, p.y_range) for p in self.shown]
        wanted = (seen, chart.across, self.system)
        if wanted != self._ruled:
            self._ruled = wanted
            for panel in self.shown:
                panel.rule(chart.across, self.system)

    def draw_axes(self) -> None:
        """Captions, labels, ticks above: where they belong now."""
        chart, shown = self.chart, self.shown
        if not shown:
            return
        strip = px(TickStrip.HEIGHT) if chart.above else 0.0
        for panel in shown:
            panel.draw_frame(strip if panel is shown[0] else 0.0, self.system)
        panel = shown[0]
        rect, bottom = panel.rect, shown[-1].rect.bottom()
        self.axis.show_axis(
            QRectF(rect.left() - 30.0, bottom, rect.width() + 30.0 + RIGHT, px(AcrossAxis.HEIGHT)),
            [(panel.across(at), text) for at, text in panel.x_ticks],
            chart.across.title(self.system),
        )
        self.brackets.setVisible(bool(chart.stretches))
        if chart.stretches:
            under = QRectF(rect.left(), rect.bottom(), rect.width(), px(BracketStrip.HEIGHT))
            self.brackets.show_stretches(under, chart.stretches, panel)
        self.above.setVisible(bool(strip))
        if strip:
            self.above.show_marks(
                QRectF(rect.left(), rect.top() - strip, rect.width(), strip),
                [(panel.across(at), text) for at, text in chart.above],
            )
