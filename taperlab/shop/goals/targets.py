"""Goals as numbers with slopes: what each is, where it is to lie, what is as good as met."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.aim import Goal, GoalKind
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Line
from taperlab.physics import slopes
from taperlab.physics.frustum import QUARTER_PI, Array
from taperlab.physics.head import head_rows
from taperlab.physics.profile import Profile
from taperlab.physics.section import linear_density
from taperlab.physics.settling_slopes import net_force, settling_rate
from taperlab.physics.slopes import FRONT, LENGTH, REAR, Sloped
from taperlab.physics.water import WaterState
from taperlab.units.finding import Impossible

AS_GOOD: Mapping[GoalKind, float] = {
    GoalKind.WEIGHT: 0.5 * GRAIN,
    GoalKind.LENGTH: INCH / 16.0,
    GoalKind.FRONT: 0.002,
    GoalKind.BALANCE: 0.02 * FOOT,
    GoalKind.RATIO: 0.001,
    GoalKind.TIP: 0.05 * GRAIN / FOOT,
    GoalKind.THICKEST: 0.05 * GRAIN / FOOT,
    GoalKind.DIAMETER: 0.0005 * INCH,
    GoalKind.STEP: 0.01,
    GoalKind.RUNNING: 0.5 * GRAIN,
    GoalKind.SINK: 0.02 * INCH,
}
"""What a goal may be off by and is as good as met [SI]: what scale and tape can tell."""

HALF_A_STEP = 0.0005 * INCH
"""Half a micrometer's step [m]: a weight per length cannot be had closer than that makes it."""

Measure = Callable[[Sloped], tuple[float, Array]]
"""A number of a line and its slopes (4, n)."""


@dataclass(frozen=True, slots=True)
class Row:
    """One number that is to lie between two, as the search takes it.

    unit: what may be missing of it and is as good as nothing.
    """

    measure: Measure
    low: float
    high: float
    unit: float


@dataclass(frozen=True, slots=True)
class Aimed:
    """A goal on a line: the rows that it asks for, where it is to lie, and how to tell it.

    low, high: as shown, another line's figure read. figure: what a line of as many rows has [SI].
    unit: what is as good as met. per_metre: for a length, what a metre of head makes of it.
    """

    goal: Goal
    low: float
    high: float
    unit: float
    rows: tuple[Row, ...]
    figure: Callable[[Sloped], float]
    per_metre: float = 0.0

    def reached(self, line: Line) -> float:
        """What a line of as many rows has [SI]."""
        return self.figure(Sloped.of(line))

    def off(self, value: float) -> float:
        """How far a value lies outside the range, in units of what is as good as met; signed."""
        if math.isnan(value):
            return math.inf
        if value < self.low:
            return (value - self.low) / self.unit
        return max(0.0, value - self.high) / self.unit

    def met(self, value: float) -> bool:
        """Whether a value is as good as in the range."""
        return abs(self.off(value)) <= 1.0 + 1e-6


@dataclass(frozen=True, slots=True)
class Around:
    """What goals of a line may refer to beside it.

    others: lines of the bench by key. rod_length: of the chosen rod [m]. water: to sink in.
    """

    others: Mapping[str, Line]
    rod_length: float | None
    water: WaterState


def aimed(line: Line, goal: Goal, around: Around) -> Aimed:
    """A goal of a line, ready to be searched for.

    Raises Impossible where the line has no such figure: no head, no rod, no such other line.
    """
    rows = head_rows(line)
    if not rows:
        raise Impossible("The line has no head, so it has no goals.")
    within = np.zeros(len(line.segments))
    within[list(rows)] = 1.0
    low, high, unit = goal.low, goal.high, AS_GOOD[goal.kind]

    def simple(measure: Measure) -> Aimed:
        row = Row(measure, low, high, unit)
        return Aimed(goal, low, high, unit, (row,), lambda each: measure(each)[0])

    if goal.kind is GoalKind.WEIGHT:
        return simple(lambda each: slopes.mass(each, within))
    if goal.kind is GoalKind.LENGTH:
        return replace(simple(lambda each: _length(each, within, 1.0)), per_metre=1.0)
    if goal.kind is GoalKind.RATIO:
        rod = around.rod_length
        if rod is None:
            raise Impossible("Choose a rod first: the ratio is the head’s length over the rod’s.")
        per = 1.0 / rod
        return replace(simple(lambda each: _length(each, within, per)), per_metre=per)
    if goal.kind is GoalKind.FRONT:
        front = slopes.front_rows(line) * within
        if not front.any():
            raise Impossible("The head has no tip and no front taper.")
        return simple(lambda each: slopes.front_share(each, front, within))
    if goal.kind is GoalKind.BALANCE:
        return simple(lambda each: slopes.balance(each, within))
    if goal.kind is GoalKind.RUNNING:
        place = goal.at or 0.0
        if goal.matches:
            other = _other(goal, around)
            low = high = float(Profile.of(other).running_mass(place))
        return simple(lambda each: slopes.running_mass(each, place))
    if goal.kind is GoalKind.SINK:
        return _sinking(line, goal, within, around)
    if goal.kind is GoalKind.TIP:
        unit = max(unit, _half_a_step(line, rows[0]))
        return simple(lambda each: _per_length(each, FRONT, rows[0]))
    if goal.kind is GoalKind.STEP:
        other = _other(goal, around)
        ahead = linear_density(other.segments[-1], other.segments[-1].length)
        return simple(lambda each: _step(each, rows[0], ahead))
    return _greatest(line, goal, rows)


