"""A bench as it may be given away: without what it says of people."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from enum import StrEnum
from typing import Any

from taperlab.model.bench import Bench
from taperlab.model.job import Job
from taperlab.model.line import Line
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Segment
from taperlab.model.version import Version
from taperlab.shop.jobs.listing import folded
from taperlab.shop.steps import Steps, finish, part
from taperlab.units.language import later
from taperlab.units.sentence import Sentence, Several, Value, counted, of_table

TOO_SHORT = 3
"""A customer or ticket of fewer letters is no name that could be told from other words."""

A_NAME = 4
"""A word of a customer with so many letters may name them by itself."""

FEW, MANY = 32, 256
"""Things, and texts, that are gone through in a moment."""

MOST_STILL = 12
"""Places that are told where a customer or a ticket is still named."""


class Notes(StrEnum):
    """Notes that may say something of people, by what they are on."""

    BENCH = later("the bench")
    LINES = later("lines and their segments")
    RODS = later("rods, and who says their grain windows")
    VERSIONS = later("versions")
    OTHERS = later("stock, rigs, ranges, measurements, cut-backs and builds")


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A bench without personal data. said: what was left out. still: what is named all the same."""

    bench: Bench
    said: tuple[Sentence, ...]
    still: tuple[Sentence, ...]


def without_personal_data(bench: Bench, keep: Collection[Notes] = ()) -> LeftOut:
    """The same as :func:`leaving_out`, here and now."""
    return finish(leaving_out(bench, keep))


def leaving_out(bench: Bench, keep: Collection[Notes] = ()) -> Steps[LeftOut]:
    """A bench without what its jobs say of people, and without notes but for those to ``keep``.

    Of a job stay its rod, its line, what was kept of that, its days and its state. Keys that this
    version does not know go too, wherever they stand: nobody can say what they hold. Names of
    lines, rods and stock stay; where one of them names a customer or a ticket, that is told.
    """
    dropped = frozenset(Notes) - set(keep)
    found = _Dropped(dropped)
    after = yield from part(found.cleaned(bench), 0.0, 0.5)
    still = yield from part(_still(bench, after), 0.5, 1.0)
    return LeftOut(after, tuple(_said(bench, dropped, found)), still)


def names_somebody(bench: Bench, text: str) -> bool:
    """Whether a text, such as the name of a file, names a customer or a ticket of a bench."""
    return any(True for _ in _Names(bench.jobs).told_in(text))


class _Dropped:
    """Goes through a bench and counts what it drops. notes: by what they were on."""

    def __init__(self, dropped: Collection[Notes]) -> None:
        self.dropped = dropped
        self.notes: set[Notes] = set()
        self.unknown = 0

    def cleaned(self, bench: Bench) -> Steps[Bench]:
        """A bench without personal data, a line and a job at a time."""
        parts = fields(bench)
        changes: dict[str, Any] = {}
        for number, each in enumerate(parts):
            held = getattr(bench, each.name)
            if isinstance(held, tuple):
                made = []
                for at, thing in enumerate(held):
                    made.append(self.clean(thing, Notes.OTHERS))
                    if at % FEW == 0 or isinstance(thing, Line | Version):
                        yield (number + at / len(held)) / len(parts)
                after = _kept_or(held, tuple(made))
            else:
                after = self._of_field(bench, each.name, held, Notes.BENCH)
            if after is not held:
                changes[each.name] = after
        return replace(bench, **changes) if changes else bench

    def clean(self, thing: Any, inside: Notes) -> Any:
        """The thing without personal data; ``inside``: what the notes in it are on."""
        if isinstance(thing, tuple):
            return _kept_or(thing, tuple(self.clean(each, inside) for each in thing))
        if not is_dataclass(thing) or isinstance(thing, type):
            return thing
        inside = _notes_of(thing, inside)
        changes: dict[str, Any] = {}
        for each in fields(thing):
            held = getattr(thing, each.name)
            after = self._of_field(thing, each.name, held, inside)
            if after is not held:
                changes[each.name] = after
        return replace(thing, **changes) if changes else thing

    def _of_field(self, thing: Any, name: str, held: Any, inside: Notes) -> Any:
        """What becomes of one field of a thing."""
        if name == "extra":
            self.unknown += bool(held)
            return {} if held else held
        if isinstance(thing, Job) and name in _OF_PEOPLE:
            return type(held)() if held else held
        if not _is_note(thing, name):
            return self.clean(held, inside)
        if not held or inside not in self.dropped:
            return held
        self.notes.add(inside)
        return ""


def _kept_or(held: tuple[Any, ...], cleaned: tuple[Any, ...]) -> tuple[Any, ...]:
    same = all(one is other for one, other in zip(cleaned, held, strict=True))
    return held if same else cleaned


