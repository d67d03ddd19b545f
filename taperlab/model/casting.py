"""How heads are cast: the loop behind, and the loop thrown ahead."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import StrEnum

from taperlab.model.marked import later
from taperlab.model.segment import Extras, require_not_negative, require_positive

STEEPEST_LEAN = math.pi / 3.0
"""A rod is leant back by less than this [rad]."""

STEEPEST_LAUNCH = math.pi / 4.0
"""A loop is thrown up, or down, by less than this [rad]."""


class Cast(StrEnum):
    """What anchors the line while it forms the loop behind."""

    TOUCH_AND_GO = later("touch and go")
    SUSTAINED = later("sustained")


@dataclass(frozen=True, slots=True)
class LoopBehind:
    """Where rod and line are when the loop behind is formed.

    lean: of the rod, back from upright [rad]. hands: height of the hands above the ground; ahead:
    of the body; wading: depth of the water that one stands in; overhang: running line outside the
    rod tip [m]. peel, aside: how far ahead of the body, and beside it, the line leaves the water;
    on_water: how much of it still lies there [m]; None: as usual for the cast.
    """

    cast: Cast = Cast.TOUCH_AND_GO
    lean: float = math.radians(30.0)
    hands: float = 1.524
    ahead: float = 0.3048
    wading: float = 0.0
    overhang: float = 0.3048
    peel: float | None = None
    aside: float | None = None
    on_water: float | None = None
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_not_negative(self, "lean", "hands", "ahead", "wading", "overhang")
        for name in ("peel", "aside", "on_water"):
            if getattr(self, name) is not None:
                require_not_negative(self, name)
        if self.lean > STEEPEST_LEAN * (1.0 + 1e-9):
            raise ValueError(later("a rod is leant back by up to 60 degrees"))


@dataclass(frozen=True, slots=True)
class Throw:
    """A loop thrown ahead over a line that is held at the rod tip, or that shoots.

    speed: of the line as the loop forms [m/s]. loop_height: from leg to leg [m]; loop_factor: what
    of it the air leaves, as a share. rod_tip: its height above the water; start: length of line
    already unrolled [m]. launch: angle of the throw, up from level [rad].

    shoots: whether running line follows through the guides. guides: what just draws it through
    them, hung on it [kg]. running: its mass per length [kg/m]; None: as of the line at hand.
    """

    speed: float = 18.288
    loop_height: float = 1.0
    loop_factor: float = 0.6
    rod_tip: float = 3.5
    launch: float = math.radians(5.0)
    start: float = 1.0
    shoots: bool = False
    guides: float = 0.015
    running: float | None = None
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_positive(self, "speed", "loop_height", "loop_factor")
        require_not_negative(self, "rod_tip", "start", "guides")
        if self.running is not None:
            require_positive(self, "running")
        if not abs(self.launch) <= STEEPEST_LAUNCH * (1.0 + 1e-9):
            raise ValueError(later("a loop is thrown up or down by up to 45 degrees"))

    @property
    def height(self) -> float:
        """Height of the loop as the air shapes it [m]."""
        return self.loop_factor * self.loop_height
