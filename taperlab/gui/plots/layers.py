"""What is drawn inside a plot, in the plot's own units: ground, outline and curves.

Each layer covers its plot and is made once. The overlays keep their picture between edits, so
that an edit of the line in hand repaints that line alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from taperlab.gui.kit.theme import Tokens, pen


@dataclass(frozen=True, eq=False, slots=True)
class Curve:
    """A polyline in a plot's units and the pen it is drawn with."""

    x: np.ndarray
    y: np.ndarray
    pen: QPen
    polygon: QPolygonF

    @classmethod
    def of(cls, x: np.ndarray, y: np.ndarray, how: QPen) -> Curve:
        """A curve through these points."""
        return cls(x, y, how, pg.functions.arrayToQPolygonF(x, y))


class Layer(QGraphicsItem):
    """A sheet over the whole of a plot."""

    def __init__(self) -> None:
        super().__init__()
        self._area = QRectF(0.0, 0.0, 1.0, 1.0)
        self.pixels_across = 1.0
        """Pixels on screen for a unit of the distance axis."""

    def dense(self, how: QPen, painter: QPainter) -> QPen:
        """A cosmetic pen as wide on a dense screen as on a plain one; Qt draws raw pixels."""
        ratio = abs(painter.deviceTransform().m11()) / self.pixels_across
        if abs(ratio - 1.0) < 0.01:
            return how
        wide = QPen(how)
        wide.setWidthF(how.widthF() * ratio)
        return wide

    @property
    def area(self) -> QRectF:
        """The stretch of both axes that is seen."""
        return self._area

    def cover(self, area: QRectF) -> None:
        """Cover another stretch of the axes."""
        if area != self._area:
            self.prepareGeometryChange()
            self._area = area

    def boundingRect(self) -> QRectF:
        """The whole plot."""
        return self._area


class Ground(Layer):
    """Grid, zero line and the rod's window."""

    def __init__(self) -> None:
        super().__init__()
        self._rules: list[QLineF] = []
        self._zero: QLineF | None = None
        self._band: QRectF | None = None
        self._rule_pen = QPen()
        self._zero_pen = QPen()
        self._band_colour = QColor()

    @property
    def band(self) -> tuple[float, float] | None:
        """Lower and upper edge of the window as drawn."""
        return (self._band.top(), self._band.bottom()) if self._band else None

    def set_tokens(self, tokens: Tokens) -> None:
        """Take a theme's colours."""
        self._rule_pen = pen(tokens.hover)
        self._zero_pen = pen(tokens.rule)
        self._band_colour = QColor(tokens.band)
        self.update()

    def set_ticks(self, across: Sequence[float], upright: Sequence[float]) -> None:
        """Where the grid's rules lie on both axes."""
        a = self._area
        self._rules = [QLineF(x, a.top(), x, a.bottom()) for x in across]
        self._rules += [QLineF(a.left(), y, a.right(), y) for y in upright if y != 0.0]
        self._zero = QLineF(a.left(), 0.0, a.right(), 0.0) if 0.0 in upright else None
        self.update()

    def set_band(self, low: float | None, high: float | None) -> None:
        """The window as a band across the plot, or none."""
        band = None
        if low is not None and high is not None:
            band = QRectF(self._area.left(), low, self._area.width(), high - low)
        if band != self._band:
            self._band = band
            self.update()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw band, rules, zero line."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        if self._band:
            painter.fillRect(self._band, self._band_colour)
        painter.setPen(self.dense(self._rule_pen, painter))
        painter.drawLines(self._rules)
        if self._zero:
            painter.setPen(self.dense(self._zero_pen, painter))
            painter.drawLine(self._zero)


