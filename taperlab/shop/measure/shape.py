"""The shape of a measured line: diameter along it, as few straight segments as the noise allows."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.measurement import Measurement
from taperlab.physics.frustum import Array
from taperlab.shop.errors import rounding_error
from taperlab.shop.measure.breakpoints import (
    Broken,
    Given,
    Placed,
    basis,
    moves,
    polish,
    prior_weights,
    search,
)
from taperlab.shop.measure.outcome import NoFit, caution
from taperlab.shop.measure.slip_words import slip_findings
from taperlab.shop.measure.slips import Doubt, LeftOut, sift_steps
from taperlab.shop.measure.state import Fitted, State
from taperlab.shop.measure.stations import Stations, gather
from taperlab.shop.steps import Steps, part
from taperlab.units.finding import Finding
from taperlab.units.sentence import Number, OnTape, Sentence

__all__ = ["Placed", "ShapeFit", "shape_steps"]

WIDER = 1.02
"""The tape's error counts where it widens a diameter's by more than this factor."""


@dataclass(frozen=True, eq=False, slots=True)
class ShapeFit(Fitted):
    """Diameter along a line, straight between nodes, with its uncertainty.

    placed: how each inner node was placed (m - 2,). stations, residuals: the places that are
    kept, with their mean diameters, and by how much each differs from the fit [m], (n,).
    left_out, doubts: readings that took no part, and places to be read again.
    freedom: stations that took part less the numbers fitted.
    """

    placed: tuple[Placed, ...]
    stations: Stations
    residuals: Array
    left_out: tuple[LeftOut, ...]
    doubts: tuple[Doubt, ...]
    chi_square: float
    freedom: int
    findings: tuple[Finding, ...]

    @property
    def is_scattered(self) -> bool:
        """Whether the diameters scatter more than their errors explain."""
        return _too_scattered(self.chi_square, self.freedom)


def shape_steps(measurement: Measurement) -> Steps[ShapeFit | NoFit]:
    """Fit a line of straight segments through measured diameters.

    Weighted least squares with the known error of the micrometer; a breakpoint is added only if
    it takes more off chi-square than the noise would. Slips of the hand are left out with a
    finding. Breakpoints that are fixed stay where they are.
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
    places, odd = gather(measurement.stations, length, instruments)
    if not places:
        return NoFit(Sentence("Measure at least one diameter on the line."))
    given = Given(tuple(sorted(set(fixed))), rounding_error(instruments.tape))
    sifted = yield from part(sift_steps(places, instruments, given), 0.0, 0.7)
    points, noise, fit = sifted.kept, sifted.noise, sifted.fit
    if only_fixed:
        fit = yield from part(search(points, given, only_given=True, noise=noise), 0.7, 0.8)
    weighed = _with_tape(points, fit, given.spread)
    if np.any(weighed.errors > WIDER * points.errors):
        steps = search(weighed, given, only_given=only_fixed, noise=noise)
        fit = yield from part(steps, 0.8, 0.95)
    else:
        weighed = points
    fit = yield from part(polish(weighed, fit), 0.95, 1.0)
    state, covariance = _nodes(weighed, fit, length, given.spread)
    if np.any(state.diameters <= 0.0):
        return NoFit(
            Sentence("The fit runs to a diameter of zero at an end: measure nearer to the ends.")
        )
    findings = [*odd, *slip_findings(sifted), *_remarks(points)]
    freedom = len(points) - fit.parameters
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
        sifted.left_out,
        sifted.doubts,
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


def _too_scattered(chi_square: float, freedom: int) -> bool:
    """Whether chance alone gives so large a chi-square once in a thousand times.

    Wilson and Hilferty's cube root (Proc. Natl. Acad. Sci. 17, 684, 1931) for the quantile.
    """
    if freedom < 1:
        return False
    spread = 2.0 / (9.0 * freedom)
    return chi_square > freedom * (1.0 - spread + 3.09 * math.sqrt(spread)) ** 3


def _remarks(points: Stations) -> list[Finding]:
    said = []
    if len(points) == 1:
        said.append(Sentence("One diameter was measured: the line is taken as level."))
    elif len(points) == 2:
        said.append(Sentence("Two diameters were measured: one straight taper joins them."))
    return [caution(each) for each in said]
