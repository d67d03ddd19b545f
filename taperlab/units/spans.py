"""Typed ranges: ``480 to 500 gr``, ``480..500 gr``, ``480-500``; one number is no range."""

from __future__ import annotations

import re

from taperlab.units.kinds import Kind, System
from taperlab.units.language import tr
from taperlab.units.parse import Unreadable, parse, quoted
from taperlab.units.typed import NotANumber, plain_text, read

_APART = re.compile(r"\.\.\.?|…|(?<=\s)to(?=\s)", re.IGNORECASE)
_DASH = re.compile(r"(?<=[^\s/-])-(?=[\d.])")
_OPEN_DASH = re.compile(r"(?<=\S)\s+-\s+(?=[\d.])")


def parse_span(text: str, kind: Kind, system: System) -> tuple[float, float] | None:
    """Both ends [SI] of a range that was typed, or None where the text is no range.

    A unit that stands behind the second number alone is that of both. Raises Unreadable.
    """
    parts = parted(text)
    if len(parts) < 2:
        parts = _dashed(text, kind, system)
    if len(parts) < 2:
        return None
    first, second = (part.strip() for part in parts)
    try:
        words = read(second, dashed=kind.feet_and_inches).words
        if words and not read(first, dashed=kind.feet_and_inches).words:
            first = f"{first} {words}"
    except NotANumber:
        pass  # what cannot be read is said by whoever reads it next
    low, high = parse(first, kind, system), parse(second, kind, system)
    if low > high:
        raise Unreadable(
            "{found} goes from more to less: type the lower one first.", found=quoted(text)
        )
    return low, high


def parted(text: str) -> list[str]:
    """A text parted where a word or dots say that it goes from one thing to another."""
    parts = _APART.split(text, maxsplit=1)
    if len(parts) < 2:
        here = re.compile(rf"(?<=\s){re.escape(tr('to'))}(?=\s)", re.IGNORECASE)
        parts = here.split(text, maxsplit=1)
    return parts


def _dashed(text: str, kind: Kind, system: System) -> list[str]:
    """A text parted at its one dash, where it is not one number as it stands.

    Feet and inches are joined by a dash too: there it has spaces around it.
    """
    try:
        parse(text, kind, system)
    except Unreadable:
        pass
    else:
        return [text]
    plain = plain_text(text)
    parts = _OPEN_DASH.split(plain)
    if len(parts) != 2 and not kind.feet_and_inches:
        parts = _DASH.split(plain)
    return parts if len(parts) == 2 else [text]
