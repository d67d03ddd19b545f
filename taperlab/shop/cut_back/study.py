"""All that a page or a sheet shows of a cut-back, worked out from values alone."""

from __future__ import annotations

from dataclasses import dataclass, replace

from taperlab.model.cut_log import CutBack
from taperlab.model.line import Line
from taperlab.model.measurement import Measurement
from taperlab.model.rod import Rod
from taperlab.model.water import Water
from taperlab.shop.analyse import LineAnalysis, analyse_line
from taperlab.shop.cut_back import words
from taperlab.shop.cut_back.disagreement import Disagreement
from taperlab.shop.cut_back.goal import NoPlan, head_or_none
from taperlab.shop.cut_back.last_weighing import LastWeighing, cannot_see
from taperlab.shop.cut_back.one_cut import Figures, Plan, cut_at
from taperlab.shop.cut_back.order import EndCut, in_order
from taperlab.shop.cut_back.plan import broken_limits, goes_into_front_taper
from taperlab.shop.cut_back.readings import slip_of_head, slip_of_offcut
from taperlab.shop.cut_back.staged import (
    Staged,
    Standing,
    finished_head,
    plan_on,
    standing,
    uncut_head,
)
from taperlab.shop.cut_back.staging import Stage, Stop, Why
from taperlab.shop.cut_back.start import known_start, start_doubt
from taperlab.shop.cut_back.terms import Terms, terms_of
from taperlab.shop.cut_back.way import Act, Due, Planned, begun_stage, due_in
from taperlab.shop.cut_back.weighings import Shift
from taperlab.shop.on_rod import RodFit, fit_to_rod
from taperlab.shop.steps import Steps, finish, part
from taperlab.units.finding import Finding, Level
from taperlab.units.sentence import OnTape, Sentence, Weight, counted

ROUNDING = 1e-6
"""What sums of lengths may be off by [m]."""


@dataclass(frozen=True, eq=False, slots=True)
class State:
    """A head as it is at one time: its figures, and how it fits the chosen rod."""

    analysis: LineAnalysis
    fit: RodFit | None

    @property
    def line(self) -> Line:
        """The head; a whole line that has none in one piece."""
        return self.analysis.line

    @property
    def mass(self) -> float:
        """Its mass [kg], loops and sleeves included."""
        return self.analysis.head.mass if self.analysis.head else self.analysis.mass

    @property
    def length(self) -> float:
        """Loop to loop [m]."""
        return self.analysis.head.length if self.analysis.head else self.analysis.length


@dataclass(frozen=True, eq=False, slots=True)
class Logged:
    """A logged step in words: what was cut, what the scale said, and what does not fit of it."""

    title: Sentence
    detail: Sentence
    doubts: tuple[Sentence, ...]


@dataclass(frozen=True, eq=False, slots=True)
class Trial:
    """A cut that is tried out: what it would leave, and what is to be said against it."""

    plan: Plan | NoPlan
    after: State | None
    findings: tuple[Finding, ...]


