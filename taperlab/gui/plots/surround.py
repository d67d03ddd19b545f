"""What stands round the plots: captions, labels of the axes, the rod's marks, names of parts."""

from __future__ import annotations

import pyqtgraph as pg
from PySide6.QtCore import QLineF, QPointF, QRectF

from taperlab.gui.plots.layers import Outline
from taperlab.gui.plots.marks import (
    DistanceAxis,
    Frame,
    Note,
    OutlineMarks,
    RodMarks,
    Stretch,
    joined,
)
from taperlab.gui.plots.panel import RIGHT, Panel
from taperlab.gui.plots.scales import Plot
from taperlab.gui.plots.stage import Stage
from taperlab.gui.plots.ticks import tick_text
from taperlab.model.line import JointKind, LoopKind
from taperlab.model.rod import Window
from taperlab.units.kinds import WEIGHT, System
from taperlab.units.show import to_unit


class Surround:
    """The marks that depend on ranges and places alone, not on pointer or handles."""

    def __init__(self, stage: Stage, scene: pg.GraphicsScene) -> None:
        self._stage = stage
        self.frames = {plot: Frame() for plot in Plot}
        self.axis = DistanceAxis()
        self.rod_marks = RodMarks()
        self.outline_marks = OutlineMarks()
        self.marks = (*self.frames.values(), self.axis, self.rod_marks, self.outline_marks)
        for mark in self.marks:
            scene.addItem(mark)

    def upright(self, panel: Panel, x: float) -> list[QLineF]:
        """An upright through a plot at a scene x, which leaves the names on the outline free."""
        rect = panel.rect
        if panel.plot is Plot.OUTLINE:
            for _, name, _ in self.outline_marks.names:
                if name.left() - 3.0 <= x <= name.right() + 3.0:
                    return [
                        QLineF(x, rect.top(), x, name.top() - 1.0),
                        QLineF(x, name.bottom() + 1.0, x, rect.bottom()),
                    ]
        return [QLineF(x, rect.top(), x, rect.bottom())]

    # -- the rod's window ----------------------------------------------------------------------

    def draw_window(self) -> None:
        """The rod's window: a band across running weight, and what it is in the caption."""
        stage = self._stage
        panel, window = stage.panels[Plot.RUNNING], stage.drawing.window
        note = None
        if window:
            unit = panel.scale.unit
            panel.ground.set_band(window.lightest / unit, window.heaviest / unit)
            note = Note(self._window_words(window), stage.tokens.band, filled=True)
        else:
            panel.ground.set_band(None, None)
        self.frames[Plot.RUNNING].write(panel.scale.title, note)

    def _window_words(self, window: Window) -> str:
        unit, digits = ("gr", 0) if self._stage.system is System.US else ("g", 1)
        low, high = (
            f"{to_unit(mass, unit, WEIGHT):.{digits}f}"
            for mass in (window.lightest, window.heaviest)
        )
        return f"the rod’s window for the head, {low} to {high} {unit}"

    # -- everything else -----------------------------------------------------------------------

    def draw(self) -> None:
        """Axis labels, captions, rod marks, names: where they belong now."""
        for panel in self._stage.shown_panels():
            self._draw_frame(panel)
        panel = self._stage.panels[Plot.OUTLINE]
        self._draw_distances(panel)
        self._draw_rod_marks(panel)
        self._draw_outline_marks(panel)

    def _draw_frame(self, panel: Panel) -> None:
        stage, plot = self._stage, panel.plot
        frame, rect = self.frames[plot], panel.rect
        outline = plot is Plot.OUTLINE
        labels = [
            (
                panel.upright(tick * panel.scale.unit),
                tick_text(abs(tick) if outline else tick, panel.y_step),
            )
            for tick in panel.y_ticks
        ]
        marks = RodMarks.HEIGHT if outline and stage.drawing.rod_length else 0.0
        top = rect.top() - marks - Frame.CAPTION
        frame.show_axis(rect, labels, QRectF(rect.left(), top, rect.width(), Frame.CAPTION))
        # The caption of running weight tells the window, and is written with it.
        if plot is not Plot.RUNNING:
            note = None
            if outline and stage.shadow and stage.shadow.name:
                note = Note(stage.shadow.name, stage.tokens.soft)
            frame.write(panel.scale.title, note)

    def _draw_distances(self, panel: Panel) -> None:
        rect = panel.rect
        bottom = max(each.rect.bottom() for each in self._stage.shown_panels())
        self.axis.show_axis(
            QRectF(rect.left() - 30.0, bottom, rect.width() + 30.0 + RIGHT, DistanceAxis.HEIGHT),
            [(panel.across(x * panel.distance.unit), x) for x in panel.x_ticks],
            panel.x_step,
        )
        self.axis.write(panel.distance.title)

    def _draw_rod_marks(self, panel: Panel) -> None:
        rod, rect = self._stage.drawing.rod_length, panel.rect
        self.rod_marks.setVisible(bool(rod))
        if rod:
            longest = self._stage.longest * (1.0 + 1e-9)
            places = [
                panel.across(rod * number)
                for number in range(1, RodMarks.MOST + 1)
                if rod * number <= longest
            ]
            strip = QRectF(rect.left(), rect.top() - RodMarks.HEIGHT, rect.width(), RodMarks.HEIGHT)
            self.rod_marks.show_marks(strip, places)

    def _draw_outline_marks(self, panel: Panel) -> None:
        analysis = self._stage.line
        if analysis is None:
            return
        line, profile = analysis.line, analysis.profile
        across = panel.across(profile.starts + self._stage.drawing.start).tolist()
        per_unit = panel.rect.height() / (panel.y_range[1] - panel.y_range[0]) / panel.scale.unit
        front = (profile.front_diameters * 2.0 * per_unit).tolist()
        rear = (profile.rear_diameters * 2.0 * per_unit).tolist()
        parts = self._stage.tokens.parts
        stretches = [
            Stretch(
                segment.part,
                parts[segment.part],
                across[i],
                across[i + 1],
                front[i],
                rear[i],
            )
            for i, segment in enumerate(line.segments)
        ]
        middle = panel.rect.center().y()
        joints = [
            QPointF(across[i + 1], middle + max(rear[i], front[i + 1]) / 2.0 + 1.0)
            for i, joint in enumerate(line.joints)
            if joint.kind is not JointKind.ONE_EXTRUSION
        ]
        loops = [
            (QPointF(x, middle), loop.kind is LoopKind.BRAIDED)
            for x, loop in (
                (across[0] - 4.5, line.front_loop),
                (across[-1] + 4.5, line.rear_loop),
            )
            if loop.kind is not LoopKind.NONE
        ]
        self.outline_marks.show_marks(panel.rect, joined(stretches, Outline.NARROW), joints, loops)
