"""What a person reads for the values that files keep: parts, styles, joints, loops, waters."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum

from taperlab.units.language import tr


def word(value: StrEnum) -> str:
    """The word for a value in the language that is read; files hold it in English in all."""
    return tr(value.value)


def heading(value: StrEnum) -> str:
    """The word for a value as a heading or an entry of a list begins: with a capital."""
    return capital(word(value))


def capital(text: str) -> str:
    """The text with a capital at its beginning; the rest as it is."""
    return text[:1].upper() + text[1:]


def one_after_another(texts: Iterable[str]) -> str:
    """Texts that are read already, each ended by a stop where another follows."""
    said = list(texts)
    ended = (text if text.endswith((".", "!", "?")) else f"{text}." for text in said[:-1])
    return " ".join((*ended, *said[-1:]))