_OF_PEOPLE = ("customer", "ticket", "note", "cast", "photographs")


def _is_note(thing: Any, name: str) -> bool:
    return name == "note" or (isinstance(thing, Window) and name == "source")


def _notes_of(thing: Any, inside: Notes) -> Notes:
    """What the notes on a thing, and in it, are on."""
    if inside is Notes.VERSIONS:
        return inside
    kinds = (
        (Bench, Notes.BENCH),
        (Version, Notes.VERSIONS),
        (Line, Notes.LINES),
        (Rod, Notes.RODS),
    )
    found = next((notes for kind, notes in kinds if isinstance(thing, kind)), None)
    if found is not None:
        return found
    kept = inside in (Notes.LINES, Notes.RODS) and isinstance(thing, Segment | Window)
    return inside if kept else Notes.OTHERS


# -- in words ---------------------------------------------------------------------------------


def _said(bench: Bench, dropped: Collection[Notes], found: _Dropped) -> Iterator[Sentence]:
    told = sum(any(getattr(job, name) for name in _OF_PEOPLE) for job in bench.jobs)
    if told:
        yield counted(
            "Left out of {count} job: customer, ticket, notes, how it cast, photographs.",
            "Left out of {count} jobs: customer, ticket, notes, how it cast, photographs.",
            told,
        )
    notes: list[Value] = [of_table(each.value) for each in Notes if each in found.notes]
    if notes:
        yield Sentence("Notes left out: {what}.", what=Several(tuple(notes)))
    if found.unknown:
        yield Sentence("Left out too: what only a newer program knows.")
    kept = [of_table(each.value) for each in Notes if each not in dropped]
    if kept:
        yield Sentence("Notes that stay: {what}.", what=Several(tuple(kept)))


def _still(before: Bench, after: Bench) -> Steps[tuple[Sentence, ...]]:
    """Where what stays names a customer or a ticket all the same."""
    names = _Names(before.jobs)
    said: list[Sentence] = []
    seen: set[str] = set()
    if not names.is_empty:
        # Each text once: those of a line stand in all its versions.
        for number, text in enumerate(_texts(after)):
            if number % MANY == 0:
                yield number / (number + 100 * MANY)
            if text not in seen:
                seen.add(text)
                said += names.told_in(text)
                if len(said) > MOST_STILL:
                    return (*said[:MOST_STILL], Sentence("And so on."))
    return tuple(said)


class _Names:
    """What jobs call people, to be found in texts: whole, and the words of a name.

    By how each begins, so that a text is gone through once however many there are.
    """

    def __init__(self, jobs: Iterable[Job]) -> None:
        called = dict.fromkeys(text for job in jobs for text in (job.customer, job.ticket))
        whole = {folded(text): text for text in called if len(folded(text)) >= TOO_SHORT}
        self._whole: dict[str, list[tuple[str, str]]] = {}
        for name, as_written in whole.items():
            self._whole.setdefault(name[:TOO_SHORT], []).append((name, as_written))
        # A word of several names, such as "customer", names none of them.
        of: dict[str, set[str]] = {}
        for customer in dict.fromkeys(job.customer for job in jobs):
            for word in re.findall(r"[^\W\d_]+", customer):
                if len(word) >= A_NAME and not word.islower():
                    of.setdefault(folded(word), set()).add(customer)
        self._words = {word: min(names) for word, names in of.items() if len(names) == 1}

    @property
    def is_empty(self) -> bool:
        """Whether nobody is called anything."""
        return not self._whole

    def told_in(self, text: str) -> Iterator[Sentence]:
        """Whom a text names."""
        plain = folded(text)
        starts = {plain[at : at + TOO_SHORT] for at in range(len(plain) - TOO_SHORT + 1)}
        shown = text if len(text) <= 60 else f"{text[:57]}…"
        named = set()
        for start in sorted(starts & self._whole.keys()):
            for name, as_written in self._whole[start]:
                if name in plain:
                    named.add(as_written)
                    yield Sentence(
                        "“{name}” is still named: “{text}”.", name=as_written, text=shown
                    )
        for word in dict.fromkeys(re.findall(r"[^\W\d_]+", plain)):
            customer = self._words.get(word)
            if customer is not None and customer not in named:
                named.add(customer)
                yield Sentence("A word of “{text}” may mean “{name}”.", name=customer, text=shown)


def _texts(thing: Any) -> Iterator[str]:
    """Every text in a bench that a person wrote."""
    if isinstance(thing, str) and not isinstance(thing, StrEnum):
        yield thing
    elif isinstance(thing, tuple):
        for each in thing:
            yield from _texts(each)
    elif is_dataclass(thing) and not isinstance(thing, type):
        for each in fields(thing):
            if each.name not in ("key", "extra"):
                yield from _texts(getattr(thing, each.name))
