"""A head that is advised, drawn against the length of its rod."""

from __future__ import annotations

import math

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPolygonF
from PySide6.QtWidgets import QSizePolicy

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.painted import CENTRE, Painted, write
from taperlab.gui.kit.range_bar import Range, paint_range
from taperlab.gui.kit.theme import pen
from taperlab.gui.pages.which_head.case import WhichCase
from taperlab.model.segment import Part
from taperlab.shop.which_head.study import Advice
from taperlab.shop.which_head.words import length_words, tip_words
from taperlab.units.language import tr

HALF = 7.0
"""Of the head's thickness, which is not to scale [px]."""

LEAST_TIMES = 3
"""Rod lengths that the scale has at least."""


class HeadScale(Painted):
    """The shortest head solid, up to the longest pale, the tip that counts ahead of it."""

    def __init__(self, case: WhichCase) -> None:
        super().__init__(case.place.theme, on_card=True)
        self._case = case
        self._advice: Advice | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("The head against the rod"))

    def show_advice(self, advice: Advice) -> None:
        """Show a head that is advised."""
        self._advice = advice
        read = self._case.place.read
        said = [read(each) for each in (*length_words(advice), tip_words(advice)[0])]
        self.say_all(tr("{length}, {ratio}; tip: {tip}").format(**_named(said)))

    def sizeHint(self) -> QSize:
        """Wide and low."""
        return QSize(theming.px(260), round(6.0 * HALF + self.row))

    def minimumSizeHint(self) -> QSize:
        """Room for its scale."""
        return QSize(theming.px(150), self.sizeHint().height())

    def draw(self, painter: QPainter) -> None:
        """Draw the head over the scale."""
        advice, found = self._advice, self._case.found
        if advice is None or found is None:
            return
        tokens, rod = self.tokens, found.rod.length
        tip = advice.tip or 0.0
        # Styles that tie are drawn to one scale.
        longest = max((each.tip or 0.0) + each.high for each in found.winners)
        times = max(LEAST_TIMES, math.ceil(longest / rod - 1e-6))
        left, right = 2.0, self.width() - theming.px(26)

        def across(length: float) -> float:
            return left + length / (times * rod) * (right - left)

        middle = 2.0 * HALF
        base = round(middle + 2.0 * HALF) + 0.5
        painter.setPen(pen(tokens.field))
        painter.drawLine(QLineF(left, base, right, base))
        for number in range(1, times + 1):
            x = round(across(number * rod)) + 0.5
            painter.drawLine(QLineF(x, base - 4.0, x, base + 4.0))
            said = tr("{times}× rod") if number == times else tr("{times}×")
            room = QRectF(x - theming.px(26), base + 5.0, 2.0 * theming.px(26), self.row)
            write(painter, said.format(times=number), room, tokens.soft, CENTRE)
        ends = QRectF(across(tip), middle - HALF, across(tip + advice.high) - across(tip), 2 * HALF)
        sure = QPolygonF(
            [
                QPointF(ends.left(), middle - 2.0),
                QPointF(across(tip + 0.6 * advice.low), middle - HALF),
                QPointF(across(tip + advice.low), middle - HALF),
                QPointF(across(tip + advice.low), middle + HALF),
                QPointF(across(tip + 0.6 * advice.low), middle + HALF),
                QPointF(ends.left(), middle + 2.0),
            ]
        )
        painter.setPen(pen(tokens.edge))
        if tip:
            painter.setBrush(QColor(tokens.parts[Part.SINK_TIP]))
            painter.drawRect(QRectF(left, middle - 2.0, across(tip) - left, 4.0))
        painter.setBrush(QColor(tokens.parts[Part.BELLY]))
        painter.drawPolygon(sure)
        between = QRectF(across(tip + advice.low), middle - HALF, 0.0, 2.0 * HALF)
        between.setRight(max(ends.right(), between.left() + 1.0))
        shown = Range(advice.low, advice.high)
        ends_at = advice.low, max(advice.high, advice.low + 1e-9)
        paint_range(painter, between, shown, ends_at, tokens, tokens.edge, track=False)


def _named(said: list[str]) -> dict[str, str]:
    length, ratio, tip = said
    return {"length": length, "ratio": ratio, "tip": tip}
