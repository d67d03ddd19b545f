"""The exact units, through our own parsing and showing.

Sources: NIST Special Publication 811 (2008), appendix B.8 and B.9, and NIST Handbook 44,
appendix C, section 4, whose definitions are exact. A value marked "derived" follows from them by
the arithmetic written beside it.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from taperlab.units.kinds import (
    DENSITY,
    DIAMETER,
    LENGTH,
    SALINITY,
    SINK_RATE,
    TEMPERATURE,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    Kind,
    System,
)
from taperlab.units.parse import parse
from taperlab.units.registry import conversion
from taperlab.units.show import from_unit, to_unit
from taperlab.units.vocabulary import unit_named

# One of each unit in SI: exact by definition (NIST SP 811, app. B.8).
DEFINITIONS = {
    "gr": Fraction("64.79891e-6"),
    "lb": Fraction("0.45359237"),
    "oz": Fraction("28.349523125e-3"),
    "g": Fraction("1e-3"),
    "mg": Fraction("1e-6"),
    "kg": Fraction(1),
    "in": Fraction("0.0254"),
    "thou": Fraction("0.0000254"),
    "ft": Fraction("0.3048"),
    "yd": Fraction("0.9144"),
    "mi": Fraction("1609.344"),
    "µm": Fraction("1e-6"),
    "mm": Fraction("1e-3"),
    "cm": Fraction("1e-2"),
    "m": Fraction(1),
    "km": Fraction(1000),
    "in/s": Fraction("0.0254"),
    "ft/s": Fraction("0.3048"),
    "cm/s": Fraction("0.01"),
    "g/cm³": Fraction(1000),
    "kg/m³": Fraction(1),
    "g/ml": Fraction(1000),
    "kg/l": Fraction(1000),
    "g/m": Fraction("1e-3"),
    "gr/ft": Fraction("64.79891e-6") / Fraction("0.3048"),
    "lb/ft³": Fraction("0.45359237") / Fraction("0.3048") ** 3,
    "g/kg": Fraction("1e-3"),
    "‰": Fraction("1e-3"),
    "%": Fraction("1e-2"),
}


@pytest.mark.parametrize(("symbol", "definition"), DEFINITIONS.items(), ids=DEFINITIONS)
def test_every_factor_is_the_definition_exactly(symbol: str, definition: Fraction) -> None:
    unit = unit_named(symbol)
    exact = conversion(unit.expression, unit.dimension.si)
    assert exact.factor == definition
    assert exact.offset == 0


def test_7000_grains_are_a_pound() -> None:
    # Handbook 44 app. C: 1 lb avoirdupois = 7000 gr = 453.592 37 g, exactly.
    pound = parse("7000 gr", WEIGHT, System.US)
    assert pound == 0.45359237
    assert pound == parse("1 lb", WEIGHT, System.US)
    assert to_unit(pound, "g", WEIGHT) == 453.59237


def test_an_ounce_is_437_5_grains() -> None:
    # Handbook 44 app. C: 1 oz avoirdupois = 437.5 gr = 28.349 523 125 g, exactly.
    ounce = parse("437.5 grains", WEIGHT, System.METRIC)
    assert ounce == parse("1 oz", WEIGHT, System.METRIC)
    assert to_unit(ounce, "g", WEIGHT) == 28.349523125


def test_a_gram_is_15_4323584_grains() -> None:
    # SP 811 app. B.8 (grain), reciprocal: 15.432 358 4, to nine figures.
    assert to_unit(0.001, "gr", WEIGHT) == pytest.approx(15.4323584, abs=5e-8)


def test_210_grains_are_not_what_the_rounded_factor_gives() -> None:
    # Derived: 210 * 64.798 91 mg = 13.607 771 g. The shortcut 0.065 g/gr would give 13.65 g.
    grams = to_unit(parse("210 gr", WEIGHT, System.US), "g", WEIGHT)
    assert grams == pytest.approx(13.6077711, abs=1e-12)
    assert grams == pytest.approx(13.608, abs=0.001)


def test_grains_per_foot() -> None:
    # Derived from the definitions: 14 * 64.798 91 mg / 0.3048 m, and the reciprocal for one.
    fourteen = parse("14 gr/ft", WEIGHT_PER_LENGTH, System.METRIC)
    assert to_unit(fourteen, "g/m", WEIGHT_PER_LENGTH) == pytest.approx(2.976327887, abs=1e-9)
    one = parse("1 g/m", WEIGHT_PER_LENGTH, System.US)
    assert to_unit(one, "gr/ft", WEIGHT_PER_LENGTH) == pytest.approx(4.703782826, abs=1e-9)
    assert to_unit(from_unit(1.0, "gr/ft", WEIGHT_PER_LENGTH), "g/m", WEIGHT_PER_LENGTH) == (
        pytest.approx(0.212594849, abs=5e-10)
    )


@pytest.mark.parametrize(
    ("text", "kind", "si"),
    [
        ("1 ft", LENGTH, 0.3048),
        ("1 in", LENGTH, 0.0254),
        ("13 ft 6 in", LENGTH, 4.1148),  # 162 * 0.0254
        ("85 thou", DIAMETER, 0.002159),  # 0.085 * 0.0254
        ("1 in/s", SINK_RATE, 0.0254),
        ("0.87 g/cc", DENSITY, 870.0),
        ("35 g/kg", SALINITY, 0.035),
    ],
)
def test_typed_values_are_exact(text: str, kind: Kind, si: float) -> None:
    assert parse(text, kind, System.US) == si
    assert parse(text, kind, System.METRIC) == si


@pytest.mark.parametrize(
    ("celsius", "fahrenheit", "kelvin"),
    # SP 811 app. B.8: T/K = t/°C + 273.15; t/°C = (t/°F - 32)/1.8. Both exact.
    [(0.0, 32.0, 273.15), (10.0, 50.0, 283.15), (-2.0, 28.4, 271.15), (40.0, 104.0, 313.15)],
)
def test_temperatures_have_their_offset(celsius: float, fahrenheit: float, kelvin: float) -> None:
    assert parse(f"{celsius} °C", TEMPERATURE, System.US) == kelvin
    assert parse(f"{celsius} degC", TEMPERATURE, System.US) == kelvin
    assert parse(f"{fahrenheit} °F", TEMPERATURE, System.METRIC) == kelvin
    assert parse(f"{fahrenheit}", TEMPERATURE, System.US) == kelvin
    assert parse(f"{celsius}", TEMPERATURE, System.METRIC) == kelvin
    assert parse(f"{kelvin} K", TEMPERATURE, System.US) == kelvin
    assert to_unit(kelvin, "°F", TEMPERATURE) == pytest.approx(fahrenheit, abs=1e-12)
    assert to_unit(kelvin, "°C", TEMPERATURE) == pytest.approx(celsius, abs=1e-12)


def test_forty_below_is_the_same_on_both_scales() -> None:
    assert from_unit(-40.0, "°C", TEMPERATURE) == from_unit(-40.0, "°F", TEMPERATURE) == 233.15
