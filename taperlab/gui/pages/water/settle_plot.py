"""How the rig settles from a slack cast: depth of the tip and of the fly, by seconds."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPolygonF

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.painted import CENTRE, LEFT, Painted, write
from taperlab.gui.kit.theme import IN_HAND, SMALL, pen
from taperlab.gui.pages.water.desk import WaterDesk
from taperlab.gui.pages.water.painted import (
    Scale,
    edge_pen,
    paint_bed,
    paint_depths,
    paint_surface,
    round_depth,
    wash,
)
from taperlab.gui.plots.axis import ticks
from taperlab.model.exact_units import FOOT
from taperlab.shop.water.drawn import SECONDS, Fall, Falls, falls
from taperlab.shop.water.words import falls_words
from taperlab.units.language import tr


class SettlePlot(Painted):
    """The tip as a line; the fly as a band between falling on its own and with the tip."""

    def __init__(self, desk: WaterDesk) -> None:
        super().__init__(desk.place.theme, on_card=True)
        self._desk = desk
        self._falls: Falls | None = None
        self._look: tuple[object, ...] = ()
        self.setAccessibleName(tr("Settling from a slack cast"))
        desk.follow(self.refresh, lambda: (desk.shown, desk.swing.bed))

    def refresh(self) -> None:
        """Show the rig looked at."""
        desk = self._desk
        found = desk.shown
        shown = falls(found.focus.settling, desk.fishing.stream.bed) if found is not None else None
        words = desk.place.read(falls_words(shown)) if shown else ""
        look = (shown, words, desk.swing.bed, desk.system, self.tokens)
        if look != self._look:  # another current settles alike
            self._look, self._falls = look, shown
            self.say_all(words)

    def _scale(self, shown: Falls) -> Scale:
        desk, row = self._desk, self.row
        bed = desk.swing.bed
        deepest = max((each.depth for each in _all(shown)), default=0.0)
        deep = bed if bed is not None else round_depth(max(deepest, 2.0 * FOOT), desk.system)
        hatched = row * 1.2 if bed is not None else 4.0
        room = QRectF(self.rect()).adjusted(
            theming.px(40), row * 2.6, -theming.px(14), -hatched - row * 4.4
        )
        return Scale(room, 0.0, SECONDS, deep)

    def draw(self, painter: QPainter) -> None:
        """Draw axes, band and line."""
        desk, tokens, row, shown = self._desk, self.tokens, self.row, self._falls
        painter.setFont(theming.font(theming.BODY))
        title = QRectF(8.0, 0.0, self.width() - 16.0, row * 1.2)
        write(painter, tr("Settling from a slack cast"), title, tokens.ink)
        if shown is None:
            return
        painter.setFont(theming.font(SMALL))
        scale = self._scale(shown)
        room = scale.room
        base = room.bottom() + (row * 1.15 if desk.swing.bed is not None else 3.0)
        for each in ticks(0.0, SECONDS, 2 if room.width() < theming.px(220) else 5):
            x = scale.across(each)
            painter.setPen(pen(tokens.rule, 1.0))
            painter.drawLine(QLineF(x, room.top(), x, room.bottom()))
            write(painter, f"{each:g}", QRectF(x - 24.0, base, 48.0, row), tokens.soft, CENTRE)
        write(
            painter, tr("seconds"), QRectF(0.0, base + row, self.width(), row), tokens.soft, CENTRE
        )
        paint_depths(painter, scale, tokens, desk.system, ruled=True)
        self._draw_falls(painter, scale, shown)
        if desk.swing.bed is not None:
            paint_bed(painter, QRectF(room.left(), room.bottom(), room.width(), row * 1.1), tokens)
        paint_surface(painter, scale, tokens)
        words = QRectF(8.0, base + row * 2.1, self.width() - 16.0, row * 2.2)
        painter.setPen(QColor(tokens.ink))
        flags = Qt.AlignmentFlag.AlignHCenter | Qt.TextFlag.TextWordWrap
        painter.drawText(words, int(flags), self.spoken)

    def _draw_falls(self, painter: QPainter, scale: Scale, shown: Falls) -> None:
        tokens = self.tokens
        slow, fast, tip = shown.slow, shown.fast, shown.tip
        if slow is not None and fast is not None:
            path = QPainterPath()
            path.addPolygon(QPolygonF([*_points(scale, slow), *reversed(_points(scale, fast))]))
            painter.fillPath(path, wash(tokens, tokens.accent))
            for each in (slow, fast):
                painter.setPen(edge_pen(tokens.accent, (4.0, 3.0)))
                painter.drawPolyline(QPolygonF(_points(scale, each)))
            own = fast if tip is not None and slow.rate == tip.rate else slow
            beside = tip is None or own.rate < tip.rate
            self._name(painter, scale, own, tr("fly, on its own"), right=beside)
        if tip is not None and tip.rate > 0.0:
            painter.setPen(pen(tokens.accent, IN_HAND))
            painter.drawLine(scale.point(0.0, 0.0), scale.point(tip.seconds, tip.depth))
            end = scale.point(tip.seconds, tip.depth)
            if tip.on_bed:
                painter.setBrush(QColor(tokens.card))
                painter.drawEllipse(end, 4.0, 4.0)
            ahead = slow is not None and slow.rate >= tip.rate
            self._name(painter, scale, tip, tr("tip"), right=ahead)

    def _name(self, painter: QPainter, scale: Scale, fall: Fall, name: str, *, right: bool) -> None:
        """Write a name beside the line of what falls, where there is room for it."""
        share = 0.3 if right else 0.62
        at = scale.point(fall.seconds * share, fall.depth * share)
        wide = painter.fontMetrics().horizontalAdvance(name) + 4.0
        left = at.x() + 10.0 if right else at.x() - wide - 8.0
        where = QRectF(left, at.y() - (self.row if right else 0.0), wide, self.row)
        if scale.room.left() <= left and left + wide <= scale.room.right():
            write(painter, name, where, self.tokens.ink if right else self.tokens.accent, LEFT)

    def sizeHint(self) -> QSize:
        """As on a usual screen."""
        return QSize(theming.px(280), theming.px(330))

    def minimumSizeHint(self) -> QSize:
        """In which something can be told."""
        return QSize(theming.px(150), theming.px(210))


def _all(shown: Falls) -> list[Fall]:
    return [each for each in (shown.tip, shown.slow, shown.fast) if each is not None]


def _points(scale: Scale, fall: Fall) -> list[QPointF]:
    """From the surface to the end of the time."""
    return [
        scale.point(0.0, 0.0),
        scale.point(fall.seconds, fall.depth),
        scale.point(SECONDS, fall.depth),
    ]
