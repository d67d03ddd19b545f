"""A cut-back in stages: leave a margin, cut, weigh, look again; the last trim is a short one."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from taperlab.model.cut_log import CutBack, CutStep
from taperlab.model.exact_units import GRAIN, INCH
from taperlab.model.line import Line
from taperlab.model.rod import Rod
from taperlab.physics.frustum import Array
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.shop.cut_back.belief import USUAL_DRIFT, Belief, Drift, begin, replay
from taperlab.shop.cut_back.finish import WRONG_WEIGHINGS
from taperlab.shop.cut_back.goal import Goal, NoPlan, goal_of
from taperlab.shop.cut_back.plan import SHORTEST_PIECE, Plan, cut_at, plan_cut
from taperlab.shop.cut_back.readings import doubtful_readings
from taperlab.shop.cut_back.terms import Terms, terms_of
from taperlab.shop.measure.instruments import rounding_error
from taperlab.shop.words import feet, grains
from taperlab.units.finding import Finding, Impossible
from taperlab.units.sentence import Sentence, verbatim

CONFIDENT = 1.96
"""Standard deviations within which 95 in 100 results lie (normal distribution)."""

MOST_STAGES = 8


@dataclass(frozen=True, slots=True)
class Rules:
    """When to stop and how careful to be.

    A head within the larger of ``share`` of the target and ``mass`` [kg] is near enough; with
    ``exact`` it is trimmed on as long as scale and blade can settle it. smallest_trim: shortest
    cut worth making [m]. unlucky: how many standard deviations of bad luck the margin covers.
    """

    share: float = 0.01
    mass: float = 3.0 * GRAIN
    smallest_trim: float = INCH / 4.0
    unlucky: float = 3.0
    exact: bool = True

    def tolerance(self, target: float) -> float:
        """How far from the target is near enough [kg]."""
        return max(self.share * target, self.mass)


USUAL_RULES = Rules()


@dataclass(frozen=True, slots=True)
class Stage:
    """The next cut. front, rear: lengths off each end, to the tape's step [m].

    expected: the head's weight after it with its loops made [kg]; plus_minus: 95 in 100 results
    lie so near [kg]. before_loops: what the scale should read before new loops are made [kg].
    last: whether it goes straight to the target, without a margin. optional: whether the head is
    near enough already, so that one may as well stop.
    """

    front: float
    rear: float
    expected: float
    plus_minus: float
    before_loops: float
    last: bool
    optional: bool

    @property
    def length(self) -> float:
        """Length cut in all [m]."""
        return self.front + self.rear


class Why(StrEnum):
    """Why there is no next cut."""

    DONE = "done"
    TOO_LIGHT = "too light"
    TOO_SHORT_TO_CUT = "too short to cut"
    NOT_WEIGHED = "not weighed"
    SCALE_TOO_COARSE = "scale too coarse"
    LIMIT = "limit"


@dataclass(frozen=True, slots=True)
class Stop:
    """No next cut: why, how far off the target the head is [kg], and a sentence that says so."""

    why: Why
    off: float
    sentence: Sentence


def added_by_loops(belief: Belief, terms: Terms) -> float:
    """Mass [kg] that new loops will add to what the scale reads now, at the ends to be cut."""
    share = terms.share
    return (terms.front_loop.mass if share > 0.0 or belief.front > 0.0 else 0.0) + (
        terms.rear_loop.mass if share < 1.0 or belief.rear > 0.0 else 0.0
    )


def _old_loops(belief: Belief, terms: Terms) -> float:
    """Mass [kg] of old loops that are still on and come off with the next cut."""
    share = terms.share
    now = belief.fixed_mass(belief.front, belief.rear)
    hair = 1e-7
    front = belief.front + (hair if share > 0.0 else 0.0)
    rear = belief.rear + (hair if share < 1.0 else 0.0)
    return now - belief.fixed_mass(front, rear)


def _most(belief: Belief, terms: Terms) -> float:
    """Longest length [m] that may still come off."""
    folds = (terms.front_loop.fold if terms.share > 0.0 else 0.0) + (
        terms.rear_loop.fold if terms.share < 1.0 else 0.0
    )
    return belief.length - folds - max(SHORTEST_PIECE, terms.limits.shortest)


def _weights(belief: Belief, terms: Terms, cuts: Array) -> tuple[Array, Array]:
    """Mean [kg] and standard deviation of the head's weight after each cut, new loops on."""
    front = belief.front + terms.share * cuts
    rear = belief.rear + (1.0 - terms.share) * cuts
    means, variances = belief.expected(front, rear)
    if len(belief.profile.point_masses):
        fixed = np.array(
            [belief.fixed_mass(float(f), float(r)) for f, r in zip(front, rear, strict=True)]
        )
    else:
        hair = np.array([1e-7])
        fixed = np.full(
            len(cuts),
            belief.fixed_mass(
                float(belief.front + terms.share * hair[0]),
                float(belief.rear + (1.0 - terms.share) * hair[0]),
            ),
        )
    return means + fixed + added_by_loops(belief, terms), np.sqrt(_floored(variances, belief))


