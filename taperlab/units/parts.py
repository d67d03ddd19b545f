"""Reading a typed part: any case, its first letters are enough."""

from __future__ import annotations

from taperlab.model.segment import Part
from taperlab.units.parse import Unreadable, quoted
from taperlab.units.sentence import any_of
from taperlab.units.words import word

_OTHER_WORDS = {"cheater": Part.EXTENSION, "handling": Part.HANDLING_LINE, "sinktip": Part.SINK_TIP}


def parts_beginning(text: str) -> list[Part]:
    """The parts that a text could be the beginning of, in order.

    A part is told by the word that files hold or by that of the language that is read.
    """
    start = " ".join(text.casefold().split())
    return [part for part in Part if any(name.startswith(start) for name in _names(part))]


def read_part(text: str) -> Part:
    """The part that a text names. Raises Unreadable."""
    typed = " ".join(text.casefold().split())
    if typed in _OTHER_WORDS:
        return _OTHER_WORDS[typed]
    found = parts_beginning(typed) if typed else []
    exact = [part for part in found if typed in _names(part)]
    if len(exact or found) == 1:
        return (exact or found)[0]
    if found:
        raise Unreadable(
            "{found} could be {parts}: type more of it.", found=quoted(text), parts=any_of(found)
        )
    if not typed:
        raise Unreadable("Nothing was typed: type one of {parts}.", parts=any_of(Part))
    raise Unreadable(
        "{found} is no part of a line: type one of {parts}.", found=quoted(text), parts=any_of(Part)
    )


def _names(part: Part) -> tuple[str, str]:
    return str(part), word(part).casefold()
