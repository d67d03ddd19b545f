"""What is drawn to scale from the side, and where: places ahead of the caster, above the water."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPolygonF

from taperlab.model.exact_units import FOOT
from taperlab.physics.frustum import Array
from taperlab.shop.air.study import AirStudy

BELOW = 1.6 * FOOT
"""So much is seen below the surface at the least [m]."""

OVER = 0.6 * FOOT
"""So much is left free above what is highest [m]."""

HEAD = 0.75 * FOOT
"""The top of a caster is so far above the hands [m]."""


ROUND = 2.0 * FOOT
"""What is seen upward goes in such steps, so that it changes seldom [m]."""


@dataclass(frozen=True, slots=True)
class Reach:
    """Which stretch is seen: from behind (below zero) to ahead, and how high and deep [m].

    loop_high: how high over a further water, where there is no loop behind.
    """

    behind: float
    ahead: float
    high: float
    deep: float
    loop_high: float

    def height(self, grounds: int) -> float:
        """Of all that is seen, with ``grounds`` waters one below the other [m]."""
        return self.high + self.deep + (grounds - 1) * (self.loop_high + self.deep)


@dataclass(frozen=True, slots=True)
class Forward:
    """The rod as it is stopped ahead: hands and tip, ahead of the caster and above the water [m].

    reaches: whether a rod held there has its tip at that height.
    """

    hands: tuple[float, float]
    tip: tuple[float, float]
    reaches: bool


def forward_rod(found: AirStudy, rod_length: float | None) -> Forward:
    """The rod as it is stopped, with its tip at the height that the throw has."""
    behind, throw = found.behind_as, found.throw
    hands = (behind.ahead, behind.hands - behind.wading)
    if rod_length is None:
        return Forward(hands, (behind.ahead, throw.rod_tip), False)
    rise = throw.rod_tip - hands[1]
    if abs(rise) >= rod_length:
        return Forward(hands, (behind.ahead, throw.rod_tip), False)
    return Forward(hands, (behind.ahead + math.sqrt(rod_length**2 - rise**2), throw.rod_tip), True)


def reach_of(found: AirStudy, rod_length: float | None) -> Reach:
    """What must be seen: it depends on the figures alone, so that a film never moves the scale."""
    forward, throw = forward_rod(found, rod_length), found.throw
    flown = [each.study for each in found.all if each.study is not None]
    length = max((each.run.length for each in flown), default=30.0 * FOOT)
    ahead = min(found.highest, throw.rod_tip + throw.loop_height + length)
    ahead = high = math.ceil(ahead / ROUND) * ROUND
    back = 3.0 * FOOT
    if found.behind is not None:
        high = max(high, found.behind.ends.tip_height)
        if found.behind.loop:
            back = max(back, found.behind.high, found.behind.pointed)
        back = max(back, min(found.room, 2.0 * back + 5.0 * FOOT))
    deep = max(BELOW, found.behind_as.wading * 1.15)
    return Reach(
        -back * 1.06 - 1.5 * FOOT, forward.tip[0] + length * 1.03, high + OVER, deep, ahead + OVER
    )


@dataclass(frozen=True, slots=True)
class ToScale:
    """Lays places out in a room [px], as large across as upright."""

    origin: QPointF
    per: float

    @classmethod
    def fitted(cls, room: QRectF, reach: Reach, grounds: int = 1) -> ToScale:
        """As large as the room lets it be, with ``grounds`` waters one below the other."""
        wide, high = reach.ahead - reach.behind, reach.height(grounds)
        per = max(min(room.width() / wide, room.height() / high), 1e-3)
        spare = room.height() - high * per
        return cls(
            QPointF(room.left() - reach.behind * per, room.top() + spare / 2.0 + reach.high * per),
            per,
        )

    def lower(self, by: float) -> ToScale:
        """The same for another water, so much further down [m]."""
        return ToScale(self.origin + QPointF(0.0, by * self.per), self.per)

    def at(self, ahead: float, high: float) -> QPointF:
        """Where a place lies."""
        return QPointF(self.origin.x() + ahead * self.per, self.origin.y() - high * self.per)

    def line(self, places: Array) -> QPolygonF:
        """A line through places (n, 2)."""
        x, y = self.origin.x() + places[:, 0] * self.per, self.origin.y() - places[:, 1] * self.per
        made: QPolygonF = pg.functions.arrayToQPolygonF(x, y)
        return made

    def seen(self, places: Array) -> QPolygonF:
        """A line through places (n, 3) ahead, aside and high, as it is seen from the side."""
        return self.line(np.asarray(places)[:, [0, 2]])
