"""The stretch of a tapered stock line that is most like a taper that is wanted.

With the weight kept, a stretch that begins at s0 ends where it weighs what is wanted, and that is
all the freedom there is: J(s0) = integral over u of (stock(s0 + l u) - wanted(L u))^2 is looked at
on a grid both ways round and its valleys refined. A length that is off needs no penalty of its own,
since with equal weights it is the error of the mean, which J contains. With the length kept, J is
a polynomial of degree 5 between the places where a breakpoint passes another, and its least value
is found among the roots of its derivatives.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from taperlab.model.exact_units import FOOT, GRAIN
from taperlab.physics.frustum import Array
from taperlab.physics.mass_along import (
    MassAlong,
    square_difference,
    worst_difference,
    worst_share,
)

GRID = FOOT / 8.0
"""How far apart beginnings are looked at [m]."""

ALIKE = 0.05 * GRAIN / FOOT
"""Stretches whose fits differ by less are as good as each other [kg/m]."""

_POINTS = 96
_VALLEYS = 4
_GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0
_NODES = np.cos(np.pi * (2.0 * np.arange(6) + 1.0) / 12.0)
_TO_POLYNOMIAL = np.linalg.inv(np.vander(_NODES, 6, increasing=True))


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is looked for: the taper, and what is cut off beyond either end of it.

    ahead, behind: stock that the piece needs beyond its own stretch [m], for half a lap, a fold or
    spare. largest_step: the most that mass per length may change at either end against the
    neighbour there, heavier over lighter; before, after: the neighbours' mass per length [kg/m],
    None for none.
    """

    taper: MassAlong
    ahead: float = 0.0
    behind: float = 0.0
    keeps_weight: bool = True
    largest_step: float = math.inf
    before: float | None = None
    after: float | None = None


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of stock: it begins ``begin`` from the stock's front and is ``length`` long [m].

    The begin is the end nearer the stock's front, whichever way round it is used. rms: root mean
    square difference from what is wanted [kg/m]; worst: the largest [kg/m], heavier above nought;
    share_off: the largest difference over what is wanted there. mass: what it weighs [kg]. taken:
    from where to where stock is used up, what lies beyond the stretch included [m].
    """

    begin: float
    length: float
    turned: bool
    rms: float
    mass: float
    worst: float = 0.0
    share_off: float = 0.0
    taken: tuple[float, float] = (0.0, 0.0)


def best_stretches(
    stock: MassAlong,
    wanted: Wanted,
    free: Sequence[tuple[float, float]] | None = None,
    most: int = 3,
) -> tuple[Stretch, ...]:
    """The stretches that fit best, best first; none where the stock has no such stretch.

    free: the parts of the stock that are not spoken for [m]; else all of it. Among those that are
    as good as the best the first is nearest an end of its part, so that one piece of stock is left
    and not two, and then as it lies.
    """
    parts = [(0.0, stock.length)] if free is None else list(free)
    found: list[Stretch] = []
    for turned in (False, True):
        line = stock.reversed() if turned else stock
        for begin, end in parts:
            low, high = (stock.length - end, stock.length - begin) if turned else (begin, end)
            found += _in_part(line, wanted, low, high, turned=turned)
    return _chosen(stock, wanted, found, parts, most)


def grid_stretches(
    stock: MassAlong, wanted: Wanted, step: float, limit: float
) -> tuple[Stretch, ...]:
    """Stretches that begin on a grid of ``step`` [m] and fit within ``limit`` [kg/m rms].

    For several pieces that are to be cut from one stock line clear of each other.
    """
    found: list[Stretch] = []
    for turned in (False, True):
        line = stock.reversed() if turned else stock
        low, high = _reach(line, wanted, 0.0, stock.length)
        if high < low:
            continue
        begins = np.unique(np.append(np.arange(low, high, step), high))
        lengths = _lengths(line, wanted, begins)
        squares = square_difference(line, wanted.taper, begins, lengths)
        for begin, length, square in zip(begins, lengths, squares, strict=True):
            if square <= limit * limit and _is_allowed(line, wanted, np.array([begin]))[0]:
                found.append(
                    _made(line, wanted, float(begin), float(length), float(square), turned)
                )
    return tuple(told(stock, wanted, each) for each in found)


def told(stock: MassAlong, wanted: Wanted, found: Stretch) -> Stretch:
    """A stretch with how far it is off where it is off most."""
    line = stock.reversed() if found.turned else stock
    begin = stock.length - found.begin - found.length if found.turned else found.begin
    worst = worst_difference(line, wanted.taper, begin, found.length)
    share = worst_share(line, wanted.taper, begin, found.length)
    return replace(found, worst=worst, share_off=share)


def _reach(line: MassAlong, wanted: Wanted, low: float, high: float) -> tuple[float, float]:
    """The first and the last beginning of a stretch that lies within a part of the line [m]."""
    first, end = low + wanted.ahead, high - wanted.behind
    if wanted.keeps_weight:
        spare = float(line.running_mass(max(end, 0.0))) - wanted.taper.mass
        if spare < -1e-12 * wanted.taper.mass:
            return 0.0, -1.0
        return first, float(line.position_of(max(0.0, spare)))
    last = end - wanted.taper.length
    # A stock line exactly as long as the piece is used whole.
    return first, first if abs(last - first) < 1e-9 else last


def _lengths(line: MassAlong, wanted: Wanted, begins: Array) -> Array:
    if not wanted.keeps_weight:
        return np.full_like(begins, wanted.taper.length)
    return np.asarray(line.position_of(line.running_mass(begins) + wanted.taper.mass) - begins)


def _is_allowed(line: MassAlong, wanted: Wanted, begins: Array) -> NDArray[np.bool_]:
    """Whether both ends are within the joint step of their neighbours, for each beginning [m]."""
    fine = np.ones(begins.shape, dtype=bool)
    if not math.isfinite(wanted.largest_step):
        return fine
    ends = (begins, begins + _lengths(line, wanted, begins))
    for neighbour, place in zip((wanted.before, wanted.after), ends, strict=True):
        if neighbour is not None:
            step = line.linear_density(place) / neighbour
            fine &= np.maximum(step, 1.0 / step) <= wanted.largest_step * (1.0 + 1e-9)
    return fine


def _in_part(
    line: MassAlong, wanted: Wanted, low: float, high: float, *, turned: bool
) -> list[Stretch]:
    first, last = _reach(line, wanted, low, high)
    if last < first - 1e-12:
        return []
    last = max(first, last)
    found: list[Stretch] = []
    for begin, end in _runs(line, wanted, first, last):
        places = (
            _valleys(line, wanted, begin, end)
            if wanted.keeps_weight
            else _least(line, wanted, begin, end)
        )
        places = np.unique(np.clip(np.concatenate((places, [begin, end])), begin, end))
        lengths = _lengths(line, wanted, places)
        squares = square_difference(line, wanted.taper, places, lengths)
        for place, length, square in zip(places, lengths, squares, strict=True):
            found.append(_made(line, wanted, float(place), float(length), float(square), turned))
    return found


def _runs(line: MassAlong, wanted: Wanted, first: float, last: float) -> list[tuple[float, float]]:
    """From where to where a stretch may begin, the joint steps at its ends being small enough."""
    if not math.isfinite(wanted.largest_step):
        return [(first, last)]
    grid = np.linspace(first, last, max(2, math.ceil((last - first) / GRID) + 1))
    fine = _is_allowed(line, wanted, grid)
    runs: list[tuple[float, float]] = []
    at = 0
    while at < len(grid):
        if not fine[at]:
            at += 1
            continue
        end = at
        while end + 1 < len(grid) and fine[end + 1]:
            end += 1
        low = _edge(line, wanted, grid[at - 1], grid[at]) if at else float(grid[at])
        high = float(grid[end])
        if end + 1 < len(grid):
            high = _edge(line, wanted, grid[end + 1], grid[end])
        runs.append((low, high))
        at = end + 1
    return runs


def _edge(line: MassAlong, wanted: Wanted, bad: float, good: float) -> float:
    for _ in range(30):
        middle = (bad + good) / 2.0
        if _is_allowed(line, wanted, np.array([middle]))[0]:
            good = middle
        else:
            bad = middle
    return float(good)


def _valleys(line: MassAlong, wanted: Wanted, first: float, last: float) -> Array:
    """Where the difference is least nearby, the weight kept [m]."""
    grid = np.linspace(first, last, max(2, math.ceil((last - first) / GRID) + 1))
    lengths = _lengths(line, wanted, grid)
    u = (np.arange(_POINTS) + 0.5) / _POINTS
    target = wanted.taper.linear_density(wanted.taper.length * u)
    there = line.linear_density(grid[:, np.newaxis] + lengths[:, np.newaxis] * u)
    rough = ((there - target) ** 2).mean(axis=1)
    beside = np.concatenate(([math.inf], rough, [math.inf]))
    low = np.flatnonzero((rough <= beside[:-2]) & (rough <= beside[2:]))
    low = low[np.argsort(rough[low], kind="stable")][:_VALLEYS]
    begin, end = grid[np.maximum(low - 1, 0)], grid[np.minimum(low + 1, len(grid) - 1)]

    def square(places: Array) -> Array:
        return square_difference(line, wanted.taper, places, _lengths(line, wanted, places))

    # Golden section in all valleys at once.
    left, right = end - _GOLDEN * (end - begin), begin + _GOLDEN * (end - begin)
    at_left, at_right = square(left), square(right)
    for _ in range(14):
        lower = at_left <= at_right
        begin, end = np.where(lower, begin, left), np.where(lower, right, end)
        fresh = np.where(lower, end - _GOLDEN * (end - begin), begin + _GOLDEN * (end - begin))
        value = square(fresh)
        left, right = np.where(lower, fresh, right), np.where(lower, left, fresh)
        at_left, at_right = np.where(lower, value, at_right), np.where(lower, at_left, value)
    # The difference is smooth there: the last step is a parabola's.
    middle = (begin + end) / 2.0
    at_middle, reach = square(middle), (end - begin) / 2.0
    at_begin, at_end = square(begin), square(end)
    bend = at_begin - 2.0 * at_middle + at_end
    with np.errstate(divide="ignore", invalid="ignore"):
        step = np.where(bend > 0.0, (at_begin - at_end) / (2.0 * bend), 0.0)
    return np.asarray(middle + np.clip(step, -1.0, 1.0) * reach)


def _least(line: MassAlong, wanted: Wanted, first: float, last: float) -> Array:
    """Where the difference can be least, the length kept [m]: all stationary places."""
    events = (line.starts[:, np.newaxis] - wanted.taper.starts).ravel()
    edges = np.unique(np.clip(np.concatenate((events, [first, last])), first, last))
    edges = edges[np.concatenate(([True], np.diff(edges) > 1e-9))]
    if len(edges) < 2:
        return edges
    middle, half = (edges[1:] + edges[:-1]) / 2.0, np.diff(edges) / 2.0
    places = (middle[:, np.newaxis] + half[:, np.newaxis] * _NODES).ravel()
    squares = square_difference(
        line, wanted.taper, places, np.full_like(places, wanted.taper.length)
    )
    curves = squares.reshape(-1, 6) @ _TO_POLYNOMIAL.T
    found = [edges]
    for curve, centre, reach in zip(curves, middle, half, strict=True):
        roots = np.roots((curve[1:] * np.arange(1, 6))[::-1])
        real = roots.real[(np.abs(roots.imag) < 1e-6) & (np.abs(roots.real) <= 1.0)]
        found.append(centre + reach * real)
    return np.concatenate(found)


def _made(
    line: MassAlong, wanted: Wanted, begin: float, length: float, square: float, turned: bool
) -> Stretch:
    mass = wanted.taper.mass
    if not wanted.keeps_weight:
        ends = line.running_mass(np.array([begin, begin + length]))
        mass = float(ends[1] - ends[0])
    taken = begin - wanted.ahead, begin + length + wanted.behind
    if turned:
        begin = line.length - begin - length
        taken = line.length - taken[1], line.length - taken[0]
    return Stretch(begin, length, turned, math.sqrt(max(0.0, square)), mass, taken=taken)


def _chosen(
    stock: MassAlong,
    wanted: Wanted,
    found: list[Stretch],
    parts: Sequence[tuple[float, float]],
    most: int,
) -> tuple[Stretch, ...]:
    if not found:
        return ()
    nearest = min(found, key=lambda each: each.rms)
    best = nearest.rms

    def from_end(each: Stretch) -> float:
        return min(min(abs(each.taken[0] - low), abs(high - each.taken[1])) for low, high in parts)

    def rank(each: Stretch) -> tuple[float, float, bool, float]:
        alike = each.rms <= best + ALIKE
        near = round(from_end(each) / 1e-4) * 1e-4
        return (0.0 if alike else each.rms, near if alike else 0.0, each.turned, each.begin)

    shown: list[Stretch] = []
    for each in sorted(found, key=rank):
        beside = any(
            other.turned == each.turned and abs(other.begin - each.begin) < 2.0 * GRID
            for other in shown
        )
        if not beside:
            shown.append(each)
        if len(shown) == most:
            break
    if nearest not in shown:
        # As good as the first, and not told apart from it by a scale; but the best there is.
        shown = [*shown[: most - 1], nearest] if most > 1 else shown
    return tuple(told(stock, wanted, each) for each in shown)
