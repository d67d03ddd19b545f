"""A head of a job that is being cut back: what the bench holds of it is not what lies there."""

from __future__ import annotations

from taperlab.edits.cut_back import cut_back_of
from taperlab.model.bench import Bench, keyed
from taperlab.model.cut_log import CutBack
from taperlab.model.job import Job, JobState
from taperlab.shop.jobs.about import lines_of


def cut_in_hand(bench: Bench, job: Job) -> CutBack | None:
    """The cut-back of a job's line whose head was not put on the bench; None where there is none.

    Nor was it by whoever finished the job: what was kept after it is the line as it was.
    """
    if job.state is JobState.ASKED:
        return None
    after = {*job.rig_after, job.after} if job.is_done else set()
    kept = {each.of: each.line for each in bench.versions if each.key in after}
    for key in lines_of(bench, job):
        line = keyed(bench.lines, key)
        cut = cut_back_of(bench, line)
        if line is None or cut is None or not cut.steps:
            continue
        if kept.get(key, line).segments == line.segments:
            return cut
    return None
