"""A head as it lies on the bench, drawn for screen and paper alike.

Fly end at the left, always. What comes off is hatched, the blades are numbered in the order of
work, and each length is dimensioned from the end that it is measured from.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPolygonF,
    QTransform,
)

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.end_tag import paint_tag, tag_size
from taperlab.gui.kit.signs import hatch
from taperlab.gui.kit.theme import SMALL, Tokens, pen
from taperlab.gui.plots.ink import Map, Pad
from taperlab.gui.plots.outline import Piece, outline_of
from taperlab.model.cut_log import CutEnd
from taperlab.model.line import Line
from taperlab.units.language import tr

LEFT, RIGHT = Qt.AlignmentFlag.AlignLeft, Qt.AlignmentFlag.AlignRight
MIDDLE = Qt.AlignmentFlag.AlignVCenter
SIDE = 16.0
"""Room beside the ends, for loops [px]."""

ARROW = 5.0
"""Half as wide as a dimension's arrow is long [px]."""


@dataclass(frozen=True, slots=True)
class SketchCut:
    """A cut in the drawing.

    length: how much comes off [m]; words: the same as it is written; number: in the order of work.
    is_next: whether this is the one to make now.
    """

    end: CutEnd
    length: float
    words: str
    number: int = 1
    is_next: bool = True


@dataclass(frozen=True, slots=True)
class Sketch:
    """What is drawn. line: the head as it lies now.

    title: over its left end. stays: about the stretch between the blades. rod_length: [m], for the
    marks above. plain: without any words.
    """

    line: Line
    cuts: tuple[SketchCut, ...] = ()
    title: str = ""
    stays: str = ""
    rod_length: float | None = None
    plain: bool = False

    def blade(self, end: CutEnd) -> float | None:
        """Where the blade of an end goes, from the fly end [m]."""
        for each in self.cuts:
            if each.end is end:
                return each.length if end is CutEnd.FRONT else self.line.length - each.length
        return None


