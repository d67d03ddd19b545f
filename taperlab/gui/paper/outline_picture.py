"""The outline of a line or a rig as a picture for paper."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPen, QPolygonF

from taperlab.gui.kit import theme as theming
from taperlab.shop.whole import Whole
from taperlab.units.language import tr
from taperlab.units.words import word

WIDTH, HEIGHT = 1800, 260
BRACKETS = 54
"""More height where the lines of a rig are told under it."""

EDGE = 4.0
MIDDLE, HALF = 120.0, 95.0
"""Where the middle of the line lies, and half of its thickest place [px]."""


def outline_picture(whole: Whole) -> QImage:
    """The outline, its thickness much exaggerated; of a rig the joints and the names of its lines.

    Shown 670 px wide, it is as fine as paper wants it.
    """
    tokens = theming.LIGHT
    analysis, looped = whole.analysis, whole.looped
    below = BRACKETS if looped else 0
    image = QImage(WIDTH, HEIGHT + below, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    if not analysis.segments:
        return image
    profile = analysis.profile
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    thickest = max(profile.front_diameters.max(), profile.rear_diameters.max())
    across = (WIDTH - 2.0 * EDGE) / profile.length
    painter.setFont(theming.face(17.0))
    for i, segment in enumerate(analysis.line.segments):
        x1, x2 = EDGE + profile.starts[i] * across, EDGE + profile.starts[i + 1] * across
        h1 = HALF * segment.front_diameter / thickest
        h2 = HALF * segment.rear_diameter / thickest
        painter.setPen(QColor("white"))
        colour = tokens.parts[segment.part]
        painter.setBrush(QColor(colour))
        painter.drawPolygon(
            QPolygonF(
                [
                    QPointF(x1, MIDDLE - h1),
                    QPointF(x2, MIDDLE - h2),
                    QPointF(x2, MIDDLE + h2),
                    QPointF(x1, MIDDLE + h1),
                ]
            )
        )
        text = word(segment.part)
        if painter.fontMetrics().horizontalAdvance(text) + 12 < x2 - x1 and min(h1, h2) > 24:
            painter.setPen(QColor(theming.ink_on(colour)))
            painter.drawText(
                QRectF(x1, MIDDLE - 20, x2 - x1, 40), Qt.AlignmentFlag.AlignCenter, text
            )
    if looped:
        _paint_joints(painter, [EDGE + at * across for at in whole.joints])
        for span in looped.spans:
            left, right = EDGE + span.start * across, EDGE + span.end * across
            _paint_bracket(painter, left + 3.0, right - 3.0, span.line.name)
    painter.setPen(QColor(tokens.soft))
    box = QRectF(EDGE, 222 + below, WIDTH - 2.0 * EDGE, 36)
    painter.drawText(box, Qt.AlignmentFlag.AlignLeft, tr("fly end"))
    painter.drawText(box, Qt.AlignmentFlag.AlignRight, tr("rod end"))
    painter.end()
    return image


def _paint_joints(painter: QPainter, places: list[float]) -> None:
    """A dashed upright and two loops where two lines of a rig are looped together."""
    for x in places:
        pen = QPen(QColor(theming.LIGHT.ink), 2.0, Qt.PenStyle.DashLine)
        painter.setPen(pen)
        painter.drawLine(QPointF(x, MIDDLE - HALF - 10.0), QPointF(x, MIDDLE + HALF + 10.0))
        painter.setPen(QPen(QColor(theming.LIGHT.ink), 2.5))
        painter.setBrush(QColor("white"))
        for aside in (-8.0, 8.0):
            painter.drawEllipse(QPointF(x + aside, MIDDLE), 12.0, 8.0)


def _paint_bracket(painter: QPainter, left: float, right: float, name: str) -> None:
    """A bracket under one line of a rig, with as much of its name as fits."""
    top, level = MIDDLE + HALF + 12.0, MIDDLE + HALF + 22.0
    painter.setPen(QPen(QColor(theming.LIGHT.ink), 2.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    corners = [(left, top), (left, level), (right, level), (right, top)]
    painter.drawPolyline(QPolygonF([QPointF(*each) for each in corners]))
    room = right - left
    shown = painter.fontMetrics().elidedText(name, Qt.TextElideMode.ElideRight, int(room))
    box = QRectF(left, level + 2.0, room, 36.0)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, shown)
