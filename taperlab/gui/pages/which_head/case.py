"""What was answered and which head suits it; the page's views look at this alone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal

from taperlab.edits.lines import add_begun_line
from taperlab.edits.which_head import set_answers
from taperlab.files.problem import FileProblem
from taperlab.files.reasons import load_reasons
from taperlab.gui.kit.host import Workplace
from taperlab.gui.state.document import Change
from taperlab.gui.state.watch import Watch
from taperlab.model.bench import Bench
from taperlab.model.which_head import Answers
from taperlab.shop.which_head.changes import Change as Other
from taperlab.shop.which_head.changes import changes
from taperlab.shop.which_head.fit import HeadFit, heads_that_are_there
from taperlab.shop.which_head.starting import start_of
from taperlab.shop.which_head.study import Advice, HeadChoice, check_rod, study
from taperlab.trade.reasons import shipped_reasons
from taperlab.units.finding import Impossible
from taperlab.units.sentence import NOTHING, Sentence

if TYPE_CHECKING:
    from taperlab.gui.paper.layout.blocks import Sheet

CANNOT_READ = Sentence("Until that is put right, the reasons that come with the program count.")


class WhichCase(QObject):
    """Follows the bench and works out at once which head suits.

    found: None where there is no rod that heads are chosen for, which ``problem`` says.
    others: other answers that would change it. table_problem: what is wrong with a shop's own
    table of reasons. changed(): any of it is another.
    """

    changed = Signal()

    def __init__(self, place: Workplace, watch: Watch, parent: QObject) -> None:
        super().__init__(parent)
        self.place, self.watch = place, watch
        self.found: HeadChoice | None = None
        self.others: tuple[Other, ...] = ()
        self.problem = NOTHING
        self.table_problem = NOTHING
        self._reasons = shipped_reasons()
        self._read_table()
        self._work_out()
        watch.changed.connect(self._bench_changed)

    # -- what there is -------------------------------------------------------------------------

    @property
    def answers(self) -> Answers:
        """What was answered, as the bench has it now."""
        return self.place.document.bench.answers

    @property
    def is_advised(self) -> bool:
        """Whether there is a head to advise: something was answered, and not all is ruled out."""
        return self.found is not None and self.found.is_answered and bool(self.found.winners)

    def follow(self, refresh: Callable[[], None]) -> None:
        """Call this now, and whenever what suits, the units or the theme are others."""
        self.changed.connect(refresh)
        self.watch.units_changed.connect(refresh)
        self.place.theme.changed.connect(refresh)
        refresh()

    def heads(self) -> tuple[HeadFit, ...]:
        """How the heads on the bench fit, the best first."""
        if self.found is None:
            return ()
        bench = self.place.document.bench
        return heads_that_are_there(bench.lines, self.found, bench.water)

    def sheet(self) -> Sheet | Sentence:
        """What suits, on paper, or why there is nothing to print."""
        from taperlab.gui.paper.which_head_sheet import which_head_sheet

        if self.found is None:
            return self.problem
        if not self.found.is_answered:
            return Sentence("Answer a question first: there is nothing to print.")
        return which_head_sheet(self.found, self.others)

    # -- what a person does --------------------------------------------------------------------

    def answer(self, **told: Any) -> bool:
        """Answer a question, by its name in :class:`Answers`."""
        return bool(self.place.do(set_answers, replace(self.answers, **told), initiator=self))

    def clear(self) -> None:
        """Take all answers back."""
        self.place.do(set_answers, Answers(extra=self.answers.extra), initiator=self)

    def lay(self, advice: Advice) -> str | None:
        """Put a head that is advised on the bench; its key, or None, and the reason is told."""
        if self.found is None:
            return None
        document = self.place.document
        try:
            begun = start_of(advice, self.found.rod, document.bench, self.place.system)
        except Impossible as no:
            self.place.host.say_problem(no.sentence)
            return None
        outcome = self.place.do(add_begun_line, begun.line, initiator=self)
        line = document.line
        return line.key if outcome and line is not None else None

    def read_table(self) -> None:
        """Read a shop's own reasons anew: they may have been edited meanwhile."""
        before = self._reasons, self.table_problem
        self._read_table()
        if (self._reasons, self.table_problem) != before:
            self._work_out()
            self.changed.emit()

    # -- keeping up ----------------------------------------------------------------------------

    def _bench_changed(self, change: Change) -> None:
        if _asked(change.before) != _asked(change.after):
            self._work_out()
            self.changed.emit()

    def _read_table(self) -> None:
        try:
            self._reasons, self.table_problem = load_reasons(), NOTHING
        except FileProblem as problem:
            self._reasons, self.table_problem = shipped_reasons(), problem.sentence

    def _work_out(self) -> None:
        bench = self.place.document.bench
        try:
            rod = check_rod(bench.chosen_rod)
        except Impossible as no:
            self.found, self.others, self.problem = None, (), no.sentence
            return
        self.problem = NOTHING
        self.found = study(rod, bench.answers, bench.behind, self._reasons)
        self.others = changes(self.found, bench.behind, self._reasons, bench.rods)


def _asked(bench: Bench) -> tuple[object, ...]:
    """All of a bench that the answer hangs on."""
    return bench.answers, bench.rods, bench.rod, bench.behind
