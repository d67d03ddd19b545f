"""A piece of a head that is built, as it lies there: as it was cut, less what was trimmed off."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from taperlab.edits.builds import joined
from taperlab.model.build import BuildPiece, HeadBuild
from taperlab.model.line import Line
from taperlab.model.pieces import Rules
from taperlab.model.stock import Stock
from taperlab.physics.mass_along import MassAlong
from taperlab.shop.pieces.ends import NOTHING, End, ends_of, masses_of
from taperlab.shop.pieces.trims import shorter_by
from taperlab.units.kinds import LENGTH

_CLOSE = 1e-9
"""A trim that is found as near as this is found [m]."""

_MOST = 0.99
"""Of a piece's share, no more of which comes off than this."""

_LAST = 1e-12
"""Mass per length at the very end is read so much ahead of it [m]."""


@dataclass(frozen=True, eq=False)
class Lying:
    """A piece as it lies there.

    along: its mass along it as it was cut, from its own front, as it is believed now; ends: how it
    is worked, what is trimmed not counted. spare: what it was cut on to be trimmed [m]. off: what
    is taken off its rod end, or is to be where nothing was yet [m]. target: what its share of the
    head was planned to weigh [kg].
    """

    log: BuildPiece
    along: MassAlong
    ends: tuple[End, End]
    spare: float
    off: float
    target: float

    @property
    def row(self) -> int:
        """Its first row in the head, from 0."""
        return self.log.row

    @property
    def stock(self) -> Stock:
        """What it was cut from."""
        return self.log.material

    @property
    def cut(self) -> float:
        """How long it was cut [m]."""
        return self.along.length

    @property
    def cut_mass(self) -> float:
        """What it weighs as it was cut [kg]."""
        return self.along.mass

    @cached_property
    def kept(self) -> MassAlong:
        """What is left of it when it is trimmed."""
        return self.along.cut(0.0, self.along.length - self.off)

    @cached_property
    def share(self) -> MassAlong:
        """What of it is the finished head, folds and laps left out."""
        front, rear = (each.added for each in self.ends)
        return self.kept.cut(front, self.kept.length - rear)

    @cached_property
    def planned(self) -> MassAlong:
        """What of it was planned to be the finished head."""
        front, rear = (each.added for each in self.ends)
        return self.along.cut(front, self.along.length - self.spare - rear)

    @cached_property
    def mass(self) -> float:
        """What of it ends up in the head [kg]."""
        return self.mass_without(self.off)

    @property
    def finished(self) -> float:
        """Its share of the head's length [m]."""
        return self.kept.length - sum(each.added for each in self.ends)

    @property
    def front(self) -> float:
        """Mass per length at its front [kg/m]."""
        return float(self.kept.linear_density(self.ends[0].added))

    @property
    def rear(self) -> float:
        """Mass per length at its rear [kg/m]."""
        return self.rear_without(self.off)

    @property
    def per_mass(self) -> float:
        """How much of its rear weighs so much [m/kg]."""
        grain = 1e-4 * self.kept.mass
        return shorter_by(self.kept, grain) / grain

    @property
    def longest_trim(self) -> float:
        """How much of it may come off before nothing is left of its share [m]."""
        return self.along.length - sum(each.added for each in self.ends)

    def mass_without(self, off: float) -> float:
        """What of it would end up in the head with so much off its rod end [m], in kg."""
        kept = self.along.cut(0.0, self.along.length - off)
        return masses_of(kept, *self.ends).finished

    def rear_without(self, off: float) -> float:
        """Mass per length at its rear with so much off its rod end [m], in kg/m."""
        at = self.along.length - off - self.ends[1].added - _LAST
        return float(self.along.linear_density(max(0.0, at)))

    def off_to_weigh(self, mass: float) -> float | None:
        """What to take off its rod end so that its share weighs so much [kg]; None if it can't."""
        low, high = 0.0, self.longest_trim - _LAST
        if not self.mass_without(high) <= mass <= self.mass_without(low):
            return None
        # Nearly straight: Newton's steps, kept inside the bracket.
        off = low
        for _ in range(40):
            miss = self.mass_without(off) - mass
            low, high = (off, high) if miss > 0.0 else (low, off)
            step = off + miss / self.rear_without(off)
            step = step if low <= step <= high else (low + high) / 2.0
            moved, off = abs(step - off), step
            if moved <= _CLOSE:
                break
        return off


def lying(piece: BuildPiece, head: Line, rules: Rules, *, is_joined: bool = False) -> Lying:
    """A piece of a build as it lies there."""
    front, rear = ends_of(head, piece.row, piece.last_row)
    inner = End(lap=rules.overlap)
    ends = front if piece.step == 0 else inner, rear if piece.step == piece.steps - 1 else inner
    planned = MassAlong.of(piece.material.sections)
    if piece.turned:
        planned = planned.reversed()
    room = planned.length - sum(each.added for each in ends)
    if room < LENGTH.lowest:
        # A log of another hand may have ends that the piece is too short for.
        ends, room = (NOTHING, NOTHING), planned.length
    spare = min(piece.spare, room / 2.0)
    target = masses_of(planned, ends[0], replace(ends[1], spare=spare)).finished
    along = planned
    if piece.heavier != 1.0:
        along = MassAlong.of_cells(np.diff(planned.starts), planned.coefficients * piece.heavier)
    off = piece.trimmed
    if off is None:
        off = 0.0 if is_joined else spare
    return Lying(piece, along, ends, spare, min(off, room * _MOST), target)


def lying_pieces(log: HeadBuild) -> tuple[Lying, ...]:
    """All pieces of a build, from the fly end."""
    on = joined(log)
    return tuple(
        lying(each, log.head, log.rules, is_joined=at < on) for at, each in enumerate(log.pieces)
    )
