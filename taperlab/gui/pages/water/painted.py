"""What the drawings of the page share: scales, rules, bed and bands."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QColor, QPainter, QPen

from taperlab.gui.kit.painted import RIGHT
from taperlab.gui.kit.range_bar import Range, paint_range
from taperlab.gui.kit.signs import hatch
from taperlab.gui.kit.theme import Tokens, pen
from taperlab.gui.plots.axis import step_for, ticks
from taperlab.physics.frustum import Array
from taperlab.units.kinds import DEPTH, System
from taperlab.units.show import from_unit


@dataclass(frozen=True, slots=True)
class Scale:
    """A room [px], what its left and right edges stand for, and the depth at its foot [SI]."""

    room: QRectF
    start: float
    end: float
    deep: float

    def across(self, value: float) -> float:
        """Where a value lies, from the left."""
        return self.room.left() + (value - self.start) / (self.end - self.start) * self.room.width()

    def down(self, depth: float) -> float:
        """Where a depth lies, from above."""
        return self.room.top() + depth / self.deep * self.room.height()

    def point(self, value: float, depth: float) -> QPointF:
        """Where both lie."""
        return QPointF(self.across(value), self.down(depth))

    def places(self, values: Array, depths: Array) -> tuple[Array, Array]:
        """Where many lie, from the left and from above."""
        per = self.room.width() / (self.end - self.start)
        down = self.room.top() + depths * (self.room.height() / self.deep)
        return self.room.left() + (values - self.start) * per, down

    def value_at(self, x: float) -> float:
        """What lies there."""
        share = (x - self.room.left()) / max(self.room.width(), 1.0)
        return self.start + share * (self.end - self.start)


def points_in(places: tuple[Array, Array], box: QRectF) -> int:
    """How many points [px] lie in a box."""
    x, y = places
    inside = (x > box.left()) & (x < box.right()) & (y > box.top()) & (y < box.bottom())
    return int(np.count_nonzero(inside))


def depth_unit(system: System) -> tuple[float, str]:
    """The unit that depths are ruled in [m], and its sign."""
    unit = DEPTH.shown(system).unit
    return from_unit(1.0, unit, DEPTH), unit


def depth_rules(deep: float, most: int, system: System) -> list[tuple[float, str]]:
    """Depths from the surface down that are ruled [m], and what is written there, the unit last."""
    size, unit = depth_unit(system)
    found = [(each * size, f"{each:g}") for each in ticks(0.0, deep / size, max(2, most))]
    return [*found[:-1], *((depth, f"{text} {unit}") for depth, text in found[-1:])]


def round_depth(deep: float, system: System) -> float:
    """A depth that holds another and changes seldom [m]."""
    size, _ = depth_unit(system)
    step = step_for(deep / size, 6) * size
    count = int(deep / step - 1e-9) + 1
    return count * step


def paint_depths(
    painter: QPainter, scale: Scale, tokens: Tokens, system: System, *, ruled: bool
) -> None:
    """The depths beside a room, and their rules through it."""
    row = painter.fontMetrics().height()
    room = scale.room
    for depth, text in depth_rules(scale.deep, int(room.height() / (2.0 * row)), system):
        y = scale.down(depth)
        if ruled and depth > 0.0:
            painter.setPen(pen(tokens.rule, 1.0))
            painter.drawLine(QLineF(room.left(), y, room.right(), y))
        painter.setPen(pen(tokens.soft, 1.0))
        if not ruled:
            painter.drawLine(QLineF(room.left() - 6.0, y, room.left() - 1.0, y))
        painter.drawText(QRectF(0.0, y - row / 2.0, room.left() - 9.0, row), RIGHT, text)


def paint_surface(painter: QPainter, scale: Scale, tokens: Tokens) -> None:
    """The surface of the water."""
    painter.setPen(pen(tokens.field, 1.0))
    top = round(scale.room.top()) + 0.5
    painter.drawLine(QLineF(scale.room.left(), top, scale.room.right(), top))


def paint_bed(painter: QPainter, rect: QRectF, tokens: Tokens) -> None:
    """A bed: a line, and hatch below it."""
    painter.save()
    painter.setClipRect(rect)
    hatch(painter, rect, tokens.bed, 9.0)
    painter.restore()
    painter.setPen(pen(tokens.bed, 1.5))
    painter.drawLine(QLineF(rect.topLeft(), rect.topRight()))


def paint_upright(
    painter: QPainter,
    room: QRectF,
    depths: tuple[float, float, float],
    scale: Scale,
    colour: str,
    tokens: Tokens,
) -> None:
    """The sign of a range, upright: least depth, middle and most; nan where that is the bottom."""
    low, middle, high = depths
    deep = -2.0 * scale.deep if math.isnan(high) else -high
    shown = Range(deep, -low, -middle)
    ends = (-scale.deep, 0.0)
    paint_range(painter, room, shown, ends, tokens, colour, upright=True, track=False)


def wash(tokens: Tokens, colour: str) -> QColor:
    """A colour as thin as an area between two edges is filled."""
    made = QColor(colour)
    made.setAlphaF(0.34 if tokens.name == "dark" else 0.2)
    return made


def edge_pen(colour: str, dash: tuple[float, ...] | None = None) -> QPen:
    """What the edges of a band are drawn with."""
    return pen(colour, 1.0, dash)
