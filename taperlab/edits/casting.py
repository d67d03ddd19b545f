"""Saying how heads are cast."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits.changing import sound
from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench
from taperlab.model.casting import LoopBehind, Throw
from taperlab.units.sentence import Sentence


def set_behind(bench: Bench, behind: LoopBehind) -> Edited:
    """Say how the loop behind is formed. Raises Refused."""
    sound(behind)
    if behind.wading >= behind.hands:
        raise Refused("Wading so deep, the hands would be under water.")
    after = bench if behind == bench.behind else replace(bench, behind=behind)
    return Edited(after, Sentence("Change the loop behind"))


def set_throw(bench: Bench, throw: Throw) -> Edited:
    """Say how the loop ahead is thrown. Raises Refused."""
    sound(throw)
    after = bench if throw == bench.throw else replace(bench, throw=throw)
    return Edited(after, Sentence("Change how it is thrown"))
