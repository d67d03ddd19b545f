"""Closed-form inverses of weight: the density or diameter that a weight asks for.

Functions broadcast over arrays; a core of diameter 0 stands for "no core". They answer the
algebra alone: a weight that only a negative density could give gets a negative density, one that
no diameter could give gets nan, and a section without coating gets inf or nan.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from taperlab.physics.frustum import QUARTER_PI, Array, volume


def density_for_mass(
    mass: ArrayLike,
    length: ArrayLike,
    front_diameter: ArrayLike,
    rear_diameter: ArrayLike,
    core_diameter: ArrayLike = 0.0,
    core_density: ArrayLike = 0.0,
) -> Array:
    """Density of a segment, or of its coating if there is a core, that gives it a mass.

    Parameters
    ----------
    mass : mass of the segment [kg]
    length : length [m]
    front_diameter : diameter at the front [m]
    rear_diameter : diameter at the rear [m]
    core_diameter : diameter of the core, 0 for none [m]
    core_density : density of the core [kg/m^3]

    Returns
    -------
    density [kg/m^3]

    Notes
    -----
    :func:`taperlab.physics.frustum.mass` solved for the density, in which it is linear.
    """
    core = QUARTER_PI * np.asarray(core_diameter, dtype=float) ** 2 * np.asarray(length)
    coat = volume(length, front_diameter, rear_diameter) - core
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        return np.asarray((np.asarray(mass) - np.asarray(core_density) * core) / coat)


def scale_for_mass(
    mass: ArrayLike,
    length: ArrayLike,
    front_diameter: ArrayLike,
    rear_diameter: ArrayLike,
    density: ArrayLike,
    core_diameter: ArrayLike = 0.0,
    core_density: ArrayLike = 0.0,
) -> Array:
    """Factor on both diameters of a segment, its core left alone, that gives it a mass.

    Parameters
    ----------
    mass : mass of the segment [kg]
    length : length [m]
    front_diameter : diameter at the front [m]
    rear_diameter : diameter at the rear [m]
    density : density, or of the coating if there is a core [kg/m^3]
    core_diameter : diameter of the core, 0 for none [m]
    core_density : density of the core [kg/m^3]

    Returns
    -------
    factor [1]

    Notes
    -----
    :func:`taperlab.physics.frustum.mass` solved for the square of the factor, in which it is
    linear.
    """
    rho = np.asarray(density, dtype=float)
    core = QUARTER_PI * np.asarray(core_diameter, dtype=float) ** 2 * np.asarray(length)
    coat_alone = np.asarray(mass) - (np.asarray(core_density) - rho) * core
    with np.errstate(invalid="ignore", over="ignore"):
        return np.asarray(
            np.sqrt(coat_alone / (rho * volume(length, front_diameter, rear_diameter)))
        )


def density_for_linear_density(
    linear_density: ArrayLike,
    diameter: ArrayLike,
    core_diameter: ArrayLike = 0.0,
    core_density: ArrayLike = 0.0,
) -> Array:
    """Density of a section, or of its coating if there is a core, that gives a mass per length.

    Parameters
    ----------
    linear_density : mass per length [kg/m]
    diameter : outer diameter [m]
    core_diameter : diameter of the core, 0 for none [m]
    core_density : density of the core [kg/m^3]

    Returns
    -------
    density [kg/m^3]

    Notes
    -----
    :func:`taperlab.physics.frustum.linear_density` solved for the density.
    """
    core = QUARTER_PI * np.asarray(core_diameter, dtype=float) ** 2
    coat = QUARTER_PI * np.asarray(diameter, dtype=float) ** 2 - core
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        return np.asarray((np.asarray(linear_density) - np.asarray(core_density) * core) / coat)


def diameter_for_linear_density(
    linear_density: ArrayLike,
    density: ArrayLike,
    core_diameter: ArrayLike = 0.0,
    core_density: ArrayLike = 0.0,
) -> Array:
    """Outer diameter of a section that gives a mass per length.

    Parameters
    ----------
    linear_density : mass per length [kg/m]
    density : density, or of the coating if there is a core [kg/m^3]
    core_diameter : diameter of the core, 0 for none [m]
    core_density : density of the core [kg/m^3]

    Returns
    -------
    outer diameter [m]

    Notes
    -----
    :func:`taperlab.physics.frustum.linear_density` solved for the square of the diameter.
    """
    rho = np.asarray(density, dtype=float)
    core = QUARTER_PI * np.asarray(core_diameter, dtype=float) ** 2
    coat_alone = np.asarray(linear_density) - (np.asarray(core_density) - rho) * core
    with np.errstate(invalid="ignore", over="ignore"):
        return np.asarray(np.sqrt(coat_alone / (QUARTER_PI * rho)))
