"""Stock drawn to one scale: as it lies on the shelf, and with what is cut from it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPolygonF

from taperlab.gui.kit.signs import hatch
from taperlab.gui.kit.theme import Tokens, pen, px
from taperlab.model.stock import Stock

CUT_END = 9.0
"""How much of what was cut off before is hinted at, for usual letters [px]."""


def outline(stock: Stock) -> list[tuple[float, float]]:
    """Distance from the front and diameter [m] at every corner of it."""
    found: list[tuple[float, float]] = []
    start = 0.0
    for each in stock.sections:
        found += [(start, each.front_diameter), (start + each.length, each.rear_diameter)]
        start += each.length
    return found


def thickest(shelf: Sequence[Stock]) -> float:
    """The largest diameter of any stock [m]."""
    return max((d for each in shelf for _, d in outline(each)), default=1.0)


def polygon(
    stock: Stock, left: float, middle: float, across: float, up: float, begin: float, end: float
) -> QPolygonF:
    """What lies between two places of it [m]; across, up: scales [px/m] along and of thickness."""
    cut = [(begin, _wide(stock, begin)), (end, _wide(stock, end))]
    points = sorted(
        [*cut, *(p for p in outline(stock) if begin < p[0] < end)], key=lambda each: each[0]
    )
    upper = [QPointF(left + x * across, middle - d * up / 2.0) for x, d in points]
    lower = [QPointF(left + x * across, middle + d * up / 2.0) for x, d in reversed(points)]
    return QPolygonF([*upper, *lower])


def _wide(stock: Stock, at: float) -> float:
    """Its diameter at a place [m]."""
    points = outline(stock)
    for (x0, d0), (x1, d1) in pairwise(points):
        if x0 <= at <= x1 and x1 > x0:
            return d0 + (d1 - d0) * (at - x0) / (x1 - x0)
    return points[-1][1]


def paint_stock(
    painter: QPainter, room: QRectF, stock: Stock, longest: float, thick: float, tokens: Tokens
) -> None:
    """Draw a piece of stock as it lies there, at the scale of the longest and the thickest.

    Of what was cut off before nobody knows how long it was: a dashed end says that there was some.
    """
    across = (room.width() - px(CUT_END) - 2.0) / longest
    up = room.height() / thick
    middle = room.center().y()
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    if stock.leftover:
        end = room.left() + stock.whole_length * across
        half = max(outline(stock)[-1][1] * up / 2.0, 1.5)
        painter.setPen(pen(tokens.field, 1.0, (2.0, 2.0)))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(QRectF(end, middle - half, px(CUT_END), 2.0 * half))
    painter.setPen(pen(tokens.edge, 1.0))
    painter.setBrush(QColor(tokens.off))
    painter.drawPolygon(polygon(stock, room.left(), middle, across, up, 0.0, stock.whole_length))
    painter.restore()


def paint_cut(
    painter: QPainter,
    room: QRectF,
    stock: Stock,
    cuts: Sequence[tuple[float, float, str]],
    scale: tuple[float, float],
    tokens: Tokens,
    marked: str = "",
    *,
    hatched: bool = True,
) -> None:
    """Draw stock with what is cut from it, each with its number.

    hatched: whether what is not cut is hatched, as what is left.

    cuts: where each begins and ends [m], and what stands in it. scale: the length that is as wide
    as the room, and the diameter that is as high [m]. marked: what stands in the cut looked at.
    """
    across, up = room.width() / scale[0], room.height() / scale[1]
    middle, whole = room.center().y(), stock.whole_length
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    all_of_it = polygon(stock, room.left(), middle, across, up, 0.0, whole)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(tokens.off))
    painter.drawPolygon(all_of_it)
    if cuts and hatched:
        _hatch_in(painter, all_of_it, tokens)
    for begin, end, text in cuts:
        piece = polygon(stock, room.left(), middle, across, up, begin, min(end, whole))
        painter.setBrush(QColor(tokens.accent_wash))
        painter.setPen(pen(tokens.accent, 2.6 if text == marked else 1.2))
        painter.drawPolygon(piece)
        inner = piece.boundingRect()
        if QFontMetricsF(painter.font()).horizontalAdvance(text) + 4.0 <= inner.width():
            painter.setPen(QColor(tokens.ink))
            painter.drawText(inner, Qt.AlignmentFlag.AlignCenter, text)
    dashed = None if cuts else (3.0, 3.0)
    painter.setPen(pen(tokens.edge, 1.0, dashed))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolygon(all_of_it)
    painter.restore()


def _hatch_in(painter: QPainter, shape: QPolygonF, tokens: Tokens) -> None:
    path = QPainterPath()
    path.addPolygon(shape)
    painter.save()
    painter.setClipPath(path)
    hatch(painter, shape.boundingRect(), tokens.hatch, 6.0)
    painter.restore()


def paint_feet(
    painter: QPainter, room: QRectF, longest: float, unit: float, tokens: Tokens
) -> None:
    """A ruler below: a tick and a number each ``step`` units. unit: its length [m]."""
    count = longest / unit
    step = next((each for each in (1, 2, 5, 10, 20, 50, 100, 200) if count / each <= 10.0), 500)
    across = room.width() / longest
    metrics = QFontMetricsF(painter.font())
    for i in range(0, int(count) + 1, step):
        x = room.left() + i * unit * across
        painter.setPen(pen(tokens.field, 1.0))
        painter.drawLine(QLineF(x, room.top(), x, room.top() + 4.0))
        painter.setPen(QColor(tokens.soft))
        wide = metrics.horizontalAdvance(str(i))
        at = min(max(x - wide / 2.0, room.left()), room.right() - wide)
        painter.drawText(QPointF(at, room.top() + 5.0 + metrics.ascent()), str(i))