class SketchPainter:
    """Draws one sketch into a room. points: size of its letters."""

    def __init__(self, sketch: Sketch, room: QRectF, tokens: Tokens, points: float = 9.0) -> None:
        self.sketch, self.room, self.tokens, self.points = sketch, room, tokens, points
        self._usual = QFontMetricsF(theming.font(points))
        row = self._usual.height()
        self.radius = 0.0 if sketch.plain else row * 0.72
        above = 6.0 if sketch.plain else row + 4.0 + 2.0 * self.radius + 4.0
        below = row + 8.0 + tag_size(CutEnd.REAR, points).height()
        if sketch.plain:
            below = 2.0 * row if sketch.cuts else 6.0
        outline = outline_of(sketch.line, tokens)
        _, thickest = outline.upright or (0.0, 1.0)
        self.map = Map()
        self.map.rect = room.adjusted(SIDE, above, -SIDE, -below)
        self.map.x_range = (0.0, max(sketch.line.length, 1e-6))
        self.map.y_range = (-1.04 * thickest, 1.04 * thickest)
        self.outline = outline
        self.row = row

    def paint(self, painter: QPainter) -> None:
        """Draw it."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_line(painter)
        if self.sketch.plain:
            self._paint_arrows(painter)
        else:
            self._paint_above(painter)
            self._paint_dimensions(painter)
            self._paint_tags(painter)
        for cut in self.sketch.cuts:
            self._paint_blade(painter, cut)

    # -- the line ------------------------------------------------------------------------------

    def _paint_line(self, painter: QPainter) -> None:
        rect, stays = self.map.rect, self._stays()
        low, high = self.map.y_range
        x_scale = rect.width() / self.map.x_range[1]
        place = QTransform(
            x_scale, 0.0, 0.0, -rect.height() / (high - low), rect.left(), self.map.upright(0.0)
        )
        painter.save()
        painter.setTransform(place, True)
        area = QRectF(0.0, low, self.map.x_range[1], high - low)
        self.outline.paint(Pad(painter, area, x_scale))
        painter.restore()
        for first, last in stays.off:
            self._paint_off(painter, first, last)
        painter.setPen(pen(self.tokens.edge, 1.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolygon(self._around(0.0, self.map.x_range[1]))
        left = replace(self.outline, pieces=self._pieces(*stays.kept))
        names = () if self.sketch.plain else left.over(self.map).names
        painter.setFont(theming.font(SMALL, weight=QFont.Weight.Medium))
        for name in names:
            painter.setPen(QColor(name.colour))
            painter.drawText(
                name.where.adjusted(-4, 0, 4, 0), Qt.AlignmentFlag.AlignCenter, name.text
            )
        for path, how, fill in self.outline.over(self.map).shapes:
            painter.setPen(how)
            painter.setBrush(fill)
            painter.drawPath(path)

    def _stays(self) -> _Stays:
        end = self.map.x_range[1]
        front, rear = self.sketch.blade(CutEnd.FRONT), self.sketch.blade(CutEnd.REAR)
        off = [(0.0, front)] if front else []
        off += [(rear, end)] if rear is not None and rear < end else []
        return _Stays((front or 0.0, end if rear is None else rear), tuple(off))

    def _pieces(self, first: float, last: float) -> tuple[Piece, ...]:
        """The pieces of the line, as far as they lie between two places [m]."""
        found = []
        for piece in self.outline.pieces:
            front, rear = max(piece.front, first), min(piece.rear, last)
            if rear - front > 1e-9:
                slope = (piece.rear_diameter - piece.front_diameter) / (piece.rear - piece.front)
                found.append(
                    Piece(
                        front,
                        rear,
                        piece.front_diameter + slope * (front - piece.front),
                        piece.front_diameter + slope * (rear - piece.front),
                        piece.part,
                    )
                )
        return tuple(found)

    def _around(self, first: float, last: float) -> QPolygonF:
        upper: list[QPointF] = []
        lower: list[QPointF] = []
        for piece in self._pieces(first, last):
            for at, thick in (
                (piece.front, piece.front_diameter),
                (piece.rear, piece.rear_diameter),
            ):
                upper.append(self.map.point(at, thick))
                lower.append(self.map.point(at, -thick))
        return QPolygonF(upper + lower[::-1])

    def _paint_off(self, painter: QPainter, first: float, last: float) -> None:
        shape = QPainterPath()
        shape.addPolygon(self._around(first, last))
        shape.closeSubpath()
        painter.save()
        painter.setClipPath(shape, Qt.ClipOperation.IntersectClip)
        painter.fillRect(shape.boundingRect(), QColor(self.tokens.off))
        hatch(painter, shape.boundingRect(), self.tokens.hatch)
        painter.restore()
        painter.setPen(pen(self.tokens.edge, 1.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(shape)

    # -- blades and dimensions -----------------------------------------------------------------

    def _at(self, cut: SketchCut) -> float:
        return self.map.across(self.sketch.blade(cut.end) or 0.0)

    def _paint_blade(self, painter: QPainter, cut: SketchCut) -> None:
        x, rect, tokens = self._at(cut), self.map.rect, self.tokens
        colour = tokens.accent if cut.is_next else tokens.ink
        width = 2.5 * self.points / 9.0 if cut.is_next else 1.5
        painter.setPen(pen(colour, width, None if cut.is_next else (2.5, 2.0)))
        if self.sketch.plain:
            painter.drawLine(QLineF(x, rect.top() - 6.0, x, rect.bottom() + self.row * 1.4))
            return
        top = rect.top() - 4.0
        painter.drawLine(QLineF(x, top, x, rect.bottom() + self.row + 6.0))
        painter.setPen(pen(colour, 1.5))
        painter.setBrush(QColor(tokens.accent if cut.is_next else tokens.card))
        centre = QPointF(x, top - self.radius)
        painter.drawEllipse(centre, self.radius, self.radius)
        painter.setPen(QColor(tokens.accent_ink if cut.is_next else tokens.ink))
        painter.setFont(theming.font(self.points, weight=QFont.Weight.DemiBold))
        where = QRectF(centre.x() - 20.0, centre.y() - 20.0, 40.0, 40.0)
        painter.drawText(where, Qt.AlignmentFlag.AlignCenter, str(cut.number))

    def _paint_arrows(self, painter: QPainter) -> None:
        """Where a cut is measured from, in the plain drawing: an arrow from that end."""
        y, size = self.map.rect.bottom() + self.row, self.row * 0.35
        for cut in self.sketch.cuts:
            end = self.map.across(0.0 if cut.end is CutEnd.FRONT else self.map.x_range[1])
            x = self._at(cut)
            way = 1.0 if x > end else -1.0
            tip = x - way * 2.5
            painter.setPen(pen(self.tokens.accent, size * 0.45))
            painter.drawLine(QLineF(end, y, tip - way * size, y))
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(self.tokens.accent))
            back = tip - way * size * 1.6
            painter.drawPolygon(
                QPolygonF([QPointF(tip, y), QPointF(back, y - size), QPointF(back, y + size)])
            )

    def _paint_dimensions(self, painter: QPainter) -> None:
        """How far each blade is from the end that is measured from, and how much stays."""
        y = self.map.rect.bottom() + 4.0 + self.row / 2.0
        bold = theming.font(self.points + 1.0, weight=QFont.Weight.DemiBold)
        metrics = QFontMetricsF(bold)
        free = [self.map.rect.left(), self.map.rect.right()]
        for cut in self.sketch.cuts:
            x, front = self._at(cut), cut.end is CutEnd.FRONT
            end = self.map.across(0.0 if front else self.map.x_range[1])
            painter.setPen(pen(self.tokens.accent if cut.is_next else self.tokens.ink, 1.2))
            self._paint_dimension(painter, end, x, y)
            painter.setFont(bold)
            wide = metrics.horizontalAdvance(cut.words)
            left = x + 8.0 if front else x - 8.0 - wide
            left = min(max(left, self.room.left()), self.room.right() - wide)
            # The words of a long cut lie within it rather than beyond the other end.
            where = QRectF(left, y - metrics.height() / 2.0, wide + 1.0, metrics.height())
            painter.fillRect(where.adjusted(-3.0, 0.0, 3.0, 0.0), QColor(self.tokens.card))
            painter.drawText(where, LEFT | MIDDLE, cut.words)
            free[0 if front else 1] = where.right() + 14.0 if front else where.left() - 14.0
        wide = self._usual.horizontalAdvance(self.sketch.stays)
        if self.sketch.stays and wide <= free[1] - free[0]:
            painter.setPen(QColor(self.tokens.soft))
            painter.setFont(theming.font(self.points))
            # In the middle of what stays, as far as the dimensions leave it free.
            first, last = (self.map.across(each) for each in self._stays().kept)
            left = min(max((first + last - wide) / 2.0, free[0]), free[1] - wide)
            room = QRectF(left, y - self.row / 2.0, wide + 1.0, self.row)
            painter.drawText(room, LEFT | MIDDLE, self.sketch.stays)

    @staticmethod
    def _paint_dimension(painter: QPainter, end: float, x: float, y: float) -> None:
        painter.drawLine(QLineF(end, y, x, y))
        painter.drawLine(QLineF(end, y - 5.0, end, y + 5.0))
        if abs(x - end) < 4.0 * ARROW:
            return
        painter.save()
        painter.setBrush(painter.pen().color())
        for tip, way in ((end, 1.0 if x > end else -1.0), (x, -1.0 if x > end else 1.0)):
            back = tip + way * 2.0 * ARROW
            painter.drawPolygon(
                QPolygonF(
                    [
                        QPointF(tip, y),
                        QPointF(back, y - ARROW / 1.6),
                        QPointF(back, y + ARROW / 1.6),
                    ]
                )
            )
        painter.restore()

    # -- words ---------------------------------------------------------------------------------

    def _paint_above(self, painter: QPainter) -> None:
        painter.setFont(theming.font(self.points))
        painter.setPen(QColor(self.tokens.soft))
        top, left = self.room.top(), self.map.rect.left()
        painter.drawText(QRectF(left, top, 600.0, self.row), LEFT | MIDDLE, self.sketch.title)
        taken = left + self._usual.horizontalAdvance(self.sketch.title) + 12.0
        rod = self.sketch.rod_length
        count = 1
        while rod and rod * count <= self.map.x_range[1]:
            text, x = tr("{count}× rod").format(count=count), self.map.across(rod * count)
            wide = self._usual.horizontalAdvance(text)
            if x - wide / 2.0 >= taken and x + wide / 2.0 <= self.room.right():
                where = QRectF(x - wide / 2.0 - 2.0, top, wide + 4.0, self.row)
                painter.drawText(where, Qt.AlignmentFlag.AlignCenter, text)
                painter.drawLine(QLineF(x, top + self.row + 2.0, x, top + self.row + 8.0))
                taken = x + wide / 2.0 + 12.0
            count += 1

    def _paint_tags(self, painter: QPainter) -> None:
        for end in (CutEnd.FRONT, CutEnd.REAR):
            size = tag_size(end, self.points)
            rect = self.map.rect
            left = rect.left() if end is CutEnd.FRONT else rect.right() - size.width()
            where = QRectF(left, self.room.bottom() - size.height(), size.width(), size.height())
            paint_tag(painter, where, end, self.points, self.tokens.ink, self.tokens.card)


@dataclass(frozen=True, slots=True)
class _Stays:
    """The stretch that stays, and those that come off [m]."""

    kept: tuple[float, float]
    off: tuple[tuple[float, float], ...]
