"""How deep the other rigs fish beside the one looked at: ratios, and a strip where equal."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize
from PySide6.QtGui import QColor, QFont, QPainter
from PySide6.QtWidgets import QSizePolicy

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.painted import CENTRE, LEFT, Painted, write
from taperlab.gui.kit.range_bar import Range, paint_range
from taperlab.gui.kit.theme import SMALL, pen
from taperlab.gui.kit.widgets import Card, Wrapped, label
from taperlab.gui.pages.water.depth_plot import colour_of
from taperlab.gui.pages.water.desk import WaterDesk
from taperlab.shop.water.band import ALIKE, Against
from taperlab.shop.water.choices import Choice
from taperlab.shop.water.words import ratio_words
from taperlab.units.language import tr

LEAST, MOST = 0.6, 1.5
"""The scale of the ratios goes so far at least."""


class RatioRows(Painted):
    """A row for each of the others: its line, name, ratio with its range, and what that says."""

    def __init__(self, desk: WaterDesk) -> None:
        super().__init__(desk.place.theme, on_card=True)
        self._desk = desk
        self._rows: list[tuple[Choice, Against | None]] = []
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Depth beside the rig looked at"))
        desk.follow(self.refresh, lambda: (desk.shown, desk.compared))

    def refresh(self) -> None:
        """Show the last answer."""
        found = self._desk.shown
        others = self._desk.compared[1:]
        self._rows = []
        if found is not None and len(found.against) == len(others):
            self._rows = list(zip(others, found.against, strict=True))
        read = self._desk.place.read
        self.say_all(
            " ".join(f"{each.name}: {read(ratio_words(ratio))}." for each, ratio in self._rows)
        )
        self.updateGeometry()

    @property
    def _high(self) -> float:
        return self.row * 3.1

    def draw(self, painter: QPainter) -> None:
        """Draw the rows over the strip where depths are equal."""
        if not self._rows:
            return
        tokens, row, wide = self.tokens, self.row, float(self.width())
        known = [each for _, each in self._rows if each is not None]
        low = min([LEAST, *(each.low for each in known)])
        high = max([MOST, *(each.high for each in known)])
        left, right = wide * 0.4, wide - 4.0

        def across(ratio: float) -> float:
            return left + (ratio - low) / (high - low) * (right - left)

        strip = QRectF(across(1.0 / (1.0 + ALIKE)), row, 0.0, self.height() - row - 2.0)
        strip.setRight(across(1.0 + ALIKE))
        painter.fillRect(strip, QColor(tokens.accent_wash))
        painter.setPen(pen(tokens.field, 1.0))
        painter.drawRect(strip)
        painter.setPen(pen(tokens.ink, 1.0))
        middle = across(1.0)
        painter.drawLine(QLineF(middle, strip.top(), middle, strip.bottom()))
        over = QRectF(middle - 40.0, 0.0, 80.0, row)
        write(painter, tr("equal"), over, tokens.soft, CENTRE)
        for i, (choice, ratio) in enumerate(self._rows):
            top = row * 1.2 + i * self._high
            colour, dash = colour_of(self._desk, choice)
            painter.setPen(pen(colour, 1.5, dash))
            y = round(top + row / 2.0) + 0.5
            painter.drawLine(QPointF(0.0, y), QPointF(24.0, y))
            bold = theming.font(SMALL, weight=QFont.Weight.Medium)
            painter.setFont(bold)
            named = QRectF(30.0, top, wide - 30.0, row)
            lettered = min(painter.fontMetrics().horizontalAdvance(choice.name), named.width())
            painter.fillRect(QRectF(28.0, top, lettered + 4.0, row), QColor(tokens.card))
            write(painter, choice.name, named, tokens.ink, LEFT)
            painter.setFont(theming.font(SMALL))
            words = self._desk.place.read(ratio_words(ratio))
            below = QRectF(0.0, top + row * 1.1, left - 6.0 if ratio else wide, row)
            painter.setFont(theming.font(SMALL))
            write(painter, words, below, tokens.soft, LEFT)
            if ratio is not None:
                bar = QRectF(left, top + row * 1.1, right - left, row)
                shown = Range(ratio.low, ratio.high, ratio.ratio)
                paint_range(painter, bar, shown, (low, high), tokens, colour)

    def sizeHint(self) -> QSize:
        """All the rows."""
        return QSize(theming.px(220), round(self.row * 1.4 + len(self._rows) * self._high))

    def minimumSizeHint(self) -> QSize:
        """All the rows."""
        return QSize(theming.px(200), self.sizeHint().height())


class ComparedCard(Card):
    """Which of the rigs fishes deeper than the one looked at."""

    def __init__(self, desk: WaterDesk) -> None:
        super().__init__(tr("Depth beside the others"))
        self._desk = desk
        self.title = Wrapped()
        self.title.setFont(theming.font(SMALL))
        self.title.setProperty("role", "caption")
        self.rows = RatioRows(desk)
        words = tr("Inside the shaded strip they fish alike, within 5 %.")
        self.add(self.title, 2, self.rows, label(words, points=SMALL, role="soft", wrap=True))
        desk.follow(self.refresh, lambda: (desk.compared,))

    def refresh(self) -> None:
        """Name the one looked at."""
        focus = self._desk.focus
        self.setVisible(len(self._desk.compared) > 1)
        if focus is not None:
            self.title.setText(tr("Depth beside {rig}").format(rig=focus.name))
