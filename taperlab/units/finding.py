"""Remarks about a line or a plan, which results carry; and why there is no result."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from taperlab.units.sentence import Sentence, Told


class Impossible(Told, ValueError):  # noqa: N818 - an answer, not a fault
    """What can't be worked out for a line, a rod or a water. ``sentence`` says why."""


class Level(IntEnum):
    """How much a finding matters."""

    NOTE = 0
    CAUTION = 1
    STOP = 2


@dataclass(frozen=True, slots=True)
class Finding:
    """One sentence, how much it matters, and the segment it concerns (from 0) if any."""

    level: Level
    sentence: Sentence
    segment: int | None = None
