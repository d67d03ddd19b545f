"""Which stretch of a rig is which of its lines: a bracket under the outline, with its name."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import SMALL, pen, px
from taperlab.gui.plots.ink import Map
from taperlab.gui.plots.marks import Mark

JOINT_DASH = (2.0, 3.0)
"""Dash and gap of what marks a joint through the plots."""

REACH = 4.0
"""How far the ends of a bracket reach up [px]."""

APART = 3.0
"""Between two brackets that meet [px]."""

ELLIPSIS = "…"


@dataclass(frozen=True)
class Stretch:
    """One line of a rig: its name, from where to where it lies [m], its rows of the whole.

    in_hand: its segments are those in the table.
    """

    name: str
    start: float
    end: float
    rows: Collection[int]
    in_hand: bool = False


@dataclass(frozen=True)
class Bracket:
    """A bracket as it is drawn: from left to right [scene px], its name as far as it fits."""

    left: float
    right: float
    text: str
    strong: bool


class BracketStrip(Mark):
    """A strip below the first plot: a bracket under each line of a rig, with its name.

    That of the line in hand stands out.
    """

    HEIGHT = 22

    brackets: Sequence[Bracket] = ()

    def show_stretches(self, rect: QRectF, stretches: Sequence[Stretch], plot: Map) -> None:
        """Bracket these, as far as they are seen on a plot."""
        found = (_seen(each, plot) for each in stretches)
        self.brackets = tuple(each for each in found if each is not None)
        self.cover(rect, self.brackets)

    def draw(self, painter: QPainter) -> None:
        """Draw brackets and names."""
        top = self._rect.top() + 1.0
        level = top + REACH
        for each in self.brackets:
            colour = self.tokens.accent if each.strong else self.tokens.soft
            path = QPainterPath(QPointF(each.left, top))
            for x, y in ((each.left, level), (each.right, level), (each.right, top)):
                path.lineTo(x, y)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(pen(colour, 2.0 if each.strong else 1.2))
            painter.drawPath(path)
            painter.setPen(QColor(self.tokens.ink if each.strong else self.tokens.soft))
            painter.setFont(_face(each.strong))
            room = QRectF(each.left, level + 1.0, each.right - each.left, px(15))
            painter.drawText(room, Qt.AlignmentFlag.AlignCenter, each.text)


def _face(strong: bool) -> QFont:
    return theming.font(SMALL, weight=QFont.Weight.DemiBold if strong else QFont.Weight.Normal)


def _seen(stretch: Stretch, plot: Map) -> Bracket | None:
    """Its bracket, as far as it is seen."""
    low, high = plot.x_range
    start, end = max(stretch.start, low), min(stretch.end, high)
    left, right = plot.across(start) + APART / 2.0, plot.across(end) - APART / 2.0
    if start >= end or right - left < 2.0 * REACH:
        return None
    metrics = QFontMetricsF(_face(stretch.in_hand))
    text = metrics.elidedText(stretch.name, Qt.TextElideMode.ElideRight, right - left)
    return Bracket(left, right, "" if text == ELLIPSIS else text, stretch.in_hand)
