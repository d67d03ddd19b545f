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
        # A rig with a line that is not known any more can't be told of.
        rigs = (() if version in keys else keys for keys in (job.rig_before, job.rig_after))
        rig_before, rig_after = rigs
        return replace(job, before=before, after=after, rig_before=rig_before, rig_after=rig_after)

    return _each(bench, forget)


def with_rigs_alone(bench: Bench, rigs: Collection[str]) -> Bench:
    """The bench with jobs that name no rig but these; what was kept of one stays told."""
    return _each(
        bench,
        lambda job: job if job.rig is None or job.rig in rigs else replace(job, rig=None),
    )


def with_rods_alone(bench: Bench, rods: Collection[str]) -> Bench:
    """The bench with jobs that name no rod but these."""
    return _each(
        bench,
        lambda job: job if job.rod is None or job.rod in rods else replace(job, rod=None),
    )


def _each(bench: Bench, change: Callable[[Job], Job]) -> Bench:
    jobs = tuple(map(change, bench.jobs))
    return bench if jobs == bench.jobs else replace(bench, jobs=jobs)
