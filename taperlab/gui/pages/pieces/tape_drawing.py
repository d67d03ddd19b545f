"""The end of a piece against a tape: where the blade goes, and what comes off."""

from __future__ import annotations

import math

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPolygonF
from PySide6.QtWidgets import QSizePolicy

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.end_tag import paint_tag, tag_size
from taperlab.gui.kit.painted import CENTRE, LEFT, Painted, write
from taperlab.gui.kit.signs import hatched_box
from taperlab.gui.kit.theme import SMALL, Theme, ink_on, pen, px
from taperlab.model.cut_log import CutEnd
from taperlab.model.exact_units import INCH
from taperlab.model.segment import Part
from taperlab.units.kinds import System
from taperlab.units.language import tr

LEAST = 12
"""So many inches of a piece are shown, or centimetres, and more where more comes off."""


APART, CLOSEST = 6.0, 2.0
"""Between two numbers of the tape, and between two of its finest marks, at least [px]."""


class TapeDrawing(Painted):
    """The rod end of a piece, a tape below it that counts from that end."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme, on_card=True)
        self._off = 0.0
        self._name, self._part, self._system = "", Part.BELLY, System.US
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setMaximumWidth(px(680))

    def show_trim(self, off: float, part: Part, name: str, words: str, system: System) -> None:
        """Draw so much off the end of a piece [m]. name: stands in the piece."""
        self._off, self._part, self._name, self._system = off, part, name, system
        self.say_all(words)

    def sizeHint(self) -> QSize:
        """A bar, a tape and its numbers."""
        return QSize(420, round(3.2 * self.row + 24.0))

    def minimumSizeHint(self) -> QSize:
        """As high."""
        return QSize(220, self.sizeHint().height())

    def draw(self, painter: QPainter) -> None:
        """Draw piece, blade and tape."""
        tokens = self.tokens
        us = self._system is System.US
        unit = INCH if us else 0.01
        shown = max(LEAST, math.ceil(self._off / unit) + 2)
        tag = tag_size(CutEnd.REAR, SMALL)
        right = self.width() - tag.width() - 22.0
        across = (right - 16.0) / shown
        bar = QRectF(2.0, 6.0, right - 2.0, 1.5 * self.row)
        left, notch = bar.left(), bar.height() / 4.0
        colour = tokens.parts[self._part]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(colour))
        painter.drawPolygon(
            QPolygonF(
                [
                    QPointF(left, bar.top()),
                    bar.topRight(),
                    bar.bottomRight(),
                    QPointF(left, bar.bottom()),
                    QPointF(left + notch, bar.top() + 0.75 * bar.height()),
                    QPointF(left, bar.top() + 0.5 * bar.height()),
                    QPointF(left + notch, bar.top() + 0.25 * bar.height()),
                ]
            )
        )
        blade = right - self._off / unit * across
        off = QRectF(blade, bar.top(), right - blade, bar.height())
        hatched_box(painter, off, tokens.accent, tokens.accent_wash)
        painter.setPen(pen(tokens.accent, 2.6))
        painter.drawLine(QLineF(blade, bar.top() - 5.0, blade, bar.bottom() + 13.0))
        painter.setFont(theming.font(SMALL, weight=QFont.Weight.DemiBold))
        room = QRectF(left + notch + 6.0, bar.top(), blade - left - notch - 12.0, bar.height())
        if QFontMetricsF(painter.font()).horizontalAdvance(self._name) <= room.width():
            write(painter, self._name, room, ink_on(colour), CENTRE)
        where = QRectF(
            right + 12.0, bar.center().y() - tag.height() / 2.0, tag.width(), tag.height()
        )
        paint_tag(painter, where, CutEnd.REAR, SMALL, tokens.ink, tokens.card)
        self._tape(painter, bar.bottom() + 9.0, right, across, shown, us=us)

    def _tape(
        self, painter: QPainter, top: float, right: float, across: float, shown: int, *, us: bool
    ) -> None:
        tokens, parts = self.tokens, 8 if us else 10
        painter.setFont(theming.font(SMALL))
        metrics = QFontMetricsF(painter.font())
        painter.setPen(pen(tokens.ink, 1.2))
        painter.drawLine(QLineF(right - shown * across, top, right, top))
        widest = metrics.horizontalAdvance(str(shown)) + APART
        every = next((each for each in (1, 2, 5) if each * across >= widest), 10)
        for tick in range(shown * parts + 1):
            x = right - tick * across / parts
            whole, half = tick % parts == 0, tick % (parts // 2) == 0
            if not half and across / parts < CLOSEST:
                continue
            high = 9.0 if whole else 6.0 if half else 3.5
            painter.setPen(pen(tokens.ink, 1.0))
            painter.drawLine(QLineF(x, top, x, top + high))
            if whole and tick and tick // parts % every == 0:
                text = str(tick // parts)
                wide = metrics.horizontalAdvance(text)
                painter.setPen(QColor(tokens.soft))
                painter.drawText(QPointF(x - wide / 2.0, top + 10.0 + metrics.ascent()), text)
        name = tr("inches") if us else tr("centimetres")
        write(painter, name, QRectF(right + 12.0, top, 120.0, self.row), tokens.soft, LEFT)
