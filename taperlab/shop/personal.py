"""A bench as it may be given away: without what it says of people."""

from __future__ import annotations

from collections.abc import Collection, Iterator
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
from taperlab.units.language import later
from taperlab.units.sentence import Sentence, Several, Value, counted, of_table

TOO_SHORT = 3
"""A customer or ticket of fewer letters is no name that could be told from other words."""

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
    """A bench without what its jobs say of people, and without notes but for those to ``keep``.

    Of a job stay its rod, its line, what was kept of that, its days and its state. Keys that this
    version does not know go too, wherever they stand: nobody can say what they hold. Names of
    lines, rods and stock stay; where one of them names a customer or a ticket, that is told.
    """
    dropped = frozenset(Notes) - set(keep)
    found = _Dropped()
    after = found.clean(bench, dropped, Notes.OTHERS)
    return LeftOut(after, tuple(_said(bench, dropped, found)), tuple(_still(bench, after)))


class _Dropped:
    """Goes through a bench and counts what it drops. notes: by what they were on."""

    def __init__(self) -> None:
        self.notes: set[Notes] = set()
        self.unknown = 0

    def clean(self, thing: Any, dropped: Collection[Notes], inside: Notes) -> Any:
        """The thing without personal data; ``inside``: what the notes in it are on."""
        if isinstance(thing, tuple):
            cleaned = tuple(self.clean(each, dropped, inside) for each in thing)
            same = all(one is other for one, other in zip(cleaned, thing, strict=True))
            return thing if same else cleaned
        if not is_dataclass(thing) or isinstance(thing, type):
            return thing
        inside = _notes_of(thing, inside)
        changes: dict[str, Any] = {}
        for each in fields(thing):
            held = getattr(thing, each.name)
            if each.name == "extra":
                if held:
                    self.unknown += 1
                    changes["extra"] = {}
            elif isinstance(thing, Job) and each.name in _OF_PEOPLE:
                if held:
                    changes[each.name] = type(held)()
            elif _is_note(thing, each.name):
                if held and inside in dropped:
                    self.notes.add(inside)
                    changes[each.name] = ""
            else:
                cleaned = self.clean(held, dropped, inside)
                if cleaned is not held:
                    changes[each.name] = cleaned
        return replace(thing, **changes) if changes else thing


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


def _still(before: Bench, after: Bench) -> Iterator[Sentence]:
    """Where what stays names a customer or a ticket all the same."""
    names = {
        folded(text): text
        for job in before.jobs
        for text in (job.customer, job.ticket)
        if len(folded(text)) >= TOO_SHORT
    }
    if not names:
        return
    told = 0
    # Each text once: those of a line stand in all its versions.
    for text in dict.fromkeys(_texts(after)):
        plain = folded(text)
        for name, as_written in names.items():
            if name in plain:
                told += 1
                if told > MOST_STILL:
                    yield Sentence("And so on.")
                    return
                yield Sentence(
                    "“{name}” is still named: “{text}”.",
                    name=as_written,
                    text=text if len(text) <= 60 else f"{text[:57]}…",
                )


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
