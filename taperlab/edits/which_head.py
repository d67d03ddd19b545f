"""Saying what a head is chosen by."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits.changing import sound
from taperlab.edits.edited import Edited
from taperlab.model.bench import Bench
from taperlab.model.which_head import Answers
from taperlab.units.sentence import Sentence


def set_answers(bench: Bench, answers: Answers) -> Edited:
    """Say what a head is chosen by. Raises Refused."""
    sound(answers)
    after = bench if answers == bench.answers else replace(bench, answers=answers)
    return Edited(after, Sentence("Change answers"))
