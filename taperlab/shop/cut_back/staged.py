"""A logged cut-back: replayed to where it stands, and planned on from there."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.cut_log import CutBack
from taperlab.model.line import Line
from taperlab.model.rod import Rod, Window
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.physics.trim import scaled_to
from taperlab.shop.cut_back.belief import AS_DESCRIBED, Belief, Measured, Start, begin, replay
from taperlab.shop.cut_back.disagreement import disagreement_in, is_unlike
from taperlab.shop.cut_back.goal import Goal, Limit, NoPlan, goal_of, head_or_none, window_for
from taperlab.shop.cut_back.in_window import said_of_cut, said_of_stop
from taperlab.shop.cut_back.last_weighing import LastWeighing, last_weighing, stop_after
from taperlab.shop.cut_back.one_cut import Plan, cut_at
from taperlab.shop.cut_back.plan import plan_cut
from taperlab.shop.cut_back.readings import doubtful_readings
from taperlab.shop.cut_back.staging import (
    USUAL_RULES,
    Outlook,
    Rules,
    Stage,
    Stop,
    Why,
    stages_ahead,
    stop_at_limit,
)
from taperlab.shop.cut_back.terms import HAIR, SHORTEST_PIECE, Terms, terms_of
from taperlab.shop.cut_back.weighings import Shift, reading_noise, shift_of, sums
from taperlab.shop.errors import CONFIDENT
from taperlab.shop.steps import Steps, finish, part
from taperlab.shop.weighed import weighed
from taperlab.units.finding import Finding, Impossible
from taperlab.units.sentence import OnTape, Sentence


@dataclass(frozen=True, eq=False, slots=True)
class Standing:
    """Where a cut-back stands, whatever it aims at.

    beliefs: before the first cut and after each logged one. uncut, left: the head before the
    first cut and now, as the weighings have them.
    """

    beliefs: tuple[Belief, ...]
    uncut: Line
    left: Line

    @property
    def belief(self) -> Belief:
        """What is known now."""
        return self.beliefs[-1]


def standing(line: Line, job: CutBack, start: Start = AS_DESCRIBED) -> Standing | NoPlan:
    """Replay the log of a cut-back, without a target.

    Gives a :class:`Disagreement` where its weighings cannot all be right.
    """
    head = head_or_none(line)
    if isinstance(head, NoPlan):
        return head
    measured, reading = None, job.first_reading
    try:
        if isinstance(start, Measured):
            measured = begin(head, job.instruments, None, start).head_mass()
            if reading and job.sure and is_unlike(reading, measured, job.instruments):
                # Whoever is sure of this weight says that another head was measured.
                start, measured = AS_DESCRIBED, None
        first = begin(head, job.instruments, reading, start)
    except Impossible as error:
        return NoPlan(Sentence("Nothing can be cut. {why}", why=error.sentence))
    beliefs = replay(first, job.steps)
    described = Profile.of(head).total_mass
    disagreement = disagreement_in(described, job, beliefs, measured)
    if disagreement is not None:
        return disagreement
    if beliefs[-1].length < SHORTEST_PIECE:
        return NoPlan(Sentence("The log has more cut off than the head was long."))
    try:
        return Standing(beliefs, first.line(), beliefs[-1].line())
    except ValueError:
        return NoPlan(
            Sentence(
                "The weighings cannot all be right: a piece of the head would weigh nothing or "
                "less. Check the weights in the log."
            )
        )


FINISHED = (
    Why.DONE,
    Why.TOO_LIGHT,
    Why.TOO_SHORT,
    Why.TOO_SHORT_TO_CUT,
    Why.LOOP_TAKES_MORE,
)
"""Stops after which the loops are made and the head is weighed a last time."""


def finished_head(belief: Belief, terms: Terms, last: LastWeighing | None = None) -> Line | NoPlan:
    """What is left as it leaves the bench, with new loops at the ends that were cut.

    It weighs what the ``last`` weighing read, where there was one that can be right: a file may
    hold one below what the loops alone weigh. Without one it weighs what the others tell.
    """
    made, scale = _made(belief, terms), belief.instruments.scale
    if isinstance(made, NoPlan):
        return made
    if last is not None and last.taken is not None:
        with contextlib.suppress(Impossible):
            noise = reading_noise(belief.instruments)
            return weighed(scaled_to(made, last.taken), CONFIDENT * noise, scale)
    if not belief.readings:
        return made
    return weighed(made, last_weighing(belief, terms, None).plus_minus, scale)


def uncut_head(place: Standing) -> Line:
    """The head before the first cut, as all weighings have it."""
    belief, none = place.belief, np.zeros(1)
    if not belief.readings:
        return place.uncut
    _, error = belief.expected(none, none)
    return weighed(place.uncut, CONFIDENT * float(error[0]), belief.instruments.scale)


def _made(belief: Belief, terms: Terms) -> Line | NoPlan:
    left = belief.line()
    if not belief.slots:
        return left
    front, rear = (HAIR if cut > 0.0 else 0.0 for cut in (belief.front, belief.rear))
    plan = cut_at(left, front, rear, terms)
    return plan.line if isinstance(plan, Plan) else plan


@dataclass(frozen=True, eq=False, slots=True)
class Staged:
    """A staged cut-back as it stands.

    target: weight of the finished head aimed at [kg]. standing: what the log has led to. whole: the
    cut straight to the target from the uncut head; plan: from what is left, or why there is none.
    stages: from the next cut on. stop: why they end. findings: weighings that do not quite fit.
    shift: what head and offcut together are off by each time. last: the weighing of the finished
    head, once nothing more is to be cut off it.
    """

    target: float
    standing: Standing
    whole: Plan | NoPlan
    plan: Plan | NoPlan
    stages: tuple[Stage, ...]
    stop: Stop | None
    findings: tuple[Finding, ...] = ()
    shift: Shift | None = None
    last: LastWeighing | None = None


def staged_cut(
    line: Line,
    job: CutBack,
    rod: Rod | None = None,
    *,
    window: Window | None = None,
    rules: Rules = USUAL_RULES,
    start: Start = AS_DESCRIBED,
) -> Staged | NoPlan:
    """Replay a logged cut-back of a line and plan on from there; ``window``: not the rod's."""
    place = standing(line, job, start)
    if isinstance(place, NoPlan):
        return place
    return finish(plan_on(line, job, place, rod, window=window, rules=rules))


