"""From a line to its figures: one analysis per line, computed when the line changes."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, fields
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from taperlab.model.exact_units import FOOT
from taperlab.model.line import JointKind, Line
from taperlab.model.segment import Part
from taperlab.model.water import Water
from taperlab.physics import sinking
from taperlab.physics.frustum import Array
from taperlab.physics.head import head_problem, head_rows, head_sums
from taperlab.physics.profile import SAME_PLACE, Profile
from taperlab.physics.water import WaterState, water_state
from taperlab.trade import line_weights
from taperlab.trade.joints import hinges, step_error
from taperlab.units.finding import Finding, Level
from taperlab.units.sentence import Number, Sentence

if TYPE_CHECKING:
    from taperlab.physics.lapped import Laps

STANDARD_LENGTH = 30.0 * FOOT
"""Length that the single-hand standard weighs [m]."""

ROUNDING = 1e-9
"""Lengths that differ by less are the same [m]."""

STEP_IN_ONE_PIECE = 1.1
"""In one extrusion, a step up toward the fly larger than this is worth a remark."""

DRAG_OFF = 0.08
"""Share by which the drag of a level line may lie off the formula.

Cheng's formula lies within 8 % of the measurements of Wieselsberger (1921, as printed in NACA TN
121) and of computed drag at the Reynolds numbers of sinking lines; tests/published holds it.
"""

DENSITY_OFF = 0.01
"""Share by which a line's mean density may be off, by judgement.

