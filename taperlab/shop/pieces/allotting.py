"""Stretches of tapered stock for the pieces that want one: several from one stock line at once.

Of a single piece the best stretch is taken. Where several are wanted, candidates on a grid of
beginnings compete: one number each, every piece at most once, and at the start of every candidate
at most one that covers it. What fits best altogether is found exactly.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from taperlab.model.exact_units import FOOT, GRAIN
from taperlab.model.pieces import Rules
from taperlab.physics.stretch import Stretch, Wanted, best_stretches, grid_stretches
from taperlab.shop.pieces.demand import Need
from taperlab.shop.pieces.exact import Program, solve
from taperlab.shop.pieces.material import MOST_OFF, Fit, Material, fit_of
from taperlab.shop.steps import Steps, part

GRIDS = (0.25 * FOOT, 0.125 * FOOT)
"""How far apart beginnings are tried [m]; finer where the first grid leaves a piece out."""

_TO_A_PIECE = 24.0
"""Beginnings that are tried within the length of a short piece where no valley fits."""

_EFFORT = 1500
_PER_FOOT = GRAIN / FOOT


@dataclass(frozen=True, slots=True)
class Allotted:
    """A stretch of a stock line for one piece: the number of the need and of the material."""

    need: int
    material: int
    stretch: Stretch


def wanted(need: Need, rules: Rules) -> Wanted:
    """What a piece looks for on tapered stock."""
    return Wanted(
        need.taper,
        need.front.added,
        need.rear.added,
        rules.keeps_weight,
        rules.largest_step,
        need.before,
        need.after,
    )


def allotted(
    needs: Sequence[Need],
    materials: Sequence[Material],
    rules: Rules,
    stop: Callable[[], bool],
) -> Steps[tuple[Allotted, ...]]:
    """For each piece that one fits within the tolerance, a stretch clear of all others."""
    on = {
        i: [m for m, each in enumerate(materials) if not each.is_level and need.may_be(each)]
        for i, need in enumerate(needs)
    }
    asking = [i for i in on if on[i]]
    if not asking:
        return ()
    best: list[Allotted] = []
    for done, i in enumerate(asking):
        for m in on[i]:
            yield 0.5 * done / len(asking)
            best += _within(
                i, m, best_stretches(materials[m].along, wanted(needs[i], rules)), rules
            )
    if len(asking) == 1:
        return tuple(sorted(best, key=_by_fit)[:1])
    found: tuple[Allotted, ...] = ()
    for number, grid in enumerate(GRIDS):
        begin, end = (0.5 + 0.5 * each / len(GRIDS) for each in (number, number + 1))
        candidates = list(best)
        for i in asking:
            for m in on[i]:
                yield begin
                line = materials[m].along
                near = grid_stretches(line, wanted(needs[i], rules), grid, rules.tolerance)
                candidates += _within(i, m, near, rules)
        found = yield from part(_clear(candidates, len(materials), needs, stop), begin, end)
        could = {each.need for each in candidates}
        if len(found) == len(could) or stop():
            break
    return found


def best_of_all(
    need: Need, materials: Sequence[Material], rules: Rules, taken: Sequence[Allotted]
) -> Allotted | None:
    """The best stretch of any stock that is left, however far off it is; -1 stands for the need.

    One that fits goes before one that does not: least squares are not least worst.
    """
    asked, found = wanted(need, rules), []
    step = min(GRIDS[-1], need.taper.length / _TO_A_PIECE)
    # Nowhere further off than what fits: not further off on the whole either.
    limit = MOST_OFF * float(need.taper.linear_density(need.taper.starts).max())
    for m, material in enumerate(materials):
        if not material.is_level and need.may_be(material):
            free = free_parts(material, [e.stretch for e in taken if e.material == m])
            mine = best_stretches(material.along, asked, free)
            if all(fit_of(each.share_off) is Fit.NONE for each in mine):
                near = grid_stretches(material.along, asked, step, limit)
                mine += tuple(each for each in near if _is_clear(each, free))
            found += [Allotted(-1, m, each) for each in mine]

    def rank(each: Allotted) -> tuple[bool, tuple[float, int, float]]:
        return fit_of(each.stretch.share_off) is Fit.NONE, _by_fit(each)

    return min(found, key=rank, default=None)


def _is_clear(stretch: Stretch, free: Sequence[tuple[float, float]]) -> bool:
    """Whether all that a stretch takes lies in one part that is not spoken for."""
    begin, end = stretch.taken
    return any(low - 1e-9 <= begin and end <= high + 1e-9 for low, high in free)


def free_parts(material: Material, taken: Sequence[Stretch]) -> list[tuple[float, float]]:
    """What of a stock line is not spoken for [m]."""
    parts, at = [], 0.0
    for begin, end in sorted(each.taken for each in taken):
        if begin > at + 1e-9:
            parts.append((at, begin))
        at = max(at, end)
    if material.along.length > at + 1e-9:
        parts.append((at, material.along.length))
    return parts


def _within(need: int, material: int, stretches: Sequence[Stretch], rules: Rules) -> list[Allotted]:
    return [
        Allotted(need, material, each)
        for each in stretches
        if abs(each.worst) <= rules.tolerance * (1.0 + 1e-9)
    ]


def _by_fit(each: Allotted) -> tuple[float, int, float]:
    return round(each.stretch.rms / (0.05 * _PER_FOOT)), each.material, each.stretch.taken[0]


def _clear(
    candidates: Sequence[Allotted],
    count: int,
    needs: Sequence[Need],
    stop: Callable[[], bool],
) -> Steps[tuple[Allotted, ...]]:
    """Of the candidates those that fit best together, no two on the same place."""
    program = Program()
    for each in candidates:
        # A piece that has a stretch at all is worth more than any fit; a long one weighs more.
        fit = (each.stretch.rms / _PER_FOOT) ** 2 * needs[each.need].taper.length / FOOT
        program.column(fit - 1e4, 0.0, 1.0, whole=True)
    for need in sorted({each.need for each in candidates}):
        mine = [(at, 1.0) for at, each in enumerate(candidates) if each.need == need]
        program.row(-math.inf, 1.0, mine)
    for material in range(count):
        on = [(at, each) for at, each in enumerate(candidates) if each.material == material]
        for place in sorted({each.stretch.taken[0] for _, each in on}):
            over = [
                (at, 1.0)
                for at, each in on
                if each.stretch.taken[0] <= place + 1e-9 < each.stretch.taken[1] - 1e-9
            ]
            if len(over) > 1:
                program.row(-math.inf, 1.0, over)
    solved = yield from solve(program, _EFFORT, stop=stop)
    if solved.values is None:
        return ()
    return tuple(each for each, x in zip(candidates, solved.values, strict=True) if x > 0.5)
