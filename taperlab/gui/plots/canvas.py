"""The view that all plots of a stack lie in: what is drawn there, and what the mouse does."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QCursor, QKeyEvent, QMouseEvent, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QGraphicsView, QWidget

from taperlab.gui.kit.theme import Theme
from taperlab.gui.plots.chart import Chart
from taperlab.gui.plots.grips import Grips, Handle, Key
from taperlab.gui.plots.marks import Mark, Tag, TagRow
from taperlab.gui.plots.panel import Panel
from taperlab.gui.plots.pointer import Pointer
from taperlab.gui.plots.stage import Stage
from taperlab.units.kinds import System

SLACK = 3.0
"""A press that moves less than this is no drag, in pixels."""

_SHAPES = {
    (False, False): Qt.CursorShape.ArrowCursor,
    (True, False): Qt.CursorShape.SizeHorCursor,
    (False, True): Qt.CursorShape.SizeVerCursor,
    (True, True): Qt.CursorShape.SizeAllCursor,
}
"""Of the pointer, by whether what is below it goes along and across."""

_Drag = Callable[[QPointF, Qt.KeyboardModifier], None]
"""Moves what a press took hold of to a point of the scene."""


@dataclass(frozen=True, slots=True)
class Drag:
    """Where a handle is dragged: position and value [SI], None for what stays as it is.

    snap: to whole steps of the axes.
    """

    handle: Handle
    position: float | None
    value: float | None
    snap: bool


class Canvas(pg.GraphicsView):  # type: ignore[misc]  # it comes without types
    """One scene for all plots, in pixels; without menus, buttons or gestures of its own.

    handle_*: a handle was grabbed, dragged (Drag), let go, or its drag called off with Esc.
    handle_nudged(Handle, steps along, steps up): by key; nudges_ended(): the key was let go.
    pointed(): something else is read, or nothing. hovered(Handle | None): the mouse is over this
    handle now, or over a plot; left(): over neither. clicked(position [SI]): pressed and let go
    there, beside all handles. doubled(position [SI], Handle | None): pressed twice there.
    """

    handle_grabbed = Signal(object)
    handle_dragged = Signal(object)
    handle_released = Signal()
    handle_cancelled = Signal()
    handle_nudged = Signal(object, int, int)
    nudges_ended = Signal()
    pointed = Signal()
    clicked = Signal(float)
    hovered = Signal(object)
    left = Signal()
    doubled = Signal(float, object)

    FREES, UNSTEPPED = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier
    """What lets a drag go both ways from then on, and what takes it off the steps while held."""

    def __init__(self, theme: Theme, system: System, parent: QWidget) -> None:
        super().__init__(parent=parent)
        self.setCacheMode(QGraphicsView.CacheModeFlag.CacheNone)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.viewport().setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.NoContextMenu)
        # Every item sets its own pens and hints, so the view need not guard them.
        self.setOptimizationFlag(QGraphicsView.OptimizationFlag.DontAdjustForAntialiasing, True)
        scene = self.scene()
        self.stage = Stage(scene, theme, system)
        self.grips = Grips(self.stage, scene)
        self.pointer = Pointer(self.stage, scene)
        self.tag = Tag(scene, theme)
        self.passing: tuple[Mark, ...] = (self.grips, self.pointer, self.pointer.tag, self.tag)
        """What shows where is pointed and what is held; no picture holds it."""
        self._mouse_at: QPointF | None = None
        self._over: tuple[str, Key | None] | None = None
        self._press: QPointF | None = None
        self._drag: _Drag | None = None
        self._grabbed: Handle | None = None
        self._offset = QPointF()
        self._moved = False
        self._along = self._across = False
        self._ready = True
        self.use_theme()

    @property
    def is_dragging(self) -> bool:
        """Whether a handle is being dragged."""
        return self._grabbed is not None and self._moved

    def let_go(self) -> None:
        """Forget what is held, without a word."""
        self._press, self._grabbed, self._moved, self._drag = None, None, False, None

    def place_at(self, point: QPointF) -> float:
        """The position [SI] at a scene point, as far as is seen."""
        return self._position(self.stage.first, point)

    # -- what is shown -------------------------------------------------------------------------

    def show_chart(self, chart: Chart, handles: tuple[Handle, ...] = ()) -> None:
        """Show this; only what differs from what is shown is drawn again."""
        self.grips.handles = handles
        self.stage.show_chart(chart)
        self.arrange()

    def use_theme(self) -> None:
        """Take the theme's colours."""
        self.setBackground(self.stage.tokens.card)
        self.scene().update()

    def arrange(self) -> None:
        """Lay the plots out, let their axes fit, and draw what goes by place."""
        self.stage.arrange(float(self.width()), float(self.height()))
        self._look_anew()

    def _look_anew(self) -> None:
        if self.stage.is_empty:
            self.pointer.place()
            return
        self.stage.fit(shrink=not self.is_dragging)
        self.stage.draw_axes()
        self.draw_handles()
        self._draw_pointer()

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Lay the plots out anew."""
        super().resizeEvent(event)
        if getattr(self, "_ready", False):  # the view box's own first resize comes before
            self.arrange()

    # -- where is looked -----------------------------------------------------------------------

    def see_whole(self) -> None:
        """See the whole of everything, with axes that fit."""
        self.stage.range.see_whole()
        self._look_anew()

    def zoom(self, factor: float, position: float | None = None) -> None:
        """See ``factor`` times as much of the shared axis round a position [SI]."""
        low, high = self.stage.range.span
        if position is None:
            at = self.pointer.position
            position = at if at is not None else (low + high) / 2.0
        share = (position - low) / (high - low)
        width = (high - low) * factor
        self.look(position - share * width, width)

    def look(self, low: float, width: float) -> None:
        """See ``width`` of the shared axis from ``low`` on [SI], as far as there is axis."""
        self.stage.range.look(low, width)
        self._look_anew()

    def bring_in_sight(self, position: float) -> None:
        """Shift the axis to a position [SI] that is out of sight."""
        low, high = self.stage.range.span
        if not low <= position <= high:
            self.look(position - (high - low) / 2.0, high - low)

    # -- crosshair, handles ----------------------------------------------------------------------

    def point_at(self, position: float | None, plot: str | None = None) -> None:
        """Put the crosshair at a position [SI], perhaps on one plot, or take it away."""
        self.pointer.stand(position, plot)
        self._draw_pointer()

    def _draw_pointer(self) -> None:
        self.pointer.place()
        self.pointed.emit()

    def choose_handle(self, key: Key | None) -> None:
        """Choose a handle for the keys, and read the line there."""
        self.grips.chosen = key
        handle = self.grips.in_hand
        if handle is not None:
            self.pointer.stand(handle.position, handle.plot)
            self.bring_in_sight(handle.position)
        self.draw_handles()
        self._draw_pointer()

    def draw_handles(self) -> None:
        """Draw the handles anew, after another one was chosen or pointed at."""
        self.grips.place(self._mouse_at, focused=self.parentWidget().hasFocus())

    def show_tag(self, handle: Handle | None, *texts: str) -> None:
        """Show live values beside a handle, one below the other; None hides them."""
        bounds = QRectF()
        if handle is None:
            self.tag.hide()
        else:
            shown = self.stage.shown
            room = shown[0].rect.united(shown[-1].rect)
            self.tag.show_at(self.grips.point_of(handle), list(map(TagRow, texts)), room)
            bounds = self.tag.boundingRect()
        for panel in self.stage.shown:
            panel.over.keep_clear(bounds)

    def cancel_drag(self) -> bool:
        """Call a drag off: the handle goes back. Whether there was one."""
        if not self.is_dragging:
            return False
        self.let_go()
        self.handle_cancelled.emit()
        self.end_drag()
        return True

    def end_drag(self) -> None:
        """Take the live values away, and let the axes shrink again."""
        self.show_tag(None)
        self._look_anew()

    # -- the mouse ----------------------------------------------------------------------------

    def _at(self, event: QMouseEvent | QWheelEvent) -> QPointF:
        return QPointF(self.mapToScene(event.position().toPoint()))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of a handle, or the axis."""
        if event.button() != Qt.MouseButton.LeftButton or self.stage.is_empty:
            event.ignore()
            return
        event.accept()
        self.parentWidget().setFocus(Qt.FocusReason.MouseFocusReason)
        point = self._at(event)
        self._press, self._moved, self._grabbed = point, False, None
        self._drag = self._drag_axis if self.stage.range.zoomed else None
        handle = self.grips.hit(point)
        self.grips.chosen = handle.key if handle else None
        if handle:
            self._drag, self._grabbed = self._drag_handle, handle
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
                    self._choose_way(self._grabbed, point - self._press)
                    self.handle_grabbed.emit(self._grabbed)
            if self._drag is not None:
                self._drag(point, event.modifiers())
                return
        self._hover(point)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        if event.button() != Qt.MouseButton.LeftButton:
            event.ignore()
            return
        event.accept()
        dragged = self.is_dragging
        clicked = self._press is not None and not self._moved and self._grabbed is None
        self.let_go()
        if dragged:
            self.handle_released.emit()
            self.end_drag()
        elif clicked:
            self.clicked.emit(self.place_at(self._at(event)))

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
        self._mouse_at = self._over = None
        self.left.emit()
        if not self.is_dragging and not self.stage.is_empty:
            self.grips.hovered = None
            self.draw_handles()
            self.point_at(None)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave keys to the widget round this view."""
        event.ignore()

    # -- dragging and pointing -----------------------------------------------------------------

    def _choose_way(self, handle: Handle, moved: QPointF) -> None:
        """Keep a drag to the way it sets out on: nobody draws a straight line by hand."""
        sideways = abs(moved.x()) >= abs(moved.y())
        self._along = handle.along and (sideways or not handle.across)
        self._across = handle.across and not self._along

    def _drag_handle(self, point: QPointF, modifiers: Qt.KeyboardModifier) -> None:
        handle = self.grips.find(self._grabbed.key) if self._grabbed else None
        if handle is None:
            return
        if modifiers & self.FREES:
            self._along, self._across = handle.along, handle.across
        panel = self.stage.panels[handle.plot]
        at = point + self._offset
        position = max(0.0, panel.position_at(at.x())) if self._along else None
        value = panel.value_at(at.y()) if self._across else None
        if value is not None and panel.plot.axis.mirrored:
            value = abs(value)
        # Where it crosses an equal end it still is the one that was taken.
        held = replace(handle, side=self._grabbed.side) if self._grabbed else handle
        self.handle_dragged.emit(Drag(held, position, value, not modifiers & self.UNSTEPPED))
        handle = self.grips.find(handle.key)
        if handle is not None:
            self.point_at(handle.position, handle.plot)
            if self.tag.isVisible() and self.tag.collidesWithItem(self.pointer.tag):
                self.pointer.tag.hide()

    def _drag_axis(self, point: QPointF, _modifiers: Qt.KeyboardModifier) -> None:
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
        shape = _SHAPES[handle is not None and handle.along, handle is not None and handle.across]
        if self.viewport().cursor().shape() != shape:
            self.viewport().setCursor(QCursor(shape))
        panel = self.stage.panel_at(point)
        over = None if panel is None else (panel.plot.key, key)
        if over != self._over:
            self._over = over
            if panel is None:
                self.left.emit()
            else:
                self.hovered.emit(handle)
        if panel is None:
            self.point_at(None)
        else:
            self.point_at(self._position(panel, point), panel.plot.key)

    def _position(self, panel: Panel, point: QPointF) -> float:
        low, high = self.stage.range.span
        return min(max(panel.position_at(point.x()), low), high)
