"""A line as CSV or TSV: one heading row, then one row per segment from the fly end.

``part, length [ft], front diameter [in], rear diameter [in], density [g/cm^3], note``

A row may give ``weight`` or ``grains per foot`` (its mean over the row) and no density. Where it
gives two of them they must agree as far as the rounding of its cells allows, and the first of
density, weight and grains per foot is taken. Loops, joints and cores are not part of it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from itertools import combinations
from pathlib import Path
from typing import Literal

from taperlab.files import atomic
from taperlab.files.cells import Row, find_separator, rows_of, to_text
from taperlab.files.problem import FileProblem
from taperlab.files.reading import read_bytes
from taperlab.model.line import NO_LOOP, ONE_EXTRUSION, Line, line_of
from taperlab.model.segment import Part, Segment
from taperlab.physics import frustum
from taperlab.physics.section import mean_density
from taperlab.units.kinds import DENSITY, DIAMETER, LENGTH, WEIGHT, WEIGHT_PER_LENGTH, Kind, System
from taperlab.units.parse import Unreadable, expected, parse, parse_unit, quoted
from taperlab.units.sentence import Sentence, verbatim
from taperlab.units.show import from_unit, show, to_unit
from taperlab.units.vocabulary import Unit

SAMPLE_ROWS = 8
MOST_ROUNDING = 0.05
"""Two weights of a row that are further apart than this disagree, however few digits they have."""

LINE_KEY = "line-1"


class Meaning(StrEnum):
    """What a column holds. The words are those of its heading, but for the last."""

    PART = "part"
    LENGTH = "length"
    FRONT_DIAMETER = "front diameter"
    REAR_DIAMETER = "rear diameter"
    DENSITY = "density"
    WEIGHT = "weight"
    WEIGHT_PER_LENGTH = "grains per foot"
    NOTE = "note"
    NOTHING = "nothing"


KIND_OF: Mapping[Meaning, Kind] = {
    Meaning.LENGTH: LENGTH,
    Meaning.FRONT_DIAMETER: DIAMETER,
    Meaning.REAR_DIAMETER: DIAMETER,
    Meaning.DENSITY: DENSITY,
    Meaning.WEIGHT: WEIGHT,
    Meaning.WEIGHT_PER_LENGTH: WEIGHT_PER_LENGTH,
}
"""The kind of value of each column of numbers."""

_NEEDED = (Meaning.PART, Meaning.LENGTH, Meaning.FRONT_DIAMETER, Meaning.REAR_DIAMETER)
_WEIGHTS = (Meaning.DENSITY, Meaning.WEIGHT, Meaning.WEIGHT_PER_LENGTH)
_READABLE = [meaning for meaning in Meaning if meaning is not Meaning.NOTHING]


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, and what it is taken to mean.

    meaning and unit are None as long as nobody has decided; ``question`` then says what to
    decide, and is empty when all is clear.
    """

    heading: str
    meaning: Meaning | None
    unit: Unit | None
    question: str


@dataclass(frozen=True, slots=True)
class TableGuess:
    """How a table is taken to be laid out; each part of it can be decided otherwise.

    heading_row: its number in the file. rows: the first few, for a preview. row_count: of all
    segments.
    """

    separator: str
    decimal: Literal[".", ","]
    columns: tuple[Column, ...]
    heading_row: int
    rows: tuple[tuple[str, ...], ...]
    row_count: int

    def decide(self, column: int, meaning: Meaning, unit: Unit | None = None) -> TableGuess:
        """The table with a column's meaning decided; a column of numbers needs a unit."""
        if meaning in KIND_OF and unit is None:
            raise ValueError(f"{meaning} needs a unit")
        columns = list(self.columns)
        columns[column] = Column(columns[column].heading, meaning, unit, "")
        return replace(self, columns=tuple(columns))

    @property
    def problem(self) -> str:
        """Why the table cannot be read yet, or nothing if it can: the first reason found."""
        for column in self.columns:
            if column.question:
                return f'column "{column.heading}": {column.question}'
        meanings = [column.meaning for column in self.columns]
        meaning: Meaning
        for meaning in _READABLE:
            if meanings.count(meaning) > 1:
                return f'found two columns for "{meaning}"; expected one'
        for meaning in _NEEDED:
            if meaning not in meanings:
                return f'found no column "{_example(meaning)}"; expected one'
        if not set(_WEIGHTS) & set(meanings):
            wanted = ", ".join(f'"{_example(meaning)}"' for meaning in _WEIGHTS)
            return f"found no column for the weight; expected one of {wanted}"
        return ""


