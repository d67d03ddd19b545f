"""The decimal mark of a table's numbers: found from its cells, or told by a person."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from taperlab.files.problem import TableProblem
from taperlab.units.kinds import Kind, System
from taperlab.units.language import later
from taperlab.units.parse import Unreadable, parse, quoted
from taperlab.units.typed import Mark, decimal_marks
from taperlab.units.vocabulary import Unit


@dataclass(frozen=True, slots=True)
class Marks:
    """How the numbers of a table are written, whose cells are parted by ``separator``.

    decimal: None where each is read as if typed, and a comma before three digits is refused.
    told: the decimal mark is somebody's word, so the other one can only group thousands.
    """

    decimal: Mark | None = None
    told: bool = False
    separator: str = "\t"

    def read(self, text: str, kind: Kind, unit: Unit | None) -> float:
        """The number [SI] in a cell; a bare one is in ``unit``. Raises Unreadable."""
        if self.decimal and not self.told:
            _check(text, self.decimal, self.separator)
        mark: Mark = self.decimal or "."
        return parse(text, kind, System.US, unit=unit, decimal=mark, grouping=self.told)


AS_TYPED = Marks()


def marks_of(numbers: Iterable[str], separator: str, told: Mark | None = None) -> Marks:
    """How the numbers of a table are written, as somebody told, or else as far as they tell.

    A mark that can be nothing else in one cell speaks for all; between commas it must be a point.
    """
    if told is not None:
        return Marks(told, True, separator)
    if separator == ",":
        return Marks(".", separator=separator)
    found = {marks for cell in numbers for marks in decimal_marks(cell)}
    decimal: Mark | None = None
    if not found or frozenset(".") in found:
        decimal = "."
    elif frozenset(",") in found:
        decimal = ","
    return Marks(decimal, separator=separator)


def marks_pasted(cells: Iterable[str]) -> Marks:
    """How pasted numbers are written, with nothing round them that would part a decimal comma.

    With decimal commas where some can be nothing else, and none has a point; else each is read as
    if typed, since they may have been copied together from several places.
    """
    marks = marks_of((cell for cell in cells if cell[:1] in "0123456789.,+-−"), "\t")
    return marks if marks.decimal == "," else AS_TYPED


def is_open(text: str) -> bool:
    """Whether a cell has a number whose comma could be decimal or could group thousands."""
    return any(len(marks) > 1 for marks in decimal_marks(text))


def open_mark(text: str) -> TableProblem:
    """What is wrong with such a cell in a table that does not tell."""
    digits = next(each for each in re.findall(r"[\d.,]+", text) if is_open(each))
    return TableProblem(
        "found {found}, which could mean {one} or {other}; write it one of these ways, or say "
        "which mark is decimal.",
        found=quoted(text),
        one=digits.replace(",", "."),
        other=digits.replace(",", ""),
    )


def _check(text: str, mark: Mark, separator: str) -> None:
    other = "," if mark == "." else "."
    if other in text.rpartition(mark)[2]:
        raise Unreadable(_wrong_mark(other, separator), found=quoted(text))


def _wrong_mark(found: str, separator: str) -> str:
    if found == ".":
        return later(
            "found {found}, expected a number with a decimal comma, as elsewhere in the table."
        )
    if separator == ",":
        return later(
            "found {found}, expected a number with a decimal point, as elsewhere in the table "
            "(a decimal comma needs semicolons or tabs between cells)."
        )
    return later(
        "found {found}, expected a number with a decimal point, as elsewhere in the table."
    )
