"""Keys that move the current cell, in every table that can be typed into."""

from __future__ import annotations

from enum import Enum, auto

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent


class Go(Enum):
    """Where the current cell goes next."""

    DOWN = auto()
    UP = auto()
    NEXT = auto()
    BACK = auto()


_GO = {
    Qt.Key.Key_Tab: Go.NEXT,
    Qt.Key.Key_Backtab: Go.BACK,
    Qt.Key.Key_Return: Go.DOWN,
    Qt.Key.Key_Enter: Go.DOWN,
}


def go_for(event: QKeyEvent) -> Go | None:
    """Where a key moves the current cell: Enter down, Tab right, with Shift the other way."""
    go = _GO.get(Qt.Key(event.key()))
    if event.modifiers() & ~(
        Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier
    ):
        return None
    if go is Go.DOWN and event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
        return Go.UP
    return go
