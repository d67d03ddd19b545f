"""A box to choose from, whose choice is never cut off in the middle of a word or a number."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QComboBox, QStyle, QStyleOptionComboBox, QStylePainter

_MARGIN = 2
"""Ahead of the text and behind it, as styles draw it [px]."""


class Choice(QComboBox):
    """As any such box, but a choice that has no room ends in an ellipsis."""

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the box and as much of the choice as has room."""
        painter, option = QStylePainter(self), QStyleOptionComboBox()
        self.initStyleOption(option)
        painter.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option)
        option.currentText = self.shown_text()
        painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option)

    def shown_text(self) -> str:
        """The choice as it is painted."""
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        room = self.style().subControlRect(
            QStyle.ComplexControl.CC_ComboBox,
            option,
            QStyle.SubControl.SC_ComboBoxEditField,
            self,
        )
        return self.fontMetrics().elidedText(
            self.currentText(), Qt.TextElideMode.ElideRight, room.width() - 2 * _MARGIN
        )
