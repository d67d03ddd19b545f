"""The day that it is, where the person is."""

from __future__ import annotations

from datetime import datetime


def iso_today() -> str:
    """Year, month and day, such as 2026-03-14."""
    return datetime.now().astimezone().date().isoformat()
