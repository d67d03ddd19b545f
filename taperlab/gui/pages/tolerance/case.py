"""The line in hand and what each ± does to it; the page's views look at this alone."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from taperlab.edits.tolerance import leave_on, set_tolerance
from taperlab.gui.kit.host import Workplace
from taperlab.gui.state.watch import Watch
from taperlab.model.rod import Window
from taperlab.model.tolerance import Tolerance
from taperlab.shop.tolerance.along import Along, along
from taperlab.shop.tolerance.asking import asked_of, window_of
from taperlab.shop.tolerance.builds import Builds, LeftOn, builds, left_on
from taperlab.shop.tolerance.dimensions import What
from taperlab.shop.tolerance.study import Asked, Cause, ToleranceStudy, study
from taperlab.units.finding import Impossible
from taperlab.units.kinds import System
from taperlab.units.sentence import NOTHING, Sentence


class ToleranceCase(QObject):
    """Follows the bench and works out what each ± does: that takes less than a frame.

    changed(): there is another answer. chosen_changed(): another cause is looked at. problem: why
    there is no answer.
    """

    changed = Signal()
    chosen_changed = Signal()

    def __init__(self, place: Workplace, watch: Watch, parent: QObject) -> None:
        super().__init__(parent)
        self.place = place
        self.watch = watch
        self.study: ToleranceStudy | None = None
        self.builds: Builds | None = None
        self.left: LeftOn | None = None
        self.along: Along | None = None
        self.problem = NOTHING
        self._asked: tuple[Asked | None, Window | None] | None = None
        self._chosen: int | None = None
        watch.follow(self.refresh)

    @property
    def system(self) -> System:
        """The units shown."""
        return self.place.system

    @property
    def chosen(self) -> Cause | None:
        """The cause looked at: the one chosen in the table, else the diameter that costs most."""
        if self.study is None:
            return None
        if self._chosen is not None and self._chosen < len(self.study.causes):
            return self.study.causes[self._chosen]
        return max(self.study.of(What.DIAMETER), key=lambda each: abs(each.slopes.mass))

    def choose(self, row: int | None) -> None:
        """Look at a cause, by its row of the table."""
        if row != self._chosen:
            self._chosen = row
            self.chosen_changed.emit()

    def follow(self, refresh: Callable[[], None]) -> None:
        """Call this now, and whenever there is another answer."""
        self.changed.connect(refresh)
        refresh()

    def refresh(self) -> None:
        """Work it out for the bench as it is now."""
        bench, line = self.place.document.bench, self.place.document.line
        asked = asked_of(bench, line, self.system) if line is not None else None
        window = window_of(bench, line) if line is not None else None
        if asked is None or self._asked is None or not _same(self._asked, asked, window):
            self._work_out(asked, window)
        self._asked = asked, window
        self.changed.emit()

    def _work_out(self, asked: Asked | None, window: Window | None) -> None:
        self.study = self.builds = self.left = self.along = None
        self._chosen = None
        self.problem = Sentence("There is no line on the bench.")
        if asked is None:
            return
        try:
            self.study = study(asked)
        except Impossible as problem:
            self.problem = problem.sentence
            return
        self.problem = NOTHING
        self.builds = builds(self.study, window) if window is not None else None
        self.left = left_on(self.study)
        self.along = along(self.study)

    # -- what can be done ------------------------------------------------------------------------

    def set_tolerance(self, tolerance: Tolerance, initiator: object) -> bool:
        """Say how closely the line is made."""
        line = self.place.document.line
        if line is None:
            return False
        return bool(self.place.do(set_tolerance, line.key, tolerance, initiator=initiator))

    def leave_on(self) -> None:
        """Put a longer copy on the bench with its cut-back begun, and turn to that."""
        found, left = self.study, self.left
        if found is None or left is None:
            return
        done = self.place.do(
            leave_on,
            found.asked.line.key,
            left.row,
            left.length,
            found.values.mass,
            found.asked.instruments,
        )
        if done:
            self.place.host.show_page("cut")


def _same(before: tuple[Asked | None, Window | None], asked: Asked, window: Window | None) -> bool:
    was, was_window = before
    return (
        was is not None
        and was.line is asked.line
        and was.instruments == asked.instruments
        and was.water == asked.water
        and was_window == window
    )
