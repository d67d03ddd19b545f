"""Density and viscosity of water against published values and the reference libraries."""

import gsw
import numpy as np
import pytest
from iapws import IAPWS95

from taperlab.model.water import Water, WaterKind
from taperlab.physics.water import (
    eos80_density,
    fresh_density,
    sea_density,
    viscosity,
    water_state,
)

STANDARD = 0.03516504  # kg/kg, standard sea water of practical salinity 35


@pytest.mark.parametrize(
    ("celsius", "density", "micropascal_seconds"),
    [  # Tanaka et al., Metrologia 38, 301 (2001); viscosity IAPWS R12-08
        (0, 999.8428, 1791.8),
        (5, 999.9668, 1518.2),
        (10, 999.7027, 1305.9),
        (15, 999.1026, 1137.6),
        (20, 998.2067, 1001.6),
        (25, 997.0470, 890.02),
    ],
)
def test_fresh_water_tables(celsius, density, micropascal_seconds):
    kelvin = celsius + 273.15
    assert fresh_density(kelvin) == pytest.approx(density, abs=1e-4)
    assert viscosity(kelvin) * 1e6 == pytest.approx(micropascal_seconds, rel=0.002)


@pytest.mark.parametrize("celsius", range(0, 41, 5))
def test_fresh_water_against_iapws(celsius):
    kelvin = celsius + 273.15
    reference = IAPWS95(T=kelvin, P=0.101325)
    assert fresh_density(kelvin) == pytest.approx(reference.rho, abs=0.01)
    assert viscosity(kelvin) == pytest.approx(reference.mu, rel=0.002)


def test_water_is_densest_near_4_degrees():
    kelvin = 273.15 + np.linspace(0.0, 10.0, 10001)
    assert 3.9 < kelvin[np.argmax(fresh_density(kelvin))] - 273.15 < 4.1


@pytest.mark.parametrize(
    ("salinity", "celsius_68", "density"),
    [  # Fofonoff & Millard, UNESCO 44 (1983); Gill, Atmosphere-Ocean Dynamics (1982), table A3
        (0, 5, 999.96675),
        (0, 25, 997.04796),
        (35, 5, 1027.67547),
        (35, 25, 1023.34306),
    ],
)
def test_eos80_check_values(salinity, celsius_68, density):
    assert eos80_density(celsius_68, salinity) == pytest.approx(density, abs=1e-5)


@pytest.mark.parametrize(
    ("celsius", "density"),
    [(0, 1028.106), (5, 1027.675), (10, 1026.952), (15, 1025.972), (20, 1024.762), (25, 1023.341)],
)
def test_sea_water_takes_its_temperature_on_its_90(celsius, density):
    """EOS-80 at S 35, entered on ITS-90; on IPTS-68 it would be up to 0.0015 off."""
    assert sea_density(celsius + 273.15, STANDARD) == pytest.approx(density, abs=6e-4)


def test_the_temperature_scale_is_converted():
    assert sea_density(298.15, STANDARD) == pytest.approx(
        eos80_density(25 * 1.00024, 35.0), abs=1e-9
    )
    assert abs(sea_density(298.15, STANDARD) - eos80_density(25.0, 35.0)) > 1e-3


@pytest.mark.parametrize("celsius", range(-2, 41, 6))
@pytest.mark.parametrize("salinity", [0.001, 0.010, 0.020, 0.035, 0.042])
def test_sea_water_against_gsw(celsius, salinity):
    """Another equation of state, TEOS-10: within 0.011 kg/m^3 over the range; 0.015 allowed."""
    absolute = salinity * 1000.0
    conservative = gsw.CT_from_t(absolute, celsius, 0.0)
    reference = gsw.rho(absolute, conservative, 0.0)
    assert sea_density(celsius + 273.15, salinity) == pytest.approx(reference, abs=0.015)


@pytest.mark.parametrize(
    ("celsius", "micropascal_seconds"),
    [(0, 1905.6), (5, 1619.3), (10, 1396.8), (15, 1219.9), (20, 1076.6), (25, 958.8)],
)
def test_sea_water_viscosity(celsius, micropascal_seconds):
    """Sharqawy, Lienhard & Zubair (2010), eqs 22-23, as quoted by others; 0.035 kg/kg."""
    assert viscosity(celsius + 273.15, 0.035) * 1e6 == pytest.approx(micropascal_seconds, abs=0.1)


def test_fresh_viscosity_at_20_degrees():
    """1001.8 micropascal seconds; the misprinted constant 0.156 would give more."""
    assert viscosity(293.15) * 1e6 == pytest.approx(1001.8, abs=0.1)


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
