from __future__ import annotations

import pytest

from taperlab.model.water import Water, WaterKind
from taperlab.units.kinds import SALINITY, TEMPERATURE, Kind, System
from tests.kinds import KINDS


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_a_kind_is_complete(kind: Kind) -> None:
    assert kind.lowest < kind.example < kind.highest
    assert kind.label[0].isupper()
    assert kind.noun.startswith(("a ", "an "))
    assert kind.help.endswith(".")
    assert kind.low.beyond.startswith("is ")
    assert kind.high.beyond.startswith("is ")
    for system in System:
        assert 0 <= kind.shown(system).at_least <= kind.shown(system).decimals
    assert kind.signed or kind.lowest >= 0.0


def test_water_takes_every_temperature_and_salinity_that_can_be_typed() -> None:
    for temperature in (TEMPERATURE.lowest, TEMPERATURE.highest):
        for salinity in (SALINITY.lowest, SALINITY.highest):
            Water(WaterKind.SEA, temperature, salinity)
