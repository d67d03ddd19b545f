"""What a cut does besides cutting, and what it must respect."""

from __future__ import annotations

from dataclasses import dataclass, field

from taperlab.model.cut_log import CutBack, CutEnd, Limits, NewLoop
from taperlab.model.exact_units import INCH

HAIR = 1e-7
"""A cut so short [m] that it only takes the old loop off and opens the end for a new one."""

SHORTEST_PIECE = 6.0 * INCH
"""Shorter than this nothing is left that could be called a head [m]."""


@dataclass(frozen=True, slots=True)
class Terms:
    """What a cut does besides cutting, and what it must respect."""

    end: CutEnd = CutEnd.REAR
    front_share: float = 0.5
    front_loop: NewLoop = field(default_factory=NewLoop)
    rear_loop: NewLoop = field(default_factory=NewLoop)
    limits: Limits = field(default_factory=Limits)

    @property
    def share(self) -> float:
        """Share of the length that comes off the fly end."""
        return {CutEnd.REAR: 0.0, CutEnd.FRONT: 1.0, CutEnd.BOTH: self.front_share}[self.end]

    @property
    def cuts_front(self) -> bool:
        """Whether line comes off the fly end."""
        return self.share > 0.0

    @property
    def cuts_rear(self) -> bool:
        """Whether line comes off the rod end."""
        return self.share < 1.0

    def split(self, length: float) -> tuple[float, float]:
        """Length off the fly end and off the rod end [m] for a length cut in all."""
        return self.share * length, (1.0 - self.share) * length

    def folds(self, *, front: bool, rear: bool) -> tuple[float, float]:
        """Length [m] that new loops at the ends that are cut take from what is left."""
        return self.front_loop.fold if front else 0.0, self.rear_loop.fold if rear else 0.0

    def added(self, *, front: bool, rear: bool) -> float:
        """Mass [kg] that new loops at the ends that are cut add."""
        return (self.front_loop.mass if front else 0.0) + (self.rear_loop.mass if rear else 0.0)

    def most(self, length: float, shortest: float = 0.0) -> float:
        """The longest cut in all [m] that leaves a head of ``length`` [m] at least ``shortest``.

        And never less than what can be called a head. Below zero where nothing may come off.
        """
        folds = sum(self.folds(front=self.cuts_front, rear=self.cuts_rear))
        return length - folds - max(SHORTEST_PIECE, shortest)


def terms_of(job: CutBack) -> Terms:
    """The terms of a cut-back kept in the bench."""
    return Terms(job.end, job.front_share, job.front_loop, job.rear_loop, job.limits)
