"""The jobs that are looked for, the one in hand, and what can be done to it."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, Signal

from taperlab.edits import jobs as edits
from taperlab.files.disk import is_one_file
from taperlab.files.job_index import JobList, forget_index, jobs_below
from taperlab.files.photographs import kept_as
from taperlab.files.problem import FileProblem
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.today import today
from taperlab.gui.state.document import Outcome
from taperlab.gui.state.watch import Watch
from taperlab.model.bench import Bench, keyed
from taperlab.model.job import Job, JobState
from taperlab.shop.jobs.about import rig_of
from taperlab.shop.jobs.cut_in_hand import cut_in_hand
from taperlab.shop.jobs.listing import Listed, Wanted, Weighed, found, jobs_of
from taperlab.shop.steps import Steps
from taperlab.units.kinds import System
from taperlab.units.sentence import NOTHING, Sentence

LANE = "jobs"

MOST_SHOWN = 200
"""Jobs in the table: whoever has more looks for something."""

MOST_WEIGHED = 5_000
"""Lines whose weight is remembered: those of the bench, and some as they were."""

Name = tuple[Path | None, str]
"""The file of a bench, and the key of a job in it."""


def _told(folder: Path) -> Steps[JobList | FileProblem]:
    try:
        return (yield from jobs_below(folder))
    except FileProblem as problem:
        return problem


def _forgotten() -> None:
    with contextlib.suppress(FileProblem):
        forget_index()


def _is_one(file: Path | None, here: Path | None) -> bool:
    """Whether two paths lead to one bench: a link in the folder may lead to the one in hand."""
    if file is None or here is None:
        return file == here
    return file.name == here.name and is_one_file(file, here)


class JobsCase(QObject):
    """Jobs of the bench in hand, and of all benches below a folder where one is chosen.

    changed(): the list or the job in hand is another. listed: what is found, as far as it is
    shown; count: how many are found. below: what was read of the folder. problem: what is wrong
    with the folder.
    """

    changed = Signal()

    def __init__(self, place: Workplace, watch: Watch, parent: QObject) -> None:
        super().__init__(parent)
        self.place = place
        self.wanted = Wanted()
        self.listed: tuple[Listed, ...] = ()
        self.count = 0
        self.below: JobList | None = None
        self.problem = NOTHING
        self._name: Name | None = None
        self._weighed = Weighed()
        self._every: tuple[Listed, ...] = ()
        self._path: Path | None = None
        # A job to go on with once its bench is in hand: a large one is still being read.
        self._awaited: tuple[Path, str] | None = None
        self._here: Path | None = None
        self._is_here: dict[Path | None, bool] = {}
        watch.follow(self.refresh)
        place.document.file_changed.connect(self._file_changed)

    def follow(self, refresh: Callable[[], None]) -> None:
        """Call this now, and whenever something changes."""
        self.changed.connect(refresh)
        refresh()

    @property
    def system(self) -> System:
        """The units shown."""
        return self.place.system

    @property
    def bench(self) -> Bench:
        """The bench in hand."""
        return self.place.document.bench

    @property
    def is_settled(self) -> bool:
        """Whether all that was asked for is shown."""
        return not self.place.jobs.is_busy()

    # -- the list ------------------------------------------------------------------------------

    @property
    def folder(self) -> Path | None:
        """Below which all benches are looked through."""
        name = self.place.settings.preferences.jobs_folder
        return Path(name) if name else None

    @property
    def is_empty(self) -> bool:
        """Whether there is no job to list anywhere."""
        return not self.bench.jobs and self.folder is None

    def refresh(self) -> None:
        """List what is there now; the job in hand stays so, found or not."""
        path = self._path = self.place.document.path
        if self._awaited is not None and self._awaited[0] == path:
            self._name, self._awaited = (None, self._awaited[1]), None
        if self._weighed.count > MOST_WEIGHED:
            self._weighed = Weighed()
        own = jobs_of(self.bench, path, self._weighed)
        others = self.below.jobs if self.below is not None else ()
        here = path.absolute() if path is not None else None
        if here != self._here:
            self._here, self._is_here = here, {}
        for each in others:
            # Asked once: a folder on a network answers slowly, and this is at every edit.
            if each.file not in self._is_here:
                self._is_here[each.file] = _is_one(each.file, here)
        # Of one day, those of this bench come first: ``found`` has the last ahead.
        self._every = (*(each for each in others if not self._is_here[each.file]), *own)
        self._list()
        if self.in_hand is None:
            self._take_likely()
        self.changed.emit()

    def _list(self) -> None:
        shown = found(self._every, self.wanted)
        self.count = len(shown)
        self.listed = shown[:MOST_SHOWN]

    def _file_changed(self) -> None:
        if self.place.document.path != self._path:
            self.refresh()

    def look_for(self, wanted: Wanted) -> None:
        """List what is looked for, and take the first of it in hand."""
        if wanted != self.wanted:
            self.wanted = wanted
            self._list()
            if self.row < 0:
                self._take_likely()
            self.changed.emit()

    def _take_likely(self) -> None:
        """Take in hand what one is at: the job in work, else the first of the list."""
        in_work = (each for each in self.listed if each.job.state is JobState.IN_WORK)
        likely = next(in_work, next(iter(self.listed), None))
        self._name = self._named(likely) if likely is not None else None

    def use_folder(self, folder: Path) -> None:
        """Look through all benches below a folder from now on."""
        self.place.settings.remember(jobs_folder=str(folder.absolute()))
        self.below = None
        self.read_folder()

    def read_folder(self) -> None:
        """Read what changed below the folder, beside the window."""
        folder = self.folder
        if folder is None:
            self.refresh()
            return
        self.place.jobs.run(LANE, _told, folder, done=self._take)

    def stop(self) -> None:
        """Read no further: what was read is kept for the next time."""
        self.place.jobs.cancel(LANE)
        self.problem = Sentence("Stopped: not all benches of the folder are listed.")
        self.refresh()

    def _take(self, read: JobList | FileProblem) -> None:
        self.problem = NOTHING
        self._is_here = {}
        if isinstance(read, FileProblem):
            self.below, self.problem = None, read.sentence
        else:
            self.below = read
        self.refresh()

    def forget(self) -> None:
        """Look through no folder any more, and remove what was kept of it."""
        self.place.jobs.cancel(LANE)
        self.below, self.problem = None, NOTHING
        self.place.settings.remember(jobs_folder="")
        try:
            forget_index()
            self.place.host.say(Sentence("The list of that folder is forgotten"))
        except FileProblem as problem:
            self.place.host.show_problem(problem.sentence)
        # What was being read may still have been written down: once more when that has stopped.
        self.place.jobs.run(LANE, _forgotten, done=lambda _: None)
        self.refresh()

    # -- the job in hand -----------------------------------------------------------------------

    def _named(self, listed: Listed) -> Name:
        path = self.place.document.path
        here = path.absolute() if path is not None else None
        file = listed.file.absolute() if listed.file is not None else None
        return (None if file == here else file), listed.job.key

    @property
    def in_hand(self) -> Listed | None:
        """The job in hand; None where there is none."""
        return next((each for each in self._every if self._named(each) == self._name), None)

    @property
    def row(self) -> int:
        """The row of the job in hand; -1 where it is not among those that are found."""
        names = (row for row, each in enumerate(self.listed) if self._named(each) == self._name)
        return next(names, -1)

    @property
    def job(self) -> Job | None:
        """The job in hand, if it is one of this bench."""
        if self._name is None or self._name[0] is not None:
            return None
        return keyed(self.bench.jobs, self._name[1])

    def take(self, row: int) -> None:
        """Take a job of the list in hand."""
        if 0 <= row < len(self.listed):
            name = self._named(self.listed[row])
            if name != self._name:
                self._name = name
                self.changed.emit()

    def open_bench(self) -> None:
        """Open the bench of the job in hand, and go on with it there."""
        listed = self.in_hand
        if listed is None or listed.file is None or self.job is not None:
            return
        if self.place.host.open_file(listed.file):
            self._awaited = listed.file, listed.job.key
            if self.place.document.path == listed.file:
                self.place.host.show_page("jobs")
            self.refresh()

    # -- what a person does ----------------------------------------------------------------------

    def do(self, edit: Callable[..., Any], *arguments: Any, **options: Any) -> Outcome:
        """Do an edit as one step."""
        return self.place.do(edit, *arguments, **options)

    def take_in(self) -> bool:
        """Take in a job about the line, or the rig, and the rod that are current."""
        line, rod = self.place.document.line, self.place.document.rod
        rig = self.place.document.rig
        return self._with_new(
            self.do(
                edits.take_in_job,
                line.key if line else None,
                rod.key if rod else None,
                rig=rig.key if rig else None,
            )
        )

    def repeat(self) -> bool:
        """Take in the job in hand once more."""
        return self.job is not None and self._with_new(self.do(edits.repeat_job, self.job.key))

    def _with_new(self, outcome: Outcome) -> bool:
        if outcome:
            self._name = None, self.bench.jobs[-1].key
            self.wanted = Wanted()
            self.refresh()
        return bool(outcome)

    def go_on(self) -> None:
        """Do what is due: begin the job, finish it, hand it over."""
        job, states = self.job, list(JobState)
        if job is None:
            self.open_bench()
        elif job.state is not states[-1]:
            self.come_to(states[states.index(job.state) + 1])

    def come_to(self, state: JobState) -> Outcome:
        """Say how far the job in hand has come, by its button or by choice."""
        job = self.job
        if job is None:
            return Outcome()
        outcome = self.do(edits.come_to, job.key, state, today())
        was_asked = job.state is JobState.ASKED and state is JobState.IN_WORK
        if outcome and was_asked and keyed(self.bench.lines, job.line) is not None:
            # What is begun is what one turns to the other pages for.
            rig = rig_of(self.bench, job)
            self.place.document.look(line=job.line, rig=rig.key if rig else None)
        return outcome

    def go_to_cut(self) -> None:
        """Turn to the cut-back of the head of the job in hand."""
        cut = cut_in_hand(self.bench, self.job) if self.job is not None else None
        if cut is not None:
            self.place.document.look(line=cut.line)
            self.place.host.show_page("cut")

    def describe(self, **changes: Any) -> Outcome:
        """Say something else of the job in hand."""
        job = self.job
        if job is None:
            return Outcome()
        return self.do(edits.describe_job, job.key, replace(job, **changes))

    def set_days(self, begun: date | None, finished: date | None) -> Outcome:
        """Say when the job in hand was begun and finished."""
        job = self.job
        return Outcome() if job is None else self.do(edits.set_days, job.key, begun, finished)

    def drop(self) -> None:
        """Strike the job in hand from the record."""
        if self.job is not None:
            self.do(edits.drop_job, self.job.key)

    def attach(self, photographs: list[Path]) -> None:
        """Let the job in hand name photographs."""
        path = self.place.document.path
        if self.job is not None and photographs:
            names = [kept_as(each, path) for each in photographs]
            self.do(edits.attach_photographs, self.job.key, names)

    def detach(self, photograph: str) -> None:
        """Let the job in hand no longer name a photograph."""
        if self.job is not None:
            self.do(edits.detach_photograph, self.job.key, photograph)
