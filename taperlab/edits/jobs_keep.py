"""What is kept of the lines of a job: as they were before the work, and after it."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits.versions import keep_version
from taperlab.model.bench import Bench, keyed
from taperlab.model.job import Job
from taperlab.units.limits import MOST_VERSIONS

AFTER = "After"
"""What a line is called as it was when a job of it was finished."""

Kept = tuple[Bench, str | None, tuple[str, ...]]
"""A bench with versions of the lines of a job: that of its head, and of all if it is a rig's."""


def lines_of(bench: Bench, job: Job) -> tuple[str, ...]:
    """Keys of the lines that a job is about, from the fly end."""
    rig = keyed(bench.rigs, job.rig)
    if rig is not None and rig.head == job.line:
        return rig.lines
    return (job.line,) if job.line is not None else ()


def keep_lines(bench: Bench, job: Job, name: str, day: str) -> Kept:
    """The bench with the lines of a job kept as they are; nothing of a job without a line.

    Raises Refused where a bench keeps no more.
    """
    line = keyed(bench.lines, job.line)
    if line is None or not line.segments:
        return bench, None, ()
    kept: dict[str, str] = {}
    for key in lines_of(bench, job):
        bench = keep_version(bench, key, name, day).bench
        kept[key] = bench.versions[-1].key
    return bench, kept[line.key], tuple(kept.values()) if len(kept) > 1 else ()


def keep_late(bench: Bench, keys: frozenset[str]) -> Bench:
    """The bench with the lines of these jobs kept, as they are after the work, where none was."""
    for job in bench.jobs:
        day = job.finished or job.begun
        room = MOST_VERSIONS - len(bench.versions)
        if job.key not in keys or day is None or len(lines_of(bench, job)) > room:
            continue
        bench, after, rig = keep_lines(bench, job, AFTER, day.isoformat())
        told = replace(job, after=after, rig_after=rig)
        jobs = tuple(told if each is job else each for each in bench.jobs)
        bench = replace(bench, jobs=jobs)
    return bench
