"""What can be taken hold of on the plots."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from taperlab.gui.kit.theme import pen
from taperlab.gui.plots.marks import Mark
from taperlab.gui.plots.stage import Stage

NEAR = 8.0
"""A handle this near to the pointer is hit, in pixels."""

CLOSE_BY = 40.0
"""Where not all handles are shown, those this near to the pointer are, in pixels."""

MANY = 60
"""With more handles on a plot than this, only those near the pointer are shown."""


class Side(Enum):
    """Which side of its place a handle is about: ahead (nearer the fly end), behind, or both."""

    AHEAD = "ahead"
    BEHIND = "behind"
    BOTH = "both"


Key = tuple[str, int, Side]
"""What stays the same while a handle moves."""


@dataclass(frozen=True, slots=True)
class Handle:
    """A handle that can be dragged, as a value.

    plot: the key of its plot. index: its number along the line; handles of one number on several
    plots are the same place. position, value: where it lies [SI]. held: it stays where it is,
    which is shown by a padlock. along, across: whether it can be dragged that way. origin: where
    the steps that a drag along goes by are counted from [SI].
    """

    plot: str
    index: int
    side: Side
    position: float
    value: float
    held: bool = False
    along: bool = True
    across: bool = True
    origin: float = 0.0

    @property
    def key(self) -> Key:
        """What stays the same while the handle moves."""
        return self.plot, self.index, self.side


class Grips(Mark):
    """The handles, round; full and with a padlock where one is held.

    chosen: the current one, or chosen by key. hovered: the one below the pointer. points: where
    they are drawn in the scene, and whether held; large: the current one or pointed at.
    """

    RADIUS, SMALL, LARGE = 4.0, 2.5, 5.5
    ROOM = 26.0
    """Handles with less room than this beside each other, in pixels, are drawn small."""

    def __init__(self, stage: Stage, scene: pg.GraphicsScene) -> None:
        super().__init__(scene, stage.theme, 15.0)
        self._stage = stage
        self.handles: tuple[Handle, ...] = ()
        self.chosen: Key | None = None
        self.hovered: Key | None = None
        self.points: list[tuple[QPointF, bool]] = []
        self.large: tuple[QPointF, bool] | None = None
        self._ringed = False

    @property
    def in_hand(self) -> Handle | None:
        """The chosen handle as it is now."""
        return self.find(self.chosen)

    @property
    def crowded(self) -> bool:
        """Whether there are too many handles to show them all."""
        return len(self.handles) > MANY * len({handle.plot for handle in self.handles})

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

    def place(self, mouse: QPointF | None, *, focused: bool) -> None:
        """Show the handles in sight; of very many, only the one nearest to the mouse."""
        stage = self._stage
        lead = self.find(self.chosen) or self.find(self.hovered)
        seen = [each for each in self.handles if stage.range.holds(each.position)]
        self.points = [(self.point_of(each), each.held) for each in seen if each is not lead]
        if self.crowded:
            self.points = _nearest(self.points, mouse)
        self.large = (self.point_of(lead), lead.held) if lead in seen and lead else None
        self._ringed = focused and self.chosen is not None
        rect = QRectF()
        for key in {handle.plot for handle in self.handles}:
            rect = rect.united(stage.panels[key].rect)
        self.cover(rect.adjusted(-10.0, -22.0, 10.0, 10.0))
        self.update()

    def draw(self, painter: QPainter) -> None:
        """Draw the handles."""
        crowded = len(self.points) / 2.0 * self.ROOM > self._rect.width()
        radius = self.SMALL if crowded else self.RADIUS
        for point, held in self.points:
            painter.setPen(pen(self.tokens.ink, 1.4))
            painter.setBrush(QColor(self.tokens.accent if held else self.tokens.card))
            painter.drawEllipse(point, radius, radius)
            if held:
                self._draw_lock(painter, point)
        if self.large is not None:
            point, held = self.large
            painter.setPen(pen(self.tokens.card, 1.5))
            painter.setBrush(QColor(self.tokens.accent))
            painter.drawEllipse(point, self.LARGE + 0.5, self.LARGE + 0.5)
            if held:
                self._draw_lock(painter, point)
            if self._ringed:
                painter.setPen(pen(self.tokens.accent, 1.5))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawEllipse(point, self.LARGE + 4.0, self.LARGE + 4.0)

    def _draw_lock(self, painter: QPainter, below: QPointF) -> None:
        """A small padlock: held is told by shape as well as by colour."""
        middle = below - QPointF(0.0, 15.0)
        painter.setPen(pen(self.tokens.ink, 1.3))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawArc(QRectF(middle.x() - 2.5, middle.y() - 5.0, 5.0, 6.0), 0, 180 * 16)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(self.tokens.ink))
        painter.drawRoundedRect(QRectF(middle.x() - 4.0, middle.y() - 2.0, 8.0, 6.0), 1.0, 1.0)


def _nearest(
    points: list[tuple[QPointF, bool]], mouse: QPointF | None
) -> list[tuple[QPointF, bool]]:
    """The one point nearest to the mouse, if any is close by."""
    if mouse is None:
        return []
    close = [each for each in points if (each[0] - mouse).manhattanLength() <= CLOSE_BY]
    return [min(close, key=lambda each: _far(each[0], mouse))] if close else []


def _far(one: QPointF, other: QPointF) -> float:
    gap = one - other
    return math.hypot(gap.x(), gap.y())
