"""Level pieces: which stock each may be cut from, as sizes for the plan, and cut by the plan."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from taperlab.model.pieces import Rules
from taperlab.physics.level_steps import Longest, StepLimits, level_steps
from taperlab.shop.pieces.asking import Question
from taperlab.shop.pieces.bars import Bar, Cutting, Size, Worth, quanta
from taperlab.shop.pieces.demand import Need, step_end, stepped
from taperlab.shop.pieces.ends import End, level_masses
from taperlab.shop.pieces.material import Fit, Material, fit_of
from taperlab.shop.pieces.outcome import Piece
from taperlab.shop.pieces.planning import Planned


@dataclass(frozen=True, eq=False, slots=True)
class LevelPiece:
    """A level piece to be cut: what of its need it stands for, and what it may be cut from."""

    need: Need
    step: int
    steps: int
    start: float
    length: float
    mass: float
    front: End
    rear: End
    bars: tuple[int, ...]


ALIKE = 0.03
"""Batches of one kind weigh so far apart per length at most, as a share; beyond, one can't stand in
for the other, whatever they are called."""


def alike_for(need: Need, materials: Sequence[Material]) -> list[tuple[int, ...]]:
    """Level stock that a need may be cut from, what may stand in for each other together.

    That is of one kind and weighs the same per length or so. In order of mass per length, the one
    that stands for all of its group first in each: that in its middle.
    """
    by_kind: dict[str, list[int]] = {}
    for at, material in enumerate(materials):
        if material.is_level and need.may_be(material):
            by_kind.setdefault(material.kind, []).append(at)
    found: list[tuple[float, str, tuple[int, ...]]] = []
    for kind, mine in by_kind.items():
        mine.sort(key=lambda at: materials[at].density)
        while mine:
            least = materials[mine[0]].density
            near = [at for at in mine if materials[at].density <= least * (1.0 + ALIKE)]
            middle = near[(len(near) - 1) // 2]
            others = (at for at in sorted(near) if at != middle)
            found.append((least, kind, (middle, *others)))
            mine = mine[len(near) :]
    return [among for _, _, among in sorted(found)]


def all_bars(need: Need, materials: Sequence[Material], tolerance: float) -> tuple[int, ...]:
    """All level stock that a level need may be cut from within a tolerance [kg/m]."""
    return tuple(
        at
        for at, each in enumerate(materials)
        if each.is_level
        and need.may_be(each)
        and abs(each.density - need.mean) <= tolerance * (1.0 + 1e-9)
    )


def _level_bars(
    need: Need, alike: Sequence[tuple[int, ...]], materials: Sequence[Material], tolerance: float
) -> tuple[int, ...]:
    """The stock for a level need: what is nearest to it, its like, and what is as good as it."""
    off = {at: abs(materials[at].density - need.mean) for among in alike for at in among}
    nearest = min(off.values(), default=math.inf)
    found = []
    for among in alike:
        has_nearest = any(off[at] <= nearest + 1e-9 for at in among)
        found += [
            at
            for at in among
            if off[at] <= tolerance * (1.0 + 1e-9)
            and (has_nearest or fit_of(off[at] / need.mean) is Fit.GOOD)
        ]
    return tuple(sorted(found))


def _step_bars(
    need: Need,
    begin: float,
    end: float,
    among: Sequence[int],
    materials: Sequence[Material],
    tolerance: float,
) -> tuple[int, ...]:
    """Of stock that stands in for each other what is near enough to a taper between two places."""
    ends = need.taper.linear_density([begin, end * (1.0 - 1e-12)])

    def off(at: int) -> float:
        return max(abs(materials[at].density - float(each)) for each in ends)

    # Breaks on the tape may take the first a hair beyond it.
    most = max(tolerance, off(among[0])) * (1.0 + 1e-9)
    return tuple(sorted(at for at in among if off(at) <= most))


def as_level(
    need: Need,
    materials: Sequence[Material],
    question: Question,
    without: frozenset[int] = frozenset(),
) -> list[LevelPiece] | None:
    """The level pieces in place of a need, with what each may be cut from; None where none do.

    without: stock that is not to be thought of.
    """
    alike = [among for among in alike_for(need, materials) if not without.issuperset(among)]
    rules = question.rules
    if need.is_level:
        bars = _level_bars(need, alike, materials, rules.tolerance)
        if not bars:
            return None
        length, mass = need.taper.length, need.taper.mass
        return [LevelPiece(need, 0, 1, 0.0, length, mass, need.front, need.rear, bars)]
    densities = [materials[among[0]].density for among in alike]
    steps = None
    if densities and need.rises_or_falls:
        limits = step_limits(question)
        steps = level_steps(
            need.taper, densities, limits, _longest_steps(need, alike, materials, rules)
        )
        if steps is None and not without:
            # Told is then what these lack.
            steps = level_steps(need.taper, densities, limits)
    if steps is None:
        return None
    both = stepped(need, steps.breaks, rules)
    pieces = []
    for n, (i, length) in enumerate(zip(steps.stocks, steps.lengths, strict=True)):
        start, mass = steps.breaks[n], length * densities[i]
        bars = _step_bars(need, start, start + length, alike[i], materials, rules.tolerance)
        pieces.append(LevelPiece(need, n, len(both), start, length, mass, *both[n], bars))
    return pieces


def _longest_steps(
    need: Need, alike: Sequence[tuple[int, ...]], materials: Sequence[Material], rules: Rules
) -> Longest:
    """How long a step may be that is cut from stock of each group, by what lies there."""

    def longest(group: int, is_first: bool, is_last: bool) -> float:
        front = need.front.added if is_first else step_end(rules, is_front=True).added
        rear = need.rear.added if is_last else step_end(rules, is_front=False).added
        density = materials[alike[group][0]].density
        room = []
        for at in alike[group]:
            share = materials[at].density / density if rules.keeps_weight else 1.0
            room.append((materials[at].along.length - front - rear) * share)
        return max(room)

    return longest


def step_limits(question: Question) -> StepLimits:
    """What level steps keep to."""
    rules = question.rules
    # A lap at either end leaves a full section between them.
    shortest = max(rules.shortest, rules.overlap + 0.0254 if rules.overlap else 0.0)
    return StepLimits(rules.tolerance, shortest, rules.largest_step, rules.scale / 2.0)


def cutting_of(
    levels: Sequence[LevelPiece], materials: Sequence[Material], question: Question
) -> tuple[Cutting, list[list[int]]]:
    """All level pieces as sizes to be cut, with the numbers of the pieces of each size."""
    by_lengths: dict[tuple[int | None, ...], list[int]] = {}
    for number, piece in enumerate(levels):
        lengths = tuple(
            quanta(_cut_length(piece, material, question)) if at in piece.bars else None
            for at, material in enumerate(materials)
        )
        by_lengths.setdefault(lengths, []).append(number)
    ordered = sorted(
        by_lengths.items(), key=lambda each: (-max(n or 0 for n in (*each[0], 0)), each[1])
    )
    sizes = tuple(Size(len(numbers), lengths) for lengths, numbers in ordered)
    stock = tuple(Bar(m.stock.key, quanta(m.along.length), not m.stock.leftover) for m in materials)
    return Cutting(stock, sizes, Worth(usable=question.rules.usable)), [
        numbers for _, numbers in ordered
    ]


def _finished(piece: LevelPiece, material: Material, question: Question) -> float:
    """How long its finished share is, cut from a material [m]."""
    return piece.mass / material.density if question.rules.keeps_weight else piece.length


def _cut_length(piece: LevelPiece, material: Material, question: Question) -> float:
    return _finished(piece, material, question) + piece.front.added + piece.rear.added


def cut_by(
    question: Question,
    groups: Sequence[Sequence[int]],
    planned: Planned,
    levels: Sequence[LevelPiece],
    materials: Sequence[Material],
) -> tuple[list[Piece], list[int]]:
    """The pieces that the plan cuts, one behind the other from the front of each stock."""
    waiting = [list(numbers) for numbers in groups]
    pieces: list[Piece] = []
    for at, counts in enumerate(planned.cuts.counts):
        place = 0.0
        for k, count in enumerate(counts):
            for _ in range(count):
                piece = levels[waiting[k].pop(0)]
                length = _cut_length(piece, materials[at], question)
                pieces.append(_level_piece(piece, materials[at], place, length))
                place += length
    return pieces, [number for numbers in waiting for number in numbers]


def _level_piece(piece: LevelPiece, material: Material, begin: float, length: float) -> Piece:
    need, density = piece.need, material.density
    finished = length - piece.front.added - piece.rear.added
    masses = level_masses(density, finished, piece.front, piece.rear)
    ends = need.taper.linear_density([piece.start, piece.start + piece.length * (1.0 - 1e-12)])
    worst = max((density - float(each) for each in ends), key=abs)
    share = abs(worst) / (density - worst)
    return Piece(
        need.head,
        need.first,
        need.last,
        piece.step,
        piece.steps,
        material.stock,
        begin,
        False,
        length,
        finished,
        masses.cut,
        masses.finished,
        worst,
        fit_of(share) if need.is_level else Fit.STEP,
        (piece.front, piece.rear),
        density,
        density,
        1.0 / density,
    )
