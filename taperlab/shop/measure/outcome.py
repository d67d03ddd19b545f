"""An answer that could not be given, and why; and remarks on those that could."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.units.finding import Finding, Level
from taperlab.units.sentence import Sentence


@dataclass(frozen=True, slots=True)
class NoFit:
    """Nothing could be fitted; the sentence says what is missing or wrong."""

    sentence: Sentence


def caution(sentence: Sentence) -> Finding:
    """A remark that asks for attention."""
    return Finding(Level.CAUTION, sentence)


def note(sentence: Sentence, segment: int | None = None) -> Finding:
    """A remark to know of, about one segment if any."""
    return Finding(Level.NOTE, sentence, segment)
