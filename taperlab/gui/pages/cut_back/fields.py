"""Fields of the page: taken over when the person goes on, shown anew when the bench says so."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QWidget

from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import label
from taperlab.gui.state.settings import Settings
from taperlab.units.kinds import LENGTH, Kind
from taperlab.units.sentence import OnTape


class TapeEdit(QuantityEdit):
    """A length as a tape reads it: to an eighth of an inch, or a millimetre."""

    def __init__(self, settings: Settings, kind: Kind = LENGTH, **options: Any) -> None:
        super().__init__(kind, settings, **options)

    def _show_value(self) -> None:
        value = self._value
        self._shown = "" if value is None else OnTape(value).text(self._settings.system)
        if self.text() != self._shown:
            self.setText(self._shown)


class Kept:
    """Ties a field to one value of the bench.

    take: called with the value when it was changed by hand and reads well; says whether the bench
    took it. The field is rewritten only when the bench holds another value than it did, so that
    half-typed text survives.
    """

    def __init__(self, field: QuantityEdit, take: Callable[[float | None], bool]) -> None:
        self.field = field
        self._take = take
        self._held: float | None = None
        self._is_new = True
        field.editingFinished.connect(self.commit)

    def show(self, value: float | None, *, anew: bool = False) -> None:
        """Show what the bench holds; ``anew`` for another cut-back."""
        if anew or self._is_new or value != self._held:
            self._held, self._is_new = value, False
            self.field.set_value(value)

    def commit(self) -> None:
        """Take over what was typed."""
        if self.field.sentence or self._is_new:
            return
        value = self.field.value()
        if value is None and not self.field.is_optional:
            self.field.set_value(self._held)
        elif value != self._held:
            before, self._held = self._held, value
            if not self._take(value):
                self._held = before
                self.field.set_value(before)
            # The bench has it now: Ctrl+Z is the window's from here.
            self.field.setText(self.field.text())


def pair(name: str, widget: QWidget, width: int = 150) -> QHBoxLayout:
    """A name with its field at the right."""
    row = QHBoxLayout()
    row.setSpacing(8)
    words = label(name, wrap=True)
    words.setBuddy(widget)
    row.addWidget(words, 1)
    widget.setFixedWidth(width)
    row.addWidget(widget)
    return row


def box(name: str, items: list[str]) -> QComboBox:
    """A list to choose from."""
    made = QComboBox()
    made.setAccessibleName(name)
    made.addItems(items)
    return made
