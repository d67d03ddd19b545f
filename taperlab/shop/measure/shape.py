"""The shape of a measured line: diameter along it, as few straight segments as the noise allows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from taperlab.model.measurement import Instruments, Station
from taperlab.physics.frustum import Array
from taperlab.shop.measure.breakpoints import (
    BoolArray,
    Broken,
    basis,
    objective,
    prior_weights,
    search,
)
from taperlab.shop.measure.instruments import rounding_error
from taperlab.shop.measure.outcome import NoFit
from taperlab.shop.measure.stations import Stations, gather
from taperlab.shop.words import feet
from taperlab.units.finding import Finding, Level
from taperlab.units.sentence import Sentence, verbatim

OUTLIER_CHARGE = 20.0
"""What leaving out one station must take off the objective: a reading about 4.5 standard
deviations off, which the noise of twenty stations shows once in some thousands of lines."""

SUSPECTS = 6
MOST_OUTLIERS = 2


class Placed(StrEnum):
    """How a breakpoint came to be where it is."""

    FOUND = "found"
    AT_STATION = "at a station"
    FIXED = "fixed"


@dataclass(frozen=True, eq=False, slots=True)
class ShapeFit:
    """Diameter along a line, straight between nodes, with its uncertainty.

    positions, diameters: the nodes (m,) [m], first at the fly end, last at the rear end.
    covariance: (2 m, 2 m) [m^2] of the positions, then the diameters.
    placed: how each inner node was placed (m - 2,). stations, residuals, used: what was measured,
    by how much each diameter differs from the fit [m], and whether it took part (n,).
    freedom: stations that took part less the numbers fitted.
    """

    positions: Array
    diameters: Array
    covariance: Array
    placed: tuple[Placed, ...]
    stations: Stations
    residuals: Array
    used: BoolArray
    chi_square: float
    freedom: int
    findings: tuple[Finding, ...]

    @property
    def length(self) -> float:
        """Length of the line [m]."""
        return float(self.positions[-1])

    @property
    def position_errors(self) -> Array:
        """Standard deviation of each node's position [m]."""
        return np.asarray(np.sqrt(np.diag(self.covariance)[: len(self.positions)]))

    @property
    def diameter_errors(self) -> Array:
        """Standard deviation of each node's diameter [m]."""
        return np.asarray(np.sqrt(np.diag(self.covariance)[len(self.positions) :]))

    def diameter(self, x: Array) -> Array:
        """Diameter [m] at distances x [m] from the fly end."""
        return np.asarray(np.interp(x, self.positions, self.diameters))

    def gradient(self, x: Array) -> Array:
        """Derivative of the diameter at x to every node position and diameter, (len(x), 2 m)."""
        return diameter_gradient(x, self.positions, self.diameters)

    def diameter_error(self, x: Array) -> Array:
        """Standard deviation of the fitted diameter [m] at distances x [m]."""
        rows = self.gradient(x)
        return np.asarray(np.sqrt(np.einsum("ij,jk,ik->i", rows, self.covariance, rows)))


def diameter_gradient(x: Array, positions: Array, diameters: Array) -> Array:
    """Derivative of the straight-between-nodes diameter at x, shape (len(x), 2 m)."""
    m = len(positions)
    k = np.clip(np.searchsorted(positions, x, side="right") - 1, 0, m - 2)
    width = np.diff(positions)[k]
    share = (x - positions[k]) / width
    slope = np.diff(diameters)[k] / width
    rows = np.zeros((len(x), 2 * m))
    each = np.arange(len(x))
    rows[each, k] = -slope * (1.0 - share)
    rows[each, k + 1] = -slope * share
    rows[each, m + k] = 1.0 - share
    rows[each, m + k + 1] = share
    return rows


def _effective_errors(stations: Stations, fit: Broken, tape: float) -> Array:
    """Diameter errors with the tape's error turned into diameter by the local slope [m]."""
    segment = np.searchsorted(fit.breakpoints, stations.distances)
    slopes = fit.slopes()[segment]
    return np.hypot(stations.errors, slopes * rounding_error(tape))


