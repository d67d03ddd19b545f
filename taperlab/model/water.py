"""The water that a line is fished in."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import StrEnum

from taperlab.model.marked import later
from taperlab.model.segment import Extras

ZERO_CELSIUS = 273.15
"""0 °C in kelvin, exactly."""

COLDEST = ZERO_CELSIUS - 2.0
WARMEST = ZERO_CELSIUS + 40.0
SALTIEST = 0.042
"""Limits within which the published formulas in physics/water.py hold; [K] and [kg/kg]."""


class WaterKind(StrEnum):
    """Fresh or sea."""

    FRESH = later("fresh")
    SEA = later("sea")


@dataclass(frozen=True, slots=True)
class Water:
    """Kind, temperature [K] and, for sea water, salinity [kg of salt per kg of water]."""

    kind: WaterKind = WaterKind.FRESH
    temperature: float = ZERO_CELSIUS + 10.0
    salinity: float = 0.035
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        if not (math.isfinite(self.temperature) and COLDEST <= self.temperature <= WARMEST):
            raise ValueError(later("water temperature must be from -2 to 40 °C"))
        if not 0.0 <= self.salinity <= SALTIEST:
            raise ValueError(later("salinity must be from 0 to 42 g/kg, given in kg/kg"))
        if self.kind is WaterKind.FRESH and self.temperature < ZERO_CELSIUS:
            raise ValueError(later("fresh water below 0 °C is ice"))
