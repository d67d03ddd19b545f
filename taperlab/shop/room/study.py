"""Room behind: what a head wants of it, the band of one's habits, and the longest head for it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.casting import Cast, LoopBehind
from taperlab.model.segment import Part
from taperlab.physics.frustum import Array
from taperlab.physics.room import (
    Ends,
    longest_pointed,
    longest_round,
    pointed_line,
    pointed_room,
    round_line,
    round_room,
)
from taperlab.shop.rig import Looped

PEEL_HABIT = 0.25
"""A habit moves the peel point by so much either way, as a share of the rod's length: ours."""

LEAN_HABIT = math.radians(10.0)
"""A habit leans the rod by so much more or less [rad]: ours."""

_PEEL = {Cast.TOUCH_AND_GO: 0.5, Cast.SUSTAINED: 0.25}
_ASIDE = {Cast.TOUCH_AND_GO: 0.6, Cast.SUSTAINED: 0.5}


@dataclass(frozen=True, slots=True)
class Parts:
    """Lengths of what is cast [m]: head, tip ahead of it, leader."""

    head: float
    tip: float = 0.0
    leader: float = 0.0

    @classmethod
    def of(cls, rig: Looped) -> Parts:
        """Those of a rig; a sink tip that is part of a head counts as its tip."""
        tip = rig.spans[rig.head].start
        if not rig.head:
            for segment in rig.cast.segments:
                if segment.part is not Part.SINK_TIP:
                    break
                tip += segment.length
        whole = rig.cast.length
        # What is all tip is cast as a head.
        tip = tip if tip < whole else 0.0
        return cls(whole - tip, tip, rig.leader.length if rig.leader else 0.0)


@dataclass(frozen=True, slots=True)
class RoomStudy:
    """How much room behind a line wants; all [m].

    line: what hangs between rod tip and peel point. ends: where those are; least: how long a line
    must be to form a loop between them. round, pointed: how far behind the caster a round loop
    reaches, and how far any shape can; nan where there is no loop. low, high: of both over one's
    habits, of those habits with which there is a loop.
    """

    parts: Parts
    rod_length: float
    behind: LoopBehind
    line: float
    ends: Ends
    round: float
    pointed: float
    low: float
    high: float

    @property
    def least(self) -> float:
        """How long a line must be to form a loop [m]."""
        return self.ends.apart

    @property
    def loop(self) -> bool:
        """Whether there is a loop at all."""
        return self.line > self.least


@dataclass(frozen=True, slots=True)
class Longest:
    """The longest head for a room [m]: in a round loop, whatever the loop's shape, over habits.

    nan where the rod tip alone reaches farther back.
    """

    room: float
    round: float
    pointed: float
    low: float
    high: float


@dataclass(frozen=True, eq=False, slots=True)
class DrawnLoop:
    """What is drawn of it: points (n, 3) [m], ahead of the caster, aside, and above the water.

    rod: hands and tip. round, pointed: from rod tip to peel point; without points where there is no
    loop. water: what of the line lies on the water, straight ahead of the peel point.
    """

    rod: Array
    round: Array
    pointed: Array
    water: Array


def peel_of(behind: LoopBehind, rod_length: float) -> float:
    """How far ahead of the caster the line leaves the water [m]."""
    return _PEEL[behind.cast] * rod_length if behind.peel is None else behind.peel


def aside_of(behind: LoopBehind, rod_length: float) -> float:
    """How far aside the line leaves the water [m]."""
    return _ASIDE[behind.cast] * rod_length if behind.aside is None else behind.aside


def on_water_of(behind: LoopBehind, parts: Parts) -> float:
    """How much of the line lies on the water [m]: the leader, in a sustained cast the tip too."""
    if behind.on_water is not None:
        return behind.on_water
    return parts.leader + (parts.tip if behind.cast is Cast.SUSTAINED else 0.0)


