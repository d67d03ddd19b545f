"""Where a taper changes: the search for breakpoints of a broken line through noisy points.

A broken line is a straight line plus one hinge, max(0, x - t), for each breakpoint t:

    d(x) = c0 + c1 x + sum of c(2 + i) max(0, x - t(i))

With the breakpoints given it is linear least squares. What one more hinge, or a pair, would take
off the sum of squares is known for all places at once from their projections, so the search is a
full scan rather than a guess. A fit goes through these steps:

1. the best place for one more breakpoint, and the best for two more (:class:`_Scan`);
2. each breakpoint in turn to its best place, until none moves (:func:`_settle`);
3. breakpoints that too few stations hold onto a station (:func:`_pin`);
4. all others together to the least sum of squares (:func:`_descend`).

:func:`search` does this for one breakpoint more at a time, until no more can be believed;
:func:`polish` makes sure that the one it ends with is the best of all valleys near by.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from taperlab.physics.frustum import Array
from taperlab.shop.measure.stations import Stations
from taperlab.shop.steps import Steps

BoolArray = np.ndarray[tuple[int, ...], np.dtype[np.bool_]]

PLACES_PER_GAP = 4
MOST_BREAKPOINTS = 9
MOST_STEPS = 40
HALVINGS = (1.0, 0.5, 0.25, 0.125, 0.0625, 0.03125)

ROUGH, FINE = 0.03, 1e-9
"""A fit is done once a step takes less than this off chi-square: during the search, and in the
end."""

NOTICED = 1e-6
"""A fit is no better than another by less than this: a thousandth of a standard deviation."""

SAME_PLACE = 1e-9
"""Breakpoints closer than this are one [m]."""

SPANNED = 1e-9
"""A hinge of which the others leave less than this share, squared, is one that they span."""

ALIKE = 1e-6
"""Two hinges are too much alike to be told apart if their determinant is below this share."""

HINGE_PRIOR = 0.01
SLOPE_PRIOR = 1e-3
LONE_SLOPE_PRIOR = 1e-4
"""Plausible size [m of diameter per m of line] of a change of slope, of the first slope, and of
the slope of a line known from one station. Far wider than real tapers; they only keep what the
stations cannot tell from running away, and make its stated error large."""


class Placed(StrEnum):
    """How a breakpoint came to be where it is."""

    FOUND = "found"
    AT_STATION = "at a station"
    FIXED = "fixed"


@dataclass(frozen=True, slots=True)
class Given:
    """Breakpoints that stay where they are [m], and by how much the tape may be off [m]."""

    places: tuple[float, ...]
    spread: float

    def holds(self, breakpoints: Array) -> BoolArray:
        """Which of the breakpoints are among these."""
        return _near(breakpoints, np.array(self.places))


@dataclass(frozen=True, eq=False, slots=True)
class Broken:
    """A fitted broken line.

    breakpoints (k,) [m], in order; placed (k,): how each came there; spreads (k,): how far each
    may lie from there beyond what the stations say [m], 0 for "wholly from the stations";
    coefficients (k + 2,): value and slope at distance 0, then each hinge; chi_square.
    """

    breakpoints: Array
    placed: tuple[Placed, ...]
    spreads: Array
    coefficients: Array
    chi_square: float

    @property
    def free(self) -> BoolArray:
        """Which breakpoints the stations place."""
        return np.array([each is Placed.FOUND for each in self.placed], dtype=bool)

    @property
    def parameters(self) -> int:
        """How many numbers were fitted."""
        return len(self.coefficients) + int(self.free.sum())

    def at(self, x: Array) -> Array:
        """Diameter [m] at each distance [m]."""
        return basis(x, self.breakpoints) @ self.coefficients

    def slopes(self) -> Array:
        """Slope of each segment, shape (k + 1,)."""
        return np.cumsum(self.coefficients[1:])


def basis(x: Array, breakpoints: Array) -> Array:
    """Values of 1, x and every hinge at each x, shape (n, 2 + breakpoints)."""
    hinges = np.maximum(0.0, x[:, np.newaxis] - breakpoints)
    return np.column_stack([np.ones(len(x)), x, hinges])


def moves(x: Array, breakpoints: Array, coefficients: Array) -> Array:
    """Derivative of the broken line at each x with respect to each breakpoint, (n, breakpoints).

    Minus the hinge's coefficient wherever the hinge is open (Muggeo, Statistics in Medicine 22,
    3055, 2003); at the breakpoint itself the mean of both sides.
    """
    return -np.heaviside(x[:, np.newaxis] - breakpoints, 0.5) * coefficients[2:]


def prior_weights(count: int, stations: int) -> Array:
    """One over the prior standard deviation of each coefficient, shape (2 + count,)."""
    slope = LONE_SLOPE_PRIOR if stations == 1 else SLOPE_PRIOR
    return np.array([0.0, 1.0 / slope] + [1.0 / HINGE_PRIOR] * count)


def penalty(stations: int) -> float:
    """What one more breakpoint must take off chi-square to be believed.

    3 ln n: the leading term of the modified Bayes information criterion for change points
    (Zhang and Siegmund, Biometrics 63, 22, 2007), which charges for the search over places as
    well as for the size of the change.
    """
    return 3.0 * math.log(max(stations, 2))


@dataclass(frozen=True, slots=True)
class Noise:
    """How many times what the stations' errors say diameters may scatter: at least, at most."""

    least: float = 1.0
    most: float = 1.0

    def of(self, fit: Broken, stations: int) -> float:
        """What a fit leaves, within these bounds.

        A breakpoint that was looked for takes about three numbers' worth of noise along.
        """
        left = max(1.0, stations - 2.0 - 3.0 * float(fit.free.sum()))
        return min(self.most, max(self.least, math.sqrt(fit.chi_square / left)))


