"""The rig in the water, to scale, from the side: rod left, current to the right, depth down."""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPolygonF

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.painted import CENTRE, LEFT, RIGHT, Painted, write
from taperlab.gui.kit.theme import SMALL, pen
from taperlab.gui.pages.water.desk import WaterDesk
from taperlab.gui.pages.water.painted import (
    Scale,
    paint_bed,
    paint_depths,
    paint_surface,
    paint_upright,
    points_in,
    round_depth,
)
from taperlab.model.exact_units import FOOT
from taperlab.physics.frustum import Array
from taperlab.shop.water.drawn import Drawn, Piece, drawn
from taperlab.shop.water.together import Lying
from taperlab.shop.water.words import depth_words, figure_words, lies_words, swing_words
from taperlab.units.language import tr
from taperlab.units.sentence import Current, Sentence
from taperlab.units.words import capital

APART = 5.0
"""How near to a line no name is written [px]."""

LINE, LEADER, HEAD = 3.0, 1.4, 5.0
"""Widths of the line ahead of the head, of the leader and of the head [px]."""

FLAT_SHARE = 0.3
"""No larger share of the room is of line that lies at the surface."""

LEAST_DEEP, NARROWEST = 2.0 * FOOT, 3.0 * FOOT
"""So much is seen at the least, down and across [m]."""


