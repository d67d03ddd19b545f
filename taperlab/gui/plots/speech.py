"""Tells screen readers what is painted: a chart whose value is what the crosshair reads."""

from __future__ import annotations

from typing import Protocol, cast

from PySide6.QtCore import QObject
from PySide6.QtGui import QAccessible, QAccessibleInterface, QAccessibleValueChangeEvent
from PySide6.QtWidgets import QAccessibleWidget, QWidget


class Spoken(Protocol):
    """A widget that paints what can be read aloud."""

    @property
    def spoken(self) -> str:
        """What is read now."""


class _Chart(QAccessibleWidget):
    def __init__(self, widget: QWidget) -> None:
        super().__init__(widget, QAccessible.Role.Chart)

    def text(self, kind: QAccessible.Text) -> str:
        if kind == QAccessible.Text.Value:
            return cast(Spoken, self.object()).spoken
        return str(super().text(kind))


_kinds: list[type[QWidget]] = []


def speaks(kind: type[QWidget]) -> None:
    """Let screen readers find the value of a kind of widget that is :class:`Spoken`."""
    if not _kinds:
        QAccessible.installFactory(_make)
    _kinds.append(kind)


def say(widget: QWidget, words: str) -> None:
    """Describe a :class:`Spoken` widget anew, and tell that it reads something else."""
    if words == widget.accessibleDescription():
        return
    widget.setAccessibleDescription(words)  # Qt tells that the description changed
    if QAccessible.isActive():
        value = cast(Spoken, widget).spoken
        QAccessible.updateAccessibility(QAccessibleValueChangeEvent(widget, value))


def _make(name: str, made: QObject | None) -> QAccessibleInterface | None:
    if isinstance(made, QWidget) and isinstance(made, tuple(_kinds)):
        return _Chart(made)
    return None
