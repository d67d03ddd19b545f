"""Which bars to cut from, and what from each: a bound by patterns, and plans that come near it.

A pattern is what is cut from one bar. How many of each pattern, in any numbers, is a linear program
whose least cost no plan can be under. Patterns are found as it asks for them, by filling a bar with
what its prices make worth most (a knapsack by exact length). Then how many bars of each kind are
cut from is made whole, branch by branch, the cheapest first. Where it is whole, patterns are fixed
one by one, the most whole first, and the rest is priced anew: a plan, as a rule within a hundredth
or two of the bound.

Lengths are counted in cells, down for the bound and up for plans.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from taperlab.physics.frustum import Array
from taperlab.shop.pieces.bars import SLACK, Cuts, Cutting
from taperlab.shop.pieces.exact import Growing, never
from taperlab.shop.steps import Steps

_UNIT = 1000.0
"""Costs go to the solver in eighths of an inch."""

_CELL = 1000
"""Lengths are counted in eighths of an inch."""

_MOST_CELLS = 12_000
"""Of the longest bar; beyond, cells are larger."""

_PIECE, _NEAR = 1e-6, 1e-9


@dataclass(frozen=True, slots=True)
class Sought:
    """What was found: no plan costs less than the bound [units]; the cheapest plan that was met."""

    bound: float
    plan: Cuts | None


@dataclass(frozen=True, slots=True)
class _Kind:
    """Bars that are equal in every way. make: which lengths sizes have from them."""

    bars: tuple[int, ...]
    make: int


@dataclass(frozen=True, slots=True)
class _Pattern:
    """What is cut from one bar of a kind: how many of each size, and what that costs [eighths].

    sound: whether such a bar holds it.
    """

    kind: int
    counts: tuple[int, ...]
    cost: float
    sound: bool


@dataclass(order=True, slots=True)
class _Branch:
    """Between so many bars of each kind; bound [eighths]; uses: of each kind, in any numbers."""

    bound: float
    number: int
    low: list[int] = field(compare=False)
    high: list[int] = field(compare=False)
    uses: Array = field(compare=False)


def sought(
    cutting: Cutting, effort: int, plans: int, stop: Callable[[], bool] = never
) -> Steps[Sought]:
    """A bound and the best plan that is found; yields the share of the effort.

    effort: so many million cells are filled at most, with none nothing is found; plans: as many are
    made.
    """
    if not effort:
        return Sought(0.0, None)
    work = _Work(cutting, effort * 1e6, stop)
    first = yield from work.branch([0] * len(work.kinds), work.most)
    if first is None:
        return Sought(0.0, None)
    heap, bound, made, best = [first], first.bound, 0, math.inf
    plan: Cuts | None = None
    while heap and made < plans and heap[0].bound < best - 1.0 and not work.is_over:
        branch = heapq.heappop(heap)
        if not made:
            bound = branch.bound
        kind = work.most_open(branch)
        if kind is None:
            found = yield from work.dive(branch)
            made += 1
            if found is not None and found.cost(cutting) / _UNIT < best:
                plan, best = found, found.cost(cutting) / _UNIT
            continue
        for low, high in work.halves(branch, kind):
            if (half := (yield from work.branch(low, high, branch.bound))) is not None:
                heapq.heappush(heap, half)
    if not made and heap:
        plan = yield from work.plunge(heap[0])
    # A hair less, for what floating numbers lose.
    return Sought(bound * _UNIT * (1.0 - _NEAR), plan)


class _Work:
    """The linear program of patterns, with what it has of them so far."""

    def __init__(self, cutting: Cutting, effort: float, stop: Callable[[], bool]) -> None:
        self.cutting, self.stop = cutting, stop
        self.spent, self.limit, self.more = 0.0, effort, effort / 2.0
        self.left = [size.count for size in cutting.sizes]
        longest = max(bar.length for bar in cutting.bars)
        self.cell = max(_CELL, math.ceil(longest / _MOST_CELLS / _CELL) * _CELL)
        self.kinds, self.makes = self._sorted_out()
        self.most = [len(each.bars) for each in self.kinds]
        self.costs = [self._costs(each) for each in self.kinds]
        self.patterns: list[_Pattern] = []
        self._known: set[tuple[int, tuple[int, ...]]] = set()
        self.program = self._begun()

    def _sorted_out(self) -> tuple[list[_Kind], list[tuple[int | None, ...]]]:
        like: dict[tuple[int, bool, tuple[int | None, ...]], list[int]] = {}
        for at, bar in enumerate(self.cutting.bars):
            lengths = tuple(size.lengths[at] for size in self.cutting.sizes)
            like.setdefault((bar.length, bar.fresh, lengths), []).append(at)
        makes = list(dict.fromkeys(lengths for _, _, lengths in like))
        kinds = [_Kind(tuple(bars), makes.index(lengths)) for (_, _, lengths), bars in like.items()]
        return kinds, makes

    def _room(self, kind: _Kind) -> int:
        """How many cells a bar of a kind holds."""
        return (self.cutting.bars[kind.bars[0]].length + SLACK) // self.cell

    def _costs(self, kind: _Kind) -> Array:
        """What cutting so many cells from such a bar costs at least [eighths]."""
        at = kind.bars[0]
        cells = range(1, self._room(kind) + 1)
        costs = [self.cutting.bar_cost(at, each * self.cell) / _UNIT for each in cells]
        # A bar that nothing is cut from is none.
        return np.array([math.inf, *costs])

    def _begun(self) -> Growing:
        """A row for each size and each kind; at first nothing is cut, which is dear."""
        sizes, kinds = self.cutting.sizes, self.kinds
        self.uncut = [self.cutting.uncut_cost * size.least / _UNIT for size in sizes]
        program = Growing(
            [
                *((float(count), math.inf) for count in self.left),
                *((0.0, float(count)) for count in self.most),
            ]
        )
        for row, cost in enumerate(self.uncut):
            program.column(cost, [(row, 1.0)])
        # So many of a kind as must be cut from, with nothing cut: dearer than any.
        dear = 10.0 * max([1.0, *self.uncut])
        for row in range(len(kinds)):
            program.column(dear, [(len(sizes) + row, 1.0)])
        return program

    @property
    def _ahead(self) -> int:
        """How many columns are no patterns."""
        return len(self.cutting.sizes) + len(self.kinds)

    @property
    def is_over(self) -> bool:
        """Whether the effort is spent, or a person has had enough."""
        return self.spent > self.limit or self.stop()

    def branch(self, low: list[int], high: list[int], above: float = 0.0) -> Steps[_Branch | None]:
        """The linear program with so many bars of each kind; None where the effort ends first."""
        solved = yield from self._priced(low, high, up=False)
        if solved is None:
            return None
        values, bound = solved
        uses = np.zeros(len(self.kinds))
        for pattern, value in zip(self.patterns, values[self._ahead :], strict=True):
            uses[pattern.kind] += value
        return _Branch(max(bound, above), len(self._known), low, high, uses)

    def most_open(self, branch: _Branch) -> int | None:
        """The kind whose number is furthest from whole, by its length; None where all are whole."""
        apart = np.abs(branch.uses - np.round(branch.uses))
        lengths = [self.cutting.bars[each.bars[0]].length for each in self.kinds]
        kind = int(np.argmax(np.where(apart > 1e-5, apart * lengths, -1.0)))
        return kind if apart[kind] > 1e-5 else None

    def halves(self, branch: _Branch, kind: int) -> Iterator[tuple[list[int], list[int]]]:
        """Fewer of a kind, and more."""
        fewer, more = list(branch.high), list(branch.low)
        fewer[kind] = math.floor(branch.uses[kind])
        more[kind] = fewer[kind] + 1
        yield branch.low, fewer
        yield more, branch.high

    def plunge(self, branch: _Branch) -> Steps[Cuts | None]:
        """A plan where the effort ended first: straight down by the cheaper half."""
        self.limit = self.spent + self.more
        while (kind := self.most_open(branch)) is not None:
            halves = []
            for low, high in self.halves(branch, kind):
                if (half := (yield from self.branch(low, high, branch.bound))) is not None:
                    halves.append(half)
            if not halves:
                break
            branch = min(halves)
        return (yield from self.dive(branch))

    def dive(self, branch: _Branch) -> Steps[Cuts | None]:
        """A plan: patterns fixed one by one, the rest priced anew."""
        low, high = list(branch.low), list(branch.high)
        kept, self.left = self.left, list(self.left)
        limit, self.limit = self.limit, max(self.limit, self.spent + self.more)
        fixed: list[_Pattern] = []
        while any(self.left):
            self._keep_to_what_is_left()
            solved = yield from self._priced(low, high, up=True)
            if solved is None:
                break
            values = solved[0][self._ahead :]
            whole = np.round(np.minimum(values, 1.0), 6).tolist()
            best = max(
                range(len(whole)),
                key=lambda i: (whole[i], -self.patterns[i].cost),
                default=None,
            )
            if best is None or values[best] < _PIECE:
                break
            pattern = self.patterns[best]
            for _ in range(max(1, math.floor(values[best] + _PIECE))):
                fits = all(n <= left for n, left in zip(pattern.counts, self.left, strict=True))
                if not fits or not high[pattern.kind]:
                    break
                fixed.append(pattern)
                self.left = [left - n for n, left in zip(pattern.counts, self.left, strict=True)]
                high[pattern.kind] -= 1
                low[pattern.kind] = max(0, low[pattern.kind] - 1)
        self.left, self.limit = kept, limit
        self._keep_to_what_is_left(all_of_them=True)
        return self._as_cuts(fixed)

    def _keep_to_what_is_left(self, *, all_of_them: bool = False) -> None:
        for row, count in enumerate(self.left):
            self.program.keep_row(row, float(count), math.inf)
        for i, pattern in enumerate(self.patterns):
            may = all_of_them or (pattern.sound and self._may(pattern))
            self.program.keep_column(self._ahead + i, math.inf if may else 0.0)

    def _may(self, pattern: _Pattern) -> bool:
        return all(n <= left for n, left in zip(pattern.counts, self.left, strict=True))

    def _as_cuts(self, fixed: list[_Pattern]) -> Cuts | None:
        free = [list(each.bars) for each in self.kinds]
        counts = [(0,) * len(self.left)] * len(self.cutting.bars)
        for pattern in fixed:
            counts[free[pattern.kind].pop(0)] = pattern.counts
        cuts = Cuts(tuple(counts))
        return cuts if cuts.is_sound(self.cutting) else None

    def _priced(
        self, low: list[int], high: list[int], *, up: bool
    ) -> Steps[tuple[Array, float] | None]:
        """Numbers of patterns, no other being worth more, with the bound [eighths].

        None where the effort ends first, or nothing can be done. up: whether lengths are counted
        up, so that each pattern that is found can be cut.
        """
        rows = len(self.left)
        for row, limits in enumerate(zip(low, high, strict=True)):
            self.program.keep_row(rows + row, float(limits[0]), float(limits[1]))
        bound = -math.inf
        while True:
            yield min(1.0, self.spent / self.limit)
            answer = self.program.answer()
            if answer is None or self.is_over:
                return None
            values, duals = answer
            prices, fees = np.maximum(duals[:rows], 0.0), duals[rows:]
            worths = [_Filled(self, make, prices, up=up) for make in self.makes]
            least, better = float(prices @ np.array(self.left)), []
            for kind, (each, costs) in enumerate(zip(self.kinds, self.costs, strict=True)):
                filled = worths[each.make]
                over = costs - filled.worth[: len(costs)]
                cells = int(np.argmin(over))
                reduced = float(over[cells])
                if not math.isfinite(reduced):
                    continue
                least += reduced * (low[kind] if reduced > 0.0 else high[kind])
                if high[kind] and reduced < fees[kind] - _PIECE:
                    better.append((kind, filled, cells))
            bound = max(bound, least)
            if not sum(self._add(kind, filled.counts(cells)) for kind, filled, cells in better):
                return values, bound

    def _add(self, kind: int, counts: tuple[int, ...]) -> bool:
        """Whether a pattern is new; it is a column then."""
        if (kind, counts) in self._known:
            return False
        self._known.add((kind, counts))
        at = self.kinds[kind].bars[0]
        used = self.cutting.used(counts, at)
        sound = self.cutting.fits(at, used)
        cost = self.cutting.bar_cost(at, min(used, self.cutting.bars[at].length + SLACK)) / _UNIT
        self.patterns.append(_Pattern(kind, counts, cost, sound))
        terms = [(row, float(n)) for row, n in enumerate(counts) if n]
        self.program.column(cost, [*terms, (len(counts) + kind, 1.0)])
        return True


class _Filled:
    """Bars of one make filled with what is left to be cut, so that it is worth most by its prices.

    worth: of each exact number of cells, minus infinity where nothing adds up to it.
    """

    def __init__(
        self, work: _Work, make: tuple[int | None, ...], prices: Array, *, up: bool
    ) -> None:
        room = max(
            len(costs)
            for kind, costs in zip(work.kinds, work.costs, strict=True)
            if work.makes[kind.make] is make
        )
        self.worth = np.full(room, -math.inf)
        self.worth[0] = 0.0
        self._sizes = len(prices)
        self._taken: list[tuple[int, int, int, NDArray[np.bool_]]] = []
        for size, length in enumerate(make):
            if length is None or prices[size] <= _NEAR:
                continue
            cells = -(-length // work.cell) if up else length // work.cell
            for many in _doubling(work.left[size]):
                long = many * cells
                if not 0 < long < room:
                    continue
                with_them = self.worth[:-long] + many * prices[size]
                better = with_them > self.worth[long:] + _NEAR
                np.copyto(self.worth[long:], with_them, where=better)
                self._taken.append((size, many, long, better))
                work.spent += room

    def counts(self, cells: int) -> tuple[int, ...]:
        """How many of each size fill so many cells."""
        found = [0] * self._sizes
        for size, many, long, better in reversed(self._taken):
            if cells >= long and better[cells - long]:
                found[size] += many
                cells -= long
        return tuple(found)


def _doubling(count: int) -> Iterator[int]:
    """Numbers that add up to any number up to so many: 1, 2, 4 and so on, and what is left."""
    many = 1
    while count > 0:
        yield min(many, count)
        count -= many
        many *= 2
