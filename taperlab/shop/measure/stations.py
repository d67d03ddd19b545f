"""Measured diameters put in order: places along the line, and what was read at each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np

from taperlab.model.measurement import Instruments, Station
from taperlab.physics.frustum import Array
from taperlab.shop.errors import diameter_error
from taperlab.shop.measure.outcome import caution
from taperlab.units.finding import Finding
from taperlab.units.sentence import OnTape, Sentence

Selection = np.ndarray[tuple[int, ...], np.dtype[np.bool_ | np.intp]]


@dataclass(frozen=True, eq=False, slots=True)
class Stations:
    """Distances, mean diameters and their standard deviations, all [m], shape (n,), in order."""

    distances: Array
    diameters: Array
    errors: Array

    def __len__(self) -> int:
        return len(self.distances)

    def at(self, which: Selection) -> Self:
        """Some of the stations, by a mask or by numbers."""
        return type(self)(self.distances[which], self.diameters[which], self.errors[which])


@dataclass(frozen=True, slots=True, order=True)
class Reading:
    """One diameter [m], and which it is: the row of its station and its number there, from 0."""

    diameter: float
    station: int
    number: int


@dataclass(frozen=True, slots=True)
class Place:
    """A distance from the fly end [m] and all that was read there, the thinnest first."""

    distance: float
    readings: tuple[Reading, ...]

    @property
    def diameters(self) -> tuple[float, ...]:
        """The readings alone [m]."""
        return tuple(each.diameter for each in self.readings)


def gather(
    stations: Sequence[Station], length: float, instruments: Instruments
) -> tuple[tuple[Place, ...], tuple[Finding, ...]]:
    """Places in order from the fly end, and what was odd about them.

    Stations nearer than half a step of the tape are one place. One beyond the line's end by more
    than a step of the tape is left out.
    """
    odd: list[Finding] = []
    merged: list[tuple[float, list[Reading]]] = []
    for row, station in sorted(enumerate(stations), key=lambda each: each[1].distance):
        readings = [Reading(each, row, i) for i, each in enumerate(station.readings)]
        if station.distance > length + instruments.tape:
            beyond = Sentence(
                "The station at {place} lies beyond the line’s end at {end} and is left out.",
                place=OnTape(station.distance),
                end=OnTape(length),
            )
            odd.append(caution(beyond))
        elif merged and station.distance - merged[-1][0] < instruments.tape / 2.0:
            merged[-1][1].extend(readings)
        else:
            merged.append((min(station.distance, length), readings))
    return tuple(Place(at, tuple(sorted(readings))) for at, readings in merged), tuple(odd)


def all_of(places: Sequence[Place], instruments: Instruments) -> Stations:
    """The mean of everything that was read at each place, whether it agrees or not."""
    read = [place.diameters for place in places]
    return Stations(
        np.array([place.distance for place in places], dtype=float),
        np.array([sum(each) / len(each) for each in read], dtype=float),
        np.array([diameter_error(instruments, len(each)) for each in read], dtype=float),
    )
