"""The view that the plots live in. It hands the mouse on and does nothing of its own."""

from __future__ import annotations

from typing import Protocol

import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QGraphicsView, QWidget


class MouseUser(Protocol):
    """What acts on the mouse; all points are scene points."""

    def mouse_pressed(self, point: QPointF) -> None:
        """The left button went down."""

    def mouse_moved(self, point: QPointF, held: bool, modifiers: Qt.KeyboardModifier) -> None:
        """The pointer moved, with the left button held or not."""

    def mouse_released(self) -> None:
        """The left button went up."""

    def mouse_doubled(self, point: QPointF) -> None:
        """The left button was pressed twice."""

    def mouse_left(self) -> None:
        """The pointer is elsewhere."""

    def wheel_turned(self, point: QPointF, across: int, upright: int) -> None:
        """The wheel turned, in eighths of a degree."""

    def canvas_resized(self) -> None:
        """The view has another size."""


class Canvas(pg.GraphicsView):
    """One scene for all plots, in pixels; without menus, buttons or gestures of its own.

    user: who acts on the mouse; it is given before the first event comes.
    """

    user: MouseUser

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent=parent)
        self.setCacheMode(QGraphicsView.CacheModeFlag.CacheNone)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.NoContextMenu)
        # Every item sets its own pens and hints, so the view need not guard them.
        self.setOptimizationFlag(QGraphicsView.OptimizationFlag.DontAdjustForAntialiasing, True)

    def _at(self, event: QMouseEvent | QWheelEvent) -> QPointF:
        return self.mapToScene(event.position().toPoint())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Hand it on."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.user.mouse_pressed(self._at(event))
            event.accept()
        else:
            event.ignore()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Hand it on."""
        held = bool(event.buttons() & Qt.MouseButton.LeftButton)
        self.user.mouse_moved(self._at(event), held, event.modifiers())
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Hand it on."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.user.mouse_released()
            event.accept()
        else:
            event.ignore()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Hand it on."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.user.mouse_doubled(self._at(event))
        event.accept()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Hand it on."""
        turn = event.angleDelta()
        self.user.wheel_turned(self._at(event), turn.x(), turn.y())
        event.accept()

    def leaveEvent(self, event: QEvent) -> None:
        """Hand it on."""
        self.user.mouse_left()

    def keyPressEvent(self, event: object) -> None:
        """Leave keys to the widget round this view."""
        event.ignore()

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Hand it on."""
        super().resizeEvent(event)
        if event is not None:
            self.user.canvas_resized()
