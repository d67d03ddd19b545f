"""The points of each style, question by question, as they are counted on a page or on paper."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.model.line import Style
from taperlab.shop.rough import about
from taperlab.shop.which_head.study import HeadChoice, answer_to
from taperlab.trade.reasons import Question
from taperlab.units.sentence import RodLength, Sentence

ASKED = {
    Question.ROD: Sentence("Rod"),
    Question.THROWN: Sentence("Thrown"),
    Question.ROOM: Sentence("Room behind"),
    Question.WATER: Sentence("Water"),
    Question.STRIPPING: Sentence("Stripping"),
    Question.CASTING: Sentence("Casting"),
    Question.WADING: Sentence("Wading"),
}
"""What each question is called before its answer."""

NOTHING_SAID = Sentence("Speaks for none.")
NOT_ANSWERED = Sentence("Not answered: speaks for none.")


@dataclass(frozen=True, slots=True)
class PointRow:
    """What one answer says of the styles that are not ruled out.

    points: in the order of the choice's ``left``, below zero against. why: the table's sentence, or
    that nothing is said. source: whose word it is; empty where nothing is said.
    """

    question: Question
    answered: Sentence
    points: tuple[int, ...]
    why: Sentence
    source: str = ""


def point_rows(found: HeadChoice) -> tuple[PointRow, ...]:
    """A row for each question, in the order in which they are asked."""
    return tuple(_row(found, question) for question in Question)


def totals(found: HeadChoice) -> tuple[tuple[Style, int], ...]:
    """All points of each style that is not ruled out, the best first."""
    return tuple((each.style, each.points) for each in found.left)


def points_text(points: int) -> str:
    """Points as they are written, with a true minus."""
    return f"−{-points}" if points < 0 else f"{points}"


def _row(found: HeadChoice, question: Question) -> PointRow:
    counted = [
        next((each for each in one.reasons if each.reason.question is question), None)
        for one in found.left
    ]
    points = tuple(0 if each is None else each.points for each in counted)
    reason = next((each.reason for each in counted if each is not None), None)
    answer = _answered(found, question)
    if answer is None:
        return PointRow(question, ASKED[question], points, NOT_ANSWERED)
    said = Sentence("{question}: {answer}", question=ASKED[question], answer=answer)
    if reason is None:
        return PointRow(question, said, points, NOTHING_SAID)
    return PointRow(question, said, points, reason.words, reason.source)


def _answered(found: HeadChoice, question: Question) -> Sentence | None:
    """What was answered, as it was answered: a room by its length, not by what that is called."""
    if question is Question.ROD:
        return Sentence("{length}", length=RodLength(found.rod.length))
    if question is Question.ROOM:
        room = found.answers.room
        return None if room is None else Sentence("{length}", length=about(room))
    answer = answer_to(question, found.rod, found.answers)
    return None if answer is None else Sentence("{answer}", answer=answer)
