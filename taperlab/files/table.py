"""The one reader of tables of segments: a heading row, then one row per segment.

Files and paste judge a table alike, since both read it here. Where a heading leaves a question
open, a file asks a person or is refused; paste leaves the column out, or takes the unit shown.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from itertools import combinations

from taperlab.files.cells import Row, check_width, grid_of
from taperlab.files.headings import (
    Heading,
    check_clear,
    check_once,
    check_there,
    heading_text,
    read_heading,
)
from taperlab.files.marks import AS_TYPED, Marks, is_open, marks_of, open_mark
from taperlab.files.problem import TableProblem
from taperlab.model.segment import Part, RoundSection, Segment
from taperlab.physics import section
from taperlab.units.columns import NEEDED, WEIGHTS, Column, column_headed
from taperlab.units.kinds import DENSITY, WEIGHT
from taperlab.units.limits import MOST_SEGMENTS
from taperlab.units.parse import Unreadable, expected, limits, quoted, read_part
from taperlab.units.sentence import Density, Sentence, Share, any_of
from taperlab.units.typed import Mark
from taperlab.units.vocabulary import Unit

MOST_ROUNDING = 0.05
"""Two weights of a row that are further apart than this disagree, however few digits they have."""

READ = (*NEEDED, *WEIGHTS, Column.NOTE)
"""The columns that make a line; what else the table on screen shows is worked out from them."""

_NUMBER = re.compile(r"(?<![A-Za-z^.,0-9])[0-9.,]*[0-9]")


# -- the heading ------------------------------------------------------------------------------

HEADINGS = ", ".join(map(heading_text, (*NEEDED, Column.DENSITY)))
"""A heading row to name to a person."""


@dataclass(frozen=True, slots=True)
class Layout:
    """How a table is laid out, as far as it tells; each heading can be decided otherwise.

    marks: how its numbers are written. heading_row: its number in the file. rows: those below the
    heading.
    """

    headings: tuple[Heading[Column], ...]
    rows: tuple[Row, ...]
    marks: Marks = AS_TYPED
    heading_row: int = 0

    def decide(self, at: int, column: Column | None, unit: Unit | None = None) -> Layout:
        """The layout with a heading's meaning decided; a column of numbers needs a unit."""
        if column and column.kind and unit is None:
            raise ValueError(f"{column} needs a unit")
        headings = list(self.headings)
        headings[at] = Heading(headings[at].text, column, unit)
        return replace(self, headings=tuple(headings)).with_marks_found()

    def decide_decimal(self, mark: Mark) -> Layout:
        """The layout with the decimal mark of its numbers told; the other groups thousands."""
        return replace(self, marks=marks_of((), self.marks.separator, mark))

    def with_marks_found(self) -> Layout:
        """The layout with its numbers written as they tell, unless somebody told."""
        if self.marks.told:
            return self
        numbers = (cell for _, _, cell in self._numbers())
        return replace(self, marks=marks_of(numbers, self.marks.separator))

    def _numbers(self) -> Iterator[tuple[int, str, str]]:
        """The cells that are to hold numbers: row, heading, text."""
        for row in self.rows:
            for heading, cell in zip(self.headings, row.cells, strict=False):
                if heading.column and heading.column.kind:
                    yield row.number, heading.text, cell

    @property
    def open_number(self) -> tuple[int, str, str] | None:
        """Row, heading and text of the first number whose comma could be decimal or could group."""
        if self.marks.decimal is not None:
            return None
        return next((each for each in self._numbers() if is_open(each[2])), None)

    @property
    def columns(self) -> list[Column | None]:
        """What each column is."""
        return [heading.column for heading in self.headings]

    @property
    def is_whole(self) -> bool:
        """Whether it has all that a line needs."""
        return set(NEEDED) <= set(self.columns) and bool(set(WEIGHTS) & set(self.columns))

    @property
    def is_clear(self) -> bool:
        """Whether nothing is left to decide before its rows are read."""
        try:
            self.check()
        except TableProblem:
            return False
        return True

    def check_headings(self) -> None:
        """Raise TableProblem for the first heading that is in doubt or stands twice."""
        check_clear(self.headings, self.heading_row)
        check_once(self.columns, self.heading_row)

    def check(self) -> None:
        """Raise TableProblem for the first reason why it can be no whole line."""
        self.check_headings()
        for column in NEEDED:
            check_there(column, self.columns, self.heading_row, heading_text(column))
        if not self.is_whole:
            wanted = any_of(f"“{heading_text(column)}”" for column in WEIGHTS)
            raise TableProblem(
                "found no column for the weight; expected one of {columns}.", columns=wanted
            ).at(self.heading_row)
        if found := self.open_number:
            row, heading, text = found
            raise open_mark(text).at(row, heading)

    def read_rows(self) -> Iterator[TableRow]:
        """The rows, one after the other. Raises TableProblem at the first cell that is wrong."""
        for row in self.rows:
            yield _read_row(row, self)


