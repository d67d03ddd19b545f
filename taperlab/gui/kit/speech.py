"""Tells screen readers what is painted or nudged: a role, and a value in words."""

from __future__ import annotations

from typing import Protocol, cast

from PySide6.QtCore import QObject
from PySide6.QtGui import QAccessible, QAccessibleInterface, QAccessibleValueChangeEvent
from PySide6.QtWidgets import QAccessibleWidget, QWidget


class Spoken(Protocol):
    """A widget whose value can be read aloud."""

    @property
    def spoken(self) -> str:
        """What is read now."""


class _Interface(QAccessibleWidget):
    def text(self, kind: QAccessible.Text) -> str:
        if kind == QAccessible.Text.Value:
            return cast(Spoken, self.object()).spoken
        return str(super().text(kind))


_roles: dict[type[QWidget], QAccessible.Role] = {}


def speaks(kind: type[QWidget], role: QAccessible.Role = QAccessible.Role.Chart) -> None:
    """Let screen readers find the value of a kind of widget that is :class:`Spoken`."""
    if not _roles:
        QAccessible.installFactory(_make)
    _roles[kind] = role


def say(widget: QWidget, words: str) -> None:
    """Describe a :class:`Spoken` widget anew, and tell that it reads something else."""
    if words == widget.accessibleDescription():
        return
    widget.setAccessibleDescription(words)  # Qt tells that the description changed
    value_changed(widget)


def value_changed(widget: QWidget) -> None:
    """Tell that a :class:`Spoken` widget reads something else."""
    if QAccessible.isActive():
        value = cast(Spoken, widget).spoken
        QAccessible.updateAccessibility(QAccessibleValueChangeEvent(widget, value))


def _make(name: str, made: QObject | None) -> QAccessibleInterface | None:
    for kind, role in _roles.items():
        if isinstance(made, kind):
            return _Interface(made, role)
    return None
