"""A head as its pieces make it: what lies on the bench once all of them are joined."""

from __future__ import annotations

from dataclasses import replace

from taperlab.model.line import ONE_EXTRUSION, Joint, Line
from taperlab.model.segment import Segment
from taperlab.shop.pieces.demand import Head
from taperlab.shop.pieces.joining import joint_between, lying_from_front, part_at
from taperlab.shop.pieces.outcome import Piece, PiecesStudy

HAIR = 1e-9
"""A section shorter than this is none [m]."""


def finished_line(study: PiecesStudy, number: int) -> Line | None:
    """One head of a plan as it comes out, each segment being of its stock; None without pieces."""
    head, pieces = study.heads[number], list(study.of_head(number))
    rules = study.question.rules
    segments: list[Segment] = []
    joints: list[Joint] = []
    for at, piece in enumerate(pieces):
        mine = share_of(piece, head)
        if segments and mine:
            joints.append(joint_between(head.line, pieces[at - 1], piece, rules))
        joints += [ONE_EXTRUSION] * max(0, len(mine) - 1)
        segments += mine
    if not segments:
        return None
    return replace(head.line, name=head.name, segments=tuple(segments), joints=tuple(joints))


def places(study: PiecesStudy, number: int) -> tuple[float, ...]:
    """Where each piece of a head begins, from the fly end [m], and where the last one ends."""
    found = [0.0]
    for piece in study.of_head(number):
        found.append(found[-1] + piece.finished)
    return tuple(found)


def share_of(piece: Piece, head: Head) -> list[Segment]:
    """The finished share of a piece, section by section, from its own front."""
    stretch = piece.stock.stretch(piece.begin, piece.begin + piece.cut)
    lying = lying_from_front(stretch, turned=piece.turned)
    first = piece.ends[0].added
    last = first + piece.finished
    found, at = [], 0.0
    for each in lying:
        low, high = max(0.0, first - at), min(each.length, last - at)
        if high - low > HAIR:
            middle = at + (low + high) / 2.0 - first
            part = part_at(head.line, piece.row, piece.last_row, middle / piece.finished)
            found.append(replace(each.cut(low, high), part=part))
        at += each.length
    return found
