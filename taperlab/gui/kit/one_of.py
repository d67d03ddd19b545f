"""One word of a vocabulary, chosen from buttons that stand side by side."""

from __future__ import annotations

from enum import StrEnum

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QPushButton, QSizePolicy, QWidget

from taperlab.units.language import tr
from taperlab.units.words import heading

BETWEEN = 4
"""Two buttons [px]."""


class OneOf(QWidget):
    """Buttons of which one is pressed at most, in as few rows as their words need.

    Tab goes to the pressed one, the arrow keys press the next, Delete takes the choice away.
    chosen(word): a person chose a word, or None.
    """

    chosen = Signal(object)

    def __init__(self, words: type[StrEnum], name: str) -> None:
        super().__init__()
        self.words = tuple(words)
        self.setAccessibleName(name)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(BETWEEN)
        self._columns = 0
        self.buttons = [self._button(word, name) for word in self.words]
        self._lay_out(len(self.words))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def _button(self, word: StrEnum, name: str) -> QPushButton:
        made = QPushButton(self)
        made.setObjectName("segment")
        made.setText(heading(word))
        made.setCheckable(True)
        made.setAutoExclusive(True)
        made.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        made.setAccessibleName(tr("{name}: {value}").format(name=name, value=heading(word)))
        made.setToolTip(tr("Delete takes the answer away"))
        made.clicked.connect(lambda: self.chosen.emit(word))
        return made

    @property
    def choice(self) -> StrEnum | None:
        """The word whose button is pressed."""
        pressed = (w for w, each in zip(self.words, self.buttons, strict=True) if each.isChecked())
        return next(pressed, None)

    def show_choice(self, choice: StrEnum | None) -> None:
        """Show a word as chosen, or none."""
        if choice is self.choice:
            return
        for word, each in zip(self.words, self.buttons, strict=True):
            each.setAutoExclusive(False)  # of those that exclude each other one stays pressed
            each.setChecked(word is choice)
            each.setAutoExclusive(True)
        at = self.buttons[self.words.index(choice)] if choice is not None else None
        for each in self.buttons:
            each.setFocusPolicy(
                Qt.FocusPolicy.StrongFocus
                if each is at or (at is None and each is self.buttons[0])
                else Qt.FocusPolicy.ClickFocus
            )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take the choice away."""
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.chosen.emit(None)
        else:
            super().keyPressEvent(event)

    # -- rows ----------------------------------------------------------------------------------

    def minimumSizeHint(self) -> QSize:
        """Two of the widest side by side."""
        count = min(2, len(self.buttons))
        return QSize(self._wide(count), self._grid.totalMinimumSize().height())

    def sizeHint(self) -> QSize:
        """As high as it is laid out."""
        return self.minimumSizeHint()

    def _wide(self, columns: int) -> int:
        """The width that so many columns need [px]."""
        hints = [each.sizeHint().width() for each in self.buttons]
        if columns >= len(hints):
            return sum(hints) + BETWEEN * (len(hints) - 1)
        return columns * max(hints) + BETWEEN * (columns - 1)

    def _lay_out(self, columns: int) -> None:
        if columns != self._columns:
            for column in range(self._columns):
                self._grid.setColumnStretch(column, 0)
            for at, each in enumerate(self.buttons):
                self._grid.addWidget(each, at // columns, at % columns)
            self._columns = columns
            self.updateGeometry()
        # In one row each has what its word needs and a share of the rest; else all are alike.
        whole = columns >= len(self.buttons)
        for at, each in enumerate(self.buttons[:columns]):
            self._grid.setColumnStretch(at, each.sizeHint().width() if whole else 1)

    def _fit(self) -> None:
        count = len(self.buttons)
        self._lay_out(count if self._wide(count) <= self.width() else min(2, count))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take as many rows as there is need for."""
        super().resizeEvent(event)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        """Other letters need other room."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._fit()
