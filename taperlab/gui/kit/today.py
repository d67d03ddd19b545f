"""The day that it is, where the person is."""

from __future__ import annotations

from datetime import date


def today() -> date:
    """The day by the clock of this computer."""
    return date.today()
