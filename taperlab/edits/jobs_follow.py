"""Jobs in work go on with the head that was made of theirs."""

from __future__ import annotations

from dataclasses import replace

from taperlab.model.bench import Bench, fresh_key, fresh_name, keyed
from taperlab.model.job import JobState
from taperlab.model.line import Line
from taperlab.units.limits import MOST_VERSIONS


def about_head(bench: Bench, line: str, head: str) -> Bench:
    """The bench with jobs in work on a line that are about the head made of it from now on.

    What was kept before the work stays theirs.
    """
    jobs = tuple(
        replace(each, line=head) if each.line == line and each.state is JobState.IN_WORK else each
        for each in bench.jobs
    )
    return bench if jobs == bench.jobs else replace(bench, jobs=jobs)


def before_as_weighed(bench: Bench, line: Line, uncut: Line) -> Bench:
    """The bench with jobs in work whose head before weighs what the scale said of it then.

    line: as it lies on the bench; uncut: its head as the weighings have it. It is kept beside what
    was kept, for jobs that were begun with the line as it lies there.
    """
    for job in bench.jobs:
        old = keyed(bench.versions, job.before)
        is_due = job.state is JobState.IN_WORK and job.line == line.key
        if not is_due or old is None or len(bench.versions) >= MOST_VERSIONS:
            continue
        if _shape(old.line) != _shape(line) or uncut.segments == line.segments:
            continue
        names = {each.name for each in bench.versions if each.of == old.of}
        weighed = replace(
            old,
            key=fresh_key({each.key for each in bench.versions}, "version"),
            name=fresh_name(names, f"{old.name}, weighed"),
            line=replace(uncut, key=line.key, name=line.name),
        )
        jobs = tuple(
            replace(job, before=weighed.key) if each is job else each for each in bench.jobs
        )
        bench = replace(bench, versions=(*bench.versions, weighed), jobs=jobs)
    return bench


def _shape(line: Line) -> tuple[object, ...]:
    return line.segments, line.joints, line.front_loop, line.rear_loop
