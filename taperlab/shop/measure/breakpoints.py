"""Where a taper changes: the search for breakpoints of a broken line through noisy points.

A broken line is a straight line plus one hinge, max(0, x - t), for each breakpoint t. With the
breakpoints given it is linear least squares. What one more hinge, or a pair, would take off the
sum of squares is known for all places at once from their projections, so the search is a full
scan rather than a guess.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from taperlab.physics.frustum import Array

BoolArray = np.ndarray[tuple[int, ...], np.dtype[np.bool_]]

PLACES_PER_GAP = 4
MOST_BREAKPOINTS = 9
ROUGH, FINE = 0.03, 1e-9
"""How close to its least chi-square a fit is brought during the search, and in the end."""

HINGE_PRIOR = 0.01
SLOPE_PRIOR = 1e-3
LONE_SLOPE_PRIOR = 1e-4
"""Plausible size [m of diameter per m of line] of a change of slope, of the first slope, and of
the slope of a line known from one station. Far wider than real tapers; they only keep what the
stations cannot tell from running away, and make its stated error large."""


@dataclass(frozen=True, eq=False, slots=True)
class Broken:
    """A fitted broken line.

    breakpoints (k,) [m], in order; spreads (k,): how far each may lie from there beyond what the
    stations say [m], 0 for "wholly from the stations"; coefficients (k + 2,): value and slope at
    distance 0, then each hinge; chi_square; parameters: how many numbers were fitted.
    """

    breakpoints: Array
    spreads: Array
    coefficients: Array
    chi_square: float
    parameters: int

    def at(self, x: Array) -> Array:
        """Diameter [m] at each distance [m]."""
        return basis(x, self.breakpoints) @ self.coefficients

    def slopes(self) -> Array:
        """Slope of each segment, shape (k + 1,)."""
        return np.cumsum(self.coefficients[1:])


def basis(x: Array, breakpoints: Array) -> Array:
    """Values of 1, x and every hinge at each x, shape (n, 2 + breakpoints)."""
    out = np.empty((len(x), 2 + len(breakpoints)))
    out[:, 0] = 1.0
    out[:, 1] = x
    np.maximum(0.0, x[:, np.newaxis] - breakpoints, out=out[:, 2:])
    return out


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


def _weighted(x: Array, y: Array, errors: Array, breakpoints: Array) -> tuple[Array, Array]:
    prior = prior_weights(len(breakpoints), len(x))
    rows = np.vstack([basis(x, breakpoints) / errors[:, np.newaxis], np.diag(prior)[1:]])
    return rows, np.concatenate([y / errors, np.zeros(len(prior) - 1)])


def _solve(x: Array, y: Array, errors: Array, breakpoints: Array) -> tuple[Array, float]:
    rows, right = _weighted(x, y, errors, breakpoints)
    coefficients = np.linalg.lstsq(rows, right, rcond=None)[0]
    residual = (y - basis(x, breakpoints) @ coefficients) / errors
    return np.asarray(coefficients, dtype=float), float(residual @ residual)


class _Scan:
    """All places where a hinge could stand, and what each would take off chi-square."""

    def __init__(self, x: Array, y: Array, errors: Array) -> None:
        share = np.arange(PLACES_PER_GAP) / PLACES_PER_GAP
        self.places = (x[:-1, np.newaxis] + np.diff(x)[:, np.newaxis] * share).ravel()[1:]
        self.x, self.y, self.errors = x, y, errors
        self.hinges = np.maximum(0.0, x[:, np.newaxis] - self.places) / errors[:, np.newaxis]
        # Two hinges with no station between or at them cannot be told apart.
        self.first = np.searchsorted(x, self.places, side="left")
        self.last = np.searchsorted(x, self.places, side="right") - 1

    def _allowed(self, breakpoints: Array) -> BoolArray:
        low = np.searchsorted(self.x, breakpoints, "left")[:, np.newaxis]
        high = np.searchsorted(self.x, breakpoints, "right")[:, np.newaxis] - 1
        ahead = self.places - breakpoints[:, np.newaxis]
        ok = (np.abs(ahead) > 1e-9) & np.where(ahead > 0.0, self.last >= low, self.first <= high)
        return np.asarray(ok.all(axis=0))

    def _projected(self, breakpoints: Array) -> tuple[Array, Array, Array]:
        fixed = basis(self.x, breakpoints) / self.errors[:, np.newaxis]
        q = np.linalg.qr(fixed)[0]
        right = self.y / self.errors
        residual = right - q @ (q.T @ right)
        hinges = self.hinges - q @ (q.T @ self.hinges)
        size = np.einsum("ij,ij->j", hinges, hinges)
        # A hinge that the others already span gains nothing.
        spanned = size <= 1e-9 * np.einsum("ij,ij->j", self.hinges, self.hinges)
        return hinges, hinges.T @ residual, np.where(spanned, np.inf, size)

    def best_one(self, breakpoints: Array) -> Array | None:
        """The breakpoints with the best one more; None where no more fits."""
        ok = self._allowed(breakpoints)
        if not ok.any():
            return None
        _, along, size = self._projected(breakpoints)
        gain = np.where(ok, along**2 / size, -1.0)
        return np.sort(np.append(breakpoints, self.places[int(np.argmax(gain))]))

    def best_two(self, breakpoints: Array) -> Array | None:
        """The breakpoints with the best two more; None where no two fit."""
        ok = self._allowed(breakpoints)
        hinges, along, size = self._projected(breakpoints)
        usable = np.flatnonzero(ok & np.isfinite(size))
        if len(usable) < 2:
            return None
        h, b, s = hinges[:, usable], along[usable], size[usable]
        cross = h.T @ h
        determinant = s[:, np.newaxis] * s - cross**2
        gain = (
            b[:, np.newaxis] ** 2 * s - 2.0 * cross * b[:, np.newaxis] * b + s[:, np.newaxis] * b**2
        )
        apart = self.last[usable][np.newaxis, :] >= self.first[usable][:, np.newaxis]
        good = apart & (determinant > 1e-6 * s[:, np.newaxis] * s)
        gain = np.where(good & (usable[:, np.newaxis] < usable), gain, -1.0)
        gain = gain / np.where(good, determinant, 1.0)
        i, j = np.unravel_index(int(np.argmax(gain)), gain.shape)
        if gain[i, j] < 0.0:
            return None
        return np.sort(np.append(breakpoints, self.places[usable[[i, j]]]))


def _settle(scan: _Scan, fixed: Array, breakpoints: Array) -> Array:
    """Move each free breakpoint in turn to its best place until none moves."""
    for _ in range(4):
        before = breakpoints
        for t in before:
            if np.any(np.abs(fixed - t) < 1e-12):
                continue
            moved = scan.best_one(breakpoints[breakpoints != t])
            if moved is not None:
                breakpoints = moved
        if np.array_equal(before, breakpoints):
            break
    return breakpoints


def _step(
    x: Array,
    y: Array,
    errors: Array,
    breakpoints: Array,
    coefficients: Array,
    moving: list[int],
    opened_at: float,
) -> Array:
    """The Gauss-Newton step of the ``moving`` breakpoints, kept between their neighbours (k,).

    The derivative with respect to a breakpoint is minus its hinge's coefficient wherever the
    hinge is open (Muggeo, Statistics in Medicine 22, 3055, 2003). ``opened_at``: how open a hinge
    counts at a station that it stands on; 0 looks toward the rear, 1 toward the fly end.
    """
    rows, right = _weighted(x, y, errors, breakpoints)
    at = breakpoints[moving]
    opened = (x[:, np.newaxis] > at).astype(float) + opened_at * (x[:, np.newaxis] == at)
    columns = -opened * coefficients[2:][moving] / errors[:, np.newaxis]
    columns = np.vstack([columns, np.zeros((len(rows) - len(x), len(moving)))])
    jacobian = np.hstack([rows, columns])
    found = np.linalg.lstsq(jacobian, right - rows @ coefficients, rcond=None)[0]
    full = np.zeros(len(breakpoints))
    full[moving] = found[rows.shape[1] :]
    gaps = np.diff(np.concatenate([[x[0]], breakpoints, [x[-1]]]))
    # A fixed breakpoint may stand beyond the last station: no room there, and none to move it.
    room = 0.45 * np.maximum(np.minimum(gaps[:-1], gaps[1:]), 0.0)
    return np.asarray(np.clip(full, -room, room))


def _slide(
    x: Array, y: Array, errors: Array, breakpoints: Array, free: BoolArray, close: float
) -> Array:
    """Move free breakpoints continuously to the least sum of squares.

    Steps of all together, halved until they help. Where a breakpoint stands on a station the sum
    has a kink and no common step may help: then one at a time, either way. Stops where a step
    takes less than ``close`` off chi-square.
    """
    together = np.flatnonzero(free).tolist()
    if not together:
        return breakpoints
    tries = [(together, 0.5), *(([k], side) for k in together for side in (0.0, 1.0))]
    coefficients, best = _solve(x, y, errors, breakpoints)
    for _ in range(40):
        for moving, opened_at in tries if close < ROUGH else tries[:1]:
            full = _step(x, y, errors, breakpoints, coefficients, moving, opened_at)
            scale = 1.0
            while scale > 0.03:
                trial = breakpoints + scale * full
                then, chi_square = _solve(x, y, errors, trial)
                if chi_square < best:
                    break
                scale /= 2.0
            if chi_square < best:
                break
        if chi_square >= best:
            break
        gained = best - chi_square
        breakpoints, coefficients, best = trial, then, chi_square
        if gained < close:
            break
    return breakpoints


def _pin(x: Array, breakpoints: Array, fixed: Array) -> tuple[Array, Array]:
    """Put breakpoints that the stations cannot place between them onto stations of their own.

    A breakpoint is free if the segments on both sides hold two stations or more. Returns the
    breakpoints and, for each, the width of the stretch in which a pinned one may lie, else 0.
    """
    at = breakpoints.copy()
    widths = np.zeros(len(at))
    counts = np.diff(np.concatenate([[0], np.searchsorted(x, at, side="left"), [len(x)]]))
    for i in np.flatnonzero((counts[:-1] < 2) | (counts[1:] < 2)):
        if np.any(np.abs(fixed - at[i]) < 1e-12):
            continue
        others = np.delete(at, i)
        inner = [j for j in range(1, len(x) - 1) if not np.any(np.abs(others - x[j]) < 1e-9)]
        if not inner:
            continue
        j = min(inner, key=lambda each: abs(x[each] - at[i]))
        at[i], widths[i] = x[j], x[j + 1] - x[j - 1]
    order = np.argsort(at, kind="stable")
    return at[order], widths[order]


def fit_broken(
    x: Array,
    y: Array,
    errors: Array,
    breakpoints: Array,
    fixed: Array,
    fixed_spread: float,
    close: float = ROUGH,
) -> Broken:
    """The least-squares broken line that starts its search from ``breakpoints``.

    Breakpoints in ``fixed`` stay where they are and may be off by ``fixed_spread`` [m].
    """
    at, widths = _pin(x, breakpoints, fixed)
    is_fixed = np.array([bool(np.any(np.abs(fixed - t) < 1e-12)) for t in at], dtype=bool)
    free = ~is_fixed & (widths == 0.0)
    at = _slide(x, y, errors, at, free, close)
    coefficients, chi_square = _solve(x, y, errors, at)
    spreads = np.where(is_fixed, fixed_spread, widths / math.sqrt(12.0))
    return Broken(at, spreads, coefficients, chi_square, 2 + len(at) + int(free.sum()))


def search(
    x: Array,
    y: Array,
    errors: Array,
    fixed: Sequence[float],
    fixed_spread: float,
    count: int | None = None,
) -> Broken:
    """The broken line with as few breakpoints as the noise justifies, or with exactly ``count``.

    ``x``, ``y``, ``errors`` (n,) [m] are distances, diameters and their standard deviations.
    """
    given = np.sort(np.asarray(fixed, dtype=float))
    most = min(MOST_BREAKPOINTS, len(x) - 2) if count is None else count
    start = fit_broken(x, y, errors, given, given, fixed_spread)
    fits = [start]
    if len(x) >= 3:
        scan = _Scan(x, y, errors)
        sets: dict[int, Array] = {len(given): given}
        for size in range(len(given) + 1, max(most, len(given)) + 1):
            trials: list[Array] = []
            if size - 1 in sets:
                one = scan.best_one(sets[size - 1])
                trials += [] if one is None else [one]
            if size - 2 in sets:
                two = scan.best_two(sets[size - 2])
                trials += [] if two is None else [two]
            found = [
                fit_broken(x, y, errors, _settle(scan, given, trial), given, fixed_spread)
                for trial in trials
            ]
            found = [fit for fit in found if fit.parameters <= len(x)]
            if not found:
                break
            best = min(found, key=lambda fit: fit.chi_square)
            fits.append(best)
            sets[size] = best.breakpoints
            if count is None and _no_more_can_help(fits, len(x)):
                break
    if count is not None:
        best = min(fits, key=lambda fit: (abs(len(fit.breakpoints) - count), fit.chi_square))
    else:
        best = min(fits, key=lambda fit: objective(fit, len(x)))
    return fit_broken(x, y, errors, best.breakpoints, given, fixed_spread, FINE)


def _no_more_can_help(fits: Sequence[Broken], stations: int) -> bool:
    # Three sizes in a row worse than the best: a pair has been tried as well as single ones.
    scores = [objective(fit, stations) for fit in fits]
    return fits[-1].chi_square < penalty(stations) or int(np.argmin(scores)) < len(scores) - 3


def objective(fit: Broken, stations: int) -> float:
    """Chi-square plus the charge for every breakpoint: the smallest wins."""
    return fit.chi_square + penalty(stations) * len(fit.breakpoints)
