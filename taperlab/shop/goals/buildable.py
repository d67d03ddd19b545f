"""A line rounded to what a tape and a micrometer can do, its goals kept.

Plain rounding misses a weight by grains, since a micrometer's step on a belly weighs several.
Diameters are coarse and lengths are the vernier: first the diameters are chosen together, lengths
still free to make up for them; lengths are searched for anew; then they are chosen together.
Choosing together is the nearest point of a lattice, found level by level with the best few kept
(a beam search on the triangle of a QR factorization, as spheres are decoded).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.exact_units import INCH
from taperlab.model.line import Line
from taperlab.physics.frustum import Array
from taperlab.physics.slopes import Fittings, Sloped
from taperlab.shop.goals.search import Problem
from taperlab.shop.goals.targets import Aimed
from taperlab.shop.goals.unknowns import (
    CELL_ROWS,
    NOTHING_FREED,
    Freed,
    Group,
    cell_value,
    groups_of,
    with_cells,
)
from taperlab.units.kinds import System

_FIRM = 30.0
_KEPT = 40
_NEAR = 4
_TRIED = 3
_LOOKED = 20
_TURNED = 1e6


@dataclass(frozen=True, slots=True)
class Tools:
    """What can be built: steps of the tape and of the micrometer [m]."""

    length: float = INCH / 8.0
    diameter: float = INCH / 1000.0


TOOLS = {System.US: Tools(), System.METRIC: Tools(0.001, 0.00001)}
"""What is built to where nothing else is said, by the units that are shown."""


def rounded(
    line: Line, found: Line, aims: Sequence[Aimed], tools: Tools, freed: Freed = NOTHING_FREED
) -> Line:
    """A found line with every length and diameter that may move on its tool's steps.

    line: as it was, with its locks. What is locked stays as it is, and so does a number whose
    bounds hold no step. Of what meets the goals it is the nearest to ``found`` that was seen; where
    nothing does, what comes nearest to them.
    """
    groups = groups_of(_untied(line), freed)
    at = _values(found, groups)
    thick = [k for k, each in enumerate(groups) if each.is_diameter]
    long = [k for k, each in enumerate(groups) if each.is_length]
    steps = np.array([tools.length if each.is_length else tools.diameter for each in groups])
    edges = _edges(line, groups)
    judge = _Judge(line, groups, aims)
    best: tuple[tuple[float, float], Array] | None = None
    problem = Problem(_with_values(found, groups, at), groups, aims)

    def lengthened(diameters: Array) -> Array:
        built = at.copy()
        built[thick] = diameters
        return _lengths_for(line, found, groups, long, built, edges, aims) if long else built

    def missed(diameters: Array) -> float:
        return judge.missed(lengthened(diameters))

    def tried() -> Iterator[Array]:
        chosen = _chosen(problem, at, thick, long, steps, edges)
        yield from chosen[:_TRIED]
        # Lengths could not make up for these as straight goals had it: any that are near may do.
        beside = _beside(at[thick], steps[thick], (edges[0][thick], edges[1][thick]))
        yield from sorted([*beside, *chosen[_TRIED:]], key=missed)[:_TRIED]

    for diameters in tried():
        built = lengthened(diameters)
        near = Problem(_with_values(found, groups, built), groups, aims)
        chosen = _chosen(near, built, long, [], steps, edges)[:_LOOKED]
        # The lattice knows bounds one by one: where all lengths are at theirs, those beside are it.
        beside = _beside(built[long], steps[long], (edges[0][long], edges[1][long]))
        for lengths in [*chosen, *beside]:
            built[long] = lengths
            rank = judge.missed(built), _distance(problem, at, built)
            if best is None or rank < best[0]:
                best = rank, built.copy()
            if rank[0] == 0.0:
                return _with_values(found, groups, built)
    assert best is not None
    return _with_values(found, groups, best[1])


def _beside(values: Array, steps: Array, edges: tuple[Array, Array]) -> list[Array]:
    """Every value on the step nearest to it, and the same with one at a time on its other side.

    One whose edges hold no step stays as it is.
    """
    least, most = np.ceil(edges[0] / steps), np.floor(edges[1] / steps)

    def within(each: Array) -> Array:
        return np.where(least <= most, np.clip(each, least, most) * steps, values)

    near = np.round(values / steps)
    found = [within(near)]
    for k, other in enumerate(np.where(near * steps <= values, near + 1.0, near - 1.0)):
        turned = near.copy()
        turned[k] = other
        found.append(within(turned))
    return found


def _untied(line: Line) -> Line:
    """Ties keep ratios, which steps cannot: each number is rounded by itself."""
    if not any(hold.tie for segment in line.segments for hold in segment.holds):
        return line
    segments = tuple(
        replace(each, holds=tuple(replace(hold, tie="") for hold in each.holds))
        for each in line.segments
    )
    return replace(line, segments=segments)


def _values(line: Line, groups: Sequence[Group]) -> Array:
    firsts = [each.cells[0] for each in groups]
    return np.array([cell_value(line.segments[row], cell) for row, cell in firsts])


def _edges(line: Line, groups: Sequence[Group]) -> tuple[Array, Array]:
    """Bounds of each group's number [m] or [kg/m^3]."""
    now = _values(line, groups)
    low, high = (np.array([getattr(each, end) for each in groups]) for end in ("low", "high"))
    slack = 1e-9
    return now * np.exp(low) * (1.0 - slack), now * np.exp(high) * (1.0 + slack)


def _with_values(line: Line, groups: Sequence[Group], values: Array) -> Line:
    pairs = zip(groups, values, strict=True)
    return with_cells(
        line, ((place, float(value)) for each, value in pairs for place in each.cells)
    )


