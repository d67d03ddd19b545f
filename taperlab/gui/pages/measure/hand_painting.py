"""Paints the breakpoints of a fit, the one that is being moved, and where is pointed."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from taperlab.gui.kit.theme import Tokens
from taperlab.gui.pages.measure.hand import Hand
from taperlab.gui.pages.measure.stage import MeasureStage
from taperlab.gui.plots.marks import pen


def paint_breakpoints(painter: QPainter, stage: MeasureStage, hand: Hand, tokens: Tokens) -> None:
    """A ring for each breakpoint, full and with a padlock where it is held."""
    chosen = hand.chosen
    for each in hand.breakpoints:
        point = stage.outline_point(each.position, each.diameter)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(pen(tokens.soft, 1.0, (2, 3)))
        for panel in stage.panels[1:]:
            painter.drawLine(_upright(panel.rect, point.x()))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        if chosen is not None and each.position == chosen.position:
            painter.setPen(pen(tokens.accent, 1.5))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawEllipse(point, 9.0, 9.0)
        painter.setPen(pen(tokens.accent, 2.0))
        painter.setBrush(QColor(tokens.accent if each.fixed else tokens.card))
        painter.drawEllipse(point, 5.0, 5.0)
        if each.fixed:
            _paint_lock(painter, QPointF(point.x(), point.y() - 15.0), tokens)
    if hand.ghost is not None:
        painter.setPen(pen(tokens.accent, 1.0))
        painter.drawLine(_upright(stage.panels[0].rect, float(stage.x(hand.ghost))))


def paint_pointer(painter: QPainter, stage: MeasureStage, hand: Hand, tokens: Tokens) -> None:
    """An upright through all plots where is pointed."""
    if hand.pointer is None or stage.desk.study is None or hand.ghost is not None:
        return
    x = float(stage.x(hand.pointer))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    painter.setPen(pen(tokens.crosshair, 1.0))
    for panel in stage.panels:
        painter.drawLine(_upright(panel.rect, x))


def _upright(rect: QRectF, x: float) -> QLineF:
    return QLineF(x, rect.top(), x, rect.bottom())


def _paint_lock(painter: QPainter, middle: QPointF, tokens: Tokens) -> None:
    """A small padlock: held is told by shape as well as by colour."""
    painter.setPen(pen(tokens.ink, 1.3))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawArc(QRectF(middle.x() - 2.5, middle.y() - 5.0, 5.0, 6.0), 0, 180 * 16)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(tokens.ink))
    painter.drawRoundedRect(QRectF(middle.x() - 4.0, middle.y() - 2.0, 8.0, 6.0), 1.0, 1.0)
