"""The keys of a table, the editors in its cells, and the bubble that says what is wrong there."""

from __future__ import annotations

from enum import Enum, auto

from PySide6.QtCore import Property, QEvent, QKeyCombination, QPoint, QRect, Qt, Signal
from PySide6.QtGui import QAction, QHideEvent, QKeyEvent, QKeySequence, QMouseEvent
from PySide6.QtWidgets import QLabel, QLineEdit, QMenu, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.key_names import Keys
from taperlab.gui.kit.redo import redo_in
from taperlab.gui.kit.theme import Tokens
from taperlab.model.segment import Part
from taperlab.units.language import later, tr
from taperlab.units.parse import parts_beginning
from taperlab.units.words import heading, word


class Go(Enum):
    """Where the current cell goes next."""

    DOWN = auto()
    UP = auto()
    NEXT = auto()
    BACK = auto()


_SHIFT = Qt.KeyboardModifier.ShiftModifier

GO_KEYS: tuple[tuple[Keys, str, Go], ...] = (
    (Qt.Key.Key_Return, later("Go below; after Tabs, below where they began"), Go.DOWN),
    (QKeyCombination(_SHIFT, Qt.Key.Key_Return), later("Go above"), Go.UP),
    (Qt.Key.Key_Tab, later("Go to the next cell"), Go.NEXT),
    (QKeyCombination(_SHIFT, Qt.Key.Key_Tab), later("Go to the cell before"), Go.BACK),
)
"""The keys that move the current cell on, and take what is typed."""

_AS = {Qt.Key.Key_Enter: Qt.Key.Key_Return, Qt.Key.Key_Backtab: Qt.Key.Key_Tab}
"""Keys that are told from others by where they lie, or that Shift makes."""


def go_for(event: QKeyEvent) -> Go | None:
    """Where a key moves the current cell: Enter down, Tab right, with Shift the other way."""
    key, held = Qt.Key(event.key()), event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
    if key == Qt.Key.Key_Backtab:
        held |= _SHIFT
    pressed = QKeySequence(QKeyCombination(held, _AS.get(key, key)))
    return next((go for keys, _, go in GO_KEYS if QKeySequence(keys) == pressed), None)


_WIDEST = 360


class Bubble(QLabel):
    """One sentence directly under a cell, inside the table."""

    def __init__(self, viewport: QWidget) -> None:
        super().__init__(viewport)
        self._viewport = viewport
        self.setObjectName("bubble")
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setFont(theming.font(8.5))
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()

    def use(self, tokens: Tokens) -> None:
        """Take the colours of a theme."""
        self.setStyleSheet(
            f"#bubble {{ background: {tokens.bad_wash}; color: {tokens.ink};"
            f" border: 1px solid {tokens.bad}; border-radius: 6px; padding: 5px 8px; }}"
        )

    def say(self, sentence: str, cell: QRect) -> None:
        """Show a sentence under a cell, or above it where there is no room below."""
        self.setText(sentence)
        self.place(cell)
        self.show()
        self.raise_()

    def place(self, cell: QRect) -> None:
        """Stand beside a cell, wholly inside the table."""
        room = self._viewport.rect()
        width = min(_WIDEST, max(120, room.width() - 8))
        one_line = self.fontMetrics().horizontalAdvance(self.text()) + 24
        width = min(width, one_line)
        height = self.heightForWidth(width)
        x = max(4, min(cell.left(), room.right() - width - 4))
        y = cell.bottom() + 3
        if y + height > room.bottom() and cell.top() - height - 3 >= 0:
            y = cell.top() - height - 3
        self.setGeometry(x, y, width, height)


