"""The one reader of tables of segments: a heading row, then one row per segment.

Files and paste judge a table alike, since both read it here. Where a heading leaves a question
open, a file asks a person or is refused; paste leaves the column out, or takes the unit shown.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial
from itertools import combinations

from taperlab.files.cells import Row, check_width, find_separator, heading_parts, rows_of
from taperlab.files.problem import TableProblem
from taperlab.model.segment import Part, RoundSection, Segment
from taperlab.physics import section
from taperlab.units.columns import NEEDED, WEIGHTS, Column, column_headed
from taperlab.units.kinds import DENSITY, WEIGHT, Kind, System
from taperlab.units.language import later
from taperlab.units.parse import Unreadable, expected, limits, parse, parse_unit, quoted, read_part
from taperlab.units.sentence import NOTHING, Density, Sentence, Share, any_of
from taperlab.units.show import shown_unit
from taperlab.units.typed import Mark
from taperlab.units.vocabulary import Unit

MOST_ROUNDING = 0.05
"""Two weights of a row that are further apart than this disagree, however few digits they have."""

READ = (*NEEDED, *WEIGHTS, Column.NOTE)
"""The columns that make a line; what else the table on screen shows is worked out from them."""

_NUMBER = re.compile(r"(?<![A-Za-z^.,\d])(?:\d+(?:[.,](\d*))?|[.,](\d+))")


# -- the heading ------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Heading:
    """The heading of one column, and what it is taken to mean.

    column: None where nobody has decided, or where the column is left out. unit: that of a bare
    number. question: what there is to decide, and nothing where all is clear. lacks_unit: the
    column is known, and only its unit is not written.
    """

    text: str
    column: Column | None
    unit: Unit | None = None
    question: Sentence = NOTHING
    lacks_unit: bool = False


def read_heading(text: str) -> Heading:
    """What a heading such as ``length [ft]`` means; round brackets do as well."""
    name, unit = heading_parts(text)
    column = column_headed(name)
    if column is None:
        wanted = any_of(map(str, READ))
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


def heading_text(column: Column, system: System = System.US) -> str:
    """The heading of a column as files have it, in the unit shown: ``length [ft]``."""
    kind = column.kind
    return f"{column} [{shown_unit(kind, system).replace('³', '^3')}]" if kind else str(column)


HEADINGS = ", ".join(map(heading_text, (*NEEDED, Column.DENSITY)))
"""A heading row to name to a person."""


@dataclass(frozen=True, slots=True)
class Layout:
    """How a table is laid out, as far as it tells; each heading can be decided otherwise.

    decimal: the decimal mark of all its numbers; None where each is read as if typed.
    heading_row: its number in the file. rows: those below the heading.
    """

    headings: tuple[Heading, ...]
    rows: tuple[Row, ...]
    separator: str = "\t"
    decimal: Mark | None = None
    heading_row: int = 0

    def decide(self, at: int, column: Column | None, unit: Unit | None = None) -> Layout:
        """The layout with a heading's meaning decided; a column of numbers needs a unit."""
        if column and column.kind and unit is None:
            raise ValueError(f"{column} needs a unit")
        headings = list(self.headings)
        headings[at] = Heading(headings[at].text, column, unit)
        return replace(self, headings=tuple(headings))

    @property
    def columns(self) -> list[Column | None]:
        """What each column is."""
        return [heading.column for heading in self.headings]

    @property
    def is_whole(self) -> bool:
        """Whether it has all that a line needs."""
        return set(NEEDED) <= set(self.columns) and bool(set(WEIGHTS) & set(self.columns))

    def check_headings(self) -> None:
        """Raise TableProblem for the first heading that is in doubt or stands twice."""
        for heading in self.headings:
            if heading.question:
                raise TableProblem(heading.question).at(self.heading_row, heading.text)
        for column in Column:
            if self.columns.count(column) > 1:
                raise TableProblem(
                    'found two columns for "{column}"; expected one.', column=str(column)
                ).at(self.heading_row)

    def check(self) -> None:
        """Raise TableProblem for the first reason why it can be no whole line."""
        self.check_headings()
        for column in NEEDED:
            if column not in self.columns:
                raise TableProblem(
                    'found no column "{column}"; expected one.', column=heading_text(column)
                ).at(self.heading_row)
        if not self.is_whole:
            wanted = any_of(f'"{heading_text(column)}"' for column in WEIGHTS)
            raise TableProblem(
                "found no column for the weight; expected one of {columns}.", columns=wanted
            ).at(self.heading_row)

    def read_rows(self) -> Iterator[TableRow]:
        """The rows, one after the other. Raises TableProblem at the first cell that is wrong."""
        for row in self.rows:
            yield _read_row(row, self)


def lay_out(text: str) -> Layout:
    """How a table is laid out, by its heading and cells. Raises TableProblem."""
    separator = find_separator(text)
    found = tuple(rows_of(text, separator))
    if not found:
        raise TableProblem(
            "found nothing; expected a heading row such as {headings}.", headings=HEADINGS
        )
    heading, *rows = found
    headings = tuple(map(read_heading, heading.cells))
    numbers = [
        cell
        for row in rows
        for heading_, cell in zip(headings, row.cells, strict=False)
        if heading_.column and heading_.column.kind
    ]
    return Layout(
        headings, tuple(rows), separator, decimal_mark(numbers, separator), heading.number
    )


def decimal_mark(numbers: Sequence[str], separator: str) -> Mark:
    """The decimal mark of a file's numbers, as far as they tell."""
    commas = any("," in cell for cell in numbers) and not any("." in cell for cell in numbers)
    return "," if commas and separator != "," else "."


# -- the rows ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Number:
    """A value [SI], the heading and text of its cell, and half a unit of its last digit [SI]."""

    value: float
    heading: str = ""
    text: str = ""
    half: float = 0.0

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
                    'found {found}, which disagrees with {taken} in column "{column}" by '
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
    for heading, text in zip(headings, row.cells, strict=False):
        if heading.column is None or not text:
            continue
        kind = heading.column.kind
        try:
            if kind is not None:
                numbers[heading.column] = _read_number(text, heading, kind, layout)
            elif heading.column is Column.PART:
                part = read_part(text)
            else:
                note = text
        except Unreadable as problem:
            raise TableProblem(problem.sentence).at(row.number, heading.text) from None
    return TableRow(row.number, layout, part, note, numbers)


def _read_number(text: str, heading: Heading, kind: Kind, layout: Layout) -> Number:
    mark: Mark = layout.decimal or "."
    if layout.decimal:
        check_mark(text, mark, layout.separator)
    read = partial(parse, kind=kind, system=System.US, unit=heading.unit, decimal=mark)
    value = read(text)
    return Number(value, heading.text, text, _half_digit(text, value, read, mark))


def check_mark(text: str, mark: Mark, separator: str) -> None:
    """Raise Unreadable for a number that has the other decimal mark."""
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


def _half_digit(text: str, value: float, read: Callable[[str], float], mark: Mark) -> float:
    """Half of what one more in the last digit of a cell would add [SI]."""
    # Not the 3 of cm3, which is no number of its own.
    numbers = list(_NUMBER.finditer(text))
    if not numbers:
        return 0.0
    last = numbers[-1]
    places = len(last[1] or last[2] or "")
    more = Decimal(last[0].replace(",", ".")) + Decimal(1).scaleb(-places)
    changed = f"{more:f}".replace(".", mark)
    try:
        there = read(text[: last.start()] + changed + text[last.end() :])
    except Unreadable:
        return 0.0
    return abs(there - value) / 2.0
