"""Paints what stands round a measurement's plots: grid, labels, captions, the line of text."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import Tokens
from taperlab.gui.pages.measure.stage import STRIP, MeasureStage, Panel
from taperlab.gui.plots.marks import Frame, pen
from taperlab.gui.plots.panel import LEFT, PIXELS_A_TICK_ACROSS, RIGHT
from taperlab.gui.plots.scales import distance_scale
from taperlab.gui.plots.ticks import step_for, tick_text, ticks

_CENTRE = int(Qt.AlignmentFlag.AlignCenter)
_LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
_RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)


def paint_axes(painter: QPainter, stage: MeasureStage, tokens: Tokens) -> None:
    """Grid, labels and captions of every plot, and the distance axis that they share."""
    for panel in stage.panels:
        _paint_upright(painter, panel, tokens, outline=panel is stage.panels[0])
        _paint_caption(painter, stage, panel, tokens)
    _paint_distance(painter, stage, tokens)


def paint_words(painter: QPainter, width: float, words: str, colour: str) -> None:
    """One line of text above the plots of a widget so wide, in pixels."""
    rect = QRectF(LEFT, 2.0, width - LEFT - RIGHT, STRIP - 2.0)
    painter.setFont(theming.font(9.0))
    painter.setPen(QColor(colour))
    metrics = QFontMetricsF(painter.font())
    words = metrics.elidedText(words, Qt.TextElideMode.ElideRight, rect.width())
    painter.drawText(rect, _LEFT, words)


def _paint_upright(painter: QPainter, panel: Panel, tokens: Tokens, *, outline: bool) -> None:
    rect = panel.rect
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    for tick in panel.ticks:
        y = float(panel.y(tick * panel.unit))
        painter.setPen(QColor(tokens.rule if tick == 0.0 else tokens.hover))
        painter.drawLine(QLineF(rect.left(), y, rect.right(), y))
        painter.setPen(QColor(tokens.soft))
        text = tick_text(abs(tick) if outline else tick, panel.step)
        painter.drawText(QRectF(0.0, y - 8.0, LEFT - 8.0, 16.0), _RIGHT, text)


def _paint_caption(painter: QPainter, stage: MeasureStage, panel: Panel, tokens: Tokens) -> None:
    rect = panel.rect
    painter.setPen(QColor(tokens.soft))
    caption = QRectF(rect.left(), rect.top() - Frame.CAPTION, rect.width(), Frame.CAPTION)
    painter.drawText(caption, _LEFT, panel.title)
    text, dash = _note(stage, panel)
    metrics = QFontMetricsF(painter.font())
    room = caption.width() - metrics.horizontalAdvance(panel.title) - 60.0
    if not text or room < 60.0:
        return
    text = metrics.elidedText(text, Qt.TextElideMode.ElideRight, room)
    painter.drawText(caption, _RIGHT, text)
    right = caption.right() - metrics.horizontalAdvance(text) - 6.0
    y = caption.center().y()
    if dash:
        painter.setPen(pen(tokens.crosshair, 1.0, dash))
        painter.drawLine(QPointF(right - 20.0, y), QPointF(right, y))
    else:
        painter.fillRect(QRectF(right - 14.0, y - 4.5, 14.0, 9.0), QColor(tokens.band))


def _note(stage: MeasureStage, panel: Panel) -> tuple[str, tuple[float, ...] | None]:
    """What the band, or the dashed curve of a plot is; the dash, if it is that."""
    study, design = stage.desk.study, stage.desk.design
    if study is None or study.fit is None:
        return "", None
    if panel is stage.panels[1]:
        return "band: what scatter and steps explain, 95 in 100", None
    if panel is stage.panels[2]:
        if design:
            return f"as designed: {design.name}", theming.DASHES[0]
        return "band: ± at 95 in 100", None
    return "", None


def _paint_distance(painter: QPainter, stage: MeasureStage, tokens: Tokens) -> None:
    scale = distance_scale(stage.desk.system)
    rect, bottom = stage.panels[0].rect, stage.panels[-1].rect.bottom()
    low, high = (each / scale.unit for each in stage.span)
    most = max(2, int(rect.width() / PIXELS_A_TICK_ACROSS))
    step = step_for(high - low, most)
    for tick in ticks(low, high, most):
        if tick < 0.0:
            continue
        x = float(stage.x(tick * scale.unit))
        painter.setPen(QColor(tokens.hover))
        for panel in stage.panels:
            painter.drawLine(QLineF(x, panel.rect.top(), x, panel.rect.bottom()))
        painter.setPen(QColor(tokens.soft))
        text = tick_text(tick, step)
        painter.drawText(QRectF(x - 30.0, bottom + 3.0, 60.0, 15.0), _CENTRE, text)
    painter.setPen(QColor(tokens.soft))
    below = QRectF(rect.left() - 30.0, bottom + 18.0, rect.width() + 30.0, 15.0)
    painter.drawText(below, _CENTRE, scale.title)
