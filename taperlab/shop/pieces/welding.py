"""Joints that do not weld: coatings of two families that are to be welded to each other."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from taperlab.model.line import JointKind, Line
from taperlab.shop.pieces.joining import Joinable
from taperlab.units.sentence import NOTHING, Sentence

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
