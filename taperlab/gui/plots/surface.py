"""The view that all plots of a stack lie in: what is drawn there, where is looked and pointed."""

from __future__ import annotations

from dataclasses import dataclass

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGraphicsView, QWidget

from taperlab.gui.kit.theme import Theme
from taperlab.gui.plots.blades import Blades
from taperlab.gui.plots.chart import Chart
from taperlab.gui.plots.grips import Grips, Handle, Key
from taperlab.gui.plots.marks import Tag, TagRow
from taperlab.gui.plots.pointer import Pointer
from taperlab.gui.plots.stage import Stage
from taperlab.units.kinds import System


@dataclass(frozen=True, slots=True)
class Drag:
    """Where a handle is dragged: position and value [SI]. snap: to whole steps of the axes."""

    handle: Handle
    position: float
    value: float
    snap: bool


class Surface(pg.GraphicsView):  # type: ignore[misc]  # it comes without types
    """One scene for all plots, in pixels; without menus, buttons or gestures of its own.

    handle_*: a handle was grabbed, dragged (Drag), let go, or its drag called off with Esc.
    handle_nudged(Handle, steps along, steps up) by key. blade_moved(position [SI]): of the blade
    that ``blades.held`` counts. pointed(): something else is read, or nothing.
    """

    handle_grabbed = Signal(object)
    handle_dragged = Signal(object)
    handle_released = Signal()
    handle_cancelled = Signal()
    handle_nudged = Signal(object, int, int)
    blade_moved = Signal(float)
    pointed = Signal()

    def __init__(self, theme: Theme, system: System, parent: QWidget) -> None:
        super().__init__(parent=parent)
        self.setCacheMode(QGraphicsView.CacheModeFlag.CacheNone)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.NoContextMenu)
        # Every item sets its own pens and hints, so the view need not guard them.
        self.setOptimizationFlag(QGraphicsView.OptimizationFlag.DontAdjustForAntialiasing, True)
        scene = self.scene()
        self.stage = Stage(scene, theme, system)
        self.grips = Grips(self.stage, scene)
        self.pointer = Pointer(self.stage, scene)
        self.blades = Blades(self.stage, scene)
        self.tag = Tag()
        scene.addItem(self.tag)
        self._mouse_at: QPointF | None = None
        self._ready = True
        self.use_theme()

    @property
    def is_dragging(self) -> bool:
        """Whether a handle is being dragged."""
        return False

    def let_go(self) -> None:
        """Forget what is held, without a word."""

    # -- what is shown -------------------------------------------------------------------------

    def show_chart(self, chart: Chart, handles: tuple[Handle, ...] = ()) -> None:
        """Show this; only what differs from what is shown is drawn again."""
        self.grips.handles = handles
        self.stage.show_chart(chart)
        self.arrange()

    def use_system(self, system: System) -> None:
        """Show another system's units."""
        self.stage.use_system(system)
        self.arrange()

    def use_theme(self) -> None:
        """Take the theme's colours."""
        tokens = self.stage.tokens
        self.setBackground(tokens.card)
        self.stage.set_tokens(tokens)
        passing = (self.grips.mark, self.pointer.mark, self.pointer.tag, self.tag)
        for mark in (*passing, *self.blades.marks):
            mark.set_tokens(tokens)

    def arrange(self) -> None:
        """Lay the plots out, let their axes fit, and draw what goes by place."""
        self.stage.arrange(float(self.width()), float(self.height()))
        self._look_anew()

    def _look_anew(self) -> None:
        if self.stage.is_empty:
            self.pointer.draw()
            return
        self.stage.fit(shrink=not self.is_dragging)
        # The blades leave the names free, so these come first.
        self.stage.draw_axes()
        self.draw_handles()
        self.blades.draw()
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

    # -- crosshair, handles, blades --------------------------------------------------------------

    def point_at(self, position: float | None, plot: str | None = None) -> None:
        """Put the crosshair at a position [SI], perhaps on one plot, or take it away."""
        self.pointer.move_to(position, plot)
        self._draw_pointer()

    def _draw_pointer(self) -> None:
        self.pointer.draw()
        self.pointed.emit()

    def choose_handle(self, key: Key | None) -> None:
        """Choose a handle for the keys, and read the line there."""
        self.grips.chosen = key
        handle = self.grips.in_hand
        if handle is not None:
            self.pointer.move_to(handle.position, handle.plot)
            self.bring_in_sight(handle.position)
        self.draw_handles()
        self._draw_pointer()

    def draw_handles(self) -> None:
        """Draw the handles anew, after another one was chosen or pointed at."""
        self.grips.draw(self._mouse_at, focused=self.parentWidget().hasFocus())

    def show_tag(self, handle: Handle | None, text: str = "") -> None:
        """Show live values beside a handle; None hides them."""
        bounds = QRectF()
        if handle is None:
            self.tag.hide()
        else:
            panel = self.stage.panels[handle.plot]
            self.tag.show_at(self.grips.point_of(handle), (TagRow(text),), panel.rect)
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

    def move_blade(self, position: float) -> None:
        """Move the held blade to a position [SI], as far as it can go, and tell of it."""
        self.blade_moved.emit(self.blades.move(position))
