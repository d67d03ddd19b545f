"""Signs that are drawn, where no typeface has them, and told apart by shape as well as colour."""

from __future__ import annotations

from enum import StrEnum

from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPen, QPolygonF

from taperlab.gui.kit import theme as theming

SLIP_HALF = 4.0
"""Half of the crossed square's side, in a plot as in a table [px]."""


def slip(painter: QPainter, centre: QPointF, colour: str, under: str) -> None:
    """A crossed square: a reading that is left out. under: the colour inside it."""
    box = QRectF(-SLIP_HALF, -SLIP_HALF, 2.0 * SLIP_HALF, 2.0 * SLIP_HALF).translated(centre)
    painter.save()
    pen = theming.pen(colour, 1.6)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    painter.setPen(pen)
    painter.setBrush(QColor(under))
    painter.drawRect(box)
    painter.drawLine(box.bottomLeft(), box.topRight())
    painter.restore()


def padlock(painter: QPainter, centre: QPointF, colour: str) -> None:
    """A closed padlock: a number that no goal moves."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    painter.setPen(theming.pen(colour, 1.4))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    bow = QRectF(-2.4, -5.0, 4.8, 6.0).translated(centre)
    painter.drawArc(bow, 0, 180 * 16)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(colour))
    painter.drawRoundedRect(QRectF(-3.6, -1.8, 7.2, 6.0).translated(centre), 1.0, 1.0)
    painter.restore()


def hatch(painter: QPainter, rect: QRectF, colour: str, apart: float = 7.0) -> None:
    """Fill a room with sloping lines; whoever draws them clips them."""
    painter.setPen(theming.pen(colour))
    high = rect.height()
    count = int((rect.width() + high) / apart) + 1
    painter.drawLines(
        [
            QLineF(
                rect.left() + i * apart - high, rect.bottom(), rect.left() + i * apart, rect.top()
            )
            for i in range(count + 1)
        ]
    )


def hatched_box(
    painter: QPainter,
    box: QRectF,
    colour: str,
    under: str | None = None,
    *,
    apart: float = 6.0,
    edge: QPen | None = None,
) -> None:
    """A box filled with sloping lines. under: what is below them; edge: how it is drawn round."""
    painter.save()
    painter.setClipRect(box)
    if under is not None:
        painter.fillRect(box, QColor(under))
    hatch(painter, box, colour, apart)
    painter.restore()
    painter.setPen(theming.pen(colour, 1.0) if edge is None else edge)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box)


def hatch_inside(painter: QPainter, shape: QPolygonF, colour: str, apart: float = 7.0) -> None:
    """Fill a shape with sloping lines that end at its edge: nothing needs to be clipped.

    Pictures that are written as SVG are read without their clipping by some, Qt among them.
    """
    corners = shape.toList()
    edges = list(zip(corners, (*corners[1:], corners[0]), strict=True))
    # A sloping line is all places of one sum x + y.
    sums = [each.x() + each.y() for each in corners]
    painter.setPen(theming.pen(colour))
    at = min(sums) + apart / 2.0
    while at < max(sums):
        met = []
        for one, other in edges:
            a, z = one.x() + one.y() - at, other.x() + other.y() - at
            if (a < 0.0) != (z < 0.0):
                met.append(one + (other - one) * (a / (a - z)))
        met.sort(key=lambda place: place.x())
        painter.drawLines([QLineF(p, q) for p, q in zip(met[::2], met[1::2], strict=False)])
        at += apart


def badge(
    painter: QPainter, centre: QPointF, letter: str, colour: str, under: str, ink: str
) -> None:
    """A letter in a ring. colour: of the ring; under: inside it; ink: of the letter."""
    half = badge_size(letter) / 2.0
    box = QRectF(-half.width(), -half.height(), 2.0 * half.width(), 2.0 * half.height())
    box.translate(centre)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(theming.pen(colour, 1.6))
    painter.setBrush(QColor(under))
    painter.drawRoundedRect(box, half.height(), half.height())
    painter.setFont(theming.font(theming.SMALL, weight=QFont.Weight.DemiBold))
    painter.setPen(QColor(ink))
    painter.drawText(box.adjusted(-4.0, 0.0, 4.0, 0.0), int(Qt.AlignmentFlag.AlignCenter), letter)
    painter.restore()


def badge_size(letter: str) -> QSizeF:
    """The ring round a letter, or round two [px]."""
    high = theming.px(17)
    return QSizeF(high + max(0, len(letter) - 1) * theming.px(8), high)


class Sign(StrEnum):
    """A shape that says how something stands, so that colour never stands alone."""

    DASH = "dash"
    TICK = "tick"
    TRIANGLE = "triangle"
    DIAMOND = "diamond"
    PENCIL = "pencil"


def paint_sign(painter: QPainter, centre: QPointF, sign: Sign, colour: str) -> None:
    """A dash for nothing known, a tick inside, a triangle on an edge, a diamond outside.

    A pencil for what was edited by hand.
    """
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = theming.pen(colour, 1.1 if sign is Sign.PENCIL else 1.6)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    half = theming.px(4.5)
    shapes = {
        Sign.DASH: [(-0.8, 0.0), (0.8, 0.0)],
        Sign.TICK: [(-0.9, 0.05), (-0.25, 0.7), (0.95, -0.75)],
        Sign.TRIANGLE: [(0.0, -0.95), (1.0, 0.8), (-1.0, 0.8), (0.0, -0.95), (1.0, 0.8)],
        Sign.DIAMOND: [(0.0, -1.1), (1.1, 0.0), (0.0, 1.1), (-1.1, 0.0), (0.0, -1.1), (1.1, 0.0)],
        Sign.PENCIL: [
            *((-1.0, 1.0), (-0.8, 0.3), (0.55, -1.05), (1.05, -0.55), (-0.3, 0.8), (-1.0, 1.0)),
            *((-0.8, 0.3), (-0.3, 0.8)),
        ],
    }
    points = [centre + QPointF(x * half, y * half) for x, y in shapes[sign]]
    painter.drawPolyline(QPolygonF(points))
    painter.restore()
