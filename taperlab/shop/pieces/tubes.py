"""Welding tubes that are peeled off: what one weighs that is still on."""

from __future__ import annotations

import math

from taperlab.model.exact_units import INCH

BORE, WALL, DENSITY = 3.0 / 16.0 * INCH, 0.012 * INCH, 940.0
"""A usual tube as it is bought: bore and wall [m], polyolefin [kg/m^3]. From memory."""


def tube_mass(length: float) -> float:
    """What so much of it weighs [kg]: shrinking keeps the mass of the expanded tube.

    rho pi/4 ((D + 2 w)^2 - D^2) L; length [m].
    """
    outside = BORE + 2.0 * WALL
    return DENSITY * math.pi / 4.0 * (outside**2 - BORE**2) * length