def _other(goal: Goal, around: Around) -> Line:
    other = around.others.get(goal.line or "")
    if other is None or not other.segments:
        raise Impossible("A goal is of another line that is no longer on the bench.")
    return other


def _length(rows: Sloped, within: Array, factor: float) -> tuple[float, Array]:
    table = np.zeros((4, len(within)))
    table[LENGTH] = within * factor
    return float(rows.lengths @ within) * factor, table


def _per_length(rows: Sloped, end: int, row: int) -> tuple[float, Array]:
    """Mass per length at an end of a row [kg/m], and its slopes."""
    table = np.zeros((4, len(rows.lengths)))
    d, density = rows.columns[end, row], rows.densities[row]
    core = rows.cores[row] ** 2
    table[end, row] = 2.0 * QUARTER_PI * density * d
    table[3, row] = QUARTER_PI * (d * d - core)
    value = QUARTER_PI * (density * d * d + (rows.core_densities[row] - density) * core)
    return float(value), table


def _step(rows: Sloped, row: int, ahead: float) -> tuple[float, Array]:
    """Mass per length of what is looped ahead over that of the row it is looped to."""
    own, table = _per_length(rows, FRONT, row)
    step = ahead / own
    return step, -step / own * table


def _half_a_step(line: Line, row: int) -> float:
    """What half a micrometer's step makes of the mass per length at a row's front [kg/m]."""
    segment = line.segments[row]
    return 2.0 * QUARTER_PI * segment.density * segment.front_diameter * HALF_A_STEP


def _sinking(line: Line, goal: Goal, within: Array, around: Around) -> Aimed:
    """Above the low end's rate just where the force at that speed points down, and so on."""
    state, unit = around.water, AS_GOOD[GoalKind.SINK]
    now = Sloped.of(line)

    def row(speed: float, low: float, high: float) -> Row:
        either = [net_force(now, within, speed + by, state)[0] for by in (unit, -unit)]
        return Row(
            lambda each: net_force(each, within, speed, state),
            low,
            high,
            abs(either[1] - either[0]) / 2.0,
        )

    rows: tuple[Row, ...] = (row(goal.low, 0.0, 0.0),)
    if goal.low < goal.high:
        rows = (row(goal.low, 0.0, math.inf), row(goal.high, -math.inf, 0.0))

    def figure(each: Sloped) -> float:
        return float(settling_rate(each, within, state))

    return Aimed(goal, goal.low, goal.high, unit, rows, figure)


def _greatest(line: Line, goal: Goal, rows: tuple[int, ...]) -> Aimed:
    """The thickest place, or the heaviest per length: none is above the high end, one not below.

    Which one is to reach the low end is the one that is the greatest today.
    """
    by_weight = goal.kind is GoalKind.THICKEST
    unit, now = AS_GOOD[goal.kind], Sloped.of(line)
    ends = [(end, row) for row in rows for end in (FRONT, REAR)]

    def at(end: int, row: int) -> Measure:
        if by_weight:
            return lambda each: _per_length(each, end, row)

        def diameter(each: Sloped) -> tuple[float, Array]:
            table = np.zeros((4, len(each.lengths)))
            table[end, row] = 1.0
            return float(each.columns[end, row]), table

        return diameter

    measures = {place: at(*place) for place in ends}
    today = {place: measures[place](now)[0] for place in ends}
    top = max(ends, key=lambda place: today[place])
    if by_weight:
        unit = max(unit, _half_a_step(line, top[1]))
    found = [Row(measures[top], goal.low, goal.high, unit)]
    seen = {(today[top], top[1])}
    for place in ends:
        if place != top and (today[place], place[1]) not in seen:
            seen.add((today[place], place[1]))
            found.append(Row(measures[place], -math.inf, goal.high, unit))

    def figure(each: Sloped) -> float:
        return max(measures[place](each)[0] for place in ends)

    return Aimed(goal, goal.low, goal.high, unit, tuple(found), figure)
