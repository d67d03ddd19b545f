"""The water that a bench's lines are fished in."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits.changing import within
from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench
from taperlab.model.water import WARMEST, ZERO_CELSIUS, WaterKind
from taperlab.units.kinds import SALINITY, TEMPERATURE
from taperlab.units.sentence import Sentence, Temperature


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
    if kind is WaterKind.FRESH and not ZERO_CELSIUS <= temperature <= WARMEST:
        raise Refused(
            Sentence(
                "Fresh water must be from {coldest} to {warmest}, not {found}.",
                coldest=Temperature(ZERO_CELSIUS),
                warmest=Temperature(WARMEST),
                found=Temperature(temperature),
            )
        )
    within(temperature, TEMPERATURE, Sentence("The temperature of the water"))
    within(salinity, SALINITY, Sentence("The salinity of the water"))
    after = replace(before, kind=kind, temperature=temperature, salinity=salinity)
    return Edited(
        bench if after == before else replace(bench, water=after), Sentence("Change water")
    )
