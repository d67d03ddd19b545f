"""What the mouse does on the plots: it drags a handle, a blade or the axis, or it only points."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QCursor

from taperlab.gui.plots.blades import Blades
from taperlab.gui.plots.grips import Grips
from taperlab.gui.plots.handles import Handle
from taperlab.gui.plots.panel import Panel
from taperlab.gui.plots.scales import FINE, Plot
from taperlab.gui.plots.stage import Stage

if TYPE_CHECKING:
    from taperlab.gui.plots.stack import PlotStack

SLACK = 3.0
"""A press that moves less than this is no drag, in pixels."""


@dataclass(frozen=True, slots=True)
class Drag:
    """Where a handle is dragged: position [m] and value [SI]; None where the drag is locked."""

    handle: Handle
    position: float | None
    value: float | None
    snap: bool


class Held(Enum):
    """What a press took hold of."""

    NOTHING = auto()
    HANDLE = auto()
    BLADE = auto()
    AXIS = auto()


class Mouse:
    """Acts for a :class:`Canvas` on the stack round it. at: where the pointer is, or None."""

    def __init__(self, stack: PlotStack, stage: Stage, grips: Grips, blades: Blades) -> None:
        self._stack = stack
        self._stage = stage
        self._grips = grips
        self._blades = blades
        self.at: QPointF | None = None
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

    # -- what the canvas tells -----------------------------------------------------------------

    def canvas_resized(self) -> None:
        """Lay the plots out anew."""
        self._stack.arrange()

    def mouse_pressed(self, point: QPointF) -> None:
        """Take hold of a blade, a handle, or the axis."""
        self._stack.setFocus(Qt.FocusReason.MouseFocusReason)
        self._press, self._moved = point, False
        self._grabbed = None
        self._held = Held.AXIS if self._stage.range.zoomed else Held.NOTHING
        blade = self._blades.at(point)
        if blade is not None:
            self._held, self._blades.held = Held.BLADE, blade
            return
        handle = self._grips.hit(point)
        self._grips.chosen = handle.key if handle else None
        if handle:
            self._held = Held.HANDLE
            self._grabbed = handle
            self._offset = self._grips.point_of(handle) - point
        self._stack.draw_handles()

    def mouse_moved(self, point: QPointF, held: bool, modifiers: Qt.KeyboardModifier) -> None:
        """Drag what is held, or let the crosshair follow."""
        self.at = point
        if held and self._press is not None:
            if not self._moved:
                if (point - self._press).manhattanLength() < SLACK:
                    return
                self._moved = True
                if self._grabbed is not None:
                    self._stack.handle_grabbed.emit(self._grabbed)
            if self._held is Held.HANDLE:
                self._drag_handle(point, modifiers)
                return
            if self._held is Held.BLADE:
                self._drag_blade(point, modifiers)
                return
            if self._held is Held.AXIS and self._stage.range.zoomed:
                self._drag_axis(point)
                return
        self._hover(point)

    def mouse_released(self) -> None:
        """Let go."""
        dragged = self.is_dragging
        self.let_go()
        if dragged:
            self._stack.handle_released.emit()
            self._stack.end_drag()

    def mouse_doubled(self, point: QPointF) -> None:
        """See the whole again."""
        if self._grips.hit(point) is None:
            self._stack.reset_view()

    def mouse_left(self) -> None:
        """Take the crosshair away."""
        self.at = None
        if not self.is_dragging:
            self._grips.hovered = None
            self._stack.draw_handles()
            self._stack.point_at(None)

    def wheel_turned(self, point: QPointF, across: int, upright: int) -> None:
        """Zoom round the pointer, or shift sideways."""
        seen = self._stage.range
        low, high = seen.span
        if abs(across) > abs(upright):
            if seen.zoomed:
                self._stack.look(low - across / 1200.0 * (high - low), high - low)
        elif upright:
            panel = self._stage.panels[Plot.OUTLINE]
            self._stack.zoom(0.9985**upright, self._position(panel, point))
        self._hover(point)

    # -- dragging and pointing -----------------------------------------------------------------

    def _drag_handle(self, point: QPointF, modifiers: Qt.KeyboardModifier) -> None:
        handle = self._grips.find(self._grabbed.key) if self._grabbed else None
        if handle is None or self._press is None:
            return
        panel = self._stage.panels[handle.plot]
        at = point + self._offset
        position: float | None = max(0.0, panel.position_at(at.x()))
        value: float | None = panel.value_at(at.y())
        if handle.plot is Plot.OUTLINE:
            value = abs(value)
        if modifiers & Qt.KeyboardModifier.ShiftModifier:
            moved = point - self._press
            if abs(moved.x()) >= abs(moved.y()):
                value = self._grabbed.value
            else:
                position = self._grabbed.position
        snap = bool(modifiers & Qt.KeyboardModifier.ControlModifier)
        self._stack.handle_dragged.emit(Drag(handle, position, value, snap))
        handle = self._grips.find(handle.key)
        if handle is not None:
            self._stack.point_at(handle.position)

    def _drag_blade(self, point: QPointF, modifiers: Qt.KeyboardModifier) -> None:
        position = self._stage.panels[Plot.OUTLINE].position_at(point.x())
        if modifiers & Qt.KeyboardModifier.ControlModifier:
            fine = FINE[self._stage.system]
            position = round(position / fine) * fine
        self._stack.move_blade(position)

    def _drag_axis(self, point: QPointF) -> None:
        low, high = self._stage.range.span
        panel = self._stage.panels[Plot.OUTLINE]
        by = panel.position_at(self._press.x()) - panel.position_at(point.x())
        self._press = point
        self._stack.look(low + by, high - low)

    def _hover(self, point: QPointF) -> None:
        grips = self._grips
        handle = grips.hit(point)
        key = handle.key if handle else None
        if key != grips.hovered or self._stage.crowded:
            grips.hovered = key
            self._stack.draw_handles()
        shape = Qt.CursorShape.ArrowCursor
        if self._blades.at(point) is not None:
            shape = Qt.CursorShape.SplitHCursor
        elif handle:
            shape = Qt.CursorShape.SizeAllCursor
        viewport = self._stack.canvas.viewport()
        if viewport.cursor().shape() != shape:
            viewport.setCursor(QCursor(shape))
        panel = self._stage.panel_at(point)
        self._stack.point_at(self._position(panel, point) if panel else None)

    def _position(self, panel: Panel, point: QPointF) -> float:
        low, high = self._stage.range.span
        return min(max(panel.position_at(point.x()), low), high)
