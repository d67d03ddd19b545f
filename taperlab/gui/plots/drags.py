"""Makes edits of what is done to handles: a drag, or a row of nudges by key, is one undo step."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, TypeVar

from PySide6.QtCore import QObject

from taperlab.gui.kit.host import Workplace
from taperlab.gui.plots.canvas import Canvas, Drag
from taperlab.gui.plots.grips import Handle

Before = TypeVar("Before")


class Drags(QObject, Generic[Before]):
    """What a canvas tells of its handles, as calls to whoever edits with them.

    remember(): what is to be put back when a drag is called off, or None where nothing can be
    dragged. move(handle, position, value): where to [SI], None where it stays. put_back(what was
    remembered). Both pass ``merge`` on to their edit. whole: a nudge along goes to whole steps, and
    a drag goes to those that the edit knows.
    """

    def __init__(
        self,
        canvas: Canvas,
        place: Workplace,
        *,
        remember: Callable[[], Before | None],
        move: Callable[[Handle, float | None, float | None], None],
        put_back: Callable[[Before], None],
        whole: bool = False,
    ) -> None:
        super().__init__(canvas)
        self._canvas, self._place, self._whole = canvas, place, whole
        self._remember, self._move, self._put_back = remember, move, put_back
        self._before: Before | None = None
        self.merge: int | None = None
        canvas.handle_grabbed.connect(self._grabbed)
        canvas.handle_dragged.connect(self._dragged)
        canvas.handle_released.connect(self.end)
        canvas.handle_cancelled.connect(self._cancelled)
        canvas.handle_nudged.connect(self._nudged)
        canvas.nudges_ended.connect(self._nudges_ended)

    def end(self) -> None:
        """What is done next is another step."""
        self._before = self.merge = None

    def _grabbed(self, _handle: Handle) -> None:
        self._before = self._remember()
        self.merge = self._place.document.new_merge_id()

    def _steps(self, handle: Handle) -> tuple[float, float]:
        """One step along and one upright [SI]."""
        stage = self._canvas.stage
        upright = stage.panels[handle.plot].plot.axis
        return stage.chart.across.step(stage.system), upright.step(stage.system)

    def _dragged(self, drag: Drag) -> None:
        if self._before is None:
            return
        handle, position, value = drag.handle, drag.position, drag.value
        stage, snap = self._canvas.stage, drag.snap and not self._whole
        if snap and position is not None:
            step = stage.chart.across.drag_step(stage.system)
            position = handle.origin + round((position - handle.origin) / step) * step
        if snap and value is not None:
            step = stage.panels[handle.plot].plot.axis.drag_step(stage.system)
            value = round(value / step) * step
        self._move(handle, position, value)

    def _cancelled(self) -> None:
        if self._before is not None:
            # The same merge id: the step that the drag made vanishes, as it now changes nothing.
            self._put_back(self._before)
        self.end()

    def _nudged(self, handle: Handle, along: int, up: int) -> None:
        if self.merge is None:
            self.merge = self._place.document.new_merge_id()
        step, size = self._steps(handle)
        start = round(handle.position / step) * step if self._whole else handle.position
        position = start + along * step if along else None
        self._move(handle, position, handle.value + up * size if up else None)

    def _nudges_ended(self) -> None:
        if not self._canvas.is_dragging:
            self.end()
