"""The current cut-back and what is known of it; the page's views look at this alone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, Signal

from taperlab.edits.cut_back import cut_back_of, measured_for
from taperlab.edits.edited import Edited
from taperlab.gui.kit.host import Workplace
from taperlab.gui.state.document import Change, Outcome, Reason
from taperlab.gui.state.watch import Watch
from taperlab.model.cut_log import CutBack
from taperlab.model.line import Line
from taperlab.model.measurement import Measurement
from taperlab.model.rod import Rod
from taperlab.model.water import Water
from taperlab.shop.cut_back import study as shop
from taperlab.shop.cut_back.study import Study
from taperlab.units.kinds import System

LANE = "cut back"


class CutCase(QObject):
    """Follows the bench, asks for a study of the current cut-back, keeps the last answer.

    What is shown stays until another answer comes. asked(bool): another line, cut-back, rod or
    water is current, its answer still to come; told whether the cut-back is another one. changed():
    the answer is here. tried(): another cut is tried out; the log and the stages are as before.
    """

    asked = Signal(bool)
    changed = Signal()
    tried = Signal()

    def __init__(self, place: Workplace, watch: Watch, parent: QObject) -> None:
        super().__init__(parent)
        self.place = place
        self.watch = watch
        self.study: Study | None = None
        self._keys: tuple[str, str] | None = None
        self._asked: (
            tuple[Line | None, CutBack | None, Rod | None, Water, Measurement | None] | None
        ) = None
        watch.changed.connect(self._bench_changed)

    # -- what there is -------------------------------------------------------------------------

    @property
    def line(self) -> Line | None:
        """The current line."""
        return self.place.document.line

    @property
    def job(self) -> CutBack | None:
        """Its cut-back, as the bench has it now: edits are built on this one."""
        return cut_back_of(self.place.document.bench, self.line)

    @property
    def system(self) -> System:
        """The units shown."""
        return self.place.system

    @property
    def is_settled(self) -> bool:
        """Whether what is shown is of the bench as it is now."""
        study = self.study
        return study is not None and _same(
            (study.line, study.job, study.rod, study.water, study.measurement), self._now()
        )

    def study_now(self) -> Study:
        """The study of the bench as it is now, worked out at once if need be: for paper."""
        if self.study is not None and self.is_settled:
            return self.study
        return shop.study_now(*self._now())

    def _now(self) -> tuple[Line | None, CutBack | None, Rod | None, Water, Measurement | None]:
        document = self.place.document
        bench, line = document.bench, self.line
        return line, self.job, document.rod, bench.water, measured_for(bench, line)

    def follow(self, refresh: Callable[[], None]) -> None:
        """Call this whenever there is an answer, and when its units are others."""
        self.changed.connect(refresh)
        self.watch.units_changed.connect(refresh)

    # -- changing it ---------------------------------------------------------------------------

    def do(self, edit: Callable[..., Edited], *args: Any, **options: Any) -> Outcome:
        """Do an edit to the current cut-back, and say what became of it."""
        key = self.job.key if self.job else ""
        return self.place.do(edit, key, *args, initiator=self, **options)

    def try_cut(self, length: float) -> None:
        """Try a cut of so much in all [m]."""
        self._try(lambda study: shop.try_cut(study, length))

    def try_blade(self, position: float, *, front: bool) -> None:
        """Try the cut whose blade, at fly end or rod end, lies at a position [m]."""
        self._try(lambda study: shop.try_blade(study, position, front=front))

    def back_to_target(self) -> None:
        """Show the cut to the target again."""
        if self.study is not None and self.study.trial is not None:
            self._try(shop.without_trial)

    def _try(self, change: Callable[[Study], Study]) -> None:
        if self.study is not None:
            self.study = change(self.study)
            self.tried.emit()

    # -- keeping up ----------------------------------------------------------------------------

    def _bench_changed(self, change: Change) -> None:
        if change.reason is Reason.LOAD:
            # A file opened anew may hold another cut-back under the same key.
            self._keys = None
        self.refresh()

    def refresh(self) -> None:
        """Ask for a study where anything that goes into it differs from what was asked last."""
        asked = self._now()
        if self._asked is not None and _same(asked, self._asked):
            return
        self._asked = asked
        self.place.jobs.run(LANE, shop.study, *asked, done=self._answered, interim=True)
        line, job = self.line, self.job
        keys = (line.key, job.key) if line and job else self._keys
        is_another, self._keys = keys != self._keys, keys
        self.asked.emit(is_another)

    def sleep(self) -> None:
        """Want no answer any more; the next refresh asks again."""
        if not self.is_settled:
            self._asked = None
            self.place.jobs.cancel(LANE)

    def _answered(self, study: Study) -> None:
        self.study = study
        self.changed.emit()


def _same(one: tuple[object, ...], other: tuple[object, ...]) -> bool:
    """Whether two answers are about the very same values."""
    return all(mine is theirs for mine, theirs in zip(one, other, strict=True))
