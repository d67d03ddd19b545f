"""The plan that costs least: at once by fitting, then by patterns, then exactly, then part by part.

Cutting from given stock is a bin-packing problem. Each group of stock and sizes that has nothing to
do with the others is an aggregated assignment: how many of each size from each bar, with equal bars
in order. Before it is solved, patterns say which bars to cut from and under what no plan can cost
(``patterns.py``). Where the solver's effort ends before its proof, a few bars at a time are solved
exactly with what lies in them, and the best is kept with how far it can be from the best possible.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from taperlab.shop.pieces.bars import (
    SLACK,
    Cuts,
    Cutting,
    Size,
    apart,
    metres,
    part_of,
    quanta,
)
from taperlab.shop.pieces.exact import Program, never, solve
from taperlab.shop.pieces.fitting import fitted
from taperlab.shop.pieces.patterns import sought
from taperlab.shop.steps import Steps, part

_UNIT = 1000.0
"""Lengths go to the solver in eighths, which it likes better than thousands of them."""


_MOST_LOOKS = 8000
"""Of the solver, however small a program is."""


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard to try: at a whole group, at a part of one, and how many parts.

    The first two in looks of the solver at a program of a hundred columns; of larger ones each look
    counts by the square, which is about what it takes. most: looks at a whole group, however small.
    cells: how many million are filled in search of the bars to cut from; plans: how many are made
    of patterns.
    """

    whole: int = 2_000
    part: int = 60
    parts: int = 3
    most: int = _MOST_LOOKS
    cells: int = 320
    plans: int = 4

    def times(self, factor: int) -> Effort:
        """So many times as hard."""
        return Effort(
            self.whole * factor,
            self.part * factor,
            self.parts * factor,
            self.most * factor,
            self.cells * factor,
            self.plans * factor,
        )


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan. cost: what it costs in length of line [m]; bound: no plan costs less [m].

    proved: nothing is better. uncut: how many of each size are not cut.
    """

    cuts: Cuts
    cost: float
    bound: float
    proved: bool
    uncut: tuple[int, ...]

    @property
    def gap(self) -> float:
        """At most so much line more than the best possible [m]."""
        return 0.0 if self.proved else max(0.0, self.cost - self.bound)


def plan(
    cutting: Cutting, effort: Effort | None = None, stop: Callable[[], bool] = never
) -> Steps[Planned]:
    """The plan that costs least; yields the share done. stop: whether to end with the best so far.

    The same question has the same answer twice, unless it is stopped.
    """
    hard = effort or Effort()
    groups = list(apart(cutting))
    counts = [[0] * len(cutting.sizes) for _ in cutting.bars]
    bound, proved = 0.0, True
    for number, (bars, sizes) in enumerate(groups):
        inner = part_of(cutting, bars, sizes)
        share = number / len(groups), (number + 1) / len(groups)
        cuts, least, sure = yield from part(_group(inner, hard, stop), *share)
        bound += least
        proved &= sure
        for i, at in enumerate(bars):
            for j, k in enumerate(sizes):
                counts[at][k] = cuts.counts[i][j]
    found = Cuts(tuple(map(tuple, counts)))
    if not found.is_sound(cutting):
        raise AssertionError("a plan takes more of a bar than it holds")
    cost, uncut = _cost(cutting, found), found.uncut(cutting)
    return Planned(found, metres(cost), metres(bound), proved, uncut)


def _cost(cutting: Cutting, cuts: Cuts) -> float:
    """What a plan costs, what is not cut left out."""
    return sum(cutting.bar_cost(at, cutting.used(bar, at)) for at, bar in enumerate(cuts.counts))


def _group(
    cutting: Cutting, effort: Effort, stop: Callable[[], bool]
) -> Steps[tuple[Cuts, float, bool]]:
    """The best plan of a group, a lower bound of what cutting it costs, and whether it is best."""
    best = fitted(cutting)
    yield 0.02
    if not cutting.bars or stop():
        return best, 0.0, not cutting.bars
    by_patterns = yield from part(sought(cutting, effort.cells, effort.plans, stop), 0.02, 0.4)
    best = _cheaper(cutting, best, by_patterns.plan)
    found, bound, proved = yield from part(
        _whole(cutting, best, effort.whole, effort.most, stop), 0.4, 0.7
    )
    best = _cheaper(cutting, best, found)
    bound = max(bound, by_patterns.bound)
    if not proved:
        best = yield from part(_improved(cutting, best, bound, effort, stop), 0.7, 1.0)
        cost = best.cost(cutting)
        proved = cost <= bound + 1e-3 * _UNIT
    # What is not cut is dear in the solver's bound; only what is cut is told.
    left = sum(n * k.least for n, k in zip(best.uncut(cutting), cutting.sizes, strict=True))
    told = bound - cutting.uncut_cost * left
    cost = _cost(cutting, best)
    return best, cost if proved else max(0.0, min(told, cost)), proved


def _cheaper(cutting: Cutting, one: Cuts, other: Cuts | None) -> Cuts:
    return other if other is not None and other.cost(cutting) < one.cost(cutting) else one


def _whole(
    cutting: Cutting, start: Cuts, effort: int, most: int, stop: Callable[[], bool]
) -> Steps[tuple[Cuts | None, float, bool]]:
    """The exact answer as far as the effort goes, with the lower bound [units] that it proves."""
    program, places = _program(cutting)
    begun = _as_values(cutting, program, places, start)
    looks = min(most, max(8, effort * 10_000 // len(program.costs) ** 2))
    solved = yield from solve(program, looks, begun, stop)
    common = cutting.worth.share * sum(size.count * size.least for size in cutting.sizes)
    bound = solved.bound * _UNIT + common if math.isfinite(solved.bound) else 0.0
    if solved.values is None:
        return None, max(0.0, bound), False
    counts = tuple(
        tuple(0 if at is None else round(solved.values[at]) for at in bar) for bar in places
    )
    cuts = Cuts(counts)
    # What the solver calls whole is so within its tolerance: checked again in whole numbers.
    return (cuts, bound, solved.proved) if cuts.is_sound(cutting) else (None, bound, False)


Places = list[list[int | None]]
"""Where the number of each size from each bar stands among the columns."""


def _program(cutting: Cutting) -> tuple[Program, Places]:
    worth, program = cutting.worth, Program()
    usable, bother = quanta(worth.usable) / _UNIT, quanta(worth.bother) / _UNIT
    pick, share = quanta(worth.pick) / _UNIT, worth.share
    uncut_cost = cutting.uncut_cost
    places: Places = []
    taken: list[list[tuple[int, float]]] = []
    for at, bar in enumerate(cutting.bars):
        length = (bar.length + SLACK) / _UNIT
        own: list[int | None] = []
        terms: list[tuple[int, float]] = []
        for size in cutting.sizes:
            needed = size.lengths[at]
            if needed is None or not cutting.fits(at, needed):
                own.append(None)
                continue
            most = min(size.count, (bar.length + SLACK) // needed)
            cut = needed / _UNIT
            # Line that is used up costs what it would be worth as part of what is left; what all
            # bars have in common of it is no choice.
            more = share * (needed - size.least) / _UNIT
            own.append(program.column(more, 0.0, most, whole=True))
            terms.append((own[-1] or 0, cut))
        places.append(own)
        taken.append(terms)
        if not terms:
            continue
        opened = worth.whole(bar) / _UNIT - share * length + pick
        y = program.column(opened, 0.0, 1.0, whole=True)
        z = program.column(bother, 0.0, 1.0, whole=True)
        w = program.column(share, 0.0, length, whole=False)
        program.row(-math.inf, 0.0, [*terms, (y, -length)])
        program.row(0.0, math.inf, [*((place, 1.0) for place, _ in terms), (y, -1.0)])
        rest = [*((place, -cut) for place, cut in terms), (y, length)]
        program.row(0.0, math.inf, [*rest, (z, -usable)])
        program.row(-math.inf, 0.0, [(z, 1.0), (y, -1.0)])
        program.row(-math.inf, 0.0, [*rest, (z, -length), (w, -1.0)])
    for k, size in enumerate(cutting.sizes):
        # A piece that is not cut uses no line up either.
        per_piece = (uncut_cost - share) * size.least / _UNIT
        u = program.column(per_piece, 0.0, size.count, whole=True)
        columns = [place for own in places if (place := own[k]) is not None]
        program.row(size.count, size.count, [*((each, 1.0) for each in columns), (u, 1.0)])
    for one, other in _alike(cutting):
        # Of equal bars the first is cut from most.
        program.row(0.0, math.inf, [*taken[one], *((p, -cut) for p, cut in taken[other])])
    return program, places


def _alike(cutting: Cutting) -> list[tuple[int, int]]:
    """Bars that are equal in every way, each with the next one like it."""
    last: dict[tuple[object, ...], int] = {}
    found = []
    for at, bar in enumerate(cutting.bars):
        like = (bar.length, bar.fresh, *(size.lengths[at] for size in cutting.sizes))
        if like in last:
            found.append((last[like], at))
        last[like] = at
    return found


def _in_order(cutting: Cutting, cuts: Cuts) -> Cuts:
    """The same plan with equal bars in order, the one that is cut from most first."""
    like: dict[tuple[object, ...], list[int]] = {}
    for at, bar in enumerate(cutting.bars):
        key = (bar.length, bar.fresh, *(size.lengths[at] for size in cutting.sizes))
        like.setdefault(key, []).append(at)
    counts = list(cuts.counts)
    for bars in like.values():
        full = sorted((cuts.counts[at] for at in bars), key=lambda c: -cutting.used(c, bars[0]))
        for at, each in zip(bars, full, strict=True):
            counts[at] = each
    return Cuts(tuple(counts))


def _as_values(cutting: Cutting, program: Program, places: Places, cuts: Cuts) -> list[float]:
    """A plan as values of the program's columns."""
    values = [0.0] * len(program.costs)
    ordered = _in_order(cutting, cuts)
    usable = quanta(cutting.worth.usable)
    for at, own in enumerate(places):
        filled = [place for place in own if place is not None]
        if not filled:
            continue
        for place, count in zip(own, ordered.counts[at], strict=True):
            if place is not None:
                values[place] = float(count)
        y = max(filled) + 1
        used = cutting.used(ordered.counts[at], at)
        if used:
            rest = cutting.bars[at].length + SLACK - used
            values[y] = 1.0
            values[y + 1] = float(rest >= usable)
            values[y + 2] = 0.0 if rest >= usable else rest / _UNIT
    for k, left in enumerate(ordered.uncut(cutting)):
        values[len(values) - len(cutting.sizes) + k] = float(left)
    return values


