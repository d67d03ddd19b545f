"""A cut-back in stages: leave a margin, cut, weigh, look again; the last trim is a short one."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

import numpy as np

from taperlab.model.exact_units import GRAIN, INCH
from taperlab.physics.frustum import Array
from taperlab.shop.cut_back.belief import Belief
from taperlab.shop.cut_back.plan import AS_GOOD_AS_THERE
from taperlab.shop.cut_back.terms import HAIR, SHORTEST_PIECE, Terms
from taperlab.shop.errors import CONFIDENT, rounding_error
from taperlab.shop.steps import Steps
from taperlab.units.sentence import OnTape, Sentence, Weight

MOST_STAGES = 8


@dataclass(frozen=True, slots=True)
class Rules:
    """When to stop and how careful to be.

    A head within the larger of ``share`` of the target and ``mass`` [kg] is near enough, but is
    trimmed on as long as scale and blade can settle it. smallest_trim: shortest cut worth making
    [m]. unlucky: how many standard deviations of bad luck the margin covers.
    """

    share: float = 0.01
    mass: float = 3.0 * GRAIN
    smallest_trim: float = INCH / 4.0
    unlucky: float = 3.0

    def tolerance(self, target: float) -> float:
        """How far from the target is near enough [kg]."""
        return max(self.share * target, self.mass)


USUAL_RULES = Rules()


@dataclass(frozen=True, slots=True)
class Stage:
    """The next cut. front, rear: lengths off each end, to the tape's step [m].

    expected: the head's weight after it with its loops made [kg]; plus_minus: 95 in 100 results
    lie so near [kg]. before_loops: what the scale should read before new loops are made [kg].
    last: whether it goes straight to the target, without a margin.
    """

    front: float
    rear: float
    expected: float
    plus_minus: float
    before_loops: float
    last: bool

    @property
    def length(self) -> float:
        """Length cut in all [m]."""
        return self.front + self.rear


class Why(StrEnum):
    """Why there is no next cut."""

    DONE = "done"
    TOO_LIGHT = "too light"
    TOO_HEAVY = "too heavy"
    TOO_SHORT = "too short"
    TOO_SHORT_TO_CUT = "too short to cut"
    LOOP_TAKES_MORE = "the loop takes more"
    OUTSIDE_WINDOW = "outside the window"
    WEIGH_FINISHED_AGAIN = "weigh the finished head again"
    NOT_WEIGHED = "not weighed"
    SCALE_TOO_COARSE = "scale too coarse"
    LIMIT = "limit"

    @property
    def is_final(self) -> bool:
        """Whether the head has come to where it was to go, or past it."""
        return self in (Why.DONE, Why.TOO_LIGHT, Why.TOO_SHORT, Why.TOO_SHORT_TO_CUT)


@dataclass(frozen=True, slots=True)
class Stop:
    """No next cut: why, how far off the target the head is [kg], and a sentence that says so."""

    why: Why
    off: float
    sentence: Sentence


@dataclass(frozen=True, eq=False)
class Outlook:
    """What cuts from here would leave, as far as is known, and what is aimed at.

    target: of the finished head [kg].
    """

    belief: Belief
    target: float
    terms: Terms
    rules: Rules

    @property
    def tolerance(self) -> float:
        """How far from the target is near enough [kg]."""
        return self.rules.tolerance(self.target)

    @cached_property
    def added(self) -> float:
        """Mass [kg] that new loops will add to what the scale reads, at ends cut or to be cut."""
        belief, terms = self.belief, self.terms
        return terms.added(
            front=terms.cuts_front or belief.front > 0.0,
            rear=terms.cuts_rear or belief.rear > 0.0,
        )

    @cached_property
    def off(self) -> float:
        """How far the head is off the target [kg] if nothing more is cut.

        An end that was cut gets its new loop; one that was not keeps the one it has.
        """
        belief = self.belief
        made = self.terms.added(front=belief.front > 0.0, rear=belief.rear > 0.0)
        return belief.head_weight + made - self.target

    @cached_property
    def off_opened(self) -> float:
        """The same [kg] if every end that may be cut only got a new loop."""
        belief, terms = self.belief, self.terms
        weight = belief.head_weight
        opened = belief.fixed_mass(
            belief.front + (HAIR if terms.cuts_front else 0.0),
            belief.rear + (HAIR if terms.cuts_rear else 0.0),
        )
        old_loops = belief.fixed_mass(belief.front, belief.rear) - opened
        return weight - old_loops + self.added - self.target

    @property
    def most(self) -> float:
        """The longest cut [m] that the limit on length allows."""
        return self.terms.most(self.belief.length, self.terms.limits.shortest)

    def weights(self, front: Array, rear: Array) -> tuple[Array, Array]:
        """Finished weight after more cuts off each end [m]: means [kg], standard deviations.

        Shapes (n,).
        """
        belief = self.belief
        front, rear = belief.front + front, belief.rear + rear
        means, errors = belief.expected(front, rear)
        # Readings of nearly the same weight round alike: repeated, they never beat one rounding.
        least = rounding_error(belief.instruments.scale)
        fixed = belief.fixed_masses(front, rear) + self.added
        return means + fixed, np.maximum(errors, least)

    def weights_after(self, cuts: Array) -> tuple[Array, Array]:
        """The same after cuts of so much in all [m], as the terms share them between the ends."""
        cuts = np.maximum(cuts, HAIR)
        return self.weights(self.terms.share * cuts, (1.0 - self.terms.share) * cuts)

    def longest_above_target(self, unlucky: float) -> float:
        """The longest cut [m] after which the head, with so much bad luck, is not below the target.

        0 where even the shortest cut would be. Three looks, each closer up.
        """
        low, high = 0.0, self.most
        for count in (65, 33, 17):
            cuts = np.linspace(low, high, count)
            means, errors = self.weights_after(cuts)
            below = np.flatnonzero(means - unlucky * errors < self.target)
            if not len(below):
                return high
            first = int(below[0])
            if first == 0:
                return low
            low, high = float(cuts[first - 1]), float(cuts[first])
        return low

    def bad_luck(self, cut: float) -> float:
        """How far the head may come out below what is expected of such a cut [kg]."""
        _, errors = self.weights_after(np.array([cut]))
        return self.rules.unlucky * float(errors[0])

    def settled_by(self, cut: float) -> float:
        """What the scale's step and the smallest trim can settle where such a cut ends [kg]."""
        belief = self.belief
        front, rear = self.terms.split(cut)
        blades = np.array([belief.front + front, belief.profile.length - belief.rear - rear])
        heaviest = float(belief.profile.linear_density(blades).max())
        return belief.instruments.scale + heaviest * self.rules.smallest_trim

    def stage(self, front: float, rear: float, *, last: bool) -> Stage:
        """The cut of so much off each end [m] as a stage."""
        means, errors = self.weights(np.array([front]), np.array([rear]))
        return Stage(
            front=front,
            rear=rear,
            expected=float(means[0]),
            plus_minus=CONFIDENT * float(errors[0]),
            before_loops=float(means[0]) - self.added,
            last=last,
        )


