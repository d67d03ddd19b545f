"""The inks that most plots are drawn with: curves, areas, bands, points, uprights."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPolygonF

from taperlab.gui.kit import theme as theming
from taperlab.gui.plots.ink import Ink, Pad, Span, span_of
from taperlab.physics.frustum import Array


@dataclass(frozen=True, eq=False)
class Curve(Ink):
    """A polyline through points [SI]. What is overlaid stays 1 px wide and opaque: see theme.pen.

    mirrored: it is drawn below zero too, as both edges of a line. read: its name is read at the
    crosshair.
    """

    x: Array
    y: Array
    colour: str = ""
    width: float = 1.0
    dash: tuple[float, ...] | None = None
    name: str = ""
    mirrored: bool = False

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

    def paint(self, pad: Pad) -> None:
        """Draw it."""
        pad.use(theming.curve_pen(self.colour, self.width, self.dash))
        for polygon in self.polygons:
            pad.painter.drawPolyline(polygon)


@dataclass(frozen=True, eq=False)
class Area(Ink):
    """The area between two curves over the same places [SI]; down to zero without a second."""

    x: Array
    upper: Array
    lower: Array | None = None
    colour: str = ""
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

    def paint(self, pad: Pad) -> None:
        """Fill it; its edges need no smoothing."""
        painter = pad.painter
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(self.colour))
        painter.drawPolygon(self.polygon)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)


@dataclass(frozen=True)
class Band(Ink):
    """Everything between two values [SI], over the whole width."""

    low: float
    high: float
    colour: str = ""
    beneath_grid: bool = True

    @property
    def upright(self) -> Span:
        """Both edges."""
        return self.low, self.high

    def paint(self, pad: Pad) -> None:
        """Fill it."""
        rect = QRectF(pad.area.left(), self.low, pad.area.width(), self.high - self.low)
        pad.painter.fillRect(rect, QColor(self.colour))


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
    """What was read, point by point [SI]: dots with their errors, crosses for what is left out.

    errors: half of the stroke through a dot, drawn where it can be seen. rim, bad: colours of
    what surrounds a dot, and of a cross.
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
        stroke, cross, rim = (
            theming.pen(self.colour),
            theming.pen(self.bad, 1.6),
            theming.pen(self.rim),
        )
        with pad.in_pixels() as place:
            painter.setBrush(QColor(self.colour))
            for i, (x, y) in enumerate(zip(self.x.tolist(), heights.tolist(), strict=True)):
                point = place(x, y)
                if not self.used[i]:
                    painter.setPen(cross)
                    for way in (QPointF(3.5, 3.5), QPointF(3.5, -3.5)):
                        painter.drawLine(point - way, point + way)
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
