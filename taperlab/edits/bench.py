"""What belongs to a bench as a whole: its notes, and the water that its lines are fished in."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits.changing import within
from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench
from taperlab.model.water import WARMEST, ZERO_CELSIUS, WaterKind
from taperlab.units.kinds import SALINITY, TEMPERATURE
from taperlab.units.sentence import Sentence, Temperature


def set_note(bench: Bench, note: str) -> Edited:
    """Write the bench's notes."""
    return Edited(
        bench if note == bench.note else replace(bench, note=note), Sentence("Change notes")
    )


def set_water(bench: Bench, kind: WaterKind, temperature: float, salinity: float) -> Edited:
    """Say what the water is: its kind, its temperature [K], its salinity [kg/kg] if it is sea."""
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
    after = replace(bench.water, kind=kind, temperature=temperature, salinity=salinity)
    return Edited(
        bench if after == bench.water else replace(bench, water=after), Sentence("Change water")
    )
