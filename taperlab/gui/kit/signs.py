"""Signs that are drawn, where no typeface has them, and told apart by shape as well as colour."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

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
