"""Something folded away to one line, with a word on what is in it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QToolButton, QWidget

from taperlab.gui.kit.widgets import in_column, in_row, label

OPEN, SHUT = "▾", "▸"


class Fold(QWidget):
    """A line that opens and shuts what is below it."""

    def __init__(self, name: str, content: QWidget) -> None:
        super().__init__()
        self._name = name
        self.content = content
        self.button = QToolButton()
        self.button.setObjectName("fold")
        self.button.setCheckable(True)
        self.button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.summary: QLabel = label("", points=8.5, role="soft")
        content.hide()
        in_column(in_row(self.button, None, self.summary, spacing=6), content, spacing=4, of=self)
        self.button.toggled.connect(self._toggled)
        self._show_name()

    @property
    def is_open(self) -> bool:
        """Whether what is below it is seen."""
        return self.button.isChecked()

    def open(self, opened: bool = True) -> None:
        """Open or shut it."""
        self.button.setChecked(opened)

    def summarize(self, text: str) -> None:
        """Say in a word what is in it."""
        self.summary.setText(text)

    def _toggled(self, opened: bool) -> None:
        self.content.setVisible(opened)
        self._show_name()

    def _show_name(self) -> None:
        self.button.setText(f"{OPEN if self.is_open else SHUT} {self._name}")
        self.button.setAccessibleName(self._name)
        self.summary.setVisible(not self.is_open)