def _improved(
    cutting: Cutting, best: Cuts, bound: float, effort: Effort, stop: Callable[[], bool]
) -> Steps[Cuts]:
    """Solve a few bars at a time anew, with what is cut from them; keep what is no dearer."""
    chance = random.Random(1)
    cost = best.cost(cutting)
    for number in range(effort.parts):
        yield number / effort.parts
        if stop() or cost <= bound + _UNIT:
            # An eighth of an inch of line is not worth looking for.
            break
        bars = _some_bars(cutting, best, chance)
        inner, sizes = _theirs(cutting, best, bars)
        start = Cuts(tuple(tuple(best.counts[at][k] for k in sizes) for at in bars))
        found, _, _ = yield from part(
            _whole(inner, start, effort.part, effort.most, stop),
            number / effort.parts,
            (number + 1) / effort.parts,
        )
        if found is None:
            continue
        counts = list(map(list, best.counts))
        for i, at in enumerate(bars):
            counts[at] = [0] * len(cutting.sizes)
            for j, k in enumerate(sizes):
                counts[at][k] = found.counts[i][j]
        after = Cuts(tuple(map(tuple, counts)))
        now = after.cost(cutting)
        if now <= cost + 1e-6:
            best, cost = after, now
    return best


def _some_bars(cutting: Cutting, best: Cuts, chance: random.Random) -> list[int]:
    used = [at for at, counts in enumerate(best.counts) if any(counts)]
    idle = [at for at in range(len(cutting.bars)) if at not in used]
    chosen = chance.sample(used, min(len(used), chance.choice((3, 4))))
    return sorted(chosen + chance.sample(idle, min(len(idle), 3)))


def _theirs(cutting: Cutting, best: Cuts, bars: Sequence[int]) -> tuple[Cutting, list[int]]:
    """The problem of some bars with what is cut from them, and what is not cut at all."""
    left = best.uncut(cutting)
    counts = {
        k: left[k] + sum(best.counts[at][k] for at in bars) for k in range(len(cutting.sizes))
    }
    sizes = [k for k, count in counts.items() if count]
    inner = Cutting(
        tuple(cutting.bars[at] for at in bars),
        tuple(Size(counts[k], tuple(cutting.sizes[k].lengths[at] for at in bars)) for k in sizes),
        cutting.worth,
    )
    return inner, sizes
