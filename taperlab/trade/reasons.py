"""The table of reasons for and against each style of head: ours, or a shop's own.

A row gives one answer its points for each style, the sentence that says why, and whose word that
is. A spreadsheet may write it with commas, semicolons or tabs.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Self, TypeVar

from taperlab.model.line import Style
from taperlab.model.which_head import Breadth, Casting, Stripping, Thrown, Wading
from taperlab.shipped import resource
from taperlab.units.language import later
from taperlab.units.sentence import Sentence, Told, any_of, of_table

TABLE = ("tables", "which_head.csv")

MOST_POINTS = 9
MOST_ROWS = 200
"""A table of all answers has twenty; beyond this it is surely another file."""

STYLES = (Style.SKAGIT, Style.SCANDI, Style.SHORT_BELLY, Style.MID_BELLY, Style.LONG_BELLY)


class Question(StrEnum):
    """What is asked."""

    ROD = later("rod")
    THROWN = later("what is thrown")
    ROOM = later("room behind")
    WATER = later("water")
    STRIPPING = later("stripping")
    CASTING = later("casting")
    WADING = later("wading")


class RoomSize(StrEnum):
    """What a room behind is called; between them nothing is said of it."""

    TIGHT = later("tight")
    OPEN = later("open")


class RodSize(StrEnum):
    """What a rod is called for the ratios that it carries."""

    SHORT = later("under 13 ft")
    LONG = later("13 ft and over")


ANSWERS: dict[Question, type[StrEnum]] = {
    Question.ROD: RodSize,
    Question.THROWN: Thrown,
    Question.ROOM: RoomSize,
    Question.WATER: Breadth,
    Question.STRIPPING: Stripping,
    Question.CASTING: Casting,
    Question.WADING: Wading,
}
"""The answers that a row may be of."""


class BadReasons(Told):
    """A table of reasons that can't be used: its row, its column, what was found and expected."""

    def at(self, row: int, column: str = "") -> Self:
        """The problem of a row, and of a column if it is of one."""
        fault = self.sentence
        if column:
            self.sentence = Sentence(
                "row {row}, column “{column}”: {fault}", row=row, column=column, fault=fault
            )
        else:
            self.sentence = Sentence("row {row}: {fault}", row=row, fault=fault)
        return self


@dataclass(frozen=True, slots=True)
class Reason:
    """What an answer says for each style, in points; below zero it speaks against it."""

    question: Question
    answer: StrEnum
    points: tuple[int, ...]
    words: Sentence
    source: str

    def for_style(self, style: Style) -> int:
        """Points for a style."""
        return self.points[STYLES.index(style)]


Reasons = tuple[Reason, ...]

_COLUMNS = ("question", "answer", *(style.value for style in STYLES), "words", "source")
_WHOLE = re.compile(r"[+\-−–]?[0-9]{1,3}")
_MINUS = str.maketrans("−–", "--")


@lru_cache(maxsize=1)
def shipped_reasons() -> Reasons:
    """The table that comes with the program."""
    return reasons_of(resource(*TABLE).read_text(encoding="utf-8"))


def reasons_of(text: str) -> Reasons:
    """The reasons in a table. Raises BadReasons, which says row and column."""
    columns: dict[str, int] = {}
    found: dict[tuple[Question, StrEnum], Reason] = {}
    for number, row in _rows(text):
        if not columns:
            columns = _headings(row, number)
            continue
        reason = _reason(row, number, columns)
        place = reason.question, reason.answer
        if place in found:
            raise BadReasons("found this answer a second time, expected one row for it").at(
                number, "answer"
            )
        found[place] = reason
    if not found:
        raise BadReasons("found nothing, expected headings and a reason below them").at(1)
    return tuple(found.values())


def _rows(text: str) -> Iterator[tuple[int, list[str]]]:
    """Rows that say something, each with the number of the line that it begins in."""
    lines = text.removeprefix("\ufeff").splitlines(keepends=True)
    rows = csv.reader(lines, delimiter=_separator(lines), strict=True)
    begins, count = 1, 0
    while True:
        try:
            row = next(rows)
        except StopIteration:
            return
        except csv.Error:
            raise BadReasons(
                "found a cell that can’t be read, expected its quotes to be closed"
            ).at(begins) from None
        number, begins = begins, rows.line_num + 1
        if any(cell.strip() for cell in row) and not row[0].lstrip().startswith("#"):
            count += 1
            if count > MOST_ROWS:
                raise BadReasons("found too many rows, expected at most {most}", most=MOST_ROWS).at(
                    number
                )
            yield number, row


def _separator(lines: list[str]) -> str:
    first = next((line for line in lines if line.strip() and not line.startswith("#")), "")
    return max(",;\t", key=first.count)


def _headings(row: list[str], number: int) -> dict[str, int]:
    known = {name.casefold(): name for name in _COLUMNS}
    columns: dict[str, int] = {}
    for i, cell in enumerate(row):
        heading = " ".join(cell.split())
        name = known.get(heading.casefold())
        if name is None and heading:
            raise BadReasons("found no such column, expected {known}", known=any_of(_COLUMNS)).at(
                number, heading
            )
        if name in columns:
            raise BadReasons("found it twice, expected it once").at(number, heading)
        if name is not None:
            columns[name] = i
    for name in _COLUMNS:
        if name not in columns:
            raise BadReasons("found none, expected this column").at(number, name)
    return columns


def _reason(row: list[str], number: int, columns: dict[str, int]) -> Reason:
    cells = {name: " ".join(row[i].split()) if i < len(row) else "" for name, i in columns.items()}
    question = _one_of(Question, cells["question"], number, "question")
    answer = _one_of(ANSWERS[question], cells["answer"], number, "answer")
    points = tuple(_points(cells[style.value], number, style.value) for style in STYLES)
    for name in ("words", "source"):
        if not cells[name]:
            raise BadReasons("found nothing, expected a text").at(number, name)
    if "{" in cells["words"] or "}" in cells["words"]:
        raise BadReasons("found a brace, expected a text without").at(number, "words")
    return Reason(question, answer, points, of_table(cells["words"]), cells["source"])


Choice = TypeVar("Choice", bound=StrEnum)


def _one_of(choices: type[Choice], cell: str, number: int, column: str) -> Choice:
    for choice in choices:
        if choice.value.casefold() == cell.casefold():
            return choice
    raise BadReasons(
        "found “{found}”, expected {known}", found=cell[:60], known=any_of(map(str, choices))
    ).at(number, column)


def _points(cell: str, number: int, column: str) -> int:
    if not cell:
        return 0
    points = int(cell.translate(_MINUS)) if _WHOLE.fullmatch(cell) else MOST_POINTS + 1
    if abs(points) > MOST_POINTS:
        raise BadReasons(
            "found “{found}”, expected a whole number of points from -{most} to {most}",
            found=cell[:60],
            most=MOST_POINTS,
        ).at(number, column)
    return points
