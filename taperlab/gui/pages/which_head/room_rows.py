"""The room that the shortest head of each style wants, against the room there is."""

from __future__ import annotations

import math

from PySide6.QtCore import QLineF, QRectF, QSize
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QSizePolicy

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.painted import CENTRE, LEFT, RIGHT, Painted, write
from taperlab.gui.kit.range_bar import Range, paint_range
from taperlab.gui.kit.theme import BODY, SMALL, pen
from taperlab.gui.pages.which_head.case import WhichCase
from taperlab.shop.rough import about
from taperlab.shop.which_head.study import Candidate
from taperlab.shop.which_head.words import ruled_out_words
from taperlab.trade.head_choice import head_bands, rooms
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence
from taperlab.units.words import heading

NAME, WORDS = 80, 160
"""Widths of the columns beside the bars, for usual letters [px]."""

HIGH = 26.0
"""Of a row [px]."""


class RoomRows(Painted):
    """A row for each style, shortest heads first: from a round loop to the largest of any shape."""

    def __init__(self, case: WhichCase) -> None:
        super().__init__(case.place.theme, on_card=True)
        self._case = case
        self._rows: tuple[Candidate, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Room behind that each style wants"))
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show all styles as they stand now."""
        found = self._case.found
        self._rows = ()
        if found is not None:
            self._rows = tuple(found.candidate(each.style) for each in head_bands())
        self.say_all(" ".join(map(self._spoken_row, self._rows)))

    def _spoken_row(self, row: Candidate) -> str:
        said = tr("{style}, ruled out: {why}.") if row.out else tr("{style}: {why}.")
        why = self._case.place.read(ruled_out_words(row))
        return said.format(style=heading(row.style), why=why)

    @property
    def _row_high(self) -> float:
        return float(theming.px(HIGH))

    def sizeHint(self) -> QSize:
        """All the rows, and the words above."""
        high = round(self.row + 6.0 + len(head_bands()) * self._row_high)
        return QSize(theming.px(420), high)

    def minimumSizeHint(self) -> QSize:
        """No lower."""
        return QSize(theming.px(NAME + WORDS + 90), self.sizeHint().height())

    def draw(self, painter: QPainter) -> None:
        """Draw the rows over the room there is."""
        found, tokens, row = self._case.found, self.tokens, self.row
        if found is None:
            return
        left, right = float(theming.px(NAME)), self.width() - theming.px(WORDS) - 8.0
        room, grace = found.answers.room, rooms().grace
        reach = [each.room.pointed for each in self._rows if math.isfinite(each.room.pointed)]
        most: float = max([1.0, *reach, *((room + grace,) if room is not None else ())]) * 1.04

        def across(length: float) -> float:
            return left + float(length) / most * (right - left)

        top = row + 6.0
        foot = float(self.height())
        painter.fillRect(QRectF(left, foot - 1.0, right - left, 1.0), QColor(tokens.rule))
        if room is not None:
            strip = QRectF(left, top, across(room + grace) - left, foot - top)
            painter.fillRect(strip, QColor(tokens.band))
            painter.setPen(pen(tokens.accent, 1.2, (4.0, 3.0)))
            painter.drawLine(QLineF(strip.right(), top, strip.right(), foot))
            painter.setPen(pen(tokens.ink, 1.4))
            painter.drawLine(QLineF(across(room), row + 2.0, across(room), foot))
            self._name_room(painter, room, across(room))
        for at, each in enumerate(self._rows):
            self._draw_row(painter, each, top + at * self._row_high, (left, right), most)

    def _name_room(self, painter: QPainter, room: float, x: float) -> None:
        read, tokens = self._case.place.read, self.tokens
        said = Sentence(
            "your {room}, and {grace} of grace", room=about(room), grace=about(rooms().grace)
        )
        text = read(said)
        wide = painter.fontMetrics().horizontalAdvance(text) + 4.0
        start = min(max(x - wide / 2.0, 0.0), max(0.0, self.width() - wide))
        write(painter, text, QRectF(start, 0.0, wide, self.row), tokens.ink, CENTRE)

    def _draw_row(
        self,
        painter: QPainter,
        each: Candidate,
        top: float,
        ends: tuple[float, float],
        most: float,
    ) -> None:
        tokens, high = self.tokens, self._row_high
        left, right = ends
        colour = tokens.bad if each.out else tokens.accent
        painter.setFont(theming.font(BODY))
        write(painter, heading(each.style), QRectF(0.0, top, left - 6.0, high), tokens.ink, LEFT)
        bar = QRectF(left, top, right - left, high)
        if each.room.loop:
            shown = Range(each.room.round, each.room.pointed)
            paint_range(painter, bar, shown, (0.0, most), tokens, colour, track=False)
        painter.setFont(theming.font(SMALL))
        words = self._case.place.read(ruled_out_words(each))
        if each.out:
            words = f"✕ {words}"
        beside = QRectF(right + 8.0, top, self.width() - right - 8.0, high)
        write(painter, words, beside, tokens.bad if each.out else tokens.ink, RIGHT)
