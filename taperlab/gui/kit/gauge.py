"""The window gauge: where a head's weight lies between the lightest and the heaviest."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.signs import hatch
from taperlab.trade.windows import Place
from taperlab.units.language import tr

PLACE_ROLES = {Place.INSIDE: "good", Place.ABOVE: "bad", Place.BELOW: "warn"}
"""The role of a remark on where a head lies in a window."""


class WindowGauge(QWidget):
    """A bar with the rod's window as a band and the head as a mark.

    The bar reaches as far beyond the window as half the window's width; a head further out is
    shown as an arrow at the end.
    """

    def __init__(self, theme: theming.Theme) -> None:
        super().__init__()
        self._theme = theme
        self._window: tuple[float, float] | None = None
        self._value = 0.0
        self._labels = ("", "")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.updateGeometry)
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """The bar and a line of small letters below it."""
        return QSize(theming.px(160), 20 + theming.px(16))

    def minimumSizeHint(self) -> QSize:
        """No lower."""
        return QSize(theming.px(120), self.sizeHint().height())

    def show_window(
        self, value: float, window: tuple[float, float], labels: tuple[str, str]
    ) -> None:
        """Show a value against a window, both in the same unit, with the window's labels."""
        if (value, window, labels) == (self._value, self._window, self._labels):
            return
        if labels != self._labels:
            said = tr("Grain window from {lightest} to {heaviest}")
            self.setAccessibleName(said.format(lightest=labels[0], heaviest=labels[1]))
        self._value, self._window, self._labels = value, window, labels
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the bar, the band, the mark and the two labels."""
        if self._window is None:
            return
        t = self._theme.tokens
        low, high = self._window
        room = max((high - low) * 0.6, high * 0.04)
        start, end = low - room, high + room
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        bar = QRectF(0, 5, self.width(), 9)

        def across(value: float) -> float:
            return bar.width() * (value - start) / (end - start)

        painter.setPen(theming.pen(t.field))
        painter.setBrush(QColor(t.well))
        painter.drawRoundedRect(bar.adjusted(0.5, 0.5, -0.5, -0.5), 4.0, 4.0)
        inside = low <= self._value <= high
        band = QRectF(across(low), bar.top(), across(high) - across(low), bar.height())
        painter.save()
        painter.setClipRect(band)
        painter.fillRect(band, QColor(t.band))
        hatch(painter, band, t.accent, 6.0)
        painter.restore()
        painter.setPen(theming.pen(t.accent))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(band.adjusted(0.5, 0.5, -0.5, -0.5))
        painter.setPen(theming.pen(t.card))
        painter.setBrush(QColor(t.ink if inside else t.bad))
        x = across(self._value)
        middle = bar.center().y()
        if 3 <= x <= bar.width() - 3:
            painter.drawRoundedRect(QRectF(x - 3, 0, 6, 19), 2, 2)
        else:
            tip, base = (0.0, 9.0) if x < 3 else (bar.width(), bar.width() - 9.0)
            arrow = [QPointF(tip, middle), QPointF(base, 0), QPointF(base, 19)]
            painter.drawPolygon(QPolygonF(arrow))
        painter.setPen(QColor(t.soft))
        painter.setFont(theming.font(theming.SMALL))
        for value, text in zip((low, high), self._labels, strict=True):
            painter.drawText(
                QRectF(across(value) - 100, 20, 200, theming.px(16)),
                Qt.AlignmentFlag.AlignHCenter,
                text,
            )
