"""Headings of tables: a name, and the unit of a bare number in brackets behind it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

from taperlab.files.cells import heading_parts
from taperlab.files.problem import TableProblem
from taperlab.units.kinds import Kind, System
from taperlab.units.parse import Unreadable, parse_unit, quoted
from taperlab.units.sentence import NOTHING, Sentence, Several, Value, any_of
from taperlab.units.show import shown_unit
from taperlab.units.vocabulary import Unit


class TableColumn(Protocol):
    """What a column of some table holds; its text is its heading. kind: None for text."""

    @property
    def kind(self) -> Kind | None:
        """The kind of its numbers."""


MOST_NAMED = 8
"""Headings that are named one by one."""

Held = TypeVar("Held", bound=TableColumn)


@dataclass(frozen=True, slots=True)
class Heading(Generic[Held]):
    """The heading of one column, and what it is taken to mean.

    column: None where nobody has decided, or where the column is left out. unit: that of a bare
    number. question: what there is to decide, and nothing where all is clear. lacks_unit: the
    column is known, and only its unit is not written.
    """

    text: str
    column: Held | None
    unit: Unit | None = None
    question: Sentence = NOTHING
    lacks_unit: bool = False


def read_headings(cells: Iterable[str], known: Iterable[Held]) -> tuple[Heading[Held], ...]:
    """What a row of headings means, by the names of the columns that are known."""
    known = tuple(known)
    names = {str(each).casefold(): each for each in known}
    return tuple(
        read_heading(cell, lambda name: names.get(name.casefold()), known) for cell in cells
    )


def read_heading(
    text: str, find: Callable[[str], Held | None], known: Iterable[Held]
) -> Heading[Held]:
    """What a heading such as ``length [ft]`` means; round brackets do as well.

    find: the column of this name. known: those to name to a person.
    """
    name, unit = heading_parts(text)
    column = find(name)
    if column is None:
        wanted = any_of(map(str, known))
        question = Sentence("found this name; expected one of {columns}.", columns=wanted)
        return Heading(text, None, question=question)
    kind = column.kind
    if kind is None:
        return Heading(text, column)
    if not unit:
        question = Sentence(
            "found no unit; expected one in brackets, such as {example}.",
            example=heading_text(column),
        )
        return Heading(text, column, question=question, lacks_unit=True)
    try:
        return Heading(text, column, parse_unit(unit, kind))
    except Unreadable as problem:
        return Heading(text, column, question=problem.sentence)


def heading_text(column: TableColumn, system: System = System.US) -> str:
    """The heading of a column as files have it, in the unit shown: ``length [ft]``."""
    kind = column.kind
    return f"{column} [{shown_unit(kind, system).replace('³', '^3')}]" if kind else str(column)


def check_clear(headings: Iterable[Heading[Held]], row: int) -> None:
    """Raise TableProblem for the first heading, in this row, that leaves a question."""
    for heading in headings:
        if heading.question:
            raise TableProblem(heading.question).at(row, heading.text)


def check_all(
    headings: Sequence[Heading[Held]], needed: Iterable[Held], row: int, example: str
) -> None:
    """Raise TableProblem where more than one heading is missing, unknown or without its unit.

    All of them are named at once, so that a table under headings of one's own is put right in one
    go. example: headings that would do.
    """
    there = {each.column for each in headings}
    missing = [str(each) for each in needed if each not in there]
    unknown = [quoted(each.text) for each in headings if each.column is None and each.text.strip()]
    bare = [quoted(each.text) for each in headings if each.lacks_unit]
    is_one = len(unknown) == 1 and len(missing) <= 1 and not bare  # another name for that column
    if is_one or len(missing) + len(unknown) + len(bare) < 2:
        return
    said = []
    if missing:
        said.append(Sentence("found no column for {names}", names=_named(missing)))
    if unknown:
        said.append(Sentence("found names that are not known, {names}", names=_named(unknown)))
    if bare:
        said.append(Sentence("found no unit in brackets in {names}", names=_named(bare)))
    whole = said[0]
    for each in said[1:]:
        whole = Sentence("{said}; {more}", said=whole, more=each)
    raise TableProblem(
        "{faults}. Expected headings such as {example}.", faults=whole, example=example
    ).at(row)


def _named(names: Sequence[str]) -> Several:
    """So many of the names as are read with ease, and how many more there are."""
    shown: list[Value] = list(names[:MOST_NAMED])
    if more := len(names) - len(shown):
        shown.append(Sentence("{count} more", count=more))
    return Several(tuple(shown))


def check_once(columns: Sequence[object], row: int) -> None:
    """Raise TableProblem for the first column that has two headings in this row."""
    seen = set()
    for column in columns:
        if column is not None and column in seen:
            raise TableProblem(
                "found two columns for “{column}”; expected one.", column=str(column)
            ).at(row)
        seen.add(column)


def check_there(column: object, columns: Iterable[object], row: int, heading: str) -> None:
    """Raise TableProblem where a column, to be named by ``heading``, is missing in this row."""
    if column not in columns:
        raise TableProblem("found no column “{column}”; expected one.", column=heading).at(row)
