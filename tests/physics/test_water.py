import pytest

from taperlab.model.water import Water, WaterKind
from taperlab.physics.water import (
    eos80_density,
    fresh_density,
    sea_density,
    viscosity,
    water_state,
)

STANDARD = 0.03516504  # kg/kg, standard sea water of practical salinity 35


def test_the_temperature_scale_is_converted():
    assert sea_density(298.15, STANDARD) == pytest.approx(
        eos80_density(25 * 1.00024, 35.0), abs=1e-9
    )
    assert abs(sea_density(298.15, STANDARD) - eos80_density(25.0, 35.0)) > 1e-3


@pytest.mark.parametrize("salinity", [35.0, 3.5, 0.0421, -0.001, float("nan")])
def test_grams_per_kilogram_are_refused(salinity):
    for formula in (sea_density, viscosity):
        with pytest.raises(ValueError, match="kg/kg"):
            formula(283.15, salinity)


@pytest.mark.parametrize("kelvin", [10.0, 272.0, 314.0, float("nan")])
def test_temperatures_out_of_range_are_refused(kelvin):
    with pytest.raises(ValueError, match="from 0 to 40"):
        fresh_density(kelvin)


def test_fresh_and_sea_state():
    fresh = water_state(Water(temperature=283.15))
    sea = water_state(Water(WaterKind.SEA, 283.15, STANDARD))
    assert fresh.density == pytest.approx(999.7027, abs=1e-4)
    assert sea.density == pytest.approx(1026.952, abs=6e-4)
    assert sea.viscosity > fresh.viscosity
    assert water_state(Water(temperature=283.15)) is fresh
