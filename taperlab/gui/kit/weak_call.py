"""A call that does not keep alive what it calls."""

from __future__ import annotations

from collections.abc import Callable
from weakref import WeakMethod


class WeakCall:
    """Calls a bound method with an argument, without a closure that would keep a window alive."""

    def __init__(self, act: Callable[[object], object], argument: object) -> None:
        self._act = WeakMethod(act)
        self._argument = argument

    def __call__(self, *_ignored: object) -> None:
        """Call, unless what would be called is gone."""
        act = self._act()
        if act is not None:
            act(self._argument)
