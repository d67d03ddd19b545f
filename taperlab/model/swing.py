"""How rigs are fished where their depths are told: the current, the swing, leader and fly."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from taperlab.model.marked import later
from taperlab.model.rig import Fly, Leader
from taperlab.model.segment import Extras, require_not_negative, require_positive

STEEPEST = math.pi / 3.0
"""Angle across the stream up to which a swing is told of [rad]: 60 degrees."""


@dataclass(frozen=True, slots=True)
class Swing:
    """A current, and a line in it.

    speed: of the water near the surface at the line [m/s]. angle: of the line across the stream,
    from straight downstream [rad]. bed: depth of the bed [m], None where it is not known.
    slackens: whether the current slackens toward the bed. drift: how long the rig drifts freely
    before it comes tight [s]. leader, fly: what is tied to a rig that has none of its own; None: no
    leader, and a usual fly.
    """

    speed: float = 0.9144
    angle: float = 0.0
    bed: float | None = None
    slackens: bool = False
    drift: float = 0.0
    leader: Leader | None = None
    fly: Fly | None = None
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_not_negative(self, "speed", "angle", "drift")
        if self.angle > STEEPEST * (1.0 + 1e-9):
            raise ValueError(later("a swing is told of up to 60 degrees across the stream"))
        if self.bed is not None:
            require_positive(self, "bed")
        elif self.slackens:
            raise ValueError(later("a current that slackens needs the depth of the bed"))