AS_SET = Noise()
"""The stations' errors are what they are said to be."""


def objective(fit: Broken, stations: int, noise: Noise = AS_SET) -> float:
    """Chi-square plus the charge for every breakpoint: the smallest wins.

    Where the noise may be larger than the stations' errors say it is taken as what the fit
    leaves, and charged as the likelihood of a normal distribution charges it: noise that was set
    too small does not become breakpoints.
    """
    times = noise.of(fit, stations)
    misfit = fit.chi_square / times**2 + 2.0 * stations * math.log(times)
    return misfit + penalty(stations) * len(fit.breakpoints)


def search(
    points: Stations, given: Given, *, only_given: bool = False, noise: Noise = AS_SET
) -> Steps[Broken]:
    """The broken line with as few breakpoints as the noise justifies, the given ones among them.

    From each size to the next by the best single breakpoint more, or by the best pair on top of
    the size before: two corners may help together where neither helps alone. noise: see
    :func:`objective`.
    """
    fits = [fit_broken(points, np.array(given.places), given)]
    most = 0 if only_given else min(MOST_BREAKPOINTS, len(points) - 2) - len(given.places)
    scan = _Scan(points)
    for size in range(most):
        found = []
        for trial in scan.next_size(fits):
            yield size / most
            fit = fit_broken(points, _settle(scan, given, trial), given)
            if fit.parameters <= len(points):
                found.append(fit)
        if not found:
            break
        fits.append(min(found, key=lambda fit: fit.chi_square))
        if _no_more_can_help(fits, len(points), noise):
            break
    best = min(fits, key=lambda fit: objective(fit, len(points), noise))
    best = _pruned(points, best, given, noise)
    return fit_broken(points, best.breakpoints, given, FINE)


def _pruned(points: Stations, fit: Broken, given: Given, noise: Noise) -> Broken:
    """The fit without breakpoints that later ones have made needless."""
    while True:
        loose = [i for i, each in enumerate(fit.placed) if each is not Placed.FIXED]
        trials = [fit_broken(points, np.delete(fit.breakpoints, i), given) for i in loose]
        best = min([fit, *trials], key=lambda each: objective(each, len(points), noise))
        if best is fit:
            return fit
        fit = best


def _no_more_can_help(fits: Sequence[Broken], stations: int, noise: Noise) -> bool:
    # Three sizes in a row worse than the best: a pair has been tried as well as single ones.
    scores = [objective(fit, stations, noise) for fit in fits]
    return fits[-1].chi_square < penalty(stations) or int(np.argmin(scores)) < len(scores) - 3


