"""The jobs of benches as a list shows them, and which of them are looked for."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from taperlab.model.bench import Bench, keyed
from taperlab.model.exact_units import GRAIN
from taperlab.model.job import Job, JobState
from taperlab.model.line import Line
from taperlab.physics.head import head_sums
from taperlab.physics.profile import Profile
from taperlab.shop.jobs.about import about
from taperlab.shop.whole import Assembly

AS_SHOWN = 0.05 * GRAIN
"""A weight that is off what is looked for by less reads the same [kg]."""


@dataclass(frozen=True, slots=True)
class Listed:
    """One job as it stands in a list.

    file: that of its bench; None for a bench that has none yet. rod, head: their names, as far as
    they are on the bench or were kept; of a rig, that of the rig. before, after, now: what head or
    rig weighed when the job was begun, when it was finished, and what it weighs on the bench [kg];
    None: not known. words: all that it is found by, folded. is_rig: whether lines are looped
    together there.
    """

    job: Job
    file: Path | None
    rod: str
    head: str
    before: float | None
    after: float | None
    now: float | None
    words: str
    is_rig: bool = False

    @property
    def weight(self) -> float | None:
        """What the head weighs [kg]: after the job, else as it lies on the bench, else before."""
        found = (each for each in (self.after, self.now, self.before) if each is not None)
        return next(found, None)

    @property
    def day(self) -> date | None:
        """The day that it stands under: when it was finished, else begun."""
        return self.job.finished or self.job.begun


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is looked for; what is left empty may be anything.

    words: each stands somewhere in customer, ticket, rod, head, notes or how it cast. customer,
    rod: each of these words stands there. lightest, heaviest: of the head [kg], see
    ``Listed.weight``. since, until: some day of the job lies between them.
    """

    words: str = ""
    customer: str = ""
    rod: str = ""
    lightest: float | None = None
    heaviest: float | None = None
    since: date | None = None
    until: date | None = None
    state: JobState | None = None


class Weighed:
    """What heads weigh, each worked out once: lines are told apart by identity."""

    def __init__(self) -> None:
        self._known: dict[int, tuple[Line, float | None]] = {}

    @property
    def count(self) -> int:
        """How many lines are remembered."""
        return len(self._known)

    def of(self, found: Assembly | None) -> float | None:
        """What a head, or a rig, weighs [kg]: its lines, since loops weigh alike in a joint."""
        masses = [self.mass(line) for line in found.lines] if found is not None else [None]
        known = [each for each in masses if each is not None]
        return sum(known) if len(known) == len(masses) else None

    def mass(self, line: Line) -> float | None:
        """What a line's head weighs [kg]; None where there is none."""
        if id(line) not in self._known:
            # The line is held, so that no other takes its place in memory.
            self._known[id(line)] = line, _head_mass(line)
        return self._known[id(line)][1]


def jobs_of(bench: Bench, file: Path | None, weighed: Weighed | None = None) -> tuple[Listed, ...]:
    """The jobs of a bench, in its order. weighed: what was worked out for it before."""
    versions = {each.key: each.line for each in bench.versions}
    mass = (weighed or Weighed()).of
    found = []
    for job in bench.jobs:
        told, rod = about(bench, job, versions), keyed(bench.rods, job.rod)
        named, names = (rod.name if rod else ""), told.names
        words = (job.customer, job.ticket, named, *dict.fromkeys(names), job.note, job.cast)
        masses = mass(told.before), mass(told.after), mass(told.now)
        head = names[0] if names else ""
        found.append(Listed(job, file, named, head, *masses, folded(" ".join(words)), told.is_rig))
    return tuple(found)


def found(jobs: Iterable[Listed], wanted: Wanted) -> tuple[Listed, ...]:
    """The jobs that are looked for, the newest first; ahead of them those without a day.

    Jobs that hold several words one after the other come before those that hold them apart.
    """
    words, customer, rod = (
        folded(text).split() for text in (wanted.words, wanted.customer, wanted.rod)
    )
    kept = [
        each
        for each in jobs
        if all(word in each.words for word in words)
        and _has(each.job.customer, customer)
        and _has(each.rod, rod)
        and wanted.state in (None, each.job.state)
        and _weighs(each.weight, wanted)
        and _is_of(each.job, wanted)
    ]
    # Of one day, the one that was taken in last comes first.
    kept.reverse()
    together = " ".join(words)
    kept.sort(key=lambda each: (together in each.words, each.day or date.max), reverse=True)
    return tuple(kept)


def folded(text: str) -> str:
    """A text as it is looked for: without capitals, accents and needless blanks."""
    if not text.isascii():
        parted = unicodedata.normalize("NFKD", text)
        text = "".join(each for each in parted if not unicodedata.combining(each))
    return " ".join(text.casefold().split())


def _head_mass(line: Line) -> float | None:
    sums = head_sums(line, Profile.of(line)) if line.segments else None
    return sums.mass if sums is not None else None


def _has(text: str, words: list[str]) -> bool:
    return not words or all(word in folded(text) for word in words)


def _weighs(mass: float | None, wanted: Wanted) -> bool:
    if wanted.lightest is None and wanted.heaviest is None:
        return True
    if mass is None:
        return False
    above = wanted.lightest is None or mass >= wanted.lightest - AS_SHOWN
    return above and (wanted.heaviest is None or mass <= wanted.heaviest + AS_SHOWN)


def _is_of(job: Job, wanted: Wanted) -> bool:
    if wanted.since is None and wanted.until is None:
        return True
    days = [day for day in (job.begun, job.finished) if day is not None]
    if not days:
        return False
    return min(days) <= (wanted.until or date.max) and max(days) >= (wanted.since or date.min)
