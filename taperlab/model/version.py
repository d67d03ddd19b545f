"""A version: how a line was on a day, kept under a name."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from taperlab.model.line import Line
from taperlab.model.marked import later
from taperlab.model.segment import Extras


@dataclass(frozen=True, slots=True)
class Version:
    """A line of the bench as it was on a day.

    of: key of the line; a version stays where that line is gone, since it is a record, and no
    other line gets that key. date: year, month and day, such as 2026-03-14. line: as it was.
    """

    key: str
    of: str
    name: str
    date: str
    line: Line
    note: str = ""
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        if not self.of:
            raise ValueError(later("a version needs the line that it is of"))
        require_date(self.date)


def require_date(text: str) -> None:
    """Raise ValueError for a text that is no year, month and day, such as 2026-03-14."""
    try:
        if date.fromisoformat(text).isoformat() == text:
            return
    except ValueError:
        pass
    raise ValueError(later("a date must be a year, a month and a day, such as 2026-03-14"))
