"""The sign for an uncertainty: a pale bar, a cap at either end, a dot for the middle, words.

It lies in a cell or stands in a chart; :func:`paint_range` draws it, :class:`RangeBar` is a widget.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import Tokens

CAP, HALF, DOT = 2.0, 7.0, 3.0
"""Width of a cap, half its length, and the radius of the dot [px]."""
BAR_HALF = 4.0
ROW = 18
"""Height of the bar, and of the line of words below it, for usual letters [px]."""
EDGE = CAP / 2.0


@dataclass(frozen=True, slots=True)
class Range:
    """What may be, in any one unit: from low to high, most likely middle, and in words.

    high: nan where it has no upper end that is known: the bar then runs on without a cap. low: nan
    where nothing is known, and words alone are shown. middle: nan for no dot.
    """

    low: float
    high: float
    middle: float = math.nan
    words: str = ""


def paint_range(
    painter: QPainter,
    room: QRectF,
    shown: Range,
    scale: tuple[float, float],
    tokens: Tokens,
    colour: str = "",
    *,
    upright: bool = False,
    track: bool = True,
) -> None:
    """Draw the bar of a range, without its words, along the middle of a room [px].

    scale: the values at the two ends of the room, left and right, or bottom and top where it is
    ``upright``. What lies beyond them runs to the end and has no cap there. colour: of the line
    that it is of; ink by default. track: a thin line along the whole scale.
    """
    start, end = scale
    length = room.height() if upright else room.width()
    across = room.center().x() if upright else room.center().y()

    def along(value: float) -> float:
        share = (value - start) / (end - start) if end > start else 0.0
        place = EDGE + min(max(share, 0.0), 1.0) * (length - 2.0 * EDGE)
        return room.bottom() - place if upright else room.left() + place

    def at(place: float, off: float = 0.0) -> QPointF:
        return QPointF(across + off, place) if upright else QPointF(place, across + off)

    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    if track:
        painter.setPen(QPen(QColor(tokens.rule), 1.0))
        painter.drawLine(QLineF(at(along(start)), at(along(end))))
    if not math.isnan(shown.low):
        own = QColor(colour or tokens.ink)
        pale = QColor(own)
        if tokens.name == "paper":
            pale = QColor(tokens.band)  # nothing on paper shines through
        else:
            pale.setAlphaF(0.42 if tokens.name == "dark" else 0.28)
        high = end if math.isnan(shown.high) else shown.high
        low_at, high_at = along(shown.low), along(high)
        painter.fillRect(QRectF(at(low_at, -BAR_HALF), at(high_at, BAR_HALF)).normalized(), pale)
        cap = QPen(own, CAP)
        cap.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(cap)
        for value, place in ((shown.low, low_at), (shown.high, high_at)):
            if not math.isnan(value) and start <= value <= end:
                painter.drawLine(QLineF(at(place, -HALF), at(place, HALF)))
        if not math.isnan(shown.middle) and start <= shown.middle <= end:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(own)
            painter.drawEllipse(at(along(shown.middle)), DOT, DOT)
    painter.restore()


class RangeBar(QWidget):
    """A range that lies over its words, on a scale."""

    def __init__(self, theme: theming.Theme, name: str = "") -> None:
        super().__init__()
        self._theme, self._name = theme, name
        self._shown = Range(math.nan, math.nan)
        self._scale = (0.0, 1.0)
        self._colour = ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.updateGeometry)
        theme.changed.connect(self.update)
        self.show_range(self._shown, self._scale)

    def show_range(self, shown: Range, scale: tuple[float, float], colour: str = "") -> None:
        """Show a range on a scale from one value to another, in the same unit."""
        self._shown, self._scale, self._colour = shown, scale, colour
        self.setAccessibleName(f"{self._name}: {shown.words}" if self._name else shown.words)
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """The bar, and its words below it."""
        words = self.fontMetrics().horizontalAdvance(self._shown.words)
        high = ROW + (theming.px(ROW) if self._shown.words else 0)
        return QSize(max(theming.px(110), words + 2), high)

    def minimumSizeHint(self) -> QSize:
        """No less than its words."""
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the bar, and the words below its middle."""
        tokens = self._theme.tokens
        painter = QPainter(self)
        bar = QRectF(0.0, 0.0, float(self.width()), float(ROW))
        paint_range(painter, bar, self._shown, self._scale, tokens, self._colour)
        painter.setPen(QColor(tokens.ink))
        below = QRectF(0.0, float(ROW), float(self.width()), float(self.height() - ROW))
        painter.drawText(below, Qt.AlignmentFlag.AlignHCenter, self._shown.words)
