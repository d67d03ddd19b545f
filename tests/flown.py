"""Lines that fly, made by hand, and a chain for each."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from taperlab.model.line import Line, line_of
from taperlab.model.rig import Fly, Leader
from taperlab.model.segment import Part, Segment
from taperlab.physics.rigging import Rigging
from taperlab.physics.turnover import Air, Flying
from taperlab.shop.rig import Looped, looped

NO_AIR = Air(0.0)


def level(
    length: float, mass: float, diameter: float = 1e-3, fly: float = 0.0, drag: float = 0.0
) -> Flying:
    """A level line: mass per length [kg/m], a fly of so much mass and drag area."""
    density = mass / (math.pi / 4.0 * diameter**2)
    rig = Rigging.level(
        np.array([length]), np.array([diameter]), np.array([density]), fly=Fly(0.0, fly, drag)
    )
    return Flying.of(rig, fly)


def taper(
    diameters: Sequence[float],
    lengths: Sequence[float],
    *,
    leader: float = 0.0,
    fly: float = 0.0005,
    drag: float = 1e-4,
    density: float = 870.0,
) -> Looped:
    """A rig of straight tapers between diameters [m], with a leader [m] and a fly [kg]."""
    segments = tuple(
        Segment(Part.BELLY, length, front, rear, density)
        for length, front, rear in zip(lengths, diameters, diameters[1:], strict=False)
    )
    line: Line = line_of("line-1", "Head", segments)
    tied = Leader(leader) if leader else None
    return looped(line, (), (), tied, Fly(0.0, fly, drag))
