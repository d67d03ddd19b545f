"""The blades across the first plot: where a line is to be cut."""

from __future__ import annotations

import pyqtgraph as pg
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPolygonF

from taperlab.gui.kit.theme import pen
from taperlab.gui.plots.grips import NEAR
from taperlab.gui.plots.marks import Mark
from taperlab.gui.plots.stage import Stage


class Blades(Mark):
    """Up to two blades, the front one first: upright lines, with a grip on top to drag them by.

    held: the number of the one moved last.
    """

    def __init__(self, stage: Stage, scene: pg.GraphicsScene) -> None:
        super().__init__(scene, stage.theme, 18.0)
        self._stage = stage
        self.positions: tuple[float, ...] = ()
        self.held = 0

    def put(self, positions: tuple[float, ...]) -> None:
        """Stand at these positions [SI], the front one first."""
        self.positions = positions
        self.held = min(self.held, max(0, len(positions) - 1))
        self.place()

    def move(self, position: float) -> float:
        """Move the held blade, as far as its neighbour or the end of the line; where it is now."""
        blades, held = list(self.positions), self.held
        least = blades[held - 1] if held else 0.0
        most = blades[held + 1] if held + 1 < len(blades) else self._stage.chart.reach
        blades[held] = min(max(position, least), most)
        self.put(tuple(blades))
        return blades[held]

    def at(self, point: QPointF) -> int | None:
        """Which blade can be taken hold of at a scene point, the nearest if there are two."""
        if self._stage.is_empty:
            return None
        panel = self._stage.first
        if not panel.rect.adjusted(-NEAR, -4.0, NEAR, 4.0).contains(point):
            return None
        far = [
            (abs(point.x() - panel.across(at)), number)
            for number, at in enumerate(self.positions)
            if self._stage.range.holds(at)
        ]
        return min(far)[1] if far and min(far)[0] <= NEAR else None

    def _in_sight(self) -> list[float]:
        return [each for each in self.positions if self._stage.range.holds(each)]

    def place(self) -> None:
        """Stand where the plot is now."""
        seen = [] if self._stage.is_empty else self._in_sight()
        self.setVisible(bool(seen))
        if seen:
            panel = self._stage.first
            names = [name.where for name in panel.over.names]
            self.cover(panel.rect.adjusted(-8.0, -1.0, 8.0, 1.0), seen, panel.x_range, names)

    def draw(self, painter: QPainter) -> None:
        """Draw lines and grips."""
        panel = self._stage.first
        for at in self._in_sight():
            x, top = panel.across(at), panel.rect.top()
            painter.setPen(pen(self.tokens.bad, 2.0))
            painter.drawLines(panel.uprights(x))
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(self.tokens.bad))
            corners = QPointF(x - 7, top), QPointF(x + 7, top), QPointF(x, top + 9)
            painter.drawPolygon(QPolygonF(corners))
