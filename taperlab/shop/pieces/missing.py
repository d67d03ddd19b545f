"""What can't be cut, and why: told by the kind of stock and by the shortest piece that would do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from taperlab.physics.level_steps import EIGHTH, level_steps, smallest_tolerance, widest_gap
from taperlab.shop.pieces.allotting import Allotted, Nearest
from taperlab.shop.pieces.asking import Question
from taperlab.shop.pieces.bars import Cutting, metres
from taperlab.shop.pieces.demand import Need
from taperlab.shop.pieces.level import ALIKE, LevelPiece, alike_for, step_limits
from taperlab.shop.pieces.material import Fit, Material, fit_of
from taperlab.shop.pieces.outcome import Short
from taperlab.units.sentence import Length, Sentence, WeightPerLength


def missing(
    need: Need,
    materials: Sequence[Material],
    question: Question,
    taken: Sequence[Allotted],
    nearest: Nearest,
) -> Short:
    """Why nothing can be cut for a need, told by what would have to be bought.

    taken: the stretches of tapered stock that other pieces have.
    """
    rough = nearest(need, taken)
    whole = nearest(need, ()) if taken else None
    length = need.taper.length + need.front.added + need.rear.added
    tie = need.segments[0].stock
    alike = alike_for(need, materials)
    densities = [materials[among[0]].density for among in alike]
    told = Sentence("{kind}", kind=tie) if tie else _per_length(need)
    if tie and not any(need.may_be(each) for each in materials):
        why = Sentence("There is no stock named {stock}, nor of that kind.", stock=tie)
    elif not any(need.may_be(each) for each in materials):
        why = Sentence("No stock floats, or sinks, about as it does.")
    elif whole is not None and fit_of(whole.stretch.share_off) is not Fit.NONE:
        why = Sentence(
            "What would do is taken by other pieces: {length} is missing, in one piece.",
            length=Length(length),
        )
    elif not densities and rough is None:
        why = Sentence("No stock is long enough and weighs about as much per length.")
        if tie:
            why = Sentence(
                "Tied to {stock}, where no stretch is left that is long enough and weighs about "
                "as much per length.",
                stock=tie,
            )
    elif need.is_level or not need.rises_or_falls:
        there = (materials[at].density for among in alike for at in among)
        near = min(there, key=lambda each: abs(each - need.mean), default=None)
        why = Sentence(
            "No stock is within the tolerance of {wanted}.", wanted=WeightPerLength(need.mean)
        )
        if near is not None:
            why = Sentence(
                "The nearest stock has {near}; {wanted} is wanted.",
                near=WeightPerLength(near),
                wanted=WeightPerLength(need.mean),
            )
    else:
        why = _steps_missing(need, densities, question)
    return Short(str(told), (length,), why, ((need.head, need.first, need.last),), told)


def _steps_missing(need: Need, densities: Sequence[float], question: Question) -> Sentence:
    gap = widest_gap(need.taper, densities)
    limits = step_limits(question)
    if level_steps(need.taper, densities, replace(limits, shortest=EIGHTH)) is not None:
        return Sentence(
            "Level steps of it would be shorter than {shortest}, the shortest piece that is asked "
            "for.",
            shortest=Length(limits.shortest),
        )
    least = smallest_tolerance(need.taper, densities, limits)
    if gap is None:
        return Sentence("No tapered stock fits it.")
    if least is None:
        return Sentence(
            "No level steps of this stock make it: stock between {low} and {high} is missing.",
            low=WeightPerLength(gap[0]),
            high=WeightPerLength(gap[1]),
        )
    return Sentence(
        "Level steps need a tolerance of {least}: stock between {low} and {high} is missing.",
        least=WeightPerLength(least),
        low=WeightPerLength(gap[0]),
        high=WeightPerLength(gap[1]),
    )


def _per_length(need: Need) -> Sentence:
    ends = need.taper.linear_density([0.0, need.taper.length * (1.0 - 1e-12)])
    front, rear = (WeightPerLength(float(each)) for each in ends)
    one = Sentence("{front}", front=front)
    if str(one) == str(Sentence("{rear}", rear=rear)):
        return one
    return Sentence("{front} to {rear}", front=front, rear=rear)


def short_of(
    cutting: Cutting,
    groups: Sequence[Sequence[int]],
    uncut: Sequence[int],
    levels: Sequence[LevelPiece],
    materials: Sequence[Material],
    *,
    proved: bool,
) -> list[Short]:
    """What the plan could not cut, by the kind of stock that it would come from."""
    size_of = {number: k for k, numbers in enumerate(groups) for number in numbers}
    names = _names(materials)
    by_kind: dict[tuple[Sentence, ...], list[int]] = {}
    for number in uncut:
        kinds = tuple(dict.fromkeys(names[at] for at in levels[number].bars))
        by_kind.setdefault(kinds, []).append(number)
    found = []
    for kinds, numbers in sorted(by_kind.items(), key=lambda each: [str(one) for one in each[0]]):
        lengths = sorted((metres(cutting.sizes[size_of[n]].least) for n in numbers), reverse=True)
        among = {at for n in numbers for at in levels[n].bars}
        there = sum(materials[at].along.length for at in among)
        needed = sum(
            metres(cutting.sizes[size_of[n]].least)
            for n, piece in enumerate(levels)
            if among & set(piece.bars)
        )
        longest, total = Length(lengths[0]), Length(sum(lengths))
        if there >= needed:
            why = Sentence(
                "Enough in all, but in pieces too short: {total} is missing, in a piece of at "
                "least {longest}.",
                total=total,
                longest=longest,
            )
        else:
            why = Sentence(
                "{total} is missing, in a piece of at least {longest}.",
                total=total,
                longest=longest,
            )
        if not proved:
            why = Sentence("{why} A better plan may need less.", why=why)
        needs = (levels[n].need for n in numbers)
        places = sorted({(each.head, each.first, each.last) for each in needs})
        told = kinds[0]
        for each in kinds[1:]:
            told = Sentence("{some} / {other}", some=told, other=each)
        found.append(Short(str(told), tuple(lengths), why, tuple(places), told))
    return found


def _names(materials: Sequence[Material]) -> list[Sentence]:
    """What each is called: its kind, and what it weighs where stock of that kind weighs several."""
    level = [each for each in materials if each.is_level]
    named = []
    for each in materials:
        mine = [other.density for other in level if other.kind == each.kind] or [each.density]
        if max(mine) <= min(mine) * (1.0 + ALIKE):
            named.append(Sentence("{kind}", kind=each.kind))
        else:
            weight = WeightPerLength(each.density)
            named.append(Sentence("{kind}, {weight}", kind=each.kind, weight=weight))
    return named
