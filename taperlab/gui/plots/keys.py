"""What the keyboard does on the plots: it moves the crosshair, and chooses and nudges handles."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from taperlab.gui.plots.canvas import Canvas

_ALONG = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
_UP = {Qt.Key.Key_Down: -1, Qt.Key.Key_Up: 1}
_PAGE = {Qt.Key.Key_PageUp: -1, Qt.Key.Key_PageDown: 1}
_OTHER = {Qt.Key.Key_Home, Qt.Key.Key_End, Qt.Key.Key_Escape, Qt.Key.Key_Space}

USED = {*_ALONG, *_UP, *_PAGE, *_OTHER}
"""Keys that are kept from the window's shortcuts while the plots have the focus."""


def press(canvas: Canvas, event: QKeyEvent) -> bool:
    """Do what a key asks for. Whether it asks for anything here."""
    key, modifiers = Qt.Key(event.key()), event.modifiers()
    if canvas.stage.is_empty:
        return False
    if modifiers & Qt.KeyboardModifier.AltModifier and _nudge(canvas, key):
        return True
    return _steer(canvas, key, coarse=bool(modifiers & Qt.KeyboardModifier.ShiftModifier))


def _nudge(canvas: Canvas, key: Qt.Key) -> bool:
    """Move the chosen handle by one step."""
    along, up = _ALONG.get(key, 0), _UP.get(key, 0)
    if not (along or up):
        return False
    handle = canvas.grips.in_hand
    if handle:
        canvas.handle_nudged.emit(handle, along, up)
        canvas.choose_handle(canvas.grips.chosen)
        return True
    return False


def _steer(canvas: Canvas, key: Qt.Key, *, coarse: bool) -> bool:
    chart = canvas.stage.chart
    if key in _ALONG:
        _step(canvas, _ALONG[key], coarse=coarse)
    elif key in _UP:
        _other_plot(canvas, -_UP[key])
    elif key == Qt.Key.Key_Home:
        _go(canvas, 0.0)
    elif key == Qt.Key.Key_End:
        _go(canvas, chart.end or chart.reach)
    elif key in _PAGE:
        _next_stop(canvas, _PAGE[key])
    elif key == Qt.Key.Key_Space:
        _same_elsewhere(canvas)
    elif key == Qt.Key.Key_Escape:
        return _escape(canvas)
    elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
        canvas.zoom(0.8)
    elif key == Qt.Key.Key_Minus:
        canvas.zoom(1.25)
    elif key == Qt.Key.Key_0:
        canvas.see_whole()
    else:
        return False
    return True


# -- the crosshair -----------------------------------------------------------------------------


def _step(canvas: Canvas, way: int, *, coarse: bool) -> None:
    """On to the next whole step, also from a place between two."""
    step = canvas.stage.chart.across.step(canvas.stage.system, coarse=coarse)
    start = (canvas.pointer.position or 0.0) / step
    count = math.floor(start + 1e-6) if way > 0 else math.ceil(start - 1e-6)
    _go(canvas, (count + way) * step)


def _go(canvas: Canvas, position: float) -> None:
    canvas.grips.chosen = None
    canvas.draw_handles()
    canvas.point_at(position)
    if canvas.stage.range.zoomed and canvas.pointer.position is not None:
        canvas.bring_in_sight(canvas.pointer.position)


def _other_plot(canvas: Canvas, way: int) -> None:
    """Read what is laid over on the next plot below or above."""
    keys = [panel.plot.key for panel in canvas.stage.shown]
    at = keys.index(canvas.pointer.plot) if canvas.pointer.plot in keys else 0
    canvas.point_at(canvas.pointer.position, keys[min(max(at + way, 0), len(keys) - 1)])


def _escape(canvas: Canvas) -> bool:
    if canvas.cancel_drag():
        return True
    if canvas.pointer.position is None and canvas.grips.chosen is None:
        return False
    canvas.grips.chosen = None
    canvas.draw_handles()
    canvas.point_at(None)
    return True


# -- handles -----------------------------------------------------------------------------------


def _next_stop(canvas: Canvas, way: int) -> None:
    """Choose the next handle of the plot in use; without handles, point at the next stop."""
    handle, handles = canvas.grips.in_hand, canvas.grips.handles
    if not handles:
        stops = canvas.stage.chart.stops
        if stops:
            _go(canvas, stops[_beside(canvas, stops, way)])
        return
    own = [each for each in handles if each.plot == (handle or handles[0]).plot]
    if handle is not None:
        number = min(max(own.index(handle) + way, 0), len(own) - 1)
    else:
        number = _beside(canvas, [each.position for each in own], way)
    canvas.choose_handle(own[number].key)


def _beside(canvas: Canvas, places: Sequence[float], way: int) -> int:
    """Number of the first place behind the crosshair, or of the last one ahead of it."""
    at = canvas.pointer.position
    if at is None:
        return 0 if way > 0 else len(places) - 1
    if way > 0:
        return min(bisect_right(places, at + 1e-9), len(places) - 1)
    return max(bisect_left(places, at - 1e-9) - 1, 0)


def _same_elsewhere(canvas: Canvas) -> None:
    """Choose the handle of the same place on the next plot that has one."""
    handle = canvas.grips.in_hand
    if handle is None:
        return
    plots = list(dict.fromkeys(each.plot for each in canvas.grips.handles))
    other = plots[(plots.index(handle.plot) + 1) % len(plots)]
    there = canvas.grips.find((other, handle.index, handle.side))
    if there is not None:
        canvas.choose_handle(there.key)
