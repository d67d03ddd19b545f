"""The crosshair: where it stands, and what the line reads there."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF

from taperlab.gui.plots.lines import curve_points
from taperlab.gui.plots.marks import Crosshair, Dot
from taperlab.gui.plots.panel import Panel
from taperlab.gui.plots.readout import reading_words
from taperlab.gui.plots.scales import Plot
from taperlab.gui.plots.stage import Stage
from taperlab.gui.plots.surround import Surround
from taperlab.shop.reading import Reading, read_line, words_beyond
from taperlab.units.sentence import render


class Pointer:
    """position: where the crosshair is wanted [m], or None. reading: the line there, if any."""

    def __init__(self, stage: Stage, surround: Surround, scene: pg.GraphicsScene) -> None:
        self._stage = stage
        self._surround = surround
        self.position: float | None = None
        self.reading: Reading | None = None
        self.words: tuple[str, ...] = ()
        self.mark = Crosshair()
        scene.addItem(self.mark)

    def move_to(self, position: float | None) -> None:
        """Be wanted at a position [m], as far as the lines reach, or nowhere."""
        if position is not None and self._stage.drawing.analysis is not None:
            position = min(max(position, 0.0), self._stage.longest)
        self.position = position

    @property
    def colour(self) -> str:
        """The colour of the part that is read, or none."""
        return self._stage.tokens.parts[self.reading.part] if self.reading else ""

    def draw(self) -> None:
        """Read the line anew, and stand where that was done."""
        stage, line, position = self._stage, self._stage.line, self.position
        if position is None or line is None:
            self.mark.hide()
            self.reading, self.words = None, ()
            return
        position = min(position, stage.longest)
        start = stage.drawing.start
        reading = read_line(line, position - start) if position >= start else None
        if reading is not None and start:
            reading = replace(reading, position=position)
        self.reading = reading
        if reading is not None:
            self.words = reading_words(reading, stage.system)
        else:
            self.words = tuple(render(each, stage.system) for each in words_beyond(position))
        if not stage.range.holds(position):
            self.mark.hide()
            return
        panels = stage.shown_panels()
        x = panels[0].across(position)
        lines, dots = [], []
        for panel in panels:
            lines += self._surround.upright(panel, x)
            dots += self._dots(panel, x, position / panel.distance.unit)
        self.mark.show_at(x, lines, dots)

    def _dots(self, panel: Panel, x: float, position: float) -> list[Dot]:
        """Dots on the curves as drawn; on the outline, on the upper edges."""
        places = [
            (curve.x, curve.y, curve.pen.color().name(), 3.0)
            for curve in panel.overlays.curves
            if panel.plot is not Plot.OUTLINE or curve.y[0] > 0.0
        ]
        stage = self._stage
        if stage.line is not None:
            places.append((*curve_points(stage, panel, stage.line), stage.tokens.accent, 4.0))
        found = []
        for across, upright, colour, radius in places:
            if across[0] <= position <= across[-1]:
                value = float(np.interp(position, across, upright)) * panel.scale.unit
                found.append(Dot(QPointF(x, panel.upright(value)), colour, radius))
        return found
