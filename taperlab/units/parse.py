"""Typed text to SI, or one sentence that says why not.

The text is read by our own grammar and never handed to pint, which would take ``13 ft 6 in`` as
an area, ``12,5 mm`` as 125 mm and ``14 T`` as a magnetic field.
"""

from __future__ import annotations

import math

from taperlab.model.segment import Part
from taperlab.units.kinds import Kind, System
from taperlab.units.registry import conversion
from taperlab.units.sentence import NOTHING, Quantity, Sentence, Told, any_of, of_table
from taperlab.units.show import shown_unit
from taperlab.units.typed import Mark, NotANumber, read
from taperlab.units.vocabulary import Unit, find_unit, unit_named
from taperlab.units.words import word

LONGEST_QUOTE = 40


class Unreadable(Told, ValueError):  # noqa: N818  (a state of the text, not a fault of the program)
    """Text that is no value of the kind asked for: what was found and what was expected."""


def expected(kind: Kind) -> Sentence:
    """What to type, with an example: ``a length such as 13 ft 6 in``."""
    return Sentence(
        "{what} such as {example}", what=of_table(kind.noun), example=Quantity(kind, kind.example)
    )


def limits(kind: Kind) -> Sentence:
    """What values are taken: ``from 0.05 g/cm³ to 25 g/cm³``."""
    return Sentence(
        "from {lowest} to {highest}",
        lowest=Quantity(kind, kind.lowest),
        highest=Quantity(kind, kind.highest),
    )


def parse(
    text: str,
    kind: Kind,
    system: System,
    *,
    unit: Unit | None = None,
    decimal: Mark = ".",
    grouping: bool = False,
) -> float:
    """Value [SI] of a typed text such as ``13'6"``, ``31,1 g`` or ``.085``.

    unit: what a bare number is in, where that is not the unit shown. decimal: the mark that is
    never taken to group thousands; grouping: whether the other one is known to. Raises Unreadable.
    """
    if not text.strip():
        raise Unreadable("Nothing was typed: type {wanted}.", wanted=expected(kind))
    try:
        typed = read(text, decimal=decimal, grouping=grouping, dashed=kind.feet_and_inches)
    except NotANumber as problem:
        raise Unreadable(
            "{found} {fault}: type {wanted}.",
            found=quoted(text),
            fault=problem.sentence,
            wanted=expected(kind),
        ) from None
    bare = unit or unit_named(shown_unit(kind, system))
    meant = find_unit(typed.words) if typed.words else bare
    if meant is None:
        raise Unreadable(
            "{found} has a unit that is not known, {unit}: type {wanted}; {units}.",
            found=quoted(text),
            unit=quoted(typed.words),
            wanted=expected(kind),
            units=_units(kind),
        )
    if typed.hyphen and not typed.words and kind.feet_and_inches:
        raise Unreadable(
            "{found} could be feet and inches or feet and a part of a foot: "
            "write ft or in after it, or type {wanted}.",
            found=quoted(text),
            wanted=expected(kind),
        )
    if meant.dimension is not kind.dimension:
        raise Unreadable(
            "{found} is {other} where {noun} is expected: type {wanted}.",
            found=quoted(text),
            other=of_table(meant.dimension.noun),
            noun=of_table(kind.noun),
            wanted=expected(kind),
        )
    exact = conversion(meant.expression, kind.dimension.si)
    value = _within_rounding(float(typed.number * exact.factor + exact.offset), kind)
    if why := _why_outside(value, kind):
        raise Unreadable(
            "{found} {fault}: type {noun} {limits}.",
            found=quoted(text),
            fault=why,
            noun=of_table(kind.noun),
            limits=limits(kind),
        )
    return value


def _within_rounding(value: float, kind: Kind) -> float:
    """The limit of a kind itself, where a value lies beyond it by the rounding of its unit."""
    for limit in (kind.lowest, kind.highest):
        if math.isclose(value, limit, rel_tol=1e-9):
            return limit
    return value


def _why_outside(value: float, kind: Kind) -> Sentence:
    """What is wrong with a value that its kind does not take; nothing where it does."""
    if value < 0.0 and not kind.signed:
        return Sentence("is below zero, which {noun} cannot be", noun=of_table(kind.noun))
    if value == 0.0 and not kind.signed and kind.lowest > 0.0:
        return Sentence("is zero, and {noun} must be more", noun=of_table(kind.noun))
    if value < kind.lowest:
        return of_table(kind.low.beyond)
    if value > kind.highest:
        return of_table(kind.high.beyond)
    return NOTHING


def parse_unit(text: str, kind: Kind) -> Unit:
    """The unit that a column heading names in its brackets: ``ft``, ``g/cm^3``.

    Raises Unreadable where it is not known or measures something else than ``kind``.
    """
    unit = find_unit(text) if text.strip() else None
    noun, units = of_table(kind.noun), _units(kind)
    if not text.strip():
        raise Unreadable("No unit is named: for {noun}, {units}.", noun=noun, units=units)
    if unit is None:
        raise Unreadable(
            "{unit} is not a unit that is known: for {noun}, {units}.",
            unit=quoted(text),
            noun=noun,
            units=units,
        )
    if unit.dimension is not kind.dimension:
        raise Unreadable(
            "{unit} is a unit of {other}, not of {noun}: {units}.",
            unit=quoted(text),
            other=of_table(unit.dimension.noun),
            noun=noun,
            units=units,
        )
    return unit


def _units(kind: Kind) -> Sentence:
    if len(kind.units) == 1:
        return Sentence("the unit is {unit}", unit=kind.units[0])
    return Sentence("the units are {units}", units=any_of(kind.units))


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


def quoted(text: str) -> str:
    """A typed text as a sentence quotes it: on one line, in quotation marks, cut if long."""
    line = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return f"“{line}”" if len(line) <= LONGEST_QUOTE else f"“{line[:LONGEST_QUOTE]}…”"
