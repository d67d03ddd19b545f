"""Pieces of stock one below the other at one scale, with what is cut from each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QFont, QFontMetricsF, QPainter
from PySide6.QtWidgets import QSizePolicy

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.painted import LEFT, RIGHT, Painted, write
from taperlab.gui.kit.theme import SMALL, px
from taperlab.gui.pages.pieces.case import PiecesCase
from taperlab.gui.pages.pieces.drawing import paint_cut, paint_feet, thickest
from taperlab.model.exact_units import FOOT
from taperlab.model.stock import Stock
from taperlab.units.kinds import System
from taperlab.units.sentence import NOTHING, OnTape, Sentence

BAR, BETWEEN, RULER = 22.0, 9.0, 20.0
"""For usual letters [px]."""


@dataclass(frozen=True, slots=True)
class BarRow:
    """A piece of stock, and what is cut from it: begin, end [m] and number.

    right: what is said of it; short: the same where that finds no room.
    """

    stock: Stock
    cuts: tuple[tuple[float, float, str], ...]
    right: Sentence
    short: Sentence = NOTHING


class BarsView(Painted):
    """Rows of stock at one scale, a ruler below. hatched: whether what is not cut is left over."""

    def __init__(self, case: PiecesCase, name: str, *, hatched: bool = True) -> None:
        super().__init__(case.place.theme, on_card=True)
        self._hatched = hatched
        self._case = case
        self.rows: tuple[BarRow, ...] = ()
        self._marked = ""
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.MinimumExpanding)

    def show_bars(self, rows: Sequence[BarRow], marked: str = "") -> None:
        """Show these. marked: what stands in the cut that is looked at."""
        self.rows = tuple(rows)
        self._marked = marked
        read = self._case.place.read
        said = [
            read(Sentence("{stock}: {said}.", stock=each.stock.name, said=each.right))
            for each in self.rows
        ]
        self.say_all(" ".join(said))
        self.updateGeometry()

    def _row_height(self) -> float:
        return self.row + px(BAR) + px(BETWEEN) + 3.0

    def sizeHint(self) -> QSize:
        """All rows and the ruler."""
        high = len(self.rows) * self._row_height() + px(RULER) + 8.0
        return QSize(px(240), round(high))

    def minimumSizeHint(self) -> QSize:
        """As high; it lies in what scrolls."""
        return QSize(px(200), self.sizeHint().height())

    def draw(self, painter: QPainter) -> None:
        """Draw the rows."""
        if not self.rows:
            return
        tokens, case = self.tokens, self._case
        shelf = [each.stock for each in self.rows]
        longest, thick = max(each.whole_length for each in shelf), thickest(shelf)
        room = QRectF(self.rect()).adjusted(14.0, 6.0, -14.0, 0.0)
        top = room.top()
        strong, small = theming.font(SMALL, weight=QFont.Weight.DemiBold), theming.font(SMALL)
        for each in self.rows:
            line = QRectF(room.left(), top, room.width(), self.row)
            name = case.place.read(
                Sentence(
                    "{stock}, {length}",
                    stock=each.stock.name,
                    length=OnTape(each.stock.whole_length),
                )
            )
            right = case.place.read(each.right)
            needed = QFontMetricsF(strong).horizontalAdvance(name)
            if each.short and QFontMetricsF(small).horizontalAdvance(right) > room.width() - needed:
                right = case.place.read(each.short)
            painter.setFont(small)
            wide = painter.fontMetrics().horizontalAdvance(right) + 2.0
            write(painter, right, line, tokens.soft, RIGHT)
            painter.setFont(strong)
            write(painter, name, line.adjusted(0, 0, -wide - 10, 0), tokens.ink, LEFT)
            painter.setFont(small)
            bar = QRectF(room.left(), top + self.row + 3.0, room.width(), px(BAR))
            paint_cut(
                painter,
                bar,
                each.stock,
                each.cuts,
                (longest, thick),
                tokens,
                self._marked,
                hatched=self._hatched,
            )
            top += self._row_height()
        unit = FOOT if case.system is System.US else 1.0
        paint_feet(
            painter, QRectF(room.left(), top, room.width(), px(RULER)), longest, unit, tokens
        )
