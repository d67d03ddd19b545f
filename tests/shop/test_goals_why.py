"""Why goals cannot be met: the quarrel is confirmed by a search over subsets, apart from ours."""

from __future__ import annotations

import itertools
import math
import os
from dataclasses import replace

import numpy as np
import pytest
from scipy import optimize

from taperlab.model.aim import Aim, Cell, Goal, GoalKind, Hold
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Line, line_of
from taperlab.model.segment import Part, Segment
from taperlab.shop.goals.reach import weight_at_length
from taperlab.shop.goals.search import Problem
from taperlab.shop.goals.study import case_of, solve
from taperlab.shop.goals.targets import aimed
from taperlab.shop.goals.unknowns import groups_of
from taperlab.shop.goals.why import Why, explain
from taperlab.shop.goals.words import quarrel_title, why_sentence
from taperlab.shop.steps import finish
from taperlab.units.kinds import System
from taperlab.units.sentence import render
from tests.drawn_goals import AROUND, can_be_met, cannot_be_met, head

MANY = int(os.environ.get("TAPERLAB_GOALS", "0"))
"""How many problems are drawn; a few where it is not told."""


def why(line: Line) -> Why:
    found = finish(explain(line, AROUND))
    assert found is not None
    return found


def nearest_by_another(problem: Problem, draw: np.random.Generator) -> float:
    """How near a general solver comes to goals from several starts: the worst row, in units."""
    if not len(problem.groups):
        return float(np.abs(problem.off(problem.values(np.zeros(0))[0])).max())
    room = problem.high - problem.low
    free = room > 1e-12
    best = math.inf
    for start in range(6):
        share = draw.uniform(0.02, 0.98, len(room)) if start else np.full(len(room), 0.5)
        whole = problem.low + share * room

        def at(by: np.ndarray, whole: np.ndarray = whole) -> np.ndarray:
            full = whole.copy()
            full[free] = by
            return problem.off(problem.values(full)[0])

        def steep(by: np.ndarray, whole: np.ndarray = whole) -> np.ndarray:
            full = whole.copy()
            full[free] = by
            values, slopes = problem.values(full)
            return (slopes * (problem.off(values) != 0.0)[:, None])[:, free]

        if free.any():
            found = optimize.least_squares(
                at, whole[free], steep, (problem.low[free], problem.high[free]), max_nfev=80
            )
            off = np.abs(at(found.x))
        else:
            off = np.abs(problem.off(problem.values(whole)[0]))
        best = min(best, float(off.max()))
        if best <= 0.5:
            break
    return best


