"""What the keyboard does on the plots: it moves the crosshair, and chooses and nudges handles."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QKeyCombination, Qt
from PySide6.QtGui import QKeyEvent

from taperlab.gui.kit.key_names import Help, help_on
from taperlab.gui.plots.canvas import Canvas
from taperlab.gui.plots.pointer import MORE
from taperlab.units.language import later, tr

Key = Qt.Key

_ALONG = {Key.Key_Left: -1, Key.Key_Right: 1}
_UP = {Key.Key_Down: -1, Key.Key_Up: 1}
_PAGE = {Key.Key_PageUp: -1, Key.Key_PageDown: 1}
_ALT = Qt.KeyboardModifier.AltModifier


@dataclass(frozen=True, slots=True)
class Use:
    """What some keys do on the plots.

    act: does it with the key pressed, coarser where Shift is held; False where there was nothing
    to do. alt: the keys are pressed together with Alt.
    """

    keys: tuple[Key, ...]
    does: str
    act: Callable[[Canvas, Key, bool], bool | None]
    alt: bool = False

    @property
    def help(self) -> Help:
        """Its row in the list of keys."""
        held = _ALT if self.alt else Qt.KeyboardModifier.NoModifier
        return help_on((QKeyCombination(held, key) for key in self.keys), tr(self.does))


def use_of(event: QKeyEvent) -> Use | None:
    """What is done with a key here."""
    held = event.modifiers()
    if held & Qt.KeyboardModifier.ControlModifier:
        return None
    alt = bool(held & _ALT)
    return next((use for use in USES if event.key() in use.keys and use.alt is alt), None)


def press(canvas: Canvas, event: QKeyEvent) -> bool:
    """Do what a key asks for. Whether it asks for anything here."""
    use = use_of(event)
    if use is None or canvas.stage.is_empty:
        return False
    coarse = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
    return use.act(canvas, Key(event.key()), coarse) is not False


# -- the crosshair -----------------------------------------------------------------------------


def _step(canvas: Canvas, key: Key, coarse: bool) -> None:
    """On to the next whole step, also from a place between two."""
    way = _ALONG[key]
    step = canvas.stage.chart.across.step(canvas.stage.system, coarse=coarse)
    start = (canvas.pointer.position or 0.0) / step
    count = math.floor(start + 1e-6) if way > 0 else math.ceil(start - 1e-6)
    _go(canvas, (count + way) * step)


def _to_end(canvas: Canvas, key: Key, _coarse: bool) -> None:
    chart = canvas.stage.chart
    _go(canvas, 0.0 if key == Key.Key_Home else chart.end or chart.reach)


def _go(canvas: Canvas, position: float) -> None:
    canvas.grips.chosen = None
    canvas.draw_handles()
    canvas.point_at(position)
    if canvas.stage.range.zoomed and canvas.pointer.position is not None:
        canvas.bring_in_sight(canvas.pointer.position)


def _other_plot(canvas: Canvas, key: Key, _coarse: bool) -> None:
    """Read what is laid over on the next plot below or above."""
    keys = [panel.plot.key for panel in canvas.stage.shown]
    at = keys.index(canvas.pointer.plot) if canvas.pointer.plot in keys else 0
    canvas.point_at(canvas.pointer.position, keys[min(max(at - _UP[key], 0), len(keys) - 1)])


def _more(canvas: Canvas, _key: Key, _coarse: bool) -> None:
    canvas.pointer.tell_more()


def _escape(canvas: Canvas, _key: Key, _coarse: bool) -> bool:
    if canvas.cancel_drag():
        return True
    if canvas.pointer.position is None and canvas.grips.chosen is None:
        return False
    canvas.grips.chosen = None
    canvas.draw_handles()
    canvas.point_at(None)
    return True


def _zoom(canvas: Canvas, key: Key, _coarse: bool) -> None:
    canvas.zoom(1.25 if key == Key.Key_Minus else 0.8)


def _see_whole(canvas: Canvas, _key: Key, _coarse: bool) -> None:
    canvas.see_whole()


# -- handles -----------------------------------------------------------------------------------


def _nudge(canvas: Canvas, key: Key, _coarse: bool) -> bool:
    """Move the chosen handle by one step."""
    handle = canvas.grips.in_hand
    if handle is None:
        return False
    canvas.handle_nudged.emit(handle, _ALONG.get(key, 0), _UP.get(key, 0))
    canvas.choose_handle(canvas.grips.chosen)
    return True


def _next_stop(canvas: Canvas, key: Key, _coarse: bool) -> None:
    """Choose the next handle of the plot in use; without handles, point at the next stop."""
    way, handle, handles = _PAGE[key], canvas.grips.in_hand, canvas.grips.handles
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


def _same_elsewhere(canvas: Canvas, _key: Key, _coarse: bool) -> None:
    """Choose the handle of the same place on the next plot that has one."""
    handle = canvas.grips.in_hand
    if handle is None:
        return
    plots = list(dict.fromkeys(each.plot for each in canvas.grips.handles))
    other = plots[(plots.index(handle.plot) + 1) % len(plots)]
    there = canvas.grips.find((other, handle.index, handle.side))
    if there is not None:
        canvas.choose_handle(there.key)


USES = (
    Use(tuple(_ALONG), later("Move the crosshair by a step; with Shift by a larger one"), _step),
    Use((Key.Key_Home, Key.Key_End), later("Read the fly end, or the rod end"), _to_end),
    Use(tuple(reversed(_UP)), later("Read the plot above, or below"), _other_plot),
    Use((MORE,), later("Read more of the lines laid over, where there are many"), _more),
    Use(tuple(_PAGE), later("Choose the breakpoint before, or the next"), _next_stop),
    Use((Key.Key_Space,), later("Choose the same breakpoint on the other plot"), _same_elsewhere),
    Use((*_ALONG, *reversed(_UP)), later("Move the chosen breakpoint by a step"), _nudge, alt=True),
    Use(
        (Key.Key_Plus, Key.Key_Equal, Key.Key_Minus),
        later("Zoom in, or out, round the crosshair"),
        _zoom,
    ),
    Use((Key.Key_0,), later("See all of it"), _see_whole),
    Use(
        (Key.Key_Escape,),
        later("Take the crosshair away; during a drag, put the breakpoint back"),
        _escape,
    ),
)
"""Every key that the plots know."""