def lay_out(text: str) -> Layout:
    """How a table is laid out, by its heading and cells. Raises TableProblem."""
    grid = grid_of(text, MOST_SEGMENTS, Sentence("a line has no more segments"))
    if grid is None:
        raise TableProblem(
            "found nothing; expected a heading row such as {headings}.", headings=HEADINGS
        )
    headings = tuple(read_heading(cell, column_headed, READ) for cell in grid.heading.cells)
    marks = Marks(separator=grid.separator)
    layout = Layout(headings, grid.rows, marks, grid.heading.number)
    return layout.with_marks_found()


# -- the rows ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Number:
    """A value [SI], the heading and text of its cell, and what reads such a text."""

    value: float
    heading: str = ""
    text: str = ""
    read: Callable[[str], float] | None = None

    @property
    def half(self) -> float:
        """Half of what one more or less in its last digit would change [SI]."""
        # Not the 3 of cm3, which is no number of its own.
        numbers = list(_NUMBER.finditer(self.text))
        if not numbers or self.read is None:
            return 0.0
        end = numbers[-1].end()
        other = abs(int(self.text[end - 1]) - 1)
        try:
            there = self.read(f"{self.text[: end - 1]}{other}{self.text[end:]}")
        except Unreadable:
            return 0.0
        return abs(there - self.value) / 2.0

    @property
    def share(self) -> float:
        """What rounding may be of the value."""
        return self.half / self.value


@dataclass(frozen=True, slots=True)
class Shape:
    """Length and diameters of a row, as far as they are known."""

    length: Number
    front: Number
    rear: Number

    @property
    def volume(self) -> float:
        """Volume [m^3]."""
        piece = Segment(Part.BELLY, self.length.value, self.front.value, self.rear.value, 1.0)
        return section.volume(piece)

    @property
    def section_play(self) -> float:
        """How far rounding of the diameters can part two weights, as a share."""
        d1, d2 = self.front.value, self.rear.value
        play = self.front.half * (2 * d1 + d2) + self.rear.half * (d1 + 2 * d2)
        return play / (d1**2 + d1 * d2 + d2**2)

    @property
    def length_play(self) -> float:
        """How far rounding of the length can. Without decimals it is meant: 10 ft is not 10.4."""
        return self.length.share if re.search(r"\d[.,]\d", self.length.text) else 0.0


