"""Putting a tip that was built from stock on the bench."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits.changing import sound
from taperlab.edits.edited import Edited, Refused
from taperlab.edits.lines import clean_name, fresh_line_key, fresh_line_name
from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.units.sentence import Sentence


def add_tip(bench: Bench, tip: Line) -> Edited:
    """Put a tip behind the lines of the bench; the current line stays what it was."""
    if not tip.segments:
        raise Refused("A tip without segments can’t be put on the bench.")
    sound((tip,))
    key, name = fresh_line_key(bench), fresh_line_name(bench, clean_name(tip.name))
    current = bench.current_line
    view = replace(bench.view, line=current.key) if current else bench.view
    lines = (*bench.lines, replace(tip, key=key, name=name))
    return Edited(replace(bench, lines=lines, view=view), Sentence("Add tip"), line=key)
