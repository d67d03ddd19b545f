"""A cut-back as it is planned, done and logged: everything a person can do to one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from taperlab.edits.changing import find, find_line, sound, within
from taperlab.edits.edited import Edited, Refused
from taperlab.edits.jobs_follow import (
    about_head,
    before_as_weighed,
    is_in_work,
    waits_for_head,
)
from taperlab.edits.jobs_keep import keep_late, lines_of
from taperlab.edits.lines import clean_name, fresh_line_key, fresh_line_name
from taperlab.model.bench import Bench, fresh_key, keyed
from taperlab.model.cut_log import (
    CutBack,
    CutEnd,
    CutStep,
    Limits,
    NewLoop,
    Target,
    Weighing,
)
from taperlab.model.line import Line
from taperlab.model.measurement import Instruments, Measurement
from taperlab.physics.head import head_of
from taperlab.units.finding import Impossible
from taperlab.units.kinds import WEIGHT
from taperlab.units.sentence import Sentence


def find_cut_back(bench: Bench, key: str) -> CutBack:
    """The cut-back with this key. Raises Refused."""
    return find(bench.cut_backs, key, Sentence("That cut-back is no longer on the bench."))


def cut_back_of(bench: Bench, line: Line | None) -> CutBack | None:
    """The cut-back of a line, the last one if a file holds several."""
    jobs = [job for job in bench.cut_backs if line is not None and job.line == line.key]
    return jobs[-1] if jobs else None


def open_cut(bench: Bench, lines: Iterable[str]) -> CutBack | None:
    """The cut-back of one of these lines that was begun, its head not put on the bench yet."""
    for key in lines:
        cut = cut_back_of(bench, keyed(bench.lines, key))
        if cut is not None and cut.steps and not cut.on_bench:
            return cut
    return None


def measured_for(bench: Bench, line: Line | None) -> Measurement | None:
    """The measurement that a line was put on the bench from, if it was."""
    return keyed(bench.measurements, line.key) if line is not None else None


def new_cut_back(line: Line, target: Target, instruments: Instruments, key: str = "") -> CutBack:
    """A cut-back of a line's head as every one begins: from the rod end, nothing logged.

    New loops are taken to be like those that are on the head now, not like the one that a backing
    is tied to. Raises Refused where the line has no head in one piece.
    """
    head = head_to_cut(line)
    return CutBack(
        key,
        line.key,
        target,
        instruments,
        front_loop=NewLoop(head.front_loop.fold, head.front_loop.mass),
        rear_loop=NewLoop(head.rear_loop.fold, head.rear_loop.mass),
    )


def head_to_cut(line: Line) -> Line:
    """The head of a line on its own. Raises Refused where it has none in one piece."""
    try:
        return head_of(line)
    except Impossible as error:
        raise Refused(
            "{line} can’t be cut back. {why}", line=line.name, why=error.sentence
        ) from None


def start_cut_back(bench: Bench, line: str, target: Target, instruments: Instruments) -> Edited:
    """Begin to cut the head of a line back. A line has one cut-back at a time."""
    whole = find_line(bench, line)
    if cut_back_of(bench, whole):
        raise Refused(
            "{line} has a cut-back already: go on with it, or delete it first.", line=whole.name
        )
    key = fresh_key({job.key for job in bench.cut_backs}, "cut-back")
    job = new_cut_back(whole, target, instruments, key)
    return Edited(
        replace(bench, cut_backs=(*bench.cut_backs, sound(job))),
        Sentence("Start cut-back"),
        line=line,
    )


def delete_cut_back(bench: Bench, key: str) -> Edited:
    """Forget a cut-back with its log; the line stays as it was described."""
    job = find_cut_back(bench, key)
    left = tuple(each for each in bench.cut_backs if each is not job)
    return Edited(
        replace(bench, cut_backs=left), Sentence("Delete cut-back"), line=_line_of(bench, job)
    )


def set_target(bench: Bench, key: str, target: Target) -> Edited:
    """Aim at something else."""
    return _changed(bench, key, Sentence("Change target"), target=target)


def set_end(bench: Bench, key: str, end: CutEnd, front_share: float | None = None) -> Edited:
    """Say where line comes off; ``front_share``, 0 to 1, counts where both ends are cut."""
    share = find_cut_back(bench, key).front_share if front_share is None else front_share
    if not 0.0 <= share <= 1.0:
        raise Refused("The share that comes off the fly end must be from 0 to 100 %.")
    return _changed(bench, key, Sentence("Change where to cut"), end=end, front_share=share)


def tell_ends(bench: Bench, key: str, *, told: bool = True) -> Edited:
    """Say that one has looked which end of the head is the fly end and which the rod end."""
    return _changed(bench, key, Sentence("Tell the ends apart"), ends_told=told)


def set_new_loops(bench: Bench, key: str, front: NewLoop, rear: NewLoop) -> Edited:
    """Say what re-making each loop takes and adds."""
    return _changed(bench, key, Sentence("Change new loops"), front_loop=front, rear_loop=rear)


def set_limits(bench: Bench, key: str, limits: Limits) -> Edited:
    """Say what the cut must respect."""
    return _changed(bench, key, Sentence("Change limits"), limits=limits)


def set_instruments(bench: Bench, key: str, instruments: Instruments) -> Edited:
    """Say what scale and tape read to."""
    return _changed(bench, key, Sentence("Change scale and tape"), instruments=instruments)


def set_first_reading(bench: Bench, key: str, mass: float | None) -> Edited:
    """Note what the head weighs before the first cut, loops on [kg]; None forgets it."""
    job = find_cut_back(bench, key)
    if mass is not None:
        _head_weight(bench, job, mass)
    # Whoever was sure was sure of another reading.
    sure = job.sure and mass == job.first_reading
    return _changed(bench, key, Sentence("Weigh the head"), first_reading=mass, sure=sure)


def set_last_reading(bench: Bench, key: str, mass: float | None) -> Edited:
    """Note what the finished head weighs, its new loops on [kg]; None forgets it."""
    job = find_cut_back(bench, key)
    if mass is not None:
        if not job.steps:
            raise Refused("Nothing was cut yet: there is no finished head to weigh.")
        _head_weight(bench, job, mass)
    sure = job.sure_last and mass == job.last_reading
    text = Sentence("Weigh the finished head")
    return _changed(bench, key, text, last_reading=mass, sure_last=sure)


def _head_weight(bench: Bench, job: CutBack, mass: float) -> None:
    """Raises Refused where no head of that line weighs so much, or so little [kg]."""
    within(mass, WEIGHT, Sentence("The weight of the head"))
    if mass <= head_to_cut(find_line(bench, job.line)).added_mass:
        raise Refused("The loops and joints alone weigh more than that.")


def record_cut(bench: Bench, key: str, step: CutStep) -> Edited:
    """Log a cut and what the scale said after it; or, without a cut, a weighing."""
    steps = (*find_cut_back(bench, key).steps, step)
    return _with_steps(bench, key, steps, Sentence("Log cut"))


def change_step(bench: Bench, key: str, index: int, step: CutStep) -> Edited:
    """Put right what was logged of one cut."""
    before = _step(bench, key, index)
    # Whoever was sure was sure of these readings after this cut.
    was, told = ((each.front, each.rear, each.head, each.offcut) for each in (before, step))
    if was != told:
        step = replace(step, sure=False)
    return _with_step(bench, key, index, step, Sentence("Change logged cut"))


_DROPPED = {
    Weighing.FIRST: ("first_reading", "dropped_first"),
    Weighing.HEAD: ("head", "dropped_head"),
    Weighing.OFFCUT: ("offcut", "dropped_offcut"),
}
"""Where each reading is kept, and where it is once it is dropped."""


def drop_reading(bench: Bench, key: str, what: Weighing, index: int = 0) -> Edited:
    """Believe a reading no longer: it stays in the log, but counts for nothing.

    index: of the step, from 0, where it is not the first weighing that is dropped. Only the last
    reading that was dropped of each is kept; what the edit is called says so where one is
    forgotten for it.
    """
    taken, dropped = _DROPPED[what]
    held = _holder(bench, key, what, index)
    reading, forgotten = getattr(held, taken), getattr(held, dropped)
    if reading is None:
        raise Refused(NO_READING)
    text = Sentence("Drop a reading")
    if forgotten is not None:
        text = Sentence("Drop a reading, and forget the one dropped before")
    return _reread(bench, key, held, index, {taken: None, dropped: reading}, text)


def take_reading_again(bench: Bench, key: str, what: Weighing, index: int = 0) -> Edited:
    """Believe a reading that was dropped after all; any that came since is dropped for it."""
    taken, dropped = _DROPPED[what]
    held = _holder(bench, key, what, index)
    reading, since = getattr(held, dropped), getattr(held, taken)
    if reading is None:
        raise Refused(NO_READING)
    text = Sentence("Take a dropped reading again")
    return _reread(bench, key, held, index, {taken: reading, dropped: since}, text)


def trust_readings(
    bench: Bench, key: str, index: int | None = None, *, sure: bool = True
) -> Edited:
    """Say that readings are right, however far they lie from what is expected; or unsay it.

    index: of the step, from 0; None for the weighing before the first cut.
    """
    text = Sentence("Trust the scale")
    if index is None:
        if find_cut_back(bench, key).first_reading is None:
            raise Refused(NO_READING)
        return _changed(bench, key, text, sure=sure)
    step = replace(_step(bench, key, index), sure=sure)
    return _with_step(bench, key, index, step, text)


def trust_last_reading(bench: Bench, key: str, *, sure: bool = True) -> Edited:
    """Say that the finished head weighs what was read, however unexpected; or unsay it."""
    if find_cut_back(bench, key).last_reading is None:
        raise Refused(NO_READING)
    return _changed(bench, key, Sentence("Trust the scale"), sure_last=sure)


def remove_last_step(bench: Bench, key: str) -> Edited:
    """Take the last cut out of the log, as if it had not been logged."""
    steps = find_cut_back(bench, key).steps
    if not steps:
        raise Refused("There is no cut in the log yet.")
    return _with_steps(bench, key, steps[:-1], Sentence("Take back last cut"))


def put_on_bench(
    bench: Bench,
    key: str,
    head: Line,
    name: str,
    note: str = "",
    *,
    keep: bool = True,
    uncut: Line | None = None,
) -> Edited:
    """Put the cut head on the bench behind the line it was cut from, and make it current.

    head: what is left, loops made. keep: the line as it was stays, with the log of its cut-back;
    else the head takes its place, and the log goes with it, since it tells of a line that is no
    longer there. uncut: the head before the first cut, as the weighings have it. Jobs in work on
    that line go on with the head, and were begun with the line as it was weighed; those that were
    finished without it keep it now.
    """
    job = find_cut_back(bench, key)
    whole = find_line(bench, job.line)
    sound(head)
    if uncut is not None:
        bench = before_as_weighed(bench, whole, sound(uncut))
    at = bench.lines.index(whole)
    name = clean_name(name)
    if keep:
        fresh = replace(
            head, key=fresh_line_key(bench), name=fresh_line_name(bench, name), note=note
        )
        lines = (*bench.lines[: at + 1], fresh, *bench.lines[at + 1 :])
        done = replace(job, on_bench=True)
        jobs = tuple(done if each is job else each for each in bench.cut_backs)
    else:
        fresh = replace(head, key=whole.key, name=name, note=note)
        lines = (*bench.lines[:at], fresh, *bench.lines[at + 1 :])
        jobs = tuple(each for each in bench.cut_backs if each.line != whole.key)
    view = replace(bench.view, line=fresh.key)
    after = replace(bench, lines=lines, cut_backs=jobs, view=view)
    late = frozenset(
        each.key
        for each in bench.jobs
        if waits_for_head(each) and whole.key in lines_of(bench, each)
    )
    after = about_head(
        after, whole.key, fresh.key, lambda each: is_in_work(each) or each.key in late
    )
    return Edited(keep_late(after, late), Sentence("Put cut head on bench"), line=fresh.key)


_TOLD = {"steps", "first_reading", "last_reading"}
"""What makes another head of what is logged: that one is not on the bench."""


def _changed(bench: Bench, key: str, text: Sentence, **changes: Any) -> Edited:
    before = find_cut_back(bench, key)
    after = replace(before, **changes)
    if any(getattr(after, name) != getattr(before, name) for name in _TOLD):
        after = replace(after, on_bench=False)
    if after != before:
        sound(after)
        jobs = tuple(after if each is before else each for each in bench.cut_backs)
        bench = replace(bench, cut_backs=jobs)
    return Edited(bench, text, line=_line_of(bench, before))


def _line_of(bench: Bench, job: CutBack) -> str | None:
    return job.line if keyed(bench.lines, job.line) else None


NO_READING = Sentence("There is no such reading in the log.")


def _holder(bench: Bench, key: str, what: Weighing, index: int) -> CutBack | CutStep:
    """What keeps a reading: the cut-back itself the first one, a step all others."""
    if what is Weighing.FIRST:
        return find_cut_back(bench, key)
    return _step(bench, key, index)


def _reread(
    bench: Bench,
    key: str,
    held: CutBack | CutStep,
    index: int,
    readings: dict[str, float | None],
    text: Sentence,
) -> Edited:
    """Other readings in what keeps them; whoever was sure was sure of those before."""
    changes: dict[str, Any] = {**readings, "sure": False}
    if isinstance(held, CutBack):
        return _changed(bench, key, text, **changes)
    return _with_step(bench, key, index, replace(held, **changes), text)


def _step(bench: Bench, key: str, index: int) -> CutStep:
    steps = find_cut_back(bench, key).steps
    if not 0 <= index < len(steps):
        raise Refused(
            "There is no cut {number} in the log; it has {count}.",
            number=index + 1,
            count=len(steps),
        )
    return steps[index]


def _with_step(bench: Bench, key: str, index: int, step: CutStep, text: Sentence) -> Edited:
    steps = find_cut_back(bench, key).steps
    return _with_steps(bench, key, (*steps[:index], step, *steps[index + 1 :]), text)


def _with_steps(bench: Bench, key: str, steps: tuple[CutStep, ...], text: Sentence) -> Edited:
    weighings = [step for step in steps if not (step.front or step.rear)]
    if any(step.head is None and step.dropped_head is None for step in weighings):
        raise Refused("Type what was cut off, or what the head weighs.")
    if any(step.offcut or step.dropped_offcut for step in weighings):
        raise Refused("An offcut was weighed, but no cut was typed.")
    job = find_cut_back(bench, key)
    length = head_to_cut(find_line(bench, job.line)).length
    if sum(step.front + step.rear for step in steps) >= length:
        raise Refused("That is more than is left of the head.")
    # A finished head that is cut on must be weighed anew.
    before, after = (
        [(step.front, step.rear) for step in log if step.front or step.rear]
        for log in (job.steps, steps)
    )
    if before == after:
        return _changed(bench, key, text, steps=steps)
    return _changed(bench, key, text, steps=steps, last_reading=None, sure_last=False)