def next_stage(
    belief: Belief, target: float, terms: Terms, rules: Rules = USUAL_RULES
) -> Stage | Stop:
    """The next cut toward a finished head of ``target`` [kg], or why there is none.

    If a cut straight to the target would land within the tolerance even with bad luck, it is the
    last one. Else the cut leaves a margin: as long as it may be without the head falling below
    the target at the unlucky end of what is known.
    """
    outlook = Outlook(belief, target, terms, rules)
    off = outlook.off
    if off < -outlook.tolerance:
        return _stop(Why.TOO_LIGHT, outlook)
    if off <= 0.0:
        return _stop(Why.DONE, outlook)
    if outlook.off_opened <= 0.0:
        return _stop(Why.DONE if off <= outlook.tolerance else Why.LOOP_TAKES_MORE, outlook)
    if outlook.most <= 0.0:
        return _stop(Why.LIMIT, outlook)
    straight = outlook.longest_above_target(0.0)
    cut, last = _how_long(outlook, straight)
    front, rear = _on_tape(outlook, min(cut, outlook.most), last)
    ends = 2 if terms.cuts_front and terms.cuts_rear else 1
    if front + rear >= max(rules.smallest_trim, ends * belief.instruments.tape / 2.0):
        return outlook.stage(front, rear, last=last)
    if abs(off) <= outlook.tolerance:
        return _stop(Why.DONE, outlook)
    if last:
        return _stop(Why.TOO_SHORT_TO_CUT, outlook)
    if not belief.readings:
        return _stop(Why.NOT_WEIGHED, outlook)
    at_limit = straight >= outlook.most
    return _stop(Why.LIMIT if at_limit else Why.SCALE_TOO_COARSE, outlook)


