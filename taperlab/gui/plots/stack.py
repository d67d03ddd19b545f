"""The plots that share the distance axis. They draw analyses and know of no document."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from PySide6.QtCore import QEvent, QLineF, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QCursor, QFocusEvent, QGuiApplication, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from taperlab.files.atomic import write_bytes
from taperlab.gui import theme as theming
from taperlab.gui.plots import pictures
from taperlab.gui.plots.canvas import Canvas
from taperlab.gui.plots.handles import Handle, Side
from taperlab.gui.plots.layers import Curve, Outline, Piece
from taperlab.gui.plots.marks import (
    Blade,
    Crosshair,
    DistanceAxis,
    Dot,
    Frame,
    HandleMarks,
    Mark,
    Note,
    OutlineMarks,
    RodMarks,
    Stretch,
    Tag,
    joined,
)
from taperlab.gui.plots.panel import LEFT, RIGHT, Panel
from taperlab.gui.plots.readout import ReadoutStrip, reading_words
from taperlab.gui.plots.scales import Plot, distance_scale, values
from taperlab.gui.plots.ticks import step_for, tick_text
from taperlab.gui.theme import Theme, pen
from taperlab.model.line import JointKind, LoopKind
from taperlab.model.rod import Window
from taperlab.shop.analyse import LineAnalysis
from taperlab.shop.reading import Reading, read_line
from taperlab.units.kinds import LENGTH, WEIGHT, System
from taperlab.units.show import show, to_unit

SHARES = {Plot.OUTLINE: 0.28, Plot.WEIGHT: 0.38, Plot.RUNNING: 0.34, Plot.SINK: 0.30}
"""Heights of the plots, one to another."""

NEAR = 8.0
"""A handle or blade this near to the pointer is hit, in pixels."""

MANY = 60
"""Segments beyond which only the handles near the pointer are shown."""

SLACK = 3.0
"""A press that moves less than this is no drag, in pixels."""

FINE = {System.US: 0.0254, System.METRIC: 0.01}
COARSE = {System.US: 0.3048, System.METRIC: 0.1}
"""Steps of the crosshair by key [m]."""

EMPTY = "This line has no segments yet.\nAdd the first one in the table and it is drawn here."

_KEYS = {
    Qt.Key.Key_Left,
    Qt.Key.Key_Right,
    Qt.Key.Key_Up,
    Qt.Key.Key_Down,
    Qt.Key.Key_Home,
    Qt.Key.Key_End,
    Qt.Key.Key_PageUp,
    Qt.Key.Key_PageDown,
    Qt.Key.Key_Escape,
    Qt.Key.Key_Space,
}


@dataclass(frozen=True, eq=False, slots=True)
class Laid:
    """A line laid over the one in hand, and how it is drawn."""

    name: str
    analysis: LineAnalysis
    colour: str
    dash: tuple[float, ...] | None


@dataclass(frozen=True, eq=False, slots=True)
class Drawing:
    """What the plots show. rod_length: [m]. A window is drawn on running weight.

    start: where the fly end of the line lies on the axis [m], for what is left of a longer one.
    """

    analysis: LineAnalysis | None = None
    laid: tuple[Laid, ...] = ()
    rod_length: float | None = None
    window: Window | None = None
    start: float = 0.0


@dataclass(frozen=True, slots=True)
class Drag:
    """Where a handle is dragged: position [m] and value [SI]; None where the drag is locked."""

    handle: Handle
    position: float | None
    value: float | None
    snap: bool


class PlotStack(QWidget):
    """Outline, weight per length, running weight and, if wanted, sink rate of a line.

    pointed(Reading | None): what the crosshair reads. handle_*: a handle was grabbed, dragged
    (Drag), let go, or its drag called off with Esc. handle_nudged(Handle, steps along, steps up)
    by key, nudges_ended() when the key is let go. blade_moved(position [m]): of the blade
    that ``blade_held`` counts, from the fly end.
    """

    pointed = Signal(object)
    handle_grabbed = Signal(object)
    handle_dragged = Signal(object)
    handle_released = Signal()
    handle_cancelled = Signal()
    handle_nudged = Signal(object, int, int)
    nudges_ended = Signal()
    blade_moved = Signal(float)

    def __init__(
        self, theme: Theme, system: System = System.US, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self._system = system
        self._drawing = Drawing()
        self._shadow: Laid | None = None
        self._handles: tuple[Handle, ...] = ()
        self._chosen: tuple[Plot, int, Side] | None = None
        self._hovered: tuple[Plot, int, Side] | None = None
        self._mouse: QPointF | None = None
        self._cross: float | None = None
        self._reading: Reading | None = None
        self._blades: tuple[float, ...] = ()
        self._blade_draggable = False
        self.blade_held = 0
        self._zoom: tuple[float, float] | None = None
        self._full = 1.0
        self._tops: dict[Plot, tuple[float, float]] = {}
        self._press: QPointF | None = None
        self._press_what = ""
        self._grab: Handle | None = None
        self._grab_offset = QPointF()
        self._moved = False
        self._ring = False

        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Plots of the line")
        self.strip = ReadoutStrip(theme, self)
        self.canvas = Canvas(self, self)
        self._empty = QLabel(EMPTY, self)
        self._empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._empty.setProperty("role", "soft")
        column = QVBoxLayout(self)
        column.setContentsMargins(3, 2, 3, 3)
        column.setSpacing(0)
        column.addWidget(self.strip)
        column.addWidget(self.canvas, 1)
        column.addWidget(self._empty, 1)

        scene = self.canvas.scene()
        self.panels = {plot: Panel(plot, scene, system) for plot in Plot}
        self._frames = {plot: Frame() for plot in Plot}
        self._axis = DistanceAxis()
        self.rod_marks = RodMarks()
        self.outline_marks = OutlineMarks()
        self.crosshair = Crosshair()
        self.handle_marks = HandleMarks()
        self.blade, self.rear_blade = Blade(), Blade()
        self.tag = Tag()
        self._marks: tuple[Mark, ...] = (
            *self._frames.values(),
            self._axis,
            self.rod_marks,
            self.outline_marks,
            self.handle_marks,
            self.crosshair,
            self.blade,
            self.rear_blade,
            self.tag,
        )
        for mark in self._marks:
            scene.addItem(mark)
        self._sink_shown = True
        self.show_sink(False)
        self._use_theme()
        self._draw_empty()
        theme.changed.connect(self._theme_changed)

    # -- what is shown -------------------------------------------------------------------------

    @property
    def drawing(self) -> Drawing:
        """What is shown now."""
        return self._drawing

    @property
    def system(self) -> System:
        """The units shown."""
        return self._system

    @property
    def reading(self) -> Reading | None:
        """What the crosshair reads now."""
        return self._reading

    @property
    def handles(self) -> tuple[Handle, ...]:
        """The handles that can be dragged."""
        return self._handles

    @property
    def chosen_handle(self) -> Handle | None:
        """The handle chosen by key or in hand."""
        return self._handle(self._chosen)

    @property
    def is_dragging(self) -> bool:
        """Whether a handle is being dragged."""
        return self._grab is not None and self._moved

    def draw(self, drawing: Drawing, handles: tuple[Handle, ...] = ()) -> None:
        """Show this; only what differs from what is shown is drawn again."""
        before, self._drawing = self._drawing, drawing
        self._handles = handles
        own = drawing.analysis is not before.analysis or drawing.start != before.start
        laid = len(drawing.laid) != len(before.laid) or any(
            one is not other for one, other in zip(drawing.laid, before.laid, strict=False)
        )
        if own:
            self._draw_empty()
        self._fit()
        if own:
            self._draw_own()
        if laid:
            self._draw_laid()
        if drawing.window != before.window:
            self._draw_window()
        if (drawing.rod_length is None) != (before.rod_length is None):
            self._arrange()
        self._draw_marks()
        self._draw_pointer()

    def set_system(self, system: System) -> None:
        """Show another system's units."""
        if system is not self._system:
            self._system = system
            for panel in self.panels.values():
                panel.use_system(system)
            self._tops.clear()
            self._draw_all()

    def show_sink(self, shown: bool) -> None:
        """Show or hide the fourth plot."""
        if shown != self._sink_shown:
            self._sink_shown = shown
            self.panels[Plot.SINK].view.setVisible(shown)
            self._frames[Plot.SINK].setVisible(shown)
            self._arrange()
            self._draw_all()

    def set_shadow(self, analysis: LineAnalysis | None, label: str = "") -> None:
        """Draw another state of the line in grey, as before and after; None takes it away."""
        self._shadow = None
        if analysis is not None:
            self._shadow = Laid(label, analysis, "", None)
        self._fit()
        self._draw_laid()
        self._draw_marks()

    def set_blade(self, position: float | None, draggable: bool = False) -> None:
        """Draw a blade across the outline at a position [m]; None takes it away."""
        self.set_blades(() if position is None else (position,), draggable)

    def set_blades(self, positions: tuple[float, ...], draggable: bool = False) -> None:
        """Draw up to two blades across the outline at positions [m], the front one first."""
        self._blades, self._blade_draggable = positions, draggable
        self.blade_held = min(self.blade_held, max(0, len(positions) - 1))
        self._draw_blades()

    def reset_view(self) -> None:
        """See the whole of every line, with axes that fit."""
        self._zoom = None
        self._tops.clear()
        self._fit()
        self._draw_marks()
        self._draw_pointer()

    def zoom(self, factor: float, position: float | None = None) -> None:
        """See ``factor`` times as much of the distance axis round a position [m]."""
        low, high = self._span()
        if position is None:
            position = self._cross if self._cross is not None else (low + high) / 2.0
        share = (position - low) / (high - low)
        width = (high - low) * factor
        self._look(position - share * width, width)

    def point_at(self, position: float | None) -> None:
        """Put the crosshair at a position [m], or take it away."""
        if position is not None and self._drawing.analysis is not None:
            position = min(max(position, 0.0), self._longest())
        self._cross = position
        self._draw_pointer()

    def choose_handle(self, key: tuple[Plot, int, Side] | None) -> None:
        """Choose a handle for the keys, and read the line there."""
        self._chosen = key
        handle = self._handle(key)
        if handle is not None:
            self._cross = handle.position
            low, high = self._span()
            if not low <= handle.position <= high:
                self._look(handle.position - (high - low) / 2.0, high - low)
        self._draw_handles()
        self._draw_pointer()

    def show_tag(self, handle: Handle | None, text: str = "") -> None:
        """Show live values beside a handle; None hides them."""
        if handle is None:
            self.tag.hide()
            self.outline_marks.keep_clear(QRectF())
            return
        panel = self.panels[handle.plot]
        self.tag.show_at(panel.point(handle.position, handle.value), text, panel.rect)
        self.outline_marks.keep_clear(self.tag.boundingRect())

    # -- ranges --------------------------------------------------------------------------------

    def _analyses(self) -> list[LineAnalysis]:
        found = [self._drawing.analysis, *(laid.analysis for laid in self._drawing.laid)]
        if self._shadow:
            found.append(self._shadow.analysis)
        return [analysis for analysis in found if analysis is not None and analysis.segments]

    def _longest(self) -> float:
        own = self._drawing.analysis
        return max(
            (
                analysis.length + (self._drawing.start if analysis is own else 0.0)
                for analysis in self._analyses()
            ),
            default=1.0,
        )

    def _span(self) -> tuple[float, float]:
        if self._zoom is not None:
            return self._zoom
        return self._whole()

    def _whole(self) -> tuple[float, float]:
        return -0.014 * self._full, 1.006 * self._full

    def _look(self, low: float, width: float) -> None:
        first, last = self._whole()
        width = max(width, 0.15)
        if width >= (last - first) * (1.0 - 1e-9):
            self._zoom = None
        else:
            low = min(max(low, first), last - width)
            self._zoom = (low, low + width)
        self._fit()
        self._draw_marks()
        self._draw_pointer()

    def _fit(self) -> None:
        """Let the axes hold what is shown. They grow at once, but shrink only after a drag."""
        analyses = self._analyses()
        if not analyses:
            return
        unit = distance_scale(self._system).unit
        longest = self._longest() / unit
        step = step_for(longest, 40)
        full = np.ceil(longest * 1.003 / step - 1e-9) * step * unit
        if not self.is_dragging or full > self._full:
            self._full = float(full)
        if self._zoom and self._zoom[1] > self._whole()[1]:
            width = self._zoom[1] - self._zoom[0]
            last = self._whole()[1]
            self._zoom = (last - width, last) if last - width > self._whole()[0] else None
        low, high = self._span()
        changed = False
        for plot, panel in self.panels.items():
            if plot is Plot.SINK and not self._sink_shown:
                continue
            bottom, top = self._needed(plot, analyses)
            bottom, top = bottom / panel.scale.unit, top / panel.scale.unit
            if self.is_dragging and plot in self._tops:
                bottom = min(bottom, self._tops[plot][0])
                top = max(top, self._tops[plot][1])
            self._tops[plot] = (bottom, top)
            room = (top - bottom) * 0.035
            if plot is Plot.OUTLINE:
                room = 0.0
            changed |= panel.look_at((low / unit, high / unit), (bottom - room, top + room))
        if changed:
            self._draw_window()

    def _needed(self, plot: Plot, analyses: list[LineAnalysis]) -> tuple[float, float]:
        """Lowest and highest value [SI] that a plot must hold, rounded so as to change seldom."""
        unit = self.panels[plot].scale.unit
        curves = [values(analysis.curves, plot) for analysis in analyses]
        top = max(float(curve.max()) for curve in curves)
        bottom = 0.0
        if plot is Plot.SINK:
            bottom = min(0.0, *(float(curve.min()) for curve in curves))
            top = max(0.0, top)
        if plot is Plot.RUNNING and self._drawing.window:
            top = max(top, self._drawing.window.heaviest)
        if top - bottom <= 0.0:
            top = bottom + unit
        room = 1.16 if plot is Plot.OUTLINE else 1.05
        step = step_for((top - bottom) / unit * room, 12) * unit
        top = np.ceil(top * room / step - 1e-9) * step
        bottom = np.floor(bottom * room / step + 1e-9) * step
        return (-top if plot is Plot.OUTLINE else float(bottom)), float(top)

    # -- drawing -------------------------------------------------------------------------------

    def _draw_all(self) -> None:
        self._draw_empty()
        self._fit()
        self._draw_own()
        self._draw_laid()
        self._draw_window()
        self._draw_marks()
        self._draw_pointer()

    def _draw_empty(self) -> None:
        analysis = self._drawing.analysis
        empty = analysis is None or not analysis.segments
        self._empty.setText(EMPTY if analysis is not None else "No line is in hand.")
        self._empty.setVisible(empty)
        self.canvas.setVisible(not empty)
        self.strip.setVisible(not empty)

    def _draw_own(self) -> None:
        analysis = self._drawing.analysis
        if analysis is None or not analysis.segments:
            return
        how = pen(self._theme.tokens.accent, 2.0)
        for plot, panel in self.panels.items():
            if not panel.shown and plot is Plot.SINK:
                continue
            if panel.outline:
                panel.outline.set_pieces(self._pieces(panel, analysis))
            else:
                x, y = self._points(panel, analysis)
                panel.own.set_curves([Curve.of(x, y, how)])
                if panel.fill:
                    panel.fill.set_curve(x, y)

    def _points(self, panel: Panel, analysis: LineAnalysis) -> tuple[np.ndarray, np.ndarray]:
        curves = analysis.curves
        start = self._drawing.start if analysis is self._drawing.analysis else 0.0
        return (
            (curves.position + start) / panel.distance.unit,
            values(curves, panel.plot) / panel.scale.unit,
        )

    def _pieces(self, panel: Panel, analysis: LineAnalysis) -> list[Piece]:
        profile, parts = analysis.profile, self._theme.tokens.parts
        starts = ((profile.starts + self._drawing.start) / panel.distance.unit).tolist()
        front = (profile.front_diameters / panel.scale.unit).tolist()
        rear = (profile.rear_diameters / panel.scale.unit).tolist()
        return [
            Piece(starts[i], starts[i + 1], front[i], rear[i], parts[segment.part])
            for i, segment in enumerate(analysis.line.segments)
        ]

    def _draw_laid(self) -> None:
        soft = self._theme.tokens.soft
        shadow = (
            [Laid(self._shadow.name, self._shadow.analysis, soft, None)] if self._shadow else []
        )
        laid = [each for each in (*shadow, *self._drawing.laid) if each.analysis.segments]
        for plot, panel in self.panels.items():
            if plot is Plot.SINK and not self._sink_shown:
                continue
            curves = []
            for each in laid:
                how = pen(each.colour, 1.0, each.dash)
                x, y = self._points(panel, each.analysis)
                curves.append(Curve.of(x, y, how))
                if plot is Plot.OUTLINE:
                    curves.append(Curve.of(x, -y, how))
            panel.overlays.set_curves(curves)

    def _draw_window(self) -> None:
        panel, window = self.panels[Plot.RUNNING], self._drawing.window
        note = None
        if window:
            unit = panel.scale.unit
            panel.ground.set_band(window.lightest / unit, window.heaviest / unit)
            note = Note(self._window_words(window), self._theme.tokens.band, filled=True)
        else:
            panel.ground.set_band(None, None)
        self._frames[Plot.RUNNING].write(panel.scale.title, note)

    def _window_words(self, window: Window) -> str:
        unit, digits = ("gr", 0) if self._system is System.US else ("g", 1)
        low, high = (
            f"{to_unit(mass, unit, WEIGHT):.{digits}f}"
            for mass in (window.lightest, window.heaviest)
        )
        return f"the rod’s window for the head, {low} to {high} {unit}"

    def _draw_marks(self) -> None:
        """Axis labels, captions, rod marks, names: all that depends on ranges and places."""
        for plot, panel in self.panels.items():
            if plot is Plot.SINK and not self._sink_shown:
                continue
            frame, rect = self._frames[plot], panel.rect
            labels = [
                (
                    panel.upright(tick * panel.scale.unit),
                    tick_text(abs(tick) if plot is Plot.OUTLINE else tick, panel.y_step),
                )
                for tick in panel.y_ticks
            ]
            marks = RodMarks.HEIGHT if plot is Plot.OUTLINE and self._drawing.rod_length else 0.0
            caption = QRectF(
                rect.left(), rect.top() - marks - Frame.CAPTION, rect.width(), Frame.CAPTION
            )
            frame.show_axis(rect, labels, caption)
            if plot is not Plot.RUNNING:
                note = None
                if plot is Plot.OUTLINE and self._shadow and self._shadow.name:
                    note = Note(self._shadow.name, self._theme.tokens.soft)
                frame.write(panel.scale.title, note)
        panel = self.panels[Plot.OUTLINE]
        ticks = [(panel.across(x * panel.distance.unit), x) for x in panel.x_ticks]
        bottom = max(each.rect.bottom() for each in self.panels.values() if each.shown)
        rect = panel.rect
        self._axis.show_axis(
            QRectF(rect.left() - 30.0, bottom, rect.width() + 30.0 + RIGHT, DistanceAxis.HEIGHT),
            ticks,
            panel.x_step,
        )
        self._axis.write(panel.distance.title)
        self._draw_rod_marks(panel)
        self._draw_outline_marks(panel)
        self._draw_handles()
        self._draw_blades()

    def _draw_rod_marks(self, panel: Panel) -> None:
        rod, rect = self._drawing.rod_length, panel.rect
        self.rod_marks.setVisible(bool(rod))
        if rod:
            places = [
                panel.across(rod * number)
                for number in range(1, RodMarks.MOST + 1)
                if rod * number <= self._longest() * (1.0 + 1e-9)
            ]
            strip = QRectF(rect.left(), rect.top() - RodMarks.HEIGHT, rect.width(), RodMarks.HEIGHT)
            self.rod_marks.show_marks(strip, places)

    def _draw_outline_marks(self, panel: Panel) -> None:
        analysis = self._drawing.analysis
        if analysis is None or not analysis.segments:
            return
        line, profile = analysis.line, analysis.profile
        across = panel.across(profile.starts + self._drawing.start).tolist()
        per_unit = panel.rect.height() / (panel.y_range[1] - panel.y_range[0]) / panel.scale.unit
        front = (profile.front_diameters * 2.0 * per_unit).tolist()
        rear = (profile.rear_diameters * 2.0 * per_unit).tolist()
        parts = self._theme.tokens.parts
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

    def _draw_blades(self) -> None:
        panel = self.panels[Plot.OUTLINE]
        low, high = self._span()
        for number, mark in enumerate((self.blade, self.rear_blade)):
            at = self._blades[number] if number < len(self._blades) else None
            if at is None or not low <= at <= high:
                mark.hide()
            else:
                x = panel.across(at)
                mark.show_at(x, panel.rect, self._cross_lines(panel, x), self._blade_draggable)

    def _move_blade(self, position: float) -> None:
        """Move the blade that is held, as far as its neighbour or the end of the line."""
        blades, held = list(self._blades), self.blade_held
        least = blades[held - 1] if held else 0.0
        most = blades[held + 1] if held + 1 < len(blades) else self._longest()
        blades[held] = min(max(position, least), most)
        self.set_blades(tuple(blades), True)
        self.blade_moved.emit(blades[held])

    def _handle(self, key: tuple[Plot, int, Side] | None) -> Handle | None:
        if key is None:
            return None
        exact = [handle for handle in self._handles if handle.key == key]
        # A drag can make two ends equal, or no longer so: the handle then has another side.
        near = [handle for handle in self._handles if handle.key[:2] == key[:2]]
        return next(iter(exact or near), None)

    def _point_of(self, handle: Handle) -> QPointF:
        return self.panels[handle.plot].point(handle.position, handle.value)

    def _draw_handles(self) -> None:
        low, high = self._span()
        lead = self._handle(self._chosen) or self._handle(self._hovered)
        mouse = self._mouse
        near = None
        analysis = self._drawing.analysis
        many = analysis is not None and len(analysis.segments) > MANY
        points = []
        for handle in self._handles:
            if not low <= handle.position <= high or handle is lead:
                continue
            point = self._point_of(handle)
            if many:
                if mouse is None or (point - mouse).manhattanLength() > 40.0:
                    continue
                if near is None or _far(point, mouse) < _far(near, mouse):
                    near = point
                continue
            points.append(point)
        if near is not None:
            points = [near]
        rect = self.panels[Plot.OUTLINE].rect.united(self.panels[Plot.WEIGHT].rect)
        large = self._point_of(lead) if lead and low <= lead.position <= high else None
        self.handle_marks.show_handles(
            rect.adjusted(-10.0, -10.0, 10.0, 10.0),
            points,
            large,
            self.hasFocus() and self._chosen is not None,
        )

    def _draw_pointer(self) -> None:
        position = self._cross
        analysis = self._drawing.analysis
        low, high = self._span()
        if position is None or analysis is None or not analysis.segments:
            self.crosshair.hide()
            self._tell(None)
            return
        position = min(position, self._longest())
        start = self._drawing.start
        reading = read_line(analysis, position - start) if position >= start else None
        if reading is not None and start:
            reading = replace(reading, position=position)
        shown = [panel for panel in self.panels.values() if panel.shown]
        x = shown[0].across(position)
        lines, dots = [], []
        if low <= position <= high:
            for panel in shown:
                lines += self._cross_lines(panel, x)
                dots += self._cross_dots(panel, x, position / panel.distance.unit)
            self.crosshair.show_at(x, lines, dots)
        else:
            self.crosshair.hide()
        self._tell(reading, position)

    def _cross_lines(self, panel: Panel, x: float) -> list[QLineF]:
        """An upright through a plot, which leaves the names on the outline free."""
        rect = panel.rect
        if panel.plot is Plot.OUTLINE:
            for _, name, _ in self.outline_marks.names:
                if name.left() - 3.0 <= x <= name.right() + 3.0:
                    return [
                        QLineF(x, rect.top(), x, name.top() - 1.0),
                        QLineF(x, name.bottom() + 1.0, x, rect.bottom()),
                    ]
        return [QLineF(x, rect.top(), x, rect.bottom())]

    def _cross_dots(self, panel: Panel, x: float, position: float) -> list[Dot]:
        """Dots on the curves as drawn; on the outline, on the upper edges."""
        places = [
            (curve.x, curve.y, curve.pen.color().name(), 3.0)
            for curve in panel.overlays.curves
            if panel.plot is not Plot.OUTLINE or curve.y[0] > 0.0
        ]
        analysis = self._drawing.analysis
        if analysis is not None:
            places.append((*self._points(panel, analysis), self._theme.tokens.accent, 4.0))
        found = []
        for across, upright, colour, radius in places:
            if across[0] <= position <= across[-1]:
                value = float(np.interp(position, across, upright)) * panel.scale.unit
                found.append(Dot(QPointF(x, panel.upright(value)), colour, radius))
        return found

    def _tell(self, reading: Reading | None, position: float | None = None) -> None:
        if reading is not None:
            words = reading_words(reading, self._system)
            self.strip.show_words(words, self._theme.tokens.parts[reading.part])
        elif position is not None:
            words = (show(position, LENGTH, self._system), "beyond the line")
            self.strip.show_words(words)
        else:
            words = ()
            self.strip.show_words(words)
        text = ", ".join(words)
        if text != self.accessibleDescription():
            self.setAccessibleDescription(text)
        if reading != self._reading:
            self._reading = reading
            self.pointed.emit(reading)

    # -- pictures ------------------------------------------------------------------------------

    @property
    def theme(self) -> Theme:
        """The theme that is drawn in."""
        return self._theme

    @contextlib.contextmanager
    def at_rest(self) -> Iterator[None]:
        """Without crosshair, handles and tag, and with every layer painted anew."""
        passing = (self.crosshair, self.handle_marks, self.tag)
        visible = [mark.isVisible() for mark in passing]
        for mark in passing:
            mark.hide()
        for panel in self.panels.values():
            panel.keep_pictures(False)
        for frame in self._frames.values():
            frame.covers = True
        try:
            yield
        finally:
            for frame in self._frames.values():
                frame.covers = False
            for panel in self.panels.values():
                panel.keep_pictures(True)
            for mark, shown in zip(passing, visible, strict=True):
                mark.setVisible(shown)

    def export_png(self, path: Path, scale: float = 2.0) -> None:
        """Save the plots as a PNG file. Raises FileProblem."""
        write_bytes(path, pictures.png(self, scale))

    def export_svg(self, path: Path) -> None:
        """Save the plots as an SVG file. Raises FileProblem."""
        write_bytes(path, pictures.svg(self))

    def copy_picture(self) -> None:
        """Put the plots on the clipboard, as an image."""
        QGuiApplication.clipboard().setImage(pictures.image(self))

    # -- places --------------------------------------------------------------------------------

    def canvas_resized(self) -> None:
        """Lay the plots out anew."""
        self._arrange()
        self._draw_marks()
        self._draw_pointer()

    def _arrange(self) -> None:
        width, height = float(self.canvas.width()), float(self.canvas.height())
        shown = [plot for plot in Plot if plot is not Plot.SINK or self._sink_shown]
        marks = RodMarks.HEIGHT if self._drawing.rod_length else 0.0
        gap = 6.0
        room = height - DistanceAxis.HEIGHT - marks - len(shown) * Frame.CAPTION
        room -= gap * (len(shown) - 1)
        whole = sum(SHARES[plot] for plot in shown)
        top = 0.0
        for plot in shown:
            top += Frame.CAPTION + (marks if plot is Plot.OUTLINE else 0.0)
            tall = max(20.0, float(round(room * SHARES[plot] / whole)))
            self.panels[plot].place(QRectF(LEFT, top, max(60.0, width - LEFT - RIGHT), tall))
            top += tall + gap

    # -- the mouse -----------------------------------------------------------------------------

    def _panel_at(self, point: QPointF) -> Panel | None:
        for panel in self.panels.values():
            if panel.shown and panel.rect.adjusted(-8.0, -8.0, 8.0, 8.0).contains(point):
                return panel
        return None

    def _hit(self, point: QPointF) -> Handle | None:
        best, least = None, NEAR
        low, high = self._span()
        for handle in self._handles:
            if low <= handle.position <= high:
                far = _far(self._point_of(handle), point)
                if far <= least:
                    best, least = handle, far
        return best

    def _blade_at(self, point: QPointF) -> int | None:
        """Which blade can be taken hold of here, the nearest if there are two."""
        panel = self.panels[Plot.OUTLINE]
        if not self._blade_draggable or not panel.rect.adjusted(-NEAR, -4.0, NEAR, 4.0).contains(
            point
        ):
            return None
        marks = (self.blade, self.rear_blade)
        far = [
            (abs(point.x() - panel.across(at)), number)
            for number, at in enumerate(self._blades)
            if marks[number].isVisible()
        ]
        return min(far)[1] if far and min(far)[0] <= NEAR else None

    def mouse_pressed(self, point: QPointF) -> None:
        """Take hold of a blade, a handle, or the axis."""
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        self._press, self._moved = point, False
        self._grab = None
        self._press_what = "axis" if self._zoom else ""
        blade = self._blade_at(point)
        if blade is not None:
            self._press_what, self.blade_held = "blade", blade
            return
        handle = self._hit(point)
        self._chosen = handle.key if handle else None
        if handle:
            self._press_what = "handle"
            self._grab = handle
            self._grab_offset = self._point_of(handle) - point
        self._draw_handles()

    def mouse_moved(self, point: QPointF, held: bool, modifiers: Qt.KeyboardModifier) -> None:
        """Drag what is held, or let the crosshair follow."""
        self._mouse = point
        if held and self._press is not None:
            if not self._moved:
                if (point - self._press).manhattanLength() < SLACK:
                    return
                self._moved = True
                if self._grab is not None:
                    self.handle_grabbed.emit(self._grab)
            if self._press_what == "handle":
                self._drag_handle(point, modifiers)
                return
            if self._press_what == "blade":
                position = self.panels[Plot.OUTLINE].position_at(point.x())
                if modifiers & Qt.KeyboardModifier.ControlModifier:
                    position = round(position / FINE[self._system]) * FINE[self._system]
                self._move_blade(position)
                return
            if self._press_what == "axis" and self._zoom:
                low, high = self._zoom
                panel = self.panels[Plot.OUTLINE]
                by = panel.position_at(self._press.x()) - panel.position_at(point.x())
                self._press = point
                self._look(low + by, high - low)
                return
        self._hover(point)

    def _hover(self, point: QPointF) -> None:
        handle = self._hit(point)
        key = handle.key if handle else None
        analysis = self._drawing.analysis
        many = analysis is not None and len(analysis.segments) > MANY
        if key != self._hovered or many:
            self._hovered = key
            self._draw_handles()
        shape = Qt.CursorShape.ArrowCursor
        if self._blade_at(point) is not None:
            shape = Qt.CursorShape.SplitHCursor
        elif handle:
            shape = Qt.CursorShape.SizeAllCursor
        if self.canvas.viewport().cursor().shape() != shape:
            self.canvas.viewport().setCursor(QCursor(shape))
        panel = self._panel_at(point)
        self.point_at(self._position(panel, point) if panel else None)

    def _position(self, panel: Panel, point: QPointF) -> float:
        low, high = self._span()
        return min(max(panel.position_at(point.x()), low), high)

    def _drag_handle(self, point: QPointF, modifiers: Qt.KeyboardModifier) -> None:
        handle = self._handle(self._grab.key) if self._grab else None
        if handle is None or self._press is None:
            return
        panel = self.panels[handle.plot]
        at = point + self._grab_offset
        position: float | None = max(0.0, panel.position_at(at.x()))
        value: float | None = panel.value_at(at.y())
        if handle.plot is Plot.OUTLINE:
            value = abs(value)
        if modifiers & Qt.KeyboardModifier.ShiftModifier:
            moved = point - self._press
            if abs(moved.x()) >= abs(moved.y()):
                value = self._grab.value
            else:
                position = self._grab.position
        snap = bool(modifiers & Qt.KeyboardModifier.ControlModifier)
        self.handle_dragged.emit(Drag(handle, position, value, snap))
        handle = self._handle(handle.key)
        if handle is not None:
            self.point_at(handle.position)

    def mouse_released(self) -> None:
        """Let go."""
        dragged = self.is_dragging
        self._press, self._grab, self._moved, self._press_what = None, None, False, ""
        if dragged:
            self.handle_released.emit()
            self.show_tag(None)
            self._fit()
            self._draw_marks()
            self._draw_pointer()

    def cancel_drag(self) -> bool:
        """Call a drag off: the handle goes back. Whether there was one."""
        if not self.is_dragging:
            return False
        self.mouse_let_go()
        self.handle_cancelled.emit()
        self.show_tag(None)
        self._fit()
        self._draw_marks()
        self._draw_pointer()
        return True

    def mouse_let_go(self) -> None:
        """Forget what the mouse holds, without a word."""
        self._press, self._grab, self._moved, self._press_what = None, None, False, ""

    def mouse_doubled(self, point: QPointF) -> None:
        """See the whole again."""
        if self._hit(point) is None:
            self.reset_view()

    def mouse_left(self) -> None:
        """Take the crosshair away."""
        self._mouse = None
        if not self.is_dragging:
            self._hovered = None
            self._draw_handles()
            self.point_at(None)

    def wheel_turned(self, point: QPointF, across: int, upright: int) -> None:
        """Zoom round the pointer, or shift sideways."""
        panel = self.panels[Plot.OUTLINE]
        low, high = self._span()
        if abs(across) > abs(upright):
            if self._zoom:
                self._look(low - across / 1200.0 * (high - low), high - low)
        elif upright:
            self.zoom(0.9985**upright, self._position(panel, point))
        self._hover(point)

    # -- the keyboard --------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        """Keep keys used here from the window's shortcuts."""
        if event.type() == QEvent.Type.ShortcutOverride and event.key() in _KEYS:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the crosshair, choose a handle and nudge it, zoom."""
        key, modifiers = event.key(), event.modifiers()
        if modifiers & Qt.KeyboardModifier.AltModifier and self._nudge(key):
            return
        if not self._steer(key, bool(modifiers & Qt.KeyboardModifier.ShiftModifier)):
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """A nudge ends when its key is let go."""
        if not event.isAutoRepeat():
            self.nudges_ended.emit()
            if not self.is_dragging:
                self.show_tag(None)
        super().keyReleaseEvent(event)

    def _nudge(self, key: int) -> bool:
        along = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(key, 0)
        up = {Qt.Key.Key_Down: -1, Qt.Key.Key_Up: 1}.get(key, 0)
        if not (along or up):
            return False
        handle = self.chosen_handle
        if handle:
            self.handle_nudged.emit(handle, along, up)
            self.choose_handle(handle.key)
            return True
        if self._blades and self._blade_draggable and along:
            self._move_blade(self._blades[self.blade_held] + along * FINE[self._system])
            return True
        return False

    def _steer(self, key: int, coarse: bool) -> bool:
        analysis = self._drawing.analysis
        if analysis is None or not analysis.segments:
            return False
        if key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            step = (COARSE if coarse else FINE)[self._system]
            way = 1 if key == Qt.Key.Key_Right else -1
            start = self._cross if self._cross is not None else 0.0
            # On to the next whole step, also from a place between two.
            count = np.floor(start / step + 1e-6) if way > 0 else np.ceil(start / step - 1e-6)
            self._go(float((count + way) * step))
        elif key == Qt.Key.Key_Home:
            self._go(0.0)
        elif key == Qt.Key.Key_End:
            self._go(analysis.length)
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            self._next_breakpoint(1 if key == Qt.Key.Key_PageDown else -1)
        elif key == Qt.Key.Key_Space:
            self._other_plot()
        elif key == Qt.Key.Key_Escape:
            return self._escape()
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.zoom(0.8)
        elif key == Qt.Key.Key_Minus:
            self.zoom(1.25)
        elif key == Qt.Key.Key_0:
            self.reset_view()
        else:
            return False
        return True

    def _go(self, position: float) -> None:
        self._chosen = None
        self._draw_handles()
        self.point_at(position)
        low, high = self._span()
        if self._zoom and self._cross is not None and not low <= self._cross <= high:
            self._look(self._cross - (high - low) / 2.0, high - low)

    def _next_breakpoint(self, way: int) -> None:
        handle = self.chosen_handle
        plot = handle.plot if handle else Plot.OUTLINE
        own = [each for each in self._handles if each.plot is plot]
        if own:
            if handle is not None:
                number = min(max(own.index(handle) + way, 0), len(own) - 1)
            else:
                number = self._beside([each.position for each in own], way)
            self.choose_handle(own[number].key)
            return
        starts = self._drawing.analysis.profile.starts.tolist()
        self._go(starts[self._beside(starts, way)])

    def _beside(self, places: list[float], way: int) -> int:
        if self._cross is None:
            return 0 if way > 0 else len(places) - 1
        if way > 0:
            later = [i for i, place in enumerate(places) if place > self._cross + 1e-9]
            return later[0] if later else len(places) - 1
        earlier = [i for i, place in enumerate(places) if place < self._cross - 1e-9]
        return earlier[-1] if earlier else 0

    def _other_plot(self) -> None:
        handle = self.chosen_handle
        if handle:
            other = Plot.WEIGHT if handle.plot is Plot.OUTLINE else Plot.OUTLINE
            self.choose_handle((other, handle.index, handle.side))
            there = self._handle(self._chosen)
            self._chosen = there.key if there else None

    def _escape(self) -> bool:
        if self.cancel_drag():
            return True
        if self._cross is None and self._chosen is None:
            return False
        self._chosen = None
        self._draw_handles()
        self.point_at(None)
        return True

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the ring, if the keyboard brought the focus here."""
        self._ring = event.reason() in (
            Qt.FocusReason.TabFocusReason,
            Qt.FocusReason.BacktabFocusReason,
            Qt.FocusReason.ShortcutFocusReason,
        )
        self.update()
        self._draw_handles()
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Hide the ring."""
        self._ring = False
        self.update()
        self.nudges_ended.emit()
        self._draw_handles()
        super().focusOutEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The focus ring, round the whole."""
        if self._ring:
            painter = QPainter(self)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(pen(self._theme.tokens.accent, 2.0))
            painter.drawRoundedRect(self.rect().adjusted(1, 1, -1, -1), 6, 6)

    # -- looks ---------------------------------------------------------------------------------

    def _use_theme(self) -> None:
        tokens = self._theme.tokens
        self.canvas.setBackground(tokens.card)
        self._empty.setFont(theming.font(10.0))
        for panel in self.panels.values():
            panel.set_tokens(tokens)
        for mark in self._marks:
            mark.set_tokens(tokens)
        self.strip.update()

    def _theme_changed(self) -> None:
        self._use_theme()
        self._draw_all()


def _far(one: QPointF, other: QPointF) -> float:
    gap = one - other
    return float(np.hypot(gap.x(), gap.y()))
