"""What is drawn round and over the plots, in pixels: captions, axes, names, tags."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import pyqtgraph as pg
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import SMALL, Theme, Tokens, pen, px
from taperlab.gui.plots.ink import Name, Over

_CENTRE = Qt.AlignmentFlag.AlignCenter
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


def paint_key(
    painter: QPainter,
    right: QPointF,
    colour: str,
    dash: tuple[float, ...] | None,
    filled: bool,
    rim: str = "",
) -> None:
    """The sign that stands for a curve or an area, left of a point."""
    if filled:
        box = QRectF(right.x() - 14.0, right.y() - 4.5, 14.0, 9.0)
        painter.fillRect(box, QColor(colour))
        if rim:
            painter.setPen(pen(rim))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(box)
    else:
        painter.setPen(pen(colour, theming.LAID_OVER, dash))
        painter.drawLine(right - QPointF(20.0, 0.0), right)


class Mark(QGraphicsItem):
    """Something drawn in pixels inside one rectangle of a scene; height: above other marks."""

    def __init__(self, scene: pg.GraphicsScene, theme: Theme, height: float = 0.0) -> None:
        super().__init__()
        self.theme = theme
        self._rect = QRectF()
        self._what: tuple[object, ...] = ()
        self.setZValue(height)
        scene.addItem(self)

    @property
    def tokens(self) -> Tokens:
        """The colours in force."""
        return self.theme.tokens

    def boundingRect(self) -> QRectF:
        """The rectangle."""
        return self._rect

    def cover(self, rect: QRectF, *what: object) -> None:
        """Be drawn in a rectangle, anew if it or ``what`` is drawn there is not as before."""
        if rect != self._rect:
            self.prepareGeometryChange()
        elif what == self._what:
            return
        self._rect, self._what = rect, what
        self.update()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw it, smoothly."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setFont(theming.font(SMALL))
        self.draw(painter)

    def draw(self, painter: QPainter) -> None:
        """Draw it."""
        raise NotImplementedError


@dataclass(frozen=True, slots=True)
class Note:
    """Small print at the right of a plot's caption: text, and what it stands for.

    short: what is left of it where there is little room.
    """

    text: str
    colour: str
    dash: tuple[float, ...] | None = None
    filled: bool = False
    short: str = ""


class Frame(Mark):
    """Caption above a plot and labels of its upright axis."""

    CAPTION = 18

    def __init__(self, scene: pg.GraphicsScene, theme: Theme) -> None:
        super().__init__(scene, theme)
        self.title = ""
        self.note: Note | None = None
        self.covers = False
        """Whether the margins are painted over, for a picture whose viewer may know no clipping."""
        self._margins: tuple[QRectF, ...] = ()
        self._labels: list[tuple[float, str]] = []
        self.caption = QRectF()

    def show_axis(
        self,
        plot: QRectF,
        labels: list[tuple[float, str]],
        caption: QRectF,
        title: str,
        note: Note | None,
    ) -> None:
        """Labels at these scene heights beside a plot, and the caption over it."""
        self._labels, self.caption, self.title, self.note = labels, caption, title, note
        tall = plot.adjusted(-plot.left(), -8.0, 0.0, 8.0)
        self._margins = (
            QRectF(0.0, tall.top(), plot.left(), tall.height()),
            QRectF(plot.right(), tall.top(), plot.left(), tall.height()),
        )
        self.cover(self._margins[0].united(caption), plot, labels, title, note)

    def draw(self, painter: QPainter) -> None:
        """Draw caption and labels."""
        if self.covers:
            for margin in self._margins:
                painter.fillRect(margin, QColor(self.tokens.card))
        painter.setPen(QColor(self.tokens.soft))
        row = px(16)
        for y, text in self._labels:
            room = QRectF(0.0, y - row / 2.0, self._margins[0].width() - 8.0, row)
            painter.drawText(room, _RIGHT, text)
        painter.drawText(self.caption, _LEFT, self.title)
        if self.note:
            self._draw_note(painter, self.note)

    def _draw_note(self, painter: QPainter, note: Note) -> None:
        metrics = QFontMetricsF(painter.font())
        room = self.caption.width() - metrics.horizontalAdvance(self.title) - 40.0
        text = note.text
        if metrics.horizontalAdvance(text) > room:
            text = metrics.elidedText(note.short or text, Qt.TextElideMode.ElideRight, room)
        painter.drawText(self.caption, _RIGHT, text)
        left = self.caption.right() - metrics.horizontalAdvance(text) - 6.0
        at, rim = QPointF(left, self.caption.center().y()), self.tokens.field
        paint_key(painter, at, note.colour, note.dash, note.filled, rim)


class AcrossAxis(Mark):
    """Labels of the shared axis, below the last plot."""

    HEIGHT = 34

    _labels: Sequence[tuple[float, str]] = ()
    _title = ""

    def show_axis(self, rect: QRectF, labels: list[tuple[float, str]], title: str) -> None:
        """Labels at these scene positions, and the axis's title below them."""
        self._labels, self._title = labels, title
        self.cover(rect, labels, title)

    def draw(self, painter: QPainter) -> None:
        """Draw labels and title."""
        painter.setPen(QColor(self.tokens.soft))
        rect = self._rect
        row, wide = px(15), px(60)
        for x, text in self._labels:
            painter.drawText(QRectF(x - wide / 2.0, rect.top() + 2.0, wide, row), _CENTRE, text)
        below = QRectF(rect.left(), rect.top() + 2.0 + row, rect.width(), row)
        painter.drawText(below, _CENTRE, self._title)


