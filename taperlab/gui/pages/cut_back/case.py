"""The cut-back of the line in hand as it stands, and the cut that is being tried."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from taperlab.gui.state.document import Document
from taperlab.gui.state.settings import Settings
from taperlab.model.bench import Bench
from taperlab.model.cut_log import CutBack, TargetKind
from taperlab.model.line import Line
from taperlab.physics.head import head_of
from taperlab.shop.analyse import LineAnalysis, RodFit, analyse_line, fit_to_rod
from taperlab.shop.cut_back.goal import NoPlan
from taperlab.shop.cut_back.one_cut import Plan, cut_at
from taperlab.shop.cut_back.staged import Staged, Standing, finished_head, staged_cut, standing
from taperlab.shop.cut_back.staging import Stop, Why
from taperlab.shop.cut_back.terms import SHORTEST_PIECE, Terms, terms_of

ROUNDING = 1e-6
"""What sums of lengths may be off by [m]."""


def cut_back_of(bench: Bench, line: Line | None) -> CutBack | None:
    """The cut-back of a line, the last one if a file holds several."""
    jobs = [job for job in bench.cut_backs if line is not None and job.line == line.key]
    return jobs[-1] if jobs else None


class CutCase(QObject):
    """What the page shows: worked out once a change, and only while it is looked at.

    changed(): another line, cut-back, rod or log. tried(): another cut is tried out; the log and
    the stages are as before.
    """

    changed = Signal()
    tried = Signal()

    def __init__(self, document: Document, settings: Settings) -> None:
        super().__init__()
        self.document = document
        self.settings = settings
        self.line: Line | None = None
        self.job: CutBack | None = None
        self.head: Line | None = None
        self.standing: Standing | None = None
        self.staged: Staged | NoPlan | None = None
        self.trial: Plan | NoPlan | None = None
        self._finished: Line | None = None
        self._after: tuple[Plan, Line] | None = None
        self._seen: tuple[object, ...] | None = None
        self._awake = False
        self._analyses: dict[int, tuple[Line, LineAnalysis]] = {}
        document.changed.connect(self._document_changed)

    # -- what there is -------------------------------------------------------------------------

    @property
    def terms(self) -> Terms:
        """What the cuts do and must respect."""
        return terms_of(self.job) if self.job else Terms()

    @property
    def left(self) -> Line | None:
        """The head as it lies on the bench now, or as it is described before a cut-back."""
        return self.standing.left if self.standing else self.head

    @property
    def plan(self) -> Plan | NoPlan | None:
        """What is shown: the cut being tried, else the cut straight to the target."""
        if self.trial is not None:
            return self.trial
        return self.staged.plan if isinstance(self.staged, Staged) else self.staged

    @property
    def is_trying(self) -> bool:
        """Whether a cut is being tried out."""
        return self.trial is not None

    @property
    def stop(self) -> Stop | None:
        """Why there is no next cut, where there is none."""
        if isinstance(self.staged, Staged) and not self.staged.stages:
            return self.staged.stop
        return None

    @property
    def is_done(self) -> bool:
        """Whether the log has come to the target, or past it."""
        stop = self.stop
        return bool(
            stop
            and self.job
            and self.job.steps
            and stop.why in (Why.DONE, Why.TOO_LIGHT, Why.TOO_SHORT_TO_CUT)
        )

    @property
    def is_weighed(self) -> bool:
        """Whether the scale has said anything yet."""
        return bool(self.standing and self.standing.belief.readings)

    @property
    def after(self) -> Line | None:
        """The head after the cut that is shown; where nothing is left to cut, as it is finished."""
        plan = self.plan
        if isinstance(plan, Plan):
            if self._after is None or self._after[0] is not plan:
                self._after = (plan, head_of(plan.line))
            return self._after[1]
        if self.stop is not None and self.job and self.job.steps and not self.is_trying:
            return self._finished
        return None

    @property
    def most(self) -> float:
        """The longest cut that leaves something to be called a head [m]."""
        if self.left is None:
            return 0.0
        terms = self.terms
        folds = (terms.front_loop.fold if terms.share > 0.0 else 0.0) + (
            terms.rear_loop.fold if terms.share < 1.0 else 0.0
        )
        return max(0.0, self.left.length - folds - SHORTEST_PIECE - ROUNDING)

    @property
    def finished(self) -> Line | None:
        """The head as it leaves the bench, cut ends looped again."""
        return self._finished

    def analysis(self, line: Line) -> LineAnalysis:
        """The analysis of a head, kept for as long as it is shown."""
        known = self._analyses.get(id(line))
        if known is None or known[0] is not line or known[1].water is not self.document.bench.water:
            if len(self._analyses) > 6:
                self._analyses.clear()
            known = (line, analyse_line(line, self.document.bench.water))
            self._analyses[id(line)] = known
        return known[1]

    def fit(self, line: Line) -> RodFit | None:
        """How a head fits the chosen rod."""
        rod = self.document.rod
        return fit_to_rod(self.analysis(line), rod) if rod else None

    # -- changing it ---------------------------------------------------------------------------

    def try_cut(self, length: float) -> None:
        """Try a cut of so much in all [m], shared between the ends as the cut-back says."""
        if self.left is None or self.job is None:
            return
        front, rear = self.terms.split(min(max(length, 0.0), self.most))
        rod = self.document.rod
        self.trial = cut_at(self.left, front, rear, self.terms, rod.length if rod else None)
        self.tried.emit()

    def try_blade(self, position: float, front: bool) -> None:
        """Try the cut whose front or rear blade lies at a position [m from the fly end]."""
        if self.left is None:
            return
        share = self.terms.share
        if front:
            self.try_cut(position / share if share else 0.0)
        else:
            self.try_cut((self.left.length - position) / (1.0 - share) if share < 1.0 else 0.0)

    def back_to_target(self) -> None:
        """Show the cut to the target again."""
        if self.trial is not None:
            self.trial = None
            self.tried.emit()

    # -- keeping up ----------------------------------------------------------------------------

    def wake(self) -> None:
        """Someone looks: catch up, and keep up from now on."""
        self._awake = True
        self.refresh()

    def sleep(self) -> None:
        """Nobody looks."""
        self._awake = False

    def _document_changed(self, _change: object) -> None:
        if self._awake:
            self.refresh()

    def refresh(self) -> None:
        """Work out anew what differs from what was seen last."""
        document = self.document
        line, rod = document.line, document.rod
        job = cut_back_of(document.bench, line)
        seen = (line, job, rod, document.bench.water)
        if self._seen is not None and all(
            one is other for one, other in zip(seen, self._seen, strict=True)
        ):
            return
        self._seen = seen
        self.line, self.job, self.trial = line, job, None
        self.head, self.standing, self.staged = _head(line), None, None
        if line is not None and job is not None and self.head is not None:
            self.staged = staged_cut(line, job, rod)
            if isinstance(self.staged, Staged):
                self.standing = self.staged.standing
            else:
                found = standing(line, job)
                self.standing = found if isinstance(found, Standing) else None
        self._finished = None
        if self.standing is not None and job.steps:
            made = finished_head(self.standing.belief, terms_of(job))
            self._finished = made if isinstance(made, Line) else None
        self.changed.emit()


def _head(line: Line | None) -> Line | None:
    try:
        return head_of(line) if line else None
    except ValueError:
        return None


def needs_rod(kind: TargetKind) -> bool:
    """Whether a target is worked out on the chosen rod."""
    return kind in (TargetKind.WINDOW, TargetKind.RATIO)
