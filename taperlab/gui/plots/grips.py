"""The handles as they lie on the plots: which is chosen, which is hit, how they are drawn."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF

from taperlab.gui.plots.handles import Handle, Side
from taperlab.gui.plots.marks import HandleMarks
from taperlab.gui.plots.scales import Plot
from taperlab.gui.plots.stage import Stage

NEAR = 8.0
"""A handle or blade this near to the pointer is hit, in pixels."""

CLOSE_BY = 40.0
"""Where not all handles are shown, those this near to the pointer are, in pixels."""

Key = tuple[Plot, int, Side]


class Grips:
    """chosen: the handle in hand, or chosen by key. hovered: the one below the pointer."""

    def __init__(self, stage: Stage, scene: pg.GraphicsScene) -> None:
        self._stage = stage
        self.handles: tuple[Handle, ...] = ()
        self.chosen: Key | None = None
        self.hovered: Key | None = None
        self.mark = HandleMarks()
        scene.addItem(self.mark)

    @property
    def in_hand(self) -> Handle | None:
        """The chosen handle as it is now."""
        return self.find(self.chosen)

    def find(self, key: Key | None) -> Handle | None:
        """The handle with a key, or what it has become."""
        if key is None:
            return None
        exact = [handle for handle in self.handles if handle.key == key]
        # A drag can make two ends equal, or no longer so: the handle then has another side.
        near = [handle for handle in self.handles if handle.key[:2] == key[:2]]
        return next(iter(exact or near), None)

    def point_of(self, handle: Handle) -> QPointF:
        """Where a handle lies in the scene."""
        return self._stage.panels[handle.plot].point(handle.position, handle.value)

    def hit(self, point: QPointF) -> Handle | None:
        """The handle at a scene point, the nearest if there are several."""
        best, least = None, NEAR
        for handle in self.handles:
            if self._stage.range.holds(handle.position):
                far = _far(self.point_of(handle), point)
                if far <= least:
                    best, least = handle, far
        return best

    def draw(self, mouse: QPointF | None, *, focused: bool) -> None:
        """Draw the handles in sight; of very many, only the one nearest to the mouse."""
        stage = self._stage
        lead = self.find(self.chosen) or self.find(self.hovered)
        points = [
            self.point_of(handle)
            for handle in self.handles
            if stage.range.holds(handle.position) and handle is not lead
        ]
        if stage.crowded:
            points = _nearest(points, mouse)
        large = self.point_of(lead) if lead and stage.range.holds(lead.position) else None
        rect = stage.panels[Plot.OUTLINE].rect.united(stage.panels[Plot.WEIGHT].rect)
        self.mark.show_handles(
            rect.adjusted(-10.0, -10.0, 10.0, 10.0),
            points,
            large,
            focused and self.chosen is not None,
        )


def _nearest(points: list[QPointF], mouse: QPointF | None) -> list[QPointF]:
    """The one point nearest to the mouse, if any is close by."""
    if mouse is None:
        return []
    close = [point for point in points if (point - mouse).manhattanLength() <= CLOSE_BY]
    return [min(close, key=lambda point: _far(point, mouse))] if close else []


def _far(one: QPointF, other: QPointF) -> float:
    gap = one - other
    return float(np.hypot(gap.x(), gap.y()))
