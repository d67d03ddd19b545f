"""The head as it leaves the bench: cut ends looped again."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.model.cut_log import CutBack
from taperlab.model.line import Line
from taperlab.shop.cut_back.belief import Belief, begin, replay
from taperlab.shop.cut_back.goal import NoPlan
from taperlab.shop.cut_back.plan import Plan, cut_at
from taperlab.shop.cut_back.terms import Terms
from taperlab.units.finding import Impossible
from taperlab.units.sentence import Sentence

HAIR = 1e-7
"""A cut so short [m] that it only opens the way for a new loop."""

WRONG_WEIGHINGS = Sentence(
    "The weighings cannot all be right: a piece of the head would weigh nothing or less. "
    "Check the weights in the log."
)


def finished_head(belief: Belief, terms: Terms) -> Line | NoPlan:
    """What is left, with new loops at the ends that were cut."""
    left = belief.line()
    front = HAIR if belief.front > 0.0 else 0.0
    rear = HAIR if belief.rear > 0.0 else 0.0
    if not front and not rear:
        return left
    plan = cut_at(left, front, rear, terms)
    return plan.line if isinstance(plan, Plan) else plan


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


def standing(line: Line, job: CutBack) -> Standing | NoPlan:
    """Replay the log of a cut-back, without a target."""
    try:
        first = begin(line, job.instruments, job.first_reading)
        beliefs = replay(first, job.steps)
        return Standing(beliefs, beliefs[0].line(), beliefs[-1].line())
    except Impossible as error:
        return NoPlan(Sentence("Nothing can be cut. {why}", why=error.sentence))
    except ValueError:
        return NoPlan(WRONG_WEIGHINGS)
