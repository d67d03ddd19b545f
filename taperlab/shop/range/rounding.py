"""A member rounded to what a tape and a micrometer can do, as heavy as was asked."""

from __future__ import annotations

from dataclasses import replace

from taperlab.model.aim import Aim, Cell, Goal, GoalKind, Hold
from taperlab.model.line import Line
from taperlab.model.range import LengthRule, ThicknessRule
from taperlab.model.water import Water
from taperlab.physics.head import head_of
from taperlab.physics.water import water_state
from taperlab.shop.goals.buildable import Tools, rounded
from taperlab.shop.goals.targets import Around, aimed


def as_built(
    line: Line,
    mass: float,
    rules: tuple[LengthRule, ThicknessRule],
    tools: Tools,
    *,
    holds: bool,
) -> Line:
    """The line with every length and diameter of its head on its tool's steps.

    mass: what its head is to weigh [kg]. What its rules keep is locked or aimed at: the fly end
    where it is held (holds), every diameter where lengths follow the weight, the length where that
    stays.
    """
    length, _ = rules
    locked = without_goals(line)
    if length is LengthRule.WEIGHT:
        locked = _locking(locked, range(len(line.segments)))
    elif holds:
        locked = _locking(locked, [0], (Cell.FRONT,))
    goals = [Goal(GoalKind.WEIGHT, mass, mass)]
    if length is LengthRule.SAME:
        own = head_of(line).length
        goals.append(Goal(GoalKind.LENGTH, own, own))
    around = Around({}, None, water_state(Water()))
    aims = [aimed(locked, goal, around) for goal in goals]
    return without_goals(rounded(locked, locked, aims, tools))


def without_goals(line: Line) -> Line:
    """The line with no goals and nothing locked: those of a parent are not its members'."""
    segments = tuple(replace(each, holds=()) if each.holds else each for each in line.segments)
    return replace(line, segments=segments, aim=Aim())


def _locking(
    line: Line, rows: range | list[int], cells: tuple[Cell, ...] = (Cell.FRONT, Cell.REAR)
) -> Line:
    holds = tuple(Hold(cell, locked=True) for cell in cells)
    segments = tuple(
        replace(each, holds=holds) if row in rows else each
        for row, each in enumerate(line.segments)
    )
    return replace(line, segments=segments)
