"""A taper out of level pieces: the fewest that stay within a tolerance and weigh what it weighs.

A level piece may cover where its mass per length is within the tolerance of the taper's. As the
taper rises or falls all the way, so do the pieces, and each break between two of them has a box
that it may lie in. The weight falls (or rises) with every break, so that what a sequence can weigh
is exactly the interval between all breaks at one end of their boxes and all at the other. Within
that weight the best breaks lie where the taper is half-way between the two pieces plus one offset
common to all (the integral of the squared difference made stationary under the weight).
"""

from __future__ import annotations

import itertools
import math
from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from taperlab.model.exact_units import GRAIN, INCH
from taperlab.physics.mass_along import MassAlong

EIGHTH = INCH / 8.0
"""Breaks are rounded to it [m]."""

_MOST_SEQUENCES = 20_000
_MOST_PIECES = 12


@dataclass(frozen=True, slots=True)
class StepLimits:
    """What steps must keep to.

    tolerance: how far the mass per length of a piece may be off anywhere [kg/m], but for the eighth
    of an inch that a break is rounded by. shortest: length of a piece [m], where there are several:
    one alone is as long as the taper. largest_step: mass per length at a joint, heavier over
    lighter. slack: how far the weight may be off [kg]: half a step of the scale, where no breaks
    make it exact.
    """

    tolerance: float
    shortest: float = 6.0 * INCH
    largest_step: float = math.inf
    slack: float = 0.25 * GRAIN


@dataclass(frozen=True, slots=True)
class LevelSteps:
    """Level pieces in place of a taper.

    stocks: which, from the front, by their number among those given. breaks: from 0 to the length
    [m]. rms: root mean square of the difference from the taper, worst: the largest difference
    [kg/m], heavier above nought. mass_off: how much heavier than the taper they are, all together
    [kg].
    """

    stocks: tuple[int, ...]
    breaks: tuple[float, ...]
    rms: float
    worst: float
    mass_off: float
    largest_step: float

    @property
    def lengths(self) -> tuple[float, ...]:
        """Length of each piece [m]."""
        return tuple(end - begin for begin, end in itertools.pairwise(self.breaks))


class _Rising:
    """The taper turned so that its mass per length rises, with what is asked of it most."""

    def __init__(self, taper: MassAlong) -> None:
        ends = taper.linear_density(np.array([0.0, taper.length]))
        self.is_turned = bool(ends[1] < ends[0])
        self.taper = taper.reversed() if self.is_turned else taper
        self.length, self.mass = taper.length, taper.mass
        self.low, self.high = float(min(ends)), float(max(ends))
        self._starts = [float(each) for each in self.taper.starts]
        self._cells = [(float(a), float(b), float(c)) for a, b, c, _ in self.taper.coefficients]
        self._ahead = [a for a, _, _ in self._cells]

    def where(self, density: float) -> float:
        """Where it has a mass per length [kg/m]; an end where it has it nowhere [m]."""
        if density <= self.low:
            return 0.0
        if density >= self.high:
            return self.length
        i = min(bisect_right(self._ahead, density), len(self._ahead)) - 1
        a, b, c = self._cells[i]
        # The root of a + b t + c t^2 that keeps its digits where the taper is nearly level.
        rise = density - a
        under = max(0.0, b * b + 4.0 * c * rise)
        t = 2.0 * rise / (b + math.sqrt(under)) if b or under else 0.0
        return min(self._starts[i] + max(0.0, t), self._starts[i + 1])


Longest = Callable[[int, bool, bool], float]
"""How long a piece of a stock, by its number, may be [m]: first of all or not, last or not."""


def endless(_stock: int, _first: bool, _last: bool) -> float:
    """There is enough of every stock."""
    return math.inf


def level_steps(
    taper: MassAlong, stocks: Sequence[float], limits: StepLimits, longest: Longest = endless
) -> LevelSteps | None:
    """The fewest level pieces of stocks of these masses per length [kg/m]; None where none do.

    The taper must rise or fall all the way. Of as few, those nearest the taper; then those whose
    largest joint step is smallest. longest: how much there is of each stock.
    """
    rising = _Rising(taper)
    order = sorted(range(len(stocks)), key=lambda i: (stocks[i], i))
    densities = [stocks[i] for i in order]
    reach = [_reach(rising, each, limits.tolerance) for each in densities]
    for count in range(1, min(len(stocks), _MOST_PIECES) + 1):
        found = [
            made
            for chosen in itertools.islice(
                _sequences(densities, reach, rising.length, count, limits), _MOST_SEQUENCES
            )
            if (
                made := _placed(
                    rising,
                    densities,
                    reach,
                    chosen,
                    limits,
                    _sizes(rising, chosen, order, limits.shortest, longest),
                )
            )
            is not None
        ]
        if found:
            best = min(found, key=lambda each: (round(each.rms, 9), each.largest_step, each.stocks))
            return _as_given(rising, best, order)
    return None


