"""A drawing that says in words what it shows, and has a ring where the keyboard goes to it."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFocusEvent, QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.focus_ring import came_by_key, paint_ring
from taperlab.gui.kit.speech import say, speaks
from taperlab.gui.kit.theme import SMALL, Theme, Tokens

LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
CENTRE = Qt.AlignmentFlag.AlignCenter


class Painted(QWidget):
    """A drawing that says in words what it shows, and has a ring where the keyboard goes to it."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.theme = theme
        self._words = ""
        self._ring = False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        theme.changed.connect(self.update)

    @property
    def tokens(self) -> Tokens:
        """The colours in force."""
        return self.theme.tokens

    @property
    def spoken(self) -> str:
        """What is drawn, in words."""
        return self._words

    def say_all(self, words: str) -> None:
        """Say in words what is drawn, and draw it."""
        self._words = words
        say(self, words)
        self.update()

    @property
    def row(self) -> float:
        """Height of a line of small letters [px]."""
        return QFontMetricsF(theming.font(SMALL)).height()

    def draw(self, painter: QPainter) -> None:
        """Draw it."""
        raise NotImplementedError

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Draw a ring where the keyboard brought the focus."""
        self._ring = came_by_key(event)
        self.update()

    def focusOutEvent(self, _event: QFocusEvent) -> None:
        """Take the ring away."""
        self._ring = False
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw it, and the ring."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(theming.font(SMALL))
        self.draw(painter)
        if self._ring:
            paint_ring(painter, self, self.tokens)


speaks(Painted)


def write(
    painter: QPainter, text: str, rect: QRectF, colour: str, align: Qt.AlignmentFlag = LEFT
) -> QRectF:
    """Write a text in a room, with dots where it is too long; where the letters lie."""
    metrics = QFontMetricsF(painter.font())
    shown = metrics.elidedText(text, Qt.TextElideMode.ElideMiddle, rect.width())
    painter.setPen(QColor(colour))
    painter.drawText(rect, align, shown)
    return metrics.boundingRect(rect, align, shown)
