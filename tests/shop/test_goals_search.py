"""The smallest change that meets goals: always found where there is one, and none is smaller."""

from __future__ import annotations

import os
from dataclasses import replace

import numpy as np
import pytest
from scipy import optimize

from taperlab.edits.rows import split_segment
from taperlab.model.aim import Aim, Cell, Goal, GoalKind, Hold
from taperlab.model.bench import Bench
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, line_of
from taperlab.model.segment import Part, Segment
from taperlab.physics.head import head_sums
from taperlab.physics.profile import Profile
from taperlab.shop.goals.search import Problem
from taperlab.shop.goals.study import case_of, solve
from taperlab.shop.goals.unknowns import FAR
from tests.drawn_goals import AROUND, can_be_met, head, locked

MANY = int(os.environ.get("TAPERLAB_GOALS", "0"))
"""How many problems are drawn; a few where it is not told."""


def weighs(line: Line) -> float:
    sums = head_sums(line, Profile.of(line))
    assert sums is not None
    return sums.mass


def wanting(line: Line, *goals: Goal, **aim: bool) -> Line:
    return replace(line, aim=Aim(goals, **aim))


def weight(grains: float, high: float | None = None) -> Goal:
    return Goal(GoalKind.WEIGHT, grains * GRAIN, (high or grains) * GRAIN)


def length(feet: float) -> Goal:
    return Goal(GoalKind.LENGTH, feet * FOOT, feet * FOOT)


def plain_head() -> Line:
    return line_of(
        "line-1",
        "Plain",
        (
            Segment(Part.FRONT_TAPER, 15.0 * FOOT, 0.03 * INCH, 0.09 * INCH, 870.0),
            Segment(Part.BELLY, 20.0 * FOOT, 0.09 * INCH, 0.09 * INCH, 870.0),
            Segment(Part.REAR_TAPER, 4.0 * FOOT, 0.09 * INCH, 0.05 * INCH, 870.0),
            Segment(Part.RUNNING_LINE, 60.0 * FOOT, 0.035 * INCH, 0.035 * INCH, 870.0),
        ),
    )


# -- found where there is one --------------------------------------------------------------------


def test_every_problem_that_has_an_answer_is_met():
    for seed in range(MANY or 25):
        line = can_be_met(np.random.default_rng([1, seed]))
        answer = solve(line, AROUND)
        assert answer.met, seed
        for outcome in answer.outcomes:
            assert abs(outcome.aim.off(outcome.reached)) < 0.1, seed


def oracle(problem: Problem, start: np.ndarray, method: str) -> float | None:
    """What the smallest change counts for, by a general solver; None where it finds none."""
    rows = len(problem.rows)
    bottom, top = problem.ends()
    even = np.flatnonzero(bottom == top)
    least = np.flatnonzero((bottom < top) & np.isfinite(bottom))
    most = np.flatnonzero((bottom < top) & np.isfinite(top))
    square = problem.scale**2
    bounds = optimize.Bounds(problem.low, problem.high, keep_feasible=True)
    if method == "SLSQP":
        held = [
            {
                "type": kind,
                "fun": lambda by, i=i, s=s, e=e: s * (problem.values(by)[0][i] - e[i]),
                "jac": lambda by, i=i, s=s: s * problem.values(by)[1][i],
            }
            for kind, i, s, e in (
                ("eq", even, 1.0, bottom),
                ("ineq", least, 1.0, bottom),
                ("ineq", most, -1.0, top),
            )
            if len(i)
        ]
        options = {"maxiter": 300, "ftol": 1e-12}
    else:
        held = [
            optimize.NonlinearConstraint(
                lambda by: problem.values(by)[0],
                bottom,
                top,
                jac=lambda by: problem.values(by)[1],
                hess=optimize.BFGS(),
            )
        ]
        options = {"maxiter": 400, "gtol": 1e-9, "xtol": 1e-11}
    found = optimize.minimize(
        lambda by: float(square @ by**2),
        start,
        jac=lambda by: 2.0 * square * by,
        bounds=bounds,
        constraints=held,
        method=method,
        options=options,
    )
    by = np.clip(found.x, problem.low, problem.high)
    off = np.abs(problem.off(problem.values(by)[0]))
    # As exactly as the search itself meets them: a looser one would be cheaper by that.
    if off[:rows].max(initial=0.0) > 1e-3 or off[rows:].max(initial=0.0) > 1e-3:
        return None
    return float(square @ by**2)


