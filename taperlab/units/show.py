"""SI to text, to the figures that a grain scale, a tape and a micrometer support."""

from __future__ import annotations

import math
import re
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction

from taperlab.units.kinds import LENGTH, SHORT_LENGTH, Kind, System
from taperlab.units.registry import Conversion, conversion
from taperlab.units.vocabulary import SYMBOLS, Unit, unit_named

MINUS = "−"
NO_BREAK = "\u00a0"
"""Keeps a number and its unit, or its sign, on one line."""

UNKNOWN = "—"
"""What is shown for a value that is not a number, or beyond all measure."""

BEYOND_MEASURE = 1e12

# Half of the last figure rounds away from zero, as people do it.
_ROUNDING = Context(prec=40, rounding=ROUND_HALF_UP)


_UNIT = "|".join(re.escape(each) for each in sorted(SYMBOLS, key=len, reverse=True))
_WITHIN = re.compile(
    rf"(?<=\d) (?=(?:(?:{_UNIT})(?:/(?:{_UNIT}))?|×)(?!\w))"  # number and unit
    r"|(?<=\d) (?=\d+/\d)"  # whole and fraction
    r"|(?<=\d ft) (?=\d[\d /]* in(?!\w))"  # feet and inches
    r"|(?<=\d') (?=\d)"  # and as marks
    r"|(?<=±) (?=\d)"
)


def unbroken(text: str) -> str:
    """A text in which no number is parted from its unit where it is broken into lines."""
    return _WITHIN.sub(NO_BREAK, text)


def shown_unit(kind: Kind, system: System) -> str:
    """Symbol of the unit that a kind is shown in, and that a bare number takes: ``gr/ft``.

    ``ft`` for a length told in feet and inches, and nothing for a ratio.
    """
    return kind.shown(system).unit


def _conversion(unit: str | Unit, kind: Kind) -> Conversion:
    found = unit_named(unit) if isinstance(unit, str) else unit
    if found.dimension is not kind.dimension:
        raise ValueError(f"{found} is no unit of {kind.noun}")
    return conversion(found.expression, kind.dimension.si)


def to_unit(value: float, unit: str | Unit, kind: Kind) -> float:
    """SI value in a unit: exact, rounded once.

    Raises KeyError for a unit that is not known, ValueError for one that measures another thing.
    """
    exact = _conversion(unit, kind)
    if not math.isfinite(value):
        return float(value)
    return _nearest_float((Fraction(float(value)) - exact.offset) / exact.factor)


def from_unit(value: float, unit: str | Unit, kind: Kind) -> float:
    """Value in a unit, in SI. Errors as :func:`to_unit`."""
    exact = _conversion(unit, kind)
    if not math.isfinite(value):
        return float(value)
    return _nearest_float(Fraction(float(value)) * exact.factor + exact.offset)


def _nearest_float(exact: Fraction) -> float:
    try:
        return float(exact)
    except OverflowError:
        return math.inf if exact > 0 else -math.inf


def _rounded(number: float, decimals: int) -> Decimal:
    # Twelve figures first: 0.0295 in, kept in metres, may come back as 0.02949999999999999.
    return Decimal(f"{number:.12g}").quantize(Decimal(1).scaleb(-decimals), context=_ROUNDING)


def _digits(number: Decimal, at_least: int) -> str:
    text = f"{number:f}"
    whole, point, decimals = text.partition(".")
    decimals = decimals[:at_least] + decimals[at_least:].rstrip("0")
    return whole + (point + decimals if decimals else "")


def show(
    value: float, kind: Kind, system: System, *, unit: bool = True, signed: bool = False
) -> str:
    """SI value as text: ``13 ft 6 in``, ``480.0 gr``, ``2.159 mm``.

    unit: whether to write the unit; without it, feet and inches are told by marks, ``13' 6"``.
    signed: the value is a difference, so its sign is always written (but not for zero) and a
    temperature is a number of degrees apart: ``+32.1 gr``, ``−2 ft 1 in``.
    A value that is not finite, or is beyond all measure, gives a dash.
    """
    if not abs(value) < BEYOND_MEASURE:
        return UNKNOWN
    how = kind.shown(system)
    shown_in = "in" if how.feet_and_inches else how.unit
    # Not exact as to_unit is, but far finer than the twelve figures that are looked at.
    factor, offset = _conversion(shown_in, kind).rounded
    number = (float(value) - (0.0 if signed else offset)) / factor
    if how.feet_and_inches:
        return _feet_and_inches(value, number, kind, words=unit, signed=signed)
    decimals = how.decimals
    if kind is LENGTH and not signed and kind.lowest <= value and _rounded(number, decimals) == 0:
        # A row that is there is not shown as nothing, which could not be typed back.
        decimals = math.ceil(-math.log10(number))
    rounded = _rounded(abs(number), decimals)
    sign = "" if rounded == 0 else MINUS if number < 0 else "+" if signed else ""
    if how.unit == "in" and kind is SHORT_LENGTH and unit and _whole(16.0 * abs(number)):
        # What a tape shows is written as a tape has it: 2 1/8 in.
        whole, over = divmod(round(16.0 * abs(number)), 16)
        part = [str(Fraction(over, 16))] if over else []
        return f"{sign}{' '.join([*([str(whole)] if whole or not part else []), *part])} in"
    text = sign + _digits(rounded, how.at_least)
    gap = "" if how.unit == "°" else " "
    return f"{text}{gap}{how.unit}" if unit and how.unit else text


