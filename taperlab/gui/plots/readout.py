"""The strip above the plots that says what the crosshair reads."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import Theme
from taperlab.model.line import JointKind
from taperlab.shop.reading import Reading
from taperlab.units.kinds import DIAMETER, LENGTH, SINK_RATE, WEIGHT, WEIGHT_PER_LENGTH, System
from taperlab.units.show import show

HINT = "Point at a plot, or use the arrow keys, to read the line there."


def sink_words(speed: float, system: System) -> str:
    """A sink rate as a person says it."""
    if abs(speed) < 1e-6:
        return "hovers"
    return f"{'sinks' if speed > 0.0 else 'rises'} {show(abs(speed), SINK_RATE, system)}"


def reading_words(reading: Reading, system: System) -> tuple[str, ...]:
    """A reading in words: place, part, diameter, weight per length, running weight, sink rate."""
    part = str(reading.part)
    if reading.joint and reading.joint.kind is not JointKind.ONE_EXTRUSION:
        part = f"{part}, {reading.joint.kind}"
    return (
        show(reading.position, LENGTH, system),
        part[:1].upper() + part[1:],
        f"⌀ {show(reading.diameter, DIAMETER, system)}",
        show(reading.linear_density, WEIGHT_PER_LENGTH, system),
        f"{show(reading.running_mass, WEIGHT, system)} so far",
        sink_words(reading.sink, system),
    )


class ReadoutStrip(QWidget):
    """One line of text in fixed columns, so that numbers do not jump about as they change."""

    SHARES = (0.0, 0.13, 0.35, 0.49, 0.625, 0.81, 1.0)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.words: tuple[str, ...] = ()
        self._colour = ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Reading at the crosshair")
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
            painter.drawText(QRectF(left, 0.0, width, self.height()), align, HINT)
            return
        metrics = painter.fontMetrics()
        painter.setPen(QColor(tokens.ink))
        for share, end, words in zip(self.SHARES, self.SHARES[1:], self.words, strict=False):
            x, room = left + share * width, (end - share) * width - 8.0
            if share == self.SHARES[1] and self._colour:
                painter.fillRect(
                    QRectF(x, self.height() / 2.0 - 4.5, 9.0, 9.0), QColor(self._colour)
                )
                x, room = x + 15.0, room - 15.0
            text = metrics.elidedText(words, Qt.TextElideMode.ElideRight, int(room))
            painter.drawText(QRectF(x, 0.0, room + 4.0, self.height()), align, text)
