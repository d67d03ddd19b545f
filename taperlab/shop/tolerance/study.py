"""What each ± on the bench does to a head: its weight, balance, front-taper share and sink rate.

By the law of propagation for what is off independently (JCGM 100:2008, 5.1.2, equation 10): the
square of the standard deviation of a figure is the sum of the squares of slope times standard
deviation, over lengths, diameters, the one offset of all diameters, and the density of each batch.
What is off alike in every head is never added to what differs from head to head but where one head
is spoken of, and the law of drag, which is off alike in all heads there are, to neither.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from taperlab.model.line import Line
from taperlab.model.measurement import Instruments
from taperlab.model.water import Water
from taperlab.physics import slopes
from taperlab.physics.drag_slopes import drag_slopes
from taperlab.physics.frustum import QUARTER_PI, Array
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.physics.sinking import STANDARD_GRAVITY
from taperlab.physics.slopes import Sloped
from taperlab.physics.water import WaterState, water_state
from taperlab.shop.analyse import DRAG_OFF
from taperlab.shop.errors import combined, rounding_error
from taperlab.shop.tolerance.dimensions import (
    TWICE,
    Closeness,
    Dimension,
    Dimensions,
    What,
    dimensions_of,
)

LEAST_SHIFT = 1e-4
"""Share of a head's mass that it is made lighter and heavier by, at the least, to find how its sink
rate answers."""


class Figures(NamedTuple):
    """One number for each figure of a head.

    mass: [kg]. balance: [m]. share: of the front taper in the weight [1]. sink: [m/s]. Where it is
    what something does to them: for each unit of it, or as a ±.
    """

    mass: float
    balance: float
    share: float
    sink: float


@dataclass(frozen=True, slots=True)
class Cause:
    """One dimension and what it does. slopes: for each [m] or [kg/m^3]. effects: as a ±."""

    dimension: Dimension
    slopes: Figures
    effects: Figures

    @property
    def off(self) -> float:
        """How far it may be off either way [m] or [kg/m^3]: twice a standard deviation."""
        return TWICE * self.dimension.sigma


@dataclass(frozen=True, slots=True)
class Spread:
    """How far the figures may be off, each a ±.

    apart: from head to head. alike: in all heads of one bench and batch together. one: of one head,
    both of them. weighed: of one head that has been on the scale.
    """

    apart: Figures
    alike: Figures
    one: Figures
    weighed: Figures


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked: how far this line's head may be off, read with these instruments."""

    line: Line
    instruments: Instruments
    water: Water


@dataclass(frozen=True, eq=False, slots=True)
class ToleranceStudy:
    """What each ± does. head: the line without what lies behind its head; values: its figures.

    causes: biggest in weight first. every_diameter: [kg] for each metre that all diameters are off
    one way, before any density that was weighed cancels part of it. sink_ends: the slowest and the
    fastest that one head may sink [m/s]; drag_ends: the same where only the law of drag is off.
    scale: the ± of the scale [kg].
    """

    asked: Asked
    head: Line
    values: Figures
    causes: tuple[Cause, ...]
    spread: Spread
    every_diameter: float
    sink_ends: tuple[float, float]
    drag_ends: tuple[float, float]
    scale: float

    def of(self, what: What) -> tuple[Cause, ...]:
        """The causes of one kind, biggest first."""
        return tuple(each for each in self.causes if each.dimension.what is what)

    @property
    def close(self) -> Closeness:
        """Standard deviations of what is read on the bench."""
        return Closeness.of(self.asked.line.tolerance, self.asked.instruments)


