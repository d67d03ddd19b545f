"""Where to cut a head, exactly on its profile, and what is left."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.cut_log import Limits, NewLoop, Target
from taperlab.model.exact_units import GRAIN, INCH
from taperlab.model.line import JointKind, Line, Loop, LoopKind
from taperlab.model.rod import Rod
from taperlab.model.segment import Part
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.physics.trim import SLIVER, trim
from taperlab.shop.cut_back.goal import Goal, NoPlan, goal_of
from taperlab.shop.cut_back.meter import Meter, falling_root, first_crossing, loop_masses
from taperlab.shop.cut_back.terms import Terms
from taperlab.shop.words import feet, grains
from taperlab.trade import line_weights
from taperlab.units.finding import Finding, Impossible, Level
from taperlab.units.sentence import Sentence, verbatim

SHORTEST_PIECE = 6.0 * INCH
"""Shorter than this nothing is left that could be called a head [m]."""

TIPS = (Part.TIP, Part.SINK_TIP)


@dataclass(frozen=True, slots=True)
class Figures:
    """Figures of a head: length [m], mass [kg], ratio to the rod if one is known.

    Shares are of tip and front taper, 0 to 1. joint_step: the largest at a joint behind a tip, or
    None where there is none.
    """

    length: float
    mass: float
    ratio: float | None
    front_taper_mass_share: float
    front_taper_length_share: float
    joint_step: float | None


@dataclass(frozen=True, slots=True)
class Plan:
    """One cut-back in one go, on the line as it is described.

    front_cut, rear_cut: lengths off each end [m]. front_blade, rear_blade: where the blade goes,
    from the fly end of the uncut line [m]. front_offcut, rear_offcut: what comes off [kg], old
    loops included. line: what is left, loops made; the head alone if its rear was cut, since
    running line comes off with it.
    """

    front_cut: float
    rear_cut: float
    front_blade: float
    rear_blade: float
    front_offcut: float
    rear_offcut: float
    before: Figures
    after: Figures
    line: Line
    findings: tuple[Finding, ...]

    @property
    def cut_length(self) -> float:
        """Length that comes off in all [m]."""
        return self.front_cut + self.rear_cut

    @property
    def cut_mass(self) -> float:
        """Mass that comes off in all [kg]."""
        return self.front_offcut + self.rear_offcut


def figures_of(line: Line, limits: Limits, rod_length: float | None) -> Figures:
    """Figures of the head of a line."""
    head = head_of(line)
    profile = Profile.of(head)
    front = np.array([s.part.in_front_taper for s in head.segments], dtype=float)
    mass = profile.total_mass
    return Figures(
        length=profile.length,
        mass=mass,
        ratio=profile.length / rod_length if rod_length else None,
        front_taper_mass_share=float(profile.segment_masses @ front) / mass,
        front_taper_length_share=float(profile.lengths @ front) / profile.length,
        joint_step=_joint_step(head, profile, limits),
    )


def _joint_step(head: Line, profile: Profile, limits: Limits) -> float | None:
    steps = []
    for i, joint in enumerate(head.joints):
        ahead, behind = head.segments[i].part, head.segments[i + 1].part
        made = joint.kind is not JointKind.ONE_EXTRUSION or ahead is Part.SINK_TIP
        if made and ahead in TIPS and behind not in TIPS:
            at = float(profile.starts[i + 1])
            steps.append(
                float(profile.linear_density(at, i)) / float(profile.linear_density(at, i + 1))
            )
    if limits.tip_linear_density is not None:
        steps.append(limits.tip_linear_density / float(profile.linear_density(0.0, 0)))
    return max(steps) if steps else None


def _remade(new: NewLoop, line: Line, where: float, inward: float) -> Loop:
    """The loop made at a cut end of ``line``, folded from ``where`` inward by ``inward`` [m].

    Its fold is given the length that weighs, at the finished end's mass per length, exactly what
    the folded stretch weighs; on a taper the two differ by a hair.
    """
    if new.fold == 0.0 and new.mass == 0.0:
        return Loop()
    profile = Profile.of(replace(line, front_loop=Loop(), rear_loop=Loop()))
    low, high = sorted((where, inward))
    folded = profile.mass_between(low, high, points=False)
    sleeves = profile.mass_between(low, high) - folded
    # Inside the piece that stays: behind the finished front end, ahead of the finished rear end.
    ahead = int(np.searchsorted(profile.starts, inward - 1e-9, side="right")) - 1
    segment = int(profile.segment_at(inward)) if inward > where else ahead
    per_length = float(profile.linear_density(inward, segment))
    return Loop(LoopKind.FOLDED, folded / per_length, new.mass + sleeves)


def cut_at(
    line: Line, front: float, rear: float, terms: Terms, rod_length: float | None = None
) -> Plan | NoPlan:
    """What a cut of ``front`` and ``rear`` [m] off the two ends of the head leaves.

    For the slider and the blade: no target, no limits but that something must be left.
    """
    try:
        head = head_of(line)
    except Impossible as error:
        return NoPlan(Sentence("Nothing can be cut. {why}", why=error.sentence))
    front, rear = max(0.0, front), max(0.0, rear)
    length = head.starts[-1]
    front = _snapped(front, head)
    rear = length - _snapped(length - rear, head)
    front_fold = terms.front_loop.fold if front > 0.0 else 0.0
    rear_fold = terms.rear_loop.fold if rear > 0.0 else 0.0
    first, last = front + front_fold, length - rear - rear_fold
    if last - first < SHORTEST_PIECE:
        return NoPlan(
            verbatim(
                f"A cut of {feet(front + rear)} leaves {feet(max(0.0, last - first))} of the head's "
                f"{feet(length)}: less than {feet(SHORTEST_PIECE)} is no head."
            )
        )
    whole = line if rear == 0.0 else head
    left = trim(whole, first, last if rear > 0.0 else whole.starts[-1])
    if front > 0.0:
        left = replace(left, front_loop=_remade(terms.front_loop, head, front, first))
    if rear > 0.0:
        left = replace(left, rear_loop=_remade(terms.rear_loop, head, length - rear, last))
    profile = Profile.of(replace(head, front_loop=Loop(), rear_loop=Loop()))
    old_front, old_rear = loop_masses(head)
    before = figures_of(head, terms.limits, rod_length)
    after = figures_of(left, terms.limits, rod_length)
    front_off = float(profile.running_mass(front)) + old_front if front > 0.0 else 0.0
    rear_off = profile.mass_between(length - rear, length) + old_rear if rear > 0.0 else 0.0
    return Plan(
        front_cut=front,
        rear_cut=rear,
        front_blade=front,
        rear_blade=length - rear,
        front_offcut=front_off,
        rear_offcut=rear_off,
        before=before,
        after=after,
        line=left,
        findings=tuple(_remarks(line, head, front, rear)),
    )


def _snapped(where: float, head: Line) -> float:
    # A blade within rounding of a joint goes exactly there, and takes the sleeve with the offcut.
    return next((start for start in head.starts if abs(start - where) <= SLIVER), where)


def _remarks(line: Line, head: Line, front: float, rear: float) -> list[Finding]:
    remarks: list[Finding] = []
    if rear > 0.0 and len(line.segments) > len(head.segments):
        remarks.append(
            Finding(
                Level.NOTE,
                Sentence(
                    "The running line comes off at the rear of the head; it goes back on with a loop."
                ),
            )
        )
    for cut, loop, end in ((front, head.front_loop, "front"), (rear, head.rear_loop, "rear")):
        if 0.0 < cut < loop.fold:
            remarks.append(
                Finding(
                    Level.CAUTION,
                    verbatim(
                        f"The {end} cut falls inside the old loop, which is folded back over "
                        f"{feet(loop.fold)}: open the loop first."
                    ),
                )
            )
    tapers = [i for i, s in enumerate(head.segments) if s.part is Part.FRONT_TAPER]
    if tapers and front > head.starts[tapers[0]] + 1e-9:
        remarks.append(
            Finding(
                Level.CAUTION,
                Sentence(
                    "The front cut goes into the front taper: the head turns over harder and lands "
                    "less gently."
                ),
            )
        )
    bellies = [i for i, s in enumerate(head.segments) if s.part is Part.BELLY]
    if bellies and head.length - rear < head.starts[bellies[-1] + 1] - 1e-9:
        remarks.append(
            Finding(
                Level.NOTE,
                Sentence("The rear cut takes the whole rear taper and part of the belly."),
            )
            if bellies[-1] + 1 < len(head.segments)
            else Finding(Level.NOTE, Sentence("The rear cut goes into the belly."))
        )
    return remarks


def plan_cut(line: Line, target: Target, terms: Terms, rod: Rod | None = None) -> Plan | NoPlan:
    """The cut that takes the head of a line to a target, in one go.

    Only the head is cut. From the rear that is at the rear end of the head: running line behind
    it comes off first. A cut end loses its old loop and gets the one that ``terms`` describe,
    folded from what is left.
    """
    try:
        head = head_of(line)
    except Impossible as error:
        return NoPlan(Sentence("Nothing can be cut. {why}", why=error.sentence))
    goal = goal_of(target, head, rod)
    if isinstance(goal, NoPlan):
        return goal
    meter = Meter(line, head, terms, goal)
    what = "is {} long" if goal.by_length else "weighs {}"
    if goal.weighed_over is not None:
        what += f" over the {feet(goal.weighed_over)} that the standard weighs"

    def said(value: float) -> str:
        return feet(value) if goal.by_length else grains(value)

    close = 0.0005 if goal.by_length else 0.05 * GRAIN
    now = meter(0.0, remade=False)
    if abs(now - goal.value) <= close:
        return NoPlan(verbatim(f"Nothing to cut: the head already {what.format(said(now))}."))
    # A front cut slides heavier line into the stretch that a standard weighs: it may rise too.
    may_rise = goal.weighed_over is not None and terms.share > 0.0
    if now < goal.value and not may_rise:
        return NoPlan(
            verbatim(
                f"Cutting only takes away: the head {what.format(said(now))}, less than the "
                f"{goal.words} asked for."
            )
        )
    looped = meter(0.0)
    if looped < goal.value - close and not may_rise:
        return NoPlan(
            verbatim(
                f"Re-making the loop alone takes the head to {said(looped)}, below the "
                f"{goal.words} asked for."
            )
        )
    span = meter.finished(0.0, remade=True)
    most = span[1] - span[0] - SHORTEST_PIECE
    if most <= 0.0:
        return NoPlan(Sentence("The loops would use up the whole head."))
    if may_rise:
        found = first_crossing(meter, goal.value, most)
        if isinstance(found, tuple):
            return NoPlan(
                verbatim(
                    f"No cut from the {terms.end} reaches {goal.words}: over the "
                    f"{feet(goal.weighed_over or 0.0)} that the standard weighs the line weighs from "
                    f"{grains(found[0])} to {grains(found[1])} on the way."
                )
            )
        return _checked(line, head, terms, goal, meter, max(found, 10.0 * SLIVER), rod)
    least = meter(most)
    if least > goal.value:
        return NoPlan(
            verbatim(
                f"Cut down to {feet(SHORTEST_PIECE)} and its loop the head still "
                f"{what.format(said(least))}, more than the {goal.words} asked for."
            )
        )
    cut = max(falling_root(meter, goal.value, 0.0, most), 10.0 * SLIVER)
    return _checked(line, head, terms, goal, meter, cut, rod)


def _checked(
    line: Line, head: Line, terms: Terms, goal: Goal, meter: Meter, cut: float, rod: Rod | None
) -> Plan | NoPlan:
    """The plan for so long a cut, unless a limit stops it."""
    stopped = _stopped_by_limit(head, terms, goal, meter, cut)
    if stopped:
        return stopped
    plan = cut_at(line, *terms.split(cut), terms, rod.length if rod else None)
    if isinstance(plan, NoPlan):
        return plan
    step = plan.after.joint_step
    if step is not None and step > terms.limits.largest_step + 1e-9:
        return NoPlan(
            verbatim(
                f"The cut to {goal.words} would leave a joint step of {step:.2f}; the largest allowed "
                f"is {terms.limits.largest_step:.2f}."
            ),
            "joint step",
        )
    return replace(plan, findings=(*plan.findings, *_goal_remarks(goal, meter, cut, plan)))


def _stopped_by_limit(
    head: Line, terms: Terms, goal: Goal, meter: Meter, cut: float
) -> NoPlan | None:
    def at_limit(allowed: float) -> str:
        if allowed <= 0.0:
            return "Nothing may come off."
        value = meter(allowed)
        reached = f"is {feet(value)} long" if goal.by_length else f"weighs {grains(value)}"
        return f"At most {feet(allowed)} may come off; the head then {reached}."

    first, last = meter.finished(cut, remade=True)
    limits = terms.limits
    if last - first < limits.shortest - 1e-9:
        return NoPlan(
            verbatim(
                f"The cut to {goal.words} would leave {feet(last - first)}; the shortest head allowed "
                f"is {feet(limits.shortest)}. " + at_limit(cut - (limits.shortest - (last - first)))
            ),
            "shortest head",
        )
    if limits.keep_front_taper:
        tapers = [i for i, s in enumerate(head.segments) if s.part is Part.FRONT_TAPER]
        if tapers:
            begin, end = head.starts[tapers[0]], head.starts[tapers[-1] + 1]
            over_front, over_rear = first - begin, end - last
            share = terms.share
            allowed = cut
            if over_front > 1e-9 and share > 0.0:
                allowed = min(allowed, cut - over_front / share)
            if over_rear > 1e-9 and share < 1.0:
                allowed = min(allowed, cut - over_rear / (1.0 - share))
            if allowed < cut:
                return NoPlan(
                    verbatim(
                        f"The cut to {goal.words} would go into the front taper, which is to stay "
                        f"whole. {at_limit(allowed)}"
                    ),
                    "front taper",
                )
    return None


def _goal_remarks(goal: Goal, meter: Meter, cut: float, plan: Plan) -> list[Finding]:
    remarks: list[Finding] = []
    missed = meter(cut) - goal.value
    if not goal.by_length and abs(missed) > 0.05 * GRAIN:
        remarks.append(
            Finding(
                Level.CAUTION,
                verbatim(
                    f"The target falls inside a joint: cut just ahead of it the head is "
                    f"{grains(-missed)} lighter than asked for."
                ),
            )
        )
    column = line_weights.two_handed_class(plan.after.length)
    if goal.letter and (column is None or column.letter != goal.letter):
        remarks.append(
            Finding(
                Level.CAUTION,
                verbatim(
                    f"What is left is {feet(plan.after.length)} long: heads of class {goal.letter} "
                    "have another length, so the standard does not rate it as that."
                ),
            )
        )
    elif goal.weighed_over is not None and plan.after.length < goal.weighed_over - 1e-9:
        remarks.append(
            Finding(
                Level.CAUTION,
                verbatim(
                    f"What is left is shorter than the {feet(goal.weighed_over)} that the standard "
                    "weighs: all of it was counted, and the standard itself may not rate it."
                ),
            )
        )
    return remarks
