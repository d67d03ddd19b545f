"""One plot: where it lies, what its axes show, and its layers."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF

from taperlab.gui.kit.theme import Tokens
from taperlab.gui.plots.layers import Curves, Fill, Ground, Layer, Outline
from taperlab.gui.plots.scales import Plot, Scale, distance_scale, scale_of
from taperlab.gui.plots.ticks import even_ticks, step_for, ticks
from taperlab.units.kinds import System

LEFT, RIGHT = 46.0, 16.0
"""Margins beside the plots, in pixels."""

PIXELS_A_TICK_ACROSS = 62.0
PIXELS_A_TICK_UPRIGHT = 17.0


class Panel:
    """One of the plots. Its views speak shown units; its methods speak SI where they say so."""

    def __init__(self, plot: Plot, scene: pg.GraphicsScene, system: System) -> None:
        self.plot = plot
        self.scale: Scale = scale_of(plot, system)
        self.distance: Scale = distance_scale(system)
        self.view = pg.ViewBox(enableMouse=False, enableMenu=False, defaultPadding=0.0)
        self.view.disableAutoRange()
        self.ground = Ground()
        self.fill = Fill() if plot is Plot.WEIGHT else None
        self.outline = Outline() if plot is Plot.OUTLINE else None
        self.overlays = Curves(kept=True)
        self.own = Curves()
        layers = (self.ground, self.fill, self.outline, self.overlays, self.own)
        self._layers: tuple[Layer, ...] = tuple(layer for layer in layers if layer is not None)
        scene.addItem(self.view)
        for height, layer in enumerate(self._layers):
            layer.setZValue(height)
            self.view.addItem(layer, ignoreBounds=True)
        self._x = (0.0, 1.0)
        self._y = (0.0, 1.0)
        self.x_ticks: list[float] = []
        self.y_ticks: list[float] = []
        self.x_step = self.y_step = 1.0

    # -- where it is ---------------------------------------------------------------------------

    @property
    def shown(self) -> bool:
        """Whether the plot is on screen."""
        return self.view.isVisible()

    @property
    def rect(self) -> QRectF:
        """Where the plot lies in the scene."""
        return self.view.geometry()

    @property
    def x_range(self) -> tuple[float, float]:
        """The stretch of the distance axis that is seen, in its unit."""
        return self._x

    @property
    def y_range(self) -> tuple[float, float]:
        """The stretch of the upright axis that is seen, in its unit."""
        return self._y

    def place(self, rect: QRectF) -> None:
        """Lie there in the scene."""
        if rect != self.rect:
            self.view.setGeometry(rect)
            self._rule()

    def look_at(self, x: tuple[float, float], y: tuple[float, float]) -> bool:
        """See these stretches of both axes, in their units. Whether that is a change."""
        if (x, y) == (self._x, self._y):
            return False
        self._x, self._y = x, y
        self.view.setRange(xRange=x, yRange=y, padding=0, disableAutoRange=True)
        area = QRectF(x[0], y[0], x[1] - x[0], y[1] - y[0])
        for layer in self._layers:
            layer.cover(area)
        self._rule()
        return True

    def _rule(self) -> None:
        rect, (low, high) = self.rect, self._y
        for layer in self._layers:
            layer.pixels_across = rect.width() / (self._x[1] - self._x[0])
        most = max(2, int(rect.height() / PIXELS_A_TICK_UPRIGHT))
        if self.plot is Plot.OUTLINE:
            # Marks on both sides of the axis, at the same diameters.
            most = max(1, int(rect.height() / 2 / PIXELS_A_TICK_UPRIGHT))
            self.y_step, self.y_ticks = even_ticks(high, most)
        else:
            self.y_step = step_for(high - low, most)
            self.y_ticks = ticks(low, high, most)
        most = max(2, int(rect.width() / PIXELS_A_TICK_ACROSS))
        self.x_ticks = [x for x in ticks(*self._x, most) if x >= 0.0]
        self.x_step = step_for(self._x[1] - self._x[0], most)
        self.ground.set_ticks(self.x_ticks, self.y_ticks)

    # -- units and pixels ----------------------------------------------------------------------

    def use_system(self, system: System) -> None:
        """Show another system's units; what is drawn must be drawn again."""
        self.scale, self.distance = scale_of(self.plot, system), distance_scale(system)

    def across(self, position: float | np.ndarray) -> float | np.ndarray:
        """Scene x of positions [m]."""
        rect, (low, high) = self.rect, self._x
        return rect.left() + (position / self.distance.unit - low) / (high - low) * rect.width()

    def upright(self, value: float | np.ndarray) -> float | np.ndarray:
        """Scene y of values [SI]."""
        rect, (low, high) = self.rect, self._y
        return rect.bottom() - (value / self.scale.unit - low) / (high - low) * rect.height()

    def position_at(self, x: float) -> float:
        """Position [m] at a scene x."""
        rect, (low, high) = self.rect, self._x
        share = (x - rect.left()) / max(rect.width(), 1.0)
        return (low + share * (high - low)) * self.distance.unit

    def value_at(self, y: float) -> float:
        """Value [SI] at a scene y."""
        rect, (low, high) = self.rect, self._y
        share = (rect.bottom() - y) / max(rect.height(), 1.0)
        return (low + share * (high - low)) * self.scale.unit

    def point(self, position: float, value: float) -> QPointF:
        """Scene point of a position [m] and value [SI]."""
        return QPointF(self.across(position), self.upright(value))

    # -- looks ---------------------------------------------------------------------------------

    def set_tokens(self, tokens: Tokens) -> None:
        """Take a theme's colours; the curves get theirs with their pens."""
        self.ground.set_tokens(tokens)
        if self.fill:
            self.fill.set_tokens(tokens)
        if self.outline:
            self.outline.set_tokens(tokens)

    def keep_pictures(self, keep: bool) -> None:
        """Whether layers that keep their picture do so now."""
        self.overlays.keep_picture(keep)
