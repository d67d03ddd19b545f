"""The current measurement and what is known of it; the page's views look at this alone."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import QObject, Signal

from taperlab.edits import measure as edits
from taperlab.edits.edited import Edited, Step, together
from taperlab.gui.kit.host import Workplace
from taperlab.gui.state.document import Change, Outcome, Reason
from taperlab.gui.state.watch import Watch
from taperlab.model.line import Line
from taperlab.model.measurement import Measurement
from taperlab.shop.measure.study import Study, study_steps
from taperlab.units.finding import Finding
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence

LANE = "fit"


class Desk(QObject):
    """Follows the bench while the page is awake; asks for a study of what was measured.

    another(bool): another measurement is current; whether it is of another bench, which may hold
    another under the same key. It comes before changed(): what was measured is different now.
    studied(): there is another answer. asked(): a study was asked for.
    """

    another = Signal(bool)
    changed = Signal()
    studied = Signal()
    asked = Signal()

    def __init__(self, place: Workplace, watch: Watch, parent: QObject) -> None:
        super().__init__(parent)
        self.place, self._watch = place, watch
        self._key: str | None = None
        self._study: Study | None = None
        self._asked: tuple[Measurement | None, Line | None] = (None, None)
        watch.changed.connect(self._bench_changed)
        self._choose_for_line()
        self._ask()

    # -- what there is ------------------------------------------------------------------------

    @property
    def system(self) -> System:
        """The units shown."""
        return self.place.system

    @property
    def measurements(self) -> tuple[Measurement, ...]:
        """All that are on the bench."""
        return self.place.document.bench.measurements

    @property
    def measurement(self) -> Measurement | None:
        """The current measurement."""
        return next((each for each in self.measurements if each.key == self._key), None)

    @property
    def design(self) -> Line | None:
        """The line that the measured one was built to, if it is on the bench."""
        measurement = self.measurement
        lines = self.place.document.bench.lines
        key = measurement.line if measurement else None
        return next((line for line in lines if line.key == key), None)

    @property
    def study(self) -> Study | None:
        """The last answer for the current measurement; it may be a moment behind."""
        found = self._study
        return found if found is not None and found.measurement.key == self._key else None

    @property
    def is_fresh(self) -> bool:
        """Whether the answer is of what is measured now."""
        found = self.study
        return found is not None and found.measurement is self.measurement

    def findings(self) -> tuple[Finding, ...]:
        """What is worth a remark about the fit."""
        fit = self.study.fit if self.study else None
        return fit.findings if fit else ()

    def follow(self, refresh: Callable[[], None]) -> None:
        """Call this now, and whenever the measurement, its study or the units are others."""
        for signal in (self.changed, self.studied, self._watch.units_changed):
            signal.connect(refresh)
        refresh()

    # -- changing it --------------------------------------------------------------------------

    def take(self, key: str | None) -> None:
        """Make a measurement the current one."""
        if key != self._key:
            self._key = key
            self.another.emit(False)
            self._follow()

    def apply(
        self, edit: Callable[..., Edited], *arguments: Any, merge: int | None = None
    ) -> Outcome:
        """Do an edit of the current measurement, and say what became of it."""
        return self.place.do(edit, self._key, *arguments, merge=merge, initiator=self)

    def apply_all(self, text: Sentence, steps: Sequence[Step]) -> Outcome:
        """Do edits of the measurement in hand as one step, and say what became of it."""
        of_it = [(edit, (self._key, *arguments)) for edit, arguments in steps]
        return self.place.do(together, text, of_it, (), initiator=self)

    def start(
        self, line: str | None, length: float | None, mass: float | None, name: str
    ) -> Outcome:
        """Begin a measurement and make it current."""
        outcome = self.place.do(edits.start_measurement, line, length, mass, name, initiator=self)
        if outcome:
            self.take(self.measurements[-1].key)
        return outcome

    def put_on_bench(self) -> None:
        """Put the fitted line on the bench, or say why not."""
        found = self.study
        if found is None or not self.is_fresh:
            why_not = Sentence("The fit is still being worked out: press again in a moment.")
            self.place.host.say_problem(why_not)
        elif found.fit is None:
            self.place.host.say_problem(found.why_not)
        else:
            self.apply(edits.put_on_bench, found.fit.line)

    # -- following the bench ------------------------------------------------------------------

    def wake(self) -> None:
        """Ask for the study that was not waited for."""
        self._ask()

    def sleep(self) -> None:
        """Want no answer any more."""
        if self.place.jobs.is_busy(LANE):
            self._asked = (None, None)
            self.place.jobs.cancel(LANE)

    def _bench_changed(self, change: Change) -> None:
        before = {each.key: each for each in change.before.measurements}
        key, is_loaded = self._key, change.reason is Reason.LOAD
        if is_loaded:
            self._asked, self._study = (None, None), None
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
        if is_loaded or self._key != key:
            self.another.emit(is_loaded)
        self._follow()

    def _choose_for_line(self) -> None:
        line = self.place.document.line
        of_line = [each for each in self.measurements if line and each.line == line.key]
        first = next(iter(of_line or self.measurements), None)
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
            self.place.jobs.cancel(LANE)
            self._study = None
            return
        self.asked.emit()
        self.place.jobs.run(
            LANE,
            study_steps,
            measurement,
            design,
            done=self._answered,
            failed=self.place.host.say_problem,
            interim=True,
        )

    def _answered(self, answer: Study) -> None:
        self._study = answer
        if answer.measurement.key == self._key:
            self.studied.emit()
