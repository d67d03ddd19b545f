"""Tables that say how a value of the model stands in a file, read in both directions.

A :class:`Record` lists the entries of one dataclass. To add a thing to the file, add an entry;
to add a kind of thing, add a record. Keys that no entry names go to the value's ``extra`` and
come back from it, so that a bench passed through an older program loses nothing.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from taperlab.files.problem import FileProblem
from taperlab.units.sentence import verbatim

SMALLEST, LARGEST = 1e-12, 1e12
"""Limits of any length, mass or density in a file, in SI units: far outside anything that can be
made, and narrow enough that no formula overflows."""


class BadValue(Exception):  # noqa: N818 - caught and told where it happened
    """A value that a file may not hold: what was expected instead."""


@dataclass(frozen=True, slots=True)
class Where:
    """A place in a file, told to the person: ``bench.taperlab: line 2 ("Alder"), segment 3``."""

    source: str
    steps: tuple[str, ...] = ()

    def __truediv__(self, step: str) -> Where:
        return Where(self.source, (*self.steps, step))

    def problem(self, sentence: str) -> FileProblem:
        """The problem to raise about this place."""
        place = f"{self.source}: {', '.join(self.steps)}" if self.steps else self.source
        return FileProblem(verbatim(f"{place}: {sentence}."))


@dataclass(frozen=True, slots=True)
class Value:
    """How one value is read from JSON (raising BadValue or FileProblem) and written to it."""

    read: Callable[[Any, Where], Any]
    write: Callable[[Any], Any]


@dataclass(frozen=True, slots=True)
class Entry:
    """One attribute of a record and its key in the file.

    ``absent`` makes the value of a key that is not there; None means that the key must be there.
    ``omit`` says which values are left out of the file, for the sake of its reader.
    """

    attribute: str
    key: str
    value: Value
    absent: Callable[[], Any] | None = None
    omit: Callable[[Any], bool] = lambda value: False


@dataclass(frozen=True, slots=True)
class Record:
    """One dataclass: what it is called, how it is made, and its entries in the file's order."""

    noun: str
    make: Callable[..., Any]
    entries: tuple[Entry, ...]

    def read(self, found: Any, where: Where) -> Any:
        """The value of one JSON object. Raises FileProblem."""
        if not isinstance(found, dict):
            raise where.problem(f"found {shown(found)}, expected an object in braces")
        values: dict[str, Any] = {}
        for entry in self.entries:
            if entry.key not in found:
                if entry.absent is None:
                    raise where.problem(f'"{entry.key}" is missing')
                values[entry.attribute] = entry.absent()
                continue
            try:
                values[entry.attribute] = entry.value.read(found[entry.key], where)
            except BadValue as bad:
                raise where.problem(
                    f'"{entry.key}": found {shown(found[entry.key])}, expected {bad}'
                ) from None
        known = {entry.key for entry in self.entries}
        extra = {key: value for key, value in found.items() if key not in known}
        try:
            return self.make(**values, extra=extra)
        except ValueError as error:
            raise where.problem(str(error)) from None

    def write(self, value: Any) -> dict[str, Any]:
        """The JSON object of one value."""
        written = {
            entry.key: entry.value.write(getattr(value, entry.attribute))
            for entry in self.entries
            if not entry.omit(getattr(value, entry.attribute))
        }
        known = {entry.key for entry in self.entries}
        written.update((key, kept) for key, kept in value.extra.items() if key not in known)
        return written

    def called(self, found: Any, number: int) -> str:
        """What to call the object with this number (from 1) among its like."""
        name = found.get("name") if isinstance(found, dict) else None
        return f"{self.noun} {number}" + (f' ("{name}")' if isinstance(name, str) and name else "")


def shown(found: Any) -> str:
    """A JSON value for a sentence, cut short."""
    text = json.dumps(found, ensure_ascii=False)
    return text if len(text) <= 40 else text[:37] + "..."


def _same(value: Any) -> Any:
    return value


def _read_text(found: Any, where: Where) -> str:
    if not isinstance(found, str):
        raise BadValue("text in quotation marks")
    return found


def _read_yes_or_no(found: Any, where: Where) -> bool:
    if not isinstance(found, bool):
        raise BadValue("true or false")
    return found


TEXT = Value(_read_text, _same)
YES_OR_NO = Value(_read_yes_or_no, _same)


def number(expected: str, accepts: Callable[[float], bool]) -> Value:
    """A number that passes a test; ``expected`` describes it."""

    def read(found: Any, where: Where) -> float:
        if isinstance(found, bool) or not isinstance(found, int | float):
            raise BadValue(expected)
        try:
            value = float(found)
        except OverflowError:
            raise BadValue(expected) from None
        if not (math.isfinite(value) and accepts(value)):
            raise BadValue(expected)
        return value

    return Value(read, float)


POSITIVE = number(
    f"a number above zero, from {SMALLEST} to {LARGEST}",
    lambda value: SMALLEST <= value <= LARGEST,
)
NOT_NEGATIVE = number(f"zero or a number up to {LARGEST}", lambda value: 0.0 <= value <= LARGEST)


def between(low: float, high: float) -> Value:
    """A number from low to high."""
    return number(f"a number from {low} to {high}", lambda value: low <= value <= high)


def choice(kind: type[StrEnum]) -> Value:
    """One word of an enumeration."""

    def read(found: Any, where: Where) -> StrEnum:
        try:
            return kind(found)
        except ValueError:
            raise BadValue("one of " + ", ".join(kind)) from None

    return Value(read, str)


def optional(value: Value) -> Value:
    """A value, or null."""
    return Value(
        lambda found, where: None if found is None else value.read(found, where),
        lambda held: None if held is None else value.write(held),
    )


def one(record: Record) -> Value:
    """One record inside another."""
    return Value(lambda found, where: record.read(found, where / record.noun), record.write)


def many(record: Record) -> Value:
    """A list of records."""

    def read(found: Any, where: Where) -> tuple[Any, ...]:
        if not isinstance(found, list):
            raise BadValue(f"a list of {record.noun}s in square brackets")
        return tuple(
            record.read(each, where / record.called(each, i))
            for i, each in enumerate(found, start=1)
        )

    return Value(read, lambda held: [record.write(each) for each in held])


def several(value: Value, expected: str) -> Value:
    """A list of plain values; ``expected`` describes the list."""

    def read(found: Any, where: Where) -> tuple[Any, ...]:
        if not isinstance(found, list):
            raise BadValue(expected)
        try:
            return tuple(value.read(each, where) for each in found)
        except BadValue as bad:
            raise BadValue(f"{expected}, each {bad}") from None

    return Value(read, lambda held: [value.write(each) for each in held])


def many_texts() -> Value:
    """A list of texts."""

    def read(found: Any, where: Where) -> tuple[str, ...]:
        if not isinstance(found, list) or not all(isinstance(each, str) for each in found):
            raise BadValue("a list of texts in square brackets")
        return tuple(found)

    return Value(read, list)