class Fill(Layer):
    """The area below the line in hand."""

    def __init__(self) -> None:
        super().__init__()
        self._polygon = QPolygonF()
        self._colour = QColor()

    def set_tokens(self, tokens: Tokens) -> None:
        """Take a theme's colours."""
        self._colour = QColor(tokens.accent_wash)
        self.update()

    def set_curve(self, x: np.ndarray, y: np.ndarray) -> None:
        """Fill from a curve down to zero."""
        if len(x):
            x = np.concatenate((x[:1], x, x[-1:]))
            y = np.concatenate(([0.0], y, [0.0]))
        self._polygon = pg.functions.arrayToQPolygonF(x, y)
        self.update()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw the area."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._colour)
        painter.drawPolygon(self._polygon)


class Curves(Layer):
    """Curves one above the other. ``kept``: their picture is kept until one of them changes."""

    def __init__(self, *, kept: bool = False) -> None:
        super().__init__()
        self._curves: tuple[Curve, ...] = ()
        self._kept = kept
        self.keep_picture(True)

    @property
    def curves(self) -> tuple[Curve, ...]:
        """The curves as drawn."""
        return self._curves

    def keep_picture(self, keep: bool) -> None:
        """Whether a layer that keeps its picture does so now; an export must not."""
        mode = QGraphicsItem.CacheMode.DeviceCoordinateCache
        self.setCacheMode(mode if keep and self._kept else QGraphicsItem.CacheMode.NoCache)

    def set_curves(self, curves: Sequence[Curve]) -> None:
        """Draw these and no others."""
        if curves or self._curves:
            self._curves = tuple(curves)
            self.update()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw them in order."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        for curve in self._curves:
            painter.setPen(self.dense(curve.pen, painter))
            painter.drawPolyline(curve.polygon)


@dataclass(frozen=True, slots=True)
class Piece:
    """A segment of the outline: its corners in the plot's units and its colour."""

    front: float
    rear: float
    front_half: float
    rear_half: float
    colour: str


class Outline(Layer):
    """The line seen from the side, one tinted piece a segment."""

    NARROW = 24.0
    """Pieces narrower than this many pixels get no rule between them; handles mark their ends."""

    def __init__(self) -> None:
        super().__init__()
        self._count = 0
        self._runs: tuple[tuple[QPolygonF, QColor], ...] = ()
        self._rules: tuple[tuple[QLineF, float], ...] = ()
        self._rule_pen = QPen()

    def set_tokens(self, tokens: Tokens) -> None:
        """Take a theme's colours."""
        self._rule_pen = pen(tokens.card, 1.5)
        self.update()

    @property
    def count(self) -> int:
        """How many pieces are drawn."""
        return self._count

    def set_pieces(self, pieces: Sequence[Piece]) -> None:
        """Draw these segments, in order from the fly end."""
        self._count = len(pieces)
        # One polygon for neighbours of one colour: apart, a faint seam shows between them.
        made = []
        for colour, run in groupby(pieces, key=lambda piece: piece.colour):
            upper: list[QPointF] = []
            for piece in run:
                upper.append(QPointF(piece.front, piece.front_half))
                upper.append(QPointF(piece.rear, piece.rear_half))
            lower = [QPointF(point.x(), -point.y()) for point in reversed(upper)]
            made.append((QPolygonF(upper + lower), QColor(colour)))
        self._runs = tuple(made)
        self._rules = tuple(
            (
                QLineF(
                    behind.front,
                    -min(ahead.rear_half, behind.front_half),
                    behind.front,
                    min(ahead.rear_half, behind.front_half),
                ),
                min(ahead.rear - ahead.front, behind.rear - behind.front),
            )
            for ahead, behind in pairwise(pieces)
            if ahead.colour == behind.colour
        )
        self.update()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw the pieces, then the rules between pieces of the same part."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setPen(Qt.PenStyle.NoPen)
        for polygon, colour in self._runs:
            painter.setBrush(colour)
            painter.drawPolygon(polygon)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(self.dense(self._rule_pen, painter))
        painter.drawLines(
            [rule for rule, room in self._rules if room * self.pixels_across > self.NARROW]
        )