@dataclass(frozen=True, eq=False, slots=True)
class Study:
    """A cut-back studied.

    line, job, rod, water, measurement: what was asked. described: the head as the line has it, None
    where it has none in one piece. standing: where the log has led; None where it cannot be
    followed, or where nothing is being cut. uncut, left: the head before the first cut and now, as
    the weighings have them. staged: the stages to come, or why there are none; None without a
    cut-back. finished: the head as it leaves
    the bench, once a cut is logged. log: every logged step in words. begun: the stage of a cut that
    is not weighed yet. then: figures of the head after the stage that is begun or due. trial: a cut
    that is tried out. start_doubt: why it does not start as it was measured, though it was.
    """

    line: Line | None
    job: CutBack | None
    rod: Rod | None
    water: Water
    measurement: Measurement | None = None
    described: State | None = None
    standing: Standing | None = None
    uncut: State | None = None
    left: State | None = None
    staged: Staged | NoPlan | None = None
    finished: State | None = None
    log: tuple[Logged, ...] = ()
    begun: Planned | None = None
    then: Figures | None = None
    trial: Trial | None = None
    start_doubt: Sentence | None = None

    def due(self, *, unweighed: bool = False) -> Due:
        """The one step that is due; ``unweighed``: with no weighing first."""
        if self.job is None:
            return Due(Act.STOPPED)
        begun = self.begun.stage if self.begun else None
        return due_in(self.job, self.standing, self.staged, begun, unweighed=unweighed)

    @property
    def terms(self) -> Terms:
        """What the cuts do and must respect."""
        return terms_of(self.job) if self.job else Terms()

    @property
    def stages(self) -> tuple[Stage, ...]:
        """The cuts still to come, the one that is due first."""
        return self.staged.stages if isinstance(self.staged, Staged) else ()

    @property
    def work(self) -> tuple[EndCut, ...]:
        """The cuts that are due, in the order of work; none where nothing is to be cut now."""
        if not self.stages or self.job is None:
            return ()
        due = self.stages[0]
        return in_order(due.front, due.rear, self.job.instruments.tape)

    @property
    def stop(self) -> Stop | None:
        """Why there is no next cut, where there is none."""
        if isinstance(self.staged, Staged) and not self.staged.stages:
            return self.staged.stop
        return None

    @property
    def disagreement(self) -> Disagreement | None:
        """Weighings that cannot all be right: the question that comes before anything else."""
        return self.staged if isinstance(self.staged, Disagreement) else None

    @property
    def shift(self) -> Shift | None:
        """What head and offcut together are off by each time, where they are off alike."""
        return self.staged.shift if isinstance(self.staged, Staged) else None

    @property
    def last(self) -> LastWeighing | None:
        """The weighing of the finished head, once nothing more is to be cut off it."""
        return self.staged.last if isinstance(self.staged, Staged) else None

    @property
    def is_weighed_last(self) -> bool:
        """Whether the finished head was weighed, its loops on, and that may be right."""
        return self.last is not None and self.last.taken is not None

    @property
    def cannot_see(self) -> tuple[Sentence, ...]:
        """What no weighing on the bench shows."""
        if not isinstance(self.staged, Staged):
            return ()
        return cannot_see(self.staged.target, self.terms)

    @property
    def plan(self) -> Plan | NoPlan | None:
        """What is shown: the cut being tried, else the cut straight to the target."""
        if self.trial is not None:
            return self.trial.plan
        return self.staged.plan if isinstance(self.staged, Staged) else self.staged

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is to be said of the cut that is shown."""
        if self.trial is not None:
            return self.trial.findings
        return self.plan.findings if isinstance(self.plan, Plan) else ()

    @property
    def is_done(self) -> bool:
        """Whether the log has come to the target, or past it."""
        return bool(self.stop and self.log and self.stop.why.is_final)

    @property
    def can_finish(self) -> bool:
        """Whether the cut head may go on the bench: no cut is due, and no weighing in doubt."""
        return bool(self.finished and self.stop and self.stop.why is not Why.WEIGH_FINISHED_AGAIN)

    @property
    def is_weighed(self) -> bool:
        """Whether the scale has said anything yet."""
        return bool(self.standing and self.standing.belief.readings)

    @property
    def first_doubts(self) -> tuple[Sentence, ...]:
        """What does not fit of the weighing before the first cut."""
        return _doubts(self.staged, None)

    @property
    def most(self) -> float:
        """The longest cut that leaves something to be called a head [m]."""
        if self.left is None:
            return 0.0
        return max(0.0, self.terms.most(self.left.line.length) - ROUNDING)

    def slip_of_head(self, reading: float) -> Sentence | None:
        """Why a reading of the head that is due [kg] is not taken."""
        expected = self.due().head
        if self.standing is None or expected is None:
            return None
        return slip_of_head(reading, self._before_cut, expected.mass)

    def slip_of_offcut(self, reading: float) -> Sentence | None:
        """Why a reading of the offcut that is due [kg] is not taken."""
        if self.standing is None:
            return None
        return slip_of_offcut(reading, self._before_cut)

    @property
    def waits(self) -> bool:
        """Whether something was cut that no scale has seen yet."""
        return self.job is not None and self.job.waits

    @property
    def _before_cut(self) -> float:
        """What the head weighed before the cut that is to be weighed [kg]."""
        if self.standing is None:
            return 0.0
        return self.standing.beliefs[-2 if self.waits else -1].head_weight

    @property
    def story(self) -> Sentence:
        """What was done to the finished head, for its note. Raises ValueError before a cut."""
        if self.uncut is None or self.finished is None:
            raise ValueError("nothing was cut")
        return counted(
            "Cut back from {before} to {after} and {mass}, in {count} cut.",
            "Cut back from {before} to {after} and {mass}, in {count} cuts.",
            len(self.log),
            before=OnTape(self.uncut.line.length),
            after=OnTape(self.finished.line.length),
            mass=Weight(self.finished.mass),
        )


def study(
    line: Line | None,
    job: CutBack | None,
    rod: Rod | None,
    water: Water,
    measurement: Measurement | None = None,
) -> Steps[Study]:
    """Study a cut-back, or a line that none is begun of; yields how far along it is, 0 to 1.

    ``measurement``: of the line, if it was measured.
    """
    studied = Study(line, job, rod, water, measurement)
    head = head_or_none(line) if line else None
    if line is None or not isinstance(head, Line):
        return studied
    described = _state(head, rod, water)
    studied = replace(studied, described=described, left=described)
    if job is None:
        return studied
    yield 0.2
    start = known_start(measurement, line)
    studied = replace(studied, start_doubt=start_doubt(measurement, line))
    place = standing(line, job, start)
    if isinstance(place, Disagreement):
        # What the head weighs is in question, so none of its figures is shown.
        return replace(studied, staged=place, left=None, log=_log(job, None, place))
    if isinstance(place, NoPlan):
        # Once something is logged, the head as it is described is not what is left of it.
        left = None if job.steps else described
        return replace(studied, staged=place, left=left, log=_log(job, None, place))
    yield 0.4
    staged = yield from part(plan_on(line, job, place, rod), 0.4, 0.6)
    yield 0.6
    uncut = _state(uncut_head(place), rod, water)
    yield 0.7
    left = _state(place.left, rod, water) if job.steps else uncut
    yield 0.8
    last = staged.last if isinstance(staged, Staged) else None
    made = finished_head(place.belief, terms_of(job), last) if job.steps else None
    yield 0.9
    begun = begun_stage(line, job, rod, start)
    return replace(
        studied,
        begun=begun,
        then=_then(begun or _next(staged, place), job, rod),
        standing=place,
        uncut=uncut,
        left=left,
        staged=staged,
        finished=_state(made, rod, water) if isinstance(made, Line) else None,
        log=_log(job, place, staged),
    )


def _next(staged: Staged | NoPlan, place: Standing) -> Planned | None:
    if not isinstance(staged, Staged) or not staged.stages:
        return None
    return Planned(staged.stages[0], place.left)


def _then(planned: Planned | None, job: CutBack, rod: Rod | None) -> Figures | None:
    """Figures of the head after a stage, its loops made."""
    if planned is None:
        return None
    stage, length = planned.stage, rod.length if rod else None
    plan = cut_at(planned.head, stage.front, stage.rear, terms_of(job), length)
    return plan.after if isinstance(plan, Plan) else None


def study_now(
    line: Line | None,
    job: CutBack | None,
    rod: Rod | None,
    water: Water,
    measurement: Measurement | None = None,
) -> Study:
    """The whole study at once, for paper."""
    return finish(study(line, job, rod, water, measurement))


def _state(head: Line, rod: Rod | None, water: Water) -> State:
    analysis = analyse_line(head, water)
    return State(analysis, fit_to_rod(analysis, rod))


def _log(job: CutBack, place: Standing | None, staged: Staged | NoPlan) -> tuple[Logged, ...]:
    return tuple(
        Logged(
            *words.logged(i + 1, step, place.beliefs[i + 1] if place else None), _doubts(staged, i)
        )
        for i, step in enumerate(job.steps)
    )


def _doubts(staged: Staged | NoPlan | None, step: int | None) -> tuple[Sentence, ...]:
    if isinstance(staged, Disagreement) and staged.step == step:
        return (staged.sentence,) if staged.hint is None else (staged.sentence, staged.hint)
    found = staged.findings if isinstance(staged, Staged) else ()
    return tuple(each.sentence for each in found if each.segment == step)


# -- trying ------------------------------------------------------------------------------------


def try_cut(studied: Study, length: float) -> Study:
    """Try a cut of so much in all [m], shared between the ends as the cut-back says.

    One cut on the head as it is left: fast enough to follow a blade that is dragged.
    """
    left, terms = studied.left, studied.terms
    if left is None or studied.job is None:
        return studied
    front, rear = terms.split(min(max(length, 0.0), studied.most))
    rod = studied.rod
    plan = cut_at(left.line, front, rear, terms, rod.length if rod else None)
    if isinstance(plan, NoPlan):
        return replace(studied, trial=Trial(plan, None, ()))
    front_fold, rear_fold = terms.folds(front=plan.front_cut > 0.0, rear=plan.rear_cut > 0.0)
    over = goes_into_front_taper(
        left.line, plan.front_blade + front_fold, plan.rear_blade - rear_fold
    )
    broken = broken_limits(terms, plan.after, into_front_taper=max(over) > ROUNDING)
    findings = plan.findings + tuple(Finding(Level.CAUTION, why) for _, why in broken)
    return replace(studied, trial=Trial(plan, _state(plan.line, rod, studied.water), findings))


def without_trial(studied: Study) -> Study:
    """The study with no cut tried out."""
    return replace(studied, trial=None)


def try_blade(studied: Study, position: float, *, front: bool) -> Study:
    """Try the cut whose blade, at the fly end or the rod end, lies so far from the fly end [m].

    Nothing changes where the terms do not cut that end.
    """
    share = studied.terms.share if front else 1.0 - studied.terms.share
    if studied.left is None or share <= 0.0:
        return studied
    off = position if front else studied.left.line.length - position
    return try_cut(studied, off / share)
