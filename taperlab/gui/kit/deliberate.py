"""Presses that are meant: what a button does next is not done by the rest of a double press.

Where one button does one step after the other, the second half of a double click, a key that is
held and a key that bounces would do a step that nobody saw.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QWidget

PRESSING = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space)


class Deliberate(QObject):
    """Takes one press of several widgets that do one thing after the other, and not its echo.

    As long as the person's system takes two clicks for a double click, a press is the echo of the
    one before.
    """

    def __init__(self, parent: QObject, *widgets: QWidget) -> None:
        super().__init__(parent)
        self._last = 0
        for each in widgets:
            each.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep echoes from the widget."""
        if event.type() is QEvent.Type.MouseButtonDblClick:
            return True
        if event.type() is QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            if event.key() not in PRESSING:
                return False
            before, self._last = self._last, event.timestamp()
            # What is sent without a time, as by tests and tools, is no echo.
            echo = 0 < event.timestamp() - before < QApplication.doubleClickInterval()
            return event.isAutoRepeat() or (before > 0 and echo)
        return False
