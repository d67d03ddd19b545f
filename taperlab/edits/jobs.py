"""Jobs of customers: taken in, begun, finished, described, asked for again, and dropped.

Days are given by the caller, so that the same edit on the same bench gives the same bench.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

from taperlab.edits.changing import find, find_line
from taperlab.edits.cut_back import open_cut
from taperlab.edits.edited import Edited, Refused
from taperlab.edits.jobs_keep import AFTER, Kept, keep_lines, lines_of
from taperlab.edits.versions import put_version_on_bench
from taperlab.model.bench import Bench, fresh_key, keyed
from taperlab.model.job import Job, JobState
from taperlab.units.limits import MOST_JOBS, MOST_PHOTOGRAPHS
from taperlab.units.sentence import Sentence, counted


def take_in_job(
    bench: Bench,
    line: str | None = None,
    rod: str | None = None,
    customer: str = "",
    ticket: str = "",
    rig: str | None = None,
) -> Edited:
    """Write down that a customer asked for something; it stands behind the other jobs.

    line, rod, rig: keys of what it is about, as far as that is known; of a rig its head is the
    line.
    """
    line = _head_of(bench, rig) if rig is not None else line
    job = Job(_fresh_key(bench), _clean(customer), _clean(ticket), rod, line, rig=rig)
    return _added(bench, job, Sentence("Take in a job"))


def begin_job(bench: Bench, job: str, today: date) -> Edited:
    """Begin the work on a job, today unless its day was told, and keep its line as it is: Before.

    One that was begun before and asked for again keeps what was kept then.
    """
    old = _find(bench, job)
    if old.state is not JobState.ASKED:
        raise Refused("That job is begun already.")
    after, before, rig = bench, old.before, old.rig_before
    if keyed(bench.versions, before) is None:
        after, before, rig = keep_lines(bench, old, "Before", today.isoformat())
    begun = old.begun or min(today, old.finished or today)
    new = replace(old, state=JobState.IN_WORK, begun=begun, before=before, rig_before=rig)
    return _with(after, old, new, Sentence("Begin job"))


def finish_job(bench: Bench, job: str, today: date) -> Edited:
    """Finish the work on a job, today unless its day was told, and keep its line: After."""
    old = _find(bench, job)
    if old.state is not JobState.IN_WORK:
        raise Refused("Only a job in work can be finished.")
    return _finished(bench, old, JobState.FINISHED, today)


def come_to(bench: Bench, job: str, state: JobState, today: date) -> Edited:
    """Say how far a job has come, which does what is done on the way: begin, finish, hand over.

    One whose work is done without having been begun here has nothing that was kept before it. One
    that goes back keeps what was kept; it is not finished any more, nor begun where it is asked
    for.
    """
    old, text = _find(bench, job), Sentence("Change the state of a job")
    if state is old.state:
        return Edited(bench, text)
    if old.state is JobState.ASKED and state is JobState.IN_WORK:
        return begin_job(bench, job, today)
    if old.state is JobState.IN_WORK and state is JobState.FINISHED:
        return finish_job(bench, job, today)
    if old.state is JobState.FINISHED and state is JobState.HANDED_OVER:
        return hand_over_job(bench, job)
    if replace(old, state=state).is_done and not old.is_done:
        return _finished(bench, old, state, today)
    new = replace(old, state=state)
    if not new.is_done:
        new = replace(new, finished=None)
    if state is JobState.ASKED:
        new = replace(new, begun=None)
    return _with(bench, old, new, text)


def hand_over_job(bench: Bench, job: str) -> Edited:
    """Say that the customer has what a job was about."""
    old = _find(bench, job)
    if old.state is not JobState.FINISHED:
        raise Refused("Only a finished job can be handed over.")
    return _with(bench, old, replace(old, state=JobState.HANDED_OVER), Sentence("Hand over job"))


def describe_job(bench: Bench, job: str, described: Job) -> Edited:
    """Say of a job what it says now: customer, ticket, rod, line or rig, notes, photographs.

    Its key, its days and how far it has come stay, and so does what was kept before and after
    unless it is about another line or rig now.
    """
    old = _find(bench, job)
    if described.rig is not None and described.rig != old.rig:
        described = replace(described, line=_head_of(bench, described.rig))
    same = (described.line, described.rig) == (old.line, old.rig)
    new = replace(
        described,
        key=old.key,
        customer=_clean(described.customer),
        ticket=_clean(described.ticket),
        state=old.state,
        begun=old.begun,
        finished=old.finished,
        before=old.before if same else None,
        after=old.after if same else None,
        rig_before=old.rig_before if same else (),
        rig_after=old.rig_after if same else (),
    )
    # What a file names and has not stays as it is until something else is said.
    _check(bench, replace(new, line=None) if same else new, old.rod)
    return _with(bench, old, new, Sentence("Change job"))


def set_days(bench: Bench, job: str, begun: date | None, finished: date | None) -> Edited:
    """Say when a job was begun and when it was finished; None: not told."""
    old = _find(bench, job)
    if begun and finished and finished < begun:
        raise _too_early()
    new = replace(old, begun=begun, finished=finished)
    return _with(bench, old, new, Sentence("Change the days of a job"))


def repeat_job(bench: Bench, job: str) -> Edited:
    """Take in the same again, behind the other jobs: customer, rod, line or rig, and notes.

    Ticket, days, photographs and how it cast are of the job that was. A line that is gone is put
    on the bench as it was kept last; of a rig that is gone its head stays.
    """
    old = _find(bench, job)
    on_bench, rod = keyed(bench.lines, old.line), keyed(bench.rods, old.rod)
    line = on_bench.key if on_bench is not None else None
    kept = keyed(bench.versions, old.after) or keyed(bench.versions, old.before)
    if line is None and kept is not None:
        done = put_version_on_bench(bench, kept.key)
        bench, line = done.bench, done.line
    key = _fresh_key(bench)
    rig = keyed(bench.rigs, old.rig)
    rigged = rig.key if rig is not None and rig.head == line else None
    new = Job(key, old.customer, "", rod.key if rod else None, line, note=old.note, rig=rigged)
    return _added(bench, new, Sentence("Repeat job"))


def drop_job(bench: Bench, job: str) -> Edited:
    """Strike a job from the record; rod and line stay on the bench."""
    old = _find(bench, job)
    kept = tuple(each for each in bench.jobs if each is not old)
    return Edited(replace(bench, jobs=kept), Sentence("Drop job"))


def attach_photographs(bench: Bench, job: str, paths: Sequence[str]) -> Edited:
    """Let a job name photographs, by their paths; the pictures themselves stay where they lie.

    All of them or none: what would be left out nobody could tell.
    """
    old = _find(bench, job)
    if any(not path.strip() or "\0" in path for path in paths):
        raise Refused("A photograph needs a path.")
    fresh = tuple(path for path in dict.fromkeys(paths) if path not in old.photographs)
    text = Sentence("Attach photograph")
    if len(fresh) > 1:
        text = counted("Attach {count} photograph", "Attach {count} photographs", len(fresh))
    room = MOST_PHOTOGRAPHS - len(old.photographs)
    if len(fresh) > room:
        raise Refused(
            "A job has at most {most} photographs; this one has room for {room} more.",
            most=MOST_PHOTOGRAPHS,
            room=room,
        )
    return _with(bench, old, replace(old, photographs=(*old.photographs, *fresh)), text)


def detach_photograph(bench: Bench, job: str, path: str) -> Edited:
    """Let a job no longer name a photograph; the picture itself stays where it lies."""
    old = _find(bench, job)
    kept = tuple(each for each in old.photographs if each != path)
    return _with(bench, old, replace(old, photographs=kept), Sentence("Detach photograph"))


def rename_photographs(bench: Bench, names: Mapping[str, str]) -> Edited:
    """Let jobs name photographs otherwise, by what they were called: the bench lies elsewhere."""
    jobs = tuple(
        replace(
            each,
            photographs=tuple(dict.fromkeys(names.get(path) or path for path in each.photographs)),
        )
        for each in bench.jobs
    )
    after = bench if jobs == bench.jobs else replace(bench, jobs=jobs)
    return Edited(after, Sentence("Name photographs from the new folder"))


def _finished(bench: Bench, old: Job, state: JobState, today: date) -> Edited:
    """The work on a job is done, today unless its day was told; its line is kept: After.

    Not one whose cut head is not on the bench yet: that is kept once it is put there.
    """
    day = old.finished or today
    if old.begun and day < old.begun:
        raise _too_early()
    kept: Kept = (bench, None, ())
    if open_cut(bench, lines_of(bench, old)) is None:
        kept = keep_lines(bench, old, AFTER, today.isoformat())
    after, key, rig = kept
    new = replace(old, state=state, finished=day, after=key, rig_after=rig)
    return _with(after, old, new, Sentence("Finish job"))


def _head_of(bench: Bench, rig: str) -> str:
    return find(bench.rigs, rig, Sentence("That rig is no longer on the bench.")).head


def _fresh_key(bench: Bench) -> str:
    return fresh_key({each.key for each in bench.jobs}, "job")


def _clean(text: str) -> str:
    return " ".join(text.split())


def _too_early() -> Refused:
    return Refused("A job can’t be finished before it is begun.")


def _check(bench: Bench, job: Job, rod: str | None = None) -> None:
    """Refuse a line or a rod that is not on the bench; ``rod``: the one that was named before."""
    if job.line is not None:
        find_line(bench, job.line)
    if job.rod is not None and job.rod != rod:
        find(bench.rods, job.rod, Sentence("That rod is no longer on the bench."))
    if len(job.photographs) > MOST_PHOTOGRAPHS:
        raise Refused("A job has at most {most} photographs.", most=MOST_PHOTOGRAPHS)


def _added(bench: Bench, job: Job, text: Sentence) -> Edited:
    _check(bench, job)
    if len(bench.jobs) >= MOST_JOBS:
        raise Refused("A bench has at most {most} jobs.", most=MOST_JOBS)
    return Edited(replace(bench, jobs=(*bench.jobs, job)), text)


def _find(bench: Bench, key: str) -> Job:
    return find(bench.jobs, key, Sentence("That job is no longer on the bench."))


def _with(bench: Bench, old: Job, new: Job, text: Sentence) -> Edited:
    if new == old:
        return Edited(bench, text)
    jobs = tuple(new if each.key == old.key else each for each in bench.jobs)
    return Edited(replace(bench, jobs=jobs), text)
