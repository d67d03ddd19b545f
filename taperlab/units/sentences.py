"""Sentences that speak of grains and feet, said in a person's own units."""

from __future__ import annotations

import re

from taperlab.units.kinds import DIAMETER, LENGTH, WEIGHT, WEIGHT_PER_LENGTH, System
from taperlab.units.sentence import Sentence, as_sentence, render
from taperlab.units.show import from_unit, show, show_eighths

_FOUND = re.compile(
    r"(?<![\w.])(?P<sign>-?)(?:"
    r"(?P<per>\d+(?:\.\d+)?) gr/ft"
    r"|(?P<grains>\d+(?:\.\d+)?) gr(?!\w)"
    r"|(?P<diameter>0\.\d{4}) in(?!\w)"
    r"|(?P<feet>\d+) ft(?: (?P<inches>\d+)?(?:(?<=\d) )?(?:(?P<of>\d)/(?P<parts>\d))? in)?(?!\w)"
    r"|(?P<only>\d+)?(?:(?<=\d) )?(?:(?P<top>\d)/(?P<bottom>\d))? in(?![\w/])"
    r")"
)


def in_units(sentence: Sentence | str, system: System) -> str:
    """The sentence with its weights and lengths in the units of a system.

    Findings and plans are worded in grains, feet and eighths of an inch, as the trade speaks;
    lengths become whole millimetres up to a metre, metres beyond. Inches to four decimals are
    diameters.
    """
    text = render(as_sentence(sentence), system)
    return text if system is System.US else _FOUND.sub(_metric, text)


def _metric(found: re.Match[str]) -> str:
    sign = "−" if found["sign"] else ""
    if found["per"]:
        density = from_unit(float(found["per"]), "gr/ft", WEIGHT_PER_LENGTH)
        return sign + show(density, WEIGHT_PER_LENGTH, System.METRIC)
    if found["grains"]:
        return sign + show(from_unit(float(found["grains"]), "gr", WEIGHT), WEIGHT, System.METRIC)
    if found["diameter"]:
        diameter = from_unit(float(found["diameter"]), "in", DIAMETER)
        return sign + show(diameter, DIAMETER, System.METRIC)
    whole = found["inches"] or found["only"] or "0"
    inches = 12.0 * float(found["feet"] or 0) + float(whole)
    top, bottom = found["of"] or found["top"], found["parts"] or found["bottom"]
    if top:
        inches += float(top) / float(bottom)
    if not (found["feet"] or found["only"] or top):
        return found[0]  # the word "in", which is no length
    length = from_unit(inches, "in", LENGTH)
    if length < 1.0:
        return sign + show_eighths(length, System.METRIC)
    return sign + show(length, LENGTH, System.METRIC)
