"""The ring round a drawing that the keyboard brought the focus to."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFocusEvent, QPainter
from PySide6.QtWidgets import QWidget

from taperlab.gui.kit import theme as theming

_BY_KEY = (
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
)


def came_by_key(event: QFocusEvent) -> bool:
    """Whether the keyboard brought the focus; whoever clicks sees where he is."""
    return event.reason() in _BY_KEY


def paint_ring(painter: QPainter, widget: QWidget, tokens: theming.Tokens) -> None:
    """Draw the ring just inside a widget's edge."""
    painter.setPen(theming.pen(tokens.accent, 2.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.drawRoundedRect(widget.rect().adjusted(1, 1, -1, -1), 6, 6)
