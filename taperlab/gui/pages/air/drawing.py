"""The room behind and the loop ahead, to scale, from the side; the film runs in it."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, QSizeF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QImage,
    QKeyEvent,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
)

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.naming import Naming, around
from taperlab.gui.kit.painted import LEFT, RIGHT, Painted, write
from taperlab.gui.kit.range_bar import Range, paint_range
from taperlab.gui.kit.signs import hatch
from taperlab.gui.kit.theme import IN_HAND, SMALL, pen
from taperlab.gui.pages.air.desk import AirDesk, Shot
from taperlab.gui.pages.air.player import Player
from taperlab.gui.pages.air.scene import (
    HEAD,
    Forward,
    Reach,
    ToScale,
    forward_rod,
    reach_of,
)
from taperlab.model.exact_units import FOOT
from taperlab.physics.frustum import Array
from taperlab.shop.air.study import AirStudy
from taperlab.shop.air.words import faded_words, shown_words, up_words
from taperlab.shop.room.words import figure_words, room_words
from taperlab.shop.rough import about
from taperlab.shop.turnover.words import film_words
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

ROOM_FOR_TWO = 205
"""A drawing lower than this shows the film of one line alone, for usual letters [px]."""

FADED = 0.38
"""How strong a line is drawn where the model has ended."""

PLAYING_KEYS = {
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Right: 1,
}


class AirDrawing(Painted):
    """The caster, both loops, and the film where its player stands."""

    def __init__(self, desk: AirDesk, player: Player) -> None:
        super().__init__(desk.place.theme, on_card=True)
        self._desk, self._player = desk, player
        self._found: AirStudy | None = None
        self._reach: Reach | None = None
        self.is_still = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("The room behind and the loop ahead, from the side"))
        desk.follow(self.refresh, lambda: (desk.study, desk.shots, desk.is_film_late))
        player.changed.connect(self.update)

    def use_stills(self, still: bool) -> None:
        """Show five stills at once instead of what moves."""
        self.is_still = still
        self.update()

    def refresh(self) -> None:
        """Show what is looked at now."""
        desk, read = self._desk, self._desk.place.read
        self._found = desk.study
        self._reach = reach_of(desk.study, self._rod) if desk.study else None
        if desk.study is None:
            self.say_all("")
            return
        said = [shown_words(desk.study)]
        if desk.study.behind is not None:
            said.append(room_words(desk.study.behind))
        for shot in desk.shots[:1]:
            said += film_words(shot.film) if shot.film is not None else [shot.problem]
        self.say_all(" ".join(read(each) for each in said))

    @property
    def _rod(self) -> float | None:
        rod = self._desk.place.document.rod
        return rod.length if rod is not None else None

    @property
    def _reach_now(self) -> Reach:
        assert self._reach is not None
        return self._reach

    # -- where it is drawn ---------------------------------------------------------------------

    def _grounds(self) -> list[ToScale]:
        """A scale for each of the lines that are filmed, one below the other."""
        assert self._reach is not None
        count = max(1, len(self._desk.shots))
        if theming.usual(self.height()) < ROOM_FOR_TWO:
            count = 1
        top = self.row * (2.9 if self._found and self._found.behind else 1.6)
        room = QRectF(self.rect()).adjusted(6.0, top, -6.0, -0.9 * self.row)
        first = ToScale.fitted(room, self._reach, count)
        by = self._reach.loop_high + self._reach.deep
        return [first.lower(i * by) for i in range(count)]

    # -- keys ----------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Play, step and go to the ends by keys."""
        player, key = self._player, Qt.Key(event.key())
        if key == Qt.Key.Key_Space:
            player.next_still() if self.is_still else player.toggle()
        elif key in PLAYING_KEYS:
            by = PLAYING_KEYS[key]
            player.next_still(by) if self.is_still else player.step(by)
        elif key == Qt.Key.Key_Home:
            player.go_to(0.0)
        elif key == Qt.Key.Key_End:
            player.go_to(player.length)
        else:
            super().keyPressEvent(event)

    # -- what stays ----------------------------------------------------------------------------

    def still_by(self) -> tuple[object, ...]:
        """All that the drawing without its film hangs on."""
        if self._found is None:
            return ()
        found = self._found
        names = tuple((each.name, each.key) for each in self._desk.shots)
        # Another diameter moves none of it.
        behind = found.behind, found.drawn, found.behind_as, found.room
        throw = found.throw.launch, found.throw.rod_tip, found.throw.loop_height
        return *behind, *throw, self._reach, self._rod, names, self._desk.system

    def draw_still(self, painter: QPainter) -> None:
        """Draw water, bank, caster, rods and the loop behind."""
        found, reach = self._found, self._reach
        if found is None or reach is None:
            return
        tokens, row = self.tokens, self.row
        grounds = self._grounds()
        forward = forward_rod(found, self._rod)
        title = theming.font(theming.BODY, weight=QFont.Weight.Medium)
        painter.setFont(title)
        room = QRectF(8.0, 0.0, self.width() - 16.0, QFontMetricsF(title).height())
        write(painter, tr("The room behind, and the loop ahead"), room, tokens.ink)
        painter.setFont(theming.font(SMALL))
        self._draw_bar(painter, grounds[0])
        for i, ground in enumerate(grounds):
            self._draw_water(painter, ground, reach)
            if i:
                self._draw_rod(painter, ground, forward, tokens.ink)
        foot = grounds[0].at(0.0, -reach.deep).y() + row * (1.4 if len(grounds) > 1 else 0.9)
        naming = Naming(QRectF(4.0, row * 2.8, self.width() - 8.0, foot - row * 2.8))
        self._draw_first(painter, grounds[0], found, forward, naming)
        tops = [row * 1.95, *(each.at(0.0, reach.loop_high).y() for each in grounds[1:])]
        for top, shot in zip(tops, self._desk.shots, strict=False):
            self._draw_name(painter, top, shot)

    def _draw_bar(self, painter: QPainter, scale: ToScale) -> None:
        """The bar that tells the scale, at the top right."""
        system, tokens = self._desk.system, self.tokens
        long, said = (10.0 * FOOT, "10 ft") if system is System.US else (3.0, "3 m")
        right, y = self.width() - 9.0, self.row * 0.62
        left = right - long * scale.per
        painter.setPen(pen(tokens.ink, 1.2))
        painter.drawLine(QLineF(left, y, right, y))
        for x in (left, right):
            painter.drawLine(QLineF(x, y - 3.5, x, y + 3.5))
        words = tr("to scale, from the side; the bar is {length}").format(length=said)
        taken = painter.fontMetrics().horizontalAdvance(tr("The room behind, and the loop ahead"))
        start = taken * 1.15 + 24.0
        where = QRectF(start, 0.0, left - 10.0 - start, self.row * 1.25)
        if where.width() > painter.fontMetrics().horizontalAdvance(words):
            write(painter, words, where, tokens.soft, RIGHT)
        else:
            write(painter, said, where, tokens.soft, RIGHT)

    def _draw_water(self, painter: QPainter, scale: ToScale, reach: Reach) -> None:
        tokens = self.tokens
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
        tokens, row = self.tokens, self.row
        colour, dash = self._style_of(shot)
        right = self.width() - 10.0
        wide = min(painter.fontMetrics().horizontalAdvance(shot.name) + 4.0, self.width() * 0.4)
        where = QRectF(right - wide, y - row / 2.0, wide, row)
        painter.setPen(pen(colour, IN_HAND, dash))
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
        tokens, read = self.tokens, self._desk.place.read
        behind, drawn = found.behind, found.drawn
        feet, hands = (0.0, -found.behind_as.wading), forward.hands
        top = scale.at(0.0, hands[1] + HEAD)
        naming.ink([scale.at(*hands), scale.at(*forward.tip)])
        naming.ink([scale.at(*feet), top])
        water = scale.at(0.0, 0.0).y()
        naming.take(QRectF(0.0, water - 1.0, self.width(), 2.0))
        if behind is not None and drawn is not None:
            if behind.loop:
                self._draw_room(painter, scale, found)
                for edge in (-behind.round, -behind.pointed):
                    naming.ink([scale.at(edge, 0.0), scale.at(edge, self._reach_now.high)])
            self._draw_bank(painter, scale, found, naming)
            # The times of the film are written below the water.
            ahead = scale.at(0.0, 0.0).x()
            naming.take(QRectF(ahead, water, self.width() - ahead, self.height()))
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
            self._name(painter, naming, tr("anchor"), around(anchor, self._size(tr("anchor"))))
            for places, name in ((drawn.round, tr("round")), (drawn.pointed, tr("pointed"))):
                if len(places):
                    back_most = scale.seen(places).at(int(np.argmin(places[:, 0])))
                    self._name(
                        painter, naming, name, around(back_most, self._size(name)), tokens.accent
                    )
        painter.setPen(pen(tokens.ink, 2.2))
        painter.drawLine(scale.at(*feet), scale.at(0.0, hands[1] + 0.1))
        painter.setPen(pen(tokens.ink, 1.4))
        painter.drawLine(scale.at(0.0, hands[1] + 0.15), scale.at(*hands))
        painter.setBrush(QColor(tokens.card))
        radius = max(0.11 * scale.per, 2.5)
        painter.drawEllipse(top, radius, radius)
        self._draw_rod(painter, scale, forward, tokens.ink)
        self._draw_launch(painter, scale, found, forward, naming)
        said = read(Sentence("rod tip {height} up", height=about(found.throw.rod_tip)))
        under = scale.at(forward.tip[0], forward.tip[1] / 2.0)
        painter.setPen(pen(tokens.field, 1.0, (2.0, 3.0)))
        painter.drawLine(scale.at(*forward.tip), scale.at(forward.tip[0], 0.0))
        naming.ink([scale.at(*forward.tip), scale.at(forward.tip[0], 0.0)])
        size = self._size(said)
        low = under + QPointF(0.0, forward.tip[1] * 0.38 * scale.per)
        self._name(painter, naming, said, around(low, size))

    def _draw_loop(
        self,
        painter: QPainter,
        line: QPolygonF,
        water: float,
        width: float,
        dash: tuple[float, ...] | None,
    ) -> None:
        """A loop behind; what of it would hang below the surface is dotted: it lies there."""
        above = QRectF(0.0, 0.0, self.width(), water)
        for clip, how in (
            (above, pen(self.tokens.accent, width, dash)),
            (
                QRectF(0.0, water, self.width(), self.height() - water),
                pen(self.tokens.accent, 1.0, (1.0, 3.0)),
            ),
        ):
            painter.save()
            painter.setClipRect(clip)
            painter.setPen(how)
            painter.drawPolyline(line)
            painter.restore()

    def _draw_launch(
        self,
        painter: QPainter,
        scale: ToScale,
        found: AirStudy,
        forward: Forward,
        naming: Naming,
    ) -> None:
        angle, tokens = found.throw.launch, self.tokens
        x, z = forward.tip
        long = 12.0 * FOOT
        end = (x + long * math.cos(angle), z + long * math.sin(angle))
        painter.setPen(pen(tokens.soft, 1.0, (2.0, 3.0)))
        painter.drawLine(scale.at(x, z), scale.at(*end))
        said = self._desk.place.read(Sentence("thrown {launch}", launch=up_words(found.throw)))
        size = self._size(said)
        # Above where the film's line runs, and to the left of it.
        at = scale.at(x, z) + QPointF(-size.width() / 2.0, -size.height() * 1.2)
        self._name(painter, naming, said, [at, *around(at, size)])

    def _draw_room(self, painter: QPainter, scale: ToScale, found: AirStudy) -> None:
        """How far back it reaches: its band between two uprights, and the bar over them."""
        behind, tokens, row = found.behind, self.tokens, self.row
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
        said = self._desk.place.read(figure)
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
        tokens, reach = self.tokens, self._reach_now
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
        painter.save()
        painter.setClipPath(path)
        hatch(painter, path.boundingRect(), tokens.bed, 9.0)
        painter.restore()
        painter.setPen(pen(tokens.bed, 1.5))
        painter.drawPolyline(QPolygonF(slope.toList()[:4]))
        naming.take(path.boundingRect())
        said = self._desk.place.read(Sentence("{room} of room", room=about(found.room)))
        size = self._size(said)
        below = scale.at(-found.room, -reach.deep) + QPointF(0.0, size.height() * 0.75)
        self._name(painter, naming, said, [below + QPointF(size.width() * 0.5, 0.0)], tokens.ink)

    def _size(self, text: str) -> QSizeF:
        metrics = QFontMetricsF(theming.font(SMALL))
        return QSizeF(metrics.horizontalAdvance(text) + 4.0, metrics.height())

    def _name(
        self,
        painter: QPainter,
        naming: Naming,
        text: str,
        centres: Iterable[QPointF],
        colour: str = "",
    ) -> None:
        where = naming.place(self._size(text), centres)
        if where is not None:
            write(painter, text, where, colour or self.tokens.soft, LEFT)

    # -- what moves ----------------------------------------------------------------------------

    def draw(self, painter: QPainter) -> None:
        """Draw the film where its player stands."""
        if self._found is not None and self._reach is not None:
            self._draw_films(painter, self._player.seconds)

    def _draw_films(self, painter: QPainter, seconds: float) -> None:
        found, read = self._found, self._desk.place.read
        assert found is not None
        forward = forward_rod(found, self._rod)
        painter.setFont(theming.font(SMALL))
        for i, (scale, shot) in enumerate(zip(self._grounds(), self._desk.shots, strict=False)):
            if shot.film is None:
                start = scale.at(*forward.tip) + QPointF(12.0, -2.0 * self.row)
                where = QRectF(start, QSizeF(self.width() - start.x() - 12.0, self.row * 4.0))
                painter.setPen(QColor(self.tokens.ink))
                flags = Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap
                painter.drawText(where, int(flags), read(shot.problem))
                continue
            self._draw_shot(painter, scale, shot, forward.tip[0], seconds, is_first=not i)

    def _draw_shot(
        self,
        painter: QPainter,
        scale: ToScale,
        shot: Shot,
        start: float,
        seconds: float,
        *,
        is_first: bool,
    ) -> None:
        film, tokens, row = shot.film, self.tokens, self.row
        assert film is not None
        shift = np.array([start, 0.0])
        if self.is_still:
            for each in self._player.stills:
                if each <= film.length:
                    painter.setPen(self._soft_pen(each > film.sound_until))
                    painter.drawPolyline(scale.line(film.at(each) + shift))
        now = min(seconds, film.length)
        places = film.at(now) + shift
        is_faded = now > film.sound_until
        painter.setPen(self._pen_of(shot, is_faded))
        painter.drawPolyline(scale.line(places))
        fly = scale.at(*places[-1].tolist())
        ink = QColor(tokens.ink)
        ink.setAlphaF(FADED if is_faded else 1.0)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(ink)
        painter.drawEllipse(fly, 3.5, 3.5)
        self._draw_ticks(painter, scale, shot, start, now)
        if is_first and (is_faded or self._desk.is_film_late):
            said = self._desk.place.read(faded_words())
            if self._desk.is_film_late:
                said = tr("the film of before the change")
            wide = painter.fontMetrics().horizontalAdvance(said) + 4.0
            where = QRectF(self.width() - wide - 10.0, row * 2.5, wide, row)
            write(painter, said, where, tokens.soft, RIGHT)

    def _draw_ticks(
        self, painter: QPainter, scale: ToScale, shot: Shot, start: float, now: float
    ) -> None:
        """Times on the water, below where the loop is then."""
        film, tokens, row = shot.film, self.tokens, self.row
        assert film is not None
        water = scale.at(0.0, 0.0).y()
        bold = theming.font(SMALL, weight=QFont.Weight.DemiBold)
        painter.setFont(bold)
        naming = Naming(QRectF(self.rect()).adjusted(0.0, 0.0, 0.0, row))
        times = [(now, tokens.accent, True)]
        times += [(each, tokens.soft, False) for each in self._player.stills if self.is_still]
        for seconds, colour, is_now in times:
            if seconds > film.sound_until and not is_now:
                continue
            x = scale.at(start + _front(film.at(min(seconds, film.length))), 0.0).x()
            painter.setPen(pen(colour, 2.0 if is_now else 1.0))
            painter.drawLine(QLineF(x, water - 4.0, x, water + 4.0))
            painter.setFont(bold if is_now else theming.font(SMALL))
            said = self._desk.place.read(Sentence("{time}", time=f"{seconds:.2f} s"))
            size = self._size(said) + QSizeF(4.0, 0.0)
            spot = naming.place(size, [QPointF(x, water + 5.0 + row / 2.0)])
            if spot is not None:
                write(painter, said, spot, colour)

    def _pen_of(self, shot: Shot, is_faded: bool) -> QPen:
        colour, dash = self._style_of(shot)
        how = pen(colour, IN_HAND, dash)
        how.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        if is_faded or self._desk.is_film_late:
            strong = QColor(colour)
            strong.setAlphaF(FADED)
            how.setColor(strong)
        return how

    def _style_of(self, shot: Shot) -> tuple[str, tuple[float, ...] | None]:
        found = self._found
        assert found is not None
        thrown = next((each for each in found.all if each.key == shot.key), found.first)
        return self._desk.style(thrown)

    def _soft_pen(self, is_faded: bool) -> QPen:
        how = pen(self.tokens.soft, 1.0)
        if is_faded:
            weak = QColor(self.tokens.soft)
            weak.setAlphaF(FADED)
            how.setColor(weak)
        return how

    # -- pictures ------------------------------------------------------------------------------

    def picture(self, seconds: float, scale: float = 1.0) -> QImage:
        """The drawing with its film at a time [s]."""
        size = QSize(round(self.width() * scale), round(self.height() * scale))
        image = QImage(size, QImage.Format.Format_RGB32)
        image.setDevicePixelRatio(scale)
        image.fill(QColor(self.tokens.card))
        painter = QPainter(image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(theming.font(SMALL))
        self.draw_still(painter)
        if self._found is not None and self._reach is not None:
            self._draw_films(painter, seconds)
        painter.end()
        return image

    def sizeHint(self) -> QSize:
        """As on a usual screen."""
        return QSize(theming.px(760), theming.px(300))

    def minimumSizeHint(self) -> QSize:
        """In which something can be told."""
        return QSize(theming.px(300), theming.px(170))


def _front(places: Array) -> float:
    """How far ahead of the rod tip the loop reaches [m]."""
    return float(places[:, 0].max())
