"""The strip above the plots that says what the crosshair reads."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import Theme
from taperlab.gui.plots.chart import Words
from taperlab.gui.plots.panel import LEFT
from taperlab.units.language import tr


class ReadoutStrip(QWidget):
    """One line of text in fixed columns, so that numbers do not jump about as they change."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._hint = ""
        self.words = Words()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Reading at the crosshair"))

    def sizeHint(self) -> QSize:
        """One line high."""
        return QSize(400, 24)

    def show_words(self, words: Words, hint: str) -> None:
        """Show these columns; without any, the hint."""
        if (words, hint) != (self.words, self._hint):
            self.words, self._hint = words, hint
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the columns."""
        tokens, words = self._theme.tokens, self.words
        painter = QPainter(self)
        painter.setFont(theming.font(9.0))
        metrics = painter.fontMetrics()
        align = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        left, width, height = LEFT, self.width() - LEFT - 14.0, float(self.height())
        columns, shares = words.columns, words.shares
        if not shares:
            columns, shares = ("  ·  ".join(columns) or self._hint,), (0.0, 1.0)
        painter.setPen(QColor(tokens.ink if words.columns else tokens.soft))
        for number, (share, end, text) in enumerate(zip(shares, shares[1:], columns, strict=False)):
            x, room = left + share * width, (end - share) * width - 8.0
            if number == 1 and words.colour:
                painter.fillRect(QRectF(x, height / 2.0 - 4.5, 9.0, 9.0), QColor(words.colour))
                x, room = x + 15.0, room - 15.0
            shown = metrics.elidedText(text, Qt.TextElideMode.ElideRight, int(room))
            painter.drawText(QRectF(x, 0.0, room + 4.0, height), align, shown)
