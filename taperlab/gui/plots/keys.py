"""What the keyboard does on the plots: it moves the crosshair, and chooses and nudges handles."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from taperlab.gui.plots.surface import Surface

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

_ALONG = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
_UP = {Qt.Key.Key_Down: -1, Qt.Key.Key_Up: 1}
_PAGE = {Qt.Key.Key_PageUp: -1, Qt.Key.Key_PageDown: 1}


def press(surface: Surface, event: QKeyEvent) -> bool:
    """Do what a key asks for. Whether it asks for anything here."""
    key, modifiers = Qt.Key(event.key()), event.modifiers()
    if surface.stage.is_empty:
        return False
    if modifiers & Qt.KeyboardModifier.AltModifier and _nudge(surface, key):
        return True
    return _steer(surface, key, coarse=bool(modifiers & Qt.KeyboardModifier.ShiftModifier))


def _nudge(surface: Surface, key: Qt.Key) -> bool:
    """Move the chosen handle, or else the blade, by one step."""
    along, up = _ALONG.get(key, 0), _UP.get(key, 0)
    if not (along or up):
        return False
    handle = surface.grips.in_hand
    if handle:
        surface.handle_nudged.emit(handle, along, up)
        surface.choose_handle(surface.grips.chosen)
        return True
    blades = surface.blades
    if blades.positions and blades.draggable and along:
        step = surface.stage.chart.across.step(surface.stage.system)
        surface.move_blade(blades.positions[blades.held] + along * step)
        return True
    return False


def _steer(surface: Surface, key: Qt.Key, *, coarse: bool) -> bool:
    chart = surface.stage.chart
    if key in _ALONG:
        _step(surface, _ALONG[key], coarse=coarse)
    elif key in _UP:
        _other_plot(surface, -_UP[key])
    elif key == Qt.Key.Key_Home:
        _go(surface, 0.0)
    elif key == Qt.Key.Key_End:
        _go(surface, chart.end or chart.reach)
    elif key in _PAGE:
        _next_stop(surface, _PAGE[key])
    elif key == Qt.Key.Key_Space:
        _same_elsewhere(surface)
    elif key == Qt.Key.Key_Escape:
        return _escape(surface)
    elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
        surface.zoom(0.8)
    elif key == Qt.Key.Key_Minus:
        surface.zoom(1.25)
    elif key == Qt.Key.Key_0:
        surface.see_whole()
    else:
        return False
    return True


# -- the crosshair -----------------------------------------------------------------------------


def _step(surface: Surface, way: int, *, coarse: bool) -> None:
    """On to the next whole step, also from a place between two."""
    step = surface.stage.chart.across.step(surface.stage.system, coarse=coarse)
    start = (surface.pointer.position or 0.0) / step
    count = math.floor(start + 1e-6) if way > 0 else math.ceil(start - 1e-6)
    _go(surface, (count + way) * step)


def _go(surface: Surface, position: float) -> None:
    surface.grips.chosen = None
    surface.draw_handles()
    surface.point_at(position)
    if surface.stage.range.zoomed and surface.pointer.position is not None:
        surface.bring_in_sight(surface.pointer.position)


def _other_plot(surface: Surface, way: int) -> None:
    """Read what is laid over on the next plot below or above."""
    keys = [panel.plot.key for panel in surface.stage.shown]
    at = keys.index(surface.pointer.plot) if surface.pointer.plot in keys else 0
    surface.point_at(surface.pointer.position, keys[min(max(at + way, 0), len(keys) - 1)])


def _escape(surface: Surface) -> bool:
    if surface.cancel_drag():
        return True
    if surface.pointer.position is None and surface.grips.chosen is None:
        return False
    surface.grips.chosen = None
    surface.draw_handles()
    surface.point_at(None)
    return True


# -- handles -----------------------------------------------------------------------------------


def _next_stop(surface: Surface, way: int) -> None:
    """Choose the next handle of the plot in use; without handles, point at the next stop."""
    handle, handles = surface.grips.in_hand, surface.grips.handles
    if not handles:
        stops = surface.stage.chart.stops
        if stops:
            _go(surface, stops[_beside(surface, stops, way)])
        return
    own = [each for each in handles if each.plot == (handle or handles[0]).plot]
    if handle is not None:
        number = min(max(own.index(handle) + way, 0), len(own) - 1)
    else:
        number = _beside(surface, [each.position for each in own], way)
    surface.choose_handle(own[number].key)


def _beside(surface: Surface, places: Sequence[float], way: int) -> int:
    """Number of the first place behind the crosshair, or of the last one ahead of it."""
    at = surface.pointer.position
    if at is None:
        return 0 if way > 0 else len(places) - 1
    if way > 0:
        later = [i for i, place in enumerate(places) if place > at + 1e-9]
        return later[0] if later else len(places) - 1
    earlier = [i for i, place in enumerate(places) if place < at - 1e-9]
    return earlier[-1] if earlier else 0


def _same_elsewhere(surface: Surface) -> None:
    """Choose the handle of the same place on the next plot that has one."""
    handle = surface.grips.in_hand
    if handle is None:
        return
    plots = list(dict.fromkeys(each.plot for each in surface.grips.handles))
    other = plots[(plots.index(handle.plot) + 1) % len(plots)]
    there = surface.grips.find((other, handle.index, handle.side))
    if there is not None:
        surface.choose_handle(there.key)
