"""The cut that takes a head to a target in one go, or why there is none."""

from __future__ import annotations

from dataclasses import replace

from taperlab.model.cut_log import Target
from taperlab.model.exact_units import GRAIN
from taperlab.model.line import Line
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Part
from taperlab.physics.trim import SLIVER
from taperlab.shop.cut_back.goal import Goal, Limit, NoPlan, goal_of, head_or_none
from taperlab.shop.cut_back.meter import Meter, falling_root, first_crossing
from taperlab.shop.cut_back.one_cut import Figures, Plan, cut_at, span_of
from taperlab.shop.cut_back.terms import SHORTEST_PIECE, Terms
from taperlab.trade import line_weights
from taperlab.units.finding import Finding, Level
from taperlab.units.sentence import NOTHING, Number, OnTape, Sentence, Weight

AS_GOOD_AS_THERE = 0.05 * GRAIN
"""A head this near to the weight asked for reads so on any scale [kg]."""

AS_GOOD_AS_THERE_LONG = 0.0005
"""A head this near to the length asked for reads so on any tape [m]."""

SHORTEST_CUT = 10.0 * SLIVER
"""What a blade takes that only opens an end for its new loop [m]."""


def plan_cut(
    line: Line,
    target: Target,
    terms: Terms,
    rod: Rod | None = None,
    window: Window | None = None,
) -> Plan | NoPlan:
    """The cut that takes the head of a line to a target, in one go; ``window``: not the rod's.

    Only the head is cut. At the rod end that is where the head ends: running line behind it comes
    off first. A cut end loses its old loop and gets the one that ``terms`` describe, folded from
    what is left.
    """
    head = head_or_none(line)
    if isinstance(head, NoPlan):
        return head
    goal = goal_of(target, head, rod, window)
    if isinstance(goal, NoPlan):
        return goal
    meter = Meter(line, head, terms, goal)
    cut = _length_to(goal, meter)
    if isinstance(cut, NoPlan):
        return cut
    stopped = _stopped(head, meter, cut)
    if stopped:
        return stopped
    plan = cut_at(line, *terms.split(cut), terms, rod.length if rod else None)
    if isinstance(plan, NoPlan):
        return plan
    broken = broken_limits(terms, plan.after)
    if broken:
        return _out_of_bounds(goal, *broken[0])
    return replace(plan, findings=(*plan.findings, *_goal_remarks(meter, cut, plan.after)))


def _length_to(goal: Goal, meter: Meter) -> float | NoPlan:
    """How much is to be cut in all [m], or why no cut leads to the goal."""
    close = AS_GOOD_AS_THERE_LONG if goal.by_length else AS_GOOD_AS_THERE
    now = meter(0.0, remade=False)
    if abs(now - goal.value) <= close:
        return NoPlan(Sentence("Nothing to cut: {head}, as asked for.", head=_comes_to(goal, now)))
    # A cut at the fly end slides heavier line into the stretch that a standard weighs: it may rise.
    may_rise = goal.weighed_over is not None and meter.terms.cuts_front
    if now < goal.value and not may_rise:
        return NoPlan(
            Sentence(
                "Cutting only takes away: {head}, less than the {goal} asked for.",
                head=_comes_to(goal, now),
                goal=goal.said,
            )
        )
    looped = meter(0.0)
    if looped < goal.value - close and not may_rise:
        return NoPlan(
            Sentence(
                "Re-making the loop alone takes the head to {value}, below the {goal} asked for.",
                value=goal.quantity(looped),
                goal=goal.said,
            )
        )
    first, last = meter.finished(0.0)
    most = last - first - SHORTEST_PIECE
    if most <= 0.0:
        return NoPlan(Sentence("The loops would use up the whole head."))
    if may_rise:
        found = first_crossing(meter, goal.value, most)
        if isinstance(found, tuple):
            return NoPlan(
                Sentence(
                    "No cut there reaches {goal}: over the {stretch} that the standard weighs the "
                    "line weighs from {least} to {greatest} on the way.",
                    goal=goal.said,
                    stretch=OnTape(goal.weighed_over or 0.0),
                    least=Weight(found[0]),
                    greatest=Weight(found[1]),
                )
            )
        return max(found, SHORTEST_CUT)
    least = meter(most)
    if least > goal.value:
        return NoPlan(
            Sentence(
                "Cut down to {shortest} and its loop, {head}, still more than the {goal} asked "
                "for.",
                shortest=OnTape(SHORTEST_PIECE),
                head=_comes_to(goal, least),
                goal=goal.said,
            )
        )
    return max(falling_root(meter, goal.value, 0.0, most), SHORTEST_CUT)


def _comes_to(goal: Goal, value: float) -> Sentence:
    """What the head is, as far as the goal counts it."""
    if goal.weighed_over is None:
        return Sentence("the head comes to {value}", value=goal.quantity(value))
    return Sentence(
        "the head comes to {value} over the {stretch} that the standard weighs",
        value=goal.quantity(value),
        stretch=OnTape(goal.weighed_over),
    )


