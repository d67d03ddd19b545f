"""What of the drawing to scale stays while a film runs: water, bank, caster, rods, loop behind."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPolygonF

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.naming import Naming, around
from taperlab.gui.kit.painted import LEFT, RIGHT, write
from taperlab.gui.kit.range_bar import Range, paint_range
from taperlab.gui.kit.signs import hatch_inside
from taperlab.gui.kit.theme import IN_HAND, SMALL, pen
from taperlab.gui.pages.air.desk import Shot
from taperlab.gui.pages.air.scene import HEAD, Forward, Reach, ToScale
from taperlab.gui.pages.air.view import View
from taperlab.model.exact_units import FOOT
from taperlab.shop.air.study import AirStudy
from taperlab.shop.air.words import up_words
from taperlab.shop.room.words import figure_words
from taperlab.shop.rough import about
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence


class StillInk:
    """Paints all that stays."""

    def __init__(self, view: View) -> None:
        self._view = view

    def paint(self, painter: QPainter) -> None:
        """Paint it."""
        view = self._view
        found, reach, forward = view.found, view.reach, view.forward
        tokens, row, grounds = view.tokens, view.row, view.grounds
        title = theming.font(theming.BODY, weight=QFont.Weight.Medium)
        painter.setFont(title)
        room = QRectF(8.0, 0.0, self._view.width - 16.0, QFontMetricsF(title).height())
        write(painter, tr("The room behind, and the loop ahead"), room, tokens.ink)
        painter.setFont(theming.font(SMALL))
        self._draw_bar(painter, grounds[0])
        for i, ground in enumerate(grounds):
            self._draw_water(painter, ground, reach)
            if i:
                self._draw_rod(painter, ground, forward, tokens.ink)
        foot = grounds[0].at(0.0, -reach.deep).y() + row * (1.4 if len(grounds) > 1 else 0.9)
        naming = Naming(QRectF(4.0, row * 2.8, self._view.width - 8.0, foot - row * 2.8))
        self._draw_first(painter, grounds[0], found, forward, naming)
        tops = [row * 1.95, *(each.at(0.0, reach.loop_high).y() for each in grounds[1:])]
        for top, shot in zip(tops, self._view.shots, strict=False):
            self._draw_name(painter, top, shot)

    def _draw_bar(self, painter: QPainter, scale: ToScale) -> None:
        """The bar that tells the scale, at the top right."""
        system, tokens = self._view.system, self._view.tokens
        long, said = (10.0 * FOOT, "10 ft") if system is System.US else (3.0, "3 m")
        right, y = self._view.width - 9.0, self._view.row * 0.62
        left = right - long * scale.per
        painter.setPen(pen(tokens.ink, 1.2))
        painter.drawLine(QLineF(left, y, right, y))
        for x in (left, right):
            painter.drawLine(QLineF(x, y - 3.5, x, y + 3.5))
        words = tr("to scale, from the side; the bar is {length}").format(length=said)
        taken = painter.fontMetrics().horizontalAdvance(tr("The room behind, and the loop ahead"))
        start = taken * 1.15 + 24.0
        where = QRectF(start, 0.0, left - 10.0 - start, self._view.row * 1.25)
        if where.width() > painter.fontMetrics().horizontalAdvance(words):
            write(painter, words, where, tokens.soft, RIGHT)
        else:
            write(painter, said, where, tokens.soft, RIGHT)

    def _draw_water(self, painter: QPainter, scale: ToScale, reach: Reach) -> None:
        tokens = self._view.tokens
        left, right = scale.at(reach.behind, 0.0), scale.at(reach.ahead, -reach.deep)
        painter.fillRect(QRectF(left, right), QColor(tokens.water))
        painter.setPen(pen(tokens.field, 1.0))
        y = round(left.y()) + 0.5
        painter.drawLine(QLineF(left.x(), y, right.x(), y))

    def _draw_rod(self, painter: QPainter, scale: ToScale, rod: Forward, colour: str) -> None:
        how = pen(colour, 1.6, None if rod.reaches else (2.0, 2.0))
        painter.setPen(how)
        painter.drawLine(scale.at(*rod.hands), scale.at(*rod.tip))

    def _draw_name(self, painter: QPainter, y: float, shot: Shot) -> None:
        """Which line a ground is of, at its right, over all of its film."""
        tokens, row = self._view.tokens, self._view.row
        colour, _ = self._view.style(shot)
        right = self._view.width - 10.0
        wide = min(painter.fontMetrics().horizontalAdvance(shot.name) + 4.0, self._view.width * 0.4)
        where = QRectF(right - wide, y - row / 2.0, wide, row)
        painter.setPen(pen(colour, IN_HAND))
        painter.drawLine(QLineF(where.left() - 32.0, y, where.left() - 6.0, y))
        write(painter, shot.name, where, tokens.ink, RIGHT)

    def _draw_first(
        self,
        painter: QPainter,
        scale: ToScale,
        found: AirStudy,
        forward: Forward,
        naming: Naming,
    ) -> None:
        tokens = self._view.tokens
        behind, drawn = found.behind, found.drawn
        feet, hands = (0.0, -found.behind_as.wading), forward.hands
        top = scale.at(0.0, hands[1] + HEAD)
        naming.ink([scale.at(*hands), scale.at(*forward.tip)])
        naming.ink([scale.at(*feet), top])
        water = scale.at(0.0, 0.0).y()
        naming.take(QRectF(0.0, water - 1.0, self._view.width, 2.0))
        if behind is not None and drawn is not None:
            if behind.loop:
                self._draw_room(painter, scale, found)
                for edge in (-behind.round, -behind.pointed):
                    naming.ink([scale.at(edge, 0.0), scale.at(edge, self._view.reach.high)])
            self._draw_bank(painter, scale, found, naming)
            # The times of the film are written below the water.
            ahead = scale.at(0.0, 0.0).x()
            naming.take(QRectF(ahead, water, self._view.width - ahead, self._view.height))
            painter.setPen(pen(tokens.soft, 1.6))
            back = scale.seen(drawn.rod)
            painter.drawPolyline(back)
            naming.ink(back.toList())
            for places, dash in ((drawn.pointed, (4.0, 3.0)), (drawn.round, None)):
                if not len(places):
                    continue
                line = scale.seen(places)
                self._draw_loop(painter, line, water, IN_HAND if dash is None else 1.2, dash)
                naming.ink(line.toList())
            anchor = scale.at(behind.ends.peel_ahead, 0.0)
            lying = scale.seen(drawn.water)
            painter.setPen(pen(tokens.accent, IN_HAND))
            painter.drawPolyline(lying)
            painter.setBrush(QColor(tokens.card))
            painter.setPen(pen(tokens.ink, 1.4))
            painter.drawEllipse(anchor, 3.5, 3.5)
            self._name(painter, naming, tr("anchor"), around(anchor, self._view.size(tr("anchor"))))
            for places, name in ((drawn.round, tr("round")), (drawn.pointed, tr("pointed"))):
                if len(places):
                    back_most = scale.seen(places).at(int(np.argmin(places[:, 0])))
                    near = around(back_most, self._view.size(name))
                    self._name(painter, naming, name, near, tokens.accent)
        painter.setPen(pen(tokens.ink, 2.2))
        painter.drawLine(scale.at(*feet), scale.at(0.0, hands[1] + 0.1))
        painter.setPen(pen(tokens.ink, 1.4))
        painter.drawLine(scale.at(0.0, hands[1] + 0.15), scale.at(*hands))
        painter.setBrush(QColor(tokens.card))
        radius = max(0.11 * scale.per, 2.5)
        painter.drawEllipse(top, radius, radius)
        self._draw_rod(painter, scale, forward, tokens.ink)
        self._draw_launch(painter, scale, found, forward, naming)

    def _draw_loop(
        self,
        painter: QPainter,
        line: QPolygonF,
        water: float,
        width: float,
        dash: tuple[float, ...] | None,
    ) -> None:
        """A loop behind; what of it would hang below the surface is dotted: it lies there."""
        accent = self._view.tokens.accent
        looks = pen(accent, width, dash), pen(accent, 1.0, (1.0, 3.0))
        for run, is_below in _parted(line, water):
            painter.setPen(looks[is_below])
            painter.drawPolyline(run)

    def _draw_launch(
        self,
        painter: QPainter,
        scale: ToScale,
        found: AirStudy,
        forward: Forward,
        naming: Naming,
    ) -> None:
        """The angle of the throw, and how high the rod tip is: named where no film passes."""
        tokens, read = self._view.tokens, self._view.read
        angle, (x, z) = found.throw.launch, forward.tip
        long = 12.0 * FOOT
        painter.setPen(pen(tokens.soft, 1.0, (2.0, 3.0)))
        end = scale.at(x + long * math.cos(angle), z + long * math.sin(angle))
        painter.drawLine(scale.at(x, z), end)
        painter.setPen(pen(tokens.field, 1.0, (2.0, 3.0)))
        painter.drawLine(scale.at(x, z), scale.at(x, 0.0))
        naming.ink([scale.at(x, z), scale.at(x, 0.0)])
        said = read(
            Sentence(
                "rod tip {height} up, thrown {launch}",
                height=about(found.throw.rod_tip),
                launch=up_words(found.throw),
            )
        )
        low = scale.at(x, 0.42 * z)
        self._name(painter, naming, said, around(low, self._view.size(said), 2.0))

    def _draw_room(self, painter: QPainter, scale: ToScale, found: AirStudy) -> None:
        """How far back it reaches: its band between two uprights, and the bar over them."""
        behind, tokens, row = found.behind, self._view.tokens, self._view.row
        assert behind is not None
        near, far = -behind.round, -behind.pointed
        top, water = row * 2.75, scale.at(0.0, 0.0).y()
        left, right = scale.at(far, 0.0).x(), scale.at(near, 0.0).x()
        painter.fillRect(QRectF(left, top, right - left, water - top), QColor(tokens.accent_wash))
        painter.setPen(pen(tokens.accent, 1.0, (3.0, 3.0)))
        for x in (left, right):
            painter.drawLine(QLineF(x, top, x, water))
        bar = QRectF(
            scale.at(-behind.high, 0.0).x() - 1.0,
            row * 2.35,
            scale.at(0.0, 0.0).x() - scale.at(-behind.high, 0.0).x() + 1.0,
            row * 0.6,
        )
        habits = Range(-behind.high, -behind.low)
        paint_range(painter, bar, habits, (-behind.high, 0.0), tokens, tokens.accent)
        painter.setPen(pen(tokens.accent, 2.0))
        for x in (left, right):
            painter.drawLine(QLineF(x, bar.center().y() - 4.0, x, bar.center().y() + 4.0))
        painter.setPen(pen(tokens.ink, 1.0))
        you = scale.at(0.0, 0.0).x()
        painter.drawLine(QLineF(you, bar.top(), you, bar.bottom()))
        figure, _ = figure_words(behind)
        bold = theming.font(theming.BODY, weight=QFont.Weight.DemiBold)
        painter.setFont(bold)
        said = self._view.read(figure)
        wide = painter.fontMetrics().horizontalAdvance(said) + 4.0
        over = QRectF(max(6.0, (left + right - wide) / 2.0), row * 1.25, wide, row * 1.1)
        write(painter, said, over, tokens.accent, LEFT)
        painter.setFont(theming.font(SMALL))
        after = QRectF(over.right() + 6.0, over.top(), you - over.right() + 40.0, over.height())
        words = tr("behind you")
        if painter.fontMetrics().horizontalAdvance(words) < after.width():
            write(painter, words, after, tokens.soft, LEFT)

    def _draw_bank(
        self, painter: QPainter, scale: ToScale, found: AirStudy, naming: Naming
    ) -> None:
        """What a line would hit: where it is said to be, or usually is."""
        tokens, reach = self._view.tokens, self._view.reach
        foot = scale.at(-found.room, -reach.deep)
        top = scale.at(-found.room, 0.35 * reach.high)
        edge = scale.at(reach.behind, 0.0).x()
        if foot.x() <= edge + 2.0:
            return
        slope = QPolygonF(
            [
                foot,
                scale.at(-found.room, 0.12 * reach.high),
                top + QPointF(-0.25 * (foot.x() - edge), 0.0),
                QPointF(edge, top.y() - 6.0),
                QPointF(edge, foot.y()),
            ]
        )
        path = QPainterPath()
        path.addPolygon(slope)
        hatch_inside(painter, slope, tokens.bed, 9.0)
        painter.setPen(pen(tokens.bed, 1.5))
        painter.drawPolyline(QPolygonF(slope.toList()[:4]))
        naming.take(path.boundingRect())
        said = self._view.read(Sentence("{room} of room", room=about(found.room)))
        size = self._view.size(said)
        below = scale.at(-found.room, -reach.deep) + QPointF(0.0, size.height() * 0.75)
        self._name(painter, naming, said, [below + QPointF(size.width() * 0.5, 0.0)], tokens.ink)

    def _name(
        self,
        painter: QPainter,
        naming: Naming,
        text: str,
        centres: Iterable[QPointF],
        colour: str = "",
    ) -> None:
        where = naming.place(self._view.size(text), centres)
        if where is not None:
            write(painter, text, where, colour or self._view.tokens.soft, LEFT)


def _parted(line: QPolygonF, level: float) -> list[tuple[QPolygonF, bool]]:
    """A line parted where it crosses a level [px], and whether each part lies below it."""
    corners = line.toList()
    if not corners:
        return []
    below = corners[0].y() > level
    runs: list[tuple[list[QPointF], bool]] = [([corners[0]], below)]
    for one, other in pairwise(corners):
        if (other.y() > level) != below:
            share = (level - one.y()) / (other.y() - one.y())
            crossing = one + (other - one) * share
            runs[-1][0].append(crossing)
            below = not below
            runs.append(([crossing], below))
        runs[-1][0].append(other)
    return [(QPolygonF(each), is_below) for each, is_below in runs]
