"""Measured diameters put in order: sorted, merged where measured twice, with their errors."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np

from taperlab.model.measurement import Instruments, Station
from taperlab.physics.frustum import Array
from taperlab.shop.measure.instruments import diameter_error
from taperlab.shop.measure.outcome import caution
from taperlab.units.finding import Finding
from taperlab.units.sentence import Diameter, OnTape, Sentence

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


def gather(
    stations: Sequence[Station], length: float, instruments: Instruments
) -> tuple[Stations, tuple[Finding, ...]]:
    """Stations in order from the fly end, and what was odd about them.

    Two stations nearer than half a step of the tape become one. One beyond the line's end by
    more than a step of the tape is left out.
    """
    odd: list[Sentence] = []
    merged: list[tuple[float, list[float]]] = []
    for station in sorted(stations, key=lambda each: each.distance):
        if station.distance > length + instruments.tape:
            odd.append(
                Sentence(
                    "The station at {place} lies beyond the line’s end at {end} and is left out.",
                    place=OnTape(station.distance),
                    end=OnTape(length),
                )
            )
        elif merged and station.distance - merged[-1][0] < instruments.tape / 2.0:
            merged[-1][1].extend(station.readings)
        else:
            merged.append((min(station.distance, length), list(station.readings)))
    single = diameter_error(instruments, 1)
    for distance, readings in merged:
        # Five single-reading errors each side of the middle: chance alone does not do that.
        if max(readings) - min(readings) > 10.0 * single:
            odd.append(
                Sentence(
                    "The readings at {place} run from {least} to {most}: the line is not round "
                    "there, or one was misread.",
                    place=OnTape(distance),
                    least=Diameter(min(readings)),
                    most=Diameter(max(readings)),
                )
            )
    return (
        Stations(
            np.array([distance for distance, _ in merged], dtype=float),
            np.array([sum(r) / len(r) for _, r in merged], dtype=float),
            np.array([diameter_error(instruments, len(r)) for _, r in merged], dtype=float),
        ),
        tuple(map(caution, odd)),
    )
