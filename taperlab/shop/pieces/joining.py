"""How pieces are put together into a head: what meets what, with what the scale goes by."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Protocol

from taperlab.model.line import Joint, JointKind, Line
from taperlab.model.pieces import Rules
from taperlab.model.segment import Part, Segment
from taperlab.model.stock import Stock
from taperlab.shop.pieces.building import Build, Built, Meeting
from taperlab.shop.pieces.ends import End
from taperlab.shop.pieces.tubes import left_on


class Joinable(Protocol):
    """A piece as it is planned, or as it lies there. Lengths in m, masses in kg."""

    @property
    def row(self) -> int:
        """Its first row in the head, from 0."""

    @property
    def stock(self) -> Stock:
        """What it is cut from."""

    @property
    def mass(self) -> float:
        """What of it ends up in the head."""

    @property
    def cut_mass(self) -> float:
        """What it weighs as it is cut."""

    @property
    def finished(self) -> float:
        """Its share of the head's length."""

    @property
    def front(self) -> float:
        """Mass per length at its front [kg/m]."""

    @property
    def rear(self) -> float:
        """Mass per length at its rear [kg/m]."""

    @property
    def ends(self) -> tuple[End, End]:
        """Its ends."""

    @property
    def per_mass(self) -> float:
        """How much of its rear weighs so much [m/kg]."""


def joint_between(line: Line, ahead: Joinable, behind: Joinable, rules: Rules) -> Joint:
    """How two pieces meet: as the design says, or within a taper as its steps are cut."""
    if ahead.row != behind.row:
        return line.joints[behind.row - 1]
    lap = ahead.ends[1].lap
    if not lap:
        return Joint(JointKind.BUTT_WELD)
    return Joint(JointKind.LAPPED_WELD, lap, left_on(rules, lap))


def part_at(line: Line, row: int, last_row: int, share: float) -> Part:
    """The part of the design that lies at a share of the way through these rows, from 0 to 1."""
    rows = line.segments[row : last_row + 1]
    place = share * sum(each.length for each in rows)
    for each in rows:
        if place <= each.length:
            return each.part
        place -= each.length
    return rows[-1].part


def lying_from_front(sections: Sequence[Segment], *, turned: bool) -> list[Segment]:
    """Sections of stock from a piece's own front: from their rear where it is turned."""
    return [each.turned() for each in reversed(sections)] if turned else list(sections)


def joined_up(line: Line, pieces: Sequence[Joinable], rules: Rules) -> Build:
    """The build of a head from the fly end.

    From the front to the rear, so that the fly end and its turnover stay as they were designed and
    what is trimmed last is the rear, whose length matters least.
    """
    built = []
    for at, piece in enumerate(pieces):
        last = at == len(pieces) - 1
        built.append(
            Built(
                piece.stock.name,
                piece.mass,
                piece.finished + sum(end.fold for end in piece.ends),
                piece.front,
                piece.rear,
                piece.stock.key,
                piece.stock.mass_error,
                0.0 if last else piece.rear * piece.ends[1].lap / 2.0,
                piece.per_mass,
                piece.cut_mass,
            )
        )
    joints = []
    for piece, other in pairwise(pieces):
        joint = joint_between(line, piece, other, rules)
        overlap = piece.ends[1].lap if joint.kind is JointKind.LAPPED_WELD else 0.0
        joints.append(Meeting(joint.added_mass, overlap))
    loops = line.front_loop.mass, line.rear_loop.mass
    return Build(tuple(built), tuple(joints), *loops, rules.scale)
