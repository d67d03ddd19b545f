"""Several edits as one, so that they make one step."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from taperlab.edits.edited import Edited
from taperlab.model.bench import Bench
from taperlab.units.sentence import Sentence

Step = tuple[Callable[..., Edited], tuple[Any, ...]]
"""An edit and what it takes after the bench."""


def together(bench: Bench, text: Sentence, steps: Sequence[Step], rows: tuple[int, ...]) -> Edited:
    """Do edits in order under one menu text; ``rows`` are to be selected.

    Raises Refused, from the first edit that can't be done: then none of them is.
    """
    edited = Edited(bench, text, segments=rows)
    for edit, arguments in steps:
        done = edit(edited.bench, *arguments)
        edited = replace(edited, bench=done.bench, line=done.line or edited.line)
    return edited if edited.bench != bench else replace(edited, bench=bench)
