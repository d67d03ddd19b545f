"""Several typed values at once: ``480, 510, 540``, ``480 510 540`` or ``from 420 to 570 by 30``."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from taperlab.units.kinds import Kind, System
from taperlab.units.language import tr
from taperlab.units.parse import Unreadable, parse, quoted
from taperlab.units.show import NO_BREAK, show
from taperlab.units.typed import plain_text

SLACK = 1e-9
"""A last value is reached that lies beyond the end by no more than this share of a step."""

_BETWEEN = re.compile(r"\s*[;\n]\s*|,\s+")
_BEFORE_NUMBER = re.compile(r"\s+(?=[\d.,])")
_NOTHING_MORE = re.compile(r"\.0+$|(?<=') 0\"$")
_GROUPS = re.compile(r"\d{2,4}(?:,\d{2,4})+")


def parse_several(text: str, kind: Kind, system: System, most: int) -> tuple[float, ...]:
    """The values [SI] of a typed list, in the order typed.

    Between them stands a semicolon, a line break, a comma with a space, or a space where one value
    has none inside. ``from … to … by …`` counts up or down, both ends included. Raises Unreadable,
    also for none, and for more than ``most``.
    """
    steps = _counted(text, kind, system, most)
    found = steps if steps is not None else tuple(_listed(text, kind, system))
    if not found:
        return (parse(text, kind, system),)  # which says what to type
    if len(found) > most:
        raise Unreadable(
            "{found} are more values than the {most} that are taken.",
            found=quoted(text),
            most=most,
        )
    return found


def _listed(text: str, kind: Kind, system: System) -> Iterator[float]:
    for piece in _BETWEEN.split(text.strip().rstrip(",;")):
        if not piece.strip():
            continue
        try:
            yield parse(piece, kind, system)
        except Unreadable:
            # Not one value: several with spaces between, or commas that can group nothing.
            inner = _BEFORE_NUMBER.split(piece.strip())
            if len(inner) < 2 and _GROUPS.fullmatch(piece.strip()):
                inner = piece.strip().split(",")
            if len(inner) < 2:
                raise
            for each in inner:
                yield from _listed(each, kind, system)


def _counted(text: str, kind: Kind, system: System, most: int) -> tuple[float, ...] | None:
    """What ``from … to … by …`` counts; None where the text is no such thing."""
    plain = plain_text(text)
    word = {
        english: f"(?:{english}|{re.escape(plain_text(translated))})"
        for english, translated in (("from", tr("from")), ("to", tr("to")), ("by", tr("by")))
    }
    pattern = rf"(?:{word['from']}\s+)?(.+?)\s+{word['to']}\s+(.+?)\s+{word['by']}\s+(.+)"
    told = re.fullmatch(pattern, plain, re.IGNORECASE)
    if told is None:
        return None
    first, last = (parse(told[i], kind, system) for i in (1, 2))
    step = parse(told[3], kind, system)
    count = abs(last - first) / step if step > 0.0 else most + 1
    if count > most:
        raise Unreadable(
            "{found} are more values than the {most} that are taken.",
            found=quoted(text),
            most=most,
        )
    up = step if last >= first else -step
    return tuple(first + i * up for i in range(int(count + SLACK) + 1))


def several_text(values: Iterable[float], kind: Kind, system: System) -> str:
    """Values [SI] as they are typed, to be read again: ``480, 510, 540``."""
    texts = (show(each, kind, system, unit=False) for each in values)
    return ", ".join(_NOTHING_MORE.sub("", each.replace(NO_BREAK, " ")) for each in texts)
