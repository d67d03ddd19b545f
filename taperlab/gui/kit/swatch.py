"""A short sample of a line's colour and dash."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from taperlab.gui.kit.theme import LAID_OVER, pen


class Swatch(QWidget):
    """A piece of a line laid over, as it is drawn on the plots."""

    def __init__(self, colour: str, dash: tuple[float, ...] | None, width: int = 26) -> None:
        super().__init__()
        self.colour, self.dash = colour, dash
        self.setFixedSize(QSize(width, 14))

    def show_style(self, colour: str, dash: tuple[float, ...] | None) -> None:
        """Show another line's colour and dash."""
        if (colour, dash) != (self.colour, self.dash):
            self.colour, self.dash = colour, dash
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the sample."""
        painter = QPainter(self)
        painter.setPen(pen(self.colour, LAID_OVER, self.dash))
        middle = self.height() // 2 + 0.5  # on one row of pixels
        painter.drawLine(QPointF(0, middle), QPointF(self.width(), middle))
