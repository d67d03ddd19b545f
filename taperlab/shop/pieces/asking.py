"""What is asked of pieces: which heads, of which stock, and what they must keep to."""

from __future__ import annotations

from dataclasses import dataclass, field

from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.pieces import Rules
from taperlab.model.stock import Stock


@dataclass(frozen=True, slots=True)
class Question:
    """Heads, each with how many of it are made, and the stock that they are cut from."""

    heads: tuple[tuple[Line, int], ...]
    stock: tuple[Stock, ...]
    rules: Rules = field(default_factory=Rules)


def question_of(bench: Bench) -> Question | None:
    """What a bench asks; None where no head with a segment is to be made."""
    lines = {each.key: each for each in bench.lines}
    heads = tuple(
        (lines[each.line], each.count)
        for each in bench.pieces.wanted
        if each.line in lines and lines[each.line].segments
    )
    return Question(heads, bench.stock, bench.pieces.rules) if heads else None
