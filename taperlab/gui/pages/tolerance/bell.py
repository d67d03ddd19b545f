"""A hundred builds beside the grain window: how they scatter, and where a whole batch may lie."""

from __future__ import annotations

import math
from collections.abc import Callable

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPolygonF
from PySide6.QtWidgets import QSizePolicy

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.painted import CENTRE, Painted
from taperlab.gui.kit.signs import hatch
from taperlab.gui.kit.theme import pen
from taperlab.gui.pages.tolerance.case import ToleranceCase
from taperlab.shop.tolerance.dimensions import TWICE
from taperlab.shop.tolerance.words import alike_words, landing_words
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, Weight

HIGH = 92
"""Its height for usual letters [px]."""

REACH = 3.4
"""Standard deviations that a bell is drawn to."""

POINTS = 48


class Bell(Painted):
    """The weights of many builds as a hill, over the window as a hatched band.

    Two dashed hills are of batches that are off by their ± one way and the other.
    """

    def __init__(self, case: ToleranceCase) -> None:
        super().__init__(case.place.theme)
        self._case = case
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("A hundred builds and the grain window"))
        case.follow(self.refresh)

    def sizeHint(self) -> QSize:
        """As high as a hill is told apart from its neighbours."""
        return QSize(theming.px(180), theming.px(HIGH))

    def minimumSizeHint(self) -> QSize:
        """No lower."""
        return QSize(theming.px(140), theming.px(HIGH))

    def refresh(self) -> None:
        """Draw the builds of the head in hand."""
        landed, read = self._case.builds, self._case.place.read
        self.say_all(
            "" if landed is None else f"{read(landing_words(landed))} {read(alike_words(landed))}"
        )

    def draw(self, painter: QPainter) -> None:
        """Draw the window, the hills and the edges' weights."""
        found, landed = self._case.study, self._case.builds
        if found is None or landed is None:
            return
        mass, spread = found.values.mass, found.spread
        apart, alike = spread.apart.mass / TWICE, spread.alike.mass
        window = landed.window
        sigma = max(apart, (window.heaviest - window.lightest) / 400.0)
        low = min(window.lightest, mass - alike - REACH * sigma)
        high = max(window.heaviest, mass + alike + REACH * sigma)
        margin = 0.06 * (high - low)
        low, high = low - margin, high + margin
        room = QRectF(self.rect()).adjusted(1.0, 3.0, -1.0, -(self.row + 5.0))

        def across(value: float) -> float:
            return room.left() + (value - low) / (high - low) * room.width()

        band = QRectF(across(window.lightest), room.top(), 0.0, room.height())
        band.setRight(across(window.heaviest))
        self._draw_band(painter, band)
        for shift in (-alike, alike) if alike > 0.0 else ():
            hill = self._hill(mass + shift, sigma, room, across)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(pen(self.tokens.soft, 1.0, (3.0, 2.5)))
            painter.drawPolyline(hill)
        hill = self._hill(mass, sigma, room, across)
        fill = QColor(self.tokens.accent)
        fill.setAlphaF(0.3)
        painter.setBrush(fill)
        painter.setPen(pen(self.tokens.accent, 2.0))
        painter.drawPolygon(hill)
        painter.setPen(pen(self.tokens.field, 1.0))
        painter.drawLine(QLineF(room.left(), room.bottom(), room.right(), room.bottom()))
        self._write(painter, band, room)

    def _hill(
        self, mean: float, sigma: float, room: QRectF, across: Callable[[float], float]
    ) -> QPolygonF:
        points = [QPointF(across(mean - REACH * sigma), room.bottom())]
        for i in range(POINTS + 1):
            z = REACH * (2.0 * i / POINTS - 1.0)
            y = room.bottom() - 0.88 * room.height() * math.exp(-0.5 * z * z)
            points.append(QPointF(across(mean + z * sigma), y))
        points.append(QPointF(across(mean + REACH * sigma), room.bottom()))
        return QPolygonF(points)

    def _draw_band(self, painter: QPainter, band: QRectF) -> None:
        painter.save()
        painter.setClipRect(band)
        painter.fillRect(band, QColor(self.tokens.band))
        hatch(painter, band, self.tokens.accent, 9.0)
        painter.restore()
        painter.setPen(pen(self.tokens.accent, 1.0))
        painter.drawLine(QLineF(band.topLeft(), band.bottomLeft()))
        painter.drawLine(QLineF(band.topRight(), band.bottomRight()))

    def _write(self, painter: QPainter, band: QRectF, room: QRectF) -> None:
        landed, read = self._case.builds, self._case.place.read
        assert landed is not None
        painter.setPen(QColor(self.tokens.soft))
        painter.setFont(theming.font(theming.SMALL))
        below = QRectF(0.0, room.bottom() + 3.0, float(self.width()), self.row)
        texts = [
            (band.left(), read(Sentence("{edge}", edge=Weight(landed.window.lightest)))),
            (band.right(), read(Sentence("{edge}", edge=Weight(landed.window.heaviest)))),
        ]
        needs = [painter.fontMetrics().horizontalAdvance(text) + 2.0 for _, text in texts]
        places = [at - need / 2.0 for (at, _), need in zip(texts, needs, strict=True)]
        if places[0] + needs[0] + 6.0 > places[1]:
            places = [texts[0][0] - needs[0], texts[1][0]]
        for (_, text), need, left in zip(texts, needs, places, strict=True):
            left = min(max(left, 0.0), self.width() - need)
            where = QRectF(left, below.top(), need, self.row)
            painter.drawText(where, CENTRE, text)
