"""Large figures, to be read from a distance: as large as there is room for."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy

from taperlab.gui.kit import theme

STEP_FIGURE, STEP_NARROW = 54.0, 43.5
"""Letters of the one large figure of a step, and where there is little room [points].

72 and 58 pixels where a point is 1/72 in.
"""


class LargeFigure(QLabel):
    """A label in letters of a size, or in smaller ones where the text would not fit.

    Fractions are built up. points: the size wanted; least: it is never written smaller.
    """

    def __init__(
        self,
        points: float,
        *,
        least: float = theme.BUILT_UP,
        weight: QFont.Weight = QFont.Weight.DemiBold,
        role: str = "",
    ) -> None:
        super().__init__()
        self._points, self._least, self._weight = points, least, weight
        self._is_fitting = False
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        if role:
            self.setProperty("role", role)
        self._fit()

    def want(self, points: float) -> None:
        """Be written in letters of another size."""
        if points != self._points:
            self._points = points
            self._fit()

    def setText(self, text: str) -> None:
        """Show a text."""
        if text != self.text():
            super().setText(text)
            self._fit()

    def sizeHint(self) -> QSize:
        """One line of the letters wanted, lower where none of them hangs below the line."""
        metrics = QFontMetricsF(theme.figure_font(self._points, self._weight))
        share = 0.98 if set(self.text()) & set("gjpqyQ,;()") else 0.86
        high = round(metrics.height() * share)
        return QSize(round(metrics.horizontalAdvance(self.text())), high)

    def minimumSizeHint(self) -> QSize:
        """The text in the smallest letters."""
        metrics = QFontMetricsF(theme.figure_font(self._least, self._weight))
        return QSize(round(metrics.horizontalAdvance(self.text())) + 1, self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Choose the letters anew."""
        super().resizeEvent(event)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        """Choose the letters anew where another theme puts back those of before."""
        super().changeEvent(event)
        changes = event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange)
        if changes and not self._is_fitting:
            self._fit()

    def _fit(self) -> None:
        points = self._points
        face = theme.figure_font(points, self._weight)
        needs = QFontMetricsF(face).horizontalAdvance(self.text())
        if self.text() and self.width() > 0 and needs > self.width() - 1:
            points = max(self._least, points * (self.width() - 1) / needs * 0.99)
            face = theme.figure_font(points, self._weight)
        if face != self.font():
            self._is_fitting = True
            self.setFont(face)
            self._is_fitting = False
        self.updateGeometry()
