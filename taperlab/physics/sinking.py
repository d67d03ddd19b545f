"""Drag of a line across a flow, and its speed settling in still water: net weight against drag.

Every piece is taken as lying level and straight, far from walls and from its own ends. Speeds
are signed: positive sinks, negative rises.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from taperlab.physics import frustum
from taperlab.physics.frustum import QUARTER_PI, Array, Taper, floats
from taperlab.physics.water import WaterState

STANDARD_GRAVITY = 9.80665
"""Standard acceleration of free fall [m/s^2], exact by definition (NIST SP 811, app. B.8)."""

_LOG_4500 = float(np.log(4500.0))


def drag_and_slope(log_reynolds: Array) -> tuple[Array, Array]:
    """Drag coefficient of a circular cylinder in cross-flow, on its frontal area; and its slope.

    Parameters
    ----------
    log_reynolds : natural logarithm of the Reynolds number, which is speed times diameter over
        kinematic viscosity [1]

    Returns
    -------
    drag coefficient, and its derivative by the logarithm of the Reynolds number [1]

    Notes
    -----
    11 Re^-0.75 + 0.9 (1 - exp(-1000/Re)) + 1.2 (1 - exp(-(Re/4500)^0.7)). N.-S. Cheng,
    Journal of Hydraulic Engineering 139, 602-611 (2013), as quoted by others; given for
    Re < 2e5, while a settling line stays below 3000. It gives 2.873 at Re 10, 1.329 at 100, 0.984
    at 1000, 0.973 at 5000. Against values gathered from experiment and computation it lies between
    -4 and +7 % for Re from 5 to 5000, where lines settle; below Re 2 it runs high (+16 % at Re 1).

    Solvers work in the logarithm because the curve is nearly straight in it, and numpy does
    exponentials much faster than powers.
    """
    viscous = 11.0 * np.exp(-0.75 * log_reynolds)
    # Beyond these bounds both exponentials have long reached 0 or 1.
    u = 1000.0 * np.exp(-np.clip(log_reynolds, -50.0, 50.0))
    fading = np.exp(-u)
    w = np.exp(0.7 * (np.minimum(log_reynolds, 50.0) - _LOG_4500))
    rising = np.exp(-w)
    value = viscous + 0.9 * -np.expm1(-u) + 1.2 * -np.expm1(-w)
    slope = -0.75 * viscous - 0.9 * u * fading + 0.84 * w * rising
    return value, slope


# Where the search for a Reynolds number starts: C_d Re^2 rises all the way (each of the three
# terms of the drag formula does), so a table of its logarithm can be read backwards.
_LOG_RE = np.linspace(np.log(1e-6), np.log(1e7), 600)
_LOG_FORCE = np.log(drag_and_slope(_LOG_RE)[0]) + 2.0 * _LOG_RE

# Gauss-Legendre integration with eight points, on 0 to 1: half of the points and weights in
# Abramowitz and Stegun (1964), Handbook of Mathematical Functions, table 25.4. To have numpy
# work them out takes as long as a whole analysis.
_HALF = np.array([0.183434642495650, 0.525532409916329, 0.796666477413627, 0.960289856497536])
_SHARE = np.array([0.362683783378362, 0.313706645877887, 0.222381034453374, 0.101228536290376])
GAUSS_POINTS = (np.concatenate((-_HALF[::-1], _HALF)) + 1.0) / 2.0
GAUSS_SHARES = np.concatenate((_SHARE[::-1], _SHARE)) / 2.0
"""The integral from 0 to 1 is the sum of a function at ``GAUSS_POINTS`` times these."""

_CHUNK = 40_000  # drag evaluations at a time: small enough to stay in the processor's cache
_TOLERANCE = 1e-13
_MOST_STEPS = 60


def _log_reynolds(log_force: Array) -> Array:
    """Solve ln(C_d Re^2) = log_force for ln Re, by Newton steps from a table read backwards.

    The curve is nearly straight, beyond the table too, so they close in from the first.
    """
    x = np.interp(log_force, _LOG_FORCE, _LOG_RE)
    for _ in range(_MOST_STEPS):
        value, slope = drag_and_slope(x)
        step = (np.log(value) + 2.0 * x - log_force) / (slope / value + 2.0)
        x = x - step
        if np.all(np.abs(step) <= _TOLERANCE * np.maximum(1.0, np.abs(x))):
            break
    return np.asarray(x)


def sink_rate(diameter: ArrayLike, linear_density: ArrayLike, state: WaterState) -> Array:
    """Terminal speed of a long level cylinder; 0 where it is as dense as the water.

    Parameters
    ----------
    diameter : diameter [m]
    linear_density : mass per length, core and coating together [kg/m]
    state : density and viscosity of the water

    Returns
    -------
    speed, positive sinking, negative rising [m/s]

    Notes
    -----
    Net weight per length, (linear density - rho_w pi/4 d^2) g, equals drag per length,
    C_d rho_w d v^2 / 2. With Re = rho_w v d / mu this is C_d(Re) Re^2 = 2 rho_w d / mu^2 times
    the net weight per length, and the left side rises all the way, so there is one speed. C_d
    after Cheng (2013), see :func:`drag_and_slope`.
    """
    d, mass = np.broadcast_arrays(*floats(diameter, linear_density))
    excess = _excess(mass, state.density * QUARTER_PI * d**2)
    force = 2.0 * STANDARD_GRAVITY * state.density / state.viscosity**2 * d * np.abs(excess)
    moves = force > 0.0
    reynolds = np.exp(_log_reynolds(np.log(np.where(moves, force, 1.0))))
    speed = reynolds * (state.viscosity / state.density) / d
    return np.asarray(np.where(moves, np.copysign(speed, excess), 0.0))


def _excess(mass: Array, displaced: Array) -> Array:
    """Mass beyond the water displaced; exactly 0 where they differ by rounding alone."""
    excess = mass - displaced
    return np.asarray(np.where(np.abs(excess) <= 1e-14 * displaced, 0.0, excess))


def _sections(front: Array, rear: Array) -> tuple[Array, Array]:
    """Logarithms of diameters along a taper, and the share of d dx that each stands for.

    Both get one more axis, at the end. Points are spaced by the logarithm of the diameter, in
    which drag is smooth over any taper: integral of f(d) d dx = length * sum(share * f).
    """
    log_front = np.log(front)
    ratio = np.log(rear) - log_front
    log_d = log_front[..., np.newaxis] + ratio[..., np.newaxis] * GAUSS_POINTS
    # ln(r) / (r - 1) without loss of digits as r tends to 1.
    flare = np.expm1(ratio)
    level = np.abs(ratio) < 1e-9
    mean = np.where(level, 1.0 - ratio / 2.0, ratio / np.where(level, 1.0, flare))
    share = np.exp(2.0 * log_d) * (mean / front)[..., np.newaxis] * GAUSS_SHARES
    return log_d, share


def segment_drag(speed: ArrayLike, taper: Taper, state: WaterState) -> Array:
    """Drag of a straight taper moving broadside, whatever it weighs.

    Parameters
    ----------
    speed : speed, its sign is ignored [m/s]
    taper : its length and diameters
    state : density and viscosity of the water

    Returns
    -------
    force against the motion [N]

    Notes
    -----
    C_d(Re) rho_w d v^2 / 2 integrated over the length by Gauss-Legendre quadrature.
    """
    v, size, front, rear = np.broadcast_arrays(
        *floats(speed), taper.length, taper.front, taper.rear
    )
    log_d, share = _sections(front, rear)
    v = np.abs(v)
    moves = v > 0.0
    log_v = np.log(np.where(moves, v, 1.0) * (state.density / state.viscosity))
    value, _ = drag_and_slope(log_v[..., np.newaxis] + log_d)
    force = 0.5 * state.density * v**2 * size * np.sum(share * value, axis=-1)
    return np.asarray(np.where(moves, force, 0.0))


def body_sink_rate(
    lengths: ArrayLike,
    front_diameters: ArrayLike,
    rear_diameters: ArrayLike,
    masses: ArrayLike,
    state: WaterState,
    *,
    weights: ArrayLike = 1.0,
    extra_mass: ArrayLike = 0.0,
) -> Array:
    """The one speed at which several tapered segments settle together.

    Segments lie along the last axis, k of them; all other axes are independent lines. A segment
    of no length or no weight counts for nothing, so lines of unequal size can be padded.

    Parameters
    ----------
    lengths : lengths (..., k) [m]
    front_diameters : diameters at the front (..., k) [m]
    rear_diameters : diameters at the rear (..., k) [m]
    masses : masses of the segments, cores included (..., k) [kg]
    state : density and viscosity of the water
    weights : 1 for a segment that counts, 0 for one that does not (..., k) [1]
    extra_mass : sleeves, glue and the like (...); taken as having neither volume nor drag [kg]

    Returns
    -------
    speed (...), positive sinking, negative rising; nan where no segment counts [m/s]

    Notes
    -----
    Total net weight, (sum of masses - rho_w * sum of volumes) g, equals total drag; the drag of
    each segment is that of :func:`segment_drag`. Drag rises with speed, so there is one answer.
    """
    given = floats(lengths, front_diameters, rear_diameters, masses, weights)
    size, front, rear, mass, weight = np.broadcast_arrays(*map(np.atleast_1d, given))
    shape = np.broadcast_shapes(size.shape[:-1], np.shape(extra_mass))
    k = size.shape[-1]
    lines = int(np.prod(shape))
    rates = np.full(lines, np.nan)
    if k:
        size, front, rear, mass, weight = (
            np.broadcast_to(a, (*shape, k)).reshape(lines, k)
            for a in (size, front, rear, mass, weight)
        )
        extra = np.broadcast_to(np.asarray(extra_mass, dtype=float), shape).reshape(lines)
        rows = max(1, _CHUNK // (k * len(GAUSS_POINTS)))
        for start in range(0, lines, rows):
            i = slice(start, start + rows)
            rates[i] = _body_sink_rates(
                size[i], front[i], rear[i], mass[i], weight[i], extra[i], state
            )
    return np.asarray(rates.reshape(shape))


def _body_sink_rates(
    size: Array,
    front: Array,
    rear: Array,
    mass: Array,
    weight: Array,
    extra: Array,
    state: WaterState,
) -> Array:
    """Rows of :func:`body_sink_rate`, all two-dimensional and small enough for the cache."""
    counts = (size > 0.0) & (weight > 0.0)
    size = np.where(counts, size * weight, 0.0)
    front, rear = np.where(counts, front, 1e-3), np.where(counts, rear, 1e-3)
    volume = frustum.volume(size, front, rear)
    total = np.where(counts, mass * weight, 0.0).sum(axis=-1) + extra
    excess = _excess(total, state.density * volume.sum(axis=-1))
    frontal = (size * (front + rear) / 2.0).sum(axis=-1)
    moves = (excess != 0.0) & (frontal > 0.0)

    # In units of mu^2 / rho_w drag is half the sum of C_d (rho_w v d / mu)^2 dx / d, so with
    # y = ln(rho_w v / mu) it is exp(2 y) / 2 * sum(share * C_d(y + ln d)).
    log_d, share = _sections(front, rear)
    share = (share * size[..., np.newaxis]).reshape(len(size), -1)
    log_d = log_d.reshape(len(size), -1)
    force = 2.0 * STANDARD_GRAVITY * state.density / state.viscosity**2 * np.abs(excess)
    log_force = np.log(np.where(moves, force, 1.0))
    # Start from one level cylinder of the same length, frontal area and net weight.
    length = np.where(moves, size.sum(axis=-1), 1.0)
    mean_d = np.where(moves, frontal, 1.0) / length
    y = _log_reynolds(log_force + np.log(mean_d / length)) - np.log(mean_d)
    share = np.where(moves[:, np.newaxis], share, 1.0)
    for _ in range(_MOST_STEPS):
        value, slope = drag_and_slope(y[:, np.newaxis] + log_d)
        drag = np.einsum("ij,ij->i", share, value)
        bend = np.einsum("ij,ij->i", share, slope)
        # The logarithm of drag rises between 1.2 and 2.1 times as fast as y and is almost
        # straight, so Newton's steps shrink from the first; 1 is far more than any needs.
        step = (np.log(drag) + 2.0 * y - log_force) / (bend / drag + 2.0)
        y = y - np.clip(np.where(moves, step, 0.0), -1.0, 1.0)
        if np.all(np.abs(step[moves]) <= 1e-9):
            # Newton squares the error: a step of 1e-9 leaves one near 1e-18.
            break
    speed = np.exp(y) * (state.viscosity / state.density)
    still = np.where(frontal > 0.0, 0.0, np.nan)
    return np.asarray(np.where(moves, np.copysign(speed, excess), still))


def density_for_sink_rate(rate: ArrayLike, taper: Taper, state: WaterState) -> Array:
    """Mean density, in place of its own, at which a segment settles as one body at a speed.

    Parameters
    ----------
    rate : speed, positive sinking, negative rising [m/s]
    taper : its length and diameters
    state : density and viscosity of the water

    Returns
    -------
    density [kg/m^3]

    Raises
    ------
    ValueError : if it would have to rise faster than a body without weight

    Notes
    -----
    Net weight must equal the drag at that speed, so rho = rho_w +- drag / (g volume).
    """
    force = np.copysign(segment_drag(rate, taper, state), rate)
    density = state.density + force / (STANDARD_GRAVITY * taper.volume())
    if not np.all(density > 0.0):
        raise ValueError("no material is light enough to rise that fast")
    return np.asarray(density)
