"""What a job is about: a line or a rig, as it was before, as it was after, and as it lies there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from taperlab.model.bench import Bench, keyed
from taperlab.model.job import Job
from taperlab.model.line import Line
from taperlab.model.rig import Rig
from taperlab.physics.head import head_problem
from taperlab.shop.whole import Assembly


@dataclass(frozen=True, slots=True)
class About:
    """What a job is about at each time, all of them lines or all of them rigs; None: not known.

    after: as it was kept when the job was finished, unless it is worked on again. now: as it lies
    on the bench.
    """

    before: Assembly | None
    after: Assembly | None
    now: Assembly | None

    @property
    def since(self) -> Assembly | None:
        """What it has become: as it was finished, else as it lies there."""
        return self.after or self.now

    @property
    def best(self) -> Assembly | None:
        """What is known best: finished, on the bench, or as it came."""
        return self.since or self.before

    @property
    def names(self) -> tuple[str, ...]:
        """What it is called, on the bench if it lies there, and each line in it."""
        named = self.now or self.best
        return (named.name, *(line.name for line in named.lines)) if named is not None else ()

    @property
    def is_rig(self) -> bool:
        """Whether it is about lines looped together."""
        return self.best is not None and self.best.is_rig


def about(bench: Bench, job: Job, kept: Mapping[str, Line] | None = None) -> About:
    """What a job is about. kept: the versions of the bench by their keys, where they are at hand.

    A rig whose lines are not all known any more is told of by its head alone: never one side by the
    rig and the other by its head.
    """
    if kept is None:
        kept = {each.key: each.line for each in bench.versions}
    if job.rig is not None or job.rig_before or job.rig_after:
        rig = keyed(bench.rigs, job.rig)
        name = rig.name if rig is not None else ""
        rigged = About(
            _as_kept(job.rig_before, job.before, kept, name),
            _as_kept(job.rig_after, job.kept_after, kept, name) if job.is_done else None,
            _as_it_lies(bench, rig_of(bench, job)),
        )
        if _is_whole(job, rigged):
            return rigged
    line = keyed(bench.lines, job.line)
    return About(
        _alone(kept.get(job.before or "")),
        _alone(kept.get(job.kept_after or "")),
        _alone(line),
    )


def rig_of(bench: Bench, job: Job) -> Rig | None:
    """The rig of the bench that a job is about; None where it is about a line alone."""
    rig = keyed(bench.rigs, job.rig)
    return rig if rig is not None and rig.head == job.line else None


def _is_whole(job: Job, found: About) -> bool:
    """Whether a job can be told of by its rig at each time that it would be told of by its head."""
    if found.since is None and (found.before is None or job.line is not None):
        return False
    return found.before is not None or job.before is None


def _as_kept(
    keys: Sequence[str], head: str | None, kept: Mapping[str, Line], name: str
) -> Assembly | None:
    lines = [kept.get(key) for key in keys]
    if head not in keys or len(keys) < 2:
        return None
    return _assembly(lines, keys.index(head), name)


def _as_it_lies(bench: Bench, rig: Rig | None) -> Assembly | None:
    if rig is None:
        return None
    lines = [keyed(bench.lines, key) for key in rig.lines]
    return _assembly(lines, rig.lines.index(rig.head), rig.name)


def _assembly(lines: Sequence[Line | None], head: int, name: str) -> Assembly | None:
    """Lines looped together, named after them unless told; None where one of them can't be."""
    there = [each for each in lines if each is not None and head_problem(each) is None]
    if len(there) < max(len(lines), 2):
        return None
    named = name or " + ".join(each.name for each in there)
    return Assembly(named, tuple(there), head)


def _alone(line: Line | None) -> Assembly | None:
    return Assembly(line.name, (line,)) if line is not None else None
