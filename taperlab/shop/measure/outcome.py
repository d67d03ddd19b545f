"""An answer that could not be given, and why."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.units.sentence import Sentence


@dataclass(frozen=True, slots=True)
class NoFit:
    """Nothing could be fitted; the sentence says what is missing or wrong."""

    sentence: Sentence