def study(asked: Asked) -> ToleranceStudy:
    """What each ± does to the head of a line. Raises Impossible where it has none in one piece."""
    head, state = head_of(asked.line), water_state(asked.water)
    close = Closeness.of(asked.line.tolerance, asked.instruments)
    scale = rounding_error(asked.instruments.scale)
    found = dimensions_of(head, close, scale)
    rows, profile = Sloped.of(head), Profile.of(head)
    whole, front = np.ones(len(head.segments)), slopes.front_rows(head)
    mass, by_mass = slopes.mass(rows, whole)
    balance, by_balance = slopes.balance(rows, whole)
    share, by_share = slopes.front_share(rows, front, whole)
    sink = float(profile.sink_rate(state))
    by_excess = by_mass - _displaced(rows, state) - _dragged(rows, sink, state)
    tables = (by_mass, by_balance, by_share, by_excess)
    gathered = np.array([_gathered(table, found) for table in tables])
    moved = gathered * found.sigmas
    common = np.array([each.what.is_common for each in found.each])
    sigmas = np.array([combined(moved[:, ~common]), combined(moved[:, common]), combined(moved)])
    covariance = moved @ moved[0]
    variance = sigmas[2] ** 2 - covariance**2 / max(sigmas[2, 0] ** 2 + scale**2, 1e-300)
    sigmas = np.vstack((sigmas, np.sqrt(variance.clip(min=0.0))))
    excess = mass - state.density * float(profile.volume())
    ends = _Ends(profile, state, sigmas[:, 3] * TWICE, excess, LEAST_SHIFT * mass)
    gathered[3] *= ends.slope
    effects = np.abs(gathered * found.sigmas) * TWICE
    causes = [
        Cause(each, Figures(*gathered[:, i].tolist()), Figures(*effects[:, i].tolist()))
        for i, each in enumerate(found.each)
    ]
    causes.sort(key=lambda each: -each.effects.mass)
    spreads = TWICE * sigmas
    spreads[:, 3] = ends.reaches
    return ToleranceStudy(
        asked,
        head,
        Figures(mass, balance, share, sink),
        tuple(causes),
        Spread(*(Figures(*each.tolist()) for each in spreads)),
        float(by_mass[slopes.FRONT].sum() + by_mass[slopes.REAR].sum()),
        ends.one,
        ends.drag,
        TWICE * scale,
    )


def _gathered(table: Array, found: Dimensions) -> Array:
    """Slopes by the numbers of rows (4, n) as slopes by what may be off by itself."""
    count = len(found.each)
    made = np.asarray(np.bincount(found.place.ravel(), table.ravel(), count), dtype=float)
    by_diameters = table[slopes.FRONT].sum() + table[slopes.REAR].sum()
    # A micrometer that reads too much makes too little of a density that it was used for.
    made[found.offset] = by_diameters + float(table[slopes.DENSITY] @ found.by_piece)
    return made


def _displaced(rows: Sloped, state: WaterState) -> Array:
    """Slopes of the mass of water that a head displaces [kg], line folded into loops too."""
    a, b, size = rows.fronts, rows.rears, rows.lengths
    coat = QUARTER_PI / 3.0
    front, rear = rows.fittings.front_fold, rows.fittings.rear_fold
    none = np.zeros_like(a)
    return state.density * np.array(
        [
            coat * (a * a + a * b + b * b),
            coat * size * (2.0 * a + b) + 2.0 * QUARTER_PI * front * a,
            coat * size * (a + 2.0 * b) + 2.0 * QUARTER_PI * rear * b,
            none,
        ]
    )


def _dragged(rows: Sloped, sink: float, state: WaterState) -> Array:
    """Slopes of the drag at a speed [m/s], as the mass [kg] that would make up for it."""
    if sink == 0.0:
        return np.zeros((4, len(rows.lengths)))
    a, b, folds = rows.fronts, rows.rears, rows.fittings
    own = drag_slopes(sink, rows.lengths, a, b, state)
    front = drag_slopes(sink, folds.front_fold, a, a, state)
    rear = drag_slopes(sink, folds.rear_fold, b, b, state)
    made = np.array(
        [
            own.by_length,
            own.by_front + front.by_front + front.by_rear,
            own.by_rear + rear.by_front + rear.by_rear,
            np.zeros_like(a),
        ]
    )
    return made * math.copysign(1.0 / STANDARD_GRAVITY, sink)


class _Ends:
    """How fast a head sinks that is lighter or heavier: both ends, since near neutral a slope lies.

    slope: what the sink rate gains for each kilogram, between the ends of one head [m/s/kg].
    reaches: half of what lies between the ends of each spread [m/s]. one, drag: the ends of one
    head, and where the law of drag is off.
    """

    def __init__(
        self, profile: Profile, state: WaterState, shifts: Array, excess: float, least: float
    ) -> None:
        wide = max(float(shifts[2]), least)
        drag = np.array([excess / (1.0 + off) - excess for off in (DRAG_OFF, -DRAG_OFF)])
        both = np.concatenate((-shifts, shifts, [-wide, wide], drag))
        rates = profile.sink_rate(state, extra_mass=both)
        count = len(shifts)
        low, high = rates[:count], rates[count : 2 * count]
        self.slope = float(rates[2 * count + 1] - rates[2 * count]) / (2.0 * wide)
        self.reaches = (high - low) / 2.0
        self.one = float(low[2]), float(high[2])
        self.drag = float(rates[-2:].min()), float(rates[-2:].max())