def fit_broken(points: Stations, breakpoints: Array, given: Given, close: float = ROUGH) -> Broken:
    """The least-squares broken line that starts its search from ``breakpoints``."""
    at, widths = _pin(points.distances, breakpoints, given)
    fixed = given.holds(at)
    free = ~fixed & (widths == 0.0)
    placed = np.select([fixed, free], [Placed.FIXED, Placed.FOUND], Placed.AT_STATION)
    spreads = np.where(fixed, given.spread, widths / math.sqrt(12.0))
    at, _ = _descend(points, at, free, close)
    return _broken(points, at, tuple(Placed(each) for each in placed), spreads)


def polish(points: Stations, fit: Broken) -> Steps[Broken]:
    """The best fit with the breakpoints of this one near where they are.

    The sum of squares has a kink wherever a breakpoint stands on a station, and may have another
    valley behind it (Hudson, J. Am. Stat. Assoc. 61, 1097, 1966). So every free breakpoint is
    tried on the stations and in the gaps beside it, all others following, until nothing helps.
    """
    x, at = points.distances, fit.breakpoints
    least = _chi_square(points, at)
    for _ in range(MOST_STEPS):
        before = least
        for i in np.flatnonzero(fit.free).tolist():
            yield 0.5
            for place in _beside(x, at, i):
                start = at.copy()
                start[i] = place
                between_stations = fit.free & ~_near(start, x)
                trial, squares = _descend(points, start, between_stations, ROUGH)
                if squares < least - NOTICED:
                    at, least = _descend(points, trial, between_stations, FINE)
        if least == before:
            break
    return _broken(points, at, fit.placed, fit.spreads)


# -- with the breakpoints given ---------------------------------------------------------------


def _weighted(points: Stations, breakpoints: Array) -> tuple[Array, Array]:
    """Rows and right-hand sides of the least squares, the prior's after the stations'."""
    n, prior = len(points), prior_weights(len(breakpoints), len(points))
    # This is done thousands of times in a fit: every row is written once, where it stays.
    rows, right = np.zeros((n + len(prior) - 1, len(prior))), np.zeros(n + len(prior) - 1)
    x, spread = points.distances[:, np.newaxis], points.errors[:, np.newaxis]
    rows[:n, :1], rows[:n, 1:2] = 1.0 / spread, x / spread
    rows[:n, 2:] = np.maximum(0.0, x - breakpoints) / spread
    at = np.arange(1, len(prior))
    rows[n + at - 1, at] = prior[1:]
    right[:n] = points.diameters / points.errors
    return rows, right


def _solve(points: Stations, breakpoints: Array) -> tuple[Array, Array]:
    """The coefficients, and what they leave: of the stations, then of the prior."""
    return _least_squares(*_weighted(points, breakpoints))


def _least_squares(rows: Array, right: Array) -> tuple[Array, Array]:
    coefficients = np.asarray(np.linalg.lstsq(rows, right, rcond=None)[0], dtype=float)
    return coefficients, right - rows @ coefficients


def _chi_square(points: Stations, breakpoints: Array) -> float:
    """The sum of squares over the stations."""
    residual = _solve(points, breakpoints)[1][: len(points)]
    return float(residual @ residual)


def _broken(
    points: Stations, breakpoints: Array, placed: tuple[Placed, ...], spreads: Array
) -> Broken:
    coefficients, residual = _solve(points, breakpoints)
    of_stations = residual[: len(points)]
    return Broken(breakpoints, placed, spreads, coefficients, float(of_stations @ of_stations))


def _near(places: Array, others: Array) -> BoolArray:
    """Which places are the same as one of the others."""
    apart = np.abs(places[:, np.newaxis] - others)
    return np.asarray(np.any(apart < SAME_PLACE, axis=1))


# -- one more, or two -------------------------------------------------------------------------


