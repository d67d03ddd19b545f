"""Heads drawn at random, what may move of them, and goals that can be met or cannot."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from taperlab.model.aim import Aim, Cell, Goal, GoalKind, Hold
from taperlab.model.exact_units import FOOT, INCH
from taperlab.model.line import Line, Loop, LoopKind, line_of
from taperlab.model.segment import Core, Part, Segment
from taperlab.physics.water import WaterState
from taperlab.shop.goals.search import Problem
from taperlab.shop.goals.targets import Around, aimed
from taperlab.shop.goals.unknowns import groups_of

KINDS = (
    GoalKind.WEIGHT,
    GoalKind.LENGTH,
    GoalKind.FRONT,
    GoalKind.BALANCE,
    GoalKind.RUNNING,
    GoalKind.TIP,
    GoalKind.DIAMETER,
    GoalKind.SINK,
)
AROUND = Around({}, 13.0 * FOOT, WaterState(999.7, 1.306e-3))


def head(draw: np.random.Generator, rows: int | None = None) -> Line:
    """A head of 3 to 12 segments, thin at the fly end, that a person could have spliced."""
    count = rows or int(draw.integers(3, 13))
    thickest = draw.uniform(0.07, 0.12) * INCH
    peak = int(draw.integers(count // 2, count + 1))
    up = np.sort(draw.uniform(0.3, 1.0, peak))
    down = np.sort(draw.uniform(0.4, 1.0, count + 1 - peak))[::-1]
    nodes = thickest * np.concatenate((up, down))
    sinks = draw.random() < 0.25
    density = draw.uniform(1100.0, 1800.0) if sinks else draw.uniform(820.0, 900.0)
    core = Core(0.02 * INCH, 1140.0) if draw.random() < 0.2 else None
    segments = []
    for i in range(count):
        place = (i >= max(1, peak // 2)) + (i > peak)
        part = (Part.FRONT_TAPER, Part.BELLY, Part.REAR_TAPER)[place]
        rear = nodes[i] if draw.random() < 0.2 else nodes[i + 1]
        nodes[i + 1] = rear
        length = draw.uniform(1.0, 8.0) * FOOT
        segments.append(Segment(part, length, nodes[i], rear, density, core))
    line = line_of("line-1", "Drawn", tuple(segments))
    if draw.random() < 0.5:
        loop = Loop(LoopKind.FOLDED, 2.5 * INCH, 1e-4)
        line = replace(line, front_loop=loop, rear_loop=loop)
    return line


def locked(draw: np.random.Generator, line: Line, share: float) -> Line:
    """The line with some of its cells locked."""
    segments = tuple(
        replace(each, holds=tuple(Hold(cell, True) for cell in Cell if draw.random() < share))
        for each in line.segments
    )
    return replace(line, segments=segments)


def _goal(kind: GoalKind, line: Line, moved: Line, off: float, wide: float) -> Goal:
    """A goal of this kind that ``moved`` meets, or misses by a factor; as a range, now and then."""
    at = 0.6 * line.length if kind is GoalKind.RUNNING else None
    probe = aimed(line, Goal(kind, 0.5, 0.5, at), AROUND)
    value = probe.reached(moved)
    value += off * abs(value)
    return Goal(kind, value - wide * abs(value), value + wide * abs(value), at)


def can_be_met(draw: np.random.Generator, rows: int | None = None, most: int = 4) -> Line:
    """A line with locks and goals that some line within its bounds meets, in order."""
    line = locked(draw, head(draw, rows), draw.choice([0.0, 0.1, 0.25]))
    groups = groups_of(line)
    problem = Problem(line, groups, ())
    for _ in range(200):
        by = problem.low + (problem.high - problem.low) * draw.uniform(0.1, 0.9, len(groups))
        values, _ = problem.values(by)
        if not np.abs(problem.off(values)).any():
            break
        by = by * 0.0
    moved = problem.line_at(by)
    kinds = draw.permutation(len(KINDS))[: draw.integers(1, most + 1)]
    goals = tuple(_goal(KINDS[k], line, moved, 0.0, draw.choice([0.0, 0.0, 0.02])) for k in kinds)
    return replace(line, aim=Aim(goals))


def cannot_be_met(draw: np.random.Generator, rows: int | None = None) -> Line:
    """A line whose goals are, as like as not, beyond it: figures pulled apart."""
    line = locked(draw, head(draw, rows), draw.choice([0.0, 0.1, 0.25]))
    kinds = draw.permutation(len(KINDS) - 1)[: draw.integers(2, 5)]
    goals = []
    for k in kinds:
        off = float(draw.choice([-1.0, 1.0])) * draw.uniform(0.1, 0.8)
        try:
            goal = _goal(KINDS[k], line, line, off if math.isfinite(off) else 0.0, 0.0)
        except ValueError:
            continue
        goals.append(goal)
    return replace(line, aim=Aim(tuple(goals)))
