"""The plots that share the distance axis. They draw analyses and know of no document."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QEvent, QRectF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QGuiApplication, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from taperlab.files.atomic import write_bytes
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.focus_ring import came_by_key, paint_ring
from taperlab.gui.kit.theme import Theme
from taperlab.gui.plots import keys, lines, pictures
from taperlab.gui.plots.blades import Blades
from taperlab.gui.plots.canvas import Canvas
from taperlab.gui.plots.drawing import Drawing, Laid
from taperlab.gui.plots.grips import Grips, Key
from taperlab.gui.plots.handles import Handle
from taperlab.gui.plots.marks import Mark, Tag
from taperlab.gui.plots.mouse import Drag, Mouse
from taperlab.gui.plots.pointer import Pointer
from taperlab.gui.plots.readout import ReadoutStrip
from taperlab.gui.plots.scales import Plot
from taperlab.gui.plots.stage import Stage
from taperlab.gui.plots.surround import Surround
from taperlab.shop.analyse import LineAnalysis
from taperlab.shop.reading import Reading
from taperlab.units.kinds import System

EMPTY = "This line has no segments yet.\nAdd the first one in the table and it is drawn here."


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
        self._ring = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Plots of the line")
        self.strip = ReadoutStrip(theme, self)
        self.canvas = Canvas(self)
        self._empty = QLabel(EMPTY, self)
        self._empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._empty.setProperty("role", "soft")
        column = QVBoxLayout(self)
        column.setContentsMargins(3, 2, 3, 3)
        column.setSpacing(0)
        column.addWidget(self.strip)
        column.addWidget(self.canvas, 1)
        column.addWidget(self._empty, 1)
        self._set_stage(theme, system)
        self.show_sink(False)
        self._use_theme()
        self._draw_empty()
        theme.changed.connect(self._theme_changed)

    def _set_stage(self, theme: Theme, system: System) -> None:
        scene = self.canvas.scene()
        self._stage = Stage(scene, theme, system)
        self._surround = Surround(self._stage, scene)
        self._grips = Grips(self._stage, scene)
        self._pointer = Pointer(self._stage, self._surround, scene)
        self._blades = Blades(self._stage, self._surround, scene)
        self.tag = Tag()
        scene.addItem(self.tag)
        self._marks: tuple[Mark, ...] = (
            *self._surround.marks,
            self._grips.mark,
            self._pointer.mark,
            *self._blades.marks,
            self.tag,
        )
        self.mouse = Mouse(self, self._stage, self._grips, self._blades)
        self.canvas.user = self.mouse
        self._keys = keys.Keys(self, self._stage, self._grips, self._blades, self._pointer)

        self.panels = self._stage.panels
        self.frames = self._surround.frames
        self.rod_marks = self._surround.rod_marks
        self.outline_marks = self._surround.outline_marks
        self.crosshair = self._pointer.mark
        self.handle_marks = self._grips.mark
        self.blade, self.rear_blade = self._blades.marks

    # -- what is shown -------------------------------------------------------------------------

    @property
    def theme(self) -> Theme:
        """The theme that is drawn in."""
        return self._stage.theme

    @property
    def system(self) -> System:
        """The units shown."""
        return self._stage.system

    @property
    def drawing(self) -> Drawing:
        """What is shown now."""
        return self._stage.drawing

    @property
    def reading(self) -> Reading | None:
        """What the crosshair reads now."""
        return self._pointer.reading

    @property
    def handles(self) -> tuple[Handle, ...]:
        """The handles that can be dragged."""
        return self._grips.handles

    @property
    def chosen_handle(self) -> Handle | None:
        """The handle chosen by key or in hand."""
        return self._grips.in_hand

    @property
    def blade_held(self) -> int:
        """Which blade was moved last, counted from the fly end."""
        return self._blades.held

    @property
    def is_dragging(self) -> bool:
        """Whether a handle is being dragged."""
        return self.mouse.is_dragging

    def draw(self, drawing: Drawing, handles: tuple[Handle, ...] = ()) -> None:
        """Show this; only what differs from what is shown is drawn again."""
        before, self._stage.drawing = self._stage.drawing, drawing
        self._grips.handles = handles
        own = drawing.analysis is not before.analysis or drawing.start != before.start
        laid = len(drawing.laid) != len(before.laid) or any(
            one is not other for one, other in zip(drawing.laid, before.laid, strict=False)
        )
        if own:
            self._draw_empty()
        self._fit()
        if own:
            lines.draw_own(self._stage)
        if laid:
            lines.draw_laid(self._stage)
        if drawing.window != before.window:
            self._surround.draw_window()
        if (drawing.rod_length is None) != (before.rod_length is None):
            self._place_panels()
        self._draw_marks()
        self._draw_pointer()

    def set_system(self, system: System) -> None:
        """Show another system's units."""
        if system is not self._stage.system:
            self._stage.use_system(system)
            self._draw_all()

    def show_sink(self, shown: bool) -> None:
        """Show or hide the fourth plot."""
        panel = self.panels[Plot.SINK]
        if shown != panel.shown:
            panel.view.setVisible(shown)
            self.frames[Plot.SINK].setVisible(shown)
            self._place_panels()
            self._draw_all()

    def set_shadow(self, analysis: LineAnalysis | None, label: str = "") -> None:
        """Draw another state of the line in grey, as before and after; None takes it away."""
        self._stage.shadow = None
        if analysis is not None:
            self._stage.shadow = Laid(label, analysis, "", None)
        self._fit()
        lines.draw_laid(self._stage)
        self._draw_marks()

    def set_blade(self, position: float | None, draggable: bool = False) -> None:
        """Draw a blade across the outline at a position [m]; None takes it away."""
        self.set_blades(() if position is None else (position,), draggable)

    def set_blades(self, positions: tuple[float, ...], draggable: bool = False) -> None:
        """Draw up to two blades across the outline at positions [m], the front one first."""
        self._blades.put(positions, draggable=draggable)

    def move_blade(self, position: float) -> None:
        """Move the held blade to a position [m], as far as it can go, and tell of it."""
        self.blade_moved.emit(self._blades.move(position))

    # -- where is looked -----------------------------------------------------------------------

    def reset_view(self) -> None:
        """See the whole of every line, with axes that fit."""
        self._stage.range.see_whole()
        self._look_anew()

    def zoom(self, factor: float, position: float | None = None) -> None:
        """See ``factor`` times as much of the distance axis round a position [m]."""
        low, high = self._stage.range.span
        if position is None:
            at = self._pointer.position
            position = at if at is not None else (low + high) / 2.0
        share = (position - low) / (high - low)
        width = (high - low) * factor
        self.look(position - share * width, width)

    def look(self, low: float, width: float) -> None:
        """See ``width`` of the distance axis from ``low`` on [m], as far as there is axis."""
        self._stage.range.look(low, width)
        self._look_anew()

    def bring_in_sight(self, position: float) -> None:
        """Shift the axis to a position [m] that is out of sight."""
        low, high = self._stage.range.span
        if not low <= position <= high:
            self.look(position - (high - low) / 2.0, high - low)

    def arrange(self) -> None:
        """Lay the plots out anew, in a canvas of another size."""
        self._place_panels()
        self._draw_marks()
        self._draw_pointer()

    def _place_panels(self) -> None:
        self._stage.arrange(float(self.canvas.width()), float(self.canvas.height()))

    def _fit(self) -> None:
        if self._stage.fit(shrink=not self.is_dragging):
            self._surround.draw_window()

    def _look_anew(self) -> None:
        self._fit()
        self._draw_marks()
        self._draw_pointer()

    # -- crosshair and handles -----------------------------------------------------------------

    def point_at(self, position: float | None) -> None:
        """Put the crosshair at a position [m], or take it away."""
        self._pointer.move_to(position)
        self._draw_pointer()

    def find_handle(self, key: Key | None) -> Handle | None:
        """The handle with a key as it is now, after a drag perhaps on the other side."""
        return self._grips.find(key)

    def choose_handle(self, key: Key | None) -> None:
        """Choose a handle for the keys, and read the line there."""
        self._grips.chosen = key
        handle = self._grips.in_hand
        if handle is not None:
            self._pointer.position = handle.position
            self.bring_in_sight(handle.position)
        self.draw_handles()
        self._draw_pointer()

    def show_tag(self, handle: Handle | None, text: str = "") -> None:
        """Show live values beside a handle; None hides them."""
        if handle is None:
            self.tag.hide()
            self.outline_marks.keep_clear(QRectF())
            return
        self.tag.show_at(self._grips.point_of(handle), text, self.panels[handle.plot].rect)
        self.outline_marks.keep_clear(self.tag.boundingRect())

    def cancel_drag(self) -> bool:
        """Call a drag off: the handle goes back. Whether there was one."""
        if not self.is_dragging:
            return False
        self.mouse.let_go()
        self.handle_cancelled.emit()
        self.end_drag()
        return True

    def end_drag(self) -> None:
        """Take the live values away, and let the axes shrink again."""
        self.show_tag(None)
        self._look_anew()

    # -- pictures ------------------------------------------------------------------------------

    def export_png(self, path: Path, scale: float = 2.0) -> None:
        """Save the plots as a PNG file. Raises FileProblem."""
        write_bytes(path, pictures.png(self, scale))

    def export_svg(self, path: Path) -> None:
        """Save the plots as an SVG file. Raises FileProblem."""
        write_bytes(path, pictures.svg(self))

    def copy_picture(self) -> None:
        """Put the plots on the clipboard, as an image."""
        QGuiApplication.clipboard().setImage(pictures.image(self))

    # -- drawing -------------------------------------------------------------------------------

    def _draw_all(self) -> None:
        self._draw_empty()
        self._fit()
        lines.draw_own(self._stage)
        lines.draw_laid(self._stage)
        self._surround.draw_window()
        self._draw_marks()
        self._draw_pointer()

    def _draw_empty(self) -> None:
        empty = self._stage.line is None
        self._empty.setText("No line is in hand." if self.drawing.analysis is None else EMPTY)
        self._empty.setVisible(empty)
        self.canvas.setVisible(not empty)
        self.strip.setVisible(not empty)

    def _draw_marks(self) -> None:
        # The blades leave the names free, so these come first.
        self._surround.draw()
        self.draw_handles()
        self._blades.draw()

    def draw_handles(self) -> None:
        """Draw the handles anew, after another one was chosen or pointed at."""
        self._grips.draw(self.mouse.at, focused=self.hasFocus())

    def _draw_pointer(self) -> None:
        before = self._pointer.reading
        self._pointer.draw()
        words, reading = self._pointer.words, self._pointer.reading
        self.strip.show_words(words, self._pointer.colour)
        text = ", ".join(words)
        if text != self.accessibleDescription():
            self.setAccessibleDescription(text)
        if reading != before:
            self.pointed.emit(reading)

    def _use_theme(self) -> None:
        tokens = self.theme.tokens
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

    # -- Qt ------------------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        """Keep keys used here from the window's shortcuts."""
        if event.type() == QEvent.Type.ShortcutOverride and event.key() in keys.USED:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the crosshair, choose a handle and nudge it, zoom."""
        if not self._keys.press(event):
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """A nudge ends when its key is let go."""
        if not event.isAutoRepeat():
            self.nudges_ended.emit()
            if not self.is_dragging:
                self.show_tag(None)
        super().keyReleaseEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the ring, if the keyboard brought the focus here."""
        self._ring = came_by_key(event)
        self.update()
        self.draw_handles()
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Hide the ring."""
        self._ring = False
        self.update()
        self.nudges_ended.emit()
        self.draw_handles()
        super().focusOutEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The focus ring, round the whole."""
        if self._ring:
            paint_ring(QPainter(self), self, self.theme.tokens)


__all__ = ["Drag", "Drawing", "Laid", "PlotStack"]