class _Scan:
    """All places where a hinge could stand, and what each would take off chi-square."""

    def __init__(self, points: Stations) -> None:
        x = points.distances
        share = np.arange(PLACES_PER_GAP) / PLACES_PER_GAP
        self.places = (x[:-1, np.newaxis] + np.diff(x)[:, np.newaxis] * share).ravel()[1:]
        self.points = points
        self.hinges = np.maximum(0.0, x[:, np.newaxis] - self.places)
        self.hinges /= points.errors[:, np.newaxis]
        # Two hinges with no station between or at them cannot be told apart.
        self.first = np.searchsorted(x, self.places, side="left")
        self.last = np.searchsorted(x, self.places, side="right") - 1

    def _allowed(self, breakpoints: Array) -> BoolArray:
        x = self.points.distances
        low = np.searchsorted(x, breakpoints, "left")[:, np.newaxis]
        high = np.searchsorted(x, breakpoints, "right")[:, np.newaxis] - 1
        ahead = self.places - breakpoints[:, np.newaxis]
        apart = np.where(ahead > 0.0, self.last >= low, self.first <= high)
        return np.asarray(((np.abs(ahead) > SAME_PLACE) & apart).all(axis=0))

    def _projected(self, breakpoints: Array) -> tuple[Array, Array, Array]:
        """What the fit to these breakpoints leaves of each hinge.

        The hinges less what the fit spans of them, (n, places); their products with what it
        leaves of the diameters, and their own squares, inf where nothing is left (places,).
        """
        points = self.points
        q = np.linalg.qr(basis(points.distances, breakpoints) / points.errors[:, np.newaxis])[0]
        right = points.diameters / points.errors
        residual = right - q @ (q.T @ right)
        hinges = self.hinges - q @ (q.T @ self.hinges)
        size = np.einsum("ij,ij->j", hinges, hinges)
        spanned = size <= SPANNED * np.einsum("ij,ij->j", self.hinges, self.hinges)
        return hinges, hinges.T @ residual, np.where(spanned, np.inf, size)

    def best_one(self, breakpoints: Array) -> Array | None:
        """The breakpoints with the best one more; None where no more fits.

        A column h takes (h.r)^2 / h.h off the squares of a residual r that it is added to.
        """
        ok = self._allowed(breakpoints)
        if not ok.any():
            return None
        _, along, size = self._projected(breakpoints)
        gain = np.where(ok, along**2 / size, -1.0)
        return np.sort(np.append(breakpoints, self.places[int(np.argmax(gain))]))

    def best_two(self, breakpoints: Array) -> Array | None:
        """The breakpoints with the best two more; None where no two fit.

        Two columns take b^T S^-1 b off, with b their products with the residual and S those
        with each other.
        """
        hinges, along, size = self._projected(breakpoints)
        usable = np.flatnonzero(self._allowed(breakpoints) & np.isfinite(size))
        if len(usable) < 2:
            return None
        h, b, s = hinges[:, usable], along[usable], size[usable]
        cross = h.T @ h
        determinant = s[:, np.newaxis] * s - cross**2
        gain = b[:, np.newaxis] ** 2 * s - 2.0 * cross * b[:, np.newaxis] * b
        gain += s[:, np.newaxis] * b**2
        apart = self.last[usable][np.newaxis, :] >= self.first[usable][:, np.newaxis]
        good = apart & (determinant > ALIKE * s[:, np.newaxis] * s)
        gain = np.where(good & (usable[:, np.newaxis] < usable), gain, -1.0)
        gain /= np.where(good, determinant, 1.0)
        i, j = np.unravel_index(int(np.argmax(gain)), gain.shape)
        if gain[i, j] < 0.0:
            return None
        return np.sort(np.append(breakpoints, self.places[usable[[i, j]]]))

    def next_size(self, fits: Sequence[Broken]) -> list[Array]:
        """Breakpoints to try that are one more than those of the last of the fits."""
        one = self.best_one(fits[-1].breakpoints)
        two = self.best_two(fits[-2].breakpoints) if len(fits) > 1 else None
        return [trial for trial in (one, two) if trial is not None]


# -- to the best places -----------------------------------------------------------------------


def _settle(scan: _Scan, given: Given, breakpoints: Array) -> Array:
    """Move each free breakpoint in turn to its best place until none moves."""
    for _ in range(4):
        before = breakpoints
        for t in before[~given.holds(before)]:
            moved = scan.best_one(breakpoints[breakpoints != t])
            if moved is not None:
                breakpoints = moved
        if np.array_equal(before, breakpoints):
            break
    return breakpoints


