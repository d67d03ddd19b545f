"""How keys are written, and rows of a list of keys with what they do."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from PySide6.QtCore import QKeyCombination, Qt
from PySide6.QtGui import QKeySequence

Keys = QKeySequence | QKeyCombination | Qt.Key | str
"""A key, or several pressed together."""


def native(keys: Keys) -> str:
    """Keys as they are written on the person's keyboard."""
    return QKeySequence(keys).toString(QKeySequence.SequenceFormat.NativeText)


@dataclass(frozen=True, slots=True)
class Help:
    """A row of the list of keys: what is pressed, or done with the mouse, and what it does."""

    how: str
    does: str


def help_on(keys: Iterable[Keys], does: str) -> Help:
    """A row for keys of which any does it."""
    return Help(", ".join(native(each) for each in keys), does)
