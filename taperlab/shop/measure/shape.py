"""The shape of a measured line: diameter along it, as few straight segments as the noise allows."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.measurement import Measurement
from taperlab.physics.frustum import Array
from taperlab.shop.measure.breakpoints import (
    BoolArray,
    Broken,
    Given,
    Placed,
    basis,
    moves,
    objective,
    polish,
    prior_weights,
    search,
)
from taperlab.shop.measure.instruments import rounding_error
from taperlab.shop.measure.outcome import NoFit, caution, note
from taperlab.shop.measure.state import Fitted, State
from taperlab.shop.measure.stations import Stations, gather
from taperlab.shop.steps import Steps, part
from taperlab.units.finding import Finding
from taperlab.units.sentence import Number, OnTape, Sentence

__all__ = ["Placed", "ShapeFit", "shape_steps"]

OUTLIER_CHARGE = 20.0
"""What leaving out one station must take off the objective: a reading about 4.5 standard
deviations off, which the noise of twenty stations shows once in some thousands of lines."""

SUSPECT = 3.0
"""Standard deviations off the fit, or off its neighbours, from which a station is suspected."""

SUSPECTS = 6
MOST_OUTLIERS = 2
FEWEST_TO_CHOOSE_FROM = 6

WIDER = 1.02
"""The tape's error counts where it widens a diameter's by more than this factor."""

BARE_END = 0.05
"""A share of the line without a station at one end from which it is remarked on."""


@dataclass(frozen=True, eq=False, slots=True)
class ShapeFit(Fitted):
    """Diameter along a line, straight between nodes, with its uncertainty.

    placed: how each inner node was placed (m - 2,). stations, residuals, used: what was measured,
    by how much each diameter differs from the fit [m], and whether it took part (n,).
    freedom: stations that took part less the numbers fitted.
    """

    placed: tuple[Placed, ...]
    stations: Stations
    residuals: Array
    used: BoolArray
    chi_square: float
    freedom: int
    findings: tuple[Finding, ...]

    def diameter_error(self, x: Array) -> Array:
        """Standard deviation of the fitted diameter [m] at distances x [m]."""
        return self.error(self.state.diameter_gradient(x))


def shape_steps(measurement: Measurement) -> Steps[ShapeFit | NoFit]:
    """Fit a line of straight segments through measured diameters.

    Weighted least squares with the known error of the micrometer; a breakpoint is added only if
    it takes more off chi-square than the noise would. Stations that stand far off their
    neighbours are left out with a finding. Breakpoints that are fixed stay where they are.
    """
    length, instruments = measurement.length, measurement.instruments
    fixed, only_fixed = measurement.breakpoints, measurement.only_fixed
    for where in fixed:
        if not 0.0 < where < length:
            return NoFit(
                Sentence(
                    "The breakpoint at {place} must lie between the ends of the line, 0 and {end}.",
                    place=OnTape(where),
                    end=OnTape(length),
                )
            )
    points, odd = gather(measurement.stations, length, instruments)
    if not len(points):
        return NoFit(Sentence("Measure at least one diameter on the line."))
    given = Given(tuple(sorted(set(fixed))), rounding_error(instruments.tape))
    fit = yield from part(search(points, given, only_given=only_fixed), 0.0, 0.2)
    weighed = _with_tape(points, fit, given.spread)
    if np.any(weighed.errors > WIDER * points.errors):
        fit = yield from part(search(weighed, given, only_given=only_fixed), 0.2, 0.4)
    else:
        weighed = points
    used: BoolArray = np.ones(len(points), dtype=bool)
    if not only_fixed:
        fit, used = yield from part(_drop_outliers(weighed, fit, given), 0.4, 0.95)
    fit = yield from part(polish(weighed.at(used), fit), 0.95, 1.0)
    state, covariance = _nodes(weighed.at(used), fit, length, given.spread)
    if np.any(state.diameters <= 0.0):
        return NoFit(
            Sentence("The fit runs to a diameter of zero at an end: measure nearer to the ends.")
        )
    findings = [*odd, *_remarks(points, used, fit, length)]
    freedom = int(used.sum()) - fit.parameters
    if _too_scattered(fit.chi_square, freedom):
        ratio = fit.chi_square / freedom
        covariance = covariance * ratio
        scattered = Sentence(
            "The diameters scatter {times} times as much as the micrometer explains; the errors "
            "shown are widened to match.",
            times=Number(math.sqrt(ratio), 1),
        )
        findings.append(caution(scattered))
    return ShapeFit(
        state,
        covariance,
        fit.placed,
        points,
        points.diameters - fit.at(points.distances),
        used,
        fit.chi_square,
        freedom,
        tuple(findings),
    )


def _with_tape(points: Stations, fit: Broken, tape_error: float) -> Stations:
    """The stations with the tape's error turned into diameter by the local slope."""
    segment = np.searchsorted(fit.breakpoints, points.distances)
    return replace(points, errors=np.hypot(points.errors, fit.slopes()[segment] * tape_error))


