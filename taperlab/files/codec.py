"""Tables that say how a value of the model stands in a file, read in both directions.

A :class:`Record` lists the entries of one dataclass. To add a thing to the file, add an entry;
to add a kind of thing, add a record. Keys that no entry names go to the value's ``extra`` and
come back from it, so that a bench passed through an older program loses nothing.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import partial
from typing import Any

from taperlab.files.problem import FileProblem
from taperlab.units.limits import Limited
from taperlab.units.sentence import Sentence, Told, any_of, of_table


class BadValue(Told):
    """A value that a file may not hold. ``sentence``: what was expected instead."""


@dataclass(frozen=True, slots=True)
class Where:
    """A place in a file, told to the person: ``bench.taperlab: line 2 ("Alder"), segment 3``."""

    file: str
    outside: Where | None = None
    step: Callable[[], Sentence] | None = None

    def inside(self, step: Callable[[], Sentence]) -> Where:
        """A place in this one, which is named only where something is wrong there."""
        return Where(self.file, self, step)

    @property
    def place(self) -> Sentence | str:
        """What the place is called."""
        if self.step is None or self.outside is None:
            return self.file
        if self.outside.step is None:
            return Sentence("{file}: {part}", file=self.file, part=self.step())
        return Sentence("{whole}, {part}", whole=self.outside.place, part=self.step())

    def problem(self, fault: Sentence) -> FileProblem:
        """The problem to raise about this place."""
        return FileProblem("{place}: {fault}.", place=self.place, fault=fault)


@dataclass(frozen=True, slots=True)
class Value:
    """How one value is read from JSON (raising BadValue or FileProblem) and written to it."""

    read: Callable[[Any, Where], Any]
    write: Callable[[Any], Any]


NEEDED: Any = object()
"""In place of a default: a value that must be in the file."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One attribute of a record and its key in the file, which is its name unless told.

    default: the value of a key that is not there; without one, the key must be there. omit: which
    values are left out of the file, for the sake of its reader; unless told, the default.
    """

    attribute: str
    value: Value
    default: Any = NEEDED
    key: str = ""
    omit: Callable[[Any], bool] | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "key", self.key or self.attribute)

    def read(self, found: dict[str, Any], where: Where) -> Any:
        """The value in a JSON object. Raises BadValue, or FileProblem for what lies deeper."""
        if self.key not in found:
            if self.default is NEEDED:
                raise BadValue("“{key}” is missing", key=self.key)
            return self.default
        try:
            return self.value.read(found[self.key], where)
        except BadValue as bad:
            raise BadValue(
                "“{key}”: found {found}, expected {expected}",
                key=self.key,
                found=shown(found[self.key]),
                expected=bad.sentence,
            ) from None

    def omits(self, value: Any) -> bool:
        """Whether a value is left out of the file."""
        return bool(value == self.default) if self.omit is None else self.omit(value)


def never(value: object) -> bool:
    """For an entry that is always written: no value is left out."""
    return False


@dataclass(frozen=True, slots=True)
class Record:
    """One dataclass: what it is called, how it is made, and its entries in the file's order.

    ``make`` raises ValueError, in words marked for translation, where values do not fit together.
    """

    noun: str
    make: Callable[..., Any]
    entries: tuple[Entry, ...]

    def read(self, found: Any, where: Where) -> Any:
        """The value of one JSON object. Raises FileProblem."""
        try:
            if not isinstance(found, dict):
                raise BadValue("found {found}, expected an object in braces", found=shown(found))
            values = {entry.attribute: entry.read(found, where) for entry in self.entries}
            return self.make(**values, extra=self._unknown(found))
        except BadValue as bad:
            raise where.problem(bad.sentence) from None
        except ValueError as error:
            raise where.problem(of_table(str(error))) from None

    def write(self, value: Any) -> dict[str, Any]:
        """The JSON object of one value."""
        written = {
            entry.key: entry.value.write(held)
            for entry in self.entries
            if not entry.omits(held := getattr(value, entry.attribute))
        }
        return written | self._unknown(value.extra)

    def _unknown(self, found: Any) -> dict[str, Any]:
        known = {entry.key for entry in self.entries}
        return {key: value for key, value in found.items() if key not in known}

    def called(self, found: Any, number: int) -> Sentence:
        """What to call the object with this number (from 1) among its like."""
        name = found.get("name") if isinstance(found, dict) else None
        noun = of_table(self.noun)
        if isinstance(name, str) and name:
            return Sentence("{noun} {number} (“{name}”)", noun=noun, number=number, name=name)
        return Sentence("{noun} {number}", noun=noun, number=number)


def shown(found: Any) -> str:
    """A JSON value for a sentence, cut short."""
    text = json.dumps(found, ensure_ascii=False)
    return text if len(text) <= 40 else text[:37] + "..."


def _same(value: Any) -> Any:
    return value


def _plain(kind: type, expected: Sentence) -> Value:
    def read(found: Any, where: Where) -> Any:
        if not isinstance(found, kind):
            raise BadValue(expected)
        return found

    return Value(read, _same)


TEXT = _plain(str, Sentence("text in quotation marks"))
YES_OR_NO = _plain(bool, Sentence("true or false"))


_EXPECTED_DAY = Sentence("a day of the calendar such as “2024-05-31”")
_WRITTEN_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def _day(found: Any, where: Where) -> date:
    if not (isinstance(found, str) and _WRITTEN_DAY.fullmatch(found)):
        raise BadValue(_EXPECTED_DAY)
    try:
        return date.fromisoformat(found)
    except ValueError:
        raise BadValue(_EXPECTED_DAY) from None


DAY = Value(_day, date.isoformat)
"""A day, year first."""


def number(lowest: float, highest: float, besides: float | None = None) -> Value:
    """A number from lowest to highest, or the one ``besides``."""
    expected = Sentence(
        "a number from {lowest} to {highest}", lowest=f"{lowest:g}", highest=f"{highest:g}"
    )

    def read(found: Any, where: Where) -> float:
        if isinstance(found, bool) or not isinstance(found, int | float):
            raise BadValue(expected)
        # A whole number of hundreds of digits is no float.
        if not (lowest <= found <= highest or found == besides):
            raise BadValue(expected)
        return float(found)

    return Value(read, float)


def whole(lowest: int, highest: int) -> Value:
    """A whole number from lowest to highest."""
    expected = Sentence("a whole number from {lowest} to {highest}", lowest=lowest, highest=highest)

    def read(found: Any, where: Where) -> int:
        if isinstance(found, bool) or not isinstance(found, int):
            raise BadValue(expected)
        if not lowest <= found <= highest:
            raise BadValue(expected)
        return found

    return Value(read, int)


def limited(limits: Limited) -> Value:
    """A number of the model, within its limits."""
    return number(limits.kind.lowest, limits.kind.highest, limits.besides)


def choice(kind: type[StrEnum]) -> Value:
    """One word of an enumeration."""
    expected = Sentence("one of {words}", words=any_of(map(str, kind)))

    def read(found: Any, where: Where) -> StrEnum:
        try:
            return kind(found)
        except ValueError:
            raise BadValue(expected) from None

    return Value(read, str)


def optional(value: Value) -> Value:
    """A value, or null."""
    return Value(
        lambda found, where: None if found is None else value.read(found, where),
        lambda held: None if held is None else value.write(held),
    )


def one(record: Record) -> Value:
    """One record inside another."""
    noun = partial(of_table, record.noun)
    return Value(lambda found, where: record.read(found, where.inside(noun)), record.write)


def several(value: Value, expected: Sentence, most: int | None = None) -> Value:
    """A list of values, of at most so many; ``expected`` describes the list."""

    def read(found: Any, where: Where) -> tuple[Any, ...]:
        if not isinstance(found, list) or (most is not None and len(found) > most):
            raise BadValue(expected)
        try:
            return tuple(value.read(each, where) for each in found)
        except BadValue as bad:
            raise BadValue(
                "{list}, each {expected}", list=expected, expected=bad.sentence
            ) from None

    return Value(read, lambda held: [value.write(each) for each in held])


def many(record: Record, most: int | None = None, things: str = "") -> Value:
    """A list of records, of at most so many of the ``things``."""

    def read(found: Any, where: Where) -> tuple[Any, ...]:
        if not isinstance(found, list):
            raise BadValue("a list in square brackets")
        if most is not None and len(found) > most:
            raise where.problem(
                Sentence(
                    "found {count} {things}, expected at most {most}",
                    count=f"{len(found):,}",
                    things=of_table(things),
                    most=f"{most:,}",
                )
            )
        return tuple(
            record.read(each, where.inside(partial(record.called, each, i)))
            for i, each in enumerate(found, start=1)
        )

    return Value(read, lambda held: [record.write(each) for each in held])


TEXTS = several(TEXT, Sentence("a list of texts in square brackets"))