def _pin(x: Array, breakpoints: Array, given: Given) -> tuple[Array, Array]:
    """Put breakpoints that the stations cannot place between them onto stations of their own.

    A breakpoint is free if the segments on both sides hold two stations or more; stations that
    breakpoints stand on are all counted with the segment behind, or with the one ahead if that
    frees more. Returns the breakpoints and, for each, the width of the stretch in which a pinned
    one may lie, else 0.
    """
    at = breakpoints.copy()
    widths = np.zeros(len(at))
    ways = []
    for ranks in (np.searchsorted(x, at, "left"), np.searchsorted(x, at, "right")):
        counts = np.diff(np.concatenate([[0], ranks, [len(x)]]))
        ways.append(((counts[:-1] < 2) | (counts[1:] < 2)) & ~given.holds(at))
    loose = min(ways, key=np.count_nonzero)
    for i in np.flatnonzero(loose):
        inner = 1 + np.flatnonzero(~_near(x[1:-1], np.delete(at, i)))
        if len(inner):
            j = inner[np.argmin(np.abs(x[inner] - at[i]))]
            at[i], widths[i] = x[j], x[j + 1] - x[j - 1]
    order = np.argsort(at, kind="stable")
    return at[order], widths[order]


def _descend(
    points: Stations, breakpoints: Array, free: BoolArray, close: float
) -> tuple[Array, float]:
    """Free breakpoints down into the valley where they stand, and the squares left there.

    Gauss-Newton steps of all together, each halved until it helps.
    """
    least = _chi_square(points, breakpoints)
    for _ in range(MOST_STEPS if free.any() else 0):
        step = _step(points, breakpoints, free)
        for share in HALVINGS:
            squares = _chi_square(points, breakpoints + share * step)
            if squares < least:
                break
        else:
            break
        breakpoints, gained, least = breakpoints + share * step, least - squares, squares
        if gained < close:
            break
    return breakpoints, least


def _step(points: Stations, breakpoints: Array, free: BoolArray) -> Array:
    """The Gauss-Newton step of the free breakpoints, kept between their neighbours, (k,).

    Least squares for changes of coefficients and breakpoints at once (Muggeo, Statistics in
    Medicine 22, 3055, 2003).
    """
    rows, right = _weighted(points, breakpoints)
    coefficients, residual = _least_squares(rows, right)
    columns = np.zeros((len(rows), int(free.sum())))
    columns[: len(points)] = moves(points.distances, breakpoints, coefficients)[:, free]
    columns[: len(points)] /= points.errors[:, np.newaxis]
    found = np.linalg.lstsq(np.hstack([rows, columns]), residual, rcond=None)[0]
    step = np.zeros(len(breakpoints))
    step[free] = found[len(coefficients) :]
    x = points.distances
    gaps = np.diff(np.concatenate([x[:1], breakpoints, x[-1:]]))
    # A fixed breakpoint may stand beyond the last station: no room there, and none to move it.
    room = 0.45 * np.maximum(np.minimum(gaps[:-1], gaps[1:]), 0.0)
    back, on = _held(x, breakpoints)
    return np.asarray(np.clip(step, np.maximum(-room, back), np.minimum(room, on)))


def _held(x: Array, breakpoints: Array) -> tuple[Array, Array]:
    """How far each breakpoint may go, back (<= 0) and on (>= 0), before it is free no longer (k,).

    Two stations stay on either side of it: with one alone between two breakpoints, no station
    says where either lies, and a step along that flat valley would end anywhere.
    """
    ranks = np.concatenate([[0], np.searchsorted(x, breakpoints, "left"), [len(x)]])
    least = x[np.minimum(ranks[:-2] + 1, len(x) - 1)]
    most = x[np.maximum(ranks[2:] - 2, 0)]
    return np.minimum(least - breakpoints, 0.0), np.maximum(most - breakpoints, 0.0)


def _beside(x: Array, breakpoints: Array, i: int) -> list[float]:
    """Where breakpoint ``i`` may stand beside where it does: stations, and middles of gaps.

    Two stations or more stay on either side of it, without which it would not be free.
    """
    bounds = np.concatenate([[0], np.searchsorted(x, np.delete(breakpoints, i)), [len(x)]])
    places = np.sort(np.concatenate([x, (x[1:] + x[:-1]) / 2.0]))
    ranks = np.searchsorted(x, places)
    stays_free = (ranks >= bounds[i] + 2) & (ranks <= bounds[i + 1] - 2)
    near = np.abs(ranks - np.searchsorted(x, breakpoints[i])) <= 1
    found: list[float] = places[stays_free & near].tolist()
    return found
