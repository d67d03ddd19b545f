"""What the keyboard does on the plots: it moves the crosshair, and chooses and nudges handles."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from taperlab.gui.plots.blades import Blades
from taperlab.gui.plots.grips import Grips
from taperlab.gui.plots.pointer import Pointer
from taperlab.gui.plots.scales import COARSE, FINE, Plot
from taperlab.gui.plots.stage import Stage

if TYPE_CHECKING:
    from taperlab.gui.plots.stack import PlotStack

USED = {
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
"""Keys that are kept from the window's shortcuts while the plots have the focus."""


class Keys:
    """Acts on a stack of plots, key by key."""

    def __init__(
        self, stack: PlotStack, stage: Stage, grips: Grips, blades: Blades, pointer: Pointer
    ) -> None:
        self._stack = stack
        self._stage = stage
        self._grips = grips
        self._blades = blades
        self._pointer = pointer

    def press(self, event: QKeyEvent) -> bool:
        """Do what a key asks for. Whether it asks for anything here."""
        key, modifiers = event.key(), event.modifiers()
        if modifiers & Qt.KeyboardModifier.AltModifier and self._nudge(key):
            return True
        return self._steer(key, coarse=bool(modifiers & Qt.KeyboardModifier.ShiftModifier))

    def _nudge(self, key: int) -> bool:
        """Move the chosen handle, or else the blade, by one step."""
        along = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(key, 0)
        up = {Qt.Key.Key_Down: -1, Qt.Key.Key_Up: 1}.get(key, 0)
        if not (along or up):
            return False
        handle = self._grips.in_hand
        if handle:
            self._stack.handle_nudged.emit(handle, along, up)
            self._stack.choose_handle(handle.key)
            return True
        blades = self._blades
        if blades.positions and blades.draggable and along:
            fine = FINE[self._stage.system]
            self._stack.move_blade(blades.positions[blades.held] + along * fine)
            return True
        return False

    def _steer(self, key: int, *, coarse: bool) -> bool:
        line = self._stage.line
        if line is None:
            return False
        if key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self._step(1 if key == Qt.Key.Key_Right else -1, coarse=coarse)
        elif key == Qt.Key.Key_Home:
            self._go(0.0)
        elif key == Qt.Key.Key_End:
            self._go(line.length)
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            self._next_breakpoint(1 if key == Qt.Key.Key_PageDown else -1)
        elif key == Qt.Key.Key_Space:
            self._other_plot()
        elif key == Qt.Key.Key_Escape:
            return self._escape()
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self._stack.zoom(0.8)
        elif key == Qt.Key.Key_Minus:
            self._stack.zoom(1.25)
        elif key == Qt.Key.Key_0:
            self._stack.reset_view()
        else:
            return False
        return True

    # -- the crosshair -------------------------------------------------------------------------

    def _step(self, way: int, *, coarse: bool) -> None:
        """On to the next whole step, also from a place between two."""
        step = (COARSE if coarse else FINE)[self._stage.system]
        start = self._pointer.position if self._pointer.position is not None else 0.0
        count = np.floor(start / step + 1e-6) if way > 0 else np.ceil(start / step - 1e-6)
        self._go(float((count + way) * step))

    def _go(self, position: float) -> None:
        self._grips.chosen = None
        self._stack.draw_handles()
        self._stack.point_at(position)
        if self._stage.range.zoomed and self._pointer.position is not None:
            self._stack.bring_in_sight(self._pointer.position)

    def _escape(self) -> bool:
        if self._stack.cancel_drag():
            return True
        if self._pointer.position is None and self._grips.chosen is None:
            return False
        self._grips.chosen = None
        self._stack.draw_handles()
        self._stack.point_at(None)
        return True

    # -- handles -------------------------------------------------------------------------------

    def _next_breakpoint(self, way: int) -> None:
        """Choose the next handle of the plot in use; without handles, point at the breakpoint."""
        handle = self._grips.in_hand
        plot = handle.plot if handle else Plot.OUTLINE
        own = [each for each in self._grips.handles if each.plot is plot]
        if own:
            if handle is not None:
                number = min(max(own.index(handle) + way, 0), len(own) - 1)
            else:
                number = self._beside([each.position for each in own], way)
            self._stack.choose_handle(own[number].key)
            return
        starts = self._stage.line.profile.starts.tolist()
        self._go(starts[self._beside(starts, way)])

    def _beside(self, places: list[float], way: int) -> int:
        """Number of the first place behind the crosshair, or of the last one ahead of it."""
        at = self._pointer.position
        if at is None:
            return 0 if way > 0 else len(places) - 1
        if way > 0:
            later = [i for i, place in enumerate(places) if place > at + 1e-9]
            return later[0] if later else len(places) - 1
        earlier = [i for i, place in enumerate(places) if place < at - 1e-9]
        return earlier[-1] if earlier else 0

    def _other_plot(self) -> None:
        """Choose the handle of the same breakpoint on the other plot."""
        handle = self._grips.in_hand
        if handle:
            other = Plot.WEIGHT if handle.plot is Plot.OUTLINE else Plot.OUTLINE
            self._stack.choose_handle((other, handle.index, handle.side))
            there = self._grips.in_hand
            self._grips.chosen = there.key if there else None
