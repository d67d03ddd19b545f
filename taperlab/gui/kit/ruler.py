"""A ruler of weight: the head now, after this cut, what is aimed at, and the rod's window."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPaintEvent, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.signs import hatched_box
from taperlab.gui.kit.speech import say, speaks
from taperlab.gui.kit.theme import pen

SIDE = 10.0
MIDDLE = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft


@dataclass(frozen=True, slots=True)
class Mark:
    """A place on the ruler [in its unit] and what it is called there; give_or_take: ± so much."""

    at: float
    words: str
    give_or_take: float = 0.0


@dataclass(frozen=True, slots=True)
class Ruler:
    """What the ruler shows, all in one unit.

    now, after, aim: marks, where there are such. window: from and to, and what it is called.
    title: what is counted, and in which unit. words: all of it in sentences.
    """

    now: Mark | None
    after: Mark | None
    aim: Mark | None
    window: tuple[float, float, str] | None
    title: str
    words: str

    @property
    def marks(self) -> tuple[Mark, ...]:
        """All marks that there are."""
        return tuple(each for each in (self.aim, self.after, self.now) if each is not None)

    def span(self) -> tuple[float, float]:
        """From where to where the ruler goes, with room at its ends."""
        ends = ((each.at - each.give_or_take, each.at + each.give_or_take) for each in self.marks)
        places = [at for both in ends for at in both]
        places += list(self.window[:2]) if self.window else []
        low, high = min(places, default=0.0), max(places, default=1.0)
        room = 0.06 * max(high - low, 0.02 * abs(high), 1e-9)
        return low - room, high + room


def ticks(low: float, high: float, most: int = 7) -> list[float]:
    """Round numbers between two, at most so many: steps of 1, 2 or 5 and nothing behind."""
    raw = (high - low) / most
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(power * each for each in (1.0, 2.0, 5.0, 10.0) if power * each >= raw)
    first = math.ceil(low / step - 1e-9)
    return [step * each for each in range(first, math.floor(high / step + 1e-9) + 1)]


def kept_apart(
    wanted: Sequence[float], widths: Sequence[float], low: float, high: float, gap: float
) -> list[float]:
    """Left ends of labels in a row, in this order, each near to where it is wanted.

    None lies over another; where they are too many for the room they run over at the right.
    """
    lefts = [at - width / 2.0 for at, width in zip(wanted, widths, strict=True)]
    edge = high
    for i in reversed(range(len(lefts))):
        lefts[i] = min(lefts[i], edge - widths[i])
        edge = lefts[i] - gap
    edge = low
    for i, width in enumerate(widths):
        lefts[i] = max(lefts[i], edge)
        edge = lefts[i] + width + gap
    return lefts


class WeightRuler(QWidget):
    """The ruler, as wide as there is room for."""

    def __init__(self, theme: theming.Theme) -> None:
        super().__init__()
        self._theme = theme
        self._ruler: Ruler | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.update)

    def show_ruler(self, ruler: Ruler | None) -> None:
        """Show it, or nothing."""
        self._ruler = ruler
        say(self, ruler.words if ruler else "")
        self.update()

    @property
    def spoken(self) -> str:
        """What it shows, in words."""
        return self._ruler.words if self._ruler else ""

    def sizeHint(self) -> QSize:
        """Three rows of letters and the scale."""
        row = QFontMetricsF(theming.font(9.0)).height()
        return QSize(400, round(3.0 * row + 26.0))

    def minimumSizeHint(self) -> QSize:
        """No lower than that."""
        return QSize(240, self.sizeHint().height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw window, scale and marks."""
        if self._ruler is None or not self._ruler.marks:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        row = QFontMetricsF(theming.font(9.0)).height()
        line = 2.0 * row + 16.0
        self._paint_scale(painter, self._ruler, line, row)
        self._paint_marks(painter, self._ruler, line, row)

    def _across(self, value: float) -> float:
        assert self._ruler is not None
        low, high = self._ruler.span()
        return SIDE + (value - low) / (high - low) * (self.width() - 2.0 * SIDE)

    def _paint_scale(self, painter: QPainter, ruler: Ruler, line: float, row: float) -> None:
        tokens, wide = self._theme.tokens, float(self.width())
        painter.setFont(theming.font(9.0))
        metrics = QFontMetricsF(painter.font())
        titled = metrics.horizontalAdvance(ruler.title)
        painter.setPen(QColor(tokens.soft))
        painter.drawText(QRectF(wide - SIDE - titled, 0, titled + 1, row), MIDDLE, ruler.title)
        if ruler.window:
            first, last, words = ruler.window
            band = QRectF(self._across(first), line - 9.0, 0.0, 9.0)
            band.setRight(self._across(last))
            hatched_box(painter, band, tokens.accent, tokens.band)
            needs = metrics.horizontalAdvance(words)
            left = min(band.left(), wide - 2.0 * SIDE - titled - needs - 12.0)
            painter.setPen(QColor(tokens.soft))
            painter.drawText(QRectF(max(SIDE, left), 0, needs + 1, row), MIDDLE, words)
        painter.setPen(pen(tokens.ink, 1.2))
        painter.drawLine(QLineF(SIDE, line, wide - SIDE, line))
        low, high = ruler.span()
        numbers = ticks(low, high, max(2, int(wide / 110.0)))
        painter.setPen(pen(tokens.ink, 1.0))
        step = numbers[1] - numbers[0] if len(numbers) > 1 else 0.0
        for at in ticks(low, high, 5 * len(numbers)) if step else []:
            painter.drawLine(QLineF(self._across(at), line, self._across(at), line + 3.0))
        for at in numbers:
            x = self._across(at)
            painter.drawLine(QLineF(x, line, x, line + 6.0))
            half = metrics.horizontalAdvance(f"{at:g}") / 2.0 + 1.0
            x = min(max(x, half), wide - half)  # a number at the end is not cut off
            place = QRectF(x - half, line + 6.0, 2.0 * half, row)
            painter.drawText(place, Qt.AlignmentFlag.AlignCenter, f"{at:g}")

    def _paint_marks(self, painter: QPainter, ruler: Ruler, line: float, row: float) -> None:
        tokens = self._theme.tokens
        face = theming.font(9.0, weight=QFont.Weight.DemiBold)
        painter.setFont(face)
        metrics = QFontMetricsF(face)
        marks = sorted(ruler.marks, key=lambda each: each.at)
        widths = [metrics.horizontalAdvance(each.words) for each in marks]
        places = [self._across(each.at) for each in marks]
        lefts = kept_apart(places, widths, SIDE, self.width() - SIDE, 12.0)
        for mark, x, left, wide in zip(marks, places, lefts, widths, strict=True):
            is_aim = mark is ruler.aim
            colour = tokens.accent if is_aim else tokens.ink
            if mark.give_or_take:
                first = self._across(mark.at - mark.give_or_take)
                last = self._across(mark.at + mark.give_or_take)
                painter.setPen(pen(tokens.ink, 1.2))
                painter.setBrush(QColor(tokens.card))
                painter.drawRect(QRectF(first, line - 6.0, max(last - first, 2.0), 6.0))
            if is_aim:
                painter.setPen(pen(colour, 2.5))
                painter.drawLine(QLineF(x, line - 12.0, x, line + 5.0))
            else:
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(QColor(colour))
                top = line - 11.0
                painter.drawPolygon(
                    QPolygonF([QPointF(x - 5, top), QPointF(x + 5, top), QPointF(x, line - 1.0)])
                )
            painter.setPen(QColor(colour))
            painter.drawText(QRectF(left, row + 1.0, wide + 1.0, row), MIDDLE, mark.words)


speaks(WeightRuler)
