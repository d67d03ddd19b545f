"""Depth of the fly against the current, for all rigs compared; the current can be dragged there.

This chart and that of settling are no stacks of the plot kit: a stack lies along a line, one
distance across and values up, and its mouse, keys and crosshair read and drag places of that line.
Here depth runs down from a surface to a bed, the crosshair is the current itself, which moves what
is fished, and bands and bars carry what is unsure. Words for screen readers, the ring of the
keyboard and what is kept as painted are those of all drawings (``kit/painted.py``).
"""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QPainter,
    QPainterPath,
    QPolygonF,
    QRegion,
)

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.painted import CENTRE, LEFT, write
from taperlab.gui.kit.theme import IN_HAND, SMALL, pen
from taperlab.gui.pages.water.desk import WaterDesk
from taperlab.gui.pages.water.held import Held
from taperlab.gui.pages.water.painted import (
    Scale,
    edge_pen,
    paint_bed,
    paint_depths,
    paint_surface,
    paint_upright,
    points_in,
    round_depth,
    wash,
)
from taperlab.gui.plots.axis import step_for, ticks
from taperlab.gui.plots.styles import Dash, style_at
from taperlab.model.exact_units import FOOT
from taperlab.physics.frustum import Array
from taperlab.shop.water.asking import PACES
from taperlab.shop.water.choices import Choice
from taperlab.shop.water.study import DepthCurve
from taperlab.shop.water.words import curve_words
from taperlab.units.kinds import CURRENT
from taperlab.units.language import tr
from taperlab.units.show import from_unit, shown_unit

SAMPLE = 22.0
"""Of a curve, before its name [px]."""

DEEPEST_SPEED = 2.0 * FOOT
"""Where the depth is not bounded by a bed, the axis holds what is deep at this current [m/s]."""

DOTTED: Dash = (1.0, 2.2)
"""What curves of before a change are drawn in [pen widths]."""

SLOWEST = 0.5 * FOOT
FINE, COARSE = 0.1, 0.5
"""What a key moves the current by, alone and with Shift [ft/s or m/s]."""


def colour_of(desk: WaterDesk, choice: Choice) -> tuple[str, Dash | None]:
    """Colour and dash that a rig is drawn with: those of its place, or the accent if looked at."""
    tokens = desk.place.theme.tokens
    if choice is desk.focus:
        return tokens.accent, None
    return style_at(desk.choices.index(choice), tokens)


