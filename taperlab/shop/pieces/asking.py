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


def heads_wanted(bench: Bench, in_hand: Line | None = None) -> tuple[tuple[Line, int], ...]:
    """The heads that are made, and how many: one of the line in hand until somebody says so."""
    counts = {each.line: each.count for each in bench.pieces.wanted}
    if not counts and in_hand is not None:
        counts = {in_hand.key: 1}
    return tuple((each, counts[each.key]) for each in bench.lines if each.key in counts)


def question_of(bench: Bench, in_hand: Line | None = None) -> Question | None:
    """What a bench asks; None where no head with a segment is to be made."""
    heads = tuple(each for each in heads_wanted(bench, in_hand) if each[0].segments)
    return Question(heads, bench.stock, bench.pieces.rules) if heads else None
