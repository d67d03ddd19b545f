"""A member of a range: all its figures, and those of its parent likewise."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.line import Line
from taperlab.model.range import Member, Range
from taperlab.model.rod import Rod, Window
from taperlab.model.water import Water
from taperlab.physics import section, sinking
from taperlab.physics.frustum import Array
from taperlab.physics.head import has_tip, head_rows, head_sums
from taperlab.physics.profile import Profile
from taperlab.physics.water import water_state
from taperlab.shop.goals.buildable import Tools
from taperlab.shop.on_rod import place_in
from taperlab.shop.range.grade import Counted
from taperlab.trade import windows
from taperlab.trade.joints import hinges, step_error
from taperlab.units.finding import Impossible

SAME_ROD = 0.006
"""Rods whose lengths differ by less than this, a quarter of an inch, are one rod [m]."""


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked: the parent as it is now, its range, and what else of the bench it touches.

    tools: what members are rounded to; None for not at all.
    """

    parent: Line
    range: Range
    rods: tuple[Rod, ...]
    chosen: Rod | None
    tips: tuple[Line, ...]
    water: Water
    tools: Tools | None = None


@dataclass(frozen=True, slots=True)
class TipStep:
    """A tip of the bench looped ahead of a member: mass per length ahead over that behind.

    error: relative, that a caliper leaves.
    """

    tip: Line
    step: float
    error: float

    @property
    def hinges(self) -> bool:
        """Whether the rig may hinge there."""
        return hinges(self.step, self.error)


@dataclass(frozen=True, slots=True)
class Coat:
    """The thinnest coat over a core in a head: how thick, and how far from the fly end [m]."""

    thickness: float
    position: float


@dataclass(frozen=True, eq=False, slots=True)
class MemberFigures:
    """One member; of its head where nothing else is said.

    asked: of the range. line: as it is to be made, running line included. rod: length of its rod
    [m], None where it is not known. ratio: nan without a rod. owner: the rod of the bench that is
    so long, if there is one; window: of it, for this style. carries: weight over the parent's.
    tip_linear_density, thickest_linear_density: [kg/m]; tip_diameter, thickest: [m]. sink: as one
    body [m/s], positive sinking. floats: whether it is lighter than the water it displaces. least:
    the lightest that it could be [kg], None where its length gives way, or it is edited by hand.
    neutral: where it stopped floating though the parent floats there [m], None for nowhere.
    """

    asked: Member
    letter: str
    line: Line
    profile: Profile
    mass: float
    length: float
    front_mass_share: float
    front_length_share: float
    balance_point: float
    rod: float | None
    ratio: float
    owner: Rod | None
    window: Window | None
    place: windows.Place | None
    to_edge: float
    carries: float
    tip_diameter: float
    thickest: float
    tip_linear_density: float
    thickest_linear_density: float
    floats: bool
    steps: tuple[TipStep, ...]
    coat: Coat | None
    neutral: float | None
    least: float | None
    sink: float = math.nan

    @property
    def by_hand(self) -> bool:
        """Whether it was edited by hand, and no longer follows the parent."""
        return self.asked.own is not None

    @property
    def mean_densities(self) -> tuple[float, ...]:
        """Mean density of each segment [kg/m^3], core included."""
        return tuple(section.mean_density(each) for each in self.line.segments)

    @property
    def mean_linear_density(self) -> float:
        """Weight over length [kg/m]."""
        return self.mass / self.length


def letter_of(index: int) -> str:
    """The letter of a member: A to Z, then AA, AB and so on."""
    first, last = divmod(index, 26)
    return (chr(ord("A") + first - 1) if first else "") + chr(ord("A") + last)


def rod_so_long(question: Question, length: float | None) -> Rod | None:
    """The rod of the bench of a length [m]: the chosen one, or else one with a window."""
    if length is None:
        return None
    rods = [*((question.chosen,) if question.chosen else ()), *question.rods]
    alike = [rod for rod in rods if abs(rod.length - length) < SAME_ROD]
    if question.chosen in alike:
        return question.chosen
    style = question.parent.style
    return next((rod for rod in alike if rod.window_for(style)), next(iter(alike), None))


def figures_of(
    question: Question,
    counted: Counted,
    asked: Member,
    letter: str,
    line: Line,
    water: float,
    beside: float | None = None,
) -> MemberFigures:
    """All figures of one member but its sink rate.

    water: its density [kg/m^3]. beside: weight of the parent's head [kg]; its own without one.
    Raises Impossible where its line has no head.
    """
    name = f"{question.range.name} {letter}".strip()
    line = replace(line, key=f"member-{letter}", name=name)
    profile = Profile.of(line)
    sums = head_sums(line, profile)
    if sums is None:
        raise Impossible("This member has no head any more.")
    rod = asked.rod if asked.rod is not None else counted.rod
    owner = rod_so_long(question, rod)
    window = owner.window_for(line.style) if owner else None
    place, to_edge = None, None
    if window is not None:
        tipped = has_tip(line)
        place, to_edge = place_in(window, sums.mass, window.measured_on, with_tip=tipped)
    ratio = counted.ratio(sums.length, rod)
    count = len(head_rows(line))
    tapers = profile.tapers()
    nodes = np.array([tapers.front, tapers.rear])[:, :count]
    along = np.array([tapers.linear_density(tapers.front), tapers.linear_density(tapers.rear)])
    front = float(along[0, 0])
    volume = float(profile.volume(sums.within, sums.points))
    return MemberFigures(
        asked=asked,
        letter=letter,
        line=line,
        profile=profile,
        mass=sums.mass,
        length=sums.length,
        front_mass_share=sums.front_mass_share,
        front_length_share=sums.front_length / sums.length,
        balance_point=sums.balance_point,
        rod=rod,
        ratio=math.nan if ratio is None else ratio,
        owner=owner,
        window=window,
        place=place,
        to_edge=math.nan if to_edge is None else to_edge,
        carries=sums.mass / (beside or sums.mass),
        tip_diameter=float(nodes[0, 0]),
        thickest=float(nodes.max()),
        tip_linear_density=front,
        thickest_linear_density=float(along[:, :count].max()),
        floats=volume * water > sums.mass,
        steps=tuple(_step(tip, line, front) for tip in question.tips),
        coat=coat_of(line),
        neutral=neutral_at(question.parent, line, water),
        least=None,
    )


