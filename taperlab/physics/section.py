"""What a round section of line weighs: a segment, a piece, stock on its spool.

The closed forms are those of ``frustum.py``, for one section at a time.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar

from taperlab.model.segment import RoundSection
from taperlab.physics.frustum import Taper

Section = TypeVar("Section", bound=RoundSection)


def core_of(section: RoundSection) -> tuple[float, float]:
    """Core diameter [m] and density [kg/m^3], zeros for no core."""
    return (section.core.diameter, section.core.density) if section.core else (0.0, 0.0)


def shape_of(section: RoundSection) -> tuple[float, float, float]:
    """Length and the two diameters [m], as the closed forms take them."""
    return section.length, section.front_diameter, section.rear_diameter


def taper_of(section: RoundSection) -> Taper:
    """The section as the closed forms take it."""
    return Taper(*shape_of(section), section.density, *core_of(section))


def mass(section: RoundSection) -> float:
    """Mass [kg] of a section alone, joints and loops left out."""
    return float(taper_of(section).mass())


def volume(section: RoundSection) -> float:
    """Volume [m^3] of a section, core included."""
    return float(taper_of(section).volume())


def mean_density(section: RoundSection) -> float:
    """Mass over volume [kg/m^3], core included."""
    return mass(section) / volume(section) if section.core else section.density


def linear_density(section: RoundSection, distance: float) -> float:
    """Mass per length [kg/m] at a distance from its front [m]."""
    return float(taper_of(section).linear_density(section.diameter(distance)))


def density_for_mass(section: RoundSection, wanted: float) -> float:
    """Density, or coating density, that gives the section a mass [kg].

    Not a number, infinite or negative where no material can.
    """
    return float(taper_of(section).density_for_mass(wanted))


def scaled(section: Section, factor: float) -> Section:
    """The section with its density, and that of its core, multiplied by ``factor``."""
    core = section.core
    return replace(
        section,
        density=section.density * factor,
        core=replace(core, density=core.density * factor) if core else None,
    )