@pytest.mark.filterwarnings("ignore::UserWarning", "ignore::RuntimeWarning")
@pytest.mark.parametrize("method", ["SLSQP", "trust-constr"])
def test_no_smaller_change_is_found_by_a_general_solver(method):
    compared = 0
    count = (MANY // 4 if MANY else 3) if method == "SLSQP" else (MANY // 20 if MANY else 2)
    for seed in range(count):
        draw = np.random.default_rng([2, seed])
        case = case_of(can_be_met(draw, rows=4, most=3), AROUND)
        problem = case.problem()
        if not problem.groups:
            continue
        ours = problem.best()
        assert problem.met(ours)
        starts = [np.clip(np.zeros(len(problem.low)), problem.low, problem.high)]
        for _ in range(3):
            starts.append(draw.uniform(problem.low, problem.high))
        for start in starts if method == "SLSQP" else starts[:2]:
            cost = oracle(problem, start, method)
            if cost is not None:
                compared += 1
                assert ours.cost <= cost * 1.001 + 1e-9, seed
    assert compared


# -- what the smallest change is like ------------------------------------------------------------


def test_weight_alone_with_lengths_locked_scales_every_diameter_alike():
    level = line_of(
        "line-1",
        "Level",
        tuple(
            Segment(Part.BELLY, size * FOOT, thick * INCH, thick * INCH, 870.0)
            for size, thick in ((10.0, 0.09), (14.0, 0.08), (9.0, 0.085))
        ),
    )
    wanted = 1.1 * weighs(level)
    answer = solve(wanting(level, Goal(GoalKind.WEIGHT, wanted, wanted), lengths=False), AROUND)
    shares = [change.share for change in answer.changes]
    assert len(shares) == 3
    assert shares == pytest.approx([np.log(1.1) / 2.0] * 3, rel=1e-4)


def test_length_alone_stretches_evenly():
    line = plain_head()
    answer = solve(wanting(line, length(42.0)), AROUND)
    shares = [change.share for change in answer.changes]
    assert len(shares) == 3
    # Evenly in feet for each foot, but for what the logarithm bends.
    assert shares == pytest.approx([np.log(42.0 / 39.0)] * 3, rel=0.02)
    assert all(change.cells[0][1] is Cell.LENGTH for change in answer.changes)


def test_goals_that_are_met_move_nothing():
    line = plain_head()
    grains = weighs(line) / GRAIN
    answer = solve(wanting(line, weight(grains - 5.0, grains + 5.0), length(39.0)), AROUND)
    assert answer.met
    assert not answer.changes
    assert answer.after.segments == line.segments


def test_what_lies_behind_the_head_stays():
    line = plain_head()
    answer = solve(wanting(line, weight(420.0)), AROUND)
    assert answer.met
    assert answer.after.segments[3] is line.segments[3]


def test_loops_and_joints_count_in_the_head():
    line = plain_head()
    loop = Loop(LoopKind.FOLDED, 2.5 * INCH, 3.0 * GRAIN)
    joints = (Joint(JointKind.BUTT_WELD, mass=2.0 * GRAIN), *line.joints[1:])
    line = replace(line, front_loop=loop, joints=joints)
    answer = solve(wanting(line, weight(430.0)), AROUND)
    assert weighs(answer.after) == pytest.approx(430.0 * GRAIN, abs=0.01 * GRAIN)


def test_locked_cells_stay_to_the_last_digit():
    for seed in range(10):
        draw = np.random.default_rng([3, seed])
        line = locked(draw, head(draw), 0.3)
        wanted = weighs(line) * 1.03
        answer = solve(wanting(line, Goal(GoalKind.WEIGHT, wanted, wanted)), AROUND)
        for was, now in zip(line.segments, answer.after.segments, strict=True):
            assert now.density == was.density
            for cell, field in (
                (Cell.LENGTH, "length"),
                (Cell.FRONT, "front_diameter"),
                (Cell.REAR, "rear_diameter"),
            ):
                if was.hold(cell).locked:
                    assert getattr(now, field) == getattr(was, field)


def test_ends_that_meet_stay_together_and_no_taper_turns():
    for seed in range(15):
        draw = np.random.default_rng([4, seed])
        line = head(draw)
        wanted = weighs(line) * draw.uniform(0.8, 1.25)
        at = line.length * draw.uniform(0.9, 1.1)
        goals = Goal(GoalKind.WEIGHT, wanted, wanted), Goal(GoalKind.LENGTH, at, at)
        after = solve(wanting(line, *goals), AROUND).after
        for i, (was, now) in enumerate(zip(line.segments, after.segments, strict=True)):
            rises = was.rear_diameter - was.front_diameter
            assert (now.rear_diameter - now.front_diameter) * np.sign(rises) >= -1e-6 * INCH
            if not rises:
                assert now.rear_diameter == pytest.approx(now.front_diameter, rel=1e-12)
            if i and line.segments[i - 1].rear_diameter == was.front_diameter:
                met = after.segments[i - 1].rear_diameter
                assert met == pytest.approx(now.front_diameter, rel=1e-12)


def test_bounds_and_ties_are_kept():
    line = plain_head()
    rows = list(line.segments)
    rows[0] = replace(rows[0], holds=(Hold(Cell.LENGTH, low=14.9 * FOOT, high=15.1 * FOOT),))
    rows[1] = replace(rows[1], holds=(Hold(Cell.LENGTH, tie="a"),))
    rows[2] = replace(rows[2], holds=(Hold(Cell.LENGTH, tie="a"),))
    answer = solve(wanting(replace(line, segments=tuple(rows)), length(43.0)), AROUND)
    after = answer.after.segments
    assert answer.met
    assert 14.9 * FOOT * (1 - 1e-9) <= after[0].length <= 15.1 * FOOT * (1 + 1e-9)
    assert after[1].length / after[2].length == pytest.approx(5.0)


def test_cells_go_no_further_than_is_said():
    line = plain_head()
    answer = solve(wanting(line, length(80.0)), AROUND)
    assert not answer.met
    for was, now in zip(line.segments[:3], answer.after.segments[:3], strict=True):
        assert now.length == pytest.approx(was.length * (1.0 + FAR[Cell.LENGTH]))


def test_a_row_that_is_split_changes_no_answer():
    """Splitting inside a straight taper, level or not, and doing nothing to either part."""
    for seed in range(8):
        draw = np.random.default_rng([5, seed])
        line = wanting(can_be_met(draw, rows=4))
        line = replace(
            line,
            segments=tuple(replace(each, holds=()) for each in line.segments),
        )
        wanted, at = weighs(line) * 1.06, line.length * 0.97
        line = wanting(line, Goal(GoalKind.WEIGHT, wanted, wanted), Goal(GoalKind.LENGTH, at, at))
        bench = Bench((line,))
        for row in draw.integers(0, 4, 2):
            whole = bench.lines[0]
            cut = whole.segments[int(row)].length * draw.uniform(0.2, 0.8)
            bench = split_segment(bench, line.key, int(row), cut).bench
        split = bench.lines[0]
        assert len(split.segments) == 6
        one, other = (Profile.of(solve(each, AROUND).after) for each in (line, split))
        places = np.linspace(0.0, one.length, 200)
        assert other.length == pytest.approx(one.length, rel=1e-9)
        np.testing.assert_allclose(other.diameter(places), one.diameter(places), rtol=1e-7)


def test_a_running_weight_matches_another_line():
    line = plain_head()
    other = replace(
        line,
        key="line-2",
        segments=tuple(replace(each, density=each.density * 1.04) for each in line.segments),
    )
    around = replace(AROUND, others={"line-2": other})
    goal = Goal(GoalKind.RUNNING, at=30.0 * FOOT, line="line-2")
    answer = solve(wanting(line, goal), around)
    assert answer.met
    there = [float(Profile.of(each).running_mass(30.0 * FOOT)) for each in (answer.after, other)]
    assert there[0] == pytest.approx(there[1], abs=0.01 * GRAIN)


def test_density_moves_as_batches_when_it_may():
    line = plain_head()
    answer = solve(
        wanting(line, weight(470.0), lengths=False, diameters=False, density=True), AROUND
    )
    assert answer.met
    densities = {each.density for each in answer.after.segments[:3]}
    assert max(densities) == pytest.approx(min(densities))
    assert answer.after.segments[3].density == 870.0
