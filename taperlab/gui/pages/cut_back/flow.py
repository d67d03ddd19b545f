"""Where the work stands: the step that is due, and what was typed for it.

Page and bench view share this, so that they always show the same step.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from PySide6.QtCore import QObject, Signal

from taperlab.edits import cut_back as edits
from taperlab.edits import cut_steps
from taperlab.gui.pages.cut_back.case import CutCase
from taperlab.gui.state.document import Outcome
from taperlab.model.cut_log import CutBack, CutEnd, CutStep
from taperlab.shop.cut_back.study import Study
from taperlab.shop.cut_back.way import Act, Due
from taperlab.shop.cut_back.way_words import words_of
from taperlab.shop.rail import StepWords
from taperlab.units.sentence import render


@dataclass(slots=True)
class Typed:
    """What stands in the fields of the steps and not in the log: typed, or taken out of it again.

    In m and kg.
    """

    first: float | None = None
    cuts: dict[CutEnd, float] = field(default_factory=dict)
    head: float | None = None
    offcut: float | None = None
    last: float | None = None


class CutFlow(QObject):
    """The step that is due in the current cut-back, and what a person can do about it.

    changed(): another step is due, or another answer is there. logged(): the log is another one,
    and the fields are to hold what was given back. held(): another value was typed, which page and
    bench view both show. went_on(): a step was done, and the keys belong where the next one is
    typed.
    """

    changed = Signal()
    logged = Signal()
    held = Signal()
    went_on = Signal()

    def __init__(self, case: CutCase, parent: QObject) -> None:
        super().__init__(parent)
        self.case = case
        self.typed = Typed()
        self._job: CutBack | None = None
        self._unweighed = False
        self._loops_made = False
        case.asked.connect(self._job_changed)
        case.changed.connect(self.changed)
        case.watch.units_changed.connect(self.changed)

    # -- what is due ---------------------------------------------------------------------------

    @property
    def study(self) -> Study | None:
        """What is known of a cut-back that is begun."""
        study = self.case.study
        return study if study is not None and study.job is not None else None

    @property
    def due(self) -> Due:
        """The step that is due."""
        study = self.study
        if study is None:
            return Due(Act.STOPPED)
        due = study.due(unweighed=self._unweighed)
        if due.act is Act.MAKE_LOOPS and self._loops_made:
            due = replace(due, act=Act.WEIGH_LAST)
        if due.act is Act.WEIGH_LAST and self._unweighed and not self.is_last_odd:
            due = replace(due, act=Act.FINISHED)
        return due

    @property
    def words(self) -> StepWords | None:
        """What is said of it."""
        return words_of(self.study, self.due) if self.study else None

    # -- doing it ------------------------------------------------------------------------------

    def weigh_first(self, mass: float) -> Outcome | None:
        """The head was weighed before the first cut [kg]."""
        return self._do(edits.set_first_reading, mass)

    def tell_ends(self) -> Outcome | None:
        """The person knows which end is which."""
        return self._do(edits.tell_ends)

    def cut(self, length: float) -> Outcome | None:
        """The cut that is due was made, so long [m]."""
        cut = self.due.cut
        return self._do(cut_steps.cut_off, cut.end, length) if cut else None

    def weigh(self, head: float | None, offcut: float | None) -> Outcome | None:
        """Head and offcut were weighed [kg]."""
        return self._do(cut_steps.weigh_cut, head, offcut)

    def weigh_last(self, mass: float) -> Outcome | None:
        """The finished head was weighed [kg]."""
        return self._do(edits.set_last_reading, mass)

    def trust_last(self) -> Outcome | None:
        """The finished head weighs what was read, however unexpected."""
        return self._do(edits.trust_last_reading)

    @property
    def is_last_odd(self) -> bool:
        """Whether the finished head reads what was not expected."""
        study = self.study
        return study is not None and study.last is not None and study.last.is_odd

    def loops_are_made(self) -> None:
        """The new loops are on."""
        self._loops_made = True
        self._move_on()

    def skip_weighing(self) -> None:
        """Go on without the weighing that is due."""
        self._unweighed = True
        self._move_on()

    @property
    def can_go_back(self) -> bool:
        """Whether there is a step to take back."""
        job = self.case.job
        if job is None or not self.case.is_settled:
            return False
        done = job.steps or job.ends_told or job.first_reading is not None
        return bool(done) or self._unweighed

    def back(self) -> None:
        """Take the last step back; what was typed for it stands in its fields again."""
        act = self.due.act
        if self._unweighed:
            self._unweighed = False
            self._move_on()
        elif act is Act.WEIGH_LAST and self._loops_made and not self._was_weighed_last:
            self._loops_made = False
            self._move_on()
        else:
            self._do(cut_steps.take_back)

    @property
    def _was_weighed_last(self) -> bool:
        return self.case.job is not None and self.case.job.last_reading is not None

    def put_on_bench(self, *, keep: bool, name: str) -> bool:
        """Put the cut head on the bench; keep: beside the line it was cut from."""
        study = self.case.study
        if study is None or study.finished is None or not self.case.is_settled:
            return False
        note = render(study.story, self.case.system)
        uncut = study.uncut.line if study.uncut else None
        done = self.case.do(
            edits.put_on_bench, study.finished.line, name, note, keep=keep, uncut=uncut
        )
        return bool(done)

    def _do(self, edit: object, *args: object) -> Outcome | None:
        """Do an edit, unless what is shown is not of the bench as it is now."""
        if not self.case.is_settled:
            return None
        outcome = self.case.do(edit, *args)  # type: ignore[arg-type]
        if outcome:
            self.went_on.emit()
        return outcome

    def _move_on(self) -> None:
        self.changed.emit()
        self.went_on.emit()

    # -- what is typed, or was taken out of the log --------------------------------------------

    def hold(self, typed: Typed) -> None:
        """Hold what stands in the fields, for page and bench view alike."""
        self.typed = typed
        self.held.emit()

    def _job_changed(self, anew: bool) -> None:
        before, self._job = self._job, self.case.job
        if anew or before is None or self._job is None:
            self.typed = Typed()
            self._unweighed = self._loops_made = False
        elif _log_of(before) == _log_of(self._job):
            return
        else:
            self._give_back(before, self._job)
        self.logged.emit()

    def _give_back(self, before: CutBack, now: CutBack) -> None:
        back = self.typed
        back.first = _lost(before.first_reading, now.first_reading, back.first)
        back.last = _lost(before.last_reading, now.last_reading, back.last)
        if before.steps == now.steps:
            return
        self._unweighed = False
        self._loops_made = before.last_reading is not None and now.last_reading is None
        at = len(now.steps)
        waits = now.waits
        if len(before.steps) == at + 1:
            was, left = before.steps[-1], CutStep()
        elif len(before.steps) == at and at:
            was, left = before.steps[-1], now.steps[-1]
        else:
            # A cut that is made again is weighed again; another log has nothing to do with this.
            again = waits and len(before.steps) == at - 1
            self.typed = Typed(
                first=back.first,
                last=back.last,
                head=back.head if again else None,
                offcut=back.offcut if again else None,
            )
            return
        back.head = _lost(was.head, left.head, back.head if waits else None)
        back.offcut = _lost(was.offcut, left.offcut, back.offcut if waits else None)
        for end, cut, stays in (
            (CutEnd.FRONT, was.front, left.front),
            (CutEnd.REAR, was.rear, left.rear),
        ):
            back.cuts.pop(end, None)
            if cut and not stays:
                back.cuts[end] = cut


def _lost(before: float | None, now: float | None, held: float | None) -> float | None:
    """What goes back to a field: a value that is gone; what it held until another is there."""
    if now is not None:
        return None
    return held if before is None else before


def _log_of(job: CutBack) -> tuple[object, ...]:
    return job.first_reading, job.steps, job.last_reading