class WaterDrawing(Painted):
    """How the rig looked at lies, with its band beside the fly."""

    def __init__(self, desk: WaterDesk) -> None:
        super().__init__(desk.place.theme, on_card=True)
        self._desk = desk
        self._drawn: Drawn | None = None
        self._of: Lying | None = None
        self.setAccessibleName(tr("The rig in the water, from the side"))
        desk.follow(self.refresh)

    def refresh(self) -> None:
        """Show the rig as it lies now."""
        line = self._desk.line
        if line is not self._of:
            self._of = line
            self._drawn = drawn(line) if line is not None and line.is_seen else None
        self.say_all(self._all_words())

    def _all_words(self) -> str:
        found, read = self._desk.shown, self._desk.place.read
        if found is None:
            return ""
        said = [swing_words(found.fishing), depth_words(found.focus)]
        if self._of is not None and self._drawn is not None:
            said.append(lies_words(self._of, self._drawn))
        return " ".join(_stopped(read(each)) for each in said)

    # -- scales --------------------------------------------------------------------------------

    def _scale(self, picture: Drawn | None) -> Scale:
        system, swing = self._desk.system, self._desk.swing
        deep = max(LEAST_DEEP, picture.deepest if picture else 0.0)
        found = self._desk.shown
        high = found.focus.band.high if found else math.nan
        if math.isfinite(high):
            deep = max(deep, high)
        deep = round_depth(deep * 1.12, system) if swing.bed is None else swing.bed
        row = self.row
        left = theming.px(46)
        bottom = row * 1.1 if swing.bed is not None else 6.0
        right = theming.px(66)
        room = QRectF(self.rect()).adjusted(left, row * 3.0, -right, -bottom)
        reach = max(picture.fly[0], NARROWEST, picture.deepest) if picture else 2.0 * NARROWEST
        flat = min(picture.flat if picture else 0.0, reach * FLAT_SHARE / (1.0 - FLAT_SHARE))
        return Scale(room, -max(flat, 0.12 * reach), reach * 1.03, deep)

    @property
    def exaggeration(self) -> float:
        """How much larger depths are drawn than lengths."""
        scale = self._scale(self._drawn)
        upright = scale.room.height() / scale.deep
        return upright / (scale.room.width() / (scale.end - scale.start))

    # -- drawing -------------------------------------------------------------------------------

    def draw(self, painter: QPainter) -> None:
        """Draw water, bed, line and band."""
        desk, tokens, read = self._desk, self.tokens, self._desk.place.read
        scale = self._scale(self._drawn)
        room = scale.room
        painter.fillRect(room, QColor(tokens.water))
        bold = theming.font(theming.BODY, weight=QFont.Weight.Medium)
        painter.setFont(bold)
        row = QFontMetricsF(bold).height()
        width = self.width() - 16.0
        title = write(
            painter, read(swing_words(desk.fishing)), QRectF(8.0, 0.0, width, row), tokens.ink
        )
        painter.setFont(theming.font(SMALL))
        if self._drawn is not None:
            stated = read(
                Sentence("heights drawn {times} × lengths", times=f"{self.exaggeration:.1f}")
            )
            rest = QRectF(title.right() + 16.0, 0.0, width - title.right() - 8.0, row)
            write(painter, stated, rest, tokens.soft, RIGHT)
        paint_depths(painter, scale, tokens, desk.system, ruled=False)
        if desk.swing.bed is not None:
            paint_bed(painter, QRectF(room.left(), room.bottom(), room.width(), row), tokens)
            beside = QRectF(room.right() + 6.0, room.bottom() - row / 2.0, 60.0, row)
            write(painter, tr("bed"), beside, tokens.soft)
        paint_surface(painter, scale, tokens)
        self._draw_current(painter, scale)
        if self._drawn is not None:
            self._draw_rig(painter, scale, self._drawn)
        elif desk.shown is not None:
            _, below = figure_words(desk.shown.focus)
            painter.setFont(theming.font(11.0))
            write(painter, capital(read(below)), room, tokens.ink, CENTRE)

    def _draw_current(self, painter: QPainter, scale: Scale) -> None:
        room, tokens = scale.room, self.tokens
        speed = self._desk.swing.speed
        if speed <= 0.0:
            return
        y, x = room.bottom() - self.row * 1.6, room.left() + 14.0
        painter.setPen(pen(tokens.soft, 1.0))
        long = theming.px(44)
        painter.drawLine(QLineF(x, y, x + long, y))
        painter.setBrush(QColor(tokens.soft))
        tip = QPointF(x + long + 5.0, y)
        painter.drawPolygon(QPolygonF([tip, tip + QPointF(-6.0, -3.0), tip + QPointF(-6.0, 3.0)]))
        words = self._desk.place.read(Sentence("current, {speed}", speed=Current(speed)))
        write(painter, words, QRectF(x + long + 12.0, y - 10.0, 240.0, 20.0), tokens.soft)

    def _draw_rig(self, painter: QPainter, scale: Scale, picture: Drawn) -> None:
        tokens, room, row = self.tokens, scale.room, self.row
        painter.save()
        painter.setClipRect(room.adjusted(0.0, -8.0, 8.0, 0.0))
        for piece in picture.pieces:
            width = LEADER if piece.is_leader else HEAD if piece.is_head else LINE
            colour = tokens.ink if piece.is_leader else tokens.accent
            if piece.is_head:
                colour = tokens.edge
            points = [
                scale.point(x, d)
                for x, d in zip(piece.x.tolist(), piece.depth.tolist(), strict=True)
            ]
            how = pen(colour, width)
            how.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
            painter.setPen(how)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPolyline(QPolygonF(points))
        painter.restore()
        above = QRectF(room.left(), room.top() - row - 5.0, room.width(), row)
        level = scale.across(0.0)
        write(painter, tr("← rod"), above, tokens.soft)
        rises = self._of is not None and self._of.comes_level
        words = tr("comes level here") if rises else tr("rod end of the rig")
        wide = painter.fontMetrics().horizontalAdvance(words) + 4.0
        left = min(max(level - wide / 2.0, room.left() + theming.px(50)), room.right() - wide)
        write(painter, words, QRectF(left, above.top(), wide, row), tokens.soft, CENTRE)
        painter.setPen(pen(tokens.ink, 1.5))
        painter.drawLine(QLineF(level, room.top() - 4.0, level, room.top() + 5.0))
        for x, depth in picture.joints:
            if x >= scale.start:
                painter.setPen(pen(tokens.ink, 1.5))
                painter.setBrush(QColor(tokens.card))
                painter.drawEllipse(scale.point(x, depth), 3.5, 3.5)
        self._draw_fly(painter, scale, picture)
        self._name_pieces(painter, scale, picture)

    def _draw_fly(self, painter: QPainter, scale: Scale, picture: Drawn) -> None:
        tokens = self.tokens
        fly = scale.point(*picture.fly)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(tokens.ink))
        painter.drawPolygon(
            QPolygonF(
                [fly, fly + QPointF(9.0, -4.5), fly + QPointF(6.5, 0.0), fly + QPointF(9.0, 4.5)]
            )
        )
        found = self._desk.shown
        if found is None or math.isnan(found.focus.band.low):
            return
        bar = QRectF(scale.room.right() + 14.0, scale.room.top(), 14.0, scale.room.height())
        band = found.focus.band
        paint_upright(
            painter, bar, (band.low, picture.fly[1], band.high), scale, tokens.accent, tokens
        )

    def _name_pieces(self, painter: QPainter, scale: Scale, picture: Drawn) -> None:
        tokens, row = self.tokens, self.row
        taken: list[QRectF] = []
        inked = _inked(scale, picture)
        for piece in picture.pieces:
            name = tr("leader and fly") if piece.is_leader else piece.name
            if not piece.is_leader and not piece.is_head and not math.isnan(picture.slope):
                slope = Sentence(
                    "{line}, slopes {degrees}°",
                    line=piece.name,
                    degrees=f"{math.degrees(picture.slope):.0f}",
                )
                name = self._desk.place.read(slope)
            wide = painter.fontMetrics().horizontalAdvance(name) + 4.0
            if rect := _place(scale, piece, inked, (wide, row), taken):
                taken.append(rect)
                colour = tokens.ink if piece.is_leader or piece.is_head else tokens.accent
                write(painter, name, rect, colour, LEFT)

    def sizeHint(self) -> QSize:
        """As on a usual screen."""
        return QSize(theming.px(760), theming.px(300))

    def minimumSizeHint(self) -> QSize:
        """In which something can be told."""
        return QSize(theming.px(300), theming.px(190))


