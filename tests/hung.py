"""A tight line integrated another way: forces as vectors, steps and order chosen by scipy.

Nothing here comes from the program but what a rig is made of and the formula for the drag
coefficient: the balance d(T t)/ds + F = 0 is written in x and z, F as the drag of the part of the
current across the line, the friction of the part along it, and the weight.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from scipy.constants import g
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from taperlab.physics.rigging import Rigging
from taperlab.physics.sinking import drag_and_slope
from taperlab.physics.water import WaterState

BARE = 1e-6


def cylinder(reynolds: float) -> float:
    return float(drag_and_slope(np.asarray(math.log(max(reynolds, 1e-6))))[0])


def depth_by_scipy(
    rig: Rigging,
    state: WaterState,
    speed: float,
    *,
    skin: float = 0.008,
    tolerance: float = 1e-8,
    method: str = "LSODA",
    share: Callable[[float], float] = lambda z: 1.0,
) -> float:
    """Depth of the fly [m]: how far the highest point of the line lies above it.

    share: of the speed at a height above the fly [m].
    """
    rho, nu = state.density, state.viscosity / state.density
    joints = rig.joint_weights(state)
    at_fly = speed * share(0.0)
    load = np.array([0.5 * rho * rig.fly_drag * at_fly**2, -g * rig.fly_weight - joints[0]])
    y = np.concatenate((-load, [0.0, 0.0]))
    highest = 0.0
    for i, length in enumerate(rig.lengths):

        def weight(d: float, i: int = i) -> float:
            return g * (rig.coat[i] * d**2 + rig.core[i] - rho * math.pi / 4.0 * d**2)

        def thickness(s: float, i: int = i, length: float = length) -> float:
            return float(rig.front[i] + (rig.rear[i] - rig.front[i]) * s / length)

        def force(s: float, t: np.ndarray, z: float = 0.0) -> np.ndarray:
            d, current = thickness(s), np.array([speed * share(z), 0.0])
            along = float(current @ t) * t
            across = current - along
            pace = float(np.linalg.norm(across))
            normal = 0.5 * rho * cylinder(pace * d / nu) * d * pace * across
            friction = 0.5 * rho * skin * math.pi * d * float(np.linalg.norm(along)) * along
            return normal + friction - np.array([0.0, weight(d)])

        def balance(s: float, y: np.ndarray) -> np.ndarray:
            t = y[:2] / (math.hypot(y[0], y[1]) + 1e-30)
            return np.concatenate((-force(s, t, float(y[3])), t))

        begin = 0.0
        if i == 0 and np.linalg.norm(load) == 0.0:
            # A bare end is straight where nothing pushes it aside: the angle by halving.
            begin = BARE * length
            down = math.copysign(1.0, weight(thickness(0.0)))
            low, high = 0.0, math.pi / 2.0
            for _ in range(60):
                phi = (low + high) / 2.0
                t = np.array([-math.cos(phi), down * math.sin(phi)])
                aside = down * float(force(0.0, t) @ [down * math.sin(phi), math.cos(phi)])
                low, high = (low, phi) if aside > 0.0 else (phi, high)
            t = np.array([-math.cos(low), down * math.sin(low)])
            tension = -float(force(0.0, t) @ t) * begin
            y = np.concatenate((tension * t, begin * t))
        found = solve_ivp(
            balance,
            (begin, length),
            y,
            method=method,
            rtol=tolerance,
            atol=1e-12,
            dense_output=True,
        )
        assert found.success
        highest = max(highest, float(found.sol(np.linspace(begin, length, 3000))[3].max()))
        y = found.y[:, -1].copy()
        y[1] += joints[i + 1]
    return highest


def depth_in_river(rig: Rigging, state: WaterState, speed: float, bed: float) -> float:
    """Depth [m] at which a fly in (height over the bed / its depth)^(1/6) of the speed hangs.

    nan where it hangs free at no depth: the first change of sign from the surface down.
    """

    def over(fly: float) -> float:
        def share(z: float) -> float:
            return min(max(1.0 - (fly - z) / bed, 0.0), 1.0) ** (1.0 / 6.0)

        return depth_by_scipy(rig, state, speed, tolerance=1e-7, share=share) - fly

    tried = np.linspace(0.0, bed, 13)
    found = [over(float(fly)) for fly in tried]
    for low, high, one, other in zip(tried, tried[1:], found, found[1:], strict=False):
        if one > 0.0 >= other:
            return float(brentq(over, low, high, xtol=1e-6))
    return 0.0 if found[0] <= 0.0 else math.nan
