"""Days as they are typed and shown: year first, so that no day is taken for a month."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date

from taperlab.units.parse import Unreadable, quoted
from taperlab.units.spans import parted

_DAY = re.compile(r"(\d{4})(?:[-./](\d{1,2})(?:[-./](\d{1,2}))?)?", re.ASCII)


def show_day(day: date | None) -> str:
    """A day such as ``2026-05-04``; nothing where there is none."""
    return "" if day is None else day.isoformat()


def parse_day(text: str) -> date:
    """The day that was typed. Raises Unreadable."""
    first, last = parse_days(text)
    if first != last:
        raise _unreadable(text)
    return first


def parse_days(text: str) -> tuple[date, date]:
    """The first and the last day of what was typed: a day, a month or a year. Raises Unreadable."""
    found = _DAY.fullmatch("".join(text.split()))
    if found is None:
        raise _unreadable(text)
    _, month, day = found.groups()
    try:
        first = date(*(1 if each is None else int(each) for each in found.groups()))
    except ValueError:
        raise _unreadable(text) from None
    if day is not None:
        return first, first
    last = 12 if month is None else first.month
    return first, date(first.year, last, monthrange(first.year, last)[1])


def parse_day_span(text: str) -> tuple[date | None, date | None]:
    """The first and the last day of a typed span such as ``2026-03 to 2026-05``. Raises Unreadable.

    One day, month or year is a span too; ``2026-03..`` has no end, ``..2026-05`` no beginning.
    """
    parts = [part.strip() for part in parted(text)]
    if len(parts) < 2:
        return parse_days(text)
    if not any(parts):
        raise _unreadable(text)
    first = parse_days(parts[0])[0] if parts[0] else None
    last = parse_days(parts[1])[1] if parts[1] else None
    if first and last and last < first:
        raise Unreadable(
            "{found} goes back in time: type the earlier day first.", found=quoted(text)
        )
    return first, last


def _unreadable(text: str) -> Unreadable:
    found = " ".join(text.split())
    if not found:
        return Unreadable("Nothing was typed: type a day such as 2026-05-04, year first.")
    return Unreadable(
        "“{found}” is no day: type one such as 2026-05-04, year first.", found=found[:40]
    )