class TickStrip(Mark):
    """A strip above the first plot with ticks and their labels, such as one for each rod length."""

    HEIGHT = 19

    marks: Sequence[tuple[float, str]] = ()

    def show_marks(self, rect: QRectF, places: Sequence[tuple[float, str]]) -> None:
        """Ticks at these scene positions; labels where they fit."""
        metrics = QFontMetricsF(theming.font(SMALL))
        marks = []
        taken = rect.left() - 4.0
        for x, text in places:
            if not rect.left() <= x <= rect.right():
                continue
            half = metrics.horizontalAdvance(text) / 2.0
            fits = x - half > taken and x + half <= rect.right()
            marks.append((x, text if fits else ""))
            if fits:
                taken = x + half + 8.0
        self.marks = marks
        self.cover(rect.adjusted(-1.0, 0.0, 1.0, 0.0), marks)

    def draw(self, painter: QPainter) -> None:
        """Draw ticks and labels."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        top, bottom = self._rect.top(), self._rect.bottom()
        for x, text in self.marks:
            painter.setPen(pen(self.tokens.ink))
            painter.drawLine(QLineF(x, bottom - 5.0, x, bottom - 1.0))
            painter.setPen(QColor(self.tokens.soft))
            painter.drawText(QRectF(x - 60.0, top, 120.0, px(13)), _CENTRE, text)


class OverMarks(Mark):
    """What inks put over all curves: names and small shapes."""

    shown: tuple[Over, ...] = ()
    _clear = QRectF()

    @property
    def names(self) -> tuple[Name, ...]:
        """The names that are shown, and where."""
        return tuple(name for over in self.shown for name in over.names)

    def show_over(self, plot: QRectF, over: Sequence[Over]) -> None:
        """Show these over a plot."""
        self.shown = tuple(over)
        self.cover(plot.adjusted(-12.0, -8.0, 12.0, 12.0), self.shown)

    def keep_clear(self, rect: QRectF) -> None:
        """Leave out the names that would show from behind this rectangle."""
        if rect != self._clear:
            self._clear = rect
            self.update()

    def draw(self, painter: QPainter) -> None:
        """Draw shapes, and names over them."""
        for over in self.shown:
            for path, line, fill in over.shapes:
                painter.setPen(line)
                painter.setBrush(fill)
                painter.drawPath(path)
        painter.setFont(theming.font(SMALL, weight=QFont.Weight.Medium))
        for name in self.names:
            if not name.where.intersects(self._clear):
                painter.setPen(QColor(name.colour))
                painter.drawText(name.where.adjusted(-2.0, 0.0, 2.0, 0.0), _CENTRE, name.text)


@dataclass(frozen=True, slots=True)
class TagRow:
    """One line of a tag: its text, and the curve it is about, if it is about one."""

    text: str
    colour: str = ""
    dash: tuple[float, ...] | None = None


class Tag(Mark):
    """A small box of text beside a point: what is dragged, or what is laid over there."""

    ROW = 16
    KEY = 26.0
    WIDEST = 320.0

    def __init__(self, scene: pg.GraphicsScene, theme: Theme, height: float = 30.0) -> None:
        super().__init__(scene, theme, height)
        self.rows: tuple[TagRow, ...] = ()
        self._high = 1
        self.hide()

    @property
    def columns(self) -> int:
        """How many columns its rows stand in."""
        return math.ceil(len(self.rows) / self._high)

    def show_at(self, point: QPointF, rows: Sequence[TagRow], bounds: QRectF) -> None:
        """Stand beside a point, inside the bounds."""
        self.rows, self._high = tuple(rows), len(rows)
        width, height = self._width(rows, bounds.width() - 16.0), len(rows) * px(self.ROW) + 6.0
        x = point.x() + 12.0
        if x + width > bounds.right():
            x = point.x() - 12.0 - width
        y = point.y() - height - 10.0
        if y < bounds.top():
            y = point.y() + 12.0
        y = max(bounds.top(), min(y, bounds.bottom() - height))
        self.cover(QRectF(max(bounds.left(), x), y, width, height), self.rows)
        self.show()

    def show_clear_of(
        self,
        x: float,
        rows: Sequence[TagRow],
        plot: QRectF,
        bottom: float,
        page: int,
        more: Callable[[int], str],
    ) -> None:
        """Stand in an upper corner of a plot, the left one unless that is too near to ``x``.

        In half of the plot's width there are as many columns as can be read; what finds no room
        in the plot hangs out of it, down to ``bottom``. Of more rows than that there are pages,
        and the last row of each says with ``more`` how many rows are on the others.
        """
        # In steps, so that the box keeps still while the numbers in it change.
        half = plot.width() / 2.0 - 24.0
        wide = min(20.0 * math.ceil(self._width(rows, half) / 20.0), half)
        most = max(1, int(half / wide))
        for room in (plot.bottom(), bottom):
            high = max(2, int((room - plot.top() - 8.0) / px(self.ROW)))
            if most * high >= len(rows):
                break
        shown = list(rows)
        if most * high < len(rows):
            fit = most * high - 1
            first = page % math.ceil(len(rows) / fit) * fit
            shown = shown[first : first + fit]
            shown.append(TagRow(more(len(rows) - len(shown))))
        columns = math.ceil(len(shown) / high)
        self.rows, self._high = tuple(shown), math.ceil(len(shown) / columns)
        width, height = columns * wide, self._high * px(self.ROW) + 6.0
        left = plot.left() + 8.0
        if x < left + width + 12.0:
            left = plot.right() - 8.0 - width
        self.cover(QRectF(left, plot.top() + 2.0, width, height), self.rows)
        self.show()

    def _width(self, rows: Sequence[TagRow], room: float) -> float:
        """What the widest of the rows takes, as far as there is room."""
        metrics = QFontMetricsF(theming.font(9.0))
        widest = max(
            metrics.horizontalAdvance(row.text) + (self.KEY if row.colour else 0.0) for row in rows
        )
        return min(widest + 17.0, px(self.WIDEST), room)

    def draw(self, painter: QPainter) -> None:
        """Draw box and text."""
        painter.setPen(pen(self.tokens.ink))
        painter.setBrush(QColor(self.tokens.card))
        painter.drawRoundedRect(self._rect.adjusted(0.5, 0.5, -0.5, -0.5), 5.0, 5.0)
        painter.setFont(theming.font(9.0))
        metrics = QFontMetricsF(painter.font())
        high, wide = px(self.ROW), self._rect.width() / self.columns
        for number, row in enumerate(self.rows):
            column, line = divmod(number, self._high)
            left, top = self._rect.left() + column * wide, self._rect.top() + 3.0 + line * high
            room = QRectF(left + 8.0, top, wide - 16.0, high)
            if row.colour:
                key = QPointF(room.left() + self.KEY - 6.0, room.center().y())
                paint_key(painter, key, row.colour, row.dash, False)
                room.setLeft(room.left() + self.KEY)
            painter.setPen(QColor(self.tokens.ink))
            shown = metrics.elidedText(row.text, Qt.TextElideMode.ElideMiddle, room.width() + 2.0)
            painter.drawText(room, _LEFT, shown)