def ends_of(behind: LoopBehind, rod_length: float) -> Ends:
    """Where rod tip and peel point are."""
    return Ends(
        tip_ahead=behind.ahead - rod_length * math.sin(behind.lean),
        tip_height=behind.hands - behind.wading + rod_length * math.cos(behind.lean),
        peel_ahead=peel_of(behind, rod_length),
        aside=aside_of(behind, rod_length),
    )


def study(parts: Parts, rod_length: float, behind: LoopBehind, *, habits: bool = True) -> RoomStudy:
    """How much room what is cast on a rod so long [m] wants.

    habits: whether over one's habits too, which takes ten times as long; nan where not.
    """
    line, ends = _line(parts, behind), ends_of(behind, rod_length)
    low = high = math.nan
    if habits:
        low, high = _over_habits(
            behind,
            rod_length,
            lambda ends: (_kept(round_room, line, ends), _kept(pointed_room, line, ends)),
        )
    return RoomStudy(
        parts,
        rod_length,
        behind,
        line,
        ends,
        _kept(round_room, line, ends),
        _kept(pointed_room, line, ends),
        low,
        high,
    )


def longest(
    parts: Parts, rod_length: float, behind: LoopBehind, room: float, *, habits: bool = True
) -> Longest:
    """The longest head for a room [m], with the same tip and leader; habits: as in study."""
    beside = _line(replace(parts, head=0.0), behind)

    def heads(ends: Ends) -> tuple[float, float]:
        found = longest_round(room, ends), longest_pointed(room, ends)
        rounded, pointed = (each - beside for each in found)
        return rounded if rounded > 0.0 else math.nan, pointed if pointed > 0.0 else math.nan

    low, high = _over_habits(behind, rod_length, heads) if habits else (math.nan, math.nan)
    return Longest(room, *heads(ends_of(behind, rod_length)), low, high)


def drawn(found: RoomStudy) -> DrawnLoop:
    """Where everything is, for a drawing."""
    behind, ends = found.behind, found.ends
    hands = (behind.ahead, 0.0, behind.hands - behind.wading)
    rod = np.array([hands, (ends.tip_ahead, 0.0, ends.tip_height)])
    lies = on_water_of(behind, found.parts)
    peel = np.array([ends.peel_ahead, ends.aside, 0.0])
    none = np.zeros((0, 3))
    return DrawnLoop(
        rod,
        round_line(found.line, ends) if found.loop else none,
        pointed_line(found.line, ends) if found.loop else none,
        np.array([peel, peel + np.array([lies, 0.0, 0.0])]),
    )


def _line(parts: Parts, behind: LoopBehind) -> float:
    """What hangs between rod tip and peel point [m]."""
    return parts.head + parts.tip + parts.leader + behind.overhang - on_water_of(behind, parts)


def _kept(room: Callable[[float, Ends], float], line: float, ends: Ends) -> float:
    """A loop that lies ahead of the caster wants no room behind."""
    found = room(line, ends)
    return found if math.isnan(found) else max(0.0, found)


def _over_habits(
    behind: LoopBehind, rod_length: float, ask: Callable[[Ends], tuple[float, float]]
) -> tuple[float, float]:
    """The least and the most over one's habits; nan where there is nothing with any."""
    peel = peel_of(behind, rod_length)
    found = [
        value
        for ahead, lean in itertools.product((-1.0, 0.0, 1.0), repeat=2)
        for value in ask(_moved(behind, rod_length, peel, ahead, lean))
        if not math.isnan(value)
    ]
    return (min(found), max(found)) if found else (math.nan, math.nan)


def _moved(behind: LoopBehind, rod_length: float, peel: float, ahead: float, lean: float) -> Ends:
    habit = ends_of(behind, rod_length)
    leant = behind.lean + lean * LEAN_HABIT
    return replace(
        habit,
        tip_ahead=behind.ahead - rod_length * math.sin(leant),
        tip_height=behind.hands - behind.wading + rod_length * math.cos(leant),
        peel_ahead=peel + ahead * PEEL_HABIT * rod_length,
    )