def _longest_above(
    belief: Belief, terms: Terms, floor: float, unlucky: float, most: float
) -> float:
    """The longest cut after which the head, at the unlucky end, is not below ``floor`` [kg].

    0 where even the shortest cut would be. Two looks: along all that is left, then close up.
    """
    low, high = 0.0, most
    for count in (65, 33, 17):
        cuts = np.linspace(low, high, count)
        cuts[0] = max(cuts[0], 1e-7)
        means, errors = _weights(belief, terms, cuts)
        below = np.flatnonzero(means - unlucky * errors < floor)
        if not len(below):
            return high
        first = int(below[0])
        if first == 0:
            return low
        low, high = float(cuts[first - 1]), float(cuts[first])
    return low


def next_stage(
    belief: Belief, target: float, terms: Terms, rules: Rules = USUAL_RULES
) -> Stage | Stop:
    """The next cut toward a finished head of ``target`` [kg], or why there is none.

    If a cut straight to the target would land within the tolerance even with bad luck, it is the
    last one. Else the cut leaves a margin: as long as it may be without the head falling below
    the target at the unlucky end of what is known.
    """
    tolerance = rules.tolerance(target)
    weight, error = belief.head_mass()
    # Near enough means near enough even if the scale was a little off.
    near = max(0.0, tolerance - 2.0 * error)
    finished = weight - _old_loops(belief, terms) + added_by_loops(belief, terms)
    off = finished - target
    most = _most(belief, terms)
    tape = belief.instruments.tape
    if off < -tolerance:
        return Stop(
            Why.TOO_LIGHT,
            off,
            verbatim(f"The head is {grains(-off)} below the target; nothing more to cut."),
        )
    if off <= near and not (rules.exact and off > 0.0):
        return _done(off)
    if most <= 0.0:
        return Stop(Why.LIMIT, off, verbatim(_limit_sentence(terms, off)))
    straight = _longest_above(belief, terms, target, 0.0, most)
    _, errors = _weights(belief, terms, np.array([max(straight, 1e-7)]))
    unlucky = rules.unlucky * float(errors[0])
    safe = unlucky <= (
        min(tolerance, _sharp(belief, terms, straight, rules)) if rules.exact else tolerance
    )
    cut = straight if safe else _longest_above(belief, terms, target, rules.unlucky, most)
    if cut < rules.smallest_trim and unlucky <= tolerance:
        safe, cut = True, straight
    count = 2 if 0.0 < terms.share < 1.0 else 1
    parts = [
        (math.floor(part / tape + 1e-9) if not safe else round(part / tape)) * tape
        for part in terms.split(min(cut, most))
    ]
    cut = sum(parts)
    if cut < max(rules.smallest_trim, count * tape / 2.0):
        if abs(off) <= tolerance:
            return _done(off)
        if safe:
            return Stop(
                Why.TOO_SHORT_TO_CUT,
                off,
                verbatim(
                    f"The head is {grains(off)} above the target; the cut that is left is shorter "
                    f"than {feet(rules.smallest_trim)}."
                ),
            )
        if not belief.readings:
            return Stop(
                Why.NOT_WEIGHED,
                off,
                Sentence(
                    "The description alone is not known well enough to cut on: weigh the head first."
                ),
            )
        if straight >= most:
            return Stop(Why.LIMIT, off, verbatim(_limit_sentence(terms, off)))
        return Stop(
            Why.SCALE_TOO_COARSE,
            off,
            verbatim(
                f"The head is about {grains(off)} above the target, but that is not known well enough "
                "to cut on: weigh the head and the offcut, on a finer scale if need be."
            ),
        )
    front, rear = parts
    expected, error = _weights_at(belief, terms, front, rear)
    return Stage(
        front=front,
        rear=rear,
        expected=expected,
        plus_minus=CONFIDENT * error,
        before_loops=expected - added_by_loops(belief, terms),
        last=safe,
        optional=off <= near,
    )