def show_eighths(value: float, system: System = System.US) -> str:
    """A cutting position [m]: feet and inches to the nearest 1/8, or whole millimetres.

    ``27 ft 3 5/8 in``, ``8322 mm``.
    """
    if not abs(value) < BEYOND_MEASURE:
        return UNKNOWN
    if system is System.METRIC:
        count = int(_rounded(abs(to_unit(float(value), "mm", LENGTH)), 0))
        return f"{MINUS if value < 0 and count else ''}{count} mm"
    return _in_fractions(value, 8)


def show_mark(value: float, step: float) -> str:
    """Where to mark with a tape of such steps [m]: in inches or millimetres, as the tape has it.

    ``3 ft 6 3/16 in`` on a tape of sixteenths, ``1077 mm`` on one of millimetres, ``42.3 in`` on
    one of tenths.
    """
    if not abs(value) < BEYOND_MEASURE or not step > 0.0:
        return UNKNOWN
    inches = to_unit(float(step), "in", LENGTH)
    parts = next((parts for parts in (8, 16, 32, 64) if _whole(inches * parts)), 0)
    if parts:
        return _in_fractions(value, parts)
    millimetres = to_unit(float(step), "mm", LENGTH)
    unit, size = ("mm", millimetres) if _whole(10.0 * millimetres) else ("in", inches)
    decimals = 0 if _whole(size) else 1 if _whole(10.0 * size) else 2
    return f"{_rounded(to_unit(float(value), unit, LENGTH), decimals)} {unit}"


def _whole(number: float) -> bool:
    """Whether it is a whole number above nought, rounding apart."""
    return round(number) >= 1 and abs(number - round(number)) < 1e-6 * number


def _in_fractions(value: float, parts: int, *, words: bool = True, plus: str = "") -> str:
    """Feet, inches and so many parts of one: ``27 ft 3 5/8 in``, or by marks ``27' 3 5/8"``.

    plus: the sign of a value above nought.
    """
    count = int(_rounded(abs(to_unit(float(value), "in", LENGTH)) * parts, 0))
    sign = "" if not count else MINUS if value < 0 else plus
    feet, rest = divmod(count, 12 * parts)
    inches, over = divmod(rest, parts)
    number = [str(inches)] if inches or not over else []
    number += [str(Fraction(over, parts))] if over else []
    if not words:
        return f"{sign}{feet}' {' '.join(number)}\""
    told = [f"{feet} ft"] if feet else []
    told += [*number, "in"] if rest or not feet else []
    return sign + " ".join(told)


def _feet_and_inches(value: float, inches: float, kind: Kind, *, words: bool, signed: bool) -> str:
    if kind is LENGTH and not signed and kind.lowest <= value and _rounded(8.0 * inches, 0) == 0:
        # A row that is there is not shown as nothing, which could not be typed back.
        number = _digits(_rounded(inches, math.ceil(-math.log10(inches))), 0)
        return f"{number} in" if words else f"0' {number}\""
    return _in_fractions(value, 8, words=words, plus="+" if signed else "")


def show_error(reach: float, kind: Kind, system: System, *, unit: bool = True) -> str:
    """How far a value may lie either way [SI]: ``± 0.3 gr``, never rounded down to nothing.

    Lengths are said in eighths of an inch or whole millimetres.
    """
    shown = kind.shown(system)
    name, decimals = shown.unit, shown.decimals
    if not math.isfinite(reach):
        return f"±{NO_BREAK}{UNKNOWN}"
    if kind is LENGTH:
        if system is System.US and unit:
            eighth = float(Fraction(1, 8) * _conversion("in", kind).factor)
            text = _in_fractions(max(reach, eighth if reach else 0.0), 8)
            return f"±{NO_BREAK}{text.replace(' ', NO_BREAK)}"
        name, decimals = ("in", 1) if system is System.US else ("mm", 0)
    number = float(Fraction(float(reach)) / _conversion(name, kind).factor)
    if 0.0 < number < 10.0**-decimals:
        decimals = min(-math.floor(math.log10(number)), decimals + 2)
    # Half a last digit goes up, whatever the noise of a conversion made of it: an error that was
    # rounded up to a quarter of a grain must not be told smaller than it is.
    clean = Decimal(f"{number:.9g}").quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    text = f"±{NO_BREAK}{clean:f}"
    return f"{text}{NO_BREAK}{name}" if unit and name else text
