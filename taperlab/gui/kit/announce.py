"""What a screen reader is to say now, without being asked: the one place that tells it."""

from __future__ import annotations

from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QWidget

send = QAccessible.updateAccessibility
"""Hands an event to whatever reads the screen; where nothing does, to nobody."""

_Politeness = QAccessible.AnnouncementPoliteness


def announce(widget: QWidget, words: str, *, at_once: bool = False) -> None:
    """Have words said when there is a pause, or at once, over what is being said."""
    if words:
        event = QAccessibleAnnouncementEvent(widget, words)
        event.setPoliteness(_Politeness.Assertive if at_once else _Politeness.Polite)
        send(event)
