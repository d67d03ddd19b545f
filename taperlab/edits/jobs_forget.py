"""What jobs forget when something goes that they name; they themselves stay in the record."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace

from taperlab.model.bench import Bench
from taperlab.model.job import Job


def without_line(bench: Bench, line: str) -> Bench:
    """The bench with jobs that no longer name a line: its key may name another one day."""
    return _each(bench, lambda job: replace(job, line=None) if job.line == line else job)


def without_version(bench: Bench, version: str) -> Bench:
    """The bench with jobs that no longer name a version as what was before or after."""

    def forget(job: Job) -> Job:
        before, after = (None if key == version else key for key in (job.before, job.after))
        return replace(job, before=before, after=after)

    return _each(bench, forget)


def with_rods_alone(bench: Bench, rods: Collection[str]) -> Bench:
    """The bench with jobs that name no rod but these."""
    return _each(
        bench,
        lambda job: job if job.rod is None or job.rod in rods else replace(job, rod=None),
    )


def _each(bench: Bench, change: Callable[[Job], Job]) -> Bench:
    jobs = tuple(map(change, bench.jobs))
    return bench if jobs == bench.jobs else replace(bench, jobs=jobs)