def _inked(scale: Scale, picture: Drawn) -> tuple[Array, Array]:
    """Points of all that is drawn of the rig, no further apart than ``APART`` [px]."""
    x = np.concatenate([each.x for each in picture.pieces])
    depth = np.concatenate([each.depth for each in picture.pieces])
    across, down = scale.places(x, depth)
    along = np.r_[0.0, np.cumsum(np.hypot(np.diff(across), np.diff(down)))]
    at = np.linspace(0.0, along[-1], int(along[-1] / APART) + 2)
    return np.interp(at, along, across), np.interp(at, along, down)


def _place(
    scale: Scale,
    piece: Piece,
    inked: tuple[Array, Array],
    size: tuple[float, float],
    taken: list[QRectF],
) -> QRectF | None:
    """Room for a name near the middle of a piece, on no line and no other name; else none."""
    wide, high = size
    room = scale.room
    inside = np.flatnonzero(piece.x >= scale.start)
    if not len(inside):
        return None
    middle = int(inside[len(inside) // 2])
    at = scale.point(float(piece.x[middle]), float(piece.depth[middle]))
    for gap in (6.0, 16.0, 30.0, 48.0, 70.0):
        for side in (1.0, -1.0):
            for shift in (-0.5, -1.0, 0.0):
                left = min(max(at.x() + shift * wide, room.left() + 4.0), room.right() - wide)
                top = at.y() + gap if side > 0 else at.y() - gap - high
                rect = QRectF(left, top, wide, high)
                free = room.contains(rect) and not any(rect.intersects(each) for each in taken)
                if free and not points_in(inked, rect.adjusted(-APART, -4.0, APART, 4.0)):
                    return rect
    return None


def _stopped(text: str) -> str:
    return text if text.endswith((".", "?")) else f"{text}."
