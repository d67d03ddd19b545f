"""A job: what a customer brought a rod, or a line, for, and what became of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from taperlab.model.marked import later
from taperlab.model.segment import Extras


class JobState(StrEnum):
    """How far a job has come, in order."""

    ASKED = later("asked for")
    IN_WORK = later("in work")
    FINISHED = later("finished")
    HANDED_OVER = later("handed over")


@dataclass(frozen=True, slots=True)
class Job:
    """One job of a customer.

    customer: who asked for it, as the shop knows them. ticket: its number or mark in the shop. rod:
    key of a rod of the bench. line: key of the line that is worked on. before, after: keys of that
    line as it was kept when the job was begun, and when it was finished. cast: how it cast.
    photographs: paths with forward slashes, from the folder of the bench's file where they lie
    under it. rig: key of the rig that it is about, whose head is ``line``. rig_before, rig_after:
    keys of the lines of that rig as they were kept with ``before`` and ``after``, which are among
    them, from the fly end. None, or nothing written: not told.
    """

    key: str
    customer: str = ""
    ticket: str = ""
    rod: str | None = None
    line: str | None = None
    before: str | None = None
    after: str | None = None
    begun: date | None = None
    finished: date | None = None
    state: JobState = JobState.ASKED
    note: str = ""
    cast: str = ""
    photographs: tuple[str, ...] = ()
    rig: str | None = None
    rig_before: tuple[str, ...] = ()
    rig_after: tuple[str, ...] = ()
    extra: Extras = field(default_factory=dict, hash=False)

    @property
    def kept_after(self) -> str | None:
        """``after`` of a job that is finished; of one that is worked on again it is out of date."""
        return self.after if self.is_done else None

    @property
    def is_done(self) -> bool:
        """Whether its work is done."""
        return self.state in (JobState.FINISHED, JobState.HANDED_OVER)

    def __post_init__(self) -> None:
        if self.begun and self.finished and self.finished < self.begun:
            raise ValueError(later("a job can’t be finished before it is begun"))
        if len(set(self.photographs)) != len(self.photographs):
            raise ValueError(later("a photograph stands twice in a job"))
