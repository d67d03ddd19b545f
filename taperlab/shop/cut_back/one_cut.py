"""What a cut off each end of a head leaves, exactly on its profile."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.cut_log import CutEnd, Limits, NewLoop
from taperlab.model.line import NO_LOOP, JointKind, Line, Loop, LoopKind
from taperlab.model.segment import Part
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.physics.trim import SLIVER, trim
from taperlab.shop.cut_back.goal import NoPlan, head_or_none
from taperlab.shop.cut_back.meter import bare_profile, loop_masses
from taperlab.shop.cut_back.terms import SHORTEST_PIECE, Terms
from taperlab.shop.cut_back.words import ENDS
from taperlab.units.finding import Finding, Level
from taperlab.units.sentence import OnTape, Sentence

TIPS = (Part.TIP, Part.SINK_TIP)


@dataclass(frozen=True, slots=True)
class Figures:
    """Figures of a head: length [m], mass [kg], ratio to the rod if one is known.

    The share is of tip and front taper, 0 to 1. joint_step: the largest at a joint behind a tip,
    or None where there is none.
    """

    length: float
    mass: float
    ratio: float | None
    front_taper_mass_share: float
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


def cut_at(
    line: Line, front: float, rear: float, terms: Terms, rod_length: float | None = None
) -> Plan | NoPlan:
    """What a cut of ``front`` and ``rear`` [m] off the two ends of the head leaves.

    For the slider and the blade: no target, no limits but that something must be left.
    """
    head = head_or_none(line)
    if isinstance(head, NoPlan):
        return head
    length = head.starts[-1]
    front = _snapped(max(0.0, front), head)
    rear = length - _snapped(length - max(0.0, rear), head)
    front_fold, rear_fold = terms.folds(front=front > 0.0, rear=rear > 0.0)
    first, last = front + front_fold, length - rear - rear_fold
    if last - first < SHORTEST_PIECE:
        return NoPlan(
            Sentence(
                "A cut of {cut} leaves {left} of the head’s {length}: less than {least} is no "
                "head.",
                cut=OnTape(front + rear),
                left=OnTape(max(0.0, last - first)),
                length=OnTape(length),
                least=OnTape(SHORTEST_PIECE),
            )
        )
    bare = bare_profile(head)
    whole = line if rear == 0.0 else head
    left = trim(whole, first, last if rear > 0.0 else whole.starts[-1])
    if front > 0.0:
        left = replace(left, front_loop=_remade(terms.front_loop, bare, front, first))
    if rear > 0.0:
        left = replace(left, rear_loop=_remade(terms.rear_loop, bare, length - rear, last))
    old_front, old_rear = loop_masses(head, bare)
    return Plan(
        front_cut=front,
        rear_cut=rear,
        front_blade=front,
        rear_blade=length - rear,
        front_offcut=float(bare.running_mass(front)) + old_front if front > 0.0 else 0.0,
        rear_offcut=bare.mass_between(length - rear, length) + old_rear if rear > 0.0 else 0.0,
        before=figures_of(head, terms.limits, rod_length),
        after=figures_of(head_of(left), terms.limits, rod_length),
        line=left,
        findings=tuple(_remarks(line, head, front, rear)),
    )


def figures_of(head: Line, limits: Limits, rod_length: float | None) -> Figures:
    """Figures of a line that is all head."""
    profile = Profile.of(head)
    front = np.array([s.part.in_front_taper for s in head.segments], dtype=float)
    mass = profile.total_mass
    return Figures(
        length=profile.length,
        mass=mass,
        ratio=profile.length / rod_length if rod_length else None,
        front_taper_mass_share=float(profile.segment_masses @ front) / mass,
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


def _remade(new: NewLoop, bare: Profile, where: float, inward: float) -> Loop:
    """The loop made at a cut end of a head, folded from ``where`` inward by ``inward`` [m].

    Its fold is given the length that weighs, at the finished end's mass per length, exactly what
    the folded stretch weighs; on a taper the two differ by a hair.
    """
    if new.fold == 0.0 and new.mass == 0.0:
        return NO_LOOP
    low, high = sorted((where, inward))
    folded = bare.mass_between(low, high, points=False)
    # What lies exactly at the blade goes with the offcut.
    points = bare.point_positions
    kept = (points > low - SLIVER) & (points < high + SLIVER) & (abs(points - where) > SLIVER)
    sleeves = float(bare.point_masses[kept].sum())
    # Inside the piece that stays: behind the finished front end, ahead of the finished rear end.
    ahead = int(np.searchsorted(bare.starts, inward - SLIVER, side="right")) - 1
    segment = int(bare.segment_at(inward)) if inward > where else ahead
    per_length = float(bare.linear_density(inward, segment))
    return Loop(LoopKind.FOLDED, folded / per_length, new.mass + sleeves)


def _snapped(where: float, head: Line) -> float:
    # A blade within rounding of a joint goes exactly there, and takes the sleeve with the offcut.
    return next((start for start in head.starts if abs(start - where) <= SLIVER), where)


def span_of(head: Line, part: Part) -> tuple[float, float] | None:
    """Where the segments of a part begin and end on a head [m], or None where there are none."""
    found = [i for i, segment in enumerate(head.segments) if segment.part is part]
    return (head.starts[found[0]], head.starts[found[-1] + 1]) if found else None


def _remarks(line: Line, head: Line, front: float, rear: float) -> list[Finding]:
    notes: list[Sentence] = []
    cautions: list[Sentence] = []
    if rear > 0.0 and len(line.segments) > len(head.segments):
        notes.append(
            Sentence(
                "The running line comes off at the rod end of the head; it goes back on with a "
                "loop."
            )
        )
    for end, length, loop in (
        (CutEnd.FRONT, front, head.front_loop),
        (CutEnd.REAR, rear, head.rear_loop),
    ):
        if 0.0 < length < loop.fold:
            cautions.append(
                Sentence(
                    "The cut at {end} falls inside the old loop, which is folded back over {fold}: "
                    "mark {length} from the end of the loop, open it, and cut at the mark, which "
                    "then lies {opened} from the end.",
                    end=ENDS[end],
                    fold=OnTape(loop.fold),
                    length=OnTape(length),
                    opened=OnTape(length + loop.fold),
                )
            )
    taper, belly = span_of(head, Part.FRONT_TAPER), span_of(head, Part.BELLY)
    if taper and front > taper[0] + SLIVER:
        cautions.append(
            Sentence(
                "The cut at the fly end goes into the front taper: the head turns over harder and "
                "lands less gently."
            )
        )
    whole = head.starts[-1]
    if belly and whole - rear < belly[1] - SLIVER:
        notes.append(
            Sentence("The cut at the rod end takes the whole rear taper and part of the belly.")
            if belly[1] < whole
            else Sentence("The cut at the rod end goes into the belly.")
        )
    return [Finding(Level.CAUTION, each) for each in cautions] + [
        Finding(Level.NOTE, each) for each in notes
    ]
