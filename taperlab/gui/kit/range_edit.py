"""A field for one quantity, or for a range of it."""

from __future__ import annotations

from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.units.kinds import Kind
from taperlab.units.language import tr
from taperlab.units.parse import Unreadable
from taperlab.units.spans import parse_span


class RangeEdit(QuantityEdit):
    """As a field for a quantity, but ``480 to 500 gr`` or ``480-500`` is read too.

    The value of a range is its middle; ``span`` gives both ends.
    """

    _span: tuple[float, float] | None = None

    @property
    def span(self) -> tuple[float, float] | None:
        """Both ends [SI] of a range that was typed; None for a single number, or none."""
        return None if self.bad else self._span

    def set_span(self, low: float, high: float, text: str) -> None:
        """Show a range [SI] as it is written."""
        self.set_value((low + high) / 2.0)
        self._span, self._shown = (low, high), text
        self.setText(text)

    def use_kind(self, kind: Kind) -> None:
        """Take another kind of value from now on; what is typed is read anew."""
        self._kind = kind
        self._span, self._value, self._shown = None, None, ""
        self.set_help(tr(kind.help))

    def _read(self, text: str) -> None:
        if text == self._shown:
            super()._read(text)
            return
        self._span = None
        try:
            span = parse_span(text, self._kind, self._settings.system)
        except Unreadable as unreadable:
            self._set_problem(unreadable.sentence)
            self.value_changed.emit()
            return
        if span is None:
            super()._read(text)
            return
        self._span, self._value, self._shown = span, (span[0] + span[1]) / 2.0, text
        self._set_problem(self._fault(self._value))
        self.value_changed.emit()

    def _show_value(self) -> None:
        # A range stays as it was typed.
        if self._span is None:
            super()._show_value()
