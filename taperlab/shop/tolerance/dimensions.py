"""What of a head is made or measured by itself, and how far each may be off.

Diameters that are one today are one dimension: the rear of a segment and the front of the next, and
both ends of a level one. Densities that are equal today are of one batch.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from taperlab.model.line import Line
from taperlab.model.measurement import Instruments
from taperlab.model.tolerance import Tolerance
from taperlab.physics import section
from taperlab.physics.frustum import QUARTER_PI, Array
from taperlab.shop.analyse import DENSITY_OFF
from taperlab.shop.errors import diameter_error, rounding_error
from taperlab.units.language import later

TWICE = 2.0
"""A ± is so many standard deviations: with 2, some 95 in 100 lie within (JCGM 100:2008, 6.3.3)."""

SAME = 1e-9
"""Numbers closer than this, relatively, are one dimension."""

Places = NDArray[np.intp]


class What(StrEnum):
    """What kind of dimension may be off. The last two are off alike in all that is built."""

    LENGTH = later("length")
    DIAMETER = later("diameter")
    OFFSET = later("all diameters one way")
    DENSITY = later("density")

    @property
    def is_common(self) -> bool:
        """Whether it is off alike in every head of one bench and batch."""
        return self in (What.OFFSET, What.DENSITY)


@dataclass(frozen=True, slots=True)
class Dimension:
    """Something that may be off by itself.

    rows: the segments that it belongs to, from 0 at the fly end. level: those of them that it is
    both ends of. value: [m] or [kg/m^3]; nan for all diameters. sigma: standard deviation, in the
    same unit.
    """

    what: What
    rows: tuple[int, ...]
    level: tuple[int, ...]
    value: float
    sigma: float


@dataclass(frozen=True, eq=False, slots=True)
class Dimensions:
    """All of a head's. place: which dimension each number of each row is; (4, n), see slopes.py.

    offset: which of them moves all diameters. by_piece: what a density seems to gain for each metre
    that a micrometer reads too much, where it was weighed on a piece measured with that; (n,).
    """

    each: tuple[Dimension, ...]
    place: Places
    offset: int
    by_piece: Array

    @property
    def sigmas(self) -> Array:
        """Standard deviation of each."""
        return np.array([one.sigma for one in self.each])


@dataclass(frozen=True, slots=True)
class Closeness:
    """Standard deviations of what is read on a bench.

    length, diameter, offset: [m]. density: [kg/m^3], None where it is not known in itself. piece:
    [m], as of :class:`Tolerance`.
    """

    length: float
    diameter: float
    offset: float
    density: float | None
    piece: float | None

    @classmethod
    def of(cls, tolerance: Tolerance, instruments: Instruments) -> Closeness:
        """What a person typed, and where nothing was typed what the instruments read.

        A tape and a micrometer round (JCGM 100:2008, F.2.2.1: a step over two times the root of
        three); that all diameters are off one way by a step of the micrometer is by judgement.
        """

        def half(typed: float | None, sigma: float) -> float:
            return sigma if typed is None else typed / TWICE

        return cls(
            half(tolerance.length, rounding_error(instruments.tape)),
            half(tolerance.diameter, diameter_error(instruments, 1)),
            half(tolerance.offset, instruments.micrometer / TWICE),
            None if tolerance.density is None else tolerance.density / TWICE,
            tolerance.piece,
        )


def dimensions_of(head: Line, close: Closeness, scale: float) -> Dimensions:
    """All that may be off of a head. scale: standard deviation of a weight on the scale [kg]."""
    segments = head.segments
    count = len(segments)
    found = [
        Dimension(What.LENGTH, (i,), (), each.length, close.length)
        for i, each in enumerate(segments)
    ]
    place = np.empty((4, count), dtype=np.intp)
    place[0] = np.arange(count)
    _diameters(head, close, found, place)
    offset = len(found)
    found.append(Dimension(What.OFFSET, tuple(range(count)), (), math.nan, close.offset))
    by_piece = _densities(head, close, scale, found, place)
    return Dimensions(tuple(found), place, offset, by_piece)


def _diameters(head: Line, close: Closeness, found: list[Dimension], place: Places) -> None:
    runs: list[tuple[float, list[int], list[int]]] = []
    for i, each in enumerate(head.segments):
        if not (runs and _same(runs[-1][0], each.front_diameter)):
            runs.append((each.front_diameter, [], []))
        runs[-1][1].append(i)
        place[1, i] = place[2, i] = len(found) + len(runs) - 1
        if _same(runs[-1][0], each.rear_diameter):
            runs[-1][2].append(i)
        else:
            runs.append((each.rear_diameter, [i], []))
            place[2, i] += 1
    found += [
        Dimension(What.DIAMETER, tuple(dict.fromkeys(rows)), tuple(level), value, close.diameter)
        for value, rows, level in runs
    ]


def _densities(
    head: Line, close: Closeness, scale: float, found: list[Dimension], place: Places
) -> Array:
    by_piece = np.zeros(len(head.segments))
    batches: list[list[int]] = []
    last = math.nan
    # In the order of their densities, so that of two thousand segments each looks at one other.
    for i in sorted(range(len(head.segments)), key=lambda i: (head.segments[i].density, i)):
        if not _same(last, head.segments[i].density):
            batches.append([])
        batches[-1].append(i)
        last = head.segments[i].density
    batches = sorted(sorted(rows) for rows in batches)
    for rows in batches:
        value = head.segments[rows[0]].density
        own = DENSITY_OFF * value / TWICE if close.density is None else close.density
        if close.piece is not None:
            weighed, slope = _weighed_on_piece(head, rows, close, scale)
            own = weighed if close.density is None else own
            by_piece[rows] = slope
        place[3, rows] = len(found)
        found.append(Dimension(What.DENSITY, tuple(rows), (), value, own))
    return by_piece


def _weighed_on_piece(
    head: Line, rows: list[int], close: Closeness, scale: float
) -> tuple[float, float]:
    """Standard deviation of a density that was weighed on a piece, and its slope by a diameter.

    The piece is as thick as the heaviest segment of the batch in its middle: r = (m/L - core)/coat
    area, so dr/dm = 1/(area L), dr/dL = -(m/L)/(area L), dr/dd = -2 r d/(d^2 - c^2).
    """
    assert close.piece is not None
    thick = max((head.segments[i] for i in rows), key=section.mass)
    diameter = (thick.front_diameter + thick.rear_diameter) / 2.0
    core, core_density = section.core_of(thick)
    square = diameter**2 - core**2
    if square <= 0.0:
        return 0.0, 0.0
    area, per_length = (
        QUARTER_PI * square,
        QUARTER_PI * (thick.density * square + core_density * core**2),
    )
    slope = -2.0 * thick.density * diameter / square
    return (
        math.hypot(
            scale / (area * close.piece),
            per_length / (area * close.piece) * close.length,
            slope * close.diameter,
        ),
        slope,
    )


def _same(one: float, other: float) -> bool:
    return math.isclose(one, other, rel_tol=SAME)
