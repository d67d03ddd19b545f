"""Jobs in work go on with the head that was made of theirs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from taperlab.model.bench import Bench, fresh_key, fresh_name, keyed
from taperlab.model.job import Job, JobState
from taperlab.model.line import Line
from taperlab.model.rig import Rig
from taperlab.units.limits import MOST_VERSIONS


def is_in_work(job: Job) -> bool:
    """Whether the work on a job is under way."""
    return job.state is JobState.IN_WORK


def waits_for_head(job: Job) -> bool:
    """Whether a job was finished before its head was on the bench, so that nothing was kept."""
    return job.is_done and job.after is None


def about_head(
    bench: Bench, line: str, head: str, due: Callable[[Job], bool] = is_in_work
) -> Bench:
    """The bench with jobs in work on a line that are about the head made of it from now on.

    due: which jobs, where it is not those alone. A job of a rig with that line goes on with another
    rig, of the head and the other lines. What was kept before the work stays theirs.
    """
    if line == head:
        return bench  # it took the place of the line, in rigs too
    made: dict[str, Rig] = {}
    jobs = []
    for job in bench.jobs:
        rig = keyed(bench.rigs, job.rig)
        if not due(job):
            jobs.append(job)
        elif rig is not None and line in rig.lines:
            if rig.key not in made:
                so_far = replace(bench, rigs=(*bench.rigs, *made.values()))
                made[rig.key] = _with_head(so_far, rig, line, head)
            new = made[rig.key]
            jobs.append(replace(job, rig=new.key, line=head if job.line == line else job.line))
        else:
            jobs.append(replace(job, line=head) if job.line == line else job)
    if tuple(jobs) == bench.jobs:
        return bench
    return replace(bench, jobs=tuple(jobs), rigs=(*bench.rigs, *made.values()))


def about_other_head(bench: Bench, rig: str, head: str) -> Bench:
    """The bench with jobs of a rig that are not done yet about the head that it has now."""
    jobs = tuple(
        replace(each, line=head) if each.rig == rig and not each.is_done else each
        for each in bench.jobs
    )
    return bench if jobs == bench.jobs else replace(bench, jobs=jobs)


def _with_head(bench: Bench, rig: Rig, line: str, head: str) -> Rig:
    """The rig with a head in the place of the line it was made of, named after its lines."""
    ahead = tuple(head if key == line else key for key in rig.ahead)
    behind = head if rig.behind == line else rig.behind
    made = replace(
        rig,
        key=fresh_key({each.key for each in bench.rigs}, "rig"),
        head=head if rig.head == line else rig.head,
        ahead=ahead,
        behind=behind,
    )
    names = " + ".join(bench.line(key).name for key in made.lines)
    return replace(made, name=fresh_name({each.name for each in bench.rigs}, names))


def before_as_weighed(bench: Bench, line: Line, uncut: Line) -> Bench:
    """The bench with jobs that wait for a head, which before weighed what the scale said then.

    line: as it lies on the bench; uncut: its head as the weighings have it. It is kept beside what
    was kept, for jobs that were begun with the line as it lies there.
    """
    for job in bench.jobs:
        rig = keyed(bench.rigs, job.rig)
        is_about = line.key == job.line or (rig is not None and line.key in rig.lines)
        is_due = (is_in_work(job) or waits_for_head(job)) and is_about
        if not is_due or len(bench.versions) >= MOST_VERSIONS:
            continue
        kept = (keyed(bench.versions, key) for key in dict.fromkeys((job.before, *job.rig_before)))
        old = next((each for each in kept if each is not None and each.of == line.key), None)
        if old is None or _shape(old.line) != _shape(line) or uncut.segments == line.segments:
            continue
        names = {each.name for each in bench.versions if each.of == old.of}
        weighed = replace(
            old,
            key=fresh_key({each.key for each in bench.versions}, "version"),
            name=fresh_name(names, f"{old.name}, weighed"),
            line=replace(uncut, key=line.key, name=line.name),
        )
        now = {old.key: weighed.key}
        told = replace(
            job,
            before=weighed.key if job.before == old.key else job.before,
            rig_before=tuple(now.get(key, key) for key in job.rig_before),
        )
        jobs = tuple(told if each is job else each for each in bench.jobs)
        bench = replace(bench, versions=(*bench.versions, weighed), jobs=jobs)
    return bench


def _shape(line: Line) -> tuple[object, ...]:
    return line.segments, line.joints, line.front_loop, line.rear_loop
