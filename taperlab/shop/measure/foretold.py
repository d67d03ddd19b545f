"""What the neighbours of a reading foretell, and how far readings scatter about that."""

from __future__ import annotations

import math

import numpy as np

from taperlab.physics.frustum import Array
from taperlab.shop.measure.stations import Stations

CLEARLY = 1.5
"""Standard deviations by which both sides lie above or below the line between two neighbours if
the taper is to turn there."""

FAR = 0.5
"""The second station of a straight line through two is at least this share of the way to the
place foretold off the first: nearer, it foretells nothing."""

MOVED = 1.5
"""The quartile of second differences counts only where it says so many times less."""

FEWEST_TO_CHOOSE_FROM = 6
"""Stations: among fewer, no reading is told from its neighbours."""


def _straight(points: Stations, a: int, b: int, at: float) -> tuple[float, float]:
    """What the straight line through two stations foretells at a place, and its error [m]."""
    x, y, e = points.distances, points.diameters, points.errors
    share = (at - x[a]) / (x[b] - x[a])
    value = y[a] + share * (y[b] - y[a])
    return float(value), math.hypot((1.0 - share) * e[a], share * e[b])


def _second(x: Array, first: int, at: float, way: int) -> int:
    """The station behind ``first`` that with it foretells what is read ``at``."""
    far, second = FAR * abs(at - x[first]), first + way
    while 0 < second < len(x) - 1 and abs(x[second] - x[first]) < far:
        second += way
    return second


def outside(points: Stations) -> tuple[Array, Array]:
    """How far each reading lies outside what its neighbours foretell, twice (n,); ends do not.

    In standard deviations of the difference. Foretold are the straight line between the two
    neighbours, and that through two on either side. First: outside all of these, which only a
    taper that turns one way and back does. Second: outside what one corner beside the reading,
    or one on either side of it, allows: between the line through the neighbours and the nearer
    of the others where both lie on one side of it.
    """
    x, y, errors = points.distances, points.diameters, points.errors
    far, off = np.zeros(len(x)), np.zeros(len(x))
    for i in range(1, len(x) - 1):
        between = _straight(points, i - 1, i + 1, x[i])
        sides = []
        if i > 1:
            sides.append(_straight(points, i - 1, _second(x, i - 1, x[i], -1), x[i]))
        if i < len(x) - 2:
            sides.append(_straight(points, i + 1, _second(x, i + 1, x[i], 1), x[i]))
        if not sides:
            continue
        least, most = min(sides), max(sides)
        far[i] = _beyond(min(between, least), max(between, most), y[i], errors[i])
        if _apart(least, between) > CLEARLY:
            least, most = between, least
        elif _apart(between, most) > CLEARLY:
            least, most = most, between
        else:
            least, most = min(between, least), max(between, most)
        off[i] = _beyond(least, most, y[i], errors[i])
    return far, off


def _apart(above: tuple[float, float], below: tuple[float, float]) -> float:
    """By how many standard deviations one foretold diameter lies above another."""
    return (above[0] - below[0]) / math.hypot(above[1], below[1])


def _beyond(
    least: tuple[float, float], most: tuple[float, float], value: float, error: float
) -> float:
    """How far a value lies outside two foretold ones, in standard deviations, 0 if between."""
    below = (least[0] - value) / math.hypot(least[1], error)
    above = (value - most[0]) / math.hypot(most[1], error)
    return max(0.0, below, above)


def bend(points: Stations, i: int) -> float:
    """How far [m] a reading lies off the straight line between its neighbours."""
    between, _ = _straight(points, i - 1, i + 1, points.distances[i])
    return abs(float(points.diameters[i]) - between)


def foretold_at_end(points: Stations, end: int) -> float:
    """The diameter [m] beside the first or last station."""
    return float(points.diameters[1 if end == 0 else end - 1])


def scatter(points: Stations) -> float:
    """How many times their errors diameters scatter about the line between their neighbours.

    At least 1. By the median of second differences, and by their lower quartile where slips have
    moved the median: 1.4826 and 3.138 times these are the standard deviation of a normal
    distribution.
    """
    if len(points) < FEWEST_TO_CHOOSE_FROM:
        return 1.0
    x, y, e = points.distances, points.diameters, points.errors
    share = (x[1:-1] - x[:-2]) / (x[2:] - x[:-2])
    between = (1.0 - share) * y[:-2] + share * y[2:]
    error = np.sqrt(e[1:-1] ** 2 + ((1.0 - share) * e[:-2]) ** 2 + (share * e[2:]) ** 2)
    off = np.abs(y[1:-1] - between) / error
    quartile, median = (float(np.quantile(off, share)) for share in (0.25, 0.5))
    return max(1.0, min(1.4826 * median, MOVED * 3.138 * quartile))
