"""A job's head that is being cut back: what the bench holds of it is not what lies there."""

from __future__ import annotations

from taperlab.edits.cut_back import cut_back_of
from taperlab.model.bench import Bench, keyed
from taperlab.model.cut_log import CutBack
from taperlab.model.job import Job, JobState


def cut_in_hand(bench: Bench, job: Job) -> CutBack | None:
    """The cut-back of a job's line whose head was not put on the bench; None where there is none.

    Nor was it by whoever finished the job: what was kept after it is the line as it was.
    """
    line = keyed(bench.lines, job.line)
    cut = cut_back_of(bench, line)
    if line is None or cut is None or not cut.steps or job.state is JobState.ASKED:
        return None
    kept = keyed(bench.versions, job.kept_after)
    return cut if kept is None or kept.line.segments == line.segments else None
