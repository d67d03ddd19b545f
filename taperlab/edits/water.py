"""The water that a bench's lines are fished in."""

from __future__ import annotations

import math
from dataclasses import replace

from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench
from taperlab.model.water import COLDEST, SALTIEST, WARMEST, ZERO_CELSIUS, WaterKind
from taperlab.units.sentence import Salinity, Sentence, Temperature


def set_water(
    bench: Bench,
    kind: WaterKind | None = None,
    temperature: float | None = None,
    salinity: float | None = None,
) -> Edited:
    """Choose the kind, temperature [K] or salinity [kg/kg] of the water; None leaves one be."""
    before = bench.water
    kind = before.kind if kind is None else kind
    temperature = before.temperature if temperature is None else temperature
    salinity = before.salinity if salinity is None else salinity
    if not (math.isfinite(temperature) and math.isfinite(salinity)):
        raise Refused(Sentence("Temperature and salinity must be numbers."))
    coldest = ZERO_CELSIUS if kind is WaterKind.FRESH else COLDEST
    if not coldest <= temperature <= WARMEST:
        values = {
            "coldest": Temperature(coldest),
            "warmest": Temperature(WARMEST),
            "found": Temperature(temperature),
        }
        raise Refused(
            Sentence("Fresh water must be from {coldest} to {warmest}, not {found}.", **values)
            if kind is WaterKind.FRESH
            else Sentence("Sea water must be from {coldest} to {warmest}, not {found}.", **values)
        )
    if not 0.0 <= salinity <= SALTIEST:
        raise Refused(
            Sentence(
                "Salinity must be from {lowest} to {highest}, not {found}.",
                lowest=Salinity(0.0),
                highest=Salinity(SALTIEST),
                found=Salinity(salinity),
            )
        )
    after = replace(before, kind=kind, temperature=temperature, salinity=salinity)
    return Edited(
        bench if after == before else replace(bench, water=after), Sentence("Change water")
    )
