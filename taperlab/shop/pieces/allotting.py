"""Stretches of tapered stock for the pieces that want one: several from one stock line at once.

Of a single piece the best stretch is taken. Where several are wanted, candidates on a grid of
beginnings compete: one number each, as many of a kind of piece as are wanted, and at the start of
every candidate at most one that covers it. What fits best altogether is found exactly.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, replace

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
_PIECE, _HEAD = 1e4, 5e3
"""What a piece is worth that has a stretch, and what a head that has all its stretches."""

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
    """For each piece that one fits within the tolerance, a stretch clear of all others.

    Pieces that are alike are asked for together, and the first heads get what there is.
    """
    alike = groups_of(needs)
    on = [
        [m for m, each in enumerate(materials) if not each.is_level and needs[mine[0]].may_be(each)]
        for mine in alike
    ]
    asking = [kind for kind, there in enumerate(on) if there]
    best: list[Allotted] = []
    for done, kind in enumerate(asking):
        for m in on[kind]:
            yield 0.5 * done / len(asking)
            asked = wanted(needs[alike[kind][0]], rules)
            best += _within(kind, m, best_stretches(materials[m].along, asked), rules)
    if [len(alike[kind]) for kind in asking] == [1]:
        return _given(sorted(best, key=_by_fit)[:1], alike)
    found: list[Allotted] = []
    for number, grid in enumerate(GRIDS if asking else ()):
        begin, end = (0.5 + 0.5 * each / len(GRIDS) for each in (number, number + 1))
        candidates = list(best)
        for kind in asking:
            for m in on[kind]:
                yield begin
                line, asked = materials[m].along, wanted(needs[alike[kind][0]], rules)
                near = grid_stretches(line, asked, grid, rules.tolerance)
                candidates += _within(kind, m, near, rules)
        clear = _clear(candidates, len(materials), needs, alike, stop)
        found = yield from part(clear, begin, end)
        could = sum(len(alike[kind]) for kind in {each.need for each in candidates})
        if len(found) == could or stop():
            break
    return _given(found, alike)


def groups_of(needs: Sequence[Need]) -> list[list[int]]:
    """The numbers of the pieces that may stand in for each other, in order."""
    found: dict[Hashable, list[int]] = {}
    for number, need in enumerate(needs):
        found.setdefault(need.likeness, []).append(number)
    return list(found.values())


def _given(found: Sequence[Allotted], alike: Sequence[Sequence[int]]) -> tuple[Allotted, ...]:
    """Stretches for pieces of a kind, given to those pieces in order."""
    waiting = [list(mine) for mine in alike]
    ordered = sorted(found, key=lambda each: (each.material, each.stretch.taken[0]))
    return tuple(replace(each, need=waiting[each.need].pop(0)) for each in ordered)


class Nearest:
    """The best stretch of any stock for a piece, however far off it is, beside what is taken.

    Of pieces that are alike it is looked for once, as long as as many are taken: they only grow.
    """

    def __init__(self, materials: Sequence[Material], rules: Rules) -> None:
        self._materials, self._rules = materials, rules
        self._found: dict[tuple[Hashable, int], Allotted | None] = {}

    def __call__(self, need: Need, taken: Sequence[Allotted]) -> Allotted | None:
        """That stretch, -1 standing for the need; None where no stock has one."""
        asked = need.likeness, len(taken)
        if asked not in self._found:
            self._found[asked] = _best_of_all(need, self._materials, self._rules, taken)
        return self._found[asked]


def _best_of_all(
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
    alike: Sequence[Sequence[int]],
    stop: Callable[[], bool],
) -> Steps[list[Allotted]]:
    """Of the candidates those that fit best together, no two on the same place."""
    program = Program()
    for each in candidates:
        # A piece that has a stretch at all is worth more than any fit; a long one weighs more.
        length = needs[alike[each.need][0]].taper.length
        fit = (each.stretch.rms / _PER_FOOT) ** 2 * length / FOOT
        program.column(fit - _PIECE, 0.0, 1.0, whole=True)
    columns = {
        kind: [(at, 1.0) for at, each in enumerate(candidates) if each.need == kind]
        for kind in sorted({each.need for each in candidates})
    }
    for kind, mine in columns.items():
        program.row(-math.inf, len(alike[kind]), mine)
    # Of as many pieces those that are of one head are worth more, and the first heads the most.
    shares = {kind: list(mine) for kind, mine in columns.items()}
    for order, (content, copies) in enumerate(_heads(needs, alike, set(columns))):
        whole = program.column(-_HEAD * (1.0 - 1e-4 * order), 0.0, copies, whole=True)
        for kind, number in content:
            shares[kind].append((whole, -float(number)))
    for terms in shares.values():
        program.row(0.0, math.inf, terms)
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
        return []
    return [each for each, x in zip(candidates, solved.values, strict=False) if x > 0.5]


def _heads(
    needs: Sequence[Need], alike: Sequence[Sequence[int]], kinds: set[int]
) -> list[tuple[tuple[tuple[int, int], ...], int]]:
    """What heads want of pieces of such kinds, kind by kind how many, and how many such heads."""
    wants: dict[int, Counter[int]] = {}
    for kind in sorted(kinds):
        for number in alike[kind]:
            wants.setdefault(needs[number].head, Counter())[kind] += 1
    heads = Counter(tuple(sorted(wants[head].items())) for head in sorted(wants))
    return list(heads.items())
