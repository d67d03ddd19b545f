"""How far back a line reaches that hangs in a loop between the rod tip and the water.

x runs ahead of the caster, y aside, z up. The line leaves the water at the peel point and hangs
from there to the rod tip. However it lies, all of it is inside the ellipsoid of revolution that
has those two as its foci and the length of the line as the sum of both distances: that is what an
ellipse is. The farthest point back of that ellipsoid is a bound, reached by a line that is pulled
to a point. A round loop is half an ellipse over the straight line between the two.

Ours, from geometry alone: no measurement of a loop's room was found.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from taperlab.physics.frustum import Array

_MOST = 60
_CLOSE = 1e-13


@dataclass(frozen=True, slots=True)
class Ends:
    """Where a line hangs between: the rod tip and the peel point.

    tip_ahead, tip_height: of the rod tip, ahead of the caster and above the water [m]. peel_ahead,
    aside: of the peel point, ahead of the caster and beside the rod tip [m].
    """

    tip_ahead: float
    tip_height: float
    peel_ahead: float
    aside: float

    @property
    def apart(self) -> float:
        """The straight way from rod tip to peel point [m]."""
        return math.hypot(self.tip_ahead - self.peel_ahead, self.aside, self.tip_height)

    @property
    def middle(self) -> float:
        """How far ahead of the caster the middle between them lies [m]."""
        return 0.5 * (self.tip_ahead + self.peel_ahead)

    @property
    def half_ahead(self) -> float:
        """Half of how far one of them lies ahead of the other [m]."""
        return 0.5 * abs(self.tip_ahead - self.peel_ahead)


def half_ellipse(depth: float, half: float) -> float:
    """Length of half an ellipse, from one end of an axis to the other.

    Parameters
    ----------
    depth : the other half axis [m]
    half : half of the axis between its ends [m]

    Returns
    -------
    length of the arc [m]

    Notes
    -----
    2 a E(k) by the arithmetic-geometric mean: M. Abramowitz and I. A. Stegun, Handbook of
    Mathematical Functions (1964), 17.6.
    """
    a, b = max(depth, half), min(depth, half)
    if b == 0.0:
        return 2.0 * a
    mean, other, power, missing = a, b, 0.5, 0.5 * (a * a - b * b)
    while abs(mean - other) > 1e-15 * mean:
        mean, other, gap = 0.5 * (mean + other), math.sqrt(mean * other), 0.5 * (mean - other)
        power *= 2.0
        missing += power * gap * gap
    return math.pi * (a * a - missing) / mean


def depth_of_loop(line: float, half: float) -> float:
    """Depth of the half ellipse [m] that a line [m] makes over twice ``half`` [m].

    0 where the line only just reaches; nan where it does not.
    """
    if line < 2.0 * half:
        return math.nan
    low, high = 0.0, 0.5 * line
    short, over = 2.0 * half - line, half_ellipse(high, half) - line
    depth = high
    # Between the two ends of a chord, which halves its weight where an end stays (Illinois).
    for _ in range(_MOST):
        depth = high - over * (high - low) / (over - short)
        off = half_ellipse(depth, half) - line
        if abs(off) <= _CLOSE * line:
            break
        if off > 0.0:
            high, over, short = depth, off, 0.5 * short
        else:
            low, short, over = depth, off, 0.5 * over
    return depth


def pointed_room(line: float, ends: Ends) -> float:
    """How far behind the caster a line may reach at the most, whatever its shape.

    Parameters
    ----------
    line : length from rod tip to peel point [m]
    ends : rod tip and peel point

    Returns
    -------
    distance behind the caster, below zero ahead of it; nan where there is no loop [m]

    Notes
    -----
    sqrt(s^2 - h^2 - y^2)/2 - (xT + xP)/2, the ellipsoid's farthest point back.
    """
    if line <= ends.apart:
        return math.nan
    return 0.5 * math.sqrt(line**2 - ends.tip_height**2 - ends.aside**2) - ends.middle


def round_room(line: float, ends: Ends) -> float:
    """How far behind the caster a round loop reaches.

    Parameters
    ----------
    line : length from rod tip to peel point [m]
    ends : rod tip and peel point

    Returns
    -------
    distance behind the caster, below zero ahead of it; nan where there is no loop [m]

    Notes
    -----
    sqrt((c e)^2 + q^2 (1 - e^2)) - (xT + xP)/2: half an ellipse of depth q over the 2 c between the
    ends, whose direction has the part e ahead.
    """
    if line <= ends.apart:
        return math.nan
    depth = depth_of_loop(line, 0.5 * ends.apart)
    return math.hypot(ends.half_ahead, depth * _across(ends)) - ends.middle


def longest_pointed(room: float, ends: Ends) -> float:
    """The longest line [m] that stays within a room [m] whatever its shape; nan where none does."""
    if not _is_room(room, ends):
        return math.nan
    return math.hypot(2.0 * (room + ends.middle), ends.tip_height, ends.aside)


def longest_round(room: float, ends: Ends) -> float:
    """The longest line [m] whose round loop stays within a room [m]; nan where none does."""
    if not _is_room(room, ends):
        return math.nan
    across = _across(ends)
    if across == 0.0:
        return longest_pointed(room, ends)
    depth = math.sqrt((room + ends.middle) ** 2 - ends.half_ahead**2) / across
    return half_ellipse(depth, 0.5 * ends.apart)


def pointed_line(line: float, ends: Ends) -> Array:
    """Rod tip, point and peel point (3, 3) of the line [m] that reaches farthest back [m]."""
    tip, peel, along = _places(ends)
    half, c = 0.5 * line, 0.5 * ends.apart
    narrow = half**2 - c**2
    back = np.array([-1.0, 0.0, 0.0])
    toward = narrow * back + c**2 * along * float(along @ back)
    point = 0.5 * (tip + peel) + toward / math.sqrt(float(back @ toward))
    return np.array([tip, point, peel])


def round_line(line: float, ends: Ends, points: int = 61) -> Array:
    """Points (n, 3) from the rod tip to the peel point of a line [m] in a round loop [m]."""
    tip, peel, along = _places(ends)
    back = np.array([-1.0, 0.0, 0.0])
    across = back - along * float(along @ back)
    size = float(np.linalg.norm(across))
    # A line straight ahead has no side that is more to the back: it hangs upright then.
    across = across / size if size > 0.0 else np.array([0.0, 0.0, 1.0])
    turn = np.linspace(0.0, np.pi, points)[:, np.newaxis]
    depth = depth_of_loop(line, 0.5 * ends.apart)
    middle = 0.5 * (tip + peel)
    return np.asarray(
        middle + 0.5 * ends.apart * along * np.cos(turn) + depth * across * np.sin(turn)
    )


def _places(ends: Ends) -> tuple[Array, Array, Array]:
    """Rod tip, peel point, and the direction from the second to the first."""
    tip = np.array([ends.tip_ahead, 0.0, ends.tip_height])
    peel = np.array([ends.peel_ahead, ends.aside, 0.0])
    return tip, peel, (tip - peel) / ends.apart


def _across(ends: Ends) -> float:
    """The part across the line between the ends of a step straight back."""
    return math.hypot(ends.aside, ends.tip_height) / ends.apart


def _is_room(room: float, ends: Ends) -> bool:
    """Whether both ends lie within a room, so that some line does."""
    return room + ends.middle >= ends.half_ahead
