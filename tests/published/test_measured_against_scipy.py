"""Fitted shapes against least squares by scipy on the same data, and their errors.

scipy.optimize.least_squares: the trust-region method of Branch, Coleman and Li (SIAM J. Sci.
Comput. 21, 1, 1999), which keeps within bounds.

Every statistical check names what it expects and runs over all seeds from 0 on; its bounds are
those that a right program crosses once in a thousand times (SURE).
"""

import math
import os
from collections.abc import Callable
from itertools import product

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.stats import binom, norm

from taperlab.model.exact_units import FOOT, INCH
from taperlab.model.measurement import USUAL, Station
from taperlab.shop.errors import diameter_error
from taperlab.shop.measure.shape import ShapeFit
from tests.measured import fit_shape

THOU = 0.001 * INCH
LENGTH = 30 * FOOT
SURE = 0.001

FITS = int(os.environ.get("TAPERLAB_FITS") or 25)
"""Noisy lines of each shape; what is asserted leaves room for as few."""


def measured(seed: int, nodes: np.ndarray, diameters: np.ndarray, count: int) -> ShapeFit:
    rng = np.random.default_rng(seed)
    x = np.linspace(0.0, nodes[-1], count)
    noisy = np.interp(x, nodes, diameters) + rng.normal(0.0, USUAL.scatter, count)
    read = np.round(noisy / USUAL.micrometer) * USUAL.micrometer
    tape = np.clip(np.round(x / USUAL.tape) * USUAL.tape, 0.0, nodes[-1])
    rows = [Station(float(a), (float(d),)) for a, d in zip(tape, read, strict=True)]
    fit = fit_shape(rows, float(nodes[-1]), USUAL)
    assert isinstance(fit, ShapeFit)
    return fit


NODES = np.array([0.0, 9.0, 25.0, 30.0]) * FOOT
DIAMETERS = np.array([36.0, 62.0, 62.0, 42.0]) * THOU

NOTICED = 1e-6
"""The search ends where no move takes more than this off chi-square."""