@dataclass(frozen=True, slots=True)
class TableRow:
    """What the cells of one row say; a cell that is empty says nothing."""

    number: int
    layout: Layout
    part: Part | None
    note: str | None
    numbers: Mapping[Column, Number]

    def _place(self, column: Column) -> tuple[int, str]:
        """Where its cell in a column stands: row and heading."""
        return self.number, next(h.text for h in self.layout.headings if h.column is column)

    def check_whole(self) -> None:
        """Raise TableProblem where something is missing that a segment needs."""
        if self.part is None:
            raise TableProblem(
                "found nothing, expected one of {parts}.", parts=any_of(map(str, Part))
            ).at(*self._place(Column.PART))
        for column in NEEDED[1:]:
            kind = column.kind
            if column not in self.numbers and kind:
                raise TableProblem("found nothing, expected {wanted}.", wanted=expected(kind)).at(
                    *self._place(column)
                )
        if not self.weights:
            column = next(c for c in self.layout.columns if c in WEIGHTS)
            raise TableProblem(
                "found nothing, expected a density, or else a weight or grains per foot."
            ).at(*self._place(column))

    @property
    def weights(self) -> list[Column]:
        """Which columns say how heavy it is; the first of them is taken."""
        return [column for column in WEIGHTS if column in self.numbers]

    def shape(self, there: RoundSection | None = None) -> Shape | None:
        """Its shape, where it gives none that of the segment that is there; None if unknown."""
        given = [self.numbers.get(column) for column in NEEDED[1:]]
        known = list(map(Number, section.shape_of(there))) if there else [None] * 3
        both = [number or held for number, held in zip(given, known, strict=True)]
        length, front, rear = both
        return Shape(length, front, rear) if length and front and rear else None

    def density(self, shape: Shape) -> float:
        """Its density [kg/m^3], worked out from the first of its weights.

        Raises TableProblem where two of them disagree, or where no material is like that.
        """
        claims = [self._density_by(column, shape) for column in self.weights]
        for (one, first), (other, second) in combinations(
            zip(self.weights, claims, strict=True), 2
        ):
            apart = abs(first - second) / max(first, second)
            if apart > self._rounding(one, other, shape) and (
                abs(first - second) * shape.volume > WEIGHT.lowest
            ):
                taken = self.numbers[one]
                raise TableProblem(
                    "found {found}, which disagrees with {taken} in column “{column}” by "
                    "{share}, expected one of the two.",
                    found=quoted(self.numbers[other].text),
                    taken=quoted(taken.text),
                    column=taken.heading,
                    share=Share(apart),
                ).at(*self._place(other))
        if not DENSITY.allows(claims[0]):
            column = self.weights[0]
            raise TableProblem(
                "found {found}, which with the length and diameters makes a density of "
                "{density}, expected {limits}.",
                found=quoted(self.numbers[column].text),
                density=Density(claims[0]),
                limits=limits(DENSITY),
            ).at(*self._place(column))
        return claims[0]

    def _density_by(self, column: Column, shape: Shape) -> float:
        value = self.numbers[column].value
        if column is Column.WEIGHT:
            return value / shape.volume
        if column is Column.WEIGHT_PER_LENGTH:
            return value * shape.length.value / shape.volume
        return value

    def _rounding(self, one: Column, other: Column, shape: Shape) -> float:
        """How far apart two weights may be, as a share, by the digits that they were told with."""
        among = {one, other}
        play = self.numbers[one].share + self.numbers[other].share
        if Column.DENSITY in among:
            play += shape.section_play
        if Column.WEIGHT in among:
            play += shape.length_play
        return min(play, MOST_ROUNDING) + 1e-9


def _read_row(row: Row, layout: Layout) -> TableRow:
    headings = layout.headings
    check_width(row, len(headings))
    part: Part | None = None
    note: str | None = None
    numbers: dict[Column, Number] = {}
    marks = layout.marks
    for heading, text in zip(headings, row.cells, strict=False):
        if heading.column is None or not text:
            continue
        kind = heading.column.kind
        try:
            if kind is not None:
                value = marks.read(text, kind, heading.unit)
                read = partial(marks.read, kind=kind, unit=heading.unit)
                numbers[heading.column] = Number(value, heading.text, text, read)
            elif heading.column is Column.PART:
                part = read_part(text)
            else:
                note = text
        except Unreadable as problem:
            raise TableProblem(problem.sentence).at(row.number, heading.text) from None
    return TableRow(row.number, layout, part, note, numbers)