def _sharp(belief: Belief, terms: Terms, cut: float, rules: Rules) -> float:
    """What the scale's step and the smallest trim can settle [kg]."""
    front, rear = terms.split(cut)
    blades = np.array([belief.front + front, belief.profile.length - belief.rear - rear])
    heaviest = float(belief.profile.linear_density(blades).max())
    return belief.instruments.scale + heaviest * rules.smallest_trim


def _weights_at(belief: Belief, terms: Terms, front: float, rear: float) -> tuple[float, float]:
    first, last = belief.front + front, belief.rear + rear
    means, variances = belief.expected(np.array([first]), np.array([last]))
    fixed = belief.fixed_mass(first, last) + added_by_loops(belief, terms)
    return float(means[0]) + fixed, math.sqrt(float(_floored(variances, belief)[0]))


def _floored(variances: Array, belief: Belief) -> Array:
    # Readings of nearly the same weight round alike, so repeating them never beats one rounding.
    return np.maximum(variances, rounding_error(belief.instruments.scale) ** 2)


def _done(off: float) -> Stop:
    if abs(off) < 0.05 * GRAIN:
        return Stop(Why.DONE, off, Sentence("The head is at the target."))
    side = "above" if off > 0.0 else "below"
    return Stop(
        Why.DONE, off, verbatim(f"The head is {grains(abs(off))} {side} the target: near enough.")
    )


def _limit_sentence(terms: Terms, off: float) -> str:
    return (
        f"The head is {grains(off)} above the target, but the shortest head allowed, "
        f"{feet(max(terms.limits.shortest, SHORTEST_PIECE))}, is reached."
    )


def stages_ahead(
    belief: Belief, target: float, terms: Terms, rules: Rules = USUAL_RULES
) -> tuple[tuple[Stage, ...], Stop | None]:
    """The stages still to come if every weighing reads what is expected, and how they end.

    Each stage's plus_minus is the one that will hold when its cut is due, the weighings before it
    being in: for a normal prior it does not depend on what they read.
    """
    out: list[Stage] = []
    for _ in range(MOST_STAGES):
        stage = next_stage(belief, target, terms, rules)
        if isinstance(stage, Stop):
            return tuple(out), stage
        out.append(stage)
        before, _ = belief.head_mass()
        step = CutStep(
            front=stage.front,
            rear=stage.rear,
            head=stage.before_loops,
            offcut=before - stage.before_loops,
        )
        belief = belief.after(step)
    return tuple(out), None


@dataclass(frozen=True, eq=False, slots=True)
class Staged:
    """A staged cut-back as it stands.

    target: weight of the finished head aimed at [kg]. beliefs: before the first cut and after
    each logged step. line: what is left, as the weighings have it. plan: the cut straight to the
    target from there, or why there is none. stages: from the next cut on. stop: why they end.
    findings: weighings that do not fit.
    """

    target: float
    beliefs: tuple[Belief, ...]
    line: Line
    plan: Plan | NoPlan
    stages: tuple[Stage, ...]
    stop: Stop | None
    findings: tuple[Finding, ...] = ()

    @property
    def belief(self) -> Belief:
        """What is known now."""
        return self.beliefs[-1]


