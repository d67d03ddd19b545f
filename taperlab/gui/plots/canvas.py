"""What the mouse does on the plots: it drags a handle, a blade or the axis, or it only points."""

from __future__ import annotations

from enum import Enum, auto

from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import QCursor, QKeyEvent, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QWidget

from taperlab.gui.kit.theme import Theme
from taperlab.gui.plots.grips import Handle
from taperlab.gui.plots.panel import Panel
from taperlab.gui.plots.surface import Drag, Surface
from taperlab.units.kinds import System

SLACK = 3.0
"""A press that moves less than this is no drag, in pixels."""


class Held(Enum):
    """What a press took hold of."""

    NOTHING = auto()
    HANDLE = auto()
    BLADE = auto()
    AXIS = auto()


class Canvas(Surface):
    """The plots, with the mouse. doubled(position [SI], Handle | None): pressed twice there."""

    doubled = Signal(float, object)

    def __init__(self, theme: Theme, system: System, parent: QWidget) -> None:
        super().__init__(theme, system, parent)
        self._press: QPointF | None = None
        self._held = Held.NOTHING
        self._grabbed: Handle | None = None
        self._offset = QPointF()
        self._moved = False

    @property
    def is_dragging(self) -> bool:
        """Whether a handle is being dragged."""
        return self._grabbed is not None and self._moved

    def let_go(self) -> None:
        """Forget what is held, without a word."""
        self._press, self._grabbed, self._moved, self._held = None, None, False, Held.NOTHING

    def place_at(self, point: QPointF) -> float:
        """The position [SI] at a scene point, as far as is seen."""
        return self._position(self.stage.first, point)

    # -- Qt ------------------------------------------------------------------------------------

    def _at(self, event: QMouseEvent | QWheelEvent) -> QPointF:
        return QPointF(self.mapToScene(event.position().toPoint()))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of a blade, a handle, or the axis."""
        if event.button() != Qt.MouseButton.LeftButton or self.stage.is_empty:
            event.ignore()
            return
        event.accept()
        self.parentWidget().setFocus(Qt.FocusReason.MouseFocusReason)
        point = self._at(event)
        self._press, self._moved, self._grabbed = point, False, None
        self._held = Held.AXIS if self.stage.range.zoomed else Held.NOTHING
        blade = self.blades.at(point)
        if blade is not None:
            self._held, self.blades.held = Held.BLADE, blade
            return
        handle = self.grips.hit(point)
        self.grips.chosen = handle.key if handle else None
        if handle:
            self._held, self._grabbed = Held.HANDLE, handle
            self._offset = self.grips.point_of(handle) - point
        self.draw_handles()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag what is held, or let the crosshair follow."""
        event.accept()
        if self.stage.is_empty:
            return
        point = self._mouse_at = self._at(event)
        if event.buttons() & Qt.MouseButton.LeftButton and self._press is not None:
            if not self._moved:
                if (point - self._press).manhattanLength() < SLACK:
                    return
                self._moved = True
                if self._grabbed is not None:
                    self.handle_grabbed.emit(self._grabbed)
            if self._held is Held.HANDLE:
                self._drag_handle(point, event.modifiers())
                return
            if self._held is Held.BLADE:
                self._drag_blade(point, event.modifiers())
                return
            if self._held is Held.AXIS:
                self._drag_axis(point)
                return
        self._hover(point)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        if event.button() != Qt.MouseButton.LeftButton:
            event.ignore()
            return
        event.accept()
        dragged = self.is_dragging
        self.let_go()
        if dragged:
            self.handle_released.emit()
            self.end_drag()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Tell where, and of what."""
        event.accept()
        if event.button() != Qt.MouseButton.LeftButton or self.stage.is_empty:
            return
        point = self._at(event)
        self.doubled.emit(self.place_at(point), self.grips.hit(point))

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom round the pointer, or shift sideways."""
        event.accept()
        if self.stage.is_empty:
            return
        turn, point, seen = event.angleDelta(), self._at(event), self.stage.range
        low, high = seen.span
        if abs(turn.x()) > abs(turn.y()):
            if seen.zoomed:
                self.look(low - turn.x() / 1200.0 * (high - low), high - low)
        elif turn.y():
            self.zoom(0.9985 ** turn.y(), self.place_at(point))
        self._hover(point)

    def leaveEvent(self, event: QEvent) -> None:
        """Take the crosshair away."""
        self._mouse_at = None
        if not self.is_dragging and not self.stage.is_empty:
            self.grips.hovered = None
            self.draw_handles()
            self.point_at(None)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave keys to the widget round this view."""
        event.ignore()

    # -- dragging and pointing -----------------------------------------------------------------

    def _drag_handle(self, point: QPointF, modifiers: Qt.KeyboardModifier) -> None:
        grabbed, press = self._grabbed, self._press
        handle = self.grips.find(grabbed.key) if grabbed else None
        if grabbed is None or handle is None or press is None:
            return
        panel = self.stage.panels[handle.plot]
        at = point + self._offset
        position, value = max(0.0, panel.position_at(at.x())), panel.value_at(at.y())
        if panel.plot.axis.mirrored:
            value = abs(value)
        if modifiers & Qt.KeyboardModifier.ShiftModifier:
            moved = point - press
            if abs(moved.x()) >= abs(moved.y()):
                value = grabbed.value
            else:
                position = grabbed.position
        snap = bool(modifiers & Qt.KeyboardModifier.ControlModifier)
        self.handle_dragged.emit(Drag(handle, position, value, snap))
        handle = self.grips.find(handle.key)
        if handle is not None:
            self.point_at(handle.position)

    def _drag_blade(self, point: QPointF, modifiers: Qt.KeyboardModifier) -> None:
        position = self.stage.first.position_at(point.x())
        if modifiers & Qt.KeyboardModifier.ControlModifier:
            step = self.stage.chart.across.step(self.stage.system)
            position = round(position / step) * step
        self.move_blade(position)

    def _drag_axis(self, point: QPointF) -> None:
        if self._press is None or not self.stage.range.zoomed:
            return
        low, high = self.stage.range.span
        panel = self.stage.first
        by = panel.position_at(self._press.x()) - panel.position_at(point.x())
        self._press = point
        self.look(low + by, high - low)

    def _hover(self, point: QPointF) -> None:
        handle = self.grips.hit(point)
        key = handle.key if handle else None
        if key != self.grips.hovered or self.grips.crowded:
            self.grips.hovered = key
            self.draw_handles()
        shape = Qt.CursorShape.ArrowCursor
        if self.blades.at(point) is not None:
            shape = Qt.CursorShape.SplitHCursor
        elif handle:
            shape = Qt.CursorShape.SizeAllCursor
        if self.viewport().cursor().shape() != shape:
            self.viewport().setCursor(QCursor(shape))
        panel = self.stage.panel_at(point)
        if panel is None:
            self.point_at(None)
        else:
            self.point_at(self._position(panel, point), panel.plot.key)

    def _position(self, panel: Panel, point: QPointF) -> float:
        low, high = self.stage.range.span
        return min(max(panel.position_at(point.x()), low), high)
