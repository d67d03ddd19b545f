"""Weight of a straight taper, in closed form, and the inverses: what a weight asks for.

A segment's diameter runs straight from front to rear and its make-up does not change, so its
mass per length is a quadratic in the distance, its mass a cubic and its first moment a quartic.
All broadcast over arrays; a core of diameter 0 stands for "no core".

The inverses answer the algebra alone: a weight that only a negative density could give gets a
negative density, one that no diameter could give gets nan, and a section without coating gets inf
or nan.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

QUARTER_PI = np.pi / 4.0


def floats(*values: ArrayLike) -> tuple[Array, ...]:
    """Each as an array of floats, in whatever unit it is [1]."""
    return tuple(np.asarray(value, dtype=float) for value in values)


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
    d, rho, core, core_rho = floats(diameter, density, core_diameter, core_density)
    return np.asarray(QUARTER_PI * (rho * d**2 + (core_rho - rho) * core**2))


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
    size, d1, d2 = floats(length, front_diameter, rear_diameter)
    return np.asarray(np.pi / 12.0 * size * (d1**2 + d1 * d2 + d2**2))


class Taper:
    """Straight tapers, each of one make-up: any number of them, or one.

    Parameters
    ----------
    length : length [m]
    front : diameter at the front [m]
    rear : diameter at the rear [m]
    density : density, or of the coating if there is a core [kg/m^3]
    core : diameter of the core, 0 for none [m]
    core_density : density of the core [kg/m^3]
    """

    def __init__(
        self,
        length: ArrayLike,
        front: ArrayLike,
        rear: ArrayLike,
        density: ArrayLike,
        core: ArrayLike = 0.0,
        core_density: ArrayLike = 0.0,
    ) -> None:
        self.length, self.front, self.rear, self.density, self.core, self.core_density = floats(
            length, front, rear, density, core, core_density
        )

    def volume(self) -> Array:
        """Volume [m^3], cores included: :func:`volume`."""
        return volume(self.length, self.front, self.rear)

    def linear_density(self, diameter: ArrayLike) -> Array:
        """Mass per length [kg/m] where they are this thick [m]: :func:`linear_density`."""
        return linear_density(diameter, self.density, self.core, self.core_density)

    def _core_excess(self) -> Array:
        """Mass per length [kg/m] by which the core outweighs coating in its place."""
        return np.asarray((self.core_density - self.density) * QUARTER_PI * self.core**2)

    def mass(self) -> Array:
        """Mass of the whole [kg]."""
        return np.asarray(self.density * self.volume() + self._core_excess() * self.length)

    def mass_to(self, distance: ArrayLike) -> Array:
        """Mass [kg] from the front end to a distance inside [m], from 0 to the length."""
        (x,) = floats(distance)
        there = self.front + (self.rear - self.front) * x / self.length
        return Taper(x, self.front, there, self.density, self.core, self.core_density).mass()

    def first_moment(self) -> Array:
        """Integral of mass per length times distance from the front end [kg*m].

        Divided by the mass it is the distance of the centre of mass. The integral of
        (a (d1 + s x)^2 + b) x from 0 to L, term by term.
        """
        d1, d2 = self.front, self.rear
        # d1^2/2 + 2 d1 (d2 - d1)/3 + (d2 - d1)^2/4, gathered so that equal ends lose no digits.
        coat = QUARTER_PI * self.density * (d1**2 + 2.0 * d1 * d2 + 3.0 * d2**2) / 12.0
        return np.asarray(self.length**2 * (coat + self._core_excess() / 2.0))

    def distance_of_mass(self, target: ArrayLike) -> Array:
        """Distance [m] from the front end within which a mass lies [kg], clipped to the whole.

        The inverse of :meth:`mass_to`, by Newton steps kept inside a shrinking bracket: mass per
        length is never negative, so the mass rises all the way and the root is the only one.
        """
        whole = self.mass()
        wanted = np.clip(floats(target)[0], 0.0, whole)
        low, high = np.zeros_like(wanted), np.broadcast_to(self.length, wanted.shape)
        x = self.length * wanted / whole
        for _ in range(60):
            over = self.mass_to(x) - wanted
            low, high = np.where(over <= 0.0, x, low), np.where(over >= 0.0, x, high)
            there = self.front + (self.rear - self.front) * x / self.length
            step = x - over / self.linear_density(there)
            step = np.where((step >= low) & (step <= high), step, (low + high) / 2.0)
            if np.all(np.abs(step - x) <= 4e-16 * self.length):
                return np.asarray(step)
            x = step
        return np.asarray(x)

    def density_for_mass(self, mass: ArrayLike) -> Array:
        """Density [kg/m^3] in place of their own, or of the coating, that gives a mass [kg].

        :meth:`mass` solved for the density, in which it is linear.
        """
        core = QUARTER_PI * self.core**2 * self.length
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            coat = floats(mass)[0] - self.core_density * core
            return np.asarray(coat / (self.volume() - core))

    def scale_for_mass(self, mass: ArrayLike) -> Array:
        """Factor [1] on both diameters, the core left alone, that gives a mass [kg].

        :meth:`mass` solved for the square of the factor, in which it is linear.
        """
        coat_alone = floats(mass)[0] - self._core_excess() * self.length
        with np.errstate(invalid="ignore", over="ignore"):
            return np.asarray(np.sqrt(coat_alone / (self.density * self.volume())))

    def density_for_linear_density(self, wanted: ArrayLike, diameter: ArrayLike) -> Array:
        """Density [kg/m^3] in place of their own that gives a mass per length [kg/m].

        :meth:`linear_density`, where they are this thick [m], solved for the density.
        """
        per_length, d = floats(wanted, diameter)
        core = QUARTER_PI * self.core**2
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            return np.asarray((per_length - self.core_density * core) / (QUARTER_PI * d**2 - core))

    def diameter_for_linear_density(self, wanted: ArrayLike) -> Array:
        """Outer diameter [m] where the mass per length [kg/m] is this.

        :meth:`linear_density` solved for the square of the diameter.
        """
        coat_alone = floats(wanted)[0] - self._core_excess()
        with np.errstate(invalid="ignore", over="ignore"):
            return np.asarray(np.sqrt(coat_alone / (QUARTER_PI * self.density)))
