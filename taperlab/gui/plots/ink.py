"""What can be drawn in a plot: a value that says what it needs, paints itself and can be read.

Kinds of ink are open: whatever a page draws that the kit does not know is a class of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, fields, is_dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QBrush, QPainter, QPainterPath, QPen

from taperlab.physics.frustum import Array

Span = tuple[float, float]


class Map:
    """Where a plot lies in the scene [px] and which stretch of each axis is seen there [SI]."""

    def __init__(self) -> None:
        self.rect = QRectF(0.0, 0.0, 1.0, 1.0)
        self.x_range: Span = (0.0, 1.0)
        self.y_range: Span = (0.0, 1.0)

    def across(self, position: float) -> float:
        """Scene x of a position [SI]."""
        low, high = self.x_range
        return self.rect.left() + (position - low) / (high - low) * self.rect.width()

    def upright(self, value: float) -> float:
        """Scene y of a value [SI]."""
        low, high = self.y_range
        return self.rect.bottom() - (value - low) / (high - low) * self.rect.height()

    def point(self, position: float, value: float) -> QPointF:
        """Scene point of a position and a value [SI]."""
        return QPointF(self.across(position), self.upright(value))

    def position_at(self, x: float) -> float:
        """Position [SI] at a scene x."""
        low, high = self.x_range
        return low + (x - self.rect.left()) / max(self.rect.width(), 1.0) * (high - low)

    def value_at(self, y: float) -> float:
        """Value [SI] at a scene y."""
        low, high = self.y_range
        return low + (self.rect.bottom() - y) / max(self.rect.height(), 1.0) * (high - low)


class Pad:
    """A painter whose places are in SI, while widths and sizes are in pixels of the screen.

    area: the stretch of both axes that is seen [SI]. pixels: for one SI unit of the shared axis.
    """

    def __init__(self, painter: QPainter, area: QRectF, pixels: float) -> None:
        self.painter = painter
        self.area = area
        self.pixels = pixels

    def use(self, how: QPen) -> None:
        """Draw with a pen as wide on a dense screen as on a plain one; Qt counts raw pixels."""
        ratio = abs(self.painter.deviceTransform().m11()) / self.pixels
        if abs(ratio - 1.0) > 0.01:
            how = QPen(how)
            how.setWidthF(how.widthF() * ratio)
        self.painter.setPen(how)

    @contextmanager
    def in_pixels(self) -> Iterator[Callable[[float, float], QPointF]]:
        """Draw in pixels of the screen for a while; gives what turns SI into them."""
        painter = self.painter
        world = painter.worldTransform()
        scale = abs(world.m11()) / self.pixels
        painter.save()
        painter.resetTransform()
        painter.scale(scale, scale)
        yield lambda x, y: world.map(QPointF(x, y)) / scale
        painter.restore()


@dataclass(frozen=True, slots=True)
class Name:
    """A word over a plot: where [scene px], and its colour. The crosshair leaves it free."""

    text: str
    where: QRectF
    colour: str


@dataclass(frozen=True, slots=True)
class Over:
    """What stands over all curves of a plot, in scene pixels, and is not clipped to the plot."""

    names: tuple[Name, ...] = ()
    shapes: tuple[tuple[QPainterPath, QPen, QBrush], ...] = ()


class Ink:
    """Something drawn in a plot; all places are in SI. It never changes once it is made.

    name: what it is called where it is read at the crosshair; nothing is read without one.
    colour, dash: how it is told apart.
    """

    name: str = ""
    colour: str = ""
    dash: tuple[float, ...] | None = None
    beneath_grid: bool = False
    """Whether the rules of the grid are drawn over it."""

    @property
    def across(self) -> Span | None:
        """The stretch of the shared axis that it needs, if it needs any."""
        return None

    @property
    def upright(self) -> Span | None:
        """The lowest and highest value that must be seen."""
        return None

    def at(self, position: float) -> float | None:
        """Its value at a position, where the crosshair meets it; None where it does not."""
        return None

    def is_like(self, other: Ink) -> bool:
        """Whether it is of the same parts as another, so that nothing need be drawn again.

        Arrays count as the same only where they are the very same.
        """
        if type(self) is not type(other) or not is_dataclass(self):
            return self is other
        pairs = ((getattr(self, f.name), getattr(other, f.name)) for f in fields(self))
        return all(a is b or (not isinstance(a, np.ndarray) and a == b) for a, b in pairs)

    def paint(self, pad: Pad) -> None:
        """Draw it."""

    def over(self, plot: Map) -> Over | None:
        """What of it stands over all curves."""
        return None


def span_of(*arrays: Array) -> Span | None:
    """The lowest and highest of the numbers, or None without any."""
    filled = [each for each in arrays if len(each)]
    if not filled:
        return None
    return min(float(each.min()) for each in filled), max(float(each.max()) for each in filled)
