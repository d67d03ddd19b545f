"""Views that listen to a desk: each redraws only where what it shows is another."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import SignalInstance

from taperlab.gui.kit.host import Workplace


def follow(
    changed: SignalInstance,
    place: Workplace,
    refresh: Callable[[], None],
    of: Callable[[], tuple[object, ...]] | None = None,
) -> None:
    """Call this whenever something to be shown is another, or the theme.

    of: what of all that it shows; then it is called only where that is another, or the units.
    """
    shown: list[tuple[object, ...]] = []

    def look() -> None:
        now = [(*of(), place.system)] if of is not None else []
        if of is None or now != shown:
            shown[:] = now
            refresh()

    changed.connect(look)
    place.theme.changed.connect(refresh)
