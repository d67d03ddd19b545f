"""What goals can reach at all: exact, where a figure rises with every number that it depends on.

Weight, length, weights per length and diameters do, so their ends lie where all that may move is
at its end. Weight for a given length follows too: at the thickest, each length is worth its row's
mean weight per length, and the heaviest rows are made as long as they may be first.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np

from taperlab.model.aim import GoalKind
from taperlab.physics import slopes
from taperlab.physics.slopes import LENGTH, Fittings, Sloped
from taperlab.shop.goals.search import Problem
from taperlab.shop.goals.targets import Aimed

_RISES_WITH_ALL = (
    GoalKind.WEIGHT,
    GoalKind.LENGTH,
    GoalKind.RATIO,
    GoalKind.TIP,
    GoalKind.THICKEST,
    GoalKind.DIAMETER,
    GoalKind.STEP,
)
"""Figures that never fall as any number grows, or, of the step, never rise."""


def proved(problem: Problem, aims: Sequence[Aimed]) -> bool:
    """Whether reach alone shows that goals cannot be met: one by itself, or weight with length."""
    for aim in aims:
        ends = reach_of(problem, aim)
        if ends and (aim.low - aim.unit > ends[1] or aim.high + aim.unit < ends[0]):
            return True
    weights = [aim for aim in aims if aim.goal.kind is GoalKind.WEIGHT]
    lengths = [aim for aim in aims if aim.per_metre]
    for weight, length in itertools.product(weights, lengths):
        least, most = weight_at_length(problem, length)
        if weight.low - weight.unit > most or weight.high + weight.unit < least:
            return True
    return False


def reach_of(problem: Problem, aim: Aimed) -> tuple[float, float] | None:
    """The least and the most [SI] that a figure can be by itself; None where that is not exact."""
    if aim.goal.kind not in _RISES_WITH_ALL:
        return None
    low, high = sorted(
        aim.reached(problem.line_at(corner)) for corner in (problem.low, problem.high)
    )
    return low, high


def weight_at_length(problem: Problem, length: Aimed) -> tuple[float, float]:
    """The least and the most that a head can weigh [kg] while it is as long as a goal wants.

    Tapers may turn here, which the search does not let them: no search reaches further.
    """
    longest = (length.high + length.unit) / length.per_metre
    shortest = (length.low - length.unit) / length.per_metre
    return (
        _filled(problem, shortest, heaviest=False),
        _filled(problem, longest, heaviest=True),
    )


def _filled(problem: Problem, wanted: float, *, heaviest: bool) -> float:
    """Weight [kg] at the thickest, or thinnest, with length laid where it weighs most, or least.

    From all lengths at their shortest up to ``wanted`` [m], or as far as they may go.
    """
    line, groups = problem.line, problem.groups
    within = np.array([1.0 if each.part.in_head else 0.0 for each in line.segments])
    end = problem.high if heaviest else problem.low
    columns = problem.columns(np.where([each.is_length for each in groups], problem.low, end))
    sloped = Sloped(columns, Fittings.of(line))
    weight, table = slopes.mass(sloped, within)
    left = wanted - float(columns[0] @ within)
    room: list[tuple[float, float]] = []
    for k, group in enumerate(groups):
        if group.is_length:
            rows = [row for row, _ in group.cells]
            size = float(columns[0, rows].sum())
            worth = float((table[LENGTH, rows] * columns[0, rows]).sum()) / size
            room.append((worth, size * math.expm1(problem.high[k] - problem.low[k])))
    for worth, longer in sorted(room, reverse=heaviest):
        take = min(max(left, 0.0), longer)
        weight += worth * take
        left -= take
    return weight
