"""The panels, what is shown on them, and which stretch of it is seen."""

from __future__ import annotations

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF

from taperlab.gui.kit.theme import Theme, Tokens
from taperlab.gui.plots.drawing import Drawing, Laid
from taperlab.gui.plots.marks import DistanceAxis, Frame, RodMarks
from taperlab.gui.plots.panel import LEFT, RIGHT, Panel
from taperlab.gui.plots.scales import Plot
from taperlab.gui.plots.view_range import ViewRange, needed_height
from taperlab.shop.analyse import LineAnalysis
from taperlab.units.kinds import System

SHARES = {Plot.OUTLINE: 0.28, Plot.WEIGHT: 0.38, Plot.RUNNING: 0.34, Plot.SINK: 0.30}
"""Heights of the plots, one to another."""

GAP = 6.0
"""Room between two plots, in pixels."""

MANY = 60
"""Segments beyond which only the handles near the pointer are shown."""


class Stage:
    """All that draws on the plots, or reads a place off them, looks here and keeps no copy."""

    def __init__(self, scene: pg.GraphicsScene, theme: Theme, system: System) -> None:
        self.theme = theme
        self.system = system
        self.drawing = Drawing()
        self.shadow: Laid | None = None
        self.range = ViewRange()
        self.panels = {plot: Panel(plot, scene, system) for plot in Plot}

    @property
    def tokens(self) -> Tokens:
        """The colours in force."""
        return self.theme.tokens

    @property
    def line(self) -> LineAnalysis | None:
        """The line in hand, if it has any segments to draw."""
        analysis = self.drawing.analysis
        return analysis if analysis is not None and analysis.segments else None

    @property
    def crowded(self) -> bool:
        """Whether the line has too many segments to show every handle."""
        return self.line is not None and len(self.line.segments) > MANY

    @property
    def longest(self) -> float:
        """How far the longest of the lines shown reaches [m]."""
        own = self.drawing.analysis
        return max(
            (
                analysis.length + (self.drawing.start if analysis is own else 0.0)
                for analysis in self._analyses()
            ),
            default=1.0,
        )

    def shown_panels(self) -> list[Panel]:
        """The panels on screen, from top to bottom."""
        return [panel for panel in self.panels.values() if panel.shown]

    def panel_at(self, point: QPointF) -> Panel | None:
        """The panel at a scene point, or just beside it."""
        for panel in self.shown_panels():
            if panel.rect.adjusted(-8.0, -8.0, 8.0, 8.0).contains(point):
                return panel
        return None

    def use_system(self, system: System) -> None:
        """Show another system's units; what is drawn must be drawn again."""
        self.system = system
        for panel in self.panels.values():
            panel.use_system(system)
        self.range.forget_heights()

    def arrange(self, width: float, height: float) -> None:
        """Lay the shown panels out in a scene of this size, in pixels."""
        shown = self.shown_panels()
        marks = RodMarks.HEIGHT if self.drawing.rod_length else 0.0
        room = height - DistanceAxis.HEIGHT - marks - len(shown) * Frame.CAPTION
        room -= GAP * (len(shown) - 1)
        whole = sum(SHARES[panel.plot] for panel in shown)
        top = 0.0
        for panel in shown:
            top += Frame.CAPTION + (marks if panel.plot is Plot.OUTLINE else 0.0)
            tall = max(20.0, float(round(room * SHARES[panel.plot] / whole)))
            panel.place(QRectF(LEFT, top, max(60.0, width - LEFT - RIGHT), tall))
            top += tall + GAP

    def fit(self, *, shrink: bool) -> bool:
        """Let the axes hold what is shown. Whether that changes any of them."""
        analyses = self._analyses()
        if not analyses:
            return False
        unit = self.panels[Plot.OUTLINE].distance.unit
        self.range.reach(self.longest, unit, shrink=shrink)
        low, high = self.range.span
        changed = False
        for panel in self.shown_panels():
            scale = panel.scale.unit
            bottom, top = needed_height(panel.plot, analyses, self.drawing.window, scale)
            needed = (bottom / scale, top / scale)
            height = self.range.height(panel.plot, needed, shrink=shrink)
            changed |= panel.look_at((low / unit, high / unit), height)
        return changed

    def _analyses(self) -> list[LineAnalysis]:
        found = [self.drawing.analysis, *(laid.analysis for laid in self.drawing.laid)]
        if self.shadow:
            found.append(self.shadow.analysis)
        return [analysis for analysis in found if analysis is not None and analysis.segments]
