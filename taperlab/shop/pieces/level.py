"""Level pieces: which stock each may be cut from, as sizes for the plan, and cut by the plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from taperlab.physics.level_steps import LevelSteps, StepLimits, level_steps
from taperlab.shop.pieces.asking import Question
from taperlab.shop.pieces.bars import Bar, Cutting, Size, Worth, quanta
from taperlab.shop.pieces.demand import Need, stepped
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


def kinds_for(need: Need, materials: Sequence[Material]) -> dict[str, list[int]]:
    """Level stock that a need may be cut from, by kind, each at the same mass per length or so."""
    found: dict[str, list[int]] = {}
    for at, material in enumerate(materials):
        if material.is_level and need.may_be(material):
            found.setdefault(material.kind, []).append(at)
    return found


def as_level(
    need: Need, materials: Sequence[Material], question: Question
) -> list[LevelPiece] | None:
    """The level pieces in place of a need, with what each may be cut from; None where none do."""
    kinds = kinds_for(need, materials)
    rules = question.rules
    if need.is_level:
        near = {kind: abs(materials[at[0]].density - need.mean) for kind, at in kinds.items()}
        if not near or min(near.values()) > rules.tolerance * (1.0 + 1e-9):
            return None
        nearest = min(near.values())
        close = [
            kind
            for kind, off in near.items()
            if off <= nearest + 1e-9 or fit_of(off / need.mean) is Fit.GOOD
        ]
        among = tuple(sorted(at for kind in close for at in kinds[kind]))
        length, mass = need.taper.length, need.taper.mass
        return [LevelPiece(need, 0, 1, 0.0, length, mass, need.front, need.rear, among)]
    found = _steps(need, kinds, materials, question)
    if found is None:
        return None
    steps, names = found
    ends = stepped(need, steps.breaks, rules)
    densities = [materials[kinds[names[i]][0]].density for i in steps.stocks]
    return [
        LevelPiece(
            need, n, len(ends), start, length, length * density, *both, tuple(kinds[names[i]])
        )
        for n, (i, start, length, density, both) in enumerate(
            zip(steps.stocks, steps.breaks[:-1], steps.lengths, densities, ends, strict=True)
        )
    ]


def _steps(
    need: Need, kinds: dict[str, list[int]], materials: Sequence[Material], question: Question
) -> tuple[LevelSteps, list[str]] | None:
    if not need.rises_or_falls or not kinds:
        return None
    names = sorted(kinds, key=lambda kind: (materials[kinds[kind][0]].density, kind))
    densities = [materials[kinds[kind][0]].density for kind in names]
    found = level_steps(need.taper, densities, step_limits(question))
    return None if found is None else (found, names)


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
    front, rear = (density - float(each) for each in ends)
    worst, at = (front, 0.0) if abs(front) >= abs(rear) else (rear, piece.length)
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
        at,
        fit_of(share),
        (piece.front, piece.rear),
        density,
        density,
        1.0 / density,
    )
