"""Ending in order when the system asks for it: Ctrl+C in the terminal, a session that ends."""

from __future__ import annotations

import signal
import socket
from collections.abc import Callable
from types import FrameType

from PySide6.QtCore import QObject, QSocketNotifier

ASKED = tuple(
    getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)
)
"""Windows knows no SIGHUP."""


class EndOnSignal(QObject):
    """Calls ``end`` with the number of a signal, from the event loop.

    Python looks for signals between two of its own steps only, and a window with nothing to do
    takes none. A socket that the system writes the number to wakes the loop, and so Python.
    """

    def __init__(self, end: Callable[[int], object], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._end = end
        self._reader, self._writer = socket.socketpair()
        for one in (self._reader, self._writer):
            one.setblocking(False)
        self._notifier = QSocketNotifier(self._reader.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._woken)
        self._wakeup_before = signal.set_wakeup_fd(self._writer.fileno(), warn_on_full_buffer=False)
        self._before = {each: signal.signal(each, _left_to_the_socket) for each in ASKED}

    def _woken(self, *_: object) -> None:
        numbers = self._reader.recv(64)
        asked = [number for number in numbers if number in self._before]
        if asked:
            self._end(asked[0])

    def stop(self) -> None:
        """Leave signals to whoever took them before."""
        self._notifier.setEnabled(False)
        signal.set_wakeup_fd(self._wakeup_before)
        for number, before in self._before.items():
            signal.signal(number, before)
        self._reader.close()
        self._writer.close()


def _left_to_the_socket(_number: int, _frame: FrameType | None) -> None:
    pass


def status_of(number: int) -> int:
    """The exit status of a program that a signal ended, as shells count it."""
    return 128 + number
