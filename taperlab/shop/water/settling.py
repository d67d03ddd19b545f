"""How fast the pieces of a rig settle from a slack cast, and what a free drift leaves of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from taperlab.model.line import Line
from taperlab.model.rig import Fly
from taperlab.physics.current import FITTED_TO_LENGTHS, depth_after_drift
from taperlab.physics.profile import Profile
from taperlab.physics.rigging import Rigging
from taperlab.physics.sinking import STANDARD_GRAVITY, sink_rate
from taperlab.physics.trim import trim
from taperlab.physics.water import WaterState
from taperlab.shop.rig import Looped
from taperlab.units.sentence import Sentence


@dataclass(frozen=True, slots=True)
class Settles:
    """How fast a piece settles on its own [m/s], positive sinking."""

    name: Sentence
    rate: float


@dataclass(frozen=True, slots=True)
class Settling:
    """A rig that settles from a slack cast; it does not do so as one.

    pieces: each on its own, from the fly. tip: rate of the tip, nan where there is none. fly_slow,
    fly_fast: between these the fly settles, on its own or with the tip; nan where there is no fly.
    All [m/s]. Terminal speed is reached within a quarter of a second, so depth is rate times time.
    """

    pieces: tuple[Settles, ...]
    tip: float
    fly_slow: float
    fly_fast: float


@dataclass(frozen=True, slots=True)
class Moment:
    """After the line came tight: seconds; depth of the fly, low and high of 95 in 100 [m]."""

    seconds: float
    depth: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Drift:
    """What a free drift does. tip_depth: of the tip at its end, not of the fly [m].

    then: depths once so much water has passed that they are known; none where the depth on the
    tight line is not.
    """

    seconds: float
    tip_depth: float
    then: tuple[Moment, ...]


MOMENTS = (FITTED_TO_LENGTHS, 2.0, 2.5, 4.0)
"""Lengths of tip and leader that have passed, for which a depth after a drift is told."""

FORGOTTEN = 2.0
"""Lengths of tip and leader of water after which a mend or a drift is as good as forgotten."""

_LATE = 2.5
_EARLY_ERROR, _LATE_ERROR = (0.83, 1.12), (0.89, 1.12)


def fly_rate(fly: Fly, state: WaterState) -> float:
    """Speed [m/s] at which a fly settles on its own: weight against drag, both as given."""
    force = STANDARD_GRAVITY * fly.weight
    if fly.drag_area == 0.0:
        return math.copysign(math.inf, force) if force else 0.0
    return math.copysign(math.sqrt(2.0 * abs(force) / (state.density * fly.drag_area)), force)


def tip_of(rig: Looped, state: WaterState) -> Line | None:
    """A rig's tip: the lines ahead of its head, or else what of the head sinks in front."""
    if rig.tip is not None:
        return rig.tip
    sinks = Rigging.of(rig.cast).net_masses(state) > 0.0
    count = len(sinks) if sinks.all() else int(sinks.argmin())
    return trim(rig.cast, 0.0, rig.cast.starts[count]) if count else None


def tip_and_leader(rig: Looped, state: WaterState) -> float:
    """Length [m] that remembers what was done to the line."""
    tip = tip_of(rig, state)
    return (tip.length if tip else 0.0) + (rig.leader.length if rig.leader else 0.0)


def settling_of(rig: Looped, state: WaterState) -> Settling:
    """How fast the pieces of a rig settle, each on its own."""
    tip = tip_of(rig, state)
    rate = float(Profile.of(tip).sink_rate(state)) if tip else math.nan
    pieces: list[Settles] = []
    slow = fast = math.nan
    if rig.fly is not None:
        own = fly_rate(rig.fly, state)
        pieces.append(Settles(Sentence("fly"), own))
        slow, fast = (min(own, rate), max(own, rate)) if tip else (own, own)
    if rig.leader is not None:
        d = rig.leader.diameter
        mass = rig.leader.density * math.pi / 4.0 * d**2
        pieces.append(Settles(Sentence("leader"), float(sink_rate(d, mass, state))))
    for span in rig.spans:
        name = Sentence("{line}", line=span.line.name)
        pieces.append(Settles(name, float(Profile.of(span.line).sink_rate(state))))
    return Settling(tuple(pieces), rate, slow, fast)


def drift_of(rig: Looped, state: WaterState, seconds: float, speed: float, settled: float) -> Drift:
    """What a free drift of so many seconds does.

    speed: of the current [m/s]; settled: depth of the fly on the tight line in the end [m].
    """
    rate = settling_of(rig, state).tip
    start = max(0.0, rate * seconds) if math.isfinite(rate) else 0.0
    length = tip_and_leader(rig, state)
    moments = []
    if speed > 0.0 and length > 0.0 and math.isfinite(settled):
        for lengths in MOMENTS:
            depth = float(depth_after_drift(settled, start, lengths * length, length))
            low, high = _LATE_ERROR if lengths >= _LATE else _EARLY_ERROR
            moments.append(Moment(lengths * length / speed, depth, low * depth, high * depth))
    return Drift(seconds, start, tuple(moments))
