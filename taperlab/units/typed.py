"""The grammar of typed numbers: text to an exact fraction and the words after it.

A point is always a decimal point. A comma is a decimal comma, unless it could as well group
thousands: ``0,085`` and ``12,5`` are read, ``1,234`` is refused. Where both marks stand, or one
stands more than once, all but the last kind group thousands and must do so by threes:
``1,234.5`` and ``1.234,5``. A caller who knows that a file has decimal commas says so, and the
two marks change places; one who was told what a mark means says that the other only groups.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from taperlab.units.sentence import Told

Mark = Literal[".", ","]

LONGEST = 60
"""Longer text than this is no number that anybody typed."""

_SAME = str.maketrans(
    {
        **dict.fromkeys("′’‘ʹ´`‵", "'"),
        **dict.fromkeys("″”“„ʺ‶", '"'),
        **dict.fromkeys("−–‒‐‑", "-"),
        **dict.fromkeys("\u00a0\u2007\u2009\u202f\t\n\r", " "),
        "⁄": "/",
        "∕": "/",
    }
)

_FRACTIONS = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5",
    "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8",
    "⅞": "7/8",
}  # fmt: skip

_DECIMAL = r"(?:[0-9][0-9.,]*|[.,][0-9][0-9.,]*)(?:[eE][+-]?[0-9]{1,2}(?![0-9]))?"
_MIXED = r"[0-9]+(?: +|-)[0-9]+ ?/ ?[0-9]+"
_FRACTION = r"[0-9]+ ?/ ?[0-9]+"
_NUMBER = f"(?:{_MIXED}|{_FRACTION}|{_DECIMAL})"
_SIGN = r"(?P<sign>[+-]?) ?"
_INCH = r"(?: ?(?:\"|inches|inch|ins|in\.|in))?"

_PLAIN = re.compile(rf"{_SIGN}(?P<number>{_NUMBER}) ?(?P<words>.*)")
_FEET_INCHES = re.compile(
    rf"{_SIGN}(?P<feet>[0-9]+) ?(?:'|feet|foot|ft\.|ft) ?[,-]? ?(?P<inches>{_NUMBER}){_INCH}",
    re.IGNORECASE,
)
_DASHED = re.compile(
    rf"{_SIGN}(?P<feet>[0-9]+) ?- ?(?P<inches>{_MIXED}|{_DECIMAL}){_INCH}", re.IGNORECASE
)
_INCHES_AFTER = re.compile(rf"(?:'|feet|foot|ft\.|ft) ?{_NUMBER}{_INCH}$", re.IGNORECASE)
_NAN = re.compile(r"[+-]* ?nan\b", re.IGNORECASE)
_INFINITE = re.compile(r"[+-]* ?(?:inf\b|infinity\b|∞)", re.IGNORECASE)


class NotANumber(Told, ValueError):  # noqa: N818  (as Unreadable)
    """The text is no number. ``sentence`` goes on where the text itself leaves off."""


@dataclass(frozen=True, slots=True)
class Typed:
    """A number and the words after it, which may be none.

    hyphen: a whole number and a fraction were joined by a hyphen, as in ``6-1/2``.
    """

    number: Fraction
    words: str
    hyphen: bool = False


def plain_text(text: str) -> str:
    """The text with look-alike marks, spaces and fractions made plain, single spaces only."""
    text = text.translate(_SAME)
    if not text.isascii():
        for glyph, fraction in _FRACTIONS.items():
            text = text.replace(glyph, f" {fraction}")
    return re.sub(" +", " ", text).strip(" ").replace("''", '"')


_MARKED = re.compile(r"[0-9.,]*[.,][0-9.,]*")
_OPEN = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


def decimal_marks(text: str) -> tuple[frozenset[Mark], ...]:
    """Of each number in a text that has a mark, which decimal marks it may have been written with.

    A lone comma before three digits leaves it open: it is decimal, or groups thousands.
    """
    return tuple(map(_decimal_marks, _MARKED.findall(text)))


def _decimal_marks(number: str) -> frozenset[Mark]:
    if _OPEN.fullmatch(number):
        return frozenset((".", ","))
    last: Mark = "," if number.rfind(",") > number.rfind(".") else "."
    other: Mark = "." if last == "," else ","
    # The same mark again and again can only group.
    return frozenset((other if number.count(last) > 1 else last,))


def read(text: str, *, decimal: Mark = ".", grouping: bool = False, dashed: bool = False) -> Typed:
    """The number that a text starts with, and its words; feet and inches together in inches.

    grouping: whether it is known that the mark which is not ``decimal`` groups thousands. dashed:
    whether ``13-6`` is feet and inches. Raises NotANumber.
    """
    if len(text) > LONGEST:
        raise NotANumber("is too long to be a number")
    plain = plain_text(text)
    if _NAN.match(plain):
        raise NotANumber("is not a number")
    if _INFINITE.match(plain):
        raise NotANumber("is not a finite number")
    found = _FEET_INCHES.fullmatch(plain)
    if found is None and dashed:
        found = _DASHED.fullmatch(plain)
    if found:
        inches = _number(found["inches"], decimal, grouping)
        if inches >= 12:
            raise NotANumber("has 12 or more inches after the feet")
        return Typed(_signed(found["sign"], 12 * int(found["feet"]) + inches), "in")
    found = _PLAIN.fullmatch(plain)
    if found is None:
        raise NotANumber("does not start with a number")
    if re.match(r"[0-9.,+_/-]", found["words"]):
        raise NotANumber("is more than one number and a unit")
    if _INCHES_AFTER.match(found["words"]):
        raise NotANumber("has inches after feet that are not whole")
    number = _number(found["number"], decimal, grouping)
    return Typed(_signed(found["sign"], number), found["words"], hyphen="-" in found["number"])


def _signed(sign: str, number: Fraction) -> Fraction:
    return -number if sign == "-" else number


def _number(text: str, decimal: Mark, grouping: bool) -> Fraction:
    if "/" in text:
        whole, _, part = (
            text.replace("-", " ").replace(" /", "/").replace("/ ", "/").rpartition(" ")
        )
        above, below = (int(digits) for digits in part.split("/"))
        if below == 0:
            raise NotANumber("has a fraction over zero")
        if whole and above >= below:
            raise NotANumber("has a fraction of one or more after a whole number")
        return int(whole or 0) + Fraction(above, below)
    mantissa, e, exponent = text.casefold().partition("e")
    value = Fraction((_as_told if grouping else _ungrouped)(mantissa, decimal))
    return value * Fraction(10) ** int(exponent) if e else value


def _as_told(text: str, decimal: Mark) -> str:
    """The digits with a decimal point, where it is known which mark is decimal."""
    other = "," if decimal == "." else "."
    whole, mark, rest = text.partition(decimal)
    grouped = other not in whole or _grouped(whole, other)
    if not grouped or decimal in rest or other in rest or (mark == "," and not rest):
        raise NotANumber("has a comma or a point too many")
    return f"{whole.replace(other, '') or '0'}.{rest or '0'}"


def _ungrouped(text: str, decimal: Mark) -> str:
    """The digits with a decimal point, grouping marks taken out."""
    other: Mark = "," if decimal == "." else "."
    last = max(decimal, other, key=text.rfind)
    if last not in text:
        return text
    grouping = other if last == decimal else decimal
    whole, _, rest = text.rpartition(last)
    if text.count(last) > 1:
        # The same mark again and again can only group.
        if grouping in text or not _grouped(text, last):
            raise NotANumber("has a comma or a point too many")
        return text.replace(last, "")
    if grouping in whole:
        if not _grouped(whole, grouping) or not rest:
            raise NotANumber("has a comma or a point too many")
        return f"{whole.replace(grouping, '')}.{rest}"
    if last == other and _grouped(text, other):
        raise NotANumber(
            "could mean {one} or {other}, so write it one of these ways",
            one=f"{whole}{decimal}{rest}",
            other=f"{whole}{rest}",
        )
    if last == other and not rest:
        raise NotANumber("ends in a comma or a point")
    return f"{whole or '0'}.{rest or '0'}"


def _grouped(text: str, mark: str) -> bool:
    return re.fullmatch(rf"[1-9][0-9]{{0,2}}(?:{re.escape(mark)}[0-9]{{3}})+", text) is not None