def _covariance(
    x: Array, errors: Array, fit: Broken, length: float, tape_error: float
) -> tuple[Array, Array]:
    """Node diameters (m,) and covariance (2 m, 2 m) of node positions and diameters."""
    t, c = fit.breakpoints, fit.coefficients
    k = len(t)
    opened = (x[:, np.newaxis] > t).astype(float) + 0.5 * (x[:, np.newaxis] == t)
    jacobian = np.hstack([basis(x, t), -opened * c[2:]]) / errors[:, np.newaxis]
    prior = np.concatenate([prior_weights(k, len(x)), np.zeros(k)])
    # Where stations cannot place a breakpoint at all, it may lie anywhere on the line.
    anywhere = math.sqrt(12.0) / length
    prior[2 + k :] = np.where(fit.spreads > 0.0, 1.0 / np.maximum(fit.spreads, 1e-12), anywhere)
    scales = np.concatenate([[1e-5, 1e-5], np.full(k, 1e-5), np.full(k, 1e-2)])
    information = (jacobian.T @ jacobian + np.diag(prior**2)) * scales * scales[:, np.newaxis]
    inner = np.linalg.inv(information) * scales * scales[:, np.newaxis]

    positions = np.concatenate([[0.0], t, [length]])
    m = k + 2
    slopes = fit.slopes()
    # Rows: node positions, then node diameters; columns: coefficients, breakpoints, the length.
    turn = np.zeros((2 * m, 2 + 2 * k + 1))
    turn[np.arange(1, k + 1), 2 + k + np.arange(k)] = 1.0
    turn[m - 1, -1] = 1.0
    turn[m:, : 2 + k] = basis(positions, t)
    behind = (positions[:, np.newaxis] > t).astype(float)
    turn[m:, 2 + k : 2 + 2 * k] = -behind * c[2:]
    turn[m + np.arange(1, k + 1), 2 + k + np.arange(k)] += slopes[:k]
    turn[2 * m - 1, -1] = slopes[-1]
    whole = np.zeros((2 + 2 * k + 1, 2 + 2 * k + 1))
    whole[:-1, :-1] = inner
    whole[-1, -1] = tape_error**2
    return basis(positions, t) @ c, turn @ whole @ turn.T


def _suspects(stations: Stations, errors: Array, fit: Broken) -> list[int]:
    """Stations that the fit misses, or that hold a short segment up almost alone."""
    x = stations.distances
    off = np.abs(stations.diameters - fit.at(x)) / errors
    counts = np.diff(np.concatenate([[0], np.searchsorted(x, fit.breakpoints), [len(x)]]))
    segment = np.searchsorted(fit.breakpoints, x, side="right")
    thin = counts[segment] <= 2
    near = thin | np.roll(thin, 1) | np.roll(thin, -1)
    # How far a station stands from the straight line between its neighbours.
    spike = np.zeros(len(x))
    share = (x[1:-1] - x[:-2]) / (x[2:] - x[:-2])
    y = stations.diameters
    spike[1:-1] = np.abs(y[1:-1] - y[:-2] - share * (y[2:] - y[:-2])) / errors[1:-1]
    score = np.where((off > 3.0) | near, np.maximum(off, spike), 0.0)
    order = np.argsort(-score)
    return [int(i) for i in order[:SUSPECTS] if score[i] > 3.0]


def _drop_outliers(
    stations: Stations,
    errors: Array,
    fit: Broken,
    fixed: Sequence[float],
    fixed_spread: float,
    count: int | None,
) -> tuple[Broken, BoolArray]:
    used: BoolArray = np.ones(len(errors), dtype=bool)
    x, y = stations.distances, stations.diameters
    for _ in range(MOST_OUTLIERS):
        if used.sum() < 6:
            break
        kept = np.flatnonzero(used)
        view = Stations(x[kept], y[kept], errors[kept])
        best = None
        for i in _suspects(view, errors[kept], fit):
            without = np.delete(kept, i)
            trial = search(x[without], y[without], errors[without], fixed, fixed_spread, count)
            score = objective(trial, len(without)) + OUTLIER_CHARGE
            if score < objective(fit, len(kept)) and (best is None or score < best[0]):
                best = (score, trial, int(kept[i]))
        if best is None:
            break
        fit = best[1]
        used[best[2]] = False
    return fit, used


def _too_scattered(chi_square: float, freedom: int) -> bool:
    """Whether chance alone gives so large a chi-square once in a thousand times.

    Wilson and Hilferty's cube root (Proc. Natl. Acad. Sci. 17, 684, 1931) for the quantile.
    """
    if freedom < 1:
        return False
    spread = 2.0 / (9.0 * freedom)
    return chi_square > freedom * (1.0 - spread + 3.09 * math.sqrt(spread)) ** 3