def test_every_quarrel_is_one_and_a_search_over_subsets_finds_it_too():
    wanted, seed, named = (2 * MANY // 5 if MANY else 2), 0, 0
    while named < wanted:
        draw = np.random.default_rng([11, seed])
        line = cannot_be_met(draw, None if MANY else 4)
        seed += 1
        if not line.aim.goals or solve(line, AROUND).met:
            continue
        found = why(line)
        named += 1
        case = case_of(line, AROUND)
        mine = {aim.goal.of for aim in found.quarrel}
        quarrel = [aim for aim in case.aims if aim.goal.of in mine]
        assert quarrel, seed
        # Together they cannot be met, and without any one of them they can.
        assert nearest_by_another(case.problem(quarrel), draw) > 0.5, seed
        for size in range(1, len(quarrel)):
            for some in itertools.combinations(quarrel, size):
                assert nearest_by_another(case.problem(some), draw) <= 1.0, seed


def test_nothing_is_explained_where_goals_are_met():
    line = can_be_met(np.random.default_rng(5))
    assert finish(explain(line, AROUND)) is None


def test_what_is_proved_is_never_met_by_chance():
    """Reach holds every line that was drawn within the bounds."""
    for seed in range(10):
        draw = np.random.default_rng([12, seed])
        line = head(draw)
        problem = Problem(line, groups_of(line), ())
        for _ in range(30):
            by = draw.uniform(problem.low, problem.high)
            drawn = problem.line_at(by)
            feet = sum(each.length for each in drawn.segments)
            length = aimed(line, Goal(GoalKind.LENGTH, feet, feet), AROUND)
            mass = aimed(line, Goal(GoalKind.WEIGHT, 0.03, 0.03), AROUND).reached(drawn)
            least, most = weight_at_length(problem, length)
            assert least <= mass <= most


def test_reach_is_reached():
    """The most that reach tells is had by a line: the thickest, its heavy rows longest."""
    draw = np.random.default_rng([13, 0])
    line = head(draw, rows=4)
    problem = Problem(line, groups_of(line), ())
    size = sum(each.length for each in line.segments)
    length = aimed(line, Goal(GoalKind.LENGTH, size, size), AROUND)
    _, most = weight_at_length(problem, length)
    lengths = [k for k, each in enumerate(problem.groups) if each.is_length]
    thick = problem.line_at(
        np.where([each.is_length for each in problem.groups], 0.0, problem.high)
    )
    sizes = np.array([each.length for each in line.segments])
    masses = np.array([_mass(each) for each in thick.segments])
    ends = optimize.linprog(
        -masses / sizes,
        A_ub=[np.ones(len(sizes))],
        b_ub=[length.high + length.unit],
        bounds=list(
            zip(
                sizes * np.exp(problem.low[lengths]),
                sizes * np.exp(problem.high[lengths]),
                strict=True,
            )
        ),
    )
    loops = aimed(line, Goal(GoalKind.WEIGHT, 0.03, 0.03), AROUND).reached(thick) - masses.sum()
    assert most == pytest.approx(-ends.fun + loops, rel=1e-9)


def _mass(segment: Segment) -> float:
    a, b, core = segment.front_diameter, segment.rear_diameter, segment.core
    coat = segment.density * (a * a + a * b + b * b) / 3.0
    inner = (core.density - segment.density) * core.diameter**2 if core else 0.0
    return math.pi / 4.0 * segment.length * (coat + inner)


# -- a case that can be followed ----------------------------------------------------------------


def locked_belly() -> Line:
    """Tip and belly locked: 31 ft cannot weigh 520 gr."""
    tip = tuple(Hold(cell, locked=True) for cell in Cell)
    belly = Hold(Cell.FRONT, locked=True), Hold(Cell.REAR, locked=True)
    line = line_of(
        "line-1",
        "Locked",
        (
            Segment(Part.TIP, 1.0 * FOOT, 0.034 * INCH, 0.034 * INCH, 870.0, holds=tip),
            Segment(Part.FRONT_TAPER, 17.0 * FOOT, 0.034 * INCH, 0.076 * INCH, 870.0),
            Segment(Part.FRONT_TAPER, 12.0 * FOOT, 0.076 * INCH, 0.104 * INCH, 870.0),
            Segment(Part.BELLY, 7.0 * FOOT, 0.104 * INCH, 0.104 * INCH, 870.0, holds=belly),
        ),
    )
    goals = (
        Goal(GoalKind.WEIGHT, 520.0 * GRAIN, 520.0 * GRAIN),
        Goal(GoalKind.LENGTH, 31.0 * FOOT, 31.0 * FOOT),
    )
    return replace(line, aim=Aim(goals))


def test_a_locked_belly_is_named_with_what_opening_it_gives():
    line = locked_belly()
    found = why(line)
    assert [aim.goal.kind for aim in found.quarrel] == [GoalKind.WEIGHT, GoalKind.LENGTH]
    assert found.proved
    weight, length = found.alone
    # Worked out by hand: the belly at 8.75 ft, the tapers as short and thick as they may be.
    assert weight.value is not None
    assert length.value is not None
    assert weight.value < 520.0 * GRAIN
    assert length.value > 31.0 * FOOT
    first = found.locks[0]
    assert set(first.lock.cells) == {(3, Cell.FRONT), (3, Cell.REAR)}
    assert first.met
    assert first.reach is not None
    assert first.reach[0] < 520.0 * GRAIN < first.reach[1]
    assert not any((0, cell) in first.lock.cells for cell in Cell)


def test_with_the_lock_open_it_is_met():
    line = locked_belly()
    rows = (*line.segments[:3], replace(line.segments[3], holds=()))
    assert solve(replace(line, segments=rows), AROUND).met


def test_what_each_could_be_alone_can_be_had():
    line = locked_belly()
    for alone in why(line).alone:
        goal = alone.aim.goal
        assert alone.value is not None
        others = tuple(each for each in line.aim.goals if each.of != goal.of)
        there = replace(goal, low=alone.value, high=alone.value)
        assert solve(replace(line, aim=Aim((there, *others))), AROUND).met
        # And nearer to what was wanted it cannot, by more than the other goal may be off.
        way = math.copysign(12.0 * alone.aim.unit, alone.aim.low - alone.value)
        nearer = replace(goal, low=alone.value + way, high=alone.value + way)
        assert not solve(replace(line, aim=Aim((nearer, *others))), AROUND).met


def test_never_impossible_in_words():
    for line in (locked_belly(), cannot_be_met(np.random.default_rng([11, 3]))):
        if solve(line, AROUND).met:
            continue
        found = why(line)
        text = render(why_sentence(line, found, {}), System.US)
        assert "mpossible" not in text
        if not found.proved and not any(each.met for each in found.locks):
            assert "no way found" in render(quarrel_title(found), System.US)
