"""The films in the drawing to scale, at one time; faded where their models have ended."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPen

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.naming import Naming
from taperlab.gui.kit.painted import RIGHT, write
from taperlab.gui.kit.theme import IN_HAND, SMALL, pen
from taperlab.gui.pages.air.desk import Shot
from taperlab.gui.pages.air.scene import ToScale
from taperlab.gui.pages.air.view import View
from taperlab.physics.frustum import Array
from taperlab.shop.air.words import faded_words
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

FADED = 0.38
"""How strong a line is drawn where the model has ended."""


class FilmInk:
    """Paints the films at a time [s]; stills: times that are shown besides, none where it moves.

    is_old: they are of before a change.
    """

    def __init__(
        self, view: View, seconds: float, stills: tuple[float, ...] = (), *, is_old: bool = False
    ) -> None:
        self._view, self._seconds, self._stills, self._is_old = view, seconds, stills, is_old

    def paint(self, painter: QPainter) -> None:
        """Paint them."""
        forward, read = self._view.forward, self._view.read
        painter.setFont(theming.font(SMALL))
        for i, (scale, shot) in enumerate(zip(self._view.grounds, self._view.shots, strict=False)):
            if shot.film is None:
                start = scale.at(*forward.tip) + QPointF(12.0, -2.0 * self._view.row)
                room = QSizeF(self._view.width - start.x() - 12.0, self._view.row * 4.0)
                where = QRectF(start, room)
                painter.setPen(QColor(self._view.tokens.ink))
                flags = Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap
                painter.drawText(where, int(flags), read(shot.problem))
                continue
            self._draw_shot(painter, scale, shot, is_first=not i)

    def _draw_shot(
        self,
        painter: QPainter,
        scale: ToScale,
        shot: Shot,
        *,
        is_first: bool,
    ) -> None:
        film, tokens, row = shot.film, self._view.tokens, self._view.row
        assert film is not None
        shift = np.array([self._view.forward.tip[0], 0.0])
        painter.setPen(pen(tokens.soft, 1.0))
        for each in self._stills:
            if each <= film.sound_until:
                painter.drawPolyline(scale.line(film.at(each) + shift))
        # Where the model ends it stands still, and is faded.
        is_faded = self._seconds > film.sound_until
        now = min(self._seconds, film.sound_until)
        places = film.at(now) + shift
        painter.setPen(self._pen_of(shot, is_faded))
        painter.drawPolyline(scale.line(places))
        fly = scale.at(*places[-1].tolist())
        ink = QColor(tokens.ink)
        ink.setAlphaF(FADED if is_faded else 1.0)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(ink)
        painter.drawEllipse(fly, 3.5, 3.5)
        self._draw_ticks(painter, scale, shot, now)
        if is_first and (is_faded or self._is_old):
            painter.setFont(theming.font(SMALL))
            said = self._view.read(faded_words())
            if self._is_old:
                said = tr("the film of before the change")
            wide = painter.fontMetrics().horizontalAdvance(said) + 4.0
            where = QRectF(self._view.width - wide - 10.0, row * 2.5, wide, row)
            write(painter, said, where, tokens.soft, RIGHT)

    def _draw_ticks(self, painter: QPainter, scale: ToScale, shot: Shot, now: float) -> None:
        """Times on the water, below where the loop is then."""
        film, tokens, row = shot.film, self._view.tokens, self._view.row
        assert film is not None
        water = scale.at(0.0, 0.0).y()
        bold = theming.font(SMALL, weight=QFont.Weight.DemiBold)
        painter.setFont(bold)
        naming = Naming(QRectF(0.0, 0.0, self._view.width, self._view.height + row))
        times = [(now, tokens.accent, True)]
        times += [(each, tokens.soft, False) for each in self._stills if each <= film.sound_until]
        for seconds, colour, is_now in times:
            x = scale.at(self._view.forward.tip[0] + _front(film.at(seconds)), 0.0).x()
            painter.setPen(pen(colour, 2.0 if is_now else 1.0))
            painter.drawLine(QLineF(x, water - 4.0, x, water + 4.0))
            painter.setFont(bold if is_now else theming.font(SMALL))
            said = self._view.read(Sentence("{time}", time=f"{seconds:.2f} s"))
            size = self._view.size(said) + QSizeF(4.0, 0.0)
            spot = naming.place(size, [QPointF(x, water + 5.0 + row / 2.0)])
            if spot is not None:
                write(painter, said, spot, colour)

    def _pen_of(self, shot: Shot, is_faded: bool) -> QPen:
        # Without its dash, which takes three times as long: each line has a water of its own, and
        # its name stands over it.
        colour, _ = self._view.style(shot)
        how = pen(colour, IN_HAND)
        how.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        if is_faded or self._is_old:
            strong = QColor(colour)
            strong.setAlphaF(FADED)
            how.setColor(strong)
        return how


def _front(places: Array) -> float:
    """How far ahead of the rod tip the loop reaches [m]."""
    return float(places[:, 0].max())
