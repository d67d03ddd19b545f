"""The measurement in hand and what is known of it; the page's views look at this alone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, Signal

from taperlab.edits import measure as edits
from taperlab.edits.edited import Edited
from taperlab.gui.kit.host import Workplace
from taperlab.gui.state.document import Change, Reason
from taperlab.gui.state.watch import Watch
from taperlab.model.line import Line
from taperlab.model.measurement import Measurement
from taperlab.shop.measure.study import Study, study_steps
from taperlab.units.kinds import System

LANE = "fit"


class Desk(QObject):
    """Follows the document, asks for a fit whenever what was measured changes, keeps the answer.

    changed(): another measurement is in hand, or what was measured is different now.
    studied(): there is another answer. problem(str): why the fit came to grief.
    """

    changed = Signal()
    studied = Signal()
    problem = Signal(str)

    def __init__(self, place: Workplace, watch: Watch, parent: QObject) -> None:
        super().__init__(parent)
        self.place = place
        self.document = place.document
        self.settings = place.settings
        self.jobs = place.jobs
        self._key: str | None = None
        self._study: Study | None = None
        self._asked: tuple[Measurement | None, Line | None] = (None, None)
        self._refusal = ""
        watch.changed.connect(self._document_changed)
        self._choose_for_line()
        self._ask()

    # -- what there is ------------------------------------------------------------------------

    @property
    def system(self) -> System:
        """The units shown."""
        return self.settings.system

    @property
    def measurement(self) -> Measurement | None:
        """The measurement in hand."""
        for each in self.document.bench.measurements:
            if each.key == self._key:
                return each
        return None

    @property
    def design(self) -> Line | None:
        """The line that the measured one was built to, if it is on the bench."""
        measurement = self.measurement
        if measurement is None or measurement.line is None:
            return None
        lines = self.document.bench.lines
        return next((line for line in lines if line.key == measurement.line), None)

    @property
    def study(self) -> Study | None:
        """The last answer for the measurement in hand; it may be a moment behind."""
        found = self._study
        return found if found is not None and found.measurement.key == self._key else None

    @property
    def is_fresh(self) -> bool:
        """Whether the answer is of what is measured now."""
        found = self.study
        return found is not None and found.measurement is self.measurement

    # -- changing it --------------------------------------------------------------------------

    def take(self, key: str | None) -> None:
        """Take a measurement in hand."""
        if key != self._key:
            self._key = key
            self._follow()

    def apply(self, edit: Callable[..., Edited], *arguments: Any, merge: int | None = None) -> str:
        """Do an edit of the measurement in hand; gives back why it was refused, or nothing."""
        if self._key is None:
            return "No measurement is in hand."
        done = self.document.apply(edit, self._key, *arguments, merge=merge, initiator=self)
        return str(done.refused)

    def start(
        self, line: str | None, length: float | None, mass: float | None, name: str = ""
    ) -> str:
        """Begin a measurement and take it in hand; gives back why not, or nothing."""
        done = self.document.apply(
            edits.start_measurement, line, length, mass, name, initiator=self
        )
        if not done:
            return str(done.refused)
        self.take(self.document.bench.measurements[-1].key)
        return ""

    def put_on_bench(self) -> str:
        """Put the fitted line on the bench; gives back why not, or nothing."""
        found = self.study
        if found is None or not self.is_fresh:
            return "The fit is still being worked out: press again in a moment."
        if found.fit is None:
            return str(found.why_not)
        return self.apply(edits.put_on_bench, found.fit.line)

    # -- following the document ---------------------------------------------------------------

    def _document_changed(self, change: Change) -> None:
        before = {each.key: each for each in change.before.measurements}
        if change.reason is Reason.LOAD:
            self._choose_for_line()
        elif change.reason in (Reason.UNDO, Reason.REDO):
            # Show what was undone, whichever measurement it was of.
            other = [
                each.key for each in change.after.measurements if before.get(each.key) is not each
            ]
            if other and self._key not in other:
                self._key = other[-1]
        if self.measurement is None:
            self._choose_for_line()
        self._follow()

    def _choose_for_line(self) -> None:
        bench = self.document.bench
        line = bench.current_line
        of_line = [each for each in bench.measurements if line and each.line == line.key]
        first = next(iter(of_line or bench.measurements), None)
        self._key = first.key if first else None

    def _follow(self) -> None:
        before = self._asked
        self._ask()
        if self._asked != before or self._asked[0] is None:
            self.changed.emit()

    def _ask(self) -> None:
        measurement, design = self.measurement, self.design
        if self._asked[0] is measurement and self._asked[1] is design:
            return
        self._asked = (measurement, design)
        if measurement is None:
            self.jobs.cancel(LANE)
            self._study = None
            return
        self.jobs.run(
            LANE,
            study_steps,
            measurement,
            design,
            done=self._answered,
            failed=self.problem.emit,
            interim=True,
        )

    def _answered(self, answer: Study) -> None:
        self._study = answer
        if answer.measurement.key == self._key:
            self.studied.emit()
