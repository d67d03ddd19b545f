"""What belongs to a bench as a whole."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits.edited import Edited
from taperlab.model.bench import Bench
from taperlab.units.sentence import Sentence


def set_note(bench: Bench, note: str) -> Edited:
    """Write the bench's notes."""
    return Edited(
        bench if note == bench.note else replace(bench, note=note), Sentence("Change notes")
    )