def _nodes(points: Stations, fit: Broken, length: float, tape_error: float) -> tuple[State, Array]:
    """Node positions and diameters of a broken line, and their covariance (2 m, 2 m).

    The covariance of coefficients, breakpoints and length is the inverse of their information:
    J^T J with J the derivatives of all diameters over their errors, the priors and the tape's
    added. The nodes' own follows by their derivatives D with respect to these numbers, D C D^T.
    """
    t, c = fit.breakpoints, fit.coefficients
    x = points.distances
    jacobian = np.hstack([basis(x, t), moves(x, t, c)]) / points.errors[:, np.newaxis]
    # Where stations cannot place a breakpoint at all, it may lie anywhere on the line.
    anywhere = length / math.sqrt(12.0)
    spreads = np.where(fit.spreads > 0.0, np.maximum(fit.spreads, 1e-12), anywhere)
    prior = np.concatenate([prior_weights(len(t), len(points)), 1.0 / spreads])
    information = jacobian.T @ jacobian + np.diag(prior**2)
    # Near one in these units, so that the inverse is exact.
    scales = np.concatenate([np.full(len(c), 1e-5), np.full(len(t), 1e-2)])
    inner = np.linalg.inv(information * np.outer(scales, scales)) * np.outer(scales, scales)
    known = np.block(
        [[inner, np.zeros((len(inner), 1))], [np.zeros((1, len(inner))), tape_error**2]]
    )

    positions = np.concatenate([[0.0], t, [length]])
    nodes = np.eye(len(positions))
    by_breakpoints, by_length = nodes[:, 1:-1], nodes[:, -1:]
    # A node that moves takes the diameter of the segment ahead of it along.
    ahead = np.concatenate([[0.0], fit.slopes()])[:, np.newaxis]
    behind = -1.0 * (positions[:, np.newaxis] > t) * c[2:]
    turn = np.block(
        [
            [np.zeros((len(positions), len(c))), by_breakpoints, by_length],
            [basis(positions, t), behind + ahead * by_breakpoints, ahead * by_length],
        ]
    )
    return State.of(positions, basis(positions, t) @ c), turn @ known @ turn.T


# -- stations that do not fit -----------------------------------------------------------------


def _drop_outliers(points: Stations, fit: Broken, given: Given) -> Steps[tuple[Broken, BoolArray]]:
    """Leave out the stations without which the rest fits so much better that noise is no excuse.

    One at a time, the best first. Returns the fit to the others, and which these are.
    """
    used: BoolArray = np.ones(len(points), dtype=bool)
    for turn in range(MOST_OUTLIERS):
        kept = np.flatnonzero(used)
        if len(kept) < FEWEST_TO_CHOOSE_FROM:
            break
        suspects = _suspects(points.at(kept), fit)
        least, worst = objective(fit, len(kept)), None
        for number, suspect in enumerate(suspects):
            without = np.delete(kept, suspect)
            start = (turn + number / len(suspects)) / MOST_OUTLIERS
            steps = search(points.at(without), given)
            trial = yield from part(steps, start, start + 1.0 / len(suspects) / MOST_OUTLIERS)
            score = objective(trial, len(without)) + OUTLIER_CHARGE
            if score < least:
                least, worst, fit_without = score, kept[suspect], trial
        if worst is None:
            break
        fit = fit_without
        used[worst] = False
    return fit, used


def _suspects(points: Stations, fit: Broken) -> list[int]:
    """Stations that the fit misses, or that hold a short segment up almost alone."""
    x, y, errors = points.distances, points.diameters, points.errors
    off = np.abs(y - fit.at(x)) / errors
    counts = np.diff(np.concatenate([[0], np.searchsorted(x, fit.breakpoints), [len(x)]]))
    segment = np.searchsorted(fit.breakpoints, x, side="right")
    thin = counts[segment] <= 2
    near = thin | np.roll(thin, 1) | np.roll(thin, -1)
    # How far a station stands from the straight line between its neighbours.
    spike = np.zeros(len(x))
    share = (x[1:-1] - x[:-2]) / (x[2:] - x[:-2])
    spike[1:-1] = np.abs(y[1:-1] - y[:-2] - share * (y[2:] - y[:-2])) / errors[1:-1]
    score = np.where((off > SUSPECT) | near, np.maximum(off, spike), 0.0)
    order = np.argsort(-score)
    return [int(i) for i in order[:SUSPECTS] if score[i] > SUSPECT]


def _too_scattered(chi_square: float, freedom: int) -> bool:
    """Whether chance alone gives so large a chi-square once in a thousand times.

    Wilson and Hilferty's cube root (Proc. Natl. Acad. Sci. 17, 684, 1931) for the quantile.
    """
    if freedom < 1:
        return False
    spread = 2.0 / (9.0 * freedom)
    return chi_square > freedom * (1.0 - spread + 3.09 * math.sqrt(spread)) ** 3


def _remarks(points: Stations, used: BoolArray, fit: Broken, length: float) -> list[Finding]:
    said = []
    if len(points) == 1:
        said.append(Sentence("One diameter was measured: the line is taken as level."))
    elif len(points) == 2:
        said.append(Sentence("Two diameters were measured: one straight taper joins them."))
    said += [
        Sentence(
            "The diameter at {place} does not fit its neighbours and is left out: measure it "
            "again.",
            place=OnTape(place),
        )
        for place in points.distances[~used].tolist()
    ]
    pinned = [
        note(
            Sentence(
                "Too few stations lie near the breakpoint at {place}: it stands at a station and "
                "may be off by {reach} either way.",
                place=OnTape(float(fit.breakpoints[i])),
                reach=OnTape(float(fit.spreads[i]) * math.sqrt(3.0)),
            ),
            i,
        )
        for i, how in enumerate(fit.placed)
        if how is Placed.AT_STATION
    ]
    ends = []
    ahead, behind = float(points.distances[0]), float(length - points.distances[-1])
    if len(points) > 1 and ahead > BARE_END * length:
        ends.append(
            Sentence(
                "The last {gap} at the fly end hold no station; the fit runs straight on there.",
                gap=OnTape(ahead),
            )
        )
    if len(points) > 1 and behind > BARE_END * length:
        ends.append(
            Sentence(
                "The last {gap} at the rod end hold no station; the fit runs straight on there.",
                gap=OnTape(behind),
            )
        )
    return [*map(caution, said), *pinned, *map(caution, ends)]
