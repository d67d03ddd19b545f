"""How keys are written, and rows of a list of keys with what they do."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from PySide6.QtCore import QKeyCombination, Qt
from PySide6.QtGui import QKeySequence

from taperlab.units.language import tr

Keys = QKeySequence | QKeyCombination | Qt.Key | Qt.KeyboardModifier | str
"""A key, or several pressed together, or one that is held meanwhile."""


def native(keys: Keys) -> str:
    """Keys as they are written on the person's keyboard."""
    if isinstance(keys, Qt.KeyboardModifier):
        # A modifier alone has no name of its own: that of one with a letter, less the letter.
        return native(QKeyCombination(keys, Qt.Key.Key_A))[:-1].rstrip("+")
    return QKeySequence(keys).toString(QKeySequence.SequenceFormat.NativeText)


def with_key(text: str, keys: Keys) -> str:
    """An entry of a menu with the key that does the same."""
    return f"{text}\t{native(keys)}"


@dataclass(frozen=True, slots=True)
class Help:
    """A row of the list of keys: what is pressed, or done with the mouse, and what it does."""

    how: str
    does: str

    @property
    def text(self) -> str:
        """Both, one after the other."""
        return tr("{how}: {does}").format(how=self.how, does=self.does)


@dataclass(frozen=True, slots=True)
class HelpGroup:
    """Rows of the list of keys that hold in one place."""

    title: str
    rows: tuple[Help, ...]


def plain(text: str) -> str:
    """The text of a menu's entry without the mark of its letter."""
    return text.replace("&&", "\0").replace("&", "").replace("\0", "&")


def help_on(keys: Iterable[Keys], does: str) -> Help:
    """A row for keys of which any does it."""
    return Help(", ".join(native(each) for each in keys), does)