def nodes_of(p: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Positions and diameters [m] of nodes; p: breakpoints [ft], then all diameters [thou]."""
    inner = (len(p) - 2) // 2
    return np.concatenate([[0.0], p[:inner] * FOOT, [LENGTH]]), p[inner:] * THOU


def misfit(p: np.ndarray, x: np.ndarray, y: np.ndarray, sigma: np.ndarray) -> np.ndarray:
    """Residuals over their errors."""
    return (np.interp(x, *nodes_of(p)) - y) / sigma


def tension(p: np.ndarray) -> np.ndarray:
    """The first slope and every change of slope over their plausible sizes, 0.001 and 0.01.

    By these the fit keeps in bounds what the stations cannot tell.
    """
    nodes, diameters = nodes_of(p)
    slopes = np.diff(diameters) / np.diff(nodes)
    return np.concatenate([slopes[:1] / 1e-3, np.diff(slopes) / 1e-2])


def central(function: Callable[[np.ndarray], np.ndarray], p: np.ndarray) -> np.ndarray:
    """Derivatives by central differences, (n, len(p)).

    Where a breakpoint stands on a station the derivative has a jump; its two sides count alike.
    """
    steps = 1e-6 * np.eye(len(p))
    return np.array([(function(p + step) - function(p - step)) / 2e-6 for step in steps]).T


def least_near(fit: ShapeFit) -> tuple[float, np.ndarray]:
    """The least chi-square with each breakpoint in its gap between stations or one of the next two.

    The sum of squares has a kink wherever a breakpoint passes a station, but none between: every
    way to deal the breakpoints out to the gaps is solved on its own.
    """
    x, y = fit.stations.distances, fit.stations.diameters
    sigma = fit.stations.errors
    gap = np.searchsorted(x, fit.positions[1:-1])
    best: tuple[float, np.ndarray] = (math.inf, np.array([]))
    for shifts in product((-2, -1, 0, 1, 2), repeat=len(gap)):
        # A segment with fewer than two stations of its own would hold whatever it is put to.
        rear = gap + shifts
        if np.any(np.diff([0, *rear, len(x)]) < 2):
            continue
        low, high = x[rear - 1] / FOOT, x[rear] / FOOT
        guess = np.concatenate([(low + high) / 2.0, fit.diameters / THOU])
        wide = np.full(len(fit.diameters), np.inf)
        bounds = (np.concatenate([low, -wide]), np.concatenate([high, wide]))
        found = least_squares(
            misfit, guess, bounds=bounds, args=(x, y, sigma), xtol=1e-12, ftol=1e-12, gtol=1e-12
        )
        if 2.0 * found.cost < best[0]:
            best = 2.0 * found.cost, found.x
    return best


@pytest.mark.parametrize("seed", range(max(8, FITS // 3)))
def test_shape_and_its_errors_agree_with_scipy(seed: int) -> None:
    fit = measured(seed, NODES, DIAMETERS, 31)
    least, found = least_near(fit)
    x, sigma = fit.stations.distances, fit.stations.errors
    p = np.concatenate([fit.positions[1:-1] / FOOT, fit.diameters / THOU])
    rows, tense = central(lambda q: misfit(q, x, 0.0 * x, sigma), p), central(tension, p)
    information = rows.T @ rows
    # Besides chi-square the fit makes the squares of the tension T small. To first order that
    # moves it by C T'^T T, with C the inverse of J^T J, and adds T^T T' C T'^T T to chi-square.
    pull = tense.T @ tension(p)
    close = NOTICED + 2.0 * float(pull @ np.linalg.solve(information, pull))
    assert least * (1.0 - 1e-9) <= fit.chi_square <= least + close
    # Whatever adds no more than that lies within so many standard deviations.
    # A breakpoint may lie anywhere on the line, sure within its length over sqrt(12).
    anywhere = np.where(np.arange(len(p)) < len(p) // 2 - 1, 12.0 * (FOOT / LENGTH) ** 2, 0.0)
    known = information + tense.T @ tense + np.diag(anywhere)
    errors = np.sqrt(np.diag(np.linalg.inv(known)))
    wider = max(1.0, fit.chi_square / fit.freedom) if is_scattered(fit) else 1.0
    assert np.all(np.abs(p - found) <= math.sqrt(2.0 * close) * errors)
    # The stated errors: those of the normal matrix; the tape's error in the length of the line,
    # 1/8 in / sqrt(12) on the last slope, comes to that of the last diameter.
    nodes, diameters = nodes_of(p)
    slope = (diameters[-1] - diameters[-2]) / (nodes[-1] - nodes[-2])
    errors[-1] = math.hypot(errors[-1], slope * USUAL.tape / math.sqrt(12.0) / THOU)
    stated = np.concatenate([fit.errors.positions[1:-1] / FOOT, fit.errors.diameters / THOU])
    assert stated == pytest.approx(math.sqrt(wider) * errors, rel=1e-4)


def is_scattered(fit: ShapeFit) -> bool:
    return any("scatter" in str(finding.sentence) for finding in fit.findings)


SHAPES = {
    "taper, belly, rear taper": (NODES, DIAMETERS, 31),
    "belly, long front": (
        np.array([0.0, 22.0, 50.0]) * FOOT,
        np.array([34.0, 80.0, 80.0]) * THOU,
        26,
    ),
    "head and running line": (
        np.array([0.0, 12.0, 30.0, 36.0, 70.0]) * FOOT,
        np.array([38.0, 84.0, 84.0, 34.0, 34.0]) * THOU,
        71,
    ),
}


def chance_of_one_more(nodes: np.ndarray, diameters: np.ndarray, count: int) -> float:
    """At most how likely noise alone makes one more breakpoint pass 3 ln n somewhere on the line.

    The column of one more hinge, beside those of a fit whose breakpoints are free, runs as a unit
    vector along a curve as the hinge moves along the line. Noise has more than c along one of its
    ends or between with a chance of at most 2 (1 - Phi(c)) + exp(-c^2 / 2) L / pi, with L the
    length of the curve (Davies, Biometrika 64, 247, 1977; both signs).
    """
    x = np.linspace(0.0, nodes[-1], count)
    t = nodes[1:-1]
    ahead = x[:, np.newaxis] - t
    columns = np.column_stack([np.ones(count), x, np.maximum(0.0, ahead), ahead > 0.0])
    q = np.linalg.qr(columns)[0]
    # Two stations at least on both sides: with one, a hinge is no breakpoint but a reading.
    hinges = np.maximum(0.0, x[:, np.newaxis] - np.linspace(x[1], x[-2], 20_000))
    hinges = hinges - q @ (q.T @ hinges)
    size = np.linalg.norm(hinges, axis=0)
    along = hinges[:, size > 1e-6] / size[size > 1e-6]
    length = float(np.linalg.norm(np.diff(along, axis=1), axis=0).sum())
    squared = 3.0 * math.log(count)
    tail = 2.0 * norm.sf(math.sqrt(squared))
    return float(tail + math.exp(-squared / 2.0) * length / math.pi)


def covers(inside: list[np.ndarray]) -> bool:
    """Whether the stated 95 % cover the truth in so many of 100, line by line.

    What is inside on one line hangs together: the lines' own scatter says how far their mean may
    lie from 95 %.
    """
    shares = np.array([each.mean() for each in inside])
    reach = norm.isf(SURE / 2.0) * shares.std(ddof=1) / math.sqrt(len(shares))
    return bool(abs(shares.mean() - 0.95) <= reach)


@pytest.mark.parametrize("name", SHAPES)
def test_breakpoints_of_noisy_lines_are_recovered_within_their_stated_error(name: str) -> None:
    nodes, diameters, count = SHAPES[name]
    fits = [measured(seed, nodes, diameters, count) for seed in range(FITS)]
    right = [fit for fit in fits if len(fit.positions) == len(nodes)]
    # None too few: each corner is worth hundreds in chi-square. One too many as often as noise may.
    assert all(len(fit.positions) >= len(nodes) for fit in fits)
    too_many = len(fits) - len(right)
    assert too_many <= binom.isf(SURE, len(fits), chance_of_one_more(nodes, diameters, count))
    assert covers(
        [
            np.abs(
                np.concatenate(
                    [
                        (fit.positions - nodes)[1:-1] / fit.errors.positions[1:-1],
                        (fit.diameters - diameters) / fit.errors.diameters,
                    ]
                )
            )
            < 1.96
            for fit in right
        ]
    )


def test_the_error_of_one_diameter_is_its_scatter_with_the_rounding() -> None:
    # The deviation of so many readings is itself known within 1 / sqrt(2 n) of it, 0.5 %.
    rng = np.random.default_rng(1)
    true = rng.uniform(30.0, 80.0, 20000) * THOU
    read = np.round((true + rng.normal(0.0, USUAL.scatter, true.size)) / USUAL.micrometer)
    off = read * USUAL.micrometer - true
    assert off.std() == pytest.approx(diameter_error(USUAL, 1), rel=norm.isf(SURE / 2.0) * 0.005)
