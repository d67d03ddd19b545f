"""Which head gets which of the pieces that are cut: as many heads as can be have all of theirs.

A plan cuts pieces, and pieces that are alike may be of any head. Three heads that each lack another
one are none, where one could be whole.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import replace

from taperlab.shop.pieces.demand import Head, Need
from taperlab.shop.pieces.outcome import Piece, Place, Short


def whole_first(
    heads: Sequence[Head], needs: Sequence[Need], pieces: Sequence[Piece], short: Sequence[Short]
) -> tuple[list[Piece], list[Short]]:
    """The same pieces, and what is short, given to heads so that the first ones are whole."""
    cut: dict[Place, list[Piece]] = {}
    for each in pieces:
        cut.setdefault((each.head, each.row, each.last_row), []).append(each)
    whole = {place for place, mine in cut.items() if len(mine) == mine[0].steps}
    given = _given(heads, needs, whole)
    if all(place == there for place, there in given.items()):
        return list(pieces), list(short)
    moved = [
        replace(each, head=to[0], row=to[1], last_row=to[2])
        for place, mine in cut.items()
        for to in (given[place],)
        for each in mine
    ]
    lacking = [
        replace(each, places=tuple(sorted(given[place] for place in each.places))) for each in short
    ]
    return moved, lacking


def _given(heads: Sequence[Head], needs: Sequence[Need], whole: set[Place]) -> dict[Place, Place]:
    """Where what is cut for each place goes: places that are alike are exchanged."""
    places = [(each.head, each.first, each.last) for each in needs]
    kind = {place: each.likeness for place, each in zip(places, needs, strict=True)}
    there: dict[Hashable, list[Place]] = {}
    for place in sorted(places, key=lambda each: (each not in whole, each)):
        there.setdefault(kind[place], []).append(place)
    left = {each: sum(place in whole for place in mine) for each, mine in there.items()}
    served: list[Place] = []
    for number in range(len(heads)):
        mine = [place for place in places if place[0] == number]
        wanted = {each: sum(kind[place] == each for place in mine) for each in map(kind.get, mine)}
        if mine and all(left[each] >= count for each, count in wanted.items()):
            served += mine
            for each, count in wanted.items():
                left[each] -= count
    done = set(served)
    waits = [place for place in places if place not in done]
    return {there[kind[to]].pop(0): to for to in (*served, *waits)}
