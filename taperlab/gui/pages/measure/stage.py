"""The three plots of a measurement: where they lie and what their axes show."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF

from taperlab.gui.pages.measure.desk import Desk
from taperlab.gui.pages.measure.words import off_unit
from taperlab.gui.plots.marks import DistanceAxis, Frame
from taperlab.gui.plots.panel import LEFT, PIXELS_A_TICK_UPRIGHT, RIGHT
from taperlab.gui.plots.scales import Plot, scale_of
from taperlab.gui.plots.ticks import even_ticks, step_for, ticks
from taperlab.physics.frustum import Array
from taperlab.shop.measure.uncertainty import CONFIDENT
from taperlab.units.kinds import DIAMETER, System
from taperlab.units.show import from_unit

STRIP = 22.0
"""Height of the line of text above the plots, in pixels."""

SHARES = (0.42, 0.24, 0.34)
"""Heights of the plots, one to another."""

GAP = 4.0
POINTS_A_SEGMENT = 24


@dataclass(eq=False, slots=True)
class Panel:
    """One plot: where it lies, what its upright axis shows, in the unit of its scale."""

    title: str
    unit: float
    rect: QRectF
    low: float = 0.0
    high: float = 1.0
    ticks: tuple[float, ...] = ()
    step: float = 1.0

    def y(self, value: float | Array) -> float | Array:
        """Height in pixels of values [SI]."""
        share = (value / self.unit - self.low) / (self.high - self.low)
        return self.rect.bottom() - share * self.rect.height()

    def even(self, high: float) -> None:
        """Show as much below zero as above, up to ``high`` in the unit."""
        most = max(1, int(self.rect.height() / 2 / PIXELS_A_TICK_UPRIGHT))
        self.low, self.high = -high, high
        self.step, marks = even_ticks(high, most)
        self.ticks = tuple(marks)


class MeasureStage:
    """Outline, off the fit, weight per length. Its answers are in pixels of the widget.

    weight: distances [m], weight per length [kg/m] and its error at 95 in 100 [kg/m], or empty.
    """

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        thou = from_unit(1.0, "thou", DIAMETER)
        self.panels = [Panel("", thou, QRectF()) for _ in range(3)]
        self.weight: tuple[Array, ...] = ()

    # -- the distance axis --------------------------------------------------------------------

    @property
    def length(self) -> float:
        """Length of the measured line [m]."""
        measurement = self.desk.measurement
        return measurement.length if measurement else 1.0

    @property
    def span(self) -> tuple[float, float]:
        """Both ends of the distance axis [m]."""
        length, design = self.length, self.desk.design
        if design is not None:
            length = max(length, design.length)
        return -0.014 * length, 1.006 * length

    def x(self, position: float | Array) -> float | Array:
        """Place in pixels of distances [m]."""
        (low, high), rect = self.span, self.panels[0].rect
        return rect.left() + (position - low) / (high - low) * rect.width()

    def position_at(self, x: float) -> float:
        """Distance [m] at a place in pixels, on the line."""
        (low, high), rect = self.span, self.panels[0].rect
        position = low + (x - rect.left()) / max(rect.width(), 1.0) * (high - low)
        return min(max(position, 0.0), self.length)

    def outline_point(self, position: float, diameter: float) -> QPointF:
        """Where a distance [m] and a diameter [m] meet on the upper edge of the outline."""
        return QPointF(float(self.x(position)), float(self.panels[0].y(diameter)))

    # -- following the desk -------------------------------------------------------------------

    def study_changed(self) -> None:
        """Work out the weight per length and its error, ready to draw."""
        study = self.desk.study
        self.weight = ()
        if study is None or study.fit is None:
            return
        fit = study.fit.densities
        pieces = [
            np.linspace(front + 1e-7, rear - 1e-7, POINTS_A_SEGMENT)
            for front, rear in zip(fit.positions[:-1], fit.positions[1:], strict=True)
        ]
        x = np.concatenate(pieces)
        value, error = fit.linear_density(x)
        self.weight = (x, value, CONFIDENT * error)

    def lay_out(self, width: float, height: float) -> None:
        """Place the plots in a widget of this size, in pixels, and let their axes fit."""
        system = self.desk.system
        outline, weight = scale_of(Plot.OUTLINE, system), scale_of(Plot.WEIGHT, system)
        off = from_unit(1.0, off_unit(system), DIAMETER)
        long = "thousandths of an inch" if system is System.US else "micrometres"
        titles = (
            (outline.title, outline.unit),
            (f"Off the fit, {long}", off),
            (weight.title, weight.unit),
        )
        room = height - STRIP - DistanceAxis.HEIGHT - 3 * Frame.CAPTION - 2 * GAP
        top = STRIP
        for panel, share, (title, unit) in zip(self.panels, SHARES, titles, strict=True):
            top += Frame.CAPTION
            tall = max(20.0, room * share)
            panel.title, panel.unit = title, unit
            panel.rect = QRectF(LEFT, top, max(50.0, width - LEFT - RIGHT), tall)
            top += tall + GAP
        self._fit_outline(self.panels[0])
        self._fit_residuals(self.panels[1])
        self._fit_weight(self.panels[2])

    def _fit_outline(self, panel: Panel) -> None:
        study, diameters = self.desk.study, []
        if study is not None:
            diameters += study.stations.diameters.tolist()
            if study.fit is not None:
                diameters += study.fit.shape.diameters.tolist()
        high = 1.16 * max(diameters or [0.001]) / panel.unit
        step = step_for(high, 12)
        panel.even(float(np.ceil(high / step - 1e-9) * step))

    def _fit_residuals(self, panel: Panel) -> None:
        study, offs = self.desk.study, [from_unit(1.0, "thou", DIAMETER)]
        if study is not None and study.fit is not None:
            shape = study.fit.shape
            reach = np.abs(shape.residuals[shape.used])
            offs += [1.15 * float(reach.max(initial=0.0))]
            offs += [1.3 * CONFIDENT * float(shape.stations.errors.max(initial=0.0))]
        panel.even(max(offs) / panel.unit)

    def _fit_weight(self, panel: Panel) -> None:
        top = 1.0
        if self.weight:
            _, value, error = self.weight
            top = 1.06 * float((value + error).max()) / panel.unit
        design = self.desk.design
        if design is not None and design.segments:
            analysis = self.desk.document.analysis(design.key)
            top = max(top, 1.06 * float(analysis.curves.linear_density.max()) / panel.unit)
        most = max(2, int(panel.rect.height() / PIXELS_A_TICK_UPRIGHT))
        panel.low, panel.high = 0.0, top
        panel.step = step_for(top, most)
        panel.ticks = tuple(ticks(0.0, top, most))
