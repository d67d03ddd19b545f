"""Several rigs in one current: the one looked at, what it is compared with, and another angle."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from taperlab.physics.rigging import Cases
from taperlab.physics.tight_line import Shape, State, hang
from taperlab.physics.water import water_state
from taperlab.shop.rig import Looped
from taperlab.shop.steps import Steps
from taperlab.shop.water.band import Against
from taperlab.shop.water.fishing import Fishing
from taperlab.shop.water.study import WaterStudy, compare, study

ASIDE = math.radians(30.0)
"""The swing that is told beside the dangle, as is the dangle beside a swing [rad]."""


@dataclass(frozen=True, eq=False, slots=True)
class Together:
    """Studies of the rigs, the one looked at first. aside: of that one at another angle.

    against: depth of each of the others over that of the first; None where there is none.
    """

    rigs: tuple[Looped, ...]
    fishing: Fishing
    studies: tuple[WaterStudy, ...]
    aside: WaterStudy
    against: tuple[Against | None, ...]

    @property
    def focus(self) -> WaterStudy:
        """The study of the rig looked at."""
        return self.studies[0]


@dataclass(frozen=True, eq=False, slots=True)
class Lying:
    """How a rig lies in the water, and no more: what can be drawn at once."""

    rig: Looped
    fishing: Fishing
    state: State
    shape: Shape

    @property
    def is_seen(self) -> bool:
        """Whether it hangs free: how it lies on the bottom, nobody knows."""
        return self.state is not State.BOTTOM

    @property
    def comes_level(self) -> bool:
        """Whether it comes up to the surface and lies level from there on."""
        return self.state in (State.LEVEL, State.FLOATS)


def together(rigs: Sequence[Looped], fishing: Fishing) -> Steps[Together]:
    """Everything about rigs in one current, the one looked at first."""
    other = replace(fishing, angle=0.0 if fishing.angle > ASIDE / 2.0 else ASIDE)
    asked = [(rigs[0], fishing), (rigs[0], other), *((rig, fishing) for rig in rigs[1:])]
    done = []
    for i, (rig, how) in enumerate(asked):
        walk = study(rig, how)
        while True:
            try:
                share = next(walk)
            except StopIteration as end:
                done.append(end.value)
                break
            yield (i + share) / len(asked)
    focus, aside, *others = done
    against = tuple(compare(each, focus) for each in others)
    return Together(tuple(rigs), fishing, (focus, *others), aside, against)


def lying(rig: Looped, fishing: Fishing) -> Lying:
    """How a rig lies in a current, here and now: a few milliseconds where it does not slacken."""
    found = hang(
        rig.rigging(),
        Cases(fishing.dangle_speed),
        water_state(fishing.water),
        fishing.stream,
    )
    return Lying(rig, fishing, found.states[0], found.shape(0))


def as_studied(found: WaterStudy) -> Lying:
    """How a rig lies, of a study."""
    return Lying(found.rig, found.fishing, found.state, found.shape)
