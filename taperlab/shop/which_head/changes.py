"""What answer would change which head suits."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from taperlab.model.casting import LoopBehind
from taperlab.model.exact_units import FOOT
from taperlab.model.line import Style
from taperlab.model.rod import Rod
from taperlab.model.which_head import Answers, Breadth, Casting, Stripping, Thrown, Wading
from taperlab.shop.which_head.study import HeadChoice, study
from taperlab.trade.head_choice import rooms
from taperlab.trade.reasons import Question, Reasons

_ASKED: tuple[tuple[Question, str, type[StrEnum]], ...] = (
    (Question.THROWN, "thrown", Thrown),
    (Question.WATER, "water", Breadth),
    (Question.STRIPPING, "stripping", Stripping),
    (Question.CASTING, "casting", Casting),
    (Question.WADING, "wading", Wading),
)


@dataclass(frozen=True, slots=True)
class Change:
    """Another answer to one question, and what would suit then.

    answer: a word, a room [m], or a rod. styles: that would win; lead: as in HeadChoice.
    """

    question: Question
    answer: StrEnum | float | Rod
    styles: tuple[Style, ...]
    lead: int | None


def changes(
    found: HeadChoice,
    behind: LoopBehind,
    reasons: Reasons | None = None,
    rods: Iterable[Rod] = (),
) -> tuple[Change, ...]:
    """Answers to one question each that would change the outcome, with those of the bench's rods.

    behind: as the choice was asked with.
    """
    told = []
    for question, answer, rod, answers in _others(found, rods):
        other = study(rod, answers, behind, reasons)
        if other.styles != found.styles:
            told.append(Change(question, answer, other.styles, other.lead))
    return (*told, *_by_room(found, behind, reasons))


def _by_room(found: HeadChoice, behind: LoopBehind, reasons: Reasons | None) -> Iterator[Change]:
    """The nearest room either way that changes it, and each at which it changes once more."""
    now = found.answers.room
    every = _rooms(found)
    less = [each for each in reversed(every) if now is None or each < now]
    more = [each for each in every if now is not None and each > now]
    for rooms_on_a_side in (less, more):
        styles = found.styles
        for room in rooms_on_a_side:
            other = study(found.rod, replace(found.answers, room=room), behind, reasons)
            if other.styles != styles:
                styles = other.styles
                if styles != found.styles:
                    yield Change(Question.ROOM, room, styles, other.lead)


def _others(found: HeadChoice, rods: Iterable[Rod]) -> Iterator[tuple[Question, Any, Rod, Answers]]:
    rod, answers = found.rod, found.answers
    for question, name, words in _ASKED:
        for word in words:
            if word is not getattr(answers, name):
                told: dict[str, Any] = {name: word}
                yield question, word, rod, replace(answers, **told)
    for other in rods:
        if other.two_handed and other.length != rod.length:
            yield Question.ROD, other, other, answers


def _rooms(found: HeadChoice) -> list[float]:
    """Rooms in whole feet [m] at which something may change, the smallest first.

    Where a style is let in, where a room begins to be called something, and the foot before.
    """
    edges = [rooms().tight_below, rooms().open_from]
    edges += [max(0.0, each.wants - rooms().grace) for each in found.candidates]
    feet = {math.ceil(edge / FOOT - 1e-9) for edge in edges}
    feet |= {max(0, each - 1) for each in feet}
    return [each * FOOT for each in sorted(feet)]
