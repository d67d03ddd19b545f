"""The way of a cut-back, one step at a time: what is done, what is due, what is still to come."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from taperlab.model.cut_log import CutBack, CutEnd, CutStep
from taperlab.model.line import Line
from taperlab.model.rod import Rod
from taperlab.shop.cut_back.belief import AS_DESCRIBED, Start
from taperlab.shop.cut_back.disagreement import Disagreement
from taperlab.shop.cut_back.goal import NoPlan
from taperlab.shop.cut_back.order import EndCut, in_order
from taperlab.shop.cut_back.staged import Staged, Standing, plan_on, standing
from taperlab.shop.cut_back.staging import Stage, Why
from taperlab.shop.errors import CONFIDENT
from taperlab.shop.steps import finish


class Act(StrEnum):
    """What a person does in one step."""

    WEIGH_FIRST = "weigh the head"
    TELL_ENDS = "tell the ends apart"
    CUT = "cut"
    WEIGH = "weigh head and offcut"
    ASK = "settle which reading is right"
    MAKE_LOOPS = "make the loops"
    WEIGH_LAST = "weigh the finished head"
    FINISHED = "finished"
    STOPPED = "stopped"


AS_TOLD = 0.51
"""A cut within this share of the tape's step of what was told was made as told."""


@dataclass(frozen=True, slots=True)
class Expected:
    """What the scale should read [kg], and how near to that 95 in 100 readings lie [kg]."""

    mass: float
    plus_minus: float


@dataclass(frozen=True, eq=False, slots=True)
class Due:
    """The one step that is due.

    cuts: those of this stage that are still to be made, the next one first; made: how many of them
    are made. stage: the stage that they belong to. head: what the scale should read of the head
    when it is weighed next, no new loops on. offcut: and of what came off [kg].
    """

    act: Act
    cuts: tuple[EndCut, ...] = ()
    made: int = 0
    stage: Stage | None = None
    head: Expected | None = None
    offcut: float | None = None

    @property
    def cut(self) -> EndCut | None:
        """The cut to make now."""
        return self.cuts[0] if self.cuts and self.act is Act.CUT else None


@dataclass(frozen=True, eq=False, slots=True)
class Planned:
    """A stage that was begun: what it was to be, and the head that it was planned on."""

    stage: Stage
    head: Line


def begun_stage(
    line: Line, job: CutBack, rod: Rod | None, start: Start = AS_DESCRIBED
) -> Planned | None:
    """The stage that the last cut belongs to, where nothing was weighed since; else None.

    ``start``: what was known of the line before the first cut.
    """
    if not job.waits:
        return None
    before = replace(job, steps=job.steps[:-1])
    place = standing(line, before, start)
    if isinstance(place, NoPlan):
        return None
    staged = finish(plan_on(line, before, place, rod))
    if not isinstance(staged, Staged) or not staged.stages:
        return None
    return Planned(staged.stages[0], place.left)


def due_in(
    job: CutBack,
    place: Standing | None,
    staged: Staged | NoPlan | None,
    planned: Stage | None,
    *,
    unweighed: bool = False,
) -> Due:
    """The step that is due in a cut-back.

    ``planned``: the stage that a cut not yet weighed belongs to (see :func:`begun_stage`).
    ``unweighed``: go on without the weighing that would be due.
    """
    if isinstance(staged, Disagreement):
        return Due(Act.ASK)
    if not isinstance(staged, Staged) or place is None:
        return Due(Act.STOPPED)
    waits = job.waits
    if waits and not unweighed:
        left = cuts_left(planned, job.steps[-1], job.instruments.tape) if planned else ()
        if left and planned:
            after = Expected(planned.before_loops, planned.plus_minus)
            return Due(Act.CUT, left, made=1, stage=planned, head=after)
        head, offcut = _expected(place)
        return Due(Act.WEIGH, stage=planned, head=head, offcut=offcut)
    known = job.first_reading is not None or job.steps or place.belief.is_measured
    if not known and not (unweighed and staged.stages):
        return Due(Act.WEIGH_FIRST, head=_believed(place))
    if staged.stages:
        stage = staged.stages[0]
        if not job.ends_told and not job.steps:
            return Due(Act.TELL_ENDS, stage=stage)
        cuts = in_order(stage.front, stage.rear, job.instruments.tape)
        head = Expected(stage.before_loops, stage.plus_minus)
        return Due(Act.CUT, cuts, stage=stage, head=head)
    why = staged.stop.why if staged.stop else Why.LIMIT
    if why in (Why.SCALE_TOO_COARSE, Why.NOT_WEIGHED):
        return Due(Act.WEIGH, head=_believed(place))
    if staged.last is None or not job.steps:
        return Due(Act.STOPPED)
    if staged.last.reading is None:
        return Due(Act.MAKE_LOOPS if staged.last.loops else Act.WEIGH_LAST)
    return Due(Act.WEIGH_LAST if staged.last.is_odd else Act.FINISHED)


def cuts_left(planned: Stage, made: CutStep, tape: float) -> tuple[EndCut, ...]:
    """What of a stage is still to be cut after the cuts made; none where they were not as told."""
    left = []
    for each in in_order(planned.front, planned.rear, tape):
        done = made.front if each.end is CutEnd.FRONT else made.rear
        if not done:
            left.append(each)
        elif abs(done - each.mark) > AS_TOLD * tape:
            return ()
    return tuple(left)


def _believed(place: Standing) -> Expected:
    mass, error = place.belief.head_mass()
    return Expected(mass, CONFIDENT * error)


def _expected(place: Standing) -> tuple[Expected, float]:
    before = place.beliefs[-2].head_weight
    head = _believed(place)
    return head, before - head.mass