def _chosen(
    problem: Problem,
    at: Array,
    first: Sequence[int],
    later: Sequence[int],
    steps: Array,
    edges: tuple[Array, Array],
) -> list[Array]:
    """Values on the steps for the groups ``first``, the best choices first.

    problem: at the line that ``at`` are the values of. later: groups that are still free to make up
    for what is chosen.
    """
    if not first:
        return [np.zeros(0)]
    values, slopes = problem.values(np.zeros(len(at)))
    count = len(problem.rows)
    bottom, top = problem.ends()
    # A goal with room on both sides counts for as much less as it has room.
    room = np.minimum(np.abs(values - bottom), np.abs(top - values))[:count]
    room = np.where(bottom[:count] < top[:count], room, 0.0)
    firm = _FIRM / np.maximum(1.0, np.where(np.isfinite(room), room, 1.0))
    off = problem.off(values)[:count]
    # By the numbers themselves: what is chosen lies on even steps of them.
    goals = slopes[:count] / at * firm[:, np.newaxis]
    order = [*later, *_coarse_last(goals, steps, first)]
    table = np.concatenate((np.diag(problem.scale / at), goals))[:, order]
    aim = np.concatenate((np.zeros(len(at)), -off * firm))
    q, triangle = np.linalg.qr(table)
    return _beam(triangle, q.T @ aim, at[order], steps[order], edges, order, len(later), first)


def _coarse_last(goals: Array, steps: Array, which: Sequence[int]) -> list[int]:
    """Groups by what a step of theirs does to the goals: the finest make up for the rest."""
    does = np.abs(goals * steps).max(axis=0, initial=0.0)
    return sorted(which, key=lambda k: float(does[k]))


def _beam(
    triangle: Array,
    aim: Array,
    at: Array,
    steps: Array,
    edges: tuple[Array, Array],
    order: Sequence[int],
    free: int,
    first: Sequence[int],
) -> list[Array]:
    """The best few choices on the steps, from the last column of a triangle to the first."""
    count = len(at)
    moved = np.zeros((1, count))
    cost = np.zeros(1)
    low, high = edges[0][order], edges[1][order]
    near = np.arange(_NEAR) - (_NEAR // 2 - 1)
    for k in range(count - 1, free - 1, -1):
        pivot = triangle[k, k]
        centre = (aim[k] - moved[:, k + 1 :] @ triangle[k, k + 1 :]) / pivot
        step = steps[k]
        floor = np.floor((at[k] + centre) / step)
        floor = np.clip(floor, np.ceil(low[k] / step), np.floor(high[k] / step))
        choice = (floor[:, np.newaxis] + near) * step
        inside = (choice >= low[k]) & (choice <= high[k])
        if not inside.any():
            choice, inside = np.full((len(moved), 1), at[k]), np.ones((len(moved), 1), bool)
        by = choice - at[k]
        more = cost[:, np.newaxis] + (pivot * (by - centre[:, np.newaxis])) ** 2
        more = np.where(inside, more, math.inf)
        best = np.argsort(more, axis=None, kind="stable")[: min(_KEPT, int(inside.sum()))]
        parent, child = np.unravel_index(best, more.shape)
        moved = moved[parent]
        moved[:, k] = by[parent, child]
        cost = more[parent, child]
    place = {group: i for i, group in enumerate(order)}
    picked = [place[group] for group in first]
    return [
        _on_steps(at[picked] + each[picked], steps[picked]) if each[picked].any() else at[picked]
        for each in moved
    ]


def _on_steps(values: Array, steps: Array) -> Array:
    """Values that lie on steps but for rounding, exactly there; others as they are."""
    near = np.round(values / steps) * steps
    return np.where(np.abs(near - values) <= 1e-9 * steps, near, values)


def _lengths_for(
    line: Line,
    found: Line,
    groups: Sequence[Group],
    long: Sequence[int],
    built: Array,
    edges: tuple[Array, Array],
    aims: Sequence[Aimed],
) -> Array:
    """The values with lengths searched for anew, all else as chosen."""
    lengths = [
        replace(
            groups[k],
            low=math.log(edges[0][k] / built[k]),
            high=math.log(edges[1][k] / built[k]),
        )
        for k in long
    ]
    again = Problem(_with_values(found, groups, built), lengths, aims, ordered=False)
    built = built.copy()
    built[list(long)] *= np.exp(again.search().by)
    return built


class _Judge:
    """How far choices miss goals, without a line made of each."""

    def __init__(self, line: Line, groups: Sequence[Group], aims: Sequence[Aimed]) -> None:
        self._columns, self._fittings = Sloped.of(line).columns, Fittings.of(line)
        self._way = np.sign(self._columns[2] - self._columns[1])
        self._aims = aims
        places = [
            (CELL_ROWS.index(cell), row, k)
            for k, group in enumerate(groups)
            for row, cell in group.cells
        ]
        self._cell, self._row, self._group = np.array(places, dtype=int).reshape(-1, 3).T

    def missed(self, values: Array) -> float:
        """What is missed beyond what is as good as met, in units; 0 where nothing is.

        A taper that runs the other way than it did is missed by much.
        """
        columns = self._columns.copy()
        columns[self._cell, self._row] = values[self._group]
        turned = int(((columns[2] - columns[1]) * self._way < 0.0).sum())
        sloped = Sloped(columns, self._fittings)
        off = [abs(aim.off(aim.figure(sloped))) for aim in self._aims]
        return float(sum(max(0.0, each - 1.0) for each in off)) + _TURNED * turned


def _distance(problem: Problem, at: Array, built: Array) -> float:
    return float(((problem.scale * np.log(built / at)) ** 2).sum())