That is what a diameter read 0.0003 in wrong makes of a line 0.060 in thick whose weight is known.
"""

POINTS_IN_A_LAP = 4
"""Points along a lap, which the eye takes for a straight line."""

POINTS_IN_A_CORED_SEGMENT = 33
"""Points along a segment with a core at which its fastest and slowest rate are looked for."""


@dataclass(frozen=True, slots=True)
class SegmentFigures:
    """Figures of one segment.

    start, length: [m]. mass: [kg], loops and sleeves left out. front_linear_density,
    rear_linear_density: [kg/m]. mean_density: [kg/m^3].
    front_sink, rear_sink, sink: [m/s], at each end and of the segment as one body.
    """

    part: Part
    start: float
    length: float
    mass: float
    front_linear_density: float
    rear_linear_density: float
    mean_density: float
    front_sink: float
    rear_sink: float
    sink: float


@dataclass(frozen=True, slots=True)
class HeadFigures:
    """Figures of the head: the segments that are neither handling nor running line.

    length, balance_point: [m], the latter from the fly end. mass: [kg], loops and sleeves on the
    head included. Shares: 0 to 1. mean_linear_density, thickest_linear_density: [kg/m].
    first_30_ft: [kg] or None where there are not 30 ft. sink, fastest, slowest: [m/s].
    sink_low, sink_high: [m/s], between which ``sink`` lies, see ``_sink_range``. tip_sink: [m/s],
    of the sinking segments at the fly end alone, where what follows them floats; else None.
    spare_buoyancy: mass [kg] that the head could take on before it sinks, negative when it
    sinks already.
    """

    length: float
    mass: float
    front_taper_mass_share: float
    front_taper_length_share: float
    balance_point: float
    mean_linear_density: float
    thickest_linear_density: float
    first_30_ft: float | None
    sink: float
    fastest: float
    slowest: float
    spare_buoyancy: float
    sink_low: float
    sink_high: float
    tip_sink: float | None

    @property
    def floats(self) -> bool:
        """Whether the head is lighter than the water it displaces."""
        return self.spare_buoyancy > 0.0


@dataclass(frozen=True, eq=False, slots=True)
class Curves:
    """What the plots draw, point by point; both sides of every breakpoint. Shapes (p,).

    position: [m]. diameter: [m]. linear_density: [kg/m]. running_mass: [kg]. sink: [m/s].
    """

    position: Array
    diameter: Array
    linear_density: Array
    running_mass: Array
    sink: Array

    def ahead_of(self, end: float) -> Curves:
        """What lies ahead of the rear of a segment [m], that end included."""
        count = int(np.searchsorted(self.position, end - SAME_PLACE)) + 1
        return Curves(*(getattr(self, each.name)[:count] for each in fields(self)))


@dataclass(frozen=True, eq=False)
class LineAnalysis:
    """All that is known of a line in a water. ``head`` is None for a line without one."""

    line: Line
    water: Water
    state: WaterState
    profile: Profile
    segments: tuple[SegmentFigures, ...]
    head: HeadFigures | None
    single_hand: line_weights.SingleHandRating | None
    two_handed: line_weights.TwoHandedRating | None
    findings: tuple[Finding, ...]

    @property
    def length(self) -> float:
        """Length of the whole line [m], running line included."""
        return self.profile.length

    @property
    def mass(self) -> float:
        """Mass of the whole line [kg], running line, loops and sleeves included."""
        return self.profile.total_mass

    @property
    def head_end(self) -> float:
        """Where the rearmost segment of the head ends [m]; the end of a line without a head."""
        rows = head_rows(self.line)
        return self.line.starts[rows[-1] + 1] if rows else self.length

    @property
    def fittings_mass(self) -> float:
        """Mass of what lies on the segments [kg]: loops, their folds too, and joints."""
        return float(self.profile.point_masses.sum())

    @cached_property
    def laps(self) -> Laps | None:
        """The laps of its welds; None where none is lapped."""
        if all(each.kind is not JointKind.LAPPED_WELD for each in self.line.joints):
            return None
        from taperlab.physics.lapped import Laps  # most lines have none

        return Laps.of(self.line)

    @cached_property
    def curves(self) -> Curves:
        """Points to draw: few, since every one is repainted on every edit."""
        profile, laps = self.profile, self.laps
        count = len(self.segments)
        per_segment = max(3, min(12, 120 // count)) if count else 2
        position, index = profile.sample(per_segment)
        if laps is not None:
            more = laps.places(POINTS_IN_A_LAP)
            order = np.argsort(np.concatenate((position, more)), kind="stable")
            position = np.concatenate((position, more))[order]
            index = np.concatenate((index, profile.segment_at(more)))[order]
        diameter = profile.diameter(position, index)
        linear_density = profile.linear_density(position, index)
        # A joint's mass belongs to the rear of it, or its step would be drawn twice.
        running = profile.running_mass(position)
        if len(profile.point_masses):
            ahead = np.isclose(position, profile.starts[index + 1], rtol=0.0, atol=SAME_PLACE) & (
                index < count - 1
            )
            running = np.where(ahead, running - _points_at(profile, position), running)
        if laps is not None:
            diameter = laps.diameter(position, diameter)
            linear_density = laps.linear_density(position, linear_density)
            running = laps.running_mass(position, running)
        return Curves(
            position=position,
            diameter=diameter,
            linear_density=linear_density,
            running_mass=running,
            sink=sinking.sink_rate(diameter, linear_density, self.state),
        )


def _points_at(profile: Profile, position: Array) -> Array:
    at = np.isclose(profile.point_positions, position[:, np.newaxis], rtol=0.0, atol=SAME_PLACE)
    return np.asarray(at @ profile.point_masses)


def analyse_line(line: Line, water: Water) -> LineAnalysis:
    """Work out everything that the window and the report show about a line."""
    state = water_state(water)
    profile = Profile.of(line)
    segments = _segments(line, profile, state)
    head = _head(line, profile, segments, state)
    two_handed = None
    if head is not None:
        two_handed = line_weights.rate_two_handed(
            head.length, lambda length: float(profile.running_mass(length)), profile.length
        )
    return LineAnalysis(
        line=line,
        water=water,
        state=state,
        profile=profile,
        segments=segments,
        head=head,
        single_hand=line_weights.rate_single_hand(head.first_30_ft if head else None),
        two_handed=two_handed,
        findings=findings_of(line, segments),
    )


def _segments(line: Line, profile: Profile, state: WaterState) -> tuple[SegmentFigures, ...]:
    if not line.segments:
        return ()
    tapers = profile.tapers()
    front, rear = tapers.linear_density(tapers.front), tapers.linear_density(tapers.rear)
    volumes = tapers.volume()
    front_sink = sinking.sink_rate(tapers.front, front, state)
    rear_sink = sinking.sink_rate(tapers.rear, rear, state)
    own = sinking.body_sink_rate(
        tapers.length[:, np.newaxis],
        tapers.front[:, np.newaxis],
        tapers.rear[:, np.newaxis],
        profile.segment_masses[:, np.newaxis],
        state,
    )
    return tuple(
        SegmentFigures(
            part=segment.part,
            start=float(profile.starts[i]),
            length=segment.length,
            mass=float(profile.segment_masses[i]),
            front_linear_density=float(front[i]),
            rear_linear_density=float(rear[i]),
            mean_density=float(profile.segment_masses[i] / volumes[i]),
            front_sink=float(front_sink[i]),
            rear_sink=float(rear_sink[i]),
            sink=float(own[i]),
        )
        for i, segment in enumerate(line.segments)
    )


def _head(
    line: Line, profile: Profile, segments: tuple[SegmentFigures, ...], state: WaterState
) -> HeadFigures | None:
    sums = head_sums(line, profile)
    if sums is None:
        return None
    in_head, on_head, length, mass = sums.within, sums.points, sums.length, sums.mass
    own = [segment for segment, inside in zip(segments, in_head, strict=True) if inside]
    # Without a core the fastest and the slowest point are ends of a segment. A loop can take the
    # whole head past its fastest point, so each segment's own rate and the head's count too.
    rates = [rate for s in own for rate in (s.front_sink, s.rear_sink, s.sink)]
    rates += _rates_inside(profile, in_head * (profile.core_diameters > 0.0), state)
    sink = float(profile.sink_rate(state, in_head, on_head))
    buoyancy = state.density * float(profile.volume(in_head, on_head)) - mass
    extra = _masses_off(mass, -buoyancy)
    sink_low, sink_high = _sink_range(sink, profile.sink_rate(state, in_head, on_head, extra))
    return HeadFigures(
        length=length,
        mass=mass,
        front_taper_mass_share=sums.front_mass_share,
        front_taper_length_share=sums.front_length / length,
        balance_point=sums.balance_point,
        mean_linear_density=mass / length,
        thickest_linear_density=max(
            max(segment.front_linear_density, segment.rear_linear_density) for segment in own
        ),
        first_30_ft=_first_30_ft(line, profile, length),
        sink=sink,
        fastest=max(*rates, sink),
        slowest=min(*rates, sink),
        spare_buoyancy=buoyancy,
        sink_low=sink_low,
        sink_high=sink_high,
        tip_sink=_tip_sink(profile, segments, list(head_rows(line)), state),
    )


def _masses_off(mass: float, excess: float) -> Array:
    """What to add to a mass [kg] so that drag, then density, is off either way.

    excess: net mass in water [kg]. Drag that is k times as large is as good as a net weight
    divided by k.
    """
    drag = [excess / (1.0 + off) - excess for off in (DRAG_OFF, -DRAG_OFF)]
    return np.array([*drag, DENSITY_OFF * mass, -DENSITY_OFF * mass])


def _sink_range(sink: float, off: Array) -> tuple[float, float]:
    """From the slowest to the fastest [m/s] that a head may sink.

    sink: as worked out. off: with drag, then mean density, off either way (4,). Drag and density
    know nothing of each other, so what each moves the rate by is added by squares, up and down.
    """
    moved = (off - sink).reshape(2, 2)
    down, up = moved.min(axis=1).clip(max=0.0), moved.max(axis=1).clip(min=0.0)
    return sink - math.hypot(*down), sink + math.hypot(*up)


def _tip_sink(
    profile: Profile, segments: tuple[SegmentFigures, ...], rows: list[int], state: WaterState
) -> float | None:
    """Sink rate [m/s] of the sinking segments at the fly end, if what follows them floats."""
    tip = list(itertools.takewhile(lambda row: segments[row].sink > 0.0, rows))
    if not tip or len(tip) == len(rows):
        return None
    in_tip = np.zeros(len(segments))
    in_tip[tip] = 1.0
    return float(profile.sink_rate(state, in_tip, in_tip[profile.point_segments]))


def _rates_inside(profile: Profile, wanted: Array, state: WaterState) -> list[float]:
    """Sink rates [m/s] along the segments that are wanted, close enough to find their extremes."""
    if not wanted.any():
        return []
    position, index = profile.sample(POINTS_IN_A_CORED_SEGMENT)
    inside = wanted[index] > 0.0
    position, index = position[inside], index[inside]
    diameter = profile.diameter(position, index)
    found = sinking.sink_rate(diameter, profile.linear_density(position, index), state)
    return [float(found.max()), float(found.min())]


def _first_30_ft(line: Line, profile: Profile, head_length: float) -> float | None:
    # The standard weighs the line itself, a level tip left out: end loops do not count, and a
    # head shorter than 30 ft has no such weight, nor one whose line ends before 30 ft are out.
    start = 0.0
    for segment in line.segments:
        if segment.part is not Part.TIP:
            break
        start += segment.length
    if min(head_length, profile.length - start) < STANDARD_LENGTH - ROUNDING:
        return None
    return profile.mass_between(start, start + STANDARD_LENGTH, points=False)


def findings_of(line: Line, segments: tuple[SegmentFigures, ...]) -> tuple[Finding, ...]:
    """What is worth a remark about a line, given the figures of its segments."""
    problem = head_problem(line)
    found = [problem] if problem else []
    for i, (ahead, behind) in enumerate(itertools.pairwise(segments)):
        if not ahead.part.in_head or not behind.part.in_head:
            continue
        step = ahead.rear_linear_density / behind.front_linear_density
        is_made = line.joints[i].kind is not JointKind.ONE_EXTRUSION
        rear, front = line.segments[i].rear_diameter, line.segments[i + 1].front_diameter
        if hinges(step, step_error(rear, front)) and (is_made or step > STEP_IN_ONE_PIECE):
            sentence = Sentence(
                "Segment {ahead} is {ratio} times as heavy per foot at the joint as segment "
                "{behind} that must carry it: the rig may hinge there.",
                ahead=i + 1,
                ratio=Number(step, 2),
                behind=i + 2,
            )
            found.append(Finding(Level.CAUTION, sentence, i))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Difference:
    """One head against another, first minus second; nan where one of them has no such figure."""

    mass: float
    length: float
    front_taper_mass_share: float
    balance_point: float
    mean_linear_density: float
    sink: float


def compare_heads(one: HeadFigures | None, other: HeadFigures | None) -> Difference | None:
    """What one head has more of than another; None where either line has no head."""
    if one is None or other is None:
        return None
    names = (each.name for each in fields(Difference))
    return Difference(*(getattr(one, name) - getattr(other, name) for name in names))
