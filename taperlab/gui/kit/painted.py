"""A drawing that says in words what it shows, and has a ring where the keyboard goes to it."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFocusEvent, QFontMetricsF, QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import QSizePolicy, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.focus_ring import came_by_key, paint_ring
from taperlab.gui.kit.speech import say, speaks
from taperlab.gui.kit.theme import SMALL, Theme, Tokens

LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
CENTRE = Qt.AlignmentFlag.AlignCenter


class Painted(QWidget):
    """A drawing that says in words what it shows, and has a ring where the keyboard goes to it.

    on_card: it lies on a card, and paints that too: what is below need not be painted with it.
    """

    def __init__(self, theme: Theme, *, on_card: bool = False) -> None:
        super().__init__()
        self._on_card = on_card
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent, on_card)
        self._still = QPixmap()
        self._still_by: tuple[object, ...] = ()
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
        """Draw it, over what stays as it is."""
        raise NotImplementedError

    def draw_still(self, painter: QPainter) -> None:
        """Draw what stays as it is for as long as :meth:`still_by` does."""

    def still_by(self) -> tuple[object, ...]:
        """What all of :meth:`draw_still` hangs on, beside size and theme; empty: draws nothing."""
        return ()

    def _paint_still(self, painter: QPainter) -> None:
        """Paint it from what was painted before, where nothing of it changed."""
        own = self.still_by()
        if not own:
            return
        ratio = self.devicePixelRatioF()
        by = (*own, self.size(), ratio, self.tokens, painter.font())
        if by != self._still_by:
            self._still_by = by
            self._still = QPixmap(self.size() * ratio)
            self._still.setDevicePixelRatio(ratio)
            self._still.fill(Qt.GlobalColor.transparent)
            inner = QPainter(self._still)
            inner.setRenderHint(QPainter.RenderHint.Antialiasing)
            inner.setFont(painter.font())
            self.draw_still(inner)
            inner.end()
        painter.drawPixmap(0, 0, self._still)

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
        if self._on_card:
            painter.fillRect(self.rect(), QColor(self.tokens.card))
        self._paint_still(painter)
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