# -- limits ------------------------------------------------------------------------------------


def broken_limits(
    terms: Terms, after: Figures, *, into_front_taper: bool = False
) -> tuple[tuple[Limit, Sentence], ...]:
    """The limits that a cut would break, by what it leaves; each with a sentence that says so."""
    limits = terms.limits
    broken: list[tuple[Limit, Sentence]] = []
    if after.length < limits.shortest - SLIVER:
        broken.append((Limit.SHORTEST_HEAD, _too_short(after.length, limits.shortest)))
    if limits.keep_front_taper and into_front_taper:
        broken.append((Limit.FRONT_TAPER, _INTO_TAPER))
    step = after.joint_step
    if step is not None and step > limits.largest_step + SLIVER:
        broken.append(
            (
                Limit.JOINT_STEP,
                Sentence(
                    "It would leave a joint step of {step}; the largest allowed is {largest}.",
                    step=Number(step, 2),
                    largest=Number(limits.largest_step, 2),
                ),
            )
        )
    return tuple(broken)


_INTO_TAPER = Sentence("It would go into the front taper, which is to stay whole.")


def _too_short(length: float, shortest: float) -> Sentence:
    return Sentence(
        "It would leave {length}; the shortest head allowed is {shortest}.",
        length=OnTape(length),
        shortest=OnTape(shortest),
    )


def goes_into_front_taper(head: Line, first: float, last: float) -> tuple[float, float]:
    """How far finished ends at ``first`` and ``last`` [m] lie inside the front taper of a head.

    At the fly end and at the rod end [m]; zero or less where they do not.
    """
    taper = span_of(head, Part.FRONT_TAPER)
    return (first - taper[0], taper[1] - last) if taper else (0.0, 0.0)


def _stopped(head: Line, meter: Meter, cut: float) -> NoPlan | None:
    """The limit on length or front taper that so long a cut breaks, and how much may come off."""
    terms = meter.terms
    first, last = meter.finished(cut)
    missing = terms.limits.shortest - (last - first)
    if missing > SLIVER:
        why = _too_short(last - first, terms.limits.shortest)
        return _out_of_bounds(meter.goal, Limit.SHORTEST_HEAD, why, _at_most(meter, cut - missing))
    if not terms.limits.keep_front_taper:
        return None
    over_front, over_rear = goes_into_front_taper(head, first, last)
    allowed = cut
    if over_front > SLIVER and terms.cuts_front:
        allowed = min(allowed, cut - over_front / terms.share)
    if over_rear > SLIVER and terms.cuts_rear:
        allowed = min(allowed, cut - over_rear / (1.0 - terms.share))
    if allowed == cut:
        return None
    return _out_of_bounds(meter.goal, Limit.FRONT_TAPER, _INTO_TAPER, _at_most(meter, allowed))


def _out_of_bounds(goal: Goal, limit: Limit, why: Sentence, most: Sentence = NOTHING) -> NoPlan:
    sentence = Sentence("The cut to {goal} is not allowed. {why}", goal=goal.said, why=why)
    return NoPlan(Sentence("{no} {most}", no=sentence, most=most) if most else sentence, limit)


def _at_most(meter: Meter, allowed: float) -> Sentence:
    if allowed <= 0.0:
        return Sentence("Nothing may come off.")
    return Sentence(
        "At most {most} may come off; that leaves {value}.",
        most=OnTape(allowed),
        value=meter.goal.quantity(meter(allowed)),
    )


# -- remarks -----------------------------------------------------------------------------------


def _goal_remarks(meter: Meter, cut: float, after: Figures) -> list[Finding]:
    goal = meter.goal
    remarks: list[Sentence] = []
    missed = meter(cut) - goal.value
    if not goal.by_length and abs(missed) > AS_GOOD_AS_THERE:
        remarks.append(
            Sentence(
                "The target falls inside a joint: cut just ahead of it the head is {mass} lighter "
                "than asked for.",
                mass=Weight(-missed),
            )
        )
    column = line_weights.two_handed_class(after.length)
    if goal.letter and (column is None or column.letter != goal.letter):
        remarks.append(
            Sentence(
                "What is left is {length} long: heads of class {letter} have another length, so "
                "the standard does not rate it as that.",
                length=OnTape(after.length),
                letter=goal.letter,
            )
        )
    elif goal.weighed_over is not None and after.length < goal.weighed_over - SLIVER:
        remarks.append(
            Sentence(
                "What is left is shorter than the {stretch} that the standard weighs: all of it "
                "was counted, and the standard itself may not rate it.",
                stretch=OnTape(goal.weighed_over),
            )
        )
    return [Finding(Level.CAUTION, each) for each in remarks]