def _remarks(
    stations: Stations, used: BoolArray, fit: Broken, placed: tuple[Placed, ...], length: float
) -> list[Finding]:
    remarks: list[Finding] = []
    n = len(stations.distances)
    if n == 1:
        remarks.append(
            Finding(
                Level.CAUTION, Sentence("One diameter was measured: the line is taken as level.")
            )
        )
    elif n == 2:
        remarks.append(
            Finding(
                Level.CAUTION,
                Sentence("Two diameters were measured: one straight taper joins them."),
            )
        )
    for i in np.flatnonzero(~used).tolist():
        remarks.append(
            Finding(
                Level.CAUTION,
                verbatim(
                    f"The diameter at {feet(float(stations.distances[i]))} does not fit its "
                    "neighbours and is left out: measure it again."
                ),
            )
        )
    for i, how in enumerate(placed):
        if how is Placed.AT_STATION:
            remarks.append(
                Finding(
                    Level.NOTE,
                    verbatim(
                        f"Too few stations lie near the breakpoint at "
                        f"{feet(float(fit.breakpoints[i]))}: it stands at a station and may be off by "
                        f"{feet(float(fit.spreads[i]) * math.sqrt(3.0))} either way."
                    ),
                    i,
                )
            )
    ends = (("fly", float(stations.distances[0])), ("rear", length - stations.distances[-1]))
    for end, gap in ends:
        if n > 1 and gap > 0.05 * length:
            remarks.append(
                Finding(
                    Level.CAUTION,
                    verbatim(
                        f"The last {feet(float(gap))} at the {end} end hold no station; the fit runs "
                        "straight on there."
                    ),
                )
            )
    return remarks


def fit_shape(
    stations: Sequence[Station],
    length: float,
    instruments: Instruments,
    *,
    fixed: Sequence[float] = (),
    only_fixed: bool = False,
    segments: int | None = None,
) -> ShapeFit | NoFit:
    """Fit a line of straight segments through measured diameters.

    Weighted least squares with the known error of the micrometer; a breakpoint is added only if
    it takes more off chi-square than the noise would. Stations that stand far off their
    neighbours are left out with a finding.

    Parameters
    ----------
    stations : where diameters were read, in any order; repeated readings allowed
    length : whole length of the line [m]
    instruments : steps of the instruments
    fixed : distances of breakpoints that stay where they are [m]
    only_fixed : take no breakpoints but the fixed ones
    segments : how many segments to fit, instead of as many as the noise justifies
    """
    for where in fixed:
        if not 0.0 < where < length:
            return NoFit(
                verbatim(
                    f"The breakpoint at {feet(where)} must lie between the ends of the line, 0 and "
                    f"{feet(length)}."
                )
            )
    points, remarks = gather(stations, length, instruments)
    if not len(points.distances):
        return NoFit(Sentence("Measure at least one diameter on the line."))
    given = sorted(set(fixed))
    tape_error = rounding_error(instruments.tape)
    count = len(given) if only_fixed else (None if segments is None else max(0, segments - 1))
    x, y, errors = points.distances, points.diameters, points.errors
    fit = search(x, y, errors, given, tape_error, count)
    widened = _effective_errors(points, fit, instruments.tape)
    if np.any(widened > 1.02 * errors):
        errors = widened
        fit = search(x, y, errors, given, tape_error, count)
    used: BoolArray = np.ones(len(x), dtype=bool)
    if len(x) >= 6 and count is None:
        fit, used = _drop_outliers(points, errors, fit, given, tape_error, count)
    node_diameters, covariance = _covariance(x[used], errors[used], fit, length, tape_error)
    if np.any(node_diameters <= 0.0):
        return NoFit(
            Sentence("The fit runs to a diameter of zero at an end: measure nearer to the ends.")
        )
    placed = tuple(
        Placed.FIXED
        if any(abs(t - each) < 1e-12 for each in given)
        else (Placed.AT_STATION if spread > 0.0 else Placed.FOUND)
        for t, spread in zip(fit.breakpoints, fit.spreads, strict=True)
    )
    findings = [*remarks, *_remarks(points, used, fit, placed, length)]
    freedom = int(used.sum()) - fit.parameters
    if _too_scattered(fit.chi_square, freedom):
        ratio = fit.chi_square / freedom
        covariance = covariance * ratio
        findings.append(
            Finding(
                Level.CAUTION,
                verbatim(
                    f"The diameters scatter {math.sqrt(ratio):.1f} times as much as the micrometer "
                    "explains; the errors shown are widened to match."
                ),
            )
        )
    return ShapeFit(
        positions=np.concatenate([[0.0], fit.breakpoints, [length]]),
        diameters=node_diameters,
        covariance=covariance,
        placed=placed,
        stations=points,
        residuals=y - fit.at(x),
        used=used,
        chi_square=fit.chi_square,
        freedom=freedom,
        findings=tuple(findings),
    )
