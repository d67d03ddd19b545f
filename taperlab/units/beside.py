"""A bare number that is typed beside a length that is shown: in which unit it is meant.

Beside ``196 mm`` nobody means 196 m by ``196``, though lengths are in metres; nor 6 ft by ``6``
beside ``5 7/8 in``. A number that may be either is a question.
"""

from __future__ import annotations

import math

from taperlab.units.kinds import Kind, System
from taperlab.units.parse import Unreadable, parse, quoted
from taperlab.units.show import NO_BREAK, shown_unit
from taperlab.units.vocabulary import Unit, find_unit

_FAR, _NEAR = 4.0, 3.0
"""A unit is meant where the number in it is so many times nearer to what is shown than in the
other; the larger one only where it is as near as that besides."""


def parse_beside(text: str, kind: Kind, system: System, value: float, shown: str) -> float:
    """Value [SI] of a typed text, a bare number being in the unit that is meant.

    value: what stands there [SI], shown: how it is written. Raises Unreadable, with a question
    where either unit may be meant.
    """
    small = _small_unit(shown)
    if small is None:
        return parse(text, kind, system)
    try:
        mine = parse(text, kind, system, unit=small)
    except Unreadable:
        return parse(text, kind, system)
    try:
        plain = parse(text, kind, system)
    except Unreadable:
        return mine
    near, far = _times(mine, value), _times(plain, value)
    if plain == mine or near * _FAR <= far:
        return mine
    if far <= _NEAR and far * _FAR <= near:
        return plain
    raise Unreadable(
        "{found} could be {small} or {large}: write the unit after it.",
        found=quoted(text),
        small=f"{text.strip()}{NO_BREAK}{small}",
        large=f"{text.strip()}{NO_BREAK}{shown_unit(kind, system)}",
    )


def _small_unit(shown: str) -> Unit | None:
    """The unit that a length is written in, where that is not the one of longer lengths."""
    words = shown.split()
    is_small = words and words[-1] in ("mm", "cm", "in") and "ft" not in words
    return find_unit(words[-1]) if is_small else None


def _times(one: float, other: float) -> float:
    """How many times as large the larger one is."""
    low, high = sorted((abs(one), abs(other)))
    return high / low if low else math.inf if high else 1.0
