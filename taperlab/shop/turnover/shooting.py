"""Running line that follows through the guides as a rig turns over: which, how held, how much."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from taperlab.model.casting import Throw
from taperlab.physics import section
from taperlab.physics.shooting import Running, Shot, StalledError, shoot
from taperlab.physics.sinking import STANDARD_GRAVITY
from taperlab.physics.turnover import Flying
from taperlab.shop.rig import Looped
from taperlab.units.finding import Impossible
from taperlab.units.language import later
from taperlab.units.sentence import LineSpeed

USUAL_RUNNING = 6e-4
"""Mass per length of running line where none is known [kg/m]: ours, of one 0.9 mm thick."""

_FLOATS = 950.0
"""Density of running line of which only the weight is known [kg/m^3]: ours."""


class RunningOf(StrEnum):
    """Where the weight per length of the running line is from."""

    TYPED = later("as typed")
    LINE = later("of this line")
    USUAL = later("a usual one")


@dataclass(frozen=True, eq=False, slots=True)
class Shooting:
    """What was shot. source: where the weight per length of the running line is from."""

    shot: Shot
    running: Running
    source: RunningOf


def running_mass_of(rig: Looped, throw: Throw) -> tuple[float, RunningOf]:
    """Mass per length of the running line [kg/m]: typed, else of the line, else a usual one."""
    if throw.running is not None:
        return throw.running, RunningOf.TYPED
    behind = rig.whole.segments[rig.rows[-1].stop :]
    length = sum(each.length for each in behind)
    if length > 0.0:
        return sum(section.mass(each) for each in behind) / length, RunningOf.LINE
    return USUAL_RUNNING, RunningOf.USUAL


def running_of(rig: Looped, throw: Throw) -> tuple[Running, RunningOf]:
    """The running line of a rig and what holds it; as thick as one that floats would be.

    It lies slack and is picked up without rebound.
    """
    mass, source = running_mass_of(rig, throw)
    thick = math.sqrt(4.0 * mass / (math.pi * _FLOATS))
    return Running(mass, thick, throw.guides * STANDARD_GRAVITY), source


def shooting(
    line: Flying, running: Running, source: RunningOf, throw: Throw, speed: float
) -> Shooting:
    """Shoot at a line speed [m/s]. Raises Impossible where the loop stalls."""
    try:
        shot = shoot(line, running, speed, throw.start, throw.height)
    except StalledError:
        raise Impossible(
            "At {speed} the line shoots so freely that its loop does not roll out to the end: the "
            "air slows the fly down to the speed of the line behind. Held more, or slower, it may.",
            speed=LineSpeed(speed),
        ) from None
    return Shooting(shot, running, source)
