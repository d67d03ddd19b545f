"""A field tied to a value of the bench: taken over when the person goes on, shown as it is."""

from __future__ import annotations

from collections.abc import Callable

from taperlab.gui.kit.quantity_edit import QuantityEdit


class Kept:
    """Ties a field to one value of the bench.

    take: called with the value when it was changed by hand and reads well; says whether the bench
    took it. The field is rewritten only when the bench holds another value than it did, so that
    half-typed text survives; and the bench only when the field holds another value than it was
    shown, so that a field left alone never writes what it was shown of something else.
    """

    def __init__(self, field: QuantityEdit, take: Callable[[float | None], bool]) -> None:
        self.field = field
        self._take = take
        self._held: float | None = None
        self._is_new = True
        field.editingFinished.connect(self.commit)

    def show(self, value: float | None, *, anew: bool = False) -> None:
        """Show what the bench holds; ``anew``: of another thing, or of another bench."""
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
