"""How the force on what settles at a given speed answers to a line's numbers.

Held to a speed, net weight less drag is smooth in every number, through neutral too, and needs no
root: a line settles faster than v just where that force is above zero at v.
"""

from __future__ import annotations

import numpy as np

from taperlab.physics.drag_slopes import drag_slopes
from taperlab.physics.frustum import QUARTER_PI, Array
from taperlab.physics.sinking import STANDARD_GRAVITY, body_sink_rate
from taperlab.physics.slopes import Sloped
from taperlab.physics.water import WaterState


def net_force(rows: Sloped, within: Array, speed: float, state: WaterState) -> tuple[float, Array]:
    """Net weight of what counts less its drag at a speed [m/s], downward [N]; its slopes (4, n).

    ``within`` (n,): 1 for each row that counts with its loops and sleeves. Positive where it would
    settle faster than ``speed``, which is negative for rising; 0 at its sink rate.

    Notes
    -----
    g (M - rho_w V) less the drag of :func:`sinking.segment_drag`, by the same quadrature over the
    length. Line folded into a loop has volume and drag of its own.
    """
    a, b, size = rows.fronts, rows.rears, rows.lengths
    folds = rows.fittings.front_fold, rows.fittings.rear_fold
    third = QUARTER_PI / 3.0
    volumes = third * size * (a * a + a * b + b * b)
    volumes = volumes + QUARTER_PI * (folds[0] * a * a + folds[1] * b * b)
    none = np.zeros_like(a)
    by_volume = np.array(
        [
            third * (a * a + a * b + b * b),
            third * size * (2.0 * a + b) + 2.0 * QUARTER_PI * folds[0] * a,
            third * size * (a + 2.0 * b) + 2.0 * QUARTER_PI * folds[1] * b,
            none,
        ]
    )
    drags, by_drag = _drag(rows, abs(speed), state)
    sign = float(np.sign(speed))
    force = STANDARD_GRAVITY * (rows.masses - state.density * volumes) - sign * drags
    slopes = STANDARD_GRAVITY * (rows.mass_slopes - state.density * by_volume) - sign * by_drag
    return float(force @ within), np.asarray(slopes * within)


def settling_rate(rows: Sloped, within: Array, state: WaterState) -> float:
    """Speed [m/s] at which what counts settles together, positive sinking.

    As :meth:`profile.Profile.sink_rate` has it, which is where it is explained.
    """
    folds = rows.fittings.front_fold, rows.fittings.rear_fold
    a, b = rows.fronts, rows.rears
    none = np.zeros_like(a)
    beside = rows.masses - rows.plain_masses
    return float(
        body_sink_rate(
            np.concatenate((rows.lengths, *folds)),
            np.concatenate((a, a, b)),
            np.concatenate((b, a, b)),
            np.concatenate((rows.plain_masses, none, none)),
            state,
            weights=np.concatenate((within, within, within)),
            extra_mass=float(beside @ within),
        )
    )


def _drag(rows: Sloped, speed: float, state: WaterState) -> tuple[Array, Array]:
    """Drag of each row with its loops at a speed [N], and its slopes (4, n)."""
    a, b, count = rows.fronts, rows.rears, len(rows.lengths)
    if speed == 0.0:
        return np.zeros(count), np.zeros((4, count))
    sizes = np.concatenate((rows.lengths, rows.fittings.front_fold, rows.fittings.rear_fold))
    found = drag_slopes(speed, sizes, np.concatenate((a, a, b)), np.concatenate((b, a, b)), state)
    by_length, by_front, by_rear = (each.reshape(3, count) for each in found)
    # What is folded is level: both of its ends are the end that it is folded from.
    own, at_front, at_rear = sizes.reshape(3, count) * by_length
    slopes = np.array(
        [
            by_length[0],
            by_front[0] + by_front[1] + by_rear[1],
            by_rear[0] + by_front[2] + by_rear[2],
            np.zeros(count),
        ]
    )
    return own + at_front + at_rear, slopes
