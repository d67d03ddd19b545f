"""A head as it is built: its pieces with their numbers, its joints, and what is not on yet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from PySide6.QtCore import QPointF, QRectF, QSize, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPolygonF
from PySide6.QtWidgets import QSizePolicy

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.end_tag import paint_tag, tag_size
from taperlab.gui.kit.painted import CENTRE, LEFT, Painted, write
from taperlab.gui.kit.signs import hatch, hatched_box
from taperlab.gui.kit.theme import SMALL, Theme, pen
from taperlab.model.cut_log import CutEnd
from taperlab.model.segment import Segment
from taperlab.units.language import tr

SIDE, LOOP = 22.0, 13.0
"""Room beside the ends, and how long a loop is drawn there [px]."""


@dataclass(frozen=True, slots=True)
class DrawnPiece:
    """A piece: its sections from its own front; stiff: what of it the joint ahead makes stiff [m].

    is_on: whether it is joined, or lies there first; is_now: whether it is worked on now; warned:
    whether the joint ahead welds what is not known to weld. name: what stands in its ring; without
    one there is none.
    """

    sections: tuple[Segment, ...]
    stiff: float = 0.0
    is_on: bool = False
    is_now: bool = False
    warned: bool = False
    name: str = ""

    @property
    def length(self) -> float:
        """Its share of the head [m]."""
        return sum(each.length for each in self.sections)


class BuiltDrawing(Painted):
    """The head from the fly end, at the left, to the rod end."""

    def __init__(self, theme: Theme, points: float = SMALL, *, plain: bool = False) -> None:
        super().__init__(theme, on_card=not plain)
        self.pieces: tuple[DrawnPiece, ...] = ()
        self._loops = (False, False)
        self._lap = ""
        self._points, self._plain = points, plain
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)

    def show_head(
        self,
        pieces: Sequence[DrawnPiece],
        words: str,
        *,
        loops: tuple[bool, bool] = (False, False),
        lap: str = "",
    ) -> None:
        """Draw these. words: the same in words; lap: what the hatched joints are."""
        self.pieces, self._loops, self._lap = tuple(pieces), loops, lap
        self.say_all(words)

    def _row(self) -> float:
        return QFontMetricsF(theming.font(self._points)).height()

    def sizeHint(self) -> QSize:
        """Room for names above, the head, and its ends below."""
        return QSize(600, round(5.4 * self._row() + 50.0))

    def minimumSizeHint(self) -> QSize:
        """As high."""
        return QSize(240, 50 if self._plain else self.sizeHint().height())

    def draw(self, painter: QPainter) -> None:
        """Draw the pieces, what joins them, their numbers, the tags of the ends."""
        if not self.pieces:
            return
        row = self._row()
        above = 2.0 if self._plain else row + 6.0
        below = 2.0 if self._plain else 3.6 * row + 8.0
        room = QRectF(self.rect()).adjusted(SIDE, above, -SIDE, -below)
        whole = sum(each.length for each in self.pieces)
        thick = max(d for each in self.pieces for d in _diameters(each))
        across, up = room.width() / whole, room.height() / thick
        left, places = room.left(), []
        for each in self.pieces:
            self._piece(painter, each, left, room.center().y(), across, up)
            places.append((left, each))
            left += each.length * across
        for at, each in places[1:]:
            self._joint(painter, at, room, each, across)
        if not self._plain:
            self._joint_names(painter, places[1:])
        self._paint_loops(painter, room)
        for at, each in places:
            if each.name:
                self._name(painter, at, each, across, room)
        if not self._plain:
            self._ends(painter, room, row)

    def _piece(
        self,
        painter: QPainter,
        piece: DrawnPiece,
        left: float,
        middle: float,
        across: float,
        up: float,
    ) -> None:
        tokens = self.tokens
        upper, lower = [], []
        for part, run in groupby(piece.sections, key=lambda each: each.part):
            # What is one part is one shape: between two a hair of the card would show.
            edge, under = [], []
            for each in run:
                right = left + each.length * across
                front, rear = (d * up / 2.0 for d in (each.front_diameter, each.rear_diameter))
                edge += [QPointF(left, middle - front), QPointF(right, middle - rear)]
                under += [QPointF(left, middle + front), QPointF(right, middle + rear)]
                left = right
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(tokens.parts[part] if piece.is_on else tokens.card))
            painter.drawPolygon(QPolygonF([*edge, *reversed(under)]))
            upper += edge
            lower += under
        shape = QPolygonF([*upper, *reversed(lower)])
        if not piece.is_on:
            path = QPainterPath()
            path.addPolygon(shape)
            painter.save()
            painter.setClipPath(path)
            hatch(painter, shape.boundingRect(), tokens.accent if piece.is_now else tokens.hatch)
            painter.restore()
        dash = None if piece.is_on else (3.0, 2.0)
        colour = tokens.accent if piece.is_now else tokens.edge
        painter.setPen(pen(colour, 1.6 if piece.is_now else 1.0, dash))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolygon(shape)

    def _joint(
        self,
        painter: QPainter,
        at: float,
        room: QRectF,
        piece: DrawnPiece,
        across: float,
    ) -> None:
        tokens = self.tokens
        wide = max(piece.stiff * across, 7.0)
        box = QRectF(at - wide / 2.0, room.top() - 3.0, wide, room.height() + 6.0)
        colour = tokens.warn if piece.warned else tokens.ink
        edge = pen(colour, 1.0, None if piece.is_on and not piece.warned else (2.0, 2.0))
        hatched_box(painter, box, colour, tokens.card, apart=5.0, edge=edge)

    def _joint_names(self, painter: QPainter, joints: Sequence[tuple[float, DrawnPiece]]) -> None:
        """Name the joints above them; but the first by number alone where there is no room."""
        painter.setFont(theming.font(self._points))
        metrics = QFontMetricsF(painter.font())
        whole = [tr("joint {number}").format(number=i + 1) for i in range(len(joints))]
        short = whole[:1] + [str(i + 1) for i in range(1, len(joints))]
        taken = -1.0
        texts = short if _collide(joints, list(map(metrics.horizontalAdvance, whole))) else whole
        for (at, piece), text in zip(joints, texts, strict=True):
            needs = metrics.horizontalAdvance(text)
            left = min(max(at - needs / 2.0, 2.0), self.width() - needs - 2.0)
            if left < taken:
                continue
            taken = left + needs + 2.0
            colour = self.tokens.ink if piece.is_on or piece.is_now else self.tokens.soft
            write(painter, text, QRectF(left, 1.0, needs + 2.0, self._row()), colour)

    def _name(
        self,
        painter: QPainter,
        left: float,
        piece: DrawnPiece,
        across: float,
        room: QRectF,
    ) -> None:
        tokens = self.tokens
        radius = self._row() * 0.68
        x = left + piece.length * across / 2.0
        inside = piece.length * across > 3.2 * radius or self._plain
        y = room.center().y() if inside else room.bottom() + radius + 5.0
        painter.setPen(pen(tokens.accent if piece.is_now else tokens.ink, 1.4))
        painter.setBrush(QColor(tokens.card))
        painter.drawEllipse(QPointF(x, y), radius, radius)
        painter.setFont(theming.font(self._points, weight=QFont.Weight.DemiBold))
        painter.setPen(QColor(tokens.ink))
        painter.drawText(QRectF(x - radius, y - radius, 2 * radius, 2 * radius), CENTRE, piece.name)

    def _paint_loops(self, painter: QPainter, room: QRectF) -> None:
        tokens = self.tokens
        for has, x, way in (
            (self._loops[0], room.left(), -1.0),
            (self._loops[1], room.right(), 1.0),
        ):
            if not has:
                continue
            start = x if way > 0.0 else x - LOOP
            painter.setPen(pen(tokens.ink, 1.4))
            painter.setBrush(QColor(tokens.card))
            painter.drawEllipse(QRectF(start, room.center().y() - 4.0, LOOP, 8.0))

    def _ends(self, painter: QPainter, room: QRectF, row: float) -> None:
        tokens, top = self.tokens, self.height() - 1.5 * row - 4.0
        front, rear = (tag_size(each, self._points) for each in (CutEnd.FRONT, CutEnd.REAR))
        paint_tag(
            painter,
            QRectF(QPointF(room.left(), top), front),
            CutEnd.FRONT,
            self._points,
            tokens.ink,
            tokens.card,
        )
        paint_tag(
            painter,
            QRectF(QPointF(room.right() - rear.width(), top), rear),
            CutEnd.REAR,
            self._points,
            tokens.ink,
            tokens.card,
        )
        if self._lap:
            self._legend(painter, room, top, QSizeF(front))

    def _legend(self, painter: QPainter, room: QRectF, top: float, tag: QSizeF) -> None:
        painter.setFont(theming.font(self._points))
        needs = QFontMetricsF(painter.font()).horizontalAdvance(self._lap)
        left = room.center().x() - (needs + 20.0) / 2.0
        box = QRectF(left, top + tag.height() / 2.0 - 6.0, 12.0, 12.0)
        hatched_box(painter, box, self.tokens.ink, apart=5.0)
        rect = QRectF(left + 19.0, top, needs + 4.0, tag.height())
        write(painter, self._lap, rect, self.tokens.soft, LEFT)


def _diameters(piece: DrawnPiece) -> list[float]:
    return [d for each in piece.sections for d in (each.front_diameter, each.rear_diameter)]


def _collide(joints: Sequence[tuple[float, DrawnPiece]], needs: Sequence[float]) -> bool:
    """Whether names so wide would run into each other over their joints."""
    return any(
        at + wide / 2.0 + 6.0 > after - next_wide / 2.0
        for ((at, _), wide), ((after, _), next_wide) in pairwise(zip(joints, needs, strict=True))
    )
