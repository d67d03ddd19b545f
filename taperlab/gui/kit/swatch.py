"""A short sample of a line's colour and dash."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QSize
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from taperlab.gui.kit.theme import pen


class Swatch(QWidget):
    """A piece of line as it is drawn on the plots."""

    def __init__(self, colour: str, dash: tuple[float, ...] | None, width: int = 26) -> None:
        super().__init__()
        self._colour, self._dash = colour, dash
        self.setFixedSize(QSize(width, 14))

    def show_style(self, colour: str, dash: tuple[float, ...] | None) -> None:
        """Show another line's colour and dash."""
        if (colour, dash) != (self._colour, self._dash):
            self._colour, self._dash = colour, dash
            self.update()

    def paintEvent(self, event: object) -> None:
        """Draw the sample."""
        painter = QPainter(self)
        painter.setPen(pen(self._colour, 2.0, self._dash))
        middle = self.height() / 2
        painter.drawLine(QPointF(0, middle), QPointF(self.width(), middle))