def smallest_tolerance(
    taper: MassAlong, stocks: Sequence[float], limits: StepLimits
) -> float | None:
    """The least tolerance [kg/m] within which there are steps; None where there are never any."""
    rising = _Rising(taper)
    if not stocks:
        return None
    high = max(rising.high, *stocks)

    def works(tolerance: float) -> bool:
        asked = StepLimits(tolerance, limits.shortest, limits.largest_step, limits.slack)
        return level_steps(taper, stocks, asked) is not None

    if not works(high):
        return None
    low = 0.0
    for _ in range(24):
        middle = (low + high) / 2.0
        low, high = (low, middle) if works(middle) else (middle, high)
    return high


def widest_gap(taper: MassAlong, stocks: Sequence[float]) -> tuple[float, float] | None:
    """The two masses per length [kg/m] between which stock is missing most; None without stock.

    Where the taper itself is furthest from any stock: half a gap that it passes, or beyond an end.
    """
    rising = _Rising(taper)
    known = sorted(stocks)
    if not known:
        return None
    found = [(known[0] - rising.low, rising.low, known[0])]
    found.append((rising.high - known[-1], known[-1], rising.high))
    for low, high in itertools.pairwise(known):
        middle = min(max((low + high) / 2.0, rising.low), rising.high)
        found.append((min(middle - low, high - middle), low, high))
    _, low, high = max(found)
    return low, high


def _reach(rising: _Rising, density: float, tolerance: float) -> tuple[float, float] | None:
    """From where to where a level piece is within the tolerance; None for nowhere."""
    slack = 1e-12 * max(density, rising.high)
    if density + tolerance < rising.low - slack or density - tolerance > rising.high + slack:
        return None
    return rising.where(density - tolerance), rising.where(density + tolerance)


