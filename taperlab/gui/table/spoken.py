"""Numbers as a screen reader should say them: 10 feet 6 inches, not 10' 6\"."""

from __future__ import annotations

from taperlab.units.kinds import Kind, System
from taperlab.units.language import later, tr
from taperlab.units.show import MINUS, show

_WORDS = {
    "ft in": later("feet and inches"),
    "ft": later("feet"),
    "in": later("inches"),
    "gr": later("grains"),
    "gr/ft": later("grains per foot"),
    "g/cm³": later("grams per cubic centimetre"),
    "in/s": later("inches per second"),
    "cm/s": later("centimetres per second"),
    "m": later("metres"),
    "mm": later("millimetres"),
    "g": later("grams"),
    "g/m": later("grams per metre"),
}


def unit_in_words(unit: str) -> str:
    """A unit's symbol in full words; one that is not known stays as it is."""
    return tr(_WORDS[unit]) if unit in _WORDS else unit


def in_full_words(value: float, kind: Kind, system: System) -> str:
    """A value [SI] with its unit in full words."""
    shown = show(value, kind, system)
    said = " ".join(unit_in_words(each) for each in shown.removeprefix(MINUS).split(" "))
    return tr("minus {number}").format(number=said) if shown.startswith(MINUS) else said