def _step(tip: Line, line: Line, behind: float) -> TipStep:
    """A tip ahead of a line whose front end has so much mass per length [kg/m]."""
    last = tip.segments[-1]
    ahead = section.linear_density(last, last.length)
    error = step_error(last.rear_diameter, line.segments[0].front_diameter)
    return TipStep(tip, ahead / behind, error)


def coat_of(line: Line) -> Coat | None:
    """The thinnest coat over a core in a head; None without a core."""
    found = []
    for row in head_rows(line):
        segment, start = line.segments[row], line.starts[row]
        if segment.core is None:
            continue
        for diameter, place in (
            (segment.front_diameter, start),
            (segment.rear_diameter, start + segment.length),
        ):
            found.append(Coat((diameter - segment.core.diameter) / 2.0, place))
    return min(found, key=lambda each: each.thickness, default=None)


NEUTRAL = 0.01
"""A density within this share of the water's neither floats nor sinks for sure: as far off as the
mean density of a line may be, by judgement."""


def neutral_at(parent: Line, line: Line, water: float) -> float | None:
    """Where a head stopped floating though its parent floats there [m from the fly end].

    water: its density [kg/m^3]. Ends of segments are looked at, where the share of a core in a
    section is at its largest. None for nowhere, and for heads of different make-up.
    """
    most = water * (1.0 - NEUTRAL)
    rows = head_rows(line)
    if line.segments == parent.segments or len(rows) != len(head_rows(parent)):
        return None
    for row in rows:
        old, new = parent.segments[row], line.segments[row]
        for share in (0.0, 1.0):
            was, now = (
                section.linear_density(each, share * each.length)
                / (math.pi / 4.0 * each.diameter(share * each.length) ** 2)
                for each in (old, new)
            )
            if was < most <= now:
                return line.starts[row] + share * new.length
    return None


def settling(water: Water, members: list[MemberFigures]) -> list[MemberFigures]:
    """The members with the rates at which their heads settle, worked out all at once."""
    rows = [_wetted(each) for each in members]
    most = max(row.shape[1] for row in rows)
    # A segment of no length counts for nothing.
    padded = np.zeros((len(rows), 4, most))
    padded[:, 1:3] = 1e-3
    for i, row in enumerate(rows):
        padded[i, :, : row.shape[1]] = row
    weights = np.array([each.mass for each in members]) - padded[:, 3].sum(axis=1)
    rates = sinking.body_sink_rate(
        padded[:, 0],
        padded[:, 1],
        padded[:, 2],
        padded[:, 3],
        water_state(water),
        extra_mass=weights,
    )
    return [replace(each, sink=float(rate)) for each, rate in zip(members, rates, strict=True)]


def _wetted(member: MemberFigures) -> Array:
    """Segments and folded line of a head: length, both diameters [m], mass of segments [kg]."""
    profile, count = member.profile, len(head_rows(member.line))
    beside = (profile.point_segments < count) & (profile.point_folds > 0.0)
    folds, thick = profile.point_folds[beside], profile.point_diameters[beside]
    return np.concatenate(
        (
            np.array(
                [
                    profile.lengths[:count],
                    profile.front_diameters[:count],
                    profile.rear_diameters[:count],
                    profile.segment_masses[:count],
                ]
            ),
            np.array([folds, thick, thick, np.zeros_like(folds)]),
        ),
        axis=1,
    )


POINTS = 9
"""Points along a segment that a curve is drawn through."""


def outline(member: MemberFigures) -> tuple[Array, Array]:
    """Mass per length [kg/m] along a head [m], both sides of every breakpoint."""
    count = len(head_rows(member.line))
    positions, index = member.profile.sample(POINTS)
    inside = index < count
    positions, index = positions[inside], index[inside]
    return positions, member.profile.linear_density(positions, index)


def difference(member: MemberFigures, parent: MemberFigures) -> tuple[Array, Array]:
    """What a member has more than its parent [kg/m], at the same distances from the fly end [m].

    As far as both reach; at the breakpoints of either.
    """
    (own, _), (other, _) = outline(member), outline(parent)
    end = min(member.length, parent.length)
    places = np.unique(np.concatenate((own, other)))
    places = places[places <= end]
    theirs = parent.profile.linear_density(places)
    return places, member.profile.linear_density(places) - theirs
