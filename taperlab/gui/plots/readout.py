"""The strip above the plots that says what the crosshair reads."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import Theme
from taperlab.shop.reading import Reading, words
from taperlab.units.kinds import System
from taperlab.units.language import later, tr
from taperlab.units.sentence import render
from taperlab.units.words import capital

HINT = later("Point at a plot, or use the arrow keys, to read the line there.")


def reading_words(reading: Reading, system: System) -> tuple[str, ...]:
    """A reading as its columns show it; the part begins like a heading."""
    place, part, *rest = (render(each, system) for each in words(reading))
    return (place, capital(part), *rest)


class ReadoutStrip(QWidget):
    """One line of text in fixed columns, so that numbers do not jump about as they change."""

    SHARES = (0.0, 0.13, 0.35, 0.49, 0.625, 0.81, 1.0)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.words: tuple[str, ...] = ()
        self._colour = ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Reading at the crosshair"))
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent, False)

    def sizeHint(self) -> QSize:
        """One line high."""
        return QSize(400, 24)

    def show_words(self, words: tuple[str, ...], colour: str = "") -> None:
        """Show these columns and the colour of the part; none shows the hint."""
        if (words, colour) != (self.words, self._colour):
            self.words, self._colour = words, colour
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the columns."""
        tokens = self._theme.tokens
        painter = QPainter(self)
        painter.setFont(theming.font(9.0))
        align = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        left, width = 46.0, self.width() - 60.0
        if not self.words:
            painter.setPen(QColor(tokens.soft))
            painter.drawText(QRectF(left, 0.0, width, self.height()), align, tr(HINT))
            return
        metrics = painter.fontMetrics()
        painter.setPen(QColor(tokens.ink))
        for share, end, said in zip(self.SHARES, self.SHARES[1:], self.words, strict=False):
            x, room = left + share * width, (end - share) * width - 8.0
            if share == self.SHARES[1] and self._colour:
                painter.fillRect(
                    QRectF(x, self.height() / 2.0 - 4.5, 9.0, 9.0), QColor(self._colour)
                )
                x, room = x + 15.0, room - 15.0
            text = metrics.elidedText(said, Qt.TextElideMode.ElideRight, int(room))
            painter.drawText(QRectF(x, 0.0, room + 4.0, self.height()), align, text)