def _how_long(outlook: Outlook, straight: float) -> tuple[float, bool]:
    """How much to cut in all [m], and whether that is the last cut."""
    rules, tolerance = outlook.rules, outlook.tolerance
    bad_luck = outlook.bad_luck(straight)
    if bad_luck <= min(tolerance, outlook.settled_by(straight)):
        return straight, True
    cut = outlook.longest_above_target(rules.unlucky)
    if cut < rules.smallest_trim and bad_luck <= tolerance:
        return straight, True
    return cut, False


def _on_tape(outlook: Outlook, cut: float, last: bool) -> tuple[float, float]:
    """The cut off each end to the tape's step [m]; for the last, the one nearest the target.

    Else never longer. Two ends are rounded together, so that what one is long the other is short.
    """
    tape = outlook.belief.instruments.tape
    front, rear = (math.floor(part / tape + 1e-9) * tape for part in outlook.terms.split(cut))
    if not last:
        return front, rear
    fronts = (front, front + tape) if outlook.terms.cuts_front else (front,)
    rears = (rear, rear + tape) if outlook.terms.cuts_rear else (rear,)
    ways = [(one, other) for one in fronts for other in rears if one + other <= outlook.most]
    if not ways:
        return front, rear
    means, _ = outlook.weights(*np.transpose(ways))
    return ways[int(np.argmin(abs(means - outlook.target)))]


def _stop(why: Why, outlook: Outlook) -> Stop:
    return Stop(why, outlook.off, _why_no_more(why, outlook))


def stop_at_limit(outlook: Outlook, sentence: Sentence) -> Stop:
    """The stop where a limit allows no cut to the target, as the sentence says.

    A head that is near enough is done all the same.
    """
    if abs(outlook.off) <= outlook.tolerance:
        return _stop(Why.DONE, outlook)
    return Stop(Why.LIMIT, outlook.off, sentence)


def _why_no_more(why: Why, outlook: Outlook) -> Sentence:
    if why is Why.NOT_WEIGHED:
        return Sentence("A head that was never weighed is not known well enough to cut on.")
    off, target = outlook.off, Weight(outlook.target)
    by = Weight(abs(off))
    exact = abs(off) < AS_GOOD_AS_THERE
    if exact:
        standing = Sentence("The head is at the target of {target}", target=target)
    elif off > 0.0:
        standing = Sentence("The head is {by} over the target of {target}", by=by, target=target)
    else:
        standing = Sentence("The head is {by} under the target of {target}", by=by, target=target)
    if why is Why.DONE and exact:
        return Sentence("{standing}.", standing=standing)
    limits = outlook.terms.limits
    trim = OnTape(outlook.rules.smallest_trim)
    shortest = OnTape(max(limits.shortest, SHORTEST_PIECE))
    reason = {
        Why.DONE: Sentence("near enough"),
        Why.TOO_LIGHT: Sentence("nothing more to cut"),
        Why.TOO_SHORT_TO_CUT: Sentence("the cut that is left is shorter than {trim}", trim=trim),
        Why.LOOP_TAKES_MORE: Sentence("re-making a loop alone takes off more than that"),
        Why.LIMIT: Sentence("the shortest head allowed, {least}, is reached", least=shortest),
        Why.SCALE_TOO_COARSE: Sentence(
            "that is not known well enough to cut on; weigh the head and the offcut, on a finer "
            "scale if need be"
        ),
    }[why]
    return Sentence("{standing}: {reason}.", standing=standing, reason=reason)


Ahead = tuple[tuple[Stage, ...], Stop | None]
"""Stages still to come, and why they end."""


def stages_ahead(
    belief: Belief, target: float, terms: Terms, rules: Rules = USUAL_RULES
) -> Steps[Ahead]:
    """The stages still to come if every weighing reads what is expected, and how they end.

    Each stage's plus_minus is the one that will hold when its cut is due, the weighings before it
    being in, as far as what they read does not tell of the size of the error.
    """
    out: list[Stage] = []
    for i in range(MOST_STAGES):
        yield i / MOST_STAGES
        stage = next_stage(belief, target, terms, rules)
        if isinstance(stage, Stop):
            return tuple(out), stage
        out.append(stage)
        belief = belief.foreseen(stage.front, stage.rear)
    return tuple(out), None
