"""Fields for words, notes and days of the bench: taken over when the person goes on."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QSizePolicy

from taperlab.gui.kit.redo import left_to_window, redo_in
from taperlab.gui.kit.theme import px
from taperlab.units.days import parse_day, show_day
from taperlab.units.parse import Unreadable
from taperlab.units.sentence import NOTHING, Sentence


class TextField(QLineEdit):
    """A line of words. typed(str): a person wrote other words and went on.

    What the bench holds is shown unless other words are being typed.
    """

    typed = Signal(str)

    def __init__(self, name: str, tip: str = "") -> None:
        super().__init__()
        self._shown = ""
        self.setAccessibleName(name)
        self.setToolTip(tip or name)
        self.editingFinished.connect(self.commit)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show where it begins, once the keys go: a name is known by its first letters."""
        super().focusOutEvent(event)
        if event.reason() is not Qt.FocusReason.PopupFocusReason:
            self.setCursorPosition(0)

    def show_text(self, text: str, *, anew: bool = False) -> None:
        """Show what the bench holds; ``anew``: of another thing, whatever is being typed."""
        if anew or text != self._shown:
            self._shown = text
            if text != self.text():
                self.setText(text)
                self.setCursorPosition(0)

    def commit(self) -> None:
        """Take over what was typed."""
        text = self.text()
        if text == self._shown or self.isReadOnly():
            return
        self._shown = text
        # The bench has it now: Ctrl+Z is the window's from here.
        self.setText(text)
        self._take(text)

    def _take(self, text: str) -> None:
        self.typed.emit(text)

    def event(self, event: QEvent) -> bool:
        """Leave Ctrl+Z to the window where nothing was typed that could be taken back here."""
        if left_to_window(self, event):
            return False
        return redo_in(self, event) or super().event(event)


class DayField(TextField):
    """A day, year first, or none. day_typed(date or None): a person typed another and went on.

    problem(Sentence): what is wrong with the text; nothing once it reads well. read: how it is
    read, where it is not one day.
    """

    day_typed = Signal(object)
    problem = Signal(object)

    def __init__(self, name: str, tip: str = "", read: Callable[[str], Any] = parse_day) -> None:
        super().__init__(name, tip)
        self._read = read
        self._tip = self.toolTip()
        self.textEdited.connect(lambda: self.say(NOTHING))

    def show_day(self, day: date | None, *, anew: bool = False) -> None:
        """Show the day that the bench holds."""
        typed = self.text()
        self.show_text(show_day(day), anew=anew)
        if anew or (self.is_bad and self.text() != typed):
            self.say(NOTHING)

    @property
    def is_bad(self) -> bool:
        """Whether something is wrong with what was typed, which stays to be mended."""
        return bool(self.property("bad"))

    def commit(self) -> None:
        """Take over what was typed; where that can't be, the bench holds what it held."""
        held = self._shown
        super().commit()
        if self.is_bad:
            self._shown = held

    def _take(self, text: str) -> None:
        try:
            found = self._read(text) if text.strip() else None
        except Unreadable as problem:
            self.say(problem.sentence)
            return
        self.say(NOTHING)
        self.day_typed.emit(found)

    def say(self, sentence: Sentence) -> None:
        """Say what is wrong with what was typed, or nothing."""
        text = str(sentence)
        if self.is_bad != bool(sentence):
            self.setProperty("bad", bool(sentence))
            self.style().unpolish(self)
            self.style().polish(self)
        self.setToolTip(text or self._tip)
        self.setAccessibleDescription(text)
        self.problem.emit(sentence)


class NoteField(QPlainTextEdit):
    """A note of several lines. typed(str): a person wrote another and went on."""

    typed = Signal(str)

    def __init__(self, name: str, tip: str = "", lines: int = 3) -> None:
        super().__init__()
        self._shown = ""
        self._lines = lines
        self.setAccessibleName(name)
        self.setToolTip(tip or name)
        self.setTabChangesFocus(True)
        self.document().setDocumentMargin(2.0)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_text(self, text: str, *, anew: bool = False) -> None:
        """Show what the bench holds; ``anew``: of another thing, whatever is being typed."""
        if anew or text != self._shown:
            self._shown = text
            if text != self.toPlainText():
                self.setPlainText(text)

    def commit(self) -> None:
        """Take over what was typed."""
        text = self.toPlainText()
        if text == self._shown or self.isReadOnly():
            return
        self._shown = text
        self.document().clearUndoRedoStacks()  # Ctrl+Z is the window's from here
        self.typed.emit(text)

    def sizeHint(self) -> QSize:
        """So many lines; more scroll."""
        high = self._lines * self.fontMetrics().lineSpacing() + px(18)
        return QSize(px(120), high)

    def minimumSizeHint(self) -> QSize:
        """No lower."""
        return self.sizeHint()

    def event(self, event: QEvent) -> bool:
        """Leave Ctrl+Z to the window where nothing was typed that could be taken back here."""
        return not left_to_window(self, event) and super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ctrl and Enter take what is typed, as going on does."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and (
            event.modifiers() & Qt.KeyboardModifier.ControlModifier
        ):
            self.commit()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take what is typed."""
        super().focusOutEvent(event)
        if event.reason() is not Qt.FocusReason.PopupFocusReason:
            self.commit()
