"""Paints what a study found: the fitted outline, how far stations lie off it, and the weight."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import Tokens, ink_on
from taperlab.gui.pages.measure.stage import MeasureStage, Panel
from taperlab.gui.plots.marks import SHORT_NAMES, SMALL, pen
from taperlab.shop.measure.study import Study
from taperlab.shop.measure.uncertainty import CONFIDENT

Paint = Callable[[QPainter, MeasureStage, Panel, Study, Tokens], None]


def paint_study(painter: QPainter, stage: MeasureStage, tokens: Tokens) -> None:
    """All three plots, each inside its own rectangle."""
    study = stage.desk.study
    if study is None:
        return
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    paints: tuple[Paint, ...] = (_paint_outline, _paint_residuals, _paint_weight)
    for panel, paint in zip(stage.panels, paints, strict=True):
        painter.save()
        painter.setClipRect(panel.rect.adjusted(-6, -7, 6, 7))
        paint(painter, stage, panel, study, tokens)
        painter.restore()


def _paint_outline(
    painter: QPainter, stage: MeasureStage, panel: Panel, study: Study, tokens: Tokens
) -> None:
    if study.fit is not None:
        fit, line = study.fit.densities, study.fit.line
        x = stage.x(fit.positions).tolist()
        top, bottom = panel.y(fit.diameters).tolist(), panel.y(-fit.diameters).tolist()
        painter.setPen(Qt.PenStyle.NoPen)
        for i, segment in enumerate(line.segments):
            painter.setBrush(QColor(tokens.parts[segment.part]))
            painter.drawPolygon(_band(x[i : i + 2], top[i : i + 2], bottom[i : i + 2]))
        painter.setFont(theming.font(SMALL))
        metrics = QFontMetricsF(painter.font())
        middle = (panel.rect.top() + panel.rect.bottom()) / 2.0
        for i, segment in enumerate(line.segments):
            width = x[i + 1] - x[i]
            thick = bottom[i] + bottom[i + 1] - top[i] - top[i + 1]
            for name in SHORT_NAMES[segment.part]:
                if metrics.horizontalAdvance(name) + 12.0 <= width and thick / 2.0 > 18.0:
                    painter.setPen(QColor(ink_on(tokens.parts[segment.part])))
                    room = QRectF(x[i], middle - 9.0, width, 18.0)
                    painter.drawText(room, int(Qt.AlignmentFlag.AlignCenter), name)
                    break
    _paint_stations(painter, stage, panel, study, tokens)


def _paint_stations(
    painter: QPainter, stage: MeasureStage, panel: Panel, study: Study, tokens: Tokens
) -> None:
    """Points on the upper edge, with their errors where these can be seen."""
    points = study.stations
    used = study.fit.shape.used if study.fit is not None else np.ones(len(points.distances))
    x, y = stage.x(points.distances).tolist(), panel.y(points.diameters).tolist()
    reach = CONFIDENT * points.errors / panel.unit
    reach = (reach / (panel.high - panel.low) * panel.rect.height()).tolist()
    for i in range(len(x)):
        _paint_point(painter, QPointF(x[i], y[i]), reach[i], bool(used[i]), tokens)


def _paint_point(
    painter: QPainter, point: QPointF, reach: float, used: bool, tokens: Tokens
) -> None:
    """A station: a dot with its error, or a cross where it was left out of the fit."""
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


def _paint_residuals(
    painter: QPainter, stage: MeasureStage, panel: Panel, study: Study, tokens: Tokens
) -> None:
    if study.fit is None:
        return
    shape = study.fit.shape
    x = stage.x(shape.stations.distances).tolist()
    band = CONFIDENT * shape.stations.errors
    upper, lower = panel.y(band).tolist(), panel.y(-band).tolist()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    # The error of the first and last station stands for the ends too.
    edges = [float(stage.x(0.0)), *x, float(stage.x(study.fit.line.length))]
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(tokens.band))
    painter.drawPolygon(_band(edges, [upper[0], *upper, upper[-1]], [lower[0], *lower, lower[-1]]))
    painter.setPen(QColor(tokens.soft))
    zero = float(panel.y(0.0))
    painter.drawLine(QLineF(panel.rect.left(), zero, panel.rect.right(), zero))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    heights = panel.y(shape.residuals).tolist()
    for i, used in enumerate(shape.used.tolist()):
        height = min(max(heights[i], panel.rect.top()), panel.rect.bottom())
        _paint_point(painter, QPointF(x[i], height), 0.0, used, tokens)


def _paint_weight(
    painter: QPainter, stage: MeasureStage, panel: Panel, study: Study, tokens: Tokens
) -> None:
    if not stage.weight:
        return
    x, value, error = stage.weight
    across = stage.x(x).tolist()
    upper, lower = panel.y(value + error).tolist(), panel.y(value - error).tolist()
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(tokens.band))
    painter.drawPolygon(_band(across, upper, lower))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    design = stage.desk.design
    if design is not None and design.segments:
        curves = stage.desk.document.analysis(design.key).curves
        heights = panel.y(curves.linear_density).tolist()
        painter.setPen(pen(tokens.crosshair, 1.0, theming.DASHES[0]))
        painter.drawPolyline(_points(stage.x(curves.position).tolist(), heights))
    painter.setPen(pen(tokens.accent, 2.0))
    painter.drawPolyline(_points(across, panel.y(value).tolist()))


def _points(across: Sequence[float], heights: Sequence[float]) -> list[QPointF]:
    return [QPointF(x, y) for x, y in zip(across, heights, strict=True)]


def _band(across: Sequence[float], upper: Sequence[float], lower: Sequence[float]) -> QPolygonF:
    """The area between two curves over the same places."""
    return QPolygonF(_points(across, upper) + _points(across[::-1], lower[::-1]))
