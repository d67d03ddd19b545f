"""From designs to what is cut from what: pieces, the plan they are cut by, and how heads are built.

First stretches of tapered stock for the tapers that one fits; then fewest level steps for the
others; then all level pieces, of all heads, are cut from the stock at least loss.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from taperlab.shop.pieces.allotting import Allotted, Nearest, allotted
from taperlab.shop.pieces.asking import Question
from taperlab.shop.pieces.building import Build
from taperlab.shop.pieces.demand import Head, Need, heads_of, needs_of
from taperlab.shop.pieces.ends import masses_of
from taperlab.shop.pieces.exact import never
from taperlab.shop.pieces.joining import joined_up
from taperlab.shop.pieces.level import LevelPiece, cut_by, cutting_of
from taperlab.shop.pieces.material import Material, fit_of
from taperlab.shop.pieces.missing import missing, short_of
from taperlab.shop.pieces.otherwise import Otherwise
from taperlab.shop.pieces.outcome import Piece, PiecesStudy, Short, StockCut
from taperlab.shop.pieces.planning import Effort, plan
from taperlab.shop.pieces.trims import shorter_by
from taperlab.shop.pieces.welding import unlike
from taperlab.shop.pieces.whole import whole_first
from taperlab.shop.steps import Steps, finish, part

_MOST_ROUNDS = 12
"""So often another way is looked for at most where pieces are left uncut."""


def study(
    question: Question, stop: Callable[[], bool] = never, harder: int = 1
) -> Steps[PiecesStudy]:
    """What is cut from what; yields the share done. stop: whether to end with the best so far.

    harder: how many times as much effort as usual the plan is looked for with.
    """
    heads = heads_of(question)
    needs = [
        each for i, head in enumerate(heads) for each in needs_of(i, head, question.rules.spare)
    ]
    materials = [Material.of(each) for each in question.stock]
    tapers = [i for i, need in enumerate(needs) if not need.is_level]
    stretches = yield from part(
        allotted([needs[i] for i in tapers], materials, question.rules, stop), 0.0, 0.3
    )
    taken = [Allotted(tapers[each.need], each.material, each.stretch) for each in stretches]
    nearest = Nearest(materials, question.rules)
    apart = unlike(heads, needs, materials, taken)
    otherwise = Otherwise(needs, materials, question, taken, nearest, apart)
    levels: list[LevelPiece] = []
    short: list[Short] = []
    stretched = {each.need for each in taken}
    for i, need in enumerate(needs):
        yield 0.3 + 0.1 * i / len(needs)
        if i in stretched:
            continue
        found = otherwise.steps(i)
        if found:
            levels += found
            continue
        if rough := otherwise.stretch(i):
            taken.append(rough)
        else:
            short.append(missing(need, materials, question, taken, nearest))
    effort, begin, end = Effort().times(harder), 0.4, 0.9
    rounds = 0
    while True:
        cutting, groups = cutting_of(levels, materials, question)
        planned = yield from part(plan(cutting, effort, stop), begin, end)
        pieces, uncut = cut_by(question, groups, planned, levels, materials)
        rounds += 1
        if not uncut or rounds >= _MOST_ROUNDS or stop():
            break
        instead = yield from part(otherwise.levels(levels, uncut, stop), end, end)
        if instead is None:
            break
        levels = instead
        begin, end = end, (1.0 + end) / 2.0
    pieces += [_stretched(each, needs[each.need], materials) for each in taken]
    short += short_of(cutting, groups, uncut, levels, materials, proved=planned.proved)
    pieces, short = whole_first(heads, needs, pieces, short)
    pieces.sort(key=lambda each: (each.head, each.row, each.step))
    builds = tuple(_build(question, head, i, needs, pieces) for i, head in enumerate(heads))
    return PiecesStudy(
        question,
        heads,
        tuple(pieces),
        _stock_cuts(question, pieces),
        tuple(short),
        planned.proved,
        planned.gap,
        builds,
        planned.cost,
    )


def study_now(question: Question) -> PiecesStudy:
    """The same at once."""
    return finish(study(question))


def _stretched(each: Allotted, need: Need, materials: Sequence[Material]) -> Piece:
    material, stretch = materials[each.material], each.stretch
    begin, end = (min(max(place, 0.0), material.along.length) for place in stretch.taken)
    along = material.along.cut(begin, end)
    along = along.reversed() if stretch.turned else along
    masses = masses_of(along, need.front, need.rear)
    ends = along.linear_density([need.front.added, along.length - need.rear.added - 1e-12])
    kept = along.cut(0.0, along.length - need.rear.spare)
    grain = 1e-4 * kept.mass
    return Piece(
        need.head,
        need.first,
        need.last,
        0,
        1,
        material.stock,
        begin,
        stretch.turned,
        end - begin,
        stretch.length,
        masses.cut,
        masses.finished,
        stretch.worst,
        fit_of(stretch.share_off),
        (need.front, need.rear),
        float(ends[0]),
        float(ends[1]),
        shorter_by(kept, grain) / grain,
    )


def _stock_cuts(question: Question, pieces: Sequence[Piece]) -> tuple[StockCut, ...]:
    found = []
    for stock in question.stock:
        mine = [i for i, each in enumerate(pieces) if each.stock is stock]
        if mine:
            mine.sort(key=lambda i: pieces[i].begin)
            cuts = tuple(pieces[i].cut for i in mine)
            left = max(0.0, stock.whole_length - sum(cuts))
            found.append(StockCut(stock, tuple(mine), cuts, left))
    return tuple(found)


def _build(
    question: Question, head: Head, number: int, needs: Sequence[Need], pieces: Sequence[Piece]
) -> Build | None:
    """How a head is put together, from the fly end; None where it lacks a piece."""
    mine = [each for each in pieces if each.head == number]
    rows = {each.first for each in needs if each.head == number}
    whole = all(
        len(found := [p for p in mine if p.row == row]) > 0 and len(found) == found[0].steps
        for row in rows
    )
    return joined_up(head.line, mine, question.rules) if mine and whole else None
