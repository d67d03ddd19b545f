"""Drag across a line by Reynolds number, quick to look up; and how a bare line lies in a stream."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from taperlab.physics.frustum import Array
from taperlab.physics.sinking import drag_and_slope

_LOWEST_RE = 1e-6


class Drag:
    """A drag coefficient by Reynolds number, read from a table: of a smooth cylinder, or constant.

    Parameters
    ----------
    constant : the coefficient, where it is the same at every Reynolds number [1]
    """

    def __init__(self, constant: float | None = None) -> None:
        self._start = math.log(_LOWEST_RE)
        self._per = 512.0
        logs = self._start + np.arange(int(30.0 * self._per)) / self._per
        values = drag_and_slope(logs)[0] if constant is None else np.full(len(logs), constant)
        self._last = len(logs) - 2
        self._values, self._rises = values, np.diff(values, append=values[-1])
        self._value_list, self._rise_list = self._values.tolist(), self._rises.tolist()

    def at(self, reynolds: float) -> float:
        """The coefficient at one Reynolds number [1]."""
        place = (math.log(max(reynolds, _LOWEST_RE)) - self._start) * self._per
        i = min(int(place), self._last)
        value: float = self._value_list[i] + (place - i) * self._rise_list[i]
        return value

    def at_many(self, reynolds: Array) -> Array:
        """The coefficient at many Reynolds numbers [1]."""
        place = (np.log(np.maximum(reynolds, _LOWEST_RE)) - self._start) * self._per
        i = np.minimum(place.astype(np.intp), self._last)
        return np.asarray(self._values[i] + (place - i) * self._rises[i])


@lru_cache(maxsize=8)
def drag_law(constant: float | None = None) -> Drag:
    """The drag of a smooth cylinder, or a constant coefficient [1]."""
    return Drag(constant)


def critical_angle(weight: Array, diameter: Array, speed: Array, rho: float, drag: Array) -> Array:
    """Angle with the current of a long straight line without anything at its end.

    Parameters
    ----------
    weight : weight in water of a length, without its sign [N/m]
    diameter : diameter [m]
    speed : speed of the current [m/s]
    rho : density of the water [kg/m^3]
    drag : drag coefficient across the line [1]

    Returns
    -------
    angle [rad]

    Notes
    -----
    w cos phi = R sin^2 phi with R = rho C_d d u^2 / 2, so cos phi = (sqrt(k^2 + 4) - k) / 2 with
    k = w / R, written so that it loses no digits. Pode (1951), as quoted by Zajac (1957), eq. 6.
    """
    broadside = 0.5 * rho * drag * diameter * speed**2
    with np.errstate(divide="ignore", invalid="ignore"):
        k = np.where(broadside > 0.0, weight / broadside, np.inf)
        cosine = 2.0 / (k + np.sqrt(k * k + 4.0))
        # sin^2 = k cos, which keeps small angles.
        sine = np.sqrt(np.where(np.isinf(k), 1.0, k * cosine))
    found = np.arctan2(sine, cosine)
    return np.asarray(np.where((broadside <= 0.0) & (weight <= 0.0), 0.0, found))
