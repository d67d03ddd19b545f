"""Welding tubes: what one weighs, whether it is peeled off or stays on."""

from __future__ import annotations

import math

from taperlab.model.exact_units import INCH
from taperlab.model.pieces import Rules

BORE, WALL, DENSITY = 3.0 / 16.0 * INCH, 0.012 * INCH, 940.0
"""A usual tube as it is bought: bore and wall [m], polyolefin [kg/m^3]. From memory."""

UNLIKE = 0.2
"""By how much, as a share, a tube that nobody weighed may be off what a usual one weighs. Ours."""


def tube_mass(length: float) -> float:
    """What so much of a usual one weighs [kg]: shrinking keeps the mass of the expanded tube.

    rho pi/4 ((D + 2 w)^2 - D^2) L; length [m].
    """
    outside = BORE + 2.0 * WALL
    return DENSITY * math.pi / 4.0 * (outside**2 - BORE**2) * length


def tube_of(rules: Rules, overlap: float) -> tuple[float, float]:
    """What the tube of a weld of such a lap [m] weighs [kg], and how far that may be off [kg].

    As it was weighed, or else as a usual one as long as the lap.
    """
    if rules.tube is not None:
        return rules.tube, 0.0
    mass = tube_mass(overlap)
    return mass, UNLIKE * mass


def left_on(rules: Rules, overlap: float) -> float:
    """What the tube of a weld adds beyond the design [kg]; nought where it is peeled off."""
    return tube_of(rules, overlap)[0] if rules.tubes_stay and overlap else 0.0
