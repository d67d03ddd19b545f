"""The points, countable: a square for each, hollow where it speaks against, and the sentence."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QResizeEvent
from PySide6.QtWidgets import QSizePolicy

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.painted import LEFT, Painted, write
from taperlab.gui.kit.theme import BODY, SMALL, pen, usual
from taperlab.gui.pages.which_head.case import WhichCase
from taperlab.shop.which_head.points import PointRow, point_rows, points_text, totals
from taperlab.shop.which_head.words import sum_words
from taperlab.units.language import tr
from taperlab.units.show import unbroken
from taperlab.units.words import heading

SQUARE, APART = 10.0, 3.0
MOST_SQUARES = 4
"""More points than this are told by one square and a number."""

WIDE = 720
"""From which width on sentences stand beside the points, for usual letters [px]."""

NAME, STYLE = 150, 76
"""Widths of the columns, for usual letters [px]."""

WRAPPED = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)


class PointsTable(Painted):
    """A row for each question, a column for each style that is not ruled out."""

    def __init__(self, case: WhichCase) -> None:
        super().__init__(case.place.theme, on_card=True)
        self._case = case
        self._rows: tuple[PointRow, ...] = ()
        self._styles: tuple[tuple[str, int], ...] = ()
        self._sum = ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("What speaks for each"))
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Count anew."""
        found, read = self._case.found, self._case.place.read
        self._rows, self._styles, self._sum = (), (), ""
        if found is not None:
            self._rows = point_rows(found)
            self._styles = tuple((heading(style), points) for style, points in totals(found))
            self._sum = read(sum_words(found)) if found.left else ""
        said = [self._spoken_row(each) for each in self._rows]
        sums = ", ".join(f"{name} {points_text(points)}" for name, points in self._styles)
        self.say_all(" ".join([*said, tr("Together: {sums}.").format(sums=sums), self._sum]))
        self._take_height()

    def _spoken_row(self, row: PointRow) -> str:
        read = self._case.place.read
        each = zip(self._styles, row.points, strict=True)
        points = ", ".join(f"{name} {points_text(points)}" for (name, _), points in each)
        return f"{read(row.answered)}: {points}. {read(row.why)}"

    # -- room ----------------------------------------------------------------------------------

    @property
    def _is_wide(self) -> bool:
        return usual(self.width()) >= WIDE + max(0, len(self._styles) - 3) * STYLE

    def _columns(self) -> tuple[float, float]:
        """Where the styles begin, and how wide each is [px]."""
        count = max(1, len(self._styles))
        name = theming.px(NAME)
        if self._is_wide:
            return float(name), float(theming.px(STYLE))
        return float(name), min(theming.px(STYLE) * 1.3, (self.width() - name) / count)

    def _why_room(self, top: float) -> QRectF:
        """Where the sentence of a row goes, which begins there."""
        start, each = self._columns()
        if self._is_wide:
            left = start + each * len(self._styles) + 8.0
            small = QFontMetricsF(theming.font(SMALL)).height()
            return QRectF(left, round(top + (self._line - small) / 2.0), self.width() - left, 1e4)
        return QRectF(0.0, top + self._line, float(self.width()), 1e4)

    @property
    def _line(self) -> float:
        return QFontMetricsF(theming.font(BODY)).height() + 2.0

    def _why_high(self, row: PointRow) -> float:
        metrics = QFontMetricsF(theming.font(SMALL))
        said = unbroken(self._case.place.read(row.why))
        return metrics.boundingRect(self._why_room(0.0), WRAPPED, said).height()

    def _high(self, row: PointRow) -> float:
        high = self._why_high(row)
        needs = max(self._line, high) if self._is_wide else self._line + high
        return needs + 10.0

    def _take_height(self) -> None:
        rows = sum(self._high(each) for each in self._rows)
        sums = self._line + 8.0 + (0.0 if self._is_wide else self.row)
        high = round(self._line + 4.0 + rows + sums)
        if high != self.height() or high != self.minimumHeight():
            self.setFixedHeight(high)
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Sentences of another width are of another height."""
        super().resizeEvent(event)
        self._take_height()

    def sizeHint(self) -> QSize:
        """As high as it is."""
        return QSize(theming.px(400), self.minimumHeight())

    def minimumSizeHint(self) -> QSize:
        """Name and styles."""
        return QSize(theming.px(NAME + 52 * max(1, len(self._styles))), self.minimumHeight())

    # -- drawing -------------------------------------------------------------------------------

    def draw(self, painter: QPainter) -> None:
        """Draw the rows."""
        if not self._rows:
            return
        tokens, line = self.tokens, self._line
        start, wide = self._columns()
        for at, (name, _) in enumerate(self._styles):
            room = QRectF(start + at * wide, 0.0, wide - 4.0, line)
            write(painter, name, room, tokens.soft, LEFT)
        if self._is_wide:
            why = self._why_room(0.0)
            write(painter, tr("Why"), QRectF(why.left(), 0.0, why.width(), line), tokens.soft)
        top = line + 4.0
        for row in self._rows:
            self._rule(painter, top - 2.0, tokens.rule)
            self._draw_row(painter, row, top + 3.0)
            top += self._high(row)
        self._rule(painter, top - 2.0, tokens.field)
        bold = theming.font(BODY, weight=QFont.Weight.DemiBold)
        painter.setFont(bold)
        room = QRectF(0.0, top + 3.0, start - 4.0, line)
        write(painter, tr("Together"), room, tokens.ink, LEFT)
        for at, (_, points) in enumerate(self._styles):
            room = QRectF(start + at * wide, top + 3.0, wide - 4.0, line)
            write(painter, points_text(points), room, tokens.ink, LEFT)
        why = self._why_room(top + 3.0)
        under = top + 3.0 if self._is_wide else why.top()
        write(painter, self._sum, QRectF(why.left(), under, why.width(), line), tokens.ink)

    def _draw_row(self, painter: QPainter, row: PointRow, top: float) -> None:
        tokens, line, read = self.tokens, self._line, self._case.place.read
        start, wide = self._columns()
        painter.setFont(theming.font(BODY))
        room = QRectF(0.0, top, start - 6.0, line)
        write(painter, read(row.answered), room, tokens.ink, LEFT)
        painter.setFont(theming.font(SMALL))
        for at, points in enumerate(row.points):
            self._draw_points(painter, points, QRectF(start + at * wide, top, wide - 4.0, line))
        painter.setPen(QColor(tokens.soft))
        said = unbroken(read(row.why))
        painter.drawText(self._why_room(top), WRAPPED, said)

    def _draw_points(self, painter: QPainter, points: int, room: QRectF) -> None:
        tokens = self.tokens
        if not points:
            write(painter, tr("none"), room, tokens.soft, LEFT)
            return
        colour = tokens.accent if points > 0 else tokens.bad
        count = abs(points)
        squares = count if count <= MOST_SQUARES else 1
        for at in range(squares):
            x = room.left() + at * (SQUARE + APART)
            box = QRectF(round(x), round(room.center().y() - SQUARE / 2.0), SQUARE, SQUARE)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(colour))
            if points > 0:
                painter.drawRoundedRect(box, 2.0, 2.0)
            else:
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.setPen(pen(colour, 1.5))
                painter.drawRoundedRect(box.adjusted(0.75, 0.75, -0.75, -0.75), 2.0, 2.0)
        if squares < count:
            beside = room.adjusted(SQUARE + APART + 2.0, 0.0, 0.0, 0.0)
            write(painter, f"× {count}", beside, tokens.ink, LEFT)

    def _rule(self, painter: QPainter, y: float, colour: str) -> None:
        painter.setPen(pen(colour, 1.0))
        painter.drawLine(QLineF(0.0, round(y) + 0.5, float(self.width()), round(y) + 0.5))
