"""Ctrl+Y and Ctrl+Shift+Z both do a step again, whatever the platform calls usual."""

from __future__ import annotations

from PySide6.QtCore import QEvent
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit

REDO = tuple(map(QKeySequence, ("Ctrl+Shift+Z", "Ctrl+Y")))


def redoes(event: QEvent) -> bool:
    """Whether an event is a press of keys that do a step again."""
    return isinstance(event, QKeyEvent) and QKeySequence(event.keyCombination()) in REDO


def redo_in(field: QLineEdit, event: QEvent) -> bool:
    """Do again what was undone in a field, if the event asks for it; whether it did."""
    if not redoes(event):
        return False
    if event.type() == QEvent.Type.KeyPress:
        field.redo()
    event.accept()
    return True


def left_to_window(field: QLineEdit | QPlainTextEdit, event: QEvent) -> bool:
    """Leave an event to the window that asks a field to undo or redo what it has nothing of.

    Whether it was left: the field does nothing with it then.
    """
    known = field.document() if isinstance(field, QPlainTextEdit) else field
    if not _is_for_window(event, known.isUndoAvailable(), known.isRedoAvailable()):
        return False
    event.ignore()
    return True


def _is_for_window(event: QEvent, can_undo: bool, can_redo: bool) -> bool:
    if event.type() is not QEvent.Type.ShortcutOverride or not isinstance(event, QKeyEvent):
        return False
    undoes = event.matches(QKeySequence.StandardKey.Undo) and not can_undo
    return undoes or (redoes(event) and not can_redo)
