"""The plots bound to the document: they show the line in hand, and dragging edits it."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from taperlab.edits.edited import Edited
from taperlab.edits.segments import move_breakpoint
from taperlab.gui.kit.host import Workplace
from taperlab.gui.plots.drawing import Drawing, Laid
from taperlab.gui.plots.handles import Handle, dragged_diameters, handles_of
from taperlab.gui.plots.mouse import Drag
from taperlab.gui.plots.scales import FINE, Plot
from taperlab.gui.plots.stack import PlotStack
from taperlab.gui.plots.styles import overlay_style
from taperlab.gui.state.document import Change
from taperlab.gui.state.watch import Watch
from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.units.kinds import DIAMETER, LENGTH, WEIGHT_PER_LENGTH, System
from taperlab.units.sentence import Sentence
from taperlab.units.show import from_unit, show

STEPS = {
    (Plot.OUTLINE, System.US): from_unit(0.001, "in", DIAMETER),
    (Plot.OUTLINE, System.METRIC): from_unit(0.01, "mm", DIAMETER),
    (Plot.WEIGHT, System.US): from_unit(0.1, "gr/ft", WEIGHT_PER_LENGTH),
    (Plot.WEIGHT, System.METRIC): from_unit(0.01, "g/m", WEIGHT_PER_LENGTH),
}
"""What a nudge by key, or a step of a snapped drag, changes upright [SI]."""


def _put_back(bench: Bench, line: Line) -> Edited:
    """The bench with a line as it was before a drag."""
    return Edited(bench.with_line(line), Sentence("Move breakpoint"), line=line.key)


class ProfilePlots(PlotStack):
    """The line in hand with the lines laid over it, on the chosen rod."""

    def __init__(self, place: Workplace, watch: Watch, parent: QWidget | None = None) -> None:
        document, settings, theme = place.document, place.settings, place.theme
        super().__init__(theme, settings.system, parent)
        self._place = place
        self._document = document
        self._settings = settings
        self._laid: dict[str, Laid] = {}
        self._before: Line | None = None
        self._merge: int | None = None
        self.show_sink(settings.sink_shown)
        self.handle_grabbed.connect(self._grabbed)
        self.handle_dragged.connect(self._dragged)
        self.handle_released.connect(self._released)
        self.handle_cancelled.connect(self._cancelled)
        self.handle_nudged.connect(self._nudged)
        self.nudges_ended.connect(self._nudges_ended)
        watch.changed.connect(self._changed)
        settings.units_changed.connect(self._units_changed)
        settings.sink_shown_changed.connect(self._sink_changed)
        theme.changed.connect(self.refresh)
        self.refresh()

    # -- showing -------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the document as it is."""
        document = self._document
        analysis = document.analysis()
        fit = document.rod_fit()
        laid = tuple(self._laid_over(line) for line in document.overlays())
        self._laid = {each.analysis.line.key: each for each in laid}
        self.draw(
            Drawing(
                analysis=analysis,
                laid=laid,
                rod_length=document.rod.length if document.rod else None,
                window=fit.window if fit else None,
            ),
            handles_of(analysis) if analysis else (),
        )

    def _laid_over(self, line: Line) -> Laid:
        analysis = self._document.analysis(line.key)
        assert analysis is not None
        colour, dash = overlay_style(self._document, line, self.theme.tokens)
        known = self._laid.get(line.key)
        if known and known.analysis is analysis and (known.colour, known.dash) == (colour, dash):
            return known
        return Laid(line.name, analysis, colour, dash)

    def _changed(self, change: Change) -> None:
        before, after = change.before.current_line, change.after.current_line
        other_line = (before and before.key) != (after and after.key)
        if other_line:
            if self.is_dragging:
                self.mouse.let_go()
                self._before = self._merge = None
            self.choose_handle(None)
            self.point_at(None)
        self.refresh()
        if other_line:
            self.reset_view()

    def _units_changed(self) -> None:
        self.set_system(self._settings.system)

    def _sink_changed(self) -> None:
        self.show_sink(self._settings.sink_shown)

    # -- editing -------------------------------------------------------------------------------

    def _grabbed(self, _handle: Handle) -> None:
        self._before = self._document.line
        self._merge = self._document.new_merge_id()

    def _dragged(self, drag: Drag) -> None:
        if self._before is None:
            return
        position, value = drag.position, drag.value
        if drag.snap:
            fine, step = FINE[self.system], STEPS[drag.handle.plot, self.system]
            position = None if position is None else round(position / fine) * fine
            value = None if value is None else round(value / step) * step
        self._move(drag.handle, position, value)

    def _move(self, handle: Handle, position: float | None, value: float | None) -> None:
        line = self._document.line
        if line is None or handle.index > len(line.segments):
            return
        diameters = {}
        if value is not None:
            diameters = dragged_diameters(line.segments, handle, value)
        self._place.do(
            move_breakpoint,
            line.key,
            handle.index,
            position,
            merge=self._merge,
            initiator=self,
            **diameters,
        )
        now = self.find_handle(handle.key)
        if now is not None:
            kind = DIAMETER if now.plot is Plot.OUTLINE else WEIGHT_PER_LENGTH
            place, size = (
                show(now.position, LENGTH, self.system),
                show(now.value, kind, self.system),
            )
            self.show_tag(now, f"{place} · {size}")

    def _released(self) -> None:
        self._before = self._merge = None

    def _cancelled(self) -> None:
        if self._before is not None:
            # The same merge id: the step that the drag made vanishes, as it now changes nothing.
            self._place.do(_put_back, self._before, merge=self._merge, initiator=self)
        self._released()

    def _nudged(self, handle: Handle, along: int, up: int) -> None:
        if self._merge is None:
            self._merge = self._document.new_merge_id()
        position = handle.position + along * FINE[self.system] if along else None
        value = handle.value + up * STEPS[handle.plot, self.system] if up else None
        self._move(handle, position, value)

    def _nudges_ended(self) -> None:
        if not self.is_dragging:
            self._merge = None
