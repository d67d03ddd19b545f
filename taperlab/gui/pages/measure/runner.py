"""The stations of a run as marks along a line: read, to come, next, to be read again."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.signs import slip
from taperlab.shop.measure.run import Mark, Run

HIGH, SIDE = 40, 12
"""How high it is for usual letters, and what stays free at its ends [px]."""
DOT, NEXT = 4.5, 7.0


class Runner(QWidget):
    """Draws the places of a run from the fly end, at the left, to the rod end."""

    def __init__(self, theme: theming.Theme) -> None:
        super().__init__()
        self._theme = theme
        self._run: Run | None = None
        self._marks: tuple[Mark, ...] = ()
        self._name = ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """A line of marks and a name above it."""
        return QSize(theming.px(300), theming.px(HIGH))

    def show_run(self, run: Run, marks: tuple[Mark, ...], name: str) -> None:
        """Show where a run is. name: of the next place, written above its mark."""
        self._run, self._marks, self._name = run, marks, name
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the line and its marks."""
        run, tokens = self._run, self._theme.tokens
        if run is None or not run.places:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(theming.font(theming.SMALL))
        y, room = theming.px(HIGH) - SIDE, self.width() - 2.0 * SIDE
        end = max(run.places[-1], 1e-9)
        at = [QPointF(SIDE + room * place / end, y) for place in run.places]
        painter.setPen(theming.pen(tokens.soft, 1.4))
        painter.drawLine(at[0], at[-1])
        for i, (point, mark) in enumerate(zip(at, self._marks, strict=True)):
            if i != run.at:
                self._draw(painter, point, mark)
        if run.at is not None:
            self._draw_next(painter, at[run.at])

    def _draw(self, painter: QPainter, point: QPointF, mark: Mark) -> None:
        tokens = self._theme.tokens
        if mark is Mark.LEFT_OUT:
            slip(painter, point, tokens.bad, tokens.card)
            return
        painter.setPen(theming.pen(tokens.soft if mark is Mark.TO_COME else tokens.ink, 1.4))
        painter.setBrush(QColor(tokens.card if mark is Mark.TO_COME else tokens.ink))
        painter.drawEllipse(point, DOT, DOT)

    def _draw_next(self, painter: QPainter, point: QPointF) -> None:
        tokens = self._theme.tokens
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(tokens.accent))
        painter.drawEllipse(point, NEXT, NEXT)
        painter.setPen(QColor(tokens.accent))
        wide = QFontMetricsF(painter.font()).horizontalAdvance(self._name)
        left = min(max(0.0, point.x() - wide / 2.0), self.width() - wide)
        painter.drawText(QPointF(left, point.y() - NEXT - 5.0), self._name)
