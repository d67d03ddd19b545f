"""Density and viscosity of water against published values and the reference libraries."""

import gsw
import numpy as np
import pytest
from iapws import IAPWS95

from taperlab.physics.water import (
    eos80_density,
    fresh_density,
    practical_salinity,
    sea_density,
    viscosity,
)


@pytest.mark.parametrize("salinity", [0.0, 5.0, 20.0, 35.0, 35.16504, 42.0])
def test_practical_salinity_against_gsw(salinity):
    """gsw: TEOS-10, of water of standard composition; 35 g/kg are 34.84 as an instrument reads."""
    assert practical_salinity(salinity / 1000.0) == pytest.approx(
        gsw.SP_from_SR(salinity), abs=1e-10
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


@pytest.mark.parametrize("celsius", range(-2, 41, 6))
@pytest.mark.parametrize("salinity", [0.001, 0.010, 0.020, 0.035, 0.042])
def test_sea_water_against_gsw(celsius, salinity):
    """Another equation of state, TEOS-10: within 0.011 kg/m^3 over the range; 0.015 allowed."""
    absolute = salinity * 1000.0
    conservative = gsw.CT_from_t(absolute, celsius, 0.0)
    reference = gsw.rho(absolute, conservative, 0.0)
    assert sea_density(celsius + 273.15, salinity) == pytest.approx(reference, abs=0.015)


def millero(celsius, salinity):
    """Viscosity [Pa*s] of sea water, Millero, in The Sea 5 (1974).

    As printed in Landolt-Börnstein, New Series V/3a (1986), quoted by others: practical salinity,
    volume chlorinity from it, over fresh water of 1002 micropascal seconds at 20 °C.
    """
    chlorinity = sea_density(celsius + 273.15, salinity / 1000.0) / 1000.0 * salinity / 1.80655
    fresh = 1.002e-3 * 10.0 ** (
        (1.1709 * (20.0 - celsius) - 1.827e-3 * (celsius - 20.0) ** 2) / (celsius + 89.93)
    )
    return fresh * (
        1.0
        + (5.185e-5 * celsius + 1.0675e-4) * np.sqrt(chlorinity)
        + (3.3e-5 * celsius + 2.591e-3) * chlorinity
    )


@pytest.mark.parametrize("celsius", [0, 5, 10, 15, 20, 25, 30])
@pytest.mark.parametrize("salinity", [5, 10, 20, 30, 35, 40])
def test_sea_water_viscosity_against_another_formula(celsius, salinity):
    """1.5 %, the accuracy that Sharqawy et al. state; the most found is 1.4 %, at 0 °C."""
    ours = viscosity(celsius + 273.15, salinity / 1000.0)
    assert ours == pytest.approx(millero(celsius, salinity), rel=0.015)


def test_sea_water_viscosity_against_tables():
    """Dorsey, Properties of Ordinary Water-Substance (1940), table 87, fitted by others to 0.2 %.

    And the towing tanks' 1.18831 mm^2/s for salt water at 15 °C (ITTC), as quoted by others.
    """
    assert viscosity(283.15, 0.030) == pytest.approx(1.383779e-3, rel=0.002)
    kinematic = viscosity(288.15, STANDARD) / sea_density(288.15, STANDARD)
    assert kinematic == pytest.approx(1.18831e-6, rel=0.002)
