"""Typed text to SI, or one sentence that says why not.

The text is read by our own grammar and never handed to pint, which would take ``13 ft 6 in`` as
an area, ``12,5 mm`` as 125 mm and ``14 T`` as a magnetic field.
"""

from __future__ import annotations

from taperlab.units.kinds import Kind, System
from taperlab.units.registry import conversion
from taperlab.units.sentence import Sentence, verbatim
from taperlab.units.show import show, shown_unit
from taperlab.units.typed import FeetInches, Mark, NotANumber, read
from taperlab.units.vocabulary import Unit, find_unit, unit_named

INCH = unit_named("in")
LONGEST_QUOTE = 40


class Unreadable(ValueError):  # noqa: N818  (a state of the text, not a fault of the program)
    """Text that is no value of the kind asked for.

    sentence: what was found and what was expected, ready to be shown.
    """

    def __init__(self, sentence: Sentence) -> None:
        super().__init__(sentence)
        self.sentence = sentence


def expected(kind: Kind, system: System) -> str:
    """What to type, with an example: ``a length such as 13 ft 6 in``."""
    return f"{kind.noun} such as {show(kind.example, kind, system)}"


def limits(kind: Kind, system: System) -> str:
    """What values are taken: ``from 0.1 in to 500 ft``."""
    return f"from {show(kind.lowest, kind, system)} to {show(kind.highest, kind, system)}"


def parse(
    text: str,
    kind: Kind,
    system: System,
    *,
    unit: str | Unit | None = None,
    decimal: Mark = ".",
) -> float:
    """Value [SI] of a typed text such as ``13'6"``, ``31,1 g`` or ``.085``.

    unit: what a bare number is in, where that is not the unit shown. decimal: the mark that is
    never taken to group thousands. Raises Unreadable, and for a ``unit`` that is not one of this
    kind KeyError or ValueError.
    """
    if unit is None:
        unit = shown_unit(kind, system)
    bare = unit if isinstance(unit, Unit) else unit_named(unit)
    found = quoted(text)
    want = f"type {expected(kind, system)}"
    if not text.strip():
        raise Unreadable(verbatim(f"Nothing was typed: {want}."))
    try:
        typed = read(text, decimal=decimal, dashed=kind.feet_and_inches)
    except NotANumber as problem:
        raise Unreadable(verbatim(f"{found} {problem}: {want}.")) from None
    if isinstance(typed, FeetInches):
        number, meant = typed.inches, INCH
    else:
        number, meant = typed.number, _unit_of(typed.words, bare, kind, found, want)
        if typed.hyphen and not typed.words and kind.feet_and_inches:
            raise Unreadable(
                verbatim(
                    f"{found} could be feet and inches or feet and a part of a foot: "
                    f"write ft or in after it, or {want}."
                )
            )
    if meant.dimension is not kind.dimension:
        raise Unreadable(
            verbatim(f"{found} is {meant.dimension.noun} where {kind.noun} is expected: {want}.")
        )
    exact = conversion(meant.expression, kind.dimension.si)
    value = float(number * exact.factor + exact.offset)
    if why := _why_outside(value, kind):
        raise Unreadable(verbatim(f"{found} {why}: type {kind.noun} {limits(kind, system)}."))
    return value


def _unit_of(words: str, bare: Unit, kind: Kind, found: str, want: str) -> Unit:
    if not words:
        return bare
    unit = find_unit(words)
    if unit is None:
        raise Unreadable(
            verbatim(
                f"{found} has a unit that is not known, {quoted(words)}: {want}; {_units(kind)}."
            )
        )
    return unit


def _why_outside(value: float, kind: Kind) -> str | None:
    if value < 0.0 and not kind.signed:
        return f"is below zero, which {kind.noun} cannot be"
    if value == 0.0 and not kind.signed and kind.lowest > 0.0:
        return f"is zero, and {kind.noun} must be more"
    if value < kind.lowest:
        return kind.too_low
    if value > kind.highest:
        return kind.too_high
    return None


def parse_unit(text: str, kind: Kind) -> Unit:
    """The unit that a column heading names in its brackets: ``ft``, ``g/cm^3``.

    Raises Unreadable where it is not known or measures something else than ``kind``.
    """
    unit = find_unit(text) if text.strip() else None
    if unit is None:
        named = (
            f"{quoted(text)} is not a unit that is known" if text.strip() else "No unit is named"
        )
        raise Unreadable(verbatim(f"{named}: for {kind.noun}, {_units(kind)}."))
    if unit.dimension is not kind.dimension:
        found = f"{quoted(text)} is a unit of {unit.dimension.noun}, not of {kind.noun}"
        raise Unreadable(verbatim(f"{found}: {_units(kind)}."))
    return unit


def _units(kind: Kind) -> str:
    if len(kind.units) == 1:
        return f"the unit is {kind.units[0]}"
    return f"the units are {', '.join(kind.units[:-1])} or {kind.units[-1]}"


def quoted(text: str) -> str:
    """A typed text as a sentence quotes it: on one line, in quotation marks, cut if long."""
    line = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return f"“{line}”" if len(line) <= LONGEST_QUOTE else f"“{line[:LONGEST_QUOTE]}…”"
