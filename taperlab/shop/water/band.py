"""How sure a depth is: what it hangs on is moved one thing at a time, and the moves add up.

Each doubt has a value below and one above its middle between which the truth lies 8 times in 10.
No field measurement of a fly line stands behind the band.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from taperlab.model.exact_units import INCH
from taperlab.physics.current import swing_error, swing_factor
from taperlab.physics.frustum import Array
from taperlab.physics.rigging import SKIN_FRICTION, Cases
from taperlab.physics.water import water_state
from taperlab.shop.rig import Looped
from taperlab.shop.water.fishing import Fishing
from taperlab.trade.flies import weights_of
from taperlab.units.language import later

TENTH = 1.2815515655446004
"""Of a normal spread, one in ten lies below minus this and one above it."""

CURRENT_SHARE = 0.12 * TENTH
"""A leaf timed over a stretch gives the speed with a deviation of 12 %."""

DRAG = (0.92, 1.08, 1.45)
"""Drag of a line over that of a smooth still cylinder: 10 % either way, and 40 % if it strums."""

SKIN = (0.003, SKIN_FRICTION, 0.015)
DIAMETER = 0.002 * INCH
LARGEST_DIAMETER_SHARE = 0.2
FLOATING_DENSITY = 60.0
"""How far the density of a floating line may be off [kg/m^3]: 0.80 to 0.92 g/cm^3 are sold."""

ALIKE = 0.05
"""Depths that differ by a share of no more than this are called equal."""

_CURVED = (0.3, 3.3)
"""Shares of the middle depth between which effects multiply; beyond, they add."""


class Cause(StrEnum):
    """What a depth hangs on; values are what scripts read."""

    CURRENT = later("current")
    DRAG = later("drag and strumming")
    SKIN = later("skin friction")
    FLY = later("weight of the fly")
    DIAMETER = later("diameter of the sinking line")
    DENSITY = later("density of the floating line")
    ANGLE = later("angle of the swing")


OF_THE_WATER = frozenset({Cause.CURRENT, Cause.DRAG, Cause.SKIN, Cause.ANGLE})
"""Doubts that two rigs in one current share."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """One thing that is not known: the attribute of Cases that it moves, and how far each way."""

    cause: Cause
    moves: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Effect:
    """How much shallower and how much deeper one doubt may make it [m]; nan for on the bottom."""

    cause: Cause
    minus: float
    plus: float

    @property
    def size(self) -> float:
        """What it does to the width of the band [m]."""
        return float(np.nansum([self.minus, self.plus]))


@dataclass(frozen=True, slots=True)
class Band:
    """Depths that 1 in 10 is below and 1 in 10 above [m], and why, the largest effect first.

    high is nan where it may lie on the bottom; both are where it does for all that is known.
    """

    low: float
    high: float
    effects: tuple[Effect, ...]


def doubts_of(rig: Looped, fishing: Fishing) -> tuple[Doubt, ...]:
    """What is not known of a rig and its water."""
    found = [
        Doubt(Cause.CURRENT, "speed", 1.0 - CURRENT_SHARE, 1.0 + CURRENT_SHARE),
        Doubt(Cause.DRAG, "drag", DRAG[0], DRAG[2]),
        Doubt(Cause.SKIN, "skin", SKIN[0], SKIN[2]),
    ]
    if rig.fly is not None:
        light, heavy = weights_of(rig.fly)
        found.append(Doubt(Cause.FLY, "heavier", light - rig.fly.weight, heavy - rig.fly.weight))
    pieces = rig.rigging()
    net = pieces.net_masses(water_state(fishing.water))
    sinking, floating = net > 0.0, net < 0.0
    sinking, floating = sinking & (pieces.line > 0.0), floating & (pieces.line > 0.0)
    if sinking.any():
        thin = float(np.minimum(pieces.front, pieces.rear)[sinking].min())
        off = min(DIAMETER, LARGEST_DIAMETER_SHARE * thin)
        found.append(Doubt(Cause.DIAMETER, "thicker", -off, off))
    if floating.any():
        found.append(Doubt(Cause.DENSITY, "denser", -FLOATING_DENSITY, FLOATING_DENSITY))
    if off := swing_error(fishing.angle):
        share = off / float(swing_factor(fishing.angle))
        found.append(Doubt(Cause.ANGLE, "speed", 1.0 - share, 1.0 + share))
    return tuple(found)


def cases_of(speeds: Array, doubts: Sequence[Doubt]) -> Cases:
    """For every speed (m,) [m/s]: the plain answer, the middle of the band, each doubt both ways.

    Rows lie speed by speed, 2 + 2 k for k doubts.
    """
    rows = 2 + 2 * len(doubts)
    moved = {
        "speed": np.ones(rows),
        "drag": np.full(rows, DRAG[1]),
        "skin": np.full(rows, SKIN[1]),
        "thicker": np.zeros(rows),
        "denser": np.zeros(rows),
        "heavier": np.zeros(rows),
    }
    moved["drag"][0] = 1.0
    for i, doubt in enumerate(doubts):
        moved[doubt.moves][2 + 2 * i] = doubt.low
        moved[doubt.moves][3 + 2 * i] = doubt.high
    count = len(speeds)
    speed = (speeds[:, np.newaxis] * moved.pop("speed")).ravel()
    return Cases(speed, **{name: np.tile(values, count) for name, values in moved.items()})


def bands(depths: Array, doubts: Sequence[Doubt], bed: float = np.inf) -> tuple[Band, ...]:
    """The band of each row of depths (m, 2 + 2 k) [m], in the order of :func:`cases_of`."""
    low, high = _quantiles(_Moves.of(depths))
    found = []
    for row, below, above in zip(depths, low, high, strict=True):
        effects = []
        for i, doubt in enumerate(doubts):
            moved = row[2 + 2 * i : 4 + 2 * i] - row[1]
            lost = np.isnan(moved).any()
            minus, plus = (
                -min(0.0, np.nanmin(moved, initial=0.0)),
                max(0.0, np.nanmax(moved, initial=0.0)),
            )
            effects.append(Effect(doubt.cause, float(minus), np.nan if lost else float(plus)))
        effects.sort(key=lambda effect: -effect.size)
        grounded = np.isnan(row).any() or above > bed
        found.append(Band(float(below), np.nan if grounded else float(above), tuple(effects)))
    return tuple(found)


@dataclass(frozen=True, eq=False, slots=True)
class _Moves:
    """How a depth moves with each doubt's normal deviate q: slope q + bend q^2, (m, k) each.

    middle (m,) [m]. multiplies (m,): 1 where in its logarithm, 0 where in metres.
    """

    middle: Array
    slope: Array
    bend: Array
    multiplies: Array

    @classmethod
    def of(cls, depths: Array) -> _Moves:
        """From depths (m, 2 + 2 k) as :func:`bands` has them."""
        middle = depths[:, 1:2]
        low, high = depths[:, 2::2], depths[:, 3::2]
        with np.errstate(divide="ignore", invalid="ignore"):
            share = depths[:, 2:] / middle
            inside = np.isnan(share) | ((share > _CURVED[0]) & (share < _CURVED[1]))
            multiplies = inside.all(axis=1, keepdims=True) & (middle > 0.0)
            down = np.where(multiplies, np.log(low / middle), low - middle)
            up = np.where(multiplies, np.log(high / middle), high - middle)
        # Where one way ends on the bottom, the other tells of both.
        down, up = (
            np.nan_to_num(np.where(np.isnan(one), -other, one))
            for one, other in ((down, up), (up, down))
        )
        slope, bend = (up - down) / (2.0 * TENTH), (up + down) / (2.0 * TENTH**2)
        return cls(middle[:, 0], slope, bend, np.asarray(multiplies[:, 0], dtype=float))


def _spread(slope: Array, bend: Array) -> tuple[Array, Array]:
    """The tenth from below and from above of a sum of slope q + bend q^2 over the last axis.

    By its first three cumulants: E. A. Cornish and R. A. Fisher, Revue de l'Institut International
    de Statistique 5, 307-320 (1938).
    """
    mean = bend.sum(axis=-1)
    variance = (slope**2 + 2.0 * bend**2).sum(axis=-1)
    third = (6.0 * slope**2 * bend + 8.0 * bend**3).sum(axis=-1)
    deviation = np.sqrt(variance)
    skew = third / np.where(variance > 0.0, deviation**3, 1.0)

    def at(z: float) -> Array:
        bent = z + (z * z - 1.0) * skew / 6.0 - (2.0 * z**3 - 5.0 * z) * skew**2 / 36.0
        return np.asarray(mean + deviation * bent)

    return at(-TENTH), at(TENTH)


def _quantiles(moves: _Moves) -> tuple[Array, Array]:
    low, high = (
        np.where(moves.multiplies > 0.0, moves.middle * np.exp(at), moves.middle + at)
        for at in _spread(moves.slope, moves.bend)
    )
    return np.maximum(low, 0.0), np.maximum(high, 0.0)


@dataclass(frozen=True, slots=True)
class Against:
    """Depth of one rig over that of another in the same water; low and high as those of a band."""

    ratio: float
    low: float
    high: float

    @property
    def alike(self) -> bool:
        """Whether they fish at one depth, for all that can be told."""
        return 1.0 / (1.0 + ALIKE) <= self.ratio <= 1.0 + ALIKE


def against(
    depths: tuple[Array, Array],
    doubts: tuple[Sequence[Doubt], Sequence[Doubt]],
    shared: frozenset[Cause],
) -> Against | None:
    """One rig against another, by the depths (2 + 2 k,) of each in the order of :func:`cases_of`.

    What both share, such as the current, cancels as far as it moves both alike. None where one of
    them floats or lies on the bottom.
    """
    moves = [_Moves.of(each[np.newaxis]) for each in depths]
    if not all(each.multiplies[0] and np.isfinite(each.middle[0]) for each in moves):
        return None
    sums: dict[tuple[Cause, int], list[float]] = {}
    for sign, which, own in ((1.0, 0, moves[0]), (-1.0, 1, moves[1])):
        for i, doubt in enumerate(doubts[which]):
            place = (doubt.cause, -1 if doubt.cause in shared else which)
            total = sums.setdefault(place, [0.0, 0.0])
            total[0] += sign * float(own.slope[0, i])
            total[1] += sign * float(own.bend[0, i])
    slope, bend = np.array(list(sums.values())).T
    low, high = _spread(slope, bend)
    middle = float(depths[0][0] / depths[1][0])
    return Against(middle, middle * float(np.exp(low)), middle * float(np.exp(high)))
