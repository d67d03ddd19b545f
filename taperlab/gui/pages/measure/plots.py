"""Stations on the fitted outline, what is left between them, and the weight per length."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QEvent, QPointF, QSize, Qt
from PySide6.QtGui import (
    QAction,
    QContextMenuEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QMenu, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.focus_ring import came_by_key, paint_ring
from taperlab.gui.kit.theme import Theme
from taperlab.gui.pages.measure.axes_painting import paint_axes, paint_words
from taperlab.gui.pages.measure.desk import Desk
from taperlab.gui.pages.measure.hand import Breakpoint, Hand
from taperlab.gui.pages.measure.hand_painting import paint_breakpoints, paint_pointer
from taperlab.gui.pages.measure.stage import MeasureStage
from taperlab.gui.pages.measure.study_painting import paint_study
from taperlab.gui.pages.measure.words import error_text
from taperlab.gui.plots.marks import SMALL
from taperlab.gui.plots.mouse import SLACK
from taperlab.units.kinds import DIAMETER, DISTANCE, WEIGHT_PER_LENGTH
from taperlab.units.show import show

NEAR = 9.0
"""A ring about this near to the pointer is hit, in pixels."""

HINT = "Drag a ring to move a breakpoint; double-click to fix one."

_KEYS = {
    Qt.Key.Key_Left,
    Qt.Key.Key_Right,
    Qt.Key.Key_Home,
    Qt.Key.Key_End,
    Qt.Key.Key_PageUp,
    Qt.Key.Key_PageDown,
    Qt.Key.Key_Space,
    Qt.Key.Key_Insert,
    Qt.Key.Key_Delete,
    Qt.Key.Key_Escape,
    Qt.Key.Key_L,
}


class MeasurePlots(QWidget):
    """Draws the measurement in hand; its breakpoints can be moved, held and let go.

    With the mouse: drag a ring, double-click to fix a breakpoint, right-click for a menu. With
    keys: Left and Right point, Page Up and Page Down choose a breakpoint, Alt with Left or Right
    moves it, Space holds it or lets it go, Insert fixes one where the pointer is, Delete lets
    go.
    """

    def __init__(self, desk: Desk, theme: Theme) -> None:
        super().__init__()
        self._desk = desk
        self._theme = theme
        self._stage = MeasureStage(desk)
        self._hand = Hand(desk)
        self._press: QPointF | None = None
        self._ring = False
        self.panels = self._stage.panels
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setMinimumSize(320, 240)
        self.setAccessibleName("Plots of the measured line")
        self.setAccessibleDescription(
            "Page Up and Page Down choose a breakpoint, Alt with Left or Right moves it, Space "
            "holds it or lets it go, Insert fixes one where the pointer is."
        )
        desk.changed.connect(self._refresh)
        desk.studied.connect(self._refresh)
        desk.settings.units_changed.connect(self._refresh)
        theme.changed.connect(self.update)
        self._refresh()

    def sizeHint(self) -> QSize:
        """Wide."""
        return QSize(760, 420)

    # -- what is shown ------------------------------------------------------------------------

    @property
    def breakpoints(self) -> tuple[Breakpoint, ...]:
        """The breakpoints as fitted; fixed ones that wait for a fit included."""
        return self._hand.breakpoints

    @property
    def chosen(self) -> Breakpoint | None:
        """The breakpoint chosen by key or in hand."""
        return self._hand.chosen

    @property
    def is_dragging(self) -> bool:
        """Whether a breakpoint is being dragged."""
        return self._hand.is_dragging

    def x(self, position: float) -> float:
        """Place in pixels of a distance [m]."""
        return self._stage.x(position)

    def position_at(self, x: float) -> float:
        """Distance [m] at a place in pixels, on the line."""
        return self._stage.position_at(x)

    def handle_point(self, breakpoint_: Breakpoint) -> QPointF:
        """Where a breakpoint's ring is drawn."""
        return self._stage.outline_point(breakpoint_.position, breakpoint_.diameter)

    def reading(self) -> str:
        """What is read where the pointer is, in words."""
        study, system, hand = self._desk.study, self._desk.system, self._hand
        position = hand.ghost if hand.ghost is not None else hand.pointer
        if study is None or study.fit is None or position is None:
            return ""
        fit = study.fit.densities
        at = np.array([min(position, fit.length)])
        diameter = float(np.interp(at[0], fit.positions, fit.diameters))
        error_across = float(study.fit.shape.diameter_error(at)[0])
        value, error = fit.linear_density(at)
        words = [
            show(position, DISTANCE, system),
            f"{show(diameter, DIAMETER, system, unit=False)} "
            f"{error_text(error_across, DIAMETER, system)}",
            f"{show(float(value[0]), WEIGHT_PER_LENGTH, system, unit=False)} "
            f"{error_text(float(error[0]), WEIGHT_PER_LENGTH, system)}",
        ]
        chosen = hand.chosen
        if chosen is not None and abs(chosen.position - position) < 1e-3:
            words.append("breakpoint held" if chosen.fixed else "breakpoint, from the stations")
        return "  ·  ".join(words)

    def _refresh(self) -> None:
        self._stage.study_changed()
        self._lay_out()
        self.update()

    def _lay_out(self) -> None:
        self._stage.lay_out(self.width(), self.height())

    def resizeEvent(self, event: object) -> None:
        """Lay the plots out anew."""
        self._lay_out()

    # -- what breakpoints can have done to them -------------------------------------------------

    def fix_here(self) -> None:
        """Fix a breakpoint where the pointer is."""
        self._hand.fix_here()
        self.update()

    def toggle_hold(self) -> None:
        """Hold the chosen breakpoint where it is, or let the stations place it."""
        self._hand.toggle_hold()

    def toggle_only(self) -> None:
        """Take the fixed breakpoints alone, or look for others as well."""
        self._hand.toggle_only()

    def context_menu(self) -> QMenu:
        """A menu for the chosen breakpoint or the place pointed at."""
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        measurement, hand = self._desk.measurement, self._hand
        chosen = hand.chosen
        if chosen is not None:
            text = "Let the stations place it" if chosen.fixed else "Hold it here"
            self._add(menu, f"{text}\tSpace", self.toggle_hold)
        elif hand.pointer is not None:
            place = show(hand.rounded(hand.pointer), DISTANCE, self._desk.system)
            self._add(menu, f"Fix a breakpoint at {place}\tIns", self.fix_here)
        if measurement is not None:
            menu.addSeparator()
            only = self._add(menu, "Only the fixed breakpoints", self.toggle_only)
            only.setCheckable(True)
            only.setChecked(measurement.only_fixed)
        return menu

    def _add(self, menu: QMenu, text: str, act: object) -> QAction:
        action = QAction(text, menu)
        action.triggered.connect(act)
        menu.addAction(action)
        return action

    # -- the mouse ----------------------------------------------------------------------------

    def _hit(self, point: QPointF) -> Breakpoint | None:
        near = [
            (abs(point.x() - self.handle_point(each).x()), each)
            for each in self.breakpoints
            if (self.handle_point(each) - point).manhattanLength() <= 1.6 * NEAR
        ]
        return min(near, key=lambda pair: pair[0])[1] if near else None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Grab a ring, or point."""
        if event.button() != Qt.MouseButton.LeftButton:
            return
        hit = self._hit(event.position())
        self._press = event.position()
        if hit is not None:
            self._hand.grab(hit)
        self._hand.pointer = self.position_at(event.position().x())
        self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the ring, or point."""
        point, hand = event.position(), self._hand
        hand.pointer = self.position_at(point.x())
        if hand.has_grabbed and event.buttons() & Qt.MouseButton.LeftButton:
            if hand.is_dragging or abs(point.x() - self._press.x()) > SLACK:
                hand.drag()
        else:
            over = self._hit(point) is not None
            self.setCursor(Qt.CursorShape.SizeHorCursor if over else Qt.CursorShape.ArrowCursor)
        self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        self._press = None
        self._hand.release()
        self.update()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Fix a breakpoint there, or hold the one that is there."""
        if event.button() != Qt.MouseButton.LeftButton or self._desk.measurement is None:
            return
        hit = self._hit(event.position())
        if hit is not None:
            self._hand.choose(hit)
            self._hand.toggle_hold()
        elif self._desk.study is not None and self._desk.study.fit is not None:
            self._hand.fix_here(self.position_at(event.position().x()))
            self.update()

    def leaveEvent(self, event: QEvent) -> None:
        """Point nowhere."""
        if not self.is_dragging:
            self._hand.pointer = None
            self.update()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer what can be done to the breakpoint there, or to the place."""
        where = event.globalPos()
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            chosen = self.chosen
            point = self.handle_point(chosen) if chosen else self.rect().center().toPointF()
            where = self.mapToGlobal(point.toPoint())
        else:
            self._hand.choose(self._hit(QPointF(event.pos())))
            self._hand.pointer = self.position_at(event.pos().x())
        self.context_menu().popup(where)

    # -- the keyboard -------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        """Keep keys used here from the window's shortcuts."""
        if event.type() == QEvent.Type.ShortcutOverride and event.key() in _KEYS:
            control = event.modifiers() & Qt.KeyboardModifier.ControlModifier
            if not control:
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Point, choose, move, hold."""
        if self._take_key(event.key(), event.modifiers()):
            self.update()
        else:
            super().keyPressEvent(event)

    def _take_key(self, key: int, modifiers: Qt.KeyboardModifier) -> bool:
        hand = self._hand
        way = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(key, 0)
        if way and modifiers & Qt.KeyboardModifier.AltModifier:
            hand.nudge(way)
        elif way:
            hand.step(way, coarse=bool(modifiers & Qt.KeyboardModifier.ShiftModifier))
        elif key == Qt.Key.Key_Home:
            hand.point_at(0.0)
        elif key == Qt.Key.Key_End:
            hand.point_at(self._stage.length)
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            hand.choose_next(1 if key == Qt.Key.Key_PageDown else -1)
        elif key in (Qt.Key.Key_Space, Qt.Key.Key_L):
            hand.toggle_hold()
        elif key == Qt.Key.Key_Insert:
            hand.fix_here()
        elif key == Qt.Key.Key_Delete:
            hand.let_go()
        elif key == Qt.Key.Key_Escape:
            if hand.is_dragging:
                self._press = None
            hand.escape()
        else:
            return False
        return True

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """A row of nudges ends when the key is let go."""
        if not event.isAutoRepeat() and self._press is None:
            self._hand.release()
        super().keyReleaseEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the ring, if the keyboard brought the focus here."""
        self._ring = came_by_key(event)
        self.update()
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Hide the ring."""
        self._ring = False
        self.update()
        super().focusOutEvent(event)

    # -- painting -----------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw all."""
        painter, tokens = QPainter(self), self._theme.tokens
        painter.setFont(theming.font(SMALL))
        paint_axes(painter, self._stage, tokens)
        if self._desk.study is not None:
            paint_study(painter, self._stage, tokens)
            paint_breakpoints(painter, self._stage, self._hand, tokens)
        paint_pointer(painter, self._stage, self._hand, tokens)
        words = self.reading()
        if words:
            paint_words(painter, self.width(), words, tokens.ink)
        else:
            paint_words(painter, self.width(), self._hint(), tokens.soft)
        if self._ring:
            paint_ring(painter, self, tokens)

    def _hint(self) -> str:
        study = self._desk.study
        if study is None:
            return ""
        return str(study.why_not) if study.fit is None else HINT


__all__ = ["Breakpoint", "MeasurePlots"]
