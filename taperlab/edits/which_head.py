"""Saying what a head is chosen by, and putting one on the bench to begin from."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits.changing import sound
from taperlab.edits.edited import Edited, Refused
from taperlab.edits.lines import clean_name, fresh_line_key, fresh_line_name
from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.which_head import Answers
from taperlab.units.sentence import Sentence


def set_answers(bench: Bench, answers: Answers) -> Edited:
    """Say what a head is chosen by. Raises Refused."""
    sound(answers)
    after = bench if answers == bench.answers else replace(bench, answers=answers)
    return Edited(after, Sentence("Change answers"))


def lay_start(bench: Bench, head: Line) -> Edited:
    """Put a head on the bench to begin from, and make it current. Raises Refused."""
    if not head.segments:
        raise Refused("A head without segments can’t be put on the bench.")
    sound((head,))
    key, name = fresh_line_key(bench), fresh_line_name(bench, clean_name(head.name))
    laid = replace(head, key=key, name=name)
    after = replace(bench, lines=(*bench.lines, laid), view=replace(bench.view, line=key))
    return Edited(after, Sentence("Put a head on the bench to begin from"), line=key)
