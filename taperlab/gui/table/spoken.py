"""Numbers as a screen reader should say them: 10 feet 6 inches, not 10' 6\"."""

from __future__ import annotations

import re

_WORDS = {
    "'": "feet",
    '"': "inches",
    "ft in": "feet and inches",
    "ft": "feet",
    "in": "inches",
    "gr": "grains",
    "gr/ft": "grains per foot",
    "g/cm³": "grams per cubic centimetre",
    "in/s": "inches per second",
    "cm/s": "centimetres per second",
    "m": "metres",
    "mm": "millimetres",
    "g": "grams",
    "g/m": "grams per metre",
    "": "",
}


def unit_in_words(unit: str) -> str:
    """A unit's symbol in full words; one that is not known stays as it is."""
    return _WORDS.get(unit, unit)


def spoken(text: str, unit: str = "") -> str:
    """A shown number with its unit in full words.

    unit: the unit that the heading names, for a text without one.
    """
    said = text.replace("−", "minus ")
    if "'" in said or '"' in said:
        said = re.sub(r"^(minus )?0' ", r"\1", said)
        said = re.sub(r" 0\"$", "", said)
        said = said.replace("'", " feet").replace('"', " inches")
        return " ".join(said.split())
    return f"{said} {unit_in_words(unit)}".strip()
