"""What a cut does besides cutting, and what it must respect."""

from __future__ import annotations

from dataclasses import dataclass, field

from taperlab.model.cut_log import CutBack, CutEnd, Limits, NewLoop


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
        """Share of the length that comes off the front."""
        return {CutEnd.REAR: 0.0, CutEnd.FRONT: 1.0, CutEnd.BOTH: self.front_share}[self.end]

    def split(self, length: float) -> tuple[float, float]:
        """Length off the front and off the rear [m] for a length cut in all."""
        return self.share * length, (1.0 - self.share) * length


def terms_of(job: CutBack) -> Terms:
    """The terms of a cut-back kept in the bench."""
    return Terms(job.end, job.front_share, job.front_loop, job.rear_loop, job.limits)
