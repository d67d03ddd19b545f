"""A head as its pieces make it: what lies on the bench once all of them are joined."""

from __future__ import annotations

from dataclasses import replace

from taperlab.model.line import ONE_EXTRUSION, Joint, JointKind, Line
from taperlab.model.segment import Part, Segment
from taperlab.shop.pieces.demand import Head
from taperlab.shop.pieces.outcome import Piece, PiecesStudy

HAIR = 1e-9
"""A section shorter than this is none [m]."""


def finished_line(study: PiecesStudy, number: int) -> Line | None:
    """One head of a plan as it comes out, each segment being of its stock; None without pieces."""
    head, pieces = study.heads[number], list(study.of_head(number))
    segments: list[Segment] = []
    joints: list[Joint] = []
    for piece in pieces:
        mine = _share(piece, head)
        if segments and mine:
            joints.append(_joint(pieces[pieces.index(piece) - 1], piece, head))
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


def _share(piece: Piece, head: Head) -> list[Segment]:
    """The finished share of a piece, section by section, from its own front."""
    lying = list(piece.stock.stretch(piece.begin, piece.begin + piece.cut))
    if piece.turned:
        lying = [
            replace(each, front_diameter=each.rear_diameter, rear_diameter=each.front_diameter)
            for each in reversed(lying)
        ]
    first = piece.ends[0].added
    last = first + piece.finished
    found, at = [], 0.0
    for each in lying:
        low, high = max(0.0, first - at), min(each.length, last - at)
        if high - low > HAIR:
            middle = at + (low + high) / 2.0 - first
            found.append(replace(each.cut(low, high), part=_part(piece, head, middle)))
        at += each.length
    return found


def _part(piece: Piece, head: Head, at: float) -> Part:
    """What part of the design lies where a piece is so far from its own front [m]."""
    rows = head.line.segments[piece.row : piece.last_row + 1]
    share = at / piece.finished * sum(each.length for each in rows)
    for each in rows:
        if share <= each.length:
            return each.part
        share -= each.length
    return rows[-1].part


def _joint(ahead: Piece, behind: Piece, head: Head) -> Joint:
    """How two pieces meet: as the design says, or within a taper as its steps are cut."""
    if ahead.last_row != behind.row:
        return head.line.joints[behind.row - 1]
    lap = ahead.ends[1].lap
    return Joint(JointKind.LAPPED_WELD, lap) if lap else Joint(JointKind.BUTT_WELD)
