"""A head of a job that is being cut back: what the bench holds of it is not what lies there."""

from __future__ import annotations

from taperlab.edits.cut_back import open_cut
from taperlab.edits.jobs_keep import lines_of
from taperlab.model.bench import Bench
from taperlab.model.cut_log import CutBack
from taperlab.model.job import Job, JobState


def cut_in_hand(bench: Bench, job: Job) -> CutBack | None:
    """The cut-back of a job's line whose head was not put on the bench; None where there is none.

    Nor is there for a job that is asked for, or that was finished with what was kept after it.
    """
    if job.state is JobState.ASKED or job.kept_after is not None:
        return None
    return open_cut(bench, lines_of(bench, job))
