"""The range that is looked at, and what is known of it; the page's views look at this alone."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from PySide6.QtCore import QObject, Signal

from taperlab.edits import ranges as edits
from taperlab.edits.edited import Edited
from taperlab.gui.kit.host import Workplace
from taperlab.gui.plots.styles import Dash, style_at
from taperlab.gui.state.document import Change, Outcome
from taperlab.gui.state.watch import Watch
from taperlab.model.bench import keyed
from taperlab.model.line import Line
from taperlab.model.range import Range
from taperlab.physics.head import head_problem
from taperlab.shop.range import study as shop
from taperlab.shop.range.member import MemberFigures, Question
from taperlab.shop.range.study import NotMade, RangeStudy
from taperlab.units.columns import Column
from taperlab.units.kinds import System
from taperlab.units.sentence import NOTHING, Sentence

LANE = "range"


class RangeCase(QObject):
    """Follows the bench, asks for a study of the range, keeps the last answer.

    What is shown stays until another answer comes. changed(): another answer is here, or there is
    no range any more. turned(): another member is looked at.
    """

    changed = Signal()
    turned = Signal()

    def __init__(self, place: Workplace, watch: Watch, parent: QObject) -> None:
        super().__init__(parent)
        self.place = place
        self.watch = watch
        self.study: RangeStudy | None = None
        self.question: Question | None = None
        self.index = 0
        self._key: str | None = None
        watch.changed.connect(self._bench_changed)
        watch.units_changed.connect(self.refresh)

    # -- what there is -------------------------------------------------------------------------

    @property
    def system(self) -> System:
        """The units shown."""
        return self.place.system

    @property
    def ranges(self) -> tuple[Range, ...]:
        """Those of the bench."""
        return self.place.document.bench.ranges

    @property
    def range(self) -> Range | None:
        """The range that is looked at: the one chosen, else one of the current line, else any."""
        chosen = keyed(self.ranges, self._key)
        line = self.place.document.line
        own = (each for each in self.ranges if line is not None and each.parent == line.key)
        return chosen or next(own, None) or next(iter(self.ranges), None)

    @property
    def heads(self) -> tuple[Line, ...]:
        """The lines of the bench that can be graded."""
        return tuple(each for each in self.place.document.bench.lines if not head_problem(each))

    @property
    def is_settled(self) -> bool:
        """Whether what is shown is of the bench as it is now."""
        asked = self._asked()
        if asked is None or self.study is None:
            return asked is None and self.study is None
        return asked == self.study.question

    @property
    def row(self) -> MemberFigures | NotMade | None:
        """The member that is looked at, or why there is none."""
        if self.study is None or not 0 <= self.index < len(self.study.rows):
            return None
        return self.study.rows[self.index]

    @property
    def member(self) -> MemberFigures | None:
        """The member that is looked at, where there is one."""
        return self.row if isinstance(self.row, MemberFigures) else None

    def style(self, index: int) -> tuple[str, Dash]:
        """Colour and dash of a member."""
        return style_at(index, self.place.theme.tokens)

    def study_now(self) -> RangeStudy | None:
        """The study of the bench as it is now, worked out at once if need be: for paper."""
        asked = self._asked()
        if self.is_settled or asked is None:
            return self.study
        return shop.study_now(asked)

    def follow(self, refresh: Callable[[], None]) -> None:
        """Call this whenever there is an answer, and when its units or the theme are others."""
        self.changed.connect(refresh)
        self.watch.units_changed.connect(refresh)
        self.place.theme.changed.connect(refresh)

    # -- what a person does --------------------------------------------------------------------

    def look_at(self, key: str) -> None:
        """Look at another range."""
        if key != self._key:
            self._key, self.index = key, 0
            self.refresh()

    def turn_to(self, index: int) -> None:
        """Look at another member."""
        if index != self.index:
            self.index = index
            self.turned.emit()

    def make(self, parent: Line, masses: tuple[float, ...], rods: tuple[float, ...]) -> Sentence:
        """Make a range, and look at it; gives back why not, or nothing."""
        before = {each.key for each in self.ranges}
        outcome = self.place.do(
            edits.make_range, parent.key, masses, rods, is_rounded=True, initiator=self
        )
        for each in self.ranges:
            if each.key not in before:
                self.look_at(each.key)
        return outcome.refused

    def do(self, edit: Callable[..., Edited], *arguments: Any) -> Sentence:
        """Do an edit of the range that is looked at; gives back why not, or nothing."""
        found = self.range
        if found is None:
            return Sentence("Make a range first.")
        outcome: Outcome = self.place.do(edit, found.key, *arguments, initiator=self)
        return outcome.refused

    def type_by_hand(self, cells: Mapping[tuple[int, Column], Any]) -> Sentence:
        """Type into cells of the member that is looked at; gives back why not, or nothing."""
        member = self.member
        if member is None:
            return NOTHING
        return self.do(edits.type_by_hand, self.index, member.line, cells)

    # -- keeping up ----------------------------------------------------------------------------

    def _asked(self) -> Question | None:
        found = self.range
        return (
            shop.question_of(self.place.document.bench, found.key, self.system) if found else None
        )

    def _bench_changed(self, change: Change) -> None:
        self.refresh()

    def refresh(self) -> None:
        """Ask for a study where anything that goes into it differs from what was asked last."""
        asked = self._asked()
        before, self.question = self.question, asked
        if asked is None:
            self.place.jobs.cancel(LANE)
            if self.study is not None or before is not None:
                self.study = None
                self.changed.emit()
        elif asked != before:
            self.place.jobs.run(LANE, shop.study, asked, done=self._answered, interim=True)

    def sleep(self) -> None:
        """Want no answer any more; the next refresh asks again."""
        if not self.is_settled:
            self.question = None
            self.place.jobs.cancel(LANE)

    def _answered(self, study: RangeStudy) -> None:
        if self.question is None:
            return
        self.study = study
        self.index = min(self.index, max(0, len(study.rows) - 1))
        self.changed.emit()
