"""What a line becomes: the smallest change that meets its goals, or the nearest to them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from taperlab.model.aim import Goal, GoalKind
from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.physics.slopes import Sloped
from taperlab.physics.water import water_state
from taperlab.shop.goals.buildable import Tools, rounded
from taperlab.shop.goals.search import Found, Problem
from taperlab.shop.goals.targets import Aimed, Around, aimed
from taperlab.shop.goals.unknowns import (
    CELL_ROWS,
    NOTHING_FREED,
    Freed,
    Gathered,
    Place,
    alike_places,
    cell_value,
    gathered,
    groups_of,
)


@dataclass(frozen=True, slots=True)
class Change:
    """One dimension that moved: the cells that share it, what it was and is [m] or [kg/m^3]."""

    cells: tuple[Place, ...]
    before: float
    after: float

    @property
    def share(self) -> float:
        """How far it moved, as a logarithm of the factor."""
        return math.log(self.after / self.before)


@dataclass(frozen=True, slots=True)
class Outcome:
    """A goal after a search: what it was, and is, and whether it is met."""

    aim: Aimed
    was: float
    reached: float

    @property
    def met(self) -> bool:
        """Whether it is as good as met."""
        return self.aim.met(self.reached)


@dataclass(frozen=True, slots=True)
class Answer:
    """A line changed as little as its goals ask, or as near to them as it comes.

    before, after: the line. outcomes: of its goals, in their order. built: whether it is rounded
    to what can be built.
    """

    before: Line
    after: Line
    outcomes: tuple[Outcome, ...]
    built: bool = False

    @property
    def met(self) -> bool:
        """Whether every goal is as good as met."""
        return all(each.met for each in self.outcomes)

    @property
    def changes(self) -> tuple[Change, ...]:
        """What moved, biggest first."""
        return changes_between(self.before, self.after)


def around_of(bench: Bench) -> Around:
    """What goals of the lines of a bench refer to beside their own line."""
    rod = bench.chosen_rod
    return Around(
        {line.key: line for line in bench.lines},
        rod.length if rod else None,
        water_state(bench.water),
    )


@dataclass(frozen=True, slots=True, eq=False)
class Case:
    """A line and its goals, ready to be searched: with rows of one straight taper as one."""

    line: Line
    gathered: Gathered
    aims: tuple[Aimed, ...]
    freed: Freed

    def problem(self, aims: Sequence[Aimed] | None = None) -> Problem:
        """The search for these goals, or for all of the line's."""
        groups = groups_of(self.gathered.line, self.gathered.freed(self.freed))
        return Problem(self.gathered.line, groups, self.aims if aims is None else aims)

    def line_at(self, problem: Problem, found: Found) -> Line:
        """The line as a search left it, its rows as they were given."""
        moved = problem.line_at(found.by)
        if len(moved.segments) == len(self.line.segments):
            return replace(self.line, segments=moved.segments)
        return self.gathered.parted(moved, self.line)


def case_of(line: Line, around: Around, freed: Freed = NOTHING_FREED) -> Case:
    """A line and its goals. Raises Impossible where a goal is of what the line does not have."""
    found = gathered(line)
    aims = tuple(aimed(found.line, goal, around) for goal in line.aim.goals)
    return Case(line, found, aims, freed)


def solve(
    line: Line,
    around: Around,
    tools: Tools | None = None,
    freed: Freed = NOTHING_FREED,
    gives: Goal | None = None,
) -> Answer:
    """The smallest change of a line that meets its goals, or the nearest that was found.

    tools: what it is rounded to, to be built; None for not at all. freed: locks taken as open.
    gives: the goal that gives way where not all are met, as long as the others are; else each gives
    way to each. Raises Impossible where a goal is of what the line does not have.
    """
    case = case_of(line, around, freed)
    problem = case.problem()
    found = problem.best()
    if gives is not None and not problem.met(found):
        yielding = next((aim for aim in case.aims if aim.goal.of == gives.of), None)
        found = (problem.giving(yielding) if yielding else None) or found
    after = case.line_at(problem, found)
    if tools is not None:
        after = rounded(line, after, _within_reach(line, after, around, gives), tools, freed)
    # As for the search, unless rows were gathered for it.
    aims = case.aims if case.gathered.line is line else None
    return answer_of(line, after, around, built=tools is not None, aims=aims)


def _within_reach(line: Line, found: Line, around: Around, gives: Goal | None) -> tuple[Aimed, ...]:
    """The goals to round by: where one is not met, what was reached stands in its place.

    Rounding makes up for steps by going on toward the goals; toward one out of reach it would give
    up all that is near. gives: the goal that gave way; it gives way to steps too.
    """
    now, kept = Sloped.of(found), []
    for goal in line.aim.goals:
        aim = aimed(line, goal, around)
        reached = aim.figure(now)
        if not aim.met(reached):
            if gives is not None and goal.of == gives.of and len(line.aim.goals) > 1:
                continue
            match = None if goal.kind is GoalKind.RUNNING else goal.line
            aim = aimed(line, replace(goal, low=reached, high=reached, line=match), around)
        kept.append(aim)
    return tuple(kept)


def answer_of(
    line: Line,
    after: Line,
    around: Around,
    *,
    built: bool = False,
    aims: Sequence[Aimed] | None = None,
) -> Answer:
    """What becomes of a line's goals where it is changed so; ``aims`` where they are at hand."""
    if aims is None:
        aims = [aimed(line, goal, around) for goal in line.aim.goals]
    was, now = Sloped.of(line), Sloped.of(after)
    outcomes = tuple(Outcome(aim, aim.figure(was), aim.figure(now)) for aim in aims)
    return Answer(line, after, outcomes, built)


def changes_between(before: Line, after: Line) -> tuple[Change, ...]:
    """What differs between two lines of as many rows, biggest first; what is alike, once."""
    found: list[Change] = []
    for cells in alike_places(before):
        by_value: dict[tuple[float, float], list[Place]] = {}
        for row, cell in cells:
            was = cell_value(before.segments[row], cell)
            now = cell_value(after.segments[row], cell)
            if not math.isclose(was, now, rel_tol=1e-9):
                key = float(f"{was:.9g}"), float(f"{now:.9g}")
                by_value.setdefault(key, []).append((row, cell))
        for (was, now), places in by_value.items():
            found.append(Change(tuple(places), was, now))
    order = {cell: i for i, cell in enumerate(CELL_ROWS)}
    return tuple(
        sorted(
            found, key=lambda each: (-abs(each.share), order[each.cells[0][1]], each.cells[0][0])
        )
    )
