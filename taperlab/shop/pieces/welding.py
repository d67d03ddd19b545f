"""Joints that do not weld: coatings of two families that are to be welded to each other."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from taperlab.model.line import JointKind, Line
from taperlab.shop.pieces.allotting import Allotted
from taperlab.shop.pieces.demand import Head, Need
from taperlab.shop.pieces.joining import Joinable
from taperlab.shop.pieces.material import Material
from taperlab.units.sentence import NOTHING, Sentence

_WITHOUT = (JointKind.SPLICED_CORE, JointKind.LOOP_TO_LOOP)
_WELDS = (JointKind.LAPPED_WELD, JointKind.BUTT_WELD)


def weld_problem(line: Line, ahead: Joinable, behind: Joinable) -> Sentence:
    """That two pieces which are welded are of coatings that are not known to weld; else nothing.

    A coating that is not told is not judged.
    """
    inside = ahead.row == behind.row
    welded = inside or line.joints[behind.row - 1].kind in _WELDS
    one, other = ahead.stock.coating, behind.stock.coating
    if not welded or not one or not other or one == other:
        return NOTHING
    return Sentence(
        "{one} and {other} are of coatings that are not known to weld: join them loop to loop, or "
        "core in core.",
        one=ahead.stock.name,
        other=behind.stock.name,
    )


def weld_problems(line: Line, pieces: Sequence[Joinable]) -> dict[int, Sentence]:
    """The joints of a head that do not weld, by their number from the fly end, from 1."""
    return {
        number: found
        for number, (ahead, behind) in enumerate(pairwise(pieces), start=1)
        if (found := weld_problem(line, ahead, behind))
    }


def unlike(
    heads: Sequence[Head],
    needs: Sequence[Need],
    materials: Sequence[Material],
    taken: Sequence[Allotted],
) -> tuple[frozenset[int], ...]:
    """For each head the stock that is not known to weld to what it is cut from already.

    That is its stretches of tapered lines, and what it is tied to. None for a head whose pieces are
    of two coatings as it is, or one that is not welded all through.
    """
    found = []
    for number, head in enumerate(heads):
        coatings = {
            materials[each.material].stock.coating
            for each in taken
            if needs[each.need].head == number
        }
        for need in needs:
            if need.head == number and need.segments[0].stock:
                coatings |= {each.stock.coating for each in materials if need.may_be(each)}
        coatings.discard("")
        welded = not any(each.kind in _WITHOUT for each in head.line.joints)
        others = frozenset[int]()
        if welded and len(coatings) == 1:
            others = frozenset(
                at
                for at, each in enumerate(materials)
                if each.stock.coating and each.stock.coating not in coatings
            )
        found.append(others)
    return tuple(found)
