"""A cut-back one thing at a time, in the order of work: each is logged as soon as it is done."""

from __future__ import annotations

import math
from dataclasses import replace

from taperlab.edits.changing import checked
from taperlab.edits.cut_back import (
    change_step,
    find_cut_back,
    record_cut,
    remove_last_step,
    set_first_reading,
    set_last_reading,
    tell_ends,
)
from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench
from taperlab.model.cut_log import CutBack, CutEnd, CutStep
from taperlab.units.sentence import Sentence


def cut_off(bench: Bench, key: str, end: CutEnd, length: float) -> Edited:
    """Log that so much came off one end [m].

    Cuts at both ends with no weighing between them are one step of the log.
    """
    job, text = find_cut_back(bench, key), Sentence("Log cut")
    if end is CutEnd.BOTH or not (math.isfinite(length) and length > 0.0):
        raise Refused(Sentence("Type what was cut off."))
    last = job.steps[-1] if job.steps else None
    front, rear = (length, 0.0) if end is CutEnd.FRONT else (0.0, length)
    if last is not None and last.waits and not (last.front if front else last.rear):
        step = replace(last, front=last.front + front, rear=last.rear + rear)
        return replace(change_step(bench, key, len(job.steps) - 1, step), text=text)
    return record_cut(bench, key, CutStep(front, rear))


def weigh_cut(bench: Bench, key: str, head: float | None, offcut: float | None) -> Edited:
    """Log what the scale says of head and offcut after the last cut [kg].

    Where nothing was cut since the last weighing, the head was weighed once more.
    """
    job, text = find_cut_back(bench, key), Sentence("Log weighing")
    if head is None and offcut is None:
        raise Refused(Sentence("Type what the head weighs."))
    if head is not None:
        checked(CutStep, "head", head)
    if offcut is not None:
        checked(CutStep, "offcut", offcut)
    last = job.steps[-1] if job.steps else None
    if last is not None and last.waits:
        step = replace(last, head=head, offcut=offcut)
        return replace(change_step(bench, key, len(job.steps) - 1, step), text=text)
    return replace(record_cut(bench, key, CutStep(head=head, offcut=offcut)), text=text)


def take_back(bench: Bench, key: str) -> Edited:
    """Take the last thing that was done out of the log, as if it had not been done."""
    return replace(_before(bench, find_cut_back(bench, key)), text=Sentence("Take back last step"))


def _before(bench: Bench, job: CutBack) -> Edited:
    key, at = job.key, len(job.steps) - 1
    if job.last_reading is not None:
        return set_last_reading(bench, key, None)
    if job.steps:
        last = job.steps[-1]
        if last.waits and last.front and last.rear:
            # The fly end is cut last.
            return change_step(bench, key, at, replace(last, front=0.0))
        if (last.front or last.rear) and not last.waits:
            return change_step(bench, key, at, replace(last, head=None, offcut=None))
        return remove_last_step(bench, key)
    if job.ends_told:
        return tell_ends(bench, key, told=False)
    if job.first_reading is not None:
        return set_first_reading(bench, key, None)
    raise Refused(Sentence("Nothing was done yet."))
