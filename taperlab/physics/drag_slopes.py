"""How the drag of a taper moving broadside answers to its length and its diameters."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from taperlab.physics.frustum import Array, floats
from taperlab.physics.sinking import GAUSS_POINTS, GAUSS_SHARES, drag_and_slope
from taperlab.physics.water import WaterState


class DragSlopes(NamedTuple):
    """What drag gains for each unit of one number while the others stay.

    by_length, by_front, by_rear: [N/m].
    """

    by_length: Array
    by_front: Array
    by_rear: Array


def drag_slopes(
    speed: float, length: ArrayLike, front: ArrayLike, rear: ArrayLike, state: WaterState
) -> DragSlopes:
    """Slopes of the drag of straight tapers moving broadside.

    Parameters
    ----------
    speed : speed, its sign is ignored; above zero [m/s]
    length : length [m]
    front : diameter at one end [m]
    rear : diameter at the other end [m]
    state : density and viscosity of the water

    Returns
    -------
    slopes by length, front and rear diameter [N/m]

    Notes
    -----
    With D = rho_w v^2 L/2 times the integral of C_d(Re) d dt from 0 to 1, d = a + (b - a) t and
    C' = dC_d/d ln Re: dD/dL = D/L, dD/da = rho_w v^2 L/2 int (C_d + C') (1 - t) dt,
    dD/db the same with t. With its net weight, (S - 1) of the water's that it displaces, and
    p = C'/C_d, that makes of a level piece d ln v/d ln r = (S/(S - 1))/(2 + p) and
    d ln v/d ln d = 3/(2 + p) - 1. Derived here from :func:`sinking.segment_drag`; the integrals
    are of eight points each.
    """
    size, a, b = np.broadcast_arrays(*floats(length, front, rear))
    v, t = abs(speed), GAUSS_POINTS
    d = a[..., np.newaxis] + (b - a)[..., np.newaxis] * t
    value, slope = drag_and_slope(np.log(d * (v * state.density / state.viscosity)))
    half = 0.5 * state.density * v * size
    both = value + slope
    return DragSlopes(
        half * v / np.where(size > 0.0, size, 1.0) * ((value * d) @ GAUSS_SHARES),
        half * v * (both * (1.0 - t) @ GAUSS_SHARES),
        half * v * (both * t @ GAUSS_SHARES),
    )
