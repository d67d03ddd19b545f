"""How many builds land in a window, and the two ways to more: closer work, or cutting back."""

from __future__ import annotations

import math
from dataclasses import dataclass

from taperlab.model.rod import Window
from taperlab.model.segment import Part
from taperlab.physics import section
from taperlab.shop.tolerance.dimensions import TWICE
from taperlab.shop.tolerance.study import ToleranceStudy

WANTED = 0.95
"""Share of builds that are to land in the window."""

CLOSE = 1e-6


@dataclass(frozen=True, slots=True)
class Builds:
    """Shares of builds that land in a window, 0 to 1.

    share: of heads each built anew, micrometer set anew and of another batch. right: of one bench
    and batch where nothing is off that is off alike in all; least: where that is off by its ±, the
    worse way. shrink: what every ± must be multiplied by for 95 in 100; 1 where they are close
    enough, None where none is.
    """

    window: Window
    share: float
    right: float
    least: float
    shrink: float | None


@dataclass(frozen=True, slots=True)
class LeftOn:
    """Belly left on, to be cut back to the scale.

    row: the segment that is built longer. length: by how much [m]. per_length: what it weighs
    [kg/m]. then: the ± of the weight after that [kg]; length_off: of the head's length [m].
    is_last: whether it lies at the rod end, where the blade comes.
    """

    row: int
    length: float
    per_length: float
    then: float
    length_off: float
    is_last: bool


def builds(found: ToleranceStudy, window: Window) -> Builds:
    """How many land in a window."""
    mass, spread = found.values.mass, found.spread
    one, apart, alike = (each.mass / TWICE for each in (spread.one, spread.apart, spread.alike))
    shifted = (landing(mass + way * TWICE * alike, apart, window) for way in (-1.0, 1.0))
    return Builds(
        window,
        landing(mass, one, window),
        landing(mass, apart, window),
        min(shifted),
        shrink_for(WANTED, mass, one, window),
    )


def landing(mass: float, sigma: float, window: Window) -> float:
    """Share of weights about a mean [kg], of a standard deviation [kg], that lie in a window."""
    if sigma <= 0.0:
        return 1.0 if window.lightest <= mass <= window.heaviest else 0.0
    low, high = ((edge - mass) / sigma for edge in (window.lightest, window.heaviest))
    return normal_share(high) - normal_share(low)


def normal_share(z: float) -> float:
    """Share of a normal distribution that lies below z standard deviations [1]."""
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


def shrink_for(wanted: float, mass: float, sigma: float, window: Window) -> float | None:
    """What a standard deviation must be multiplied by for a share to land; None where it can't.

    With the mean inside the window, less scatter always lands more; with the mean on its edge or
    outside, half of them miss or more.
    """
    if landing(mass, sigma, window) >= wanted:
        return 1.0
    if not window.lightest < mass < window.heaviest:
        return None
    low, high = 0.0, 1.0
    while high - low > CLOSE:
        middle = (low + high) / 2.0
        enough = landing(mass, middle * sigma, window) >= wanted
        low, high = (middle, high) if enough else (low, middle)
    return low


def belly_row(found: ToleranceStudy) -> int:
    """The segment that is left long: the heaviest of the belly, else the heaviest of all."""
    segments = found.head.segments
    rows = [i for i, each in enumerate(segments) if each.part is Part.BELLY]
    return max(rows or range(len(segments)), key=lambda i: section.mass(segments[i]))


def left_on(found: ToleranceStudy) -> LeftOn:
    """How much belly to leave on, so that nearly every head is heavy enough to be cut back.

    Twice the standard deviation of its weight, over what the belly weighs per length.
    """
    row = belly_row(found)
    belly = found.head.segments[row]
    per_length = section.mass(belly) / belly.length
    off = found.spread.one.mass
    return LeftOn(
        row,
        off / per_length,
        per_length,
        found.scale,
        off / per_length,
        row == len(found.head.segments) - 1,
    )
