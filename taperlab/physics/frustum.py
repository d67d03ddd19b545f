"""Weight of a straight taper, in closed form.

A segment's diameter runs straight from front to rear and its make-up does not change, so its
mass per length is a quadratic in the distance, its mass a cubic and its first moment a quartic.
All functions broadcast over arrays; a core of diameter 0 stands for "no core".
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

QUARTER_PI = np.pi / 4.0


def linear_density(
    diameter: ArrayLike,
    density: ArrayLike,
    core_diameter: ArrayLike = 0.0,
    core_density: ArrayLike = 0.0,
) -> Array:
    """Mass per length of a round section, coating round a core.

    Parameters
    ----------
    diameter : outer diameter [m]
    density : density of the section, or of the coating if there is a core [kg/m^3]
    core_diameter : diameter of the core, 0 for none [m]
    core_density : density of the core [kg/m^3]

    Returns
    -------
    mass per length [kg/m]

    Notes
    -----
    pi/4 (rho d^2 + (rho_core - rho) d_core^2): the area of the circle (Euclid) twice.
    """
    rho = np.asarray(density, dtype=float)
    d = np.asarray(diameter, dtype=float)
    core = np.asarray(core_diameter, dtype=float)
    return np.asarray(
        QUARTER_PI * (rho * d**2 + (np.asarray(core_density, dtype=float) - rho) * core**2)
    )


def volume(length: ArrayLike, front_diameter: ArrayLike, rear_diameter: ArrayLike) -> Array:
    """Volume of a frustum of a cone.

    Parameters
    ----------
    length : length along the axis [m]
    front_diameter : diameter at one end [m]
    rear_diameter : diameter at the other end [m]

    Returns
    -------
    volume [m^3]

    Notes
    -----
    pi L/12 (d1^2 + d1 d2 + d2^2): Bronshtein & Semendyayev, Handbook of Mathematics,
    section 3.3.4, frustum of a right circular cone.
    """
    d1, d2 = np.asarray(front_diameter, dtype=float), np.asarray(rear_diameter, dtype=float)
    return np.asarray(np.pi / 12.0 * np.asarray(length, dtype=float) * (d1**2 + d1 * d2 + d2**2))


def mass(
    length: ArrayLike,
    front_diameter: ArrayLike,
    rear_diameter: ArrayLike,
    density: ArrayLike,
    core_diameter: ArrayLike = 0.0,
    core_density: ArrayLike = 0.0,
) -> Array:
    """Mass of a whole segment.

    Parameters
    ----------
    length : length [m]
    front_diameter : diameter at the front [m]
    rear_diameter : diameter at the rear [m]
    density : density, or of the coating if there is a core [kg/m^3]
    core_diameter : diameter of the core, 0 for none [m]
    core_density : density of the core [kg/m^3]

    Returns
    -------
    mass [kg]
    """
    rho = np.asarray(density, dtype=float)
    core = np.asarray(core_diameter, dtype=float)
    extra = (np.asarray(core_density, dtype=float) - rho) * QUARTER_PI * core**2
    return np.asarray(
        rho * volume(length, front_diameter, rear_diameter)
        + extra * np.asarray(length, dtype=float)
    )


def mass_to(
    distance: ArrayLike,
    length: ArrayLike,
    front_diameter: ArrayLike,
    rear_diameter: ArrayLike,
    density: ArrayLike,
    core_diameter: ArrayLike = 0.0,
    core_density: ArrayLike = 0.0,
) -> Array:
    """Mass from a segment's front end to a distance inside it.

    Parameters
    ----------
    distance : distance from the segment's front end, from 0 to length [m]
    length : length of the whole segment [m]
    front_diameter : diameter at the front [m]
    rear_diameter : diameter at the rear [m]
    density : density, or of the coating if there is a core [kg/m^3]
    core_diameter : diameter of the core, 0 for none [m]
    core_density : density of the core [kg/m^3]

    Returns
    -------
    mass [kg]
    """
    d1, d2 = np.asarray(front_diameter, dtype=float), np.asarray(rear_diameter, dtype=float)
    x = np.asarray(distance, dtype=float)
    there = d1 + (d2 - d1) * x / np.asarray(length, dtype=float)
    return mass(x, d1, there, density, core_diameter, core_density)


def first_moment(
    length: ArrayLike,
    front_diameter: ArrayLike,
    rear_diameter: ArrayLike,
    density: ArrayLike,
    core_diameter: ArrayLike = 0.0,
    core_density: ArrayLike = 0.0,
) -> Array:
    """Integral of mass per length times distance from the segment's front end.

    Parameters
    ----------
    length : length [m]
    front_diameter : diameter at the front [m]
    rear_diameter : diameter at the rear [m]
    density : density, or of the coating if there is a core [kg/m^3]
    core_diameter : diameter of the core, 0 for none [m]
    core_density : density of the core [kg/m^3]

    Returns
    -------
    first moment [kg*m]; divided by the mass it is the distance of the centre of mass

    Notes
    -----
    The integral of (a (d1 + s x)^2 + b) x from 0 to L, term by term.
    """
    d1, d2 = np.asarray(front_diameter, dtype=float), np.asarray(rear_diameter, dtype=float)
    rho = np.asarray(density, dtype=float)
    core = np.asarray(core_diameter, dtype=float)
    squared = np.asarray(length, dtype=float) ** 2
    # d1^2/2 + 2 d1 (d2 - d1)/3 + (d2 - d1)^2/4, gathered so that equal ends lose no digits.
    coat = rho * (d1**2 + 2.0 * d1 * d2 + 3.0 * d2**2) / 12.0
    extra = (np.asarray(core_density, dtype=float) - rho) * core**2 / 2.0
    return np.asarray(QUARTER_PI * squared * (coat + extra))


def distance_of_mass(
    target: ArrayLike,
    length: ArrayLike,
    front_diameter: ArrayLike,
    rear_diameter: ArrayLike,
    density: ArrayLike,
    core_diameter: ArrayLike = 0.0,
    core_density: ArrayLike = 0.0,
) -> Array:
    """Distance from a segment's front end within which a given mass lies.

    The inverse of :func:`mass_to`, by Newton steps kept inside a shrinking bracket: mass per
    length is never negative, so the mass rises all the way and the root is the only one.

    Parameters
    ----------
    target : mass to find, clipped to what the segment holds [kg]
    length : length of the whole segment [m]
    front_diameter : diameter at the front [m]
    rear_diameter : diameter at the rear [m]
    density : density, or of the coating if there is a core [kg/m^3]
    core_diameter : diameter of the core, 0 for none [m]
    core_density : density of the core [kg/m^3]

    Returns
    -------
    distance from the front end [m]
    """
    wanted, size, d1, d2, rho, core, core_rho = np.broadcast_arrays(
        *(
            np.asarray(value, dtype=float)
            for value in (
                target,
                length,
                front_diameter,
                rear_diameter,
                density,
                core_diameter,
                core_density,
            )
        )
    )
    whole = mass(size, d1, d2, rho, core, core_rho)
    wanted = np.clip(wanted, 0.0, whole)
    low, high = np.zeros_like(size), np.array(size, dtype=float)
    x = size * wanted / whole
    for _ in range(60):
        over = mass_to(x, size, d1, d2, rho, core, core_rho) - wanted
        low, high = np.where(over <= 0.0, x, low), np.where(over >= 0.0, x, high)
        slope = linear_density(d1 + (d2 - d1) * x / size, rho, core, core_rho)
        step = x - over / slope
        step = np.where((step >= low) & (step <= high), step, (low + high) / 2.0)
        if np.all(np.abs(step - x) <= 4e-16 * size):
            return np.asarray(step)
        x = step
    return np.asarray(x)
