"""The angle of the line across the stream, from above: a ring on an arc that can be moved."""

from __future__ import annotations

import math

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPolygonF
from PySide6.QtWidgets import QSizePolicy

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.painted import LEFT, RIGHT, write
from taperlab.gui.kit.theme import pen
from taperlab.gui.pages.water.desk import WaterDesk
from taperlab.gui.pages.water.held import Held
from taperlab.gui.pages.water.painted import paint_bed
from taperlab.model.swing import STEEPEST
from taperlab.shop.water.words import angle_words
from taperlab.units.language import tr

FINE, COARSE = math.radians(1.0), math.radians(5.0)
"""What a key turns the line by, alone and with Shift or Page."""

TICKS = (0, 15, 30, 45, 60)


class PlanView(Held):
    """Rod at the left, the river flows to the right; straight below is along the bank."""

    def __init__(self, desk: WaterDesk) -> None:
        super().__init__(desk, "angle")
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Angle of the line across the stream"))
        self.setToolTip(tr("Drag the ring, or turn the line by the arrow keys, a degree a press"))
        desk.follow(self.refresh, lambda: (desk.swing.angle,))

    def refresh(self) -> None:
        """Show the angle as it is now."""
        self.say_all(self._desk.place.read(angle_words(self._desk.swing.angle)))

    # -- places --------------------------------------------------------------------------------

    @property
    def _rod(self) -> QPointF:
        return QPointF(theming.px(26), self.height() - self.row * 1.5)

    @property
    def _long(self) -> float:
        high = (self._rod.y() - self.row * 0.9) / math.sin(STEEPEST)
        return min(high, self.width() - self._rod.x() - theming.px(70))

    def ring_at(self, angle: float) -> QPointF:
        """Where the ring of an angle [rad] lies."""
        return self._rod + QPointF(math.cos(angle), -math.sin(angle)) * self._long

    # -- drawing -------------------------------------------------------------------------------

    def draw(self, painter: QPainter) -> None:
        """Draw river, bank, arc, line and ring."""
        tokens, row = self.tokens, self.row
        rod, long = self._rod, self._long
        bank = self.height() - row * 0.8
        painter.fillRect(QRectF(0.0, 0.0, self.width(), bank), QColor(tokens.water))
        paint_bed(painter, QRectF(0.0, bank, self.width(), self.height() - bank), tokens)
        painter.setPen(pen(tokens.soft, 1.0))
        arc = QRectF(rod.x() - long, rod.y() - long, 2.0 * long, 2.0 * long)
        painter.drawArc(arc, 0, round(math.degrees(STEEPEST) * 16))
        for degrees in TICKS:
            way = QPointF(math.cos(math.radians(degrees)), -math.sin(math.radians(degrees)))
            painter.drawLine(QLineF(rod + way * (long - 4.0), rod + way * (long + 4.0)))
        right = self.width() - 6.0
        tip = QPointF(right, row * 0.7)
        painter.drawLine(QLineF(tip - QPointF(theming.px(40), 0.0), tip))
        painter.setBrush(QColor(tokens.soft))
        painter.drawPolygon(QPolygonF([tip, tip + QPointF(-6, -3), tip + QPointF(-6, 3)]))
        flow = QRectF(0.0, 0.2 * row, right - theming.px(46), row)
        write(painter, tr("flow"), flow, tokens.soft, RIGHT)
        ring = self.ring_at(self._desk.swing.angle)
        painter.setPen(pen(tokens.accent, 2.5))
        painter.drawLine(QLineF(rod, ring))
        painter.setBrush(QColor(tokens.card))
        painter.drawEllipse(ring, 6.0, 6.0)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(tokens.ink))
        painter.drawEllipse(rod, 3.5, 3.5)
        write(painter, tr("rod"), QRectF(2.0, rod.y() - row * 1.5, 60.0, row), tokens.ink)
        degrees = round(math.degrees(self._desk.swing.angle))
        beside = QRectF(ring.x() + 11.0, ring.y() - row / 2.0, 60.0, row)
        write(painter, f"{degrees}°", beside, tokens.ink, LEFT)

    # -- turning the line ----------------------------------------------------------------------

    def value_at(self, point: QPointF) -> float:
        """The angle there [rad]."""
        way = point - self._rod
        return math.atan2(-way.y(), max(way.x(), 1.0))

    def value_by(self, event: QKeyEvent) -> float | None:
        """Arrows turn it by a degree, with Shift and by page keys by five; Home, End: the ends."""
        angle = self._desk.swing.angle
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        step = COARSE if shift else FINE
        to = {
            Qt.Key.Key_Up: angle + step,
            Qt.Key.Key_Right: angle - step,
            Qt.Key.Key_Down: angle - step,
            Qt.Key.Key_Left: angle + step,
            Qt.Key.Key_PageUp: angle + COARSE,
            Qt.Key.Key_PageDown: angle - COARSE,
            Qt.Key.Key_Home: 0.0,
            Qt.Key.Key_End: STEEPEST,
        }
        return to.get(Qt.Key(event.key()))

    def move_to(self, value: float) -> None:
        """Turn the line to the nearest degree that can be."""
        self.grasp.move(min(max(round(value / FINE) * FINE, 0.0), STEEPEST))

    def sizeHint(self) -> QSize:
        """High enough to tell degrees apart."""
        return QSize(theming.px(220), theming.px(132))

    def minimumSizeHint(self) -> QSize:
        """No lower."""
        return QSize(theming.px(180), theming.px(132))
