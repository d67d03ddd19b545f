"""Why goals cannot all be met: which of them quarrel, what each could be, and what is in the way.

The search is a local one, so what it does not find is "no way found"; only reach proves
(``reach.py``).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.aim import Cell, GoalKind
from taperlab.model.line import Line
from taperlab.shop.goals.reach import proved
from taperlab.shop.goals.search import FIRM, Found, Problem
from taperlab.shop.goals.study import Case, case_of
from taperlab.shop.goals.targets import Aimed, Around
from taperlab.shop.goals.unknowns import (
    CELL_ROWS,
    NOTHING_FREED,
    Freed,
    Group,
    Place,
    groups_of,
)
from taperlab.shop.steps import Steps

_HELPS = 0.05


@dataclass(frozen=True, slots=True)
class Alone:
    """What one goal could be, the other goals of the quarrel met: the nearest to what was wanted.

    value: [SI]; None where the others cannot be met without it either.
    """

    aim: Aimed
    value: float | None


@dataclass(frozen=True, slots=True)
class Lock:
    """Locks that go together: cells, or a whole column."""

    cells: tuple[Place, ...] = ()
    columns: tuple[Cell, ...] = ()

    @property
    def freed(self) -> Freed:
        """As a search takes it."""
        return Freed(frozenset(self.cells), frozenset(self.columns))


@dataclass(frozen=True, slots=True)
class Opened:
    """A lock in the way, and what the goals of the quarrel come to with it open.

    met: whether all of them are met then. reach: for the goal that gave way, from what to what it
    could be then [SI], the others met; None where they are not.
    """

    lock: Lock
    met: bool
    gives: Aimed | None
    reach: tuple[float, float] | None
    off: float


@dataclass(frozen=True, slots=True)
class AtLimit:
    """A dimension that goes as far as it may and would go on. value: [m] or [kg/m^3]."""

    cells: tuple[Place, ...]
    value: float
    at_most: bool


@dataclass(frozen=True, slots=True)
class Why:
    """Why the goals of a line cannot all be met.

    quarrel: goals that cannot be met together, though they can without any one of them. proved:
    whether that follows from reach; else no way was found. alone: what each of them could be.
    locks: in the way, the one that helps most first. limits: of dimensions, likewise.
    """

    quarrel: tuple[Aimed, ...]
    proved: bool
    alone: tuple[Alone, ...]
    locks: tuple[Opened, ...]
    limits: tuple[AtLimit, ...]


def explain(line: Line, around: Around, freed: Freed = NOTHING_FREED) -> Steps[Why | None]:
    """Why a line's goals cannot all be met; None where they can.

    A generator that yields its share done. Raises Impossible as the search does.
    """
    case = case_of(line, around, freed)
    quarrel = list(case.aims)
    found = case.problem().best()
    if case.problem().met(found):
        return None
    # Deletion filter: J. W. Chinneck and E. W. Dravnieks, ORSA Journal on Computing 3, 157-168
    # (1991), from memory. What can go without the rest coming right is no part of the quarrel.
    for count, aim in enumerate(case.aims):
        yield 0.5 * count / len(case.aims)
        rest = [each for each in quarrel if each is not aim]
        if rest and not _can(case, rest):
            quarrel = rest
    yield 0.5
    alone = tuple(_alone(case, quarrel, aim) for aim in quarrel)
    yield 0.6
    locks = []
    problem = case.problem(quarrel)
    found = problem.best()
    before = float(np.abs(found.off).sum())
    candidates = _locks(case)
    for count, lock in enumerate(candidates):
        yield 0.6 + 0.4 * count / len(candidates)
        if opened := _opened(line, around, freed, quarrel, lock, before):
            locks.append(opened)
    locks.sort(key=lambda each: (not each.met, each.off))
    return Why(
        tuple(quarrel),
        proved(problem, quarrel),
        alone,
        tuple(locks),
        _limits(case, problem, found),
    )


def _can(case: Case, aims: Sequence[Aimed]) -> bool:
    problem = case.problem(aims)
    return not proved(problem, aims) and problem.met(problem.best())


def _nearest(case: Case, aims: Sequence[Aimed], gives: Aimed) -> float | None:
    """The nearest that one goal comes to its range, the others met; None where those are not."""
    problem = case.problem(aims)
    found = problem.giving(gives)
    return None if found is None else gives.reached(problem.line_at(found.by))


def _alone(case: Case, quarrel: Sequence[Aimed], aim: Aimed) -> Alone:
    return Alone(aim, _nearest(case, quarrel, aim))


# -- locks --------------------------------------------------------------------------------------


def _locks(case: Case) -> list[Lock]:
    """Every lock of the head that holds something, cells before columns."""
    line = case.line
    found: list[Lock] = []
    everything = Freed(
        frozenset(
            (row, hold.cell)
            for row, segment in enumerate(line.segments)
            for hold in segment.holds
            if hold.locked
        ),
        frozenset(Cell),
    )
    locked = everything.cells
    for group in groups_of(line, everything):
        cells = tuple(place for place in group.cells if place in locked)
        if cells and cells not in [each.cells for each in found]:
            found.append(Lock(cells))
    for columns in ((Cell.LENGTH,), (Cell.FRONT, Cell.REAR), (Cell.DENSITY,)):
        if not line.aim.frees(columns[0]):
            found.append(Lock(columns=columns))
    return found


def _opened(
    line: Line,
    around: Around,
    freed: Freed,
    quarrel: Sequence[Aimed],
    lock: Lock,
    before: float,
) -> Opened | None:
    """What opening a lock does to goals that quarrel; None where it does nothing for them.

    before: what they are off by together, in units, with the lock.
    """
    also = Freed(freed.cells | lock.freed.cells, freed.columns | lock.freed.columns)
    case = case_of(line, around, also)
    wanted = {aim.goal.of for aim in quarrel}
    aims = [aim for aim in case.aims if aim.goal.of in wanted]
    problem = case.problem(aims)
    found = problem.best()
    after = float(np.abs(found.off).sum())
    if after > before * (1.0 - _HELPS):
        return None
    # A weight is what one asks for first: with the lock open, from what to what can it be?
    weights = (aim for aim in aims if aim.goal.kind is GoalKind.WEIGHT)
    gives = next(weights, aims[0])
    return Opened(lock, problem.met(found), gives, _range(case, aims, gives), after)


def _range(case: Case, aims: Sequence[Aimed], gives: Aimed) -> tuple[float, float] | None:
    """From what to what a goal could be, the other goals met."""
    ends = []
    for far in (-1.0, 1.0):
        away = _moved_off(gives, far)
        value = _nearest(case, [away if aim is gives else aim for aim in aims], away)
        if value is None:
            return None
        ends.append(value)
    return min(ends), max(ends)


def _moved_off(aim: Aimed, way: float) -> Aimed:
    """The goal wanted so far off that nothing reaches it."""
    beyond = aim.low + way * (abs(aim.low) + 1000.0 * aim.unit)
    rows = tuple(
        replace(row, low=row.low + (beyond - aim.low), high=row.low + (beyond - aim.low))
        if math.isfinite(row.low)
        else replace(row, low=-math.inf, high=math.inf)
        for row in aim.rows
    )
    return replace(aim, low=beyond, high=beyond, rows=rows)


# -- limits -------------------------------------------------------------------------------------


def _limits(case: Case, problem: Problem, found: Found) -> tuple[AtLimit, ...]:
    """Dimensions at the end of what they may be, that would go on towards the goals."""
    _, table = problem.values(found.by)
    count = len(problem.rows)
    pull = -(table[:count] * (FIRM * found.off * FIRM)[:, np.newaxis]).sum(axis=0) / problem.scale
    wants: list[tuple[float, AtLimit]] = []
    columns = problem.columns(found.by)
    for k, group in enumerate(problem.groups):
        low = bool(found.by[k] <= group.low + 1e-9 and pull[k] < -1e-3)
        high = bool(found.by[k] >= group.high - 1e-9 and pull[k] > 1e-3)
        if low or high:
            cells = _given_cells(case, group)
            row, cell = group.cells[0]
            value = float(columns[CELL_ROWS.index(cell), row])
            wants.append((abs(float(pull[k])), AtLimit(cells, value, high)))
    wants.sort(key=lambda each: -each[0])
    return tuple(limit for _, limit in wants)


def _given_cells(case: Case, group: Group) -> tuple[Place, ...]:
    """A group's cells in rows of the line as it was given."""
    parts = case.gathered.parts
    found = []
    for row, cell in group.cells:
        rows = [each for each, _ in parts[row]]
        found.append((rows[-1] if cell is Cell.REAR else rows[0], cell))
    return tuple(found)