def plan_on(
    line: Line,
    job: CutBack,
    place: Standing,
    rod: Rod | None = None,
    *,
    window: Window | None = None,
    rules: Rules = USUAL_RULES,
) -> Steps[Staged | NoPlan]:
    """Plan on from where a cut-back stands.

    A target length or ratio needs no weighing: it is one cut. A standard size is turned into the
    weight that the head has when the described line, scaled to the first reading, is cut to it.
    """
    terms, head = terms_of(job), head_of(line)
    window = window_for(head, rod, window)
    goal = goal_of(job.target, head, rod, window)
    if isinstance(goal, NoPlan):
        return goal
    whole = plan_cut(_as_weighed(line, head, place, job), job.target, terms, rod, window)
    if isinstance(whole, NoPlan) and (whole.limit or not _is_weight(goal)):
        return whole
    yield 0.2
    target = goal.value if _is_weight(goal) or isinstance(whole, NoPlan) else whole.after.mass
    plan = plan_cut(place.left, job.target, terms, rod, window) if job.steps else whole
    outlook = Outlook(place.belief, target, terms, rules)
    if goal.by_length:
        stages, stop = _one_cut(outlook, plan, goal)
    else:
        stages, stop = yield from part(stages_ahead(place.belief, target, terms, rules), 0.3, 0.8)
        if (
            stages
            and isinstance(plan, NoPlan)
            and plan.limit in (Limit.FRONT_TAPER, Limit.JOINT_STEP)
        ):
            # The stages know the limit on length alone, and would go past the others to the target.
            stages, stop = (), stop_at_limit(outlook, plan.sentence)
    yield 0.8
    if stages and stages[0].last and isinstance(plan, Plan):
        # One cut is left: the plan is that very cut, to the tape's step, not a hair beside it.
        length = rod.length if rod else None
        exact = cut_at(place.left, stages[0].front, stages[0].rear, terms, length)
        plan = replace(exact, findings=plan.findings) if isinstance(exact, Plan) else plan
    whole, plan = (
        said_of_cut(each, window) if isinstance(each, Plan) else each for each in (whole, plan)
    )
    last = None
    if stop is not None and not stages:
        if job.steps and stop.why in FINISHED:
            last = last_weighing(place.belief, terms, job.last_reading, sure=job.sure_last)
            near = None if goal.by_length else outlook.tolerance
            stop = stop_after(stop, last, target, near)
        stop = said_of_stop(stop, target, window)
    doubts = doubtful_readings(Profile.of(head).total_mass, job, place.beliefs)
    shift = shift_of(sums(job), job.instruments)
    return Staged(target, place, whole, plan, stages, stop, doubts, shift, last)


def _is_weight(goal: Goal) -> bool:
    """Whether the goal is the weight of the whole head."""
    return not goal.by_length and goal.weighed_over is None


def _as_weighed(line: Line, head: Line, place: Standing, job: CutBack) -> Line:
    """The line as it is known before the first cut.

    As it was measured, or else as it is described, its head scaled to the first reading.
    """
    if place.beliefs[0].is_measured:
        known = place.uncut
    elif job.first_reading is None:
        return line
    else:
        known = place.beliefs[0].head
    if len(head.segments) == len(line.segments):
        return known
    return replace(line, segments=(*known.segments, *line.segments[len(head.segments) :]))


def _one_cut(
    outlook: Outlook, plan: Plan | NoPlan, goal: Goal
) -> tuple[tuple[Stage, ...], Stop | None]:
    """The one cut to a length, or why none is left to make."""
    belief, trim = outlook.belief, outlook.rules.smallest_trim
    folds = outlook.terms.folds(front=belief.front > 0.0, rear=belief.rear > 0.0)
    length = belief.length - sum(folds)
    over = length - goal.value
    if isinstance(plan, NoPlan) and (plan.limit or over > trim):
        return (), Stop(
            Why.LIMIT if plan.limit else _why_longer(outlook, goal), outlook.off, plan.sentence
        )
    if over < -trim:
        short = Sentence(
            "The head comes to {length} with its loops made, {by} less than the {goal} asked for.",
            length=OnTape(length),
            by=OnTape(-over),
            goal=goal.said,
        )
        return (), Stop(Why.TOO_SHORT, outlook.off, short)
    if isinstance(plan, NoPlan) or (belief.slots and plan.cut_length < trim):
        done = Sentence("The head is as long as asked for once its loop is made.")
        return (), Stop(Why.DONE, outlook.off, done)
    return (outlook.stage(plan.front_cut, plan.rear_cut, last=True),), None


def _why_longer(outlook: Outlook, goal: Goal) -> Why:
    """Why a head that is longer than asked for is not cut on."""
    terms = outlook.terms
    opened = sum(terms.folds(front=terms.cuts_front, rear=terms.cuts_rear))
    return Why.LOOP_TAKES_MORE if outlook.belief.length - opened < goal.value else Why.LIMIT