def _sequences(
    densities: Sequence[float],
    reach: Sequence[tuple[float, float] | None],
    length: float,
    count: int,
    limits: StepLimits,
) -> Iterator[tuple[int, ...]]:
    """Rising sequences whose pieces reach from end to end and meet within the joint step."""
    edge = 1e-9 * length

    def further(chosen: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        last = reach[chosen[-1]]
        assert last is not None
        if len(chosen) == count:
            if last[1] >= length - edge:
                yield chosen
            return
        for other in range(chosen[-1] + 1, len(densities)):
            there = reach[other]
            if there is None or there[0] > last[1] + edge:
                continue
            if densities[other] > densities[chosen[-1]] * limits.largest_step * (1.0 + 1e-9):
                break
            yield from further((*chosen, other))

    for first, there in enumerate(reach):
        if there is not None and there[0] <= edge:
            yield from further((first,))


@dataclass(frozen=True, slots=True)
class _Sizes:
    """How long each piece of a sequence is at least, and at most [m]."""

    least: float
    most: tuple[float, ...]


def _sizes(
    rising: _Rising,
    chosen: tuple[int, ...],
    order: Sequence[int],
    shortest: float,
    longest: Longest,
) -> _Sizes:
    ends = [(at == 0, at == len(chosen) - 1) for at in range(len(chosen))]
    if rising.is_turned:
        ends = [(last, first) for first, last in ends]
    # One alone is as long as the taper.
    least = shortest if len(chosen) > 1 else 0.0
    return _Sizes(
        least, tuple(longest(order[i], *each) for i, each in zip(chosen, ends, strict=True))
    )


def _boxes(
    reach: Sequence[tuple[float, float] | None],
    chosen: tuple[int, ...],
    length: float,
    sizes: _Sizes,
) -> tuple[list[float], list[float]] | None:
    """From where to where each break between two pieces may lie; None where there is no room.

    Each box is made smaller by its neighbours', there and back, so that all breaks at the
    beginnings of their boxes, and all at the ends, make pieces neither too short nor too long.
    """
    low, high = [0.0], [0.0]
    for one, other in itertools.pairwise(chosen):
        here, there = reach[one], reach[other]
        assert here is not None
        assert there is not None
        low.append(there[0])
        high.append(here[1])
    low.append(length)
    high.append(length)
    for i, most in enumerate(sizes.most):
        low[i + 1] = max(low[i + 1], low[i] + sizes.least)
        high[i + 1] = min(high[i + 1], high[i] + most)
    for i, most in reversed(list(enumerate(sizes.most))):
        low[i] = max(low[i], low[i + 1] - most)
        high[i] = min(high[i], high[i + 1] - sizes.least)
    if min(sizes.most) < sizes.least or any(a > b + 1e-12 for a, b in zip(low, high, strict=True)):
        return None
    return low[1:-1], high[1:-1]


def _placed(
    rising: _Rising,
    densities: Sequence[float],
    reach: Sequence[tuple[float, float] | None],
    chosen: tuple[int, ...],
    limits: StepLimits,
    sizes: _Sizes,
) -> LevelSteps | None:
    """The best breaks of one sequence; None where it can't weigh what the taper weighs."""
    boxes = _boxes(reach, chosen, rising.length, sizes)
    if boxes is None:
        return None
    low, high = boxes
    weights = [densities[i] for i in chosen]

    def mass(breaks: Sequence[float]) -> float:
        edges = (0.0, *breaks, rising.length)
        lengths = (b - a for a, b in itertools.pairwise(edges))
        return sum(weight * each for weight, each in zip(weights, lengths, strict=True))

    # Each break moved back makes more of the heavier piece behind it.
    if not mass(high) - limits.slack <= rising.mass <= mass(low) + limits.slack:
        return None
    breaks = low
    if len(chosen) > 1:
        middles = [(a + b) / 2.0 for a, b in itertools.pairwise(weights)]
        end = rising.high - rising.low + weights[-1]
        begin = -end
        for _ in range(60):
            offset = (begin + end) / 2.0
            breaks = _clipped(rising, middles, offset, boxes, sizes)
            over = mass(breaks) - rising.mass
            begin, end = (offset, end) if over > 0.0 else (begin, offset)
            if abs(over) < 1e-12 * rising.mass:
                break
        else:
            # Where the taper is level all offsets are alike, and breaks go where the weight is.
            ends = [_clipped(rising, middles, each, boxes, sizes) for each in (begin, end)]
            least, most = (mass(each) for each in reversed(ends))
            share = (most - rising.mass) / (most - least) if most > least else 0.0
            share = min(max(share, 0.0), 1.0)
            breaks = [a + share * (b - a) for a, b in zip(*ends, strict=True)]
        breaks = _rounded(rising, weights, breaks, boxes, sizes)
    return _told(rising, chosen, weights, breaks, mass(breaks) - rising.mass)


def _clipped(
    rising: _Rising,
    middles: Sequence[float],
    offset: float,
    boxes: tuple[list[float], list[float]],
    sizes: _Sizes,
) -> list[float]:
    places: list[float] = []
    at = 0.0
    for middle, low, high, most in zip(middles, *boxes, sizes.most[:-1], strict=True):
        at = min(max(rising.where(middle + offset), low, at + sizes.least), high, at + most)
        places.append(at)
    return places


def _rounded(
    rising: _Rising,
    weights: Sequence[float],
    breaks: Sequence[float],
    boxes: tuple[list[float], list[float]],
    sizes: _Sizes,
) -> list[float]:
    """The breaks on the tape, up or down, so that the weight stays nearest what it is to be.

    Counted from the taper's own front, which a turned taper has at its other end.
    """
    count = len(breaks)
    origin = rising.length if rising.is_turned else 0.0
    sign = -1.0 if rising.is_turned else 1.0
    low, high = (np.array(each) for each in boxes)
    marks = sign * (np.array(breaks) - origin) / EIGHTH
    ups = np.array(list(itertools.product((0.0, 1.0), repeat=count)))
    places = origin + sign * (np.floor(marks + 1e-9) + ups) * EIGHTH
    edges = np.hstack(
        (np.zeros((len(places), 1)), places, np.full((len(places), 1), rising.length))
    )
    lengths = np.diff(edges, axis=1)
    fine = ((lengths >= sizes.least - 1e-9) & (lengths <= np.array(sizes.most) + 1e-9)).all(axis=1)
    fine &= ((places >= low - EIGHTH) & (places <= high + EIGHTH)).all(axis=1)
    if not fine.any():
        return list(breaks)
    off = np.abs(lengths @ np.array(weights) - rising.mass)
    moved = np.abs(places - np.array(breaks)).sum(axis=1)
    least = off[fine].min()
    near = fine & (off <= least + 1e-3 * GRAIN)
    return [float(each) for each in places[np.flatnonzero(near)[np.argmin(moved[near])]]]


def _told(
    rising: _Rising,
    chosen: tuple[int, ...],
    weights: Sequence[float],
    breaks: Sequence[float],
    mass_off: float,
) -> LevelSteps:
    edges = (0.0, *breaks, rising.length)
    nodes = np.unique(np.concatenate((edges, rising.taper.starts)))
    points, shares = np.polynomial.legendre.leggauss(3)
    middle, half = (nodes[1:] + nodes[:-1]) / 2.0, np.diff(nodes) / 2.0
    own = np.array(weights)[np.searchsorted(edges, middle) - 1]
    there = rising.taper.linear_density(middle[:, np.newaxis] + half[:, np.newaxis] * points)
    square = float((((own[:, np.newaxis] - there) ** 2) @ shares * half).sum())
    ends = rising.taper.linear_density(np.array(edges))
    apart = [float(weight - end) for i, weight in enumerate(weights) for end in ends[i : i + 2]]
    worst = max(apart, key=abs)
    step = max((b / a for a, b in itertools.pairwise(weights)), default=1.0)
    rms = math.sqrt(square / rising.length)
    return LevelSteps(chosen, edges, rms, worst, mass_off, step)


def _as_given(rising: _Rising, made: LevelSteps, order: Sequence[int]) -> LevelSteps:
    """Steps of the taper as it was given, by the stocks' own numbers."""
    stocks = tuple(order[i] for i in made.stocks)
    breaks = made.breaks
    if rising.is_turned:
        stocks = stocks[::-1]
        breaks = tuple(rising.length - each for each in reversed(breaks))
        breaks = (0.0, *breaks[1:-1], rising.length)
    return LevelSteps(stocks, breaks, made.rms, made.worst, made.mass_off, made.largest_step)