class CellEdit(QLineEdit):
    """A line edit in a cell. ``sentence`` says what is wrong with its text, or nothing."""

    def __init__(self, parent: QWidget, tokens: Tokens, bubble: Bubble) -> None:
        super().__init__(parent)
        self.sentence = ""
        self._bubble = bubble
        self.setObjectName("cell")
        self.setFont(theming.font())
        self.setFrame(False)
        self.setStyleSheet(
            f"#cell {{ background: {tokens.card}; color: {tokens.ink}; border-radius: 0;"
            f" border: 2px solid {tokens.accent}; padding: 0 4px; }}"
            f'#cell[bad="true"] {{ background: {tokens.bad_wash};'
            f" border: 2px solid {tokens.bad}; }}"
        )
        self.textEdited.connect(self._mended)

    bad = Property(bool, lambda self: bool(self.sentence))

    def say(self, sentence: str) -> None:
        """Turn red and say why, or turn back."""
        if sentence == self.sentence:
            return
        self.sentence = sentence
        self.setAccessibleDescription(sentence)
        self.style().unpolish(self)
        self.style().polish(self)
        if sentence:
            self._bubble.say(sentence, self.geometry())
        else:
            self._bubble.hide()

    def offer(self) -> None:
        """Have what is typed next take the place of the text."""
        self.selectAll()

    def mend(self) -> None:
        """Have what is typed next go into the text."""
        self.deselect()

    def event(self, event: QEvent) -> bool:
        """While a cell is typed into, what is done again is typing."""
        return redo_in(self, event) or super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """F2 keeps the text, to be mended."""
        if event.key() == Qt.Key.Key_F2:
            self.mend()
            self.end(False)
            return
        super().keyPressEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """On text that was refused, keep it, to be mended where the pointer is."""
        if not self.sentence:
            super().mouseDoubleClickEvent(event)
            return
        self.mend()
        self.setCursorPosition(self.cursorPositionAt(event.position().toPoint()))

    def hideEvent(self, event: QHideEvent) -> None:
        """Take the bubble along, whoever closes the editor."""
        self._bubble.hide()
        super().hideEvent(event)

    def _mended(self) -> None:
        self.say("")


class PartEdit(CellEdit):
    """Completes a part from its first letters; chosen(str) comes from the list."""

    chosen = Signal(str)

    def __init__(self, parent: QWidget, tokens: Tokens, bubble: Bubble) -> None:
        super().__init__(parent, tokens, bubble)
        self._typed = ""
        self.textEdited.connect(self._complete)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """F4, or Alt and Down, opens the list."""
        if opens_list(event):
            self.open_list()
            return
        super().keyPressEvent(event)

    def offer(self) -> None:
        """As in other cells; the first letters of another part are completed."""
        self._typed = ""
        super().offer()

    def open_list(self) -> None:
        """Offer all parts under the cell."""
        menu = PartMenu(self, self.text())
        menu.triggered.connect(self._choose)
        menu.popup(self.mapToGlobal(QPoint(0, self.height())))

    def _choose(self, action: QAction) -> None:
        self.setText(action.text())
        self.setModified(True)
        self.chosen.emit(action.text())

    def _complete(self, text: str) -> None:
        shrank = self._typed.startswith(text)
        self._typed = text
        if shrank or not text.strip() or self.cursorPosition() != len(text):
            return
        start = text.casefold()
        found = [one for one in parts_beginning(text) if word(one).casefold().startswith(start)]
        if found and not text.endswith(" "):
            whole = heading(found[0]) if text[0].isupper() else word(found[0])
            self.setText(text + whole[len(text) :])
            self.setSelection(len(self.text()), len(text) - len(self.text()))
            self.setModified(True)


class PartMenu(QMenu):
    """The list of parts; the present one is marked."""

    def __init__(self, parent: QWidget, current: str) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setAccessibleName(tr("Part"))
        for part in Part:
            action = self.addAction(heading(part))
            action.setCheckable(True)
            action.setChecked(heading(part).casefold() == current.casefold())
            if action.isChecked():
                self.setActiveAction(action)


def opens_list(event: QKeyEvent) -> bool:
    """Whether a key asks for the list of a field, as it does in any combo box."""
    alt_down = (
        event.key() == Qt.Key.Key_Down and event.modifiers() & Qt.KeyboardModifier.AltModifier
    )
    return event.key() == Qt.Key.Key_F4 or bool(alt_down)
