"""What can be drawn in a plot: a value that says what it needs, paints itself and can be read.

Kinds of ink are open: whatever a page draws that the kit does not know is a class of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, fields, is_dataclass
from functools import cached_property

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QPolygonF

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.signs import SLIP_HALF, slip
from taperlab.physics.frustum import Array

Span = tuple[float, float]

GHOST_DASH = (4.0, 3.0)
"""Dash and gap of what would be, in widths of its pen."""


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


@dataclass(frozen=True, eq=False)
class Curve(Ink):
    """A polyline through points [SI]. What is overlaid stays 1 px wide and opaque: see theme.pen.

    mirrored: it is drawn below zero too, as both edges of a line. casing: colour of a margin, where
    it lies on colours that it does not differ enough from.
    """

    x: Array
    y: Array
    colour: str = ""
    width: float = 1.0
    dash: tuple[float, ...] | None = None
    name: str = ""
    mirrored: bool = False
    casing: str = ""

    @property
    def across(self) -> Span | None:
        """From its first point to its last."""
        return (float(self.x[0]), float(self.x[-1])) if len(self.x) else None

    @cached_property
    def upright(self) -> Span | None:
        """Its lowest and highest point."""
        return span_of(self.y)

    def at(self, position: float) -> float | None:
        """Its height there."""
        if not len(self.x) or not self.x[0] <= position <= self.x[-1]:
            return None
        return float(np.interp(position, self.x, self.y))

    @cached_property
    def polygons(self) -> tuple[QPolygonF, ...]:
        """Its points as Qt draws them."""
        upper = _polygon(self.x, self.y)
        return (upper, _polygon(self.x, -self.y)) if self.mirrored else (upper,)

    @property
    def pen(self) -> QPen:
        """What it is drawn with on a plain screen."""
        return theming.curve_pen(self.colour, self.width, self.dash)

    def paint(self, pad: Pad) -> None:
        """Draw it."""
        if self.casing:
            pad.use(theming.curve_pen(self.casing, 3.0))
            for polygon in self.polygons:
                pad.painter.drawPolyline(polygon)
        pad.use(self.pen)
        for polygon in self.polygons:
            pad.painter.drawPolyline(polygon)


@dataclass(frozen=True, eq=False)
class Ghost(Curve):
    """A curve as it would be: dashes with light between them, to be told from whatever it crosses.

    It is not read at the crosshair. It makes room for itself only so far: up to these, a place and
    a value [SI]; beyond, it is cut off, so that half a number that is typed shrinks nothing.
    light: the colour between its dashes.
    """

    light: str = ""
    furthest: float = 0.0
    highest: float = 0.0

    @property
    def across(self) -> Span | None:
        """From its first point to its last, as far as it makes room."""
        span = super().across
        return span and (span[0], min(span[1], max(self.furthest, span[0])))

    @cached_property
    def upright(self) -> Span | None:
        """Its lowest and highest point, as far as it makes room."""
        span = span_of(self.y)
        most = self.highest
        return span and (max(span[0], -most), max(-most, min(span[1], most)))

    def at(self, position: float) -> float | None:
        """Nothing: what would be is not read."""
        return None

    def paint(self, pad: Pad) -> None:
        """Draw it, one pixel wide."""
        for colour, dash in ((self.light, None), (self.colour, GHOST_DASH)):
            pad.use(theming.curve_pen(colour, 1.0, dash))
            for polygon in self.polygons:
                pad.painter.drawPolyline(polygon)


@dataclass(frozen=True, eq=False)
class Area(Ink):
    """The area between two curves over the same places [SI]; down to zero without a second.

    colour: of the area; without, it is not filled. rim: of both curves; without, they are not
    drawn.
    """

    x: Array
    upper: Array
    lower: Array | None = None
    colour: str = ""
    rim: str = ""
    beneath_grid: bool = False

    @cached_property
    def upright(self) -> Span | None:
        """The highest and lowest of its edges."""
        return span_of(self.upper) if self.lower is None else span_of(self.upper, self.lower)

    @cached_property
    def polygon(self) -> QPolygonF:
        """Its outline as Qt draws it."""
        lower = np.zeros_like(self.upper) if self.lower is None else self.lower
        x, y = np.concatenate((self.x, self.x[::-1])), np.concatenate((self.upper, lower[::-1]))
        return _polygon(x, y)

    @cached_property
    def edges(self) -> tuple[QPolygonF, ...]:
        """Both curves as Qt draws them."""
        lower = np.zeros_like(self.upper) if self.lower is None else self.lower
        return _polygon(self.x, self.upper), _polygon(self.x, lower)

    def paint(self, pad: Pad) -> None:
        """Fill it, and draw its edges; they need no smoothing."""
        painter = pad.painter
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        if self.colour:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(self.colour))
            painter.drawPolygon(self.polygon)
        if self.rim:
            pad.use(theming.curve_pen(self.rim))
            for edge in self.edges:
                painter.drawPolyline(edge)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)


@dataclass(frozen=True)
class Band(Ink):
    """Everything between two values [SI], over the whole width."""

    low: float
    high: float
    colour: str = ""
    rim: str = ""
    beneath_grid: bool = True

    @property
    def upright(self) -> Span:
        """Both edges."""
        return self.low, self.high

    def paint(self, pad: Pad) -> None:
        """Fill it, and draw its edges."""
        rect = QRectF(pad.area.left(), self.low, pad.area.width(), self.high - self.low)
        pad.painter.fillRect(rect, QColor(self.colour))
        if self.rim:
            pad.use(theming.curve_pen(self.rim))
            for y in (self.low, self.high):
                pad.painter.drawLine(QLineF(rect.left(), y, rect.right(), y))


@dataclass(frozen=True)
class Uprights(Ink):
    """Upright lines through the plot at some places [SI]."""

    places: tuple[float, ...]
    colour: str = ""
    dash: tuple[float, ...] | None = None

    def paint(self, pad: Pad) -> None:
        """Draw them."""
        painter, area = pad.painter, pad.area
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        pad.use(theming.curve_pen(self.colour, 1.0, self.dash))
        painter.drawLines([QLineF(x, area.top(), x, area.bottom()) for x in self.places])
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)


@dataclass(frozen=True, eq=False)
class Points(Ink):
    """What was read, point by point [SI]: dots with their errors, crossed squares for slips.

    used: which are kept; the others are left out. errors: half of the stroke through a dot, drawn
    where it can be seen. rim, bad: colours of what surrounds a dot, and of a crossed square.
    """

    x: Array
    y: Array
    used: NDArray[np.bool_]
    errors: Array | None = None
    colour: str = ""
    rim: str = ""
    bad: str = ""

    RADIUS = 2.9

    @property
    def across(self) -> Span | None:
        """From the first to the last."""
        return span_of(self.x)

    @cached_property
    def upright(self) -> Span | None:
        """The lowest and highest that is used."""
        return span_of(self.y[self.used])

    def paint(self, pad: Pad) -> None:
        """Draw them, as large on every screen; one out of sight lies on the edge."""
        area, painter = pad.area, pad.painter
        heights = np.clip(self.y, area.top(), area.bottom())
        stroke, rim = theming.pen(self.colour), theming.pen(self.rim)
        with pad.in_pixels() as place:
            painter.setBrush(QColor(self.colour))
            ends = sorted(place(0.0, y).y() for y in (area.top(), area.bottom()))
            for i, (x, y) in enumerate(zip(self.x.tolist(), heights.tolist(), strict=True)):
                point = place(x, y)
                if not self.used[i]:
                    # Out of sight it lies inside the edge, whole.
                    inside = min(max(point.y(), ends[0] + SLIP_HALF + 1), ends[1] - SLIP_HALF - 1)
                    slip(painter, QPointF(point.x(), inside), self.bad, self.rim)
                    continue
                if self.errors is not None:
                    end = place(x, y + float(self.errors[i]))
                    if abs(end.y() - point.y()) > self.RADIUS:
                        painter.setPen(stroke)
                        painter.drawLine(end, point + point - end)
                painter.setPen(rim)
                painter.drawEllipse(point, self.RADIUS, self.RADIUS)


def _polygon(x: Array, y: Array) -> QPolygonF:
    made: QPolygonF = pg.functions.arrayToQPolygonF(x, y)
    return made