def staged_cut(
    line: Line,
    job: CutBack,
    rod: Rod | None = None,
    *,
    rules: Rules = USUAL_RULES,
    drift: Drift = USUAL_DRIFT,
) -> Staged | NoPlan:
    """Replay a logged cut-back of a line and plan on from there.

    A target length or ratio needs no weighing: it is one cut. A standard size is turned into the
    weight that the head has when the described line, scaled to the first reading, is cut to it.
    """
    terms = terms_of(job)
    try:
        first = begin(line, job.instruments, job.first_reading, drift)
    except Impossible as error:
        return NoPlan(Sentence("Nothing can be cut. {why}", why=error.sentence))
    beliefs = replay(first, job.steps)
    now = beliefs[-1]
    if now.length < SHORTEST_PIECE:
        return NoPlan(Sentence("The log has more cut off than the head was long."))
    try:
        left = now.line()
    except ValueError:
        return NoPlan(WRONG_WEIGHINGS)
    goal = goal_of(job.target, head_of(line), rod)
    if isinstance(goal, NoPlan):
        return goal
    start = _with_running_line(line, first, job)
    whole = plan_cut(start, job.target, terms, rod)
    target = _target_mass(goal, whole)
    if target is None:
        return whole if isinstance(whole, NoPlan) else NoPlan(Sentence("No weight to aim at."))
    if isinstance(whole, NoPlan) and whole.limit:
        return whole
    plan = whole if not job.steps else plan_cut(left, job.target, terms, rod)
    if goal.by_length:
        stages, stop = _one_cut(now, target, plan, terms, rules)
    else:
        stages, stop = stages_ahead(now, target, terms, rules)
    if stages and stages[0].last and isinstance(plan, Plan):
        # One cut is left: the plan is that very cut, to the tape's step, not a hair beside it.
        exact = cut_at(left, stages[0].front, stages[0].rear, terms, rod.length if rod else None)
        plan = replace(exact, findings=plan.findings) if isinstance(exact, Plan) else plan
    described = Profile.of(head_of(line)).total_mass
    doubts = doubtful_readings(described, job, beliefs)
    return Staged(target, beliefs, left, plan, stages, stop, doubts)


def _with_running_line(line: Line, first: Belief, job: CutBack) -> Line:
    if job.first_reading is None:
        return line
    head = head_of(line)
    if len(head.segments) == len(line.segments):
        return first.head
    return replace(
        line, segments=(*first.head.segments, *line.segments[len(first.head.segments) :])
    )


def _target_mass(goal: Goal, whole: Plan | NoPlan) -> float | None:
    if not goal.by_length and goal.weighed_over is None:
        return goal.value
    return whole.after.mass if isinstance(whole, Plan) else None


def _one_cut(
    now: Belief, target: float, plan: Plan | NoPlan, terms: Terms, rules: Rules
) -> tuple[tuple[Stage, ...], Stop | None]:
    off = now.head_mass()[0] + added_by_loops(now, terms) - target
    if isinstance(plan, NoPlan):
        return (), Stop(Why.DONE, off, plan.sentence)
    if now.slots and plan.cut_length < rules.smallest_trim:
        return (), Stop(
            Why.DONE, off, Sentence("The head is as long as asked for once its loop is made.")
        )
    mean, error = _weights_at(now, terms, plan.front_cut, plan.rear_cut)
    stage = Stage(
        front=plan.front_cut,
        rear=plan.rear_cut,
        expected=mean,
        plus_minus=CONFIDENT * error,
        before_loops=mean - added_by_loops(now, terms),
        last=True,
        optional=False,
    )
    return (stage,), None
