"""The head in hand with its tips and what is known of them; the page's views look at this alone."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QObject, Signal

from taperlab.edits.rigs import make_rig
from taperlab.gui.kit.host import Workplace
from taperlab.gui.plots.styles import Dash, overlay_style
from taperlab.gui.state.document import Change
from taperlab.gui.state.watch import Watch
from taperlab.model.line import Line
from taperlab.shop.tips import study as shop
from taperlab.shop.tips.study import Question, TipRow, TipsStudy
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence

LANE = "tips"


class TipsCase(QObject):
    """Follows the bench, asks for a study of its tips, keeps the last answer.

    What is shown stays until another answer comes. changed(): another answer is here, or there is
    no head any more. laid(): other tips are laid over.
    """

    changed = Signal()
    laid = Signal()

    def __init__(self, place: Workplace, watch: Watch, parent: QObject) -> None:
        super().__init__(parent)
        self.place = place
        self.watch = watch
        self.study: TipsStudy | None = None
        self.question: Question | None = None
        watch.changed.connect(self._bench_changed)

    # -- what there is -------------------------------------------------------------------------

    @property
    def system(self) -> System:
        """The units shown."""
        return self.place.system

    @property
    def is_settled(self) -> bool:
        """Whether what is shown is of the bench as it is now."""
        asked = shop.question_of(self.place.document.bench)
        if asked is None or self.study is None:
            return asked is None and self.study is None
        return asked.is_like(self.study.question)

    @property
    def heads(self) -> tuple[Line, ...]:
        """The lines of the bench that tips can be looped to."""
        return shop.heads_of(self.place.document.bench)

    @property
    def chosen(self) -> tuple[TipRow, ...]:
        """The tips laid over, in the order of the bench."""
        if self.study is None:
            return ()
        laid = self.place.document.bench.view.overlays
        return tuple(row for row in self.study.rows if row.line.key in laid)

    @property
    def shown(self) -> tuple[TipRow, ...]:
        """The tips that are drawn: those laid over, or the deepest that does not hinge."""
        best = self.study.best if self.study is not None else None
        return self.chosen or ((best,) if best is not None else ())

    def style(self, row: TipRow) -> tuple[str, Dash]:
        """Colour and dash of a tip."""
        return overlay_style(self.place.document, row.line, self.place.theme.tokens)

    def study_now(self) -> TipsStudy | None:
        """The study of the bench as it is now, worked out at once if need be: for paper."""
        if self.is_settled:
            return self.study
        asked = shop.question_of(self.place.document.bench)
        return shop.study_now(asked) if asked is not None else None

    def follow(self, refresh: Callable[[], None]) -> None:
        """Call this whenever there is an answer, and when its units or the theme are others."""
        self.changed.connect(refresh)
        self.watch.units_changed.connect(refresh)
        self.place.theme.changed.connect(refresh)

    # -- what a person does --------------------------------------------------------------------

    def lay_over(self, keys: Sequence[str]) -> None:
        """Lay these tips over the head and no others; lines that are no tips stay as they are."""
        bench = self.place.document.bench
        tips = {row.line.key for row in self.study.rows} if self.study is not None else set()
        wanted = (set(bench.view.overlays) - tips) | set(keys)
        ordered = tuple(line.key for line in bench.lines if line.key in wanted)
        self.place.document.look(overlays=ordered, initiator=self)

    def choose_head(self, head: Line) -> None:
        """Loop the tips to another head: the line in hand."""
        self.place.document.look(line=head.key, initiator=self)

    def keep_as_rig(self, row: TipRow | None) -> None:
        """Keep a tip on the head as a rig of the bench."""
        if self.study is None or row is None:
            self.place.host.say_problem(Sentence("Choose the tip that the rig is to have."))
            return
        head = self.study.question.head
        self.place.do(make_rig, head.key, (row.line.key,), initiator=self)

    def see_in_water(self, row: TipRow | None) -> None:
        """Turn to the page Water, where this tip on the head is looked at."""
        host = self.place.host
        if self.study is None or row is None:
            host.show_page("water")
            return
        head = self.study.question.head
        self.place.document.look(line=head.key, initiator=self)
        host.show_page("water", (row.line.key, head.key))

    # -- keeping up ----------------------------------------------------------------------------

    def _bench_changed(self, change: Change) -> None:
        self.refresh()
        if change.before.view.overlays != change.after.view.overlays:
            self.laid.emit()

    def refresh(self) -> None:
        """Ask for a study where anything that goes into it differs from what was asked last."""
        asked = shop.question_of(self.place.document.bench)
        before, self.question = self.question, asked
        if asked is None:
            self.place.jobs.cancel(LANE)
            if self.study is not None or before is not None:
                self.study = None
                self.changed.emit()
        elif not asked.is_like(before):
            self.place.jobs.run(LANE, shop.study, asked, self.study, done=self._answered)

    def sleep(self) -> None:
        """Want no answer any more; the next refresh asks again."""
        if not self.is_settled:
            self.question = None
            self.place.jobs.cancel(LANE)

    def _answered(self, study: TipsStudy) -> None:
        self.study = study
        self.changed.emit()
