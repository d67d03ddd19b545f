"""Reading a typed part: any case, its first letters are enough."""

from __future__ import annotations

from taperlab.model.segment import Part
from taperlab.units.parse import quoted

_OTHER_WORDS = {"cheater": Part.EXTENSION, "handling": Part.HANDLING_LINE, "sinktip": Part.SINK_TIP}


class NotAPart(ValueError):  # noqa: N818 - a state of the text, not a fault
    """Text that names no part, or more than one. ``str()`` of it is the sentence."""


def parts_beginning(text: str) -> list[Part]:
    """The parts that a text could be the beginning of, in order."""
    start = " ".join(text.casefold().split())
    return [part for part in Part if part.startswith(start)]


def read_part(text: str) -> Part:
    """The part that a text names. Raises NotAPart."""
    typed = " ".join(text.casefold().split())
    if typed in _OTHER_WORDS:
        return _OTHER_WORDS[typed]
    found = parts_beginning(typed) if typed else []
    if typed in list(found):
        return Part(typed)
    if len(found) == 1:
        return found[0]
    if found:
        raise NotAPart(f"{quoted(text)} could be {' or '.join(found)}: type more of it.")
    wanted = f"type one of {', '.join(Part)}"
    if not typed:
        raise NotAPart(f"Nothing was typed: {wanted}.")
    raise NotAPart(f"{quoted(text)} is no part of a line: {wanted}.")


def capital(part: Part) -> str:
    """A part as the table writes it."""
    return str(part).capitalize()
