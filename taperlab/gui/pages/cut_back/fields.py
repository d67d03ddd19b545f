"""Fields of the page: taken over when the person goes on, shown anew when the bench says so."""

from __future__ import annotations

from collections.abc import Callable

from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.units.sentence import Mark, OnTape


class TapeEdit(QuantityEdit):
    """A length as a tape reads it: to an eighth of an inch, or a millimetre."""

    def written(self, value: float) -> str:
        """The length, rounded to the tape."""
        return OnTape(value).text(self._settings.system)


class MarkEdit(TapeEdit):
    """A length to be marked off, written as the tape in hand has it. step: of that tape [m]."""

    step: float | None = None

    def written(self, value: float) -> str:
        """The length in what the tape shows, whatever the rest is shown in."""
        if self.step is None:
            return super().written(value)
        return Mark(value, self.step).text(self._settings.system)


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
