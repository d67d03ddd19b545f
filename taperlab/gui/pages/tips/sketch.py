"""A tip as a small drawing: weight per length, with the front of the head behind the joint."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from taperlab.gui.kit.theme import Theme, Tokens, pen, px
from taperlab.model.segment import Part
from taperlab.shop.analyse import Curves
from taperlab.shop.tips.study import TipRow, TipsStudy

BEHIND = 0.24
"""Share of a drawing that the front of the head takes, behind the joint."""


@dataclass(frozen=True, eq=False, slots=True)
class Sketch:
    """What is drawn: the tip, what it is looped to, and the scale of all such drawings.

    longest: what there is room for ahead of the joint [m]. heaviest: mass per length that is as
    high as the drawing [kg/m].
    """

    tip: Curves
    head: Curves
    longest: float
    heaviest: float


def scale_of(study: TipsStudy, more: Sequence[TipRow] = ()) -> tuple[float, float]:
    """The longest tip [m] and the heaviest mass per length [kg/m] that is drawn."""
    rows = (*study.rows, *more)
    longest = max((row.length for row in rows), default=1.0)
    tips = max((float(row.analysis.curves.linear_density.max()) for row in rows), default=0.0)
    seen = longest * BEHIND / (1.0 - BEHIND)
    head = study.head.curves
    count = int((head.position < seen).sum()) + 1
    return longest, max(float(head.linear_density[:count].max()), tips)


def paint_sketch(painter: QPainter, room: QRectF, shown: Sketch, tokens: Tokens) -> None:
    """Draw it; the joint stands at one place in every drawing of one width."""
    joint = room.right() - round(room.width() * BEHIND)
    across = (joint - room.left()) / shown.longest
    upright = room.height() / shown.heaviest
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setClipRect(room.adjusted(0.0, -2.0, 0.0, 1.0))
    end = float(shown.tip.position[-1])
    for curves, origin, part in (
        (shown.tip, joint - end * across, Part.SINK_TIP),
        (shown.head, joint, Part.BELLY),
    ):
        points = [
            QPointF(origin + float(x) * across, room.bottom() - float(y) * upright)
            for x, y in zip(curves.position, curves.linear_density, strict=True)
        ]
        base = [QPointF(points[-1].x(), room.bottom()), QPointF(points[0].x(), room.bottom())]
        painter.setBrush(QColor(tokens.parts[part]))
        painter.drawPolygon(QPolygonF([*points, *base]))
    painter.setPen(pen(tokens.rule, 1.0))
    painter.drawLine(QLineF(room.bottomLeft(), room.bottomRight()))
    painter.setPen(pen(tokens.ink, 1.0))
    painter.drawLine(QLineF(joint, room.top() - 2.0, joint, room.bottom() + 1.0))
    painter.restore()


class SketchView(QWidget):
    """One such drawing by itself; empty until there is something."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._shown: Sketch | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.update)

    def show_sketch(self, shown: Sketch | None) -> None:
        """Show this, or nothing."""
        self._shown = shown
        self.update()

    def sizeHint(self) -> QSize:
        """Low and wide."""
        return QSize(px(160), px(36))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw it."""
        if self._shown is not None:
            room = QRectF(self.rect()).adjusted(1.0, 3.0, -1.0, -2.0)
            paint_sketch(QPainter(self), room, self._shown, self._theme.tokens)