def sniff_table(text: str, source: str, *, separator: str | None = None) -> TableGuess:
    """How a table is laid out, as far as its heading and cells tell. Raises FileProblem."""
    separator = find_separator(text) if separator is None else separator
    found = list(rows_of(text, separator, source))
    if not found:
        raise FileProblem(
            verbatim(
                f"{source} is empty; expected a heading row such as part, length [ft], "
                "front diameter [in], rear diameter [in], density [g/cm^3]."
            )
        )
    heading, *rows = found
    columns = tuple(_column(cell) for cell in heading.cells)
    numbers = [
        cell
        for row in rows
        for column, cell in zip(columns, row.cells, strict=False)
        if column.meaning in KIND_OF
    ]
    commas = any("," in cell for cell in numbers) and not any("." in cell for cell in numbers)
    return TableGuess(
        separator=separator,
        decimal="," if commas and separator != "," else ".",
        columns=columns,
        heading_row=heading.number,
        rows=tuple(row.cells for row in rows[:SAMPLE_ROWS]),
        row_count=len(rows),
    )


def _column(heading: str) -> Column:
    name, bracket, unit_text = heading.partition("[")
    words = " ".join(name.split()).casefold()
    meaning = next((each for each in _READABLE if each == words), None)
    if meaning is None:
        return Column(
            heading, None, None, f"found this name; expected one of {', '.join(_READABLE)}"
        )
    if meaning not in KIND_OF:
        return Column(heading, meaning, None, "")
    kind = KIND_OF[meaning]
    if not bracket:
        question = f"found no unit; expected one in brackets, such as {_example(meaning)}"
        return Column(heading, meaning, None, question)
    try:
        unit = parse_unit(unit_text.strip().removesuffix("]"), kind)
    except Unreadable as problem:
        return Column(heading, meaning, None, str(problem.sentence).rstrip("."))
    return Column(heading, meaning, unit, "")


def _example(meaning: Meaning) -> str:
    if meaning not in KIND_OF:
        return meaning
    return f"{meaning} [{KIND_OF[meaning].units[0].replace('³', '^3')}]"


def read_with(text: str, guess: TableGuess, source: str, name: str) -> Line:
    """The line in a table laid out as ``guess`` says, named ``name``. Raises FileProblem."""
    if guess.problem:
        raise FileProblem(verbatim(f"{source}, row {guess.heading_row}, {guess.problem}."))
    _, *rows = rows_of(text, guess.separator, source)
    segments = tuple(_RowReader(guess, row, source).segment() for row in rows)
    return line_of(LINE_KEY, name, segments)


def parse_table(text: str, source: str, name: str) -> Line:
    """The line in a table that tells all that is needed. Raises FileProblem."""
    return read_with(text, sniff_table(text, source), source, name)


def read_line(path: Path) -> Line:
    """The line in a file, named after it. Raises FileProblem."""
    return parse_table(decode(read_bytes(path), str(path)), str(path), path.stem)


