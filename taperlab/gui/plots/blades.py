"""The blades across the first plot: where a line is to be cut."""

from __future__ import annotations

import pyqtgraph as pg
from PySide6.QtCore import QPointF

from taperlab.gui.plots.grips import NEAR
from taperlab.gui.plots.marks import Blade
from taperlab.gui.plots.stage import Stage


class Blades:
    """Up to two blades, the front one first. held: the number of the one moved last."""

    def __init__(self, stage: Stage, scene: pg.GraphicsScene) -> None:
        self._stage = stage
        self.positions: tuple[float, ...] = ()
        self.draggable = False
        self.held = 0
        self.marks = (Blade(), Blade())
        for mark in self.marks:
            scene.addItem(mark)

    def put(self, positions: tuple[float, ...], *, draggable: bool) -> None:
        """Stand at these positions [SI]."""
        self.positions, self.draggable = positions, draggable
        self.held = min(self.held, max(0, len(positions) - 1))
        self.draw()

    def move(self, position: float) -> float:
        """Move the held blade, as far as its neighbour or the end of the line; where it is now."""
        blades, held = list(self.positions), self.held
        least = blades[held - 1] if held else 0.0
        most = blades[held + 1] if held + 1 < len(blades) else self._stage.chart.reach
        blades[held] = min(max(position, least), most)
        self.put(tuple(blades), draggable=True)
        return blades[held]

    def at(self, point: QPointF) -> int | None:
        """Which blade can be taken hold of at a scene point, the nearest if there are two."""
        if not self.draggable or self._stage.is_empty:
            return None
        panel = self._stage.first
        if not panel.rect.adjusted(-NEAR, -4.0, NEAR, 4.0).contains(point):
            return None
        far = [
            (abs(point.x() - panel.across(at)), number)
            for number, at in enumerate(self.positions)
            if self.marks[number].isVisible()
        ]
        return min(far)[1] if far and min(far)[0] <= NEAR else None

    def draw(self) -> None:
        """Draw the blades in sight."""
        for number, mark in enumerate(self.marks):
            at = self.positions[number] if number < len(self.positions) else None
            if at is None or self._stage.is_empty or not self._stage.range.holds(at):
                mark.hide()
            else:
                panel = self._stage.first
                x = panel.across(at)
                mark.show_at(x, panel.rect, panel.uprights(x), self.draggable)
