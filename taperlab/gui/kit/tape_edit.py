"""Fields for what is read off a tape, or marked off with one."""

from __future__ import annotations

from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.units.beside import parse_beside
from taperlab.units.sentence import Mark, OnTape


class TapeEdit(QuantityEdit):
    """A length as a tape reads it: to an eighth of an inch, or a millimetre.

    A bare number beside a length that stands there in inches or millimetres is one of those.
    """

    _beside: float | None = None

    def set_value(self, value: float | None) -> None:
        """Show a length in SI; what is typed next is read beside it."""
        self._beside = value
        super().set_value(value)

    def parsed(self, text: str) -> float:
        """What a typed text means [m]. Raises Unreadable."""
        beside = self._beside
        if beside is None:
            return super().parsed(text)
        return parse_beside(text, self._kind, self._settings.system, beside, self.written(beside))

    def written(self, value: float) -> str:
        """The length, rounded to the tape."""
        return OnTape(value).text(self._settings.system)


class MarkEdit(TapeEdit):
    """A length to be marked off, written as the tape at hand has it. step: of that tape [m]."""

    step: float | None = None

    def written(self, value: float) -> str:
        """The length in what the tape shows, whatever the rest is shown in."""
        if self.step is None:
            return super().written(value)
        return Mark(value, self.step).text(self._settings.system)