def decode(content: bytes, source: str) -> str:
    """The text of a delimited file. Raises FileProblem."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        if content.startswith((b"\xff\xfe", b"\xfe\xff")):
            raise FileProblem(
                verbatim(f"{source} is UTF-16 text; save it as CSV in UTF-8.")
            ) from None
        # The error counts from behind a byte-order mark.
        before, byte = error.object[: error.start], error.object[error.start]
        row, character = before.count(b"\n") + 1, len(before.rpartition(b"\n")[2].decode()) + 1
        raise FileProblem(
            verbatim(
                f"{source}, row {row}, character {character}: found the byte {byte:02X}, "
                "expected UTF-8 text; save it as CSV in UTF-8."
            )
        ) from None
    if "\0" in text:
        raise FileProblem(verbatim(f"{source} is not text; expected a line as CSV."))
    return text


@dataclass(frozen=True, slots=True)
class _Number:
    """A value [SI], the heading and text of its cell, and half a unit of its last digit [SI]."""

    heading: str
    text: str
    value: float
    half: float

    @property
    def share(self) -> float:
        return self.half / self.value


@dataclass(frozen=True, slots=True)
class _RowReader:
    guess: TableGuess
    row: Row
    source: str

    def segment(self) -> Segment:
        columns = self.guess.columns
        for extra in self.row.cells[len(columns) :]:
            if extra:
                raise FileProblem(
                    verbatim(
                        f"{self.source}, row {self.row.number}, column {len(columns) + 1}: found "
                        f"{quoted(extra)}, expected {len(columns)} cells as in the heading; "
                        "a cell with a separator in it needs quotation marks."
                    )
                )
        length = self._needed(Meaning.LENGTH)
        front = self._needed(Meaning.FRONT_DIAMETER)
        rear = self._needed(Meaning.REAR_DIAMETER)
        return Segment(
            part=self._part(),
            length=length.value,
            front_diameter=front.value,
            rear_diameter=rear.value,
            density=self._density(length, front, rear),
            note=self._cell(Meaning.NOTE)[1],
        )

    def _cell(self, meaning: Meaning) -> tuple[Column | None, str]:
        for i, column in enumerate(self.guess.columns):
            if column.meaning is meaning:
                return column, self.row.cells[i] if i < len(self.row.cells) else ""
        return None, ""

    def _problem(self, heading: str, sentence: str) -> FileProblem:
        place = f'{self.source}, row {self.row.number}, column "{heading}"'
        return FileProblem(verbatim(f"{place}: {sentence}"))

    def _part(self) -> Part:
        column, text = self._cell(Meaning.PART)
        assert column is not None
        try:
            return Part(" ".join(text.split()).casefold())
        except ValueError:
            found = quoted(text) if text else "nothing"
            raise self._problem(
                column.heading, f"found {found}, expected one of {', '.join(Part)}."
            ) from None

    def _needed(self, meaning: Meaning) -> _Number:
        number = self._number(meaning)
        if number is None:
            column, _ = self._cell(meaning)
            assert column is not None
            raise self._problem(
                column.heading, f"found nothing, expected {expected(KIND_OF[meaning])}."
            )
        return number

    def _number(self, meaning: Meaning) -> _Number | None:
        column, text = self._cell(meaning)
        if column is None or not text:
            return None
        decimal, other = self.guess.decimal, "," if self.guess.decimal == "." else "."
        if other in text:
            named = {".": "point", ",": "comma"}
            also = " (a decimal comma needs semicolons or tabs between cells)"
            raise self._problem(
                column.heading,
                f"found {quoted(text)}, expected a number with a decimal {named[decimal]}, "
                f"as elsewhere in the file{also if self.guess.separator == ',' else ''}.",
            )
        try:
            value = self._parse(text, column, meaning)
        except Unreadable as problem:
            raise self._problem(column.heading, str(problem.sentence)) from None
        return _Number(column.heading, text, value, self._half_digit(text, value, column, meaning))

    def _parse(self, text: str, column: Column, meaning: Meaning) -> float:
        return parse(
            text, KIND_OF[meaning], System.US, unit=column.unit, decimal=self.guess.decimal
        )

    def _half_digit(self, text: str, value: float, column: Column, meaning: Meaning) -> float:
        """Half of what one more in the last digit of a cell would add."""
        # Not the 3 of cm3, which is no number of its own.
        numbers = list(re.finditer(r"(?<![A-Za-z^.,\d])(?:\d+(?:[.,](\d*))?|[.,](\d+))", text))
        if not numbers:
            return 0.0
        found = numbers[-1]
        places = len(found[1] or found[2] or "")
        more = Decimal(found[0].replace(",", ".")) + Decimal(1).scaleb(-places)
        changed = f"{more:f}".replace(".", self.guess.decimal)
        try:
            there = self._parse(
                text[: found.start()] + changed + text[found.end() :], column, meaning
            )
        except Unreadable:
            return 0.0
        return abs(there - value) / 2.0

    def _density(self, length: _Number, front: _Number, rear: _Number) -> float:
        volume = float(frustum.volume(length.value, front.value, rear.value))
        given = [
            (meaning, number)
            for meaning in _WEIGHTS
            if (number := self._number(meaning)) is not None
        ]
        if not given:
            heading = next(c.heading for c in self.guess.columns if c.meaning in _WEIGHTS)
            raise self._problem(
                heading, "found nothing, expected a density, or else a weight or grains per foot."
            )
        d1, d2 = front.value, rear.value
        section = (front.half * (2 * d1 + d2) + rear.half * (d1 + 2 * d2)) / (
            d1**2 + d1 * d2 + d2**2
        )
        to_density = {
            Meaning.DENSITY: 1.0,
            Meaning.WEIGHT: 1.0 / volume,
            Meaning.WEIGHT_PER_LENGTH: length.value / volume,
        }
        # How far rounding of the length and the diameters can part two sound weights. A length
        # without decimals is meant: 10 ft is not 10 and a half.
        span = length.share if re.search(r"\d[.,]\d", length.text) else 0.0
        parted = {
            (Meaning.DENSITY, Meaning.WEIGHT): section + span,
            (Meaning.DENSITY, Meaning.WEIGHT_PER_LENGTH): section,
            (Meaning.WEIGHT, Meaning.WEIGHT_PER_LENGTH): span,
        }
        for (one, first), (other, second) in combinations(given, 2):
            both = (first.value * to_density[one], second.value * to_density[other])
            apart = abs(both[0] - both[1]) / max(both)
            rounding = first.share + second.share + parted[one, other]
            if apart > min(rounding, MOST_ROUNDING) + 1e-9:
                raise self._problem(
                    second.heading,
                    f"found {quoted(second.text)}, which disagrees with {quoted(first.text)} in "
                    f'column "{first.heading}" by {100 * apart:.1f} %, expected one of the two.',
                )
        meaning, number = given[0]
        density = number.value * to_density[meaning]
        if not DENSITY.lowest <= density <= DENSITY.highest:
            lowest, highest = (
                show(limit, DENSITY, System.US) for limit in (DENSITY.lowest, DENSITY.highest)
            )
            raise self._problem(
                number.heading,
                f"found {quoted(number.text)}, which with the length and diameters makes a "
                f"density of {show(density, DENSITY, System.US)}, expected from {lowest} to "
                f"{highest}.",
            )
        return density


_UNITS = {
    System.US: ("ft", "in", "g/cm^3"),
    System.METRIC: ("m", "mm", "g/cm^3"),
}


def line_rows(line: Line, system: System = System.US) -> list[list[str]]:
    """The table of a line: a heading, then a row per segment, exact to ten figures and more.

    A segment with a core has its mean density, as the table knows one density only.
    """
    length, diameter, density = _UNITS[system]
    rows = [
        [
            "part",
            f"length [{length}]",
            f"front diameter [{diameter}]",
            f"rear diameter [{diameter}]",
            f"density [{density}]",
            "note",
        ]
    ]
    rows.extend(
        [
            str(segment.part),
            _exact(segment.length, length, LENGTH),
            _exact(segment.front_diameter, diameter, DIAMETER),
            _exact(segment.rear_diameter, diameter, DIAMETER),
            _exact(mean_density(segment), density, DENSITY),
            segment.note,
        ]
        for segment in line.segments
    )
    return rows


def write_line(line: Line, path: Path, system: System = System.US) -> None:
    """Write a line as CSV, or as TSV where the name ends in .tsv. Raises FileProblem."""
    separator = "\t" if path.suffix.casefold() == ".tsv" else ","
    atomic.write_text(path, to_text(line_rows(line, system), separator))


def what_is_lost(line: Line) -> tuple[Sentence, ...]:
    """What of a line a table cannot hold."""
    lost = []
    if (line.front_loop, line.rear_loop) != (NO_LOOP, NO_LOOP):
        lost.append(Sentence("its loops"))
    if any(joint != ONE_EXTRUSION for joint in line.joints):
        lost.append(Sentence("its joints"))
    if any(segment.core is not None for segment in line.segments):
        lost.append(Sentence("its cores (their weight is kept)"))
    return tuple(lost)


def _exact(value: float, unit: str, kind: Kind) -> str:
    """The fewest digits that give a value back to ten figures and more."""
    number = to_unit(value, unit, kind)
    text = repr(number)
    for digits in range(1, 17):
        text = f"{number:.{digits}g}"
        if abs(from_unit(float(text), unit, kind) - value) <= 1e-11 * abs(value):
            break
    return f"{Decimal(text):f}"