class DepthPlot(Held):
    """Curves of depth, with their bands; an upright line stands at the current and can be moved."""

    def __init__(self, desk: WaterDesk) -> None:
        super().__init__(desk, "speed")
        self._names: QRectF | None = None
        self.setCursor(Qt.CursorShape.SizeHorCursor)
        self.setAccessibleName(tr("Depth of the fly against the current"))
        self.setToolTip(
            tr("Drag to another current; the arrow keys move it too, with Shift by more")
        )
        desk.follow(self.refresh)

    def refresh(self) -> None:
        """Show the curves as they are now."""
        desk = self._desk
        said = [
            desk.place.read(curve_words(name, curve, desk.swing.speed))
            for name, curve in self._named()
        ]
        self.say_all(" ".join(said))

    def _named(self) -> list[tuple[str, DepthCurve]]:
        by_rig = {id(each.looped): each for each in self._desk.compared}
        return [
            (by_rig[id(curve.rig)].name, curve)
            for curve in self._desk.curves
            if id(curve.rig) in by_rig
        ]

    # -- scales --------------------------------------------------------------------------------

    def scale(self) -> Scale:
        """Where currents and depths lie."""
        desk, row = self._desk, self.row
        left, right = theming.px(40), theming.px(14)
        hatched = row * 1.2 if desk.swing.bed is not None else 4.0
        room = QRectF(self.rect()).adjusted(left, row * 2.6, -right, -hatched - row * 3.4)
        return Scale(room, SLOWEST, desk.reach, self._deep())

    def _deep(self) -> float:
        desk = self._desk
        if desk.swing.bed is not None:
            return desk.swing.bed
        found = [2.0 * FOOT]
        for curve in desk.curves:
            there = curve.speed >= DEEPEST_SPEED - 1e-9
            highs = np.where(np.isfinite(curve.high), curve.high, curve.depth)[there]
            found += [float(each) for each in highs[np.isfinite(highs)]]
        return round_depth(max(found) * 1.02, desk.system)

    # -- drawing -------------------------------------------------------------------------------

    def still_by(self) -> tuple[object, ...]:
        """All but the current: it moves over curves that stay."""
        desk = self._desk
        late = desk.is_chart_old
        bed = desk.swing.bed
        return (desk.curves, desk.compared, desk.focus, late, bed, desk.reach, desk.system)

    def draw(self, painter: QPainter) -> None:
        """Draw the current over them, but not over their names."""
        painter.save()
        if self._names is not None:
            whole = QRegion(self.rect())
            painter.setClipRegion(whole.subtracted(QRegion(self._names.toAlignedRect())))
        self._draw_here(painter, self.scale())
        painter.restore()

    def draw_still(self, painter: QPainter) -> None:
        """Draw axes, bands and curves."""
        desk, tokens, row = self._desk, self.tokens, self.row
        scale = self.scale()
        room = scale.room
        painter.setFont(theming.font(theming.BODY))
        write(
            painter,
            tr("Depth against the current, before the change")
            if desk.is_chart_old and desk.curves
            else tr("Depth against the current"),
            QRectF(8, 0, self.width() - 16, row * 1.2),
            tokens.ink,
        )
        painter.setFont(theming.font(SMALL))
        self._draw_across(painter, scale)
        paint_depths(painter, scale, tokens, desk.system, ruled=True)
        if desk.swing.bed is not None:
            paint_bed(painter, QRectF(room.left(), room.bottom(), room.width(), row * 1.1), tokens)
        paint_surface(painter, scale, tokens)
        painter.save()
        painter.setClipRect(room.adjusted(0.0, 0.0, 1.0, 1.0))
        curves = self._named()
        compared = {each.name: each for each in desk.compared}
        for name, curve in reversed(curves):
            self._draw_curve(painter, scale, curve, compared[name], len(curves))
        painter.restore()
        self._draw_names(painter, scale, [compared[name] for name, _ in curves])
        if desk.swing.bed is not None:
            self._say_bottom(painter, scale, [curve for _, curve in curves])

    def _draw_across(self, painter: QPainter, scale: Scale) -> None:
        desk, tokens, row, room = self._desk, self.tokens, self.row, scale.room
        unit = shown_unit(CURRENT, desk.system)
        size = from_unit(1.0, unit, CURRENT)
        most = max(2, int(room.width() / theming.px(36)))
        step = step_for((scale.end - scale.start) / size, most)
        base = room.bottom() + (row * 1.15 if desk.swing.bed is not None else 3.0)
        for each in ticks(scale.start / size, scale.end / size, most):
            x = scale.across(each * size)
            painter.setPen(pen(tokens.rule, 1.0))
            painter.drawLine(QLineF(x, room.top(), x, room.bottom()))
            write(
                painter,
                f"{each:g}" if step >= 1.0 else f"{each:.1f}",
                QRectF(x - 24.0, base, 48.0, row),
                tokens.soft,
                CENTRE,
            )
        edge = room.left() - theming.px(36)
        for pace in PACES:
            x = scale.across(pace.speed)
            words = tr(pace.name)
            wide = painter.fontMetrics().horizontalAdvance(words)
            left = max(x - wide / 2.0, edge)
            if left + wide > self.width():
                continue
            painter.setPen(pen(tokens.field, 2.0))
            painter.drawLine(QLineF(x, base + row + 1.0, x, base + row + 5.0))
            write(painter, words, QRectF(left, base + row + 5.0, wide + 1.0, row), tokens.soft)
            edge = left + wide + 8.0
        title = tr("{unit} at the surface, by the line").format(unit=unit)
        write(
            painter,
            title,
            QRectF(0.0, base + 2.0 * row + 4.0, self.width(), row),
            tokens.soft,
            CENTRE,
        )

    def _draw_curve(
        self, painter: QPainter, scale: Scale, curve: DepthCurve, choice: Choice, count: int
    ) -> None:
        desk = self._desk
        colour, dash = colour_of(desk, choice)
        if desk.is_chart_old:  # of before a change: no more than where they were
            colour, dash = self.tokens.soft, DOTTED
        elif choice is desk.focus:
            self._draw_band(painter, scale, curve, colour)
        else:
            self._draw_bars(painter, scale, curve, choice, colour, count)
        reached = curve.depth
        if desk.swing.bed is not None and np.isnan(reached).any():
            reached = _to_the_bed(reached, scale.deep)
        for speeds, depths in _runs(
            curve.speed, np.where(reached > 1.9 * scale.deep, np.nan, reached)
        ):
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(pen(colour, IN_HAND if dash is None else 1.5, dash))
            painter.drawPolyline(_polygon(scale, speeds, depths))

    def _draw_band(self, painter: QPainter, scale: Scale, curve: DepthCurve, colour: str) -> None:
        known = np.isfinite(curve.low)
        # Where it may lie on the bottom, the band goes down to the edge of the plot.
        high = _to_the_bed(curve.high, scale.deep)
        if not known.any():
            return
        speeds, lows, highs = curve.speed[known], curve.low[known], high[known]
        path = QPainterPath()
        path.addPolygon(_polygon(scale, np.r_[speeds, speeds[::-1]], np.r_[lows, highs[::-1]]))
        painter.fillPath(path, wash(self.tokens, colour))
        painter.setPen(edge_pen(colour))
        for edge in (lows, highs):
            painter.drawPolyline(_polygon(scale, speeds, edge))

    def _draw_bars(
        self,
        painter: QPainter,
        scale: Scale,
        curve: DepthCurve,
        choice: Choice,
        colour: str,
        count: int,
    ) -> None:
        """Range bars at whole feet a second within the plot, those of each rig side by side."""
        place = [each.key for each in self._desk.compared].index(choice.key)
        beside = (place - count / 2.0) * 14.0
        for whole in range(1, int(scale.end / FOOT - 0.5) + 1):
            at = int(np.argmin(np.abs(curve.speed - whole * FOOT)))
            low, middle, high = curve.low[at], curve.depth[at], curve.high[at]
            if abs(curve.speed[at] - whole * FOOT) > 1e-9 or not math.isfinite(low):
                continue
            x = scale.across(float(curve.speed[at])) + beside
            room = QRectF(x - 7.0, scale.room.top(), 14.0, scale.room.height())
            depths = (float(low), float(middle), float(high))
            paint_upright(painter, room, depths, scale, colour, self.tokens)

    def _draw_here(self, painter: QPainter, scale: Scale) -> None:
        desk, tokens = self._desk, self.tokens
        if not scale.start <= desk.swing.speed <= scale.end:
            return
        x = scale.across(desk.swing.speed)
        painter.setPen(pen(tokens.ink, 1.2))
        painter.drawLine(QLineF(x, scale.room.top() - 4.0, x, scale.room.bottom()))
        line = desk.line
        if line is None or not line.is_seen:
            return
        point = scale.point(desk.swing.speed, float(line.shape.depth[0]))
        if point.y() <= scale.room.bottom():
            painter.setPen(pen(tokens.accent, 2.0))
            painter.setBrush(QColor(tokens.card))
            painter.drawEllipse(point, 5.0, 5.0)

    def _draw_names(self, painter: QPainter, scale: Scale, shown: list[Choice]) -> None:
        """Whose curves they are, in a corner where no curve lies, if there is one."""
        if self._desk.is_chart_old:
            shown = []  # none is drawn in the ink of its rig
        self._names = box = self._free_corner(painter, scale, shown) if shown else None
        if box is None:
            return
        row, sample, metrics = self.row, SAMPLE, painter.fontMetrics()
        painter.fillRect(box, QColor(self.tokens.card))
        for i, choice in enumerate(shown):
            y = box.top() + 2.0 + row * 1.15 * i
            colour, dash = colour_of(self._desk, choice)
            painter.setPen(pen(colour, IN_HAND if dash is None else 1.5, dash))
            middle, left = round(y + row / 2.0) + 0.5, box.left() + 4.0
            painter.drawLine(QLineF(left, middle, left + sample - 5.0, middle))
            name = QRectF(left + sample, y, box.right() - left - sample, row)
            end = Qt.TextElideMode.ElideRight
            shortened = metrics.elidedText(choice.name, end, int(name.width()))
            write(painter, shortened, name, self.tokens.ink, LEFT)

    def _free_corner(self, painter: QPainter, scale: Scale, shown: list[Choice]) -> QRectF | None:
        """Room for the names in a corner of the plot, shortened where they must be."""
        room, row = scale.room, self.row
        names = [painter.fontMetrics().horizontalAdvance(each.name) for each in shown]
        high = row * 1.15 * len(shown) + 4.0
        points = self._points(scale)
        for share in (1.0, 0.7, 0.5):
            wide = min(share * max(names, default=0) + 4.0, 0.6 * room.width()) + SAMPLE + 8.0
            for top in (room.bottom() - high - 2.0, room.top() + 4.0):
                for left in (room.right() - wide - 2.0, room.left() + 4.0):
                    box = QRectF(left, top, wide, high)
                    if not points_in(points, box.adjusted(-12.0, -6.0, 12.0, 6.0)):
                        return box
        return None

    def _points(self, scale: Scale) -> tuple[Array, Array]:
        """Points of all curves and of their bands [px]."""
        curves = self._desk.curves
        speeds = [curve.speed for curve in curves for _ in range(3)]
        depths = [each for curve in curves for each in (curve.low, curve.depth, curve.high)]
        if not curves:
            return np.empty(0), np.empty(0)
        return scale.places(np.concatenate(speeds), np.concatenate(depths))

    def _say_bottom(self, painter: QPainter, scale: Scale, curves: list[DepthCurve]) -> None:
        if not any(np.isnan(curve.depth).any() for curve in curves):
            return
        room, row = scale.room, self.row
        words = tr("lies on the bottom: no figure")
        wide = painter.fontMetrics().horizontalAdvance(words) + 8.0
        where = QRectF(room.left(), room.bottom() + 2.0, wide, row)
        painter.fillRect(where, QColor(self.tokens.card))
        write(painter, words, where.adjusted(3.0, 0.0, 0.0, 0.0), self.tokens.ink, LEFT)

    # -- moving the current --------------------------------------------------------------------

    def take_hold(self) -> None:
        """The scale of the drag is that of its start."""
        self._reach = self.scale()

    def value_at(self, point: QPointF) -> float:
        """The current there [m/s]."""
        return self._reach.value_at(point.x())

    def value_by(self, event: QKeyEvent) -> float | None:
        """Arrows move it by a step, with Shift by a larger one."""
        ways = {Qt.Key.Key_Left: -1.0, Qt.Key.Key_Right: 1.0}
        way = ways.get(Qt.Key(event.key()))
        if way is None:
            return None
        far = COARSE if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else FINE
        size = from_unit(1.0, shown_unit(CURRENT, self._desk.system), CURRENT)
        return self.grasp.value + way * far * size

    def move_to(self, value: float) -> None:
        """Let the current be that, on the chart or as fast as it is."""
        size = from_unit(1.0, shown_unit(CURRENT, self._desk.system), CURRENT)
        value = min(max(value, 0.0), max(self._desk.reach, self._desk.swing.speed))
        self.grasp.move(round(value / (FINE * size)) * FINE * size)

    def sizeHint(self) -> QSize:
        """As on a usual screen."""
        return QSize(theming.px(430), theming.px(330))

    def minimumSizeHint(self) -> QSize:
        """In which something can be told."""
        return QSize(theming.px(215), theming.px(210))


def _runs(x: Array, y: Array) -> list[tuple[Array, Array]]:
    """The stretches of a curve where it is known."""
    known = np.isfinite(y)
    edges = np.flatnonzero(np.diff(np.r_[False, known, False].astype(int)))
    return [(x[a:b], y[a:b]) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def _to_the_bed(highs: Array, deep: float) -> Array:
    """Depths with what is not known filled in: where a curve comes up from the bed, it runs on.

    The one before the first known lies on the line through the next two, or deeper than the bed;
    all others are far below it.
    """
    filled = np.where(np.isfinite(highs), highs, 2.0 * deep)
    first = int(np.argmax(np.isfinite(highs)))
    if 0 < first < len(highs) - 1 and np.isfinite(highs[first + 1]):
        filled[first - 1] = max(deep, 2.0 * highs[first] - highs[first + 1])
    return filled


def _polygon(scale: Scale, x: Array, depth: Array) -> QPolygonF:
    pairs = zip(x.tolist(), depth.tolist(), strict=True)
    return QPolygonF([scale.point(a, b) for a, b in pairs])
