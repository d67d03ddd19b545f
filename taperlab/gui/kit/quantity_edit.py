"""A field for one quantity: typed in any usual form, kept in SI, read while it is typed."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Property, QEvent, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QDialog, QLineEdit, QSizePolicy, QStyle, QStyleOptionFrame, QWidget

from taperlab.gui.kit.redo import left_to_window, redo_in
from taperlab.gui.state.settings import Settings
from taperlab.units.kinds import Kind
from taperlab.units.language import tr
from taperlab.units.parse import Unreadable, parse
from taperlab.units.sentence import NOTHING, Sentence, render
from taperlab.units.show import show

Check = Callable[[float], Sentence | None]
"""Says what is wrong with a value that reads well, or nothing."""


class QuantityEdit(QLineEdit):
    """A line edit for one kind of quantity.

    value_changed(): the value, or whether there is one, is another now.
    sentence_changed(str): what is wrong with the text, in the person's units; empty once it reads
    well. Connect it to the ``setText`` of a label; the tooltip says the same.

    The full value is kept, not the rounded text: leaving the text as it is shown leaves the value
    exactly as it was set.
    """

    value_changed = Signal()
    sentence_changed = Signal(str)

    def __init__(
        self,
        kind: Kind,
        settings: Settings,
        parent: QWidget | None = None,
        *,
        name: str = "",
        optional: bool = False,
        check: Check | None = None,
    ) -> None:
        """Make a field.

        name: what the field is called when read aloud, the kind's label by default.
        optional: an empty field is no fault. check: a further test of a value that reads well.
        """
        super().__init__(parent)
        self._kind = kind
        self._settings = settings
        self._optional = optional
        self._check = check
        self._value: float | None = None
        self._shown = ""
        self._problem = NOTHING
        self._help = tr(kind.help)
        self._width = 0
        self.setAccessibleName(name or tr(kind.label))
        self.setToolTip(self._help)
        self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.textEdited.connect(self._read)
        self.textChanged.connect(self.updateGeometry)
        settings.units_changed.connect(self._units_changed)

    # -- the value ----------------------------------------------------------------------------

    def value(self) -> float | None:
        """The value in SI, or None where the field is empty or cannot be read."""
        return None if self._problem else self._value

    def set_value(self, value: float | None) -> None:
        """Show a value in SI; None empties the field."""
        before = self.value()
        self._value = value
        self._show_value()
        self._set_problem(self._fault(value))
        if self.value() != before:
            self.value_changed.emit()

    def read_again(self) -> None:
        """Judge the text anew, for a check that looks at other fields."""
        self._read(self.text())

    def require(self) -> float | None:
        """The value for an answer being accepted: an empty field that must be filled turns bad."""
        if not self.text().strip() and not self._optional:
            self._set_problem(Sentence("{name} is missing.", name=self.accessibleName()))
        if self._problem:
            self.setFocus()
            self.selectAll()
        return self.value()

    def _get_bad(self) -> bool:
        return bool(self._problem)

    bad = Property(bool, _get_bad)
    """Whether the text cannot be used; the style sheet colours the field by it."""

    @property
    def is_optional(self) -> bool:
        """Whether an empty field is no fault."""
        return self._optional

    @property
    def sentence(self) -> str:
        """What is wrong with the text, in the person's units, or nothing."""
        return render(self._problem, self._settings.system)

    def set_help(self, text: str) -> None:
        """Say in the tooltip what this field means, instead of the kind's own words."""
        self._help = text
        self.setToolTip(self.sentence or text)

    def keep_width(self, width: int) -> None:
        """Be as wide as so many pixels, and wider only where the text needs it."""
        self._width = width
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.updateGeometry()

    # -- Qt -----------------------------------------------------------------------------------

    def setPlaceholderText(self, text: str) -> None:
        """Show a text while the field is empty, and have room for all of it."""
        super().setPlaceholderText(text)
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        """Room for a long value such as 13 ft 6 in."""
        wide = self._width or self.fontMetrics().horizontalAdvance("0000 ft 00.0 in") + 20
        return self.minimumSizeHint().expandedTo(QSize(wide, super().sizeHint().height()))

    def minimumSizeHint(self) -> QSize:
        """Room for the whole of the text, or of what stands in its place."""
        option = QStyleOptionFrame()
        self.initStyleOption(option)
        text = self.fontMetrics().horizontalAdvance(self.text() or self.placeholderText())
        # Qt keeps two pixels free at either side, and the caret needs one.
        inside = QSize(text + 5, self.fontMetrics().height() + 2)
        kind = QStyle.ContentsType.CT_LineEdit
        room = self.style().sizeFromContents(kind, option, inside, self)
        return QSize(room.width(), super().minimumSizeHint().height())

    def event(self, event: QEvent) -> bool:
        """Leave Ctrl+Z to the window where nothing was typed that could be taken back here."""
        if left_to_window(self, event):
            return False
        return redo_in(self, event) or super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keep Enter to itself, but for a dialog that it answers.

        What it does may put the keys on a button, which the same Enter must not press as well.
        """
        super().keyPressEvent(event)
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and not isinstance(self.window(), QDialog):
            event.accept()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show a well-read value the way the program writes it."""
        super().focusOutEvent(event)
        if not self._problem:
            self._show_value()

    # -- inside -------------------------------------------------------------------------------

    def written(self, value: float) -> str:
        """A value [SI] as it is shown here."""
        return show(value, self._kind, self._settings.system)

    def parsed(self, text: str) -> float:
        """What a typed text means [SI]. Raises Unreadable."""
        return parse(text, self._kind, self._settings.system)

    def _show_value(self) -> None:
        self._shown = "" if self._value is None else self.written(self._value)
        if self.text() != self._shown:
            self.setText(self._shown)

    def _fault(self, value: float | None) -> Sentence:
        if value is None or self._check is None:
            return NOTHING
        return self._check(value) or NOTHING

    def _read(self, text: str) -> None:
        before = self.value()
        if text == self._shown:
            problem = self._fault(self._value)
        elif not text.strip():
            self._value, self._shown = None, text
            problem = NOTHING
        else:
            try:
                self._value = self.parsed(text)
                self._shown = text
                problem = self._fault(self._value)
            except Unreadable as unreadable:
                problem = unreadable.sentence
        self._set_problem(problem)
        if self.value() != before:
            self.value_changed.emit()

    def _set_problem(self, problem: Sentence) -> None:
        if problem == self._problem:
            return
        was_bad, self._problem = bool(self._problem), problem
        if bool(problem) != was_bad:
            # Style sheets look at a property only when the widget is polished.
            self.style().unpolish(self)
            self.style().polish(self)
        self._say_problem()

    def _say_problem(self) -> None:
        sentence = self.sentence
        self.setToolTip(sentence or self._help)
        self.setAccessibleDescription(sentence)
        self.sentence_changed.emit(sentence)

    def _units_changed(self) -> None:
        # Text that is still being mended keeps the words the person typed.
        if self._problem:
            self._say_problem()
        else:
            self._show_value()
