"""A field for several values of one kind, as many lines high as they need."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent, QTextOption
from PySide6.QtWidgets import QPlainTextEdit, QSizePolicy

from taperlab.gui.kit.redo import left_to_window
from taperlab.gui.kit.widgets import Remark
from taperlab.gui.pages.range.case import RangeCase
from taperlab.units.kinds import Kind
from taperlab.units.limits import MOST_MEMBERS
from taperlab.units.parse import Unreadable
from taperlab.units.sentence import NOTHING, Sentence
from taperlab.units.several import parse_several, several_text

MOST_LINES = 4
"""It grows no higher; more is scrolled to."""


class SeveralEdit(QPlainTextEdit):
    """A field for a list of values. optional: an empty one is no fault.

    entered(): Enter was pressed; left(): the keys went elsewhere. problem: what is wrong with its
    text, to be shown below it.
    """

    entered = Signal()
    left = Signal()

    def __init__(
        self, kind: Kind, case: RangeCase, name: str, tip: str, *, optional: bool = False
    ) -> None:
        super().__init__()
        self._kind, self._case, self._optional = kind, case, optional
        self._shown = ""
        self.problem = Remark("bad", points=8.5)
        self.setAccessibleName(name)
        self.setToolTip(tip)
        self.setTabChangesFocus(True)
        self.setWordWrapMode(QTextOption.WrapMode.WordWrap)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.document().setDocumentMargin(2.0)
        self.textChanged.connect(self._changed)

    # -- the values ----------------------------------------------------------------------------

    def text(self) -> str:
        """What stands in it."""
        return self.toPlainText()

    def show_values(self, values: tuple[float, ...]) -> None:
        """Show values [SI], unless others are being typed."""
        text = several_text(values, self._kind, self._case.system)
        if text != self._shown and not (self.hasFocus() and self.is_typed):
            self._shown = text
            self.setPlainText(text)

    def took(self, values: tuple[float, ...]) -> None:
        """Show values [SI] that the bench has taken: Ctrl+Z is the window's from here."""
        self._shown = several_text(values, self._kind, self._case.system)
        self.setPlainText(self._shown)

    @property
    def is_typed(self) -> bool:
        """Whether another text stands in it than was shown."""
        return self.text() != self._shown

    def values(self) -> tuple[float, ...] | None:
        """The values [SI] that are typed; None, and a sentence below, for what can't be read."""
        if self._optional and not self.text().strip():
            return ()
        try:
            return parse_several(self.text(), self._kind, self._case.system, MOST_MEMBERS)
        except Unreadable as problem:
            self.say(problem.sentence)
            return None

    def say(self, sentence: Sentence) -> None:
        """Say what is wrong, or nothing."""
        text = self._case.place.read(sentence)
        if text == self.problem.text():
            return
        self.problem.say(text)
        self.setProperty("bad", bool(text))
        self.setAccessibleDescription(text)
        self.style().unpolish(self)
        self.style().polish(self)

    def _changed(self) -> None:
        self.say(NOTHING)
        self._take_height()

    # -- Qt ------------------------------------------------------------------------------------

    def sizeHint(self) -> QSize:
        """As high as its lines."""
        return QSize(self.fontMetrics().horizontalAdvance("0") * 12, self._height())

    def minimumSizeHint(self) -> QSize:
        """No lower."""
        return self.sizeHint()

    def _height(self) -> int:
        lines = int(self.document().size().height())  # counted in lines, not in pixels
        lines = min(max(lines, 1), MOST_LINES)
        frame = self.height() - self.viewport().height()
        margin = 2.0 * self.document().documentMargin()
        return round(lines * self.fontMetrics().lineSpacing() + margin) + max(frame, 8)

    def _take_height(self) -> None:
        if self.height() != self._height():
            self.setFixedHeight(self._height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width may need other lines."""
        super().resizeEvent(event)
        self._take_height()

    def changeEvent(self, event: QEvent) -> None:
        """Other letters need another height."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._take_height()

    def event(self, event: QEvent) -> bool:
        """Leave Ctrl+Z to the window where nothing was typed that could be taken back here."""
        return not left_to_window(self, event) and super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter takes what is typed; Shift and Enter begin another line."""
        plain = not event.modifiers() & Qt.KeyboardModifier.ShiftModifier
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and plain:
            self.entered.emit()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Say that it was left."""
        super().focusOutEvent(event)
        if event.reason() is not Qt.FocusReason.PopupFocusReason:
            self.left.emit()
