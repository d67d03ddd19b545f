"""Stations on the fitted outline, what is left between them, and the weight per length."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QEvent, QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QAction,
    QColor,
    QContextMenuEvent,
    QFocusEvent,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QMenu, QWidget

from taperlab.edits import measuring as edits
from taperlab.gui import theme as theming
from taperlab.gui.measuring.desk import Desk
from taperlab.gui.measuring.words import error_text, off_unit
from taperlab.gui.plots.marks import SHORT_NAMES, SMALL, pen
from taperlab.gui.plots.panel import (
    LEFT,
    PIXELS_A_TICK_ACROSS,
    PIXELS_A_TICK_UPRIGHT,
    RIGHT,
)
from taperlab.gui.plots.scales import Plot, Scale, distance_scale, scale_of
from taperlab.gui.plots.ticks import round_below, step_for, tick_text, ticks
from taperlab.gui.theme import Theme, ink_on
from taperlab.physics.frustum import Array
from taperlab.shop.measuring.as_built import CONFIDENT
from taperlab.shop.measuring.shape import Placed
from taperlab.units.kinds import DIAMETER, DISTANCE, WEIGHT_PER_LENGTH, System
from taperlab.units.show import from_unit, show

CAPTION, STRIP, AXIS = 18.0, 22.0, 34.0
NEAR, SLACK = 9.0, 3.0
FINE = {System.US: 0.0254, System.METRIC: 0.01}
COARSE = {System.US: 0.3048, System.METRIC: 0.1}
SHARES = (0.42, 0.24, 0.34)
POINTS_A_SEGMENT = 24

_CENTRE = Qt.AlignmentFlag.AlignCenter
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
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


@dataclass(frozen=True, slots=True)
class Breakpoint:
    """An inner node of the fit: where [m], how thick [m], and whether the user holds it there."""

    position: float
    diameter: float
    fixed: bool


@dataclass(eq=False, slots=True)
class Panel:
    """One plot: where it lies, what its upright axis shows, in the unit of its scale."""

    title: str
    unit: float
    rect: QRectF
    low: float = 0.0
    high: float = 1.0
    ticks: tuple[float, ...] = ()
    step: float = 1.0

    def y(self, value: float | Array) -> float | Array:
        """Height in pixels of values [SI]."""
        share = (value / self.unit - self.low) / (self.high - self.low)
        return self.rect.bottom() - share * self.rect.height()


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
        self._pointer: float | None = None
        self._chosen: float | None = None
        self._press: QPointF | None = None
        self._grab: float | None = None
        self._merge: int | None = None
        self._before: tuple[float, ...] = ()
        self._ghost: float | None = None
        self._ring = False
        self._curves: tuple[Array, ...] = ()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setMinimumSize(320, 240)
        self.setAccessibleName("Plots of the measured line")
        self.setAccessibleDescription(
            "Page Up and Page Down choose a breakpoint, Alt with Left or Right moves it, Space "
            "holds it or lets it go, Insert fixes one where the pointer is."
        )
        unit = from_unit(1.0, "thou", DIAMETER)
        self.panels = [Panel("", unit, QRectF()) for _ in range(3)]
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
        study, measurement = self._desk.study, self._desk.measurement
        if measurement is None:
            return ()
        made = []
        if study is not None and study.fit is not None:
            shape = study.fit.shape
            for position, diameter, placed in zip(
                shape.positions[1:-1].tolist(),
                shape.diameters[1:-1].tolist(),
                shape.placed,
                strict=True,
            ):
                held = placed is Placed.FIXED
                if not held or any(abs(position - t) < 1e-6 for t in measurement.breakpoints):
                    made.append(Breakpoint(position, diameter, held))
            for t in measurement.breakpoints:
                if not any(abs(t - each.position) < 1e-6 for each in made):
                    made.append(Breakpoint(t, float(shape.diameter(np.array([t]))[0]), True))
        return tuple(sorted(made, key=lambda each: each.position))

    @property
    def chosen(self) -> Breakpoint | None:
        """The breakpoint chosen by key or in hand."""
        if self._chosen is None:
            return None
        near = sorted(self.breakpoints, key=lambda each: abs(each.position - self._chosen))
        if near and abs(near[0].position - self._chosen) < 0.02 * self._length():
            return near[0]
        return None

    @property
    def is_dragging(self) -> bool:
        """Whether a breakpoint is being dragged."""
        return self._grab is not None and self._merge is not None

    def _length(self) -> float:
        measurement = self._desk.measurement
        return measurement.length if measurement else 1.0

    def _refresh(self) -> None:
        self._work_out()
        self._lay_out()
        self.update()

    def _work_out(self) -> None:
        """The weight per length and its error, ready to draw."""
        study = self._desk.study
        self._curves = ()
        if study is None or study.fit is None:
            return
        fit = study.fit.densities
        pieces = [
            np.linspace(front + 1e-7, rear - 1e-7, POINTS_A_SEGMENT)
            for front, rear in zip(fit.positions[:-1], fit.positions[1:], strict=True)
        ]
        x = np.concatenate(pieces)
        value, error = fit.linear_density(x)
        self._curves = (x, value, CONFIDENT * error)

    # -- geometry -----------------------------------------------------------------------------

    def _lay_out(self) -> None:
        system = self._desk.system
        outline, weight = scale_of(Plot.OUTLINE, system), scale_of(Plot.WEIGHT, system)
        thou = off_unit(system)
        long = "thousandths of an inch" if system is System.US else "micrometres"
        titles = (
            (outline.title, outline.unit),
            (f"Off the fit, {long}", from_unit(1.0, thou, DIAMETER)),
            (weight.title, weight.unit),
        )
        room = self.height() - STRIP - AXIS - 3 * CAPTION - 2 * 4.0
        top = STRIP
        for panel, share, (title, unit) in zip(self.panels, SHARES, titles, strict=True):
            top += CAPTION
            height = max(20.0, room * share)
            panel.title, panel.unit = title, unit
            panel.rect = QRectF(LEFT, top, max(50.0, self.width() - LEFT - RIGHT), height)
            top += height + 4.0
        self._fit_axes()

    def _fit_axes(self) -> None:
        study = self._desk.study
        outline, off, weight = self.panels
        diameters = [0.001]
        offs = [from_unit(1.0, "thou", DIAMETER)]
        if study is not None:
            diameters += study.stations.diameters.tolist()
            if study.fit is not None:
                shape = study.fit.shape
                diameters += shape.diameters.tolist()
                reach = np.abs(shape.residuals[shape.used])
                offs += [1.15 * float(reach.max(initial=0.0))]
                offs += [1.3 * CONFIDENT * float(shape.stations.errors.max(initial=0.0))]
        high = 1.16 * max(diameters[1:] or diameters) / outline.unit
        step = step_for(high, 12)
        high = float(np.ceil(high / step - 1e-9) * step)
        most = max(1, int(outline.rect.height() / 2 / PIXELS_A_TICK_UPRIGHT))
        outline.low, outline.high = -high, high
        outline.step = min(step_for(high, most), round_below(high))
        count = int(high / outline.step + 1e-9)
        outline.ticks = tuple(n * outline.step for n in range(-count, count + 1))

        high = max(offs) / off.unit
        most = max(1, int(off.rect.height() / 2 / PIXELS_A_TICK_UPRIGHT))
        off.low, off.high = -high, high
        off.step = min(step_for(high, most), round_below(high))
        count = int(high / off.step + 1e-9)
        off.ticks = tuple(n * off.step for n in range(-count, count + 1))

        top = 1.0
        if self._curves:
            _, value, error = self._curves
            top = 1.06 * float((value + error).max()) / weight.unit
        design = self._desk.design
        if design is not None and design.segments:
            analysis = self._desk.document.analysis(design.key)
            top = max(top, 1.06 * float(analysis.curves.linear_density.max()) / weight.unit)
        most = max(2, int(weight.rect.height() / PIXELS_A_TICK_UPRIGHT))
        weight.low, weight.high = 0.0, top
        weight.step = step_for(top, most)
        weight.ticks = tuple(ticks(0.0, top, most))

    def _span(self) -> tuple[float, float]:
        length = self._length()
        design = self._desk.design
        if design is not None:
            length = max(length, design.length)
        return -0.014 * length, 1.006 * length

    def x(self, position: float | Array) -> float | Array:
        """Place in pixels of distances [m]."""
        (low, high), rect = self._span(), self.panels[0].rect
        return rect.left() + (position - low) / (high - low) * rect.width()

    def position_at(self, x: float) -> float:
        """Distance [m] at a place in pixels, on the line."""
        (low, high), rect = self._span(), self.panels[0].rect
        position = low + (x - rect.left()) / max(rect.width(), 1.0) * (high - low)
        return min(max(position, 0.0), self._length())

    def handle_point(self, breakpoint_: Breakpoint) -> QPointF:
        """Where a breakpoint's ring is drawn."""
        return QPointF(
            float(self.x(breakpoint_.position)), float(self.panels[0].y(breakpoint_.diameter))
        )

    def _hit(self, point: QPointF) -> Breakpoint | None:
        near = [
            (abs(point.x() - self.handle_point(each).x()), each)
            for each in self.breakpoints
            if (self.handle_point(each) - point).manhattanLength() <= 1.6 * NEAR
        ]
        return min(near, key=lambda pair: pair[0])[1] if near else None

    def resizeEvent(self, event: object) -> None:
        """Lay the plots out anew."""
        self._lay_out()

    # -- what breakpoints can have done to them -------------------------------------------------

    def fix_here(self, position: float | None = None) -> None:
        """Fix a breakpoint at a distance [m], by default where the pointer is."""
        position = self._pointer if position is None else position
        if position is None:
            return
        if not self._desk.apply(edits.fix_breakpoint, self._round(position)):
            self._chosen = self._round(position)
        self.update()

    def toggle_hold(self) -> None:
        """Hold the chosen breakpoint where it is, or let the stations place it."""
        chosen = self.chosen
        if chosen is None:
            return
        if chosen.fixed:
            self._desk.apply(edits.release_breakpoint, chosen.position)
        else:
            self._chosen = self._round(chosen.position)
            self._desk.apply(edits.fix_breakpoint, self._chosen)

    def let_go(self) -> None:
        """Let the stations place the chosen breakpoint, if it is held."""
        chosen = self.chosen
        if chosen is not None and chosen.fixed:
            self._desk.apply(edits.release_breakpoint, chosen.position)

    def toggle_only(self) -> None:
        """Take the fixed breakpoints alone, or look for others as well."""
        measurement = self._desk.measurement
        if measurement is not None:
            self._desk.apply(edits.set_only_fixed, not measurement.only_fixed)

    def _round(self, position: float) -> float:
        """To the tape's own step: nobody can point finer than he can measure."""
        measurement = self._desk.measurement
        if measurement is None:
            return position
        step = measurement.instruments.tape
        rounded = round(position / step) * step
        return rounded if 0.0 < rounded < measurement.length else position

    def _move(self, was: float, position: float) -> None:
        if self._merge is None:
            self._merge = self._desk.document.new_merge_id()
        length = self._length()
        position = min(max(position, 0.002 * length), 0.998 * length)
        if not self._desk.apply(edits.move_breakpoint, was, position, merge=self._merge):
            self._chosen = self._grab = position
            self._ghost = position

    # -- the mouse ----------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Grab a ring, or point."""
        if event.button() != Qt.MouseButton.LeftButton:
            return
        hit = self._hit(event.position())
        self._press = event.position()
        measurement = self._desk.measurement
        if hit is not None and measurement is not None:
            self._chosen = self._grab = hit.position
            self._merge = None
            self._before = measurement.breakpoints
        self._pointer = self.position_at(event.position().x())
        self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the ring, or point."""
        point = event.position()
        self._pointer = self.position_at(point.x())
        if self._grab is not None and event.buttons() & Qt.MouseButton.LeftButton:
            started = self._merge is not None
            if started or abs(point.x() - self._press.x()) > SLACK:
                self._move(self._grab, self._round(self._pointer))
        else:
            over = self._hit(point) is not None
            self.setCursor(Qt.CursorShape.SizeHorCursor if over else Qt.CursorShape.ArrowCursor)
        self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        self._grab = self._press = self._merge = self._ghost = None
        self.update()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Fix a breakpoint there, or hold the one that is there."""
        if event.button() != Qt.MouseButton.LeftButton or self._desk.measurement is None:
            return
        hit = self._hit(event.position())
        if hit is not None:
            self._chosen = hit.position
            self.toggle_hold()
        elif self._desk.study is not None and self._desk.study.fit is not None:
            self.fix_here(self.position_at(event.position().x()))

    def leaveEvent(self, event: QEvent) -> None:
        """Point nowhere."""
        if not self.is_dragging:
            self._pointer = None
            self.update()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer what can be done to the breakpoint there, or to the place."""
        where = event.globalPos()
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            chosen = self.chosen
            point = self.handle_point(chosen) if chosen else self.rect().center().toPointF()
            where = self.mapToGlobal(point.toPoint())
        else:
            hit = self._hit(QPointF(event.pos()))
            self._chosen = hit.position if hit else None
            self._pointer = self.position_at(event.pos().x())
        self.context_menu().popup(where)

    def context_menu(self) -> QMenu:
        """A menu for the chosen breakpoint or the place pointed at."""
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        measurement = self._desk.measurement
        chosen = self.chosen
        if chosen is not None:
            text = "Let the stations place it" if chosen.fixed else "Hold it here"
            self._add(menu, f"{text}\tSpace", self.toggle_hold)
        elif self._pointer is not None:
            place = show(self._round(self._pointer), DISTANCE, self._desk.system)
            self._add(menu, f"Fix a breakpoint at {place}\tIns", self._fix_pointed)
        if measurement is not None:
            menu.addSeparator()
            only = self._add(menu, "Only the fixed breakpoints", self.toggle_only)
            only.setCheckable(True)
            only.setChecked(measurement.only_fixed)
        return menu

    def _fix_pointed(self) -> None:
        self.fix_here()

    def _add(self, menu: QMenu, text: str, act: object) -> QAction:
        action = QAction(text, menu)
        action.triggered.connect(act)
        menu.addAction(action)
        return action

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
        key, modifiers = event.key(), event.modifiers()
        alt = bool(modifiers & Qt.KeyboardModifier.AltModifier)
        way = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(key, 0)
        if way and alt:
            self._nudge(way)
        elif way:
            big = bool(modifiers & Qt.KeyboardModifier.ShiftModifier)
            step = (COARSE if big else FINE)[self._desk.system]
            start = self._pointer if self._pointer is not None else 0.0
            self._point((round(start / step) + way) * step)
        elif key == Qt.Key.Key_Home:
            self._point(0.0)
        elif key == Qt.Key.Key_End:
            self._point(self._length())
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            self._choose(1 if key == Qt.Key.Key_PageDown else -1)
        elif key in (Qt.Key.Key_Space, Qt.Key.Key_L):
            self.toggle_hold()
        elif key == Qt.Key.Key_Insert:
            self.fix_here()
        elif key == Qt.Key.Key_Delete:
            self.let_go()
        elif key == Qt.Key.Key_Escape:
            self._escape()
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """A row of nudges ends when the key is let go."""
        if not event.isAutoRepeat() and self._press is None:
            self._merge = self._ghost = self._grab = None
        super().keyReleaseEvent(event)

    def _nudge(self, way: int) -> None:
        chosen = self.chosen
        if chosen is not None:
            # While a fit is at work the ring is where the last nudge put it.
            was = self._grab if self._grab is not None else chosen.position
            step = FINE[self._desk.system]
            self._move(was, (round(was / step) + way) * step)
            self._pointer = self._chosen
            self.update()

    def _point(self, position: float) -> None:
        self._pointer = min(max(position, 0.0), self._length())
        self._chosen = None
        self.update()

    def _choose(self, way: int) -> None:
        found = self.breakpoints
        if not found:
            return
        chosen = self.chosen
        if chosen is None:
            number = 0 if way > 0 else len(found) - 1
        else:
            number = min(max(found.index(chosen) + way, 0), len(found) - 1)
        self._chosen = self._pointer = found[number].position
        self.update()

    def _escape(self) -> None:
        if self.is_dragging:
            # The same merge id: the step that the drag made vanishes, as it now changes nothing.
            self._desk.apply(edits.set_breakpoints, self._before, merge=self._merge)
            self._grab = self._press = self._merge = self._ghost = None
        self._chosen = self._pointer = None
        self.update()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the ring, if the keyboard brought the focus here."""
        self._ring = event.reason() in (
            Qt.FocusReason.TabFocusReason,
            Qt.FocusReason.BacktabFocusReason,
            Qt.FocusReason.ShortcutFocusReason,
        )
        self.update()
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Hide the ring."""
        self._ring = False
        self.update()
        super().focusOutEvent(event)

    # -- words --------------------------------------------------------------------------------

    def reading(self) -> str:
        """What is read where the pointer is, in words."""
        study, system = self._desk.study, self._desk.system
        position = self._ghost if self._ghost is not None else self._pointer
        if study is None or study.fit is None or position is None:
            return ""
        fit, at = study.fit.densities, np.array([min(position, study.fit.densities.length)])
        diameter = float(np.interp(at[0], fit.positions, fit.diameters))
        variance = float(study.fit.shape.diameter_error(at)[0])
        value, error = fit.linear_density(at)
        words = [
            show(position, DISTANCE, system),
            f"{show(diameter, DIAMETER, system, unit=False)} "
            f"{error_text(variance, DIAMETER, system)}",
            f"{show(float(value[0]), WEIGHT_PER_LENGTH, system, unit=False)} "
            f"{error_text(float(error[0]), WEIGHT_PER_LENGTH, system)}",
        ]
        chosen = self.chosen
        if chosen is not None and abs(chosen.position - position) < 1e-3:
            words.append("breakpoint held" if chosen.fixed else "breakpoint, from the stations")
        return "  ·  ".join(words)

    # -- painting -----------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw all."""
        painter = QPainter(self)
        tokens = self._theme.tokens
        painter.setFont(theming.font(SMALL))
        for panel in self.panels:
            self._paint_axes(painter, panel)
        self._paint_distance(painter)
        study = self._desk.study
        if study is not None:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
            for which, paint in enumerate(
                (self._paint_outline, self._paint_residuals, self._paint_weight)
            ):
                painter.save()
                painter.setClipRect(self.panels[which].rect.adjusted(-6, -7, 6, 7))
                paint(painter, self.panels[which])
                painter.restore()
            self._paint_breakpoints(painter)
        self._paint_pointer(painter)
        self._paint_strip(painter)
        if self._ring:
            painter.setPen(pen(tokens.accent, 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(self.rect().adjusted(1, 1, -1, -1), 6, 6)

    def _paint_axes(self, painter: QPainter, panel: Panel) -> None:
        tokens, rect = self._theme.tokens, panel.rect
        unit = panel.unit
        outline = panel is self.panels[0]
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        for tick in panel.ticks:
            y = float(panel.y(tick * unit))
            painter.setPen(QColor(tokens.rule if tick == 0.0 else tokens.hover))
            painter.drawLine(QLineF(rect.left(), y, rect.right(), y))
            painter.setPen(QColor(tokens.soft))
            text = tick_text(abs(tick) if outline else tick, panel.step)
            painter.drawText(QRectF(0.0, y - 8.0, LEFT - 8.0, 16.0), int(_RIGHT), text)
        painter.setPen(QColor(tokens.soft))
        caption = QRectF(rect.left(), rect.top() - CAPTION, rect.width(), CAPTION)
        painter.drawText(caption, int(_LEFT), panel.title)
        self._paint_note(painter, panel, caption)

    def _paint_note(self, painter: QPainter, panel: Panel, caption: QRectF) -> None:
        tokens = self._theme.tokens
        metrics = QFontMetricsF(painter.font())
        text, dash = "", None
        study = self._desk.study
        if study is None or study.fit is None:
            return
        if panel is self.panels[1]:
            text = "band: what scatter and steps explain, 95 in 100"
        elif panel is self.panels[2]:
            design = self._desk.design
            text = f"as designed: {design.name}" if design else "band: ± at 95 in 100"
            dash = theming.DASHES[0] if design else None
        room = caption.width() - metrics.horizontalAdvance(panel.title) - 60.0
        if not text or room < 60.0:
            return
        text = metrics.elidedText(text, Qt.TextElideMode.ElideRight, room)
        painter.drawText(caption, int(_RIGHT), text)
        right = caption.right() - metrics.horizontalAdvance(text) - 6.0
        y = caption.center().y()
        if dash:
            painter.setPen(pen(tokens.crosshair, 1.0, dash))
            painter.drawLine(QPointF(right - 20.0, y), QPointF(right, y))
        else:
            painter.fillRect(QRectF(right - 14.0, y - 4.5, 14.0, 9.0), QColor(tokens.band))

    def _paint_distance(self, painter: QPainter) -> None:
        tokens, scale = self._theme.tokens, self._distance()
        rect, bottom = self.panels[0].rect, self.panels[-1].rect.bottom()
        low, high = (each / scale.unit for each in self._span())
        most = max(2, int(rect.width() / PIXELS_A_TICK_ACROSS))
        step = step_for(high - low, most)
        for tick in ticks(low, high, most):
            if tick < 0.0:
                continue
            x = float(self.x(tick * scale.unit))
            painter.setPen(QColor(tokens.hover))
            for panel in self.panels:
                painter.drawLine(QLineF(x, panel.rect.top(), x, panel.rect.bottom()))
            painter.setPen(QColor(tokens.soft))
            painter.drawText(
                QRectF(x - 30.0, bottom + 3.0, 60.0, 15.0), int(_CENTRE), tick_text(tick, step)
            )
        painter.setPen(QColor(tokens.soft))
        painter.drawText(
            QRectF(rect.left() - 30.0, bottom + 18.0, rect.width() + 30.0, 15.0),
            int(_CENTRE),
            scale.title,
        )

    def _distance(self) -> Scale:
        return distance_scale(self._desk.system)

    def _paint_outline(self, painter: QPainter, panel: Panel) -> None:
        tokens, study = self._theme.tokens, self._desk.study
        if study.fit is not None:
            fit, line = study.fit.densities, study.fit.line
            x = self.x(fit.positions).tolist()
            top, bottom = panel.y(fit.diameters).tolist(), panel.y(-fit.diameters).tolist()
            painter.setPen(Qt.PenStyle.NoPen)
            for i, segment in enumerate(line.segments):
                colour = tokens.parts[segment.part]
                painter.setBrush(QColor(colour))
                painter.drawPolygon(
                    QPolygonF(
                        [
                            QPointF(x[i], top[i]),
                            QPointF(x[i + 1], top[i + 1]),
                            QPointF(x[i + 1], bottom[i + 1]),
                            QPointF(x[i], bottom[i]),
                        ]
                    )
                )
            painter.setFont(theming.font(SMALL))
            metrics = QFontMetricsF(painter.font())
            for i, segment in enumerate(line.segments):
                width = x[i + 1] - x[i]
                thick = bottom[i] + bottom[i + 1] - top[i] - top[i + 1]
                for name in SHORT_NAMES[segment.part]:
                    if metrics.horizontalAdvance(name) + 12.0 <= width and thick / 2.0 > 18.0:
                        painter.setPen(QColor(ink_on(tokens.parts[segment.part])))
                        middle = (panel.rect.top() + panel.rect.bottom()) / 2.0
                        painter.drawText(
                            QRectF(x[i], middle - 9.0, width, 18.0), int(_CENTRE), name
                        )
                        break
        self._paint_stations(painter, panel)

    def _paint_stations(self, painter: QPainter, panel: Panel) -> None:
        """Points on the upper edge, with their errors where these can be seen."""
        study = self._desk.study
        points = study.stations
        used = study.fit.shape.used if study.fit is not None else np.ones(len(points.distances))
        x, y = self.x(points.distances).tolist(), panel.y(points.diameters).tolist()
        reach = CONFIDENT * points.errors / panel.unit
        reach = (reach / (panel.high - panel.low) * panel.rect.height()).tolist()
        for i in range(len(x)):
            self._paint_point(painter, QPointF(x[i], y[i]), reach[i], bool(used[i]))

    def _paint_point(self, painter: QPainter, point: QPointF, reach: float, used: bool) -> None:
        tokens = self._theme.tokens
        if not used:
            painter.setPen(pen(tokens.bad, 1.6))
            painter.drawLine(point + QPointF(-3.5, -3.5), point + QPointF(3.5, 3.5))
            painter.drawLine(point + QPointF(-3.5, 3.5), point + QPointF(3.5, -3.5))
            return
        painter.setPen(pen(tokens.ink, 1.0))
        if reach > 3.0:
            painter.drawLine(point + QPointF(0.0, -reach), point + QPointF(0.0, reach))
        painter.setPen(QPen(QColor(tokens.card), 1.0))
        painter.setBrush(QColor(tokens.ink))
        painter.drawEllipse(point, 2.9, 2.9)

    def _paint_residuals(self, painter: QPainter, panel: Panel) -> None:
        tokens, study = self._theme.tokens, self._desk.study
        if study.fit is None:
            return
        shape = study.fit.shape
        x = self.x(shape.stations.distances).tolist()
        band = CONFIDENT * shape.stations.errors
        upper, lower = panel.y(band).tolist(), panel.y(-band).tolist()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        edges = [float(self.x(0.0)), *x, float(self.x(study.fit.line.length))]
        upper, lower = [upper[0], *upper, upper[-1]], [lower[0], *lower, lower[-1]]
        outline = [QPointF(a, b) for a, b in zip(edges, upper, strict=True)]
        outline += [QPointF(a, b) for a, b in zip(edges[::-1], lower[::-1], strict=True)]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(tokens.band))
        painter.drawPolygon(QPolygonF(outline))
        painter.setPen(QColor(tokens.soft))
        zero = float(panel.y(0.0))
        painter.drawLine(QLineF(panel.rect.left(), zero, panel.rect.right(), zero))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        heights = panel.y(shape.residuals).tolist()
        for i, used in enumerate(shape.used.tolist()):
            height = min(max(heights[i], panel.rect.top()), panel.rect.bottom())
            self._paint_point(painter, QPointF(x[i], height), 0.0, used)

    def _paint_weight(self, painter: QPainter, panel: Panel) -> None:
        tokens = self._theme.tokens
        if not self._curves:
            return
        x, value, error = self._curves
        across = self.x(x).tolist()
        upper, lower = panel.y(value + error).tolist(), panel.y(value - error).tolist()
        outline = [QPointF(a, b) for a, b in zip(across, upper, strict=True)]
        outline += [QPointF(a, b) for a, b in zip(across[::-1], lower[::-1], strict=True)]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(tokens.band))
        painter.drawPolygon(QPolygonF(outline))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        design = self._desk.design
        if design is not None and design.segments:
            curves = self._desk.document.analysis(design.key).curves
            places = self.x(curves.position).tolist()
            heights = panel.y(curves.linear_density).tolist()
            painter.setPen(pen(tokens.crosshair, 1.0, theming.DASHES[0]))
            painter.drawPolyline([QPointF(a, b) for a, b in zip(places, heights, strict=True)])
        painter.setPen(pen(tokens.accent, 2.0))
        middle = panel.y(value).tolist()
        painter.drawPolyline([QPointF(a, b) for a, b in zip(across, middle, strict=True)])

    def _paint_breakpoints(self, painter: QPainter) -> None:
        tokens = self._theme.tokens
        chosen = self.chosen
        for each in self.breakpoints:
            point = self.handle_point(each)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
            painter.setPen(pen(tokens.soft, 1.0, (2, 3)))
            for panel in self.panels[1:]:
                painter.drawLine(
                    QLineF(point.x(), panel.rect.top(), point.x(), panel.rect.bottom())
                )
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
            if chosen is not None and each.position == chosen.position:
                painter.setPen(pen(tokens.accent, 1.5))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawEllipse(point, 9.0, 9.0)
            painter.setPen(pen(tokens.accent, 2.0))
            painter.setBrush(QColor(tokens.accent if each.fixed else tokens.card))
            painter.drawEllipse(point, 5.0, 5.0)
            if each.fixed:
                self._paint_lock(painter, QPointF(point.x(), point.y() - 15.0))
        if self._ghost is not None:
            x = float(self.x(self._ghost))
            rect = self.panels[0].rect
            painter.setPen(pen(tokens.accent, 1.0))
            painter.drawLine(QLineF(x, rect.top(), x, rect.bottom()))

    def _paint_lock(self, painter: QPainter, middle: QPointF) -> None:
        """A small padlock: held is told by shape as well as by colour."""
        tokens = self._theme.tokens
        painter.setPen(pen(tokens.ink, 1.3))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawArc(QRectF(middle.x() - 2.5, middle.y() - 5.0, 5.0, 6.0), 0, 180 * 16)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(tokens.ink))
        painter.drawRoundedRect(QRectF(middle.x() - 4.0, middle.y() - 2.0, 8.0, 6.0), 1.0, 1.0)

    def _paint_pointer(self, painter: QPainter) -> None:
        if self._pointer is None or self._desk.study is None or self._ghost is not None:
            return
        x = float(self.x(self._pointer))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(pen(self._theme.tokens.crosshair, 1.0))
        for panel in self.panels:
            painter.drawLine(QLineF(x, panel.rect.top(), x, panel.rect.bottom()))

    def _paint_strip(self, painter: QPainter) -> None:
        tokens, study = self._theme.tokens, self._desk.study
        rect = QRectF(LEFT, 2.0, self.width() - LEFT - RIGHT, STRIP - 2.0)
        painter.setFont(theming.font(9.0))
        words = self.reading()
        if words:
            painter.setPen(QColor(tokens.ink))
        else:
            painter.setPen(QColor(tokens.soft))
            if study is not None and study.fit is None:
                words = study.why_not
            elif study is not None:
                words = "Drag a ring to move a breakpoint; double-click to fix one."
        metrics = QFontMetricsF(painter.font())
        words = metrics.elidedText(words, Qt.TextElideMode.ElideRight, rect.width())
        painter.drawText(rect, int(_LEFT), words)


__all__ = ["Breakpoint", "MeasurePlots"]
