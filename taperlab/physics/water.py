"""Density and viscosity of the water that a line sinks in, at one atmosphere."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from taperlab.model.water import COLDEST, SALTIEST, WARMEST, ZERO_CELSIUS, Water, WaterKind
from taperlab.physics.frustum import Array

ABSOLUTE_SALINITY_AT_35 = 0.03516504
"""Salt [kg/kg] in standard sea water of practical salinity 35 (Millero et al. 2008)."""


def practical_salinity(salinity: ArrayLike) -> Array:
    """Practical salinity (PSS-78) of standard sea water, as an instrument reads it.

    Parameters
    ----------
    salinity : absolute salinity [kg/kg]

    Returns
    -------
    practical salinity [1]

    Notes
    -----
    35 / 35.16504 of the absolute salinity in g/kg: F. J. Millero, R. Feistel, D. G. Wright and
    T. J. McDougall, Deep-Sea Research I 55, 50-72 (2008). 35 g/kg are 34.836.
    """
    return np.asarray(np.asarray(salinity, dtype=float) * (35.0 / ABSOLUTE_SALINITY_AT_35))


@dataclass(frozen=True, slots=True)
class WaterState:
    """What sinking needs to know of a water: density [kg/m^3] and viscosity [Pa*s]."""

    density: float
    viscosity: float


@lru_cache(maxsize=256)
def water_state(water: Water) -> WaterState:
    """Density and viscosity of a water; its own limits keep both formulas within their ranges."""
    if water.kind is WaterKind.FRESH:
        density, salinity = fresh_density(water.temperature), 0.0
    else:
        density, salinity = sea_density(water.temperature, water.salinity), water.salinity
    return WaterState(float(density), float(viscosity(water.temperature, salinity)))


def _celsius(temperature: ArrayLike, coldest: float) -> Array:
    kelvin = np.asarray(temperature, dtype=float)
    if not np.all((kelvin >= coldest) & (kelvin <= WARMEST)):
        low, high = coldest - ZERO_CELSIUS, WARMEST - ZERO_CELSIUS
        raise ValueError(
            f"water temperature must be from {low:.0f} to {high:.0f} °C, given in kelvin"
        )
    return np.asarray(kelvin - ZERO_CELSIUS)


def _salinity(salinity: ArrayLike) -> Array:
    salt = np.asarray(salinity, dtype=float)
    if not np.all((salt >= 0.0) & (salt <= SALTIEST)):
        raise ValueError("salinity must be from 0 to 42 g/kg, given in kg/kg")
    return salt


def fresh_density(temperature: ArrayLike) -> Array:
    """Density of air-free fresh water at one atmosphere.

    Parameters
    ----------
    temperature : temperature on ITS-90, from 0 to 40 °C [K]

    Returns
    -------
    density [kg/m^3]

    Raises
    ------
    ValueError : if a temperature is out of range

    Notes
    -----
    a5 (1 - (t + a1)^2 (t + a2) / (a3 (t + a4))), t in °C. M. Tanaka, G. Girard, R. Davis,
    A. Peuto and N. Bignell, Metrologia 38, 301-309 (2001), eq. 1; stated uncertainty below
    0.001 kg/m^3. At 20 °C: 998.2067.
    """
    t = _celsius(temperature, ZERO_CELSIUS)
    return np.asarray(
        999.974950 * (1.0 - (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881)))
    )


def sea_density(temperature: ArrayLike, salinity: ArrayLike) -> Array:
    """Density of sea water at one atmosphere, by the equation of state EOS-80.

    Parameters
    ----------
    temperature : temperature on ITS-90, from -2 to 40 °C [K]
    salinity : absolute salinity, from 0 to 0.042 [kg/kg]

    Returns
    -------
    density [kg/m^3]

    Raises
    ------
    ValueError : if a temperature or a salinity is out of range

    Notes
    -----
    N. P. Fofonoff and R. C. Millard, UNESCO Technical Papers in Marine Science 44 (1983). Its
    temperature is on IPTS-68, taken as 1.00024 times that on ITS-90; its practical salinity is
    taken as the absolute salinity times 35 / 0.03516504, which holds for standard sea water.
    """
    return eos80_density(
        1.00024 * _celsius(temperature, COLDEST),
        practical_salinity(_salinity(salinity)),
    )


def eos80_density(celsius_68: ArrayLike, practical_salinity: ArrayLike) -> Array:
    """EOS-80 at one atmosphere in its own variables.

    Parameters
    ----------
    celsius_68 : temperature on IPTS-68, in °C [1]
    practical_salinity : practical salinity, PSS-78 [1]

    Returns
    -------
    density [kg/m^3]

    Notes
    -----
    Fofonoff and Millard, UNESCO Technical Papers in Marine Science 44 (1983), with the pure-water
    polynomial of Bigg (1967). Check value there: 1027.67547 at salinity 35 and 5 °C.
    """
    t = np.asarray(celsius_68, dtype=float)
    s = np.asarray(practical_salinity, dtype=float)
    pure = np.polyval(
        (6.536332e-9, -1.120083e-6, 1.001685e-4, -9.095290e-3, 6.793952e-2, 999.842594), t
    )
    a = np.polyval((5.3875e-9, -8.2467e-7, 7.6438e-5, -4.0899e-3, 8.24493e-1), t)
    b = np.polyval((-1.6546e-6, 1.0227e-4, -5.72466e-3), t)
    return np.asarray(pure + s * (a + b * np.sqrt(s) + 4.8314e-4 * s))


def viscosity(temperature: ArrayLike, salinity: ArrayLike = 0.0) -> Array:
    """Dynamic viscosity of fresh or sea water at one atmosphere.

    Parameters
    ----------
    temperature : temperature, from -2 to 40 °C [K]
    salinity : absolute salinity, from 0 to 0.042 [kg/kg]

    Returns
    -------
    dynamic viscosity [Pa*s]

    Raises
    ------
    ValueError : if a temperature or a salinity is out of range

    Notes
    -----
    M. H. Sharqawy, J. H. Lienhard V and S. M. Zubair, Desalination and Water Treatment 16,
    354-380 (2010), eqs 22 and 23: 0 to 180 °C, 0 to 0.15 kg/kg, stated accuracy 1.5 % (0.05 %
    for fresh water). Sea water from -2 to 0 °C is a short extrapolation. At 25 °C and 0.035:
    958.8 micropascal seconds.
    """
    t = _celsius(temperature, COLDEST)
    s = _salinity(salinity)
    fresh = 4.2844e-5 + 1.0 / (0.157 * (t + 64.993) ** 2 - 91.296)
    a = 1.541 + 1.998e-2 * t - 9.52e-5 * t**2
    b = 7.974 - 7.561e-2 * t + 4.724e-4 * t**2
    return np.asarray(fresh * (1.0 + a * s + b * s**2))
