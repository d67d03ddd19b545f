"""How a rig is fished: the water, the current, and where the line hangs in it."""

from __future__ import annotations

from dataclasses import dataclass, field

from taperlab.model.swing import Swing
from taperlab.model.water import Water
from taperlab.physics.current import Stream, swing_factor


@dataclass(frozen=True, slots=True)
class Fishing:
    """Current and swing.

    speed: of the water near the surface at the line [m/s]. angle: of the line across the stream,
    from straight downstream [rad]. drift: how long it drifted freely before it came tight [s], None
    if it did not.
    """

    speed: float
    angle: float = 0.0
    stream: Stream = field(default_factory=Stream)
    drift: float | None = None
    water: Water = field(default_factory=Water)

    @classmethod
    def of(cls, swing: Swing, water: Water) -> Fishing:
        """How the rigs of a bench are fished."""
        stream = Stream() if swing.bed is None else Stream(swing.bed, swing.slackens)
        return cls(swing.speed, swing.angle, stream, swing.drift or None, water)

    @property
    def dangle_speed(self) -> float:
        """Speed that hangs the line on the dangle as it hangs at this angle [m/s]."""
        return self.speed * float(swing_factor(self.angle))
