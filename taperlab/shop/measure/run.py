"""A run along a line with a caliper: which station is next."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from taperlab.model.measurement import Station
from taperlab.shop.measure.shape import ShapeFit
from taperlab.units.kinds import DISTANCE, System
from taperlab.units.parse import Unreadable, parse
from taperlab.units.sentence import OnTape, Sentence

LEAST_GAP = 0.25
"""The last station before the rod end keeps at least this share of a step from it."""


class Mark(StrEnum):
    """What is known of a place of a run."""

    TO_COME = "to come"
    READ = "read"
    LEFT_OUT = "to be read again"


@dataclass(frozen=True, slots=True)
class Run:
    """Places that are read one after the other.

    places: distances from the fly end [m], in order. at: which of them is next, None once there
    is none. last: which was read last. passed: those that were skipped.
    """

    places: tuple[float, ...]
    at: int | None = None
    last: int | None = None
    passed: frozenset[int] = frozenset()

    @property
    def place(self) -> float | None:
        """Where to measure next [m]."""
        return None if self.at is None else self.places[self.at]


def every(step: float, length: float) -> tuple[float, ...]:
    """Places every ``step`` from the fly end to the rod end of a line [m], both ends included."""
    count = int(length / step + 1e-9)
    places = [i * step for i in range(count + 1)]
    if length - places[-1] > LEAST_GAP * step or len(places) == 1:
        return (*places, length)
    return (*places[:-1], length)


def begin(places: Iterable[float], read: frozenset[int] = frozenset()) -> Run:
    """A run along these places, each once; it goes on where those that are read end."""
    return _onward(Run(tuple(sorted(set(places)))), -1, read)


def read_of(places: Sequence[float], stations: Sequence[Station], tape: float) -> frozenset[int]:
    """Which places hold a reading: a station within half a step of the tape [m]."""
    return frozenset(
        i
        for i, place in enumerate(places)
        if any(abs(station.distance - place) < tape / 2.0 for station in stations)
    )


def to_read_again(places: Sequence[float], shape: ShapeFit, tape: float) -> frozenset[int]:
    """Which places hold readings of which none is kept; ``tape``: its step [m]."""
    out, kept = [each.distance for each in shape.left_out], shape.stations.distances

    def near(place: float, others: Iterable[float]) -> bool:
        return any(abs(place - each) < tape / 2.0 for each in others)

    return frozenset(
        i for i, place in enumerate(places) if near(place, out) and not near(place, kept.tolist())
    )


def taken(run: Run, read: frozenset[int]) -> Run:
    """After the next place was read: on to the one after it that is not."""
    if run.at is None:
        return run
    return _onward(replace(run, last=run.at), run.at, read | {run.at})


def skip(run: Run, read: frozenset[int]) -> Run:
    """Pass the next place by."""
    if run.at is None:
        return run
    return _onward(replace(run, passed=run.passed | {run.at}), run.at, read)


def back(run: Run) -> Run:
    """To the place before, read or not; from the end of a run to its last place."""
    before = len(run.places) - 1 if run.at is None else run.at - 1
    return _to(run, max(0, before))


def repeat(run: Run) -> Run:
    """To the place that was read last, once more."""
    return run if run.last is None else _to(run, run.last)


def go_to(run: Run, number: int) -> Run:
    """To a place of the run."""
    return _to(run, number)


def follow(run: Run, before: frozenset[int], read: frozenset[int]) -> Run:
    """After readings came or went elsewhere: back to what was taken back, on from what came."""
    gone = before - read
    if gone:
        return _to(run, min(gone))
    if run.at is not None and run.at in read - before:
        return _onward(run, run.at, read)
    return run


def _to(run: Run, number: int) -> Run:
    return replace(run, at=number, passed=run.passed - {number})


def _onward(run: Run, after: int, read: frozenset[int]) -> Run:
    """The next place behind this one that is neither read nor passed, else the first of all."""
    left = [i for i in range(len(run.places)) if i not in read and i not in run.passed]
    return replace(run, at=next((i for i in left if i > after), left[0] if left else None))


def read_distances(text: str, system: System, length: float) -> tuple[float, ...]:
    """Distances [m] as typed, parted by semicolons, or by spaces where all are bare numbers.

    Raises Unreadable, also for one beyond the line's ``length`` [m].
    """
    bare = not re.search(r"[^\d.,\s]", text)
    parts = text.split() if bare else text.split(";")
    places = tuple(parse(each.strip(), DISTANCE, system) for each in parts if each.strip())
    if not places:
        raise Unreadable(Sentence("Type one distance or more, parted by semicolons."))
    if max(places) > length:
        raise Unreadable(
            Sentence(
                "{place} lies beyond the line’s end at {end}.",
                place=OnTape(max(places)),
                end=OnTape(length),
            )
        )
    return places
