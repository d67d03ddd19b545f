"""A remark about a line or a plan: results carry these instead of raising or printing."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from taperlab.units.sentence import Sentence


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
