from __future__ import annotations

import math
import re

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from taperlab.units.kinds import (
    DENSITY,
    DIAMETER,
    LENGTH,
    RATIO,
    SHARE,
    SHORT_LENGTH,
    SINK_RATE,
    SMALL_WEIGHT,
    TEMPERATURE,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    Kind,
    System,
)
from taperlab.units.parse import parse
from taperlab.units.sentence import OnTape
from taperlab.units.show import from_unit, show, show_eighths, show_error, shown_unit, to_unit
from tests.kinds import KINDS

US, METRIC = System.US, System.METRIC

FOOT, INCH, GRAIN = 0.3048, 0.0254, 64.79891e-6

# The last figure shown, in SI, per kind: US, metric.
STEPS = {
    "length": (0.125 * INCH, 0.001),
    "distance": (0.125 * INCH, 0.001),
    "taken_off": (0.125 * INCH, 0.001),
    "rod_length": (0.125 * INCH, 0.001),
    "short_length": (0.001 * INCH, 0.0001),
    "diameter": (0.0001 * INCH, 1e-6),
    "fine_length": (0.00001 * INCH, 1e-7),
    "weight": (0.1 * GRAIN, 1e-5),
    "small_weight": (0.01 * GRAIN, 1e-6),
    "density": (1.0, 1.0),
    "weight_per_length": (0.01 * GRAIN / FOOT, 1e-6),
    "sink_rate": (0.1 * INCH, 0.001),
    "temperature": (0.1 / 1.8, 0.1),
    "salinity": (0.0001, 0.0001),
    "share": (0.001, 0.001),
    "ratio": (0.01, 0.01),
    "current": (0.1 * FOOT, 0.01),
    "depth": (0.01 * FOOT, 0.01),
    "river_depth": (0.01 * FOOT, 0.01),
    "duration": (0.1, 0.1),
    "drag_area": (1e-6, 1e-6),
    "fly_mass": (0.1 * GRAIN, 1e-5),
    "fly_weight": (0.1 * GRAIN, 1e-5),
    "viscosity": (1e-6, 1e-6),
    "density_off": (0.1, 0.1),
    "cost": (0.01, 0.01),
    "line_speed": (FOOT, 0.1),
    "height": (0.125 * INCH, 0.001),
    "loop_height": (0.125 * INCH, 0.001),
    "guides": (GRAIN, 0.0001),
    "beside": (0.125 * INCH, 0.001),
    "room": (0.125 * INCH, 0.001),
    "lean": (math.radians(1.0), math.radians(1.0)),
    "launch": (math.radians(1.0), math.radians(1.0)),
    "label_shift": (0.001 * INCH, 0.0001),
    "label_size": (0.001 * INCH, 0.0001),
}


@pytest.mark.parametrize(
    ("value", "kind", "us", "metric"),
    [
        (13.5 * FOOT, LENGTH, "13 ft 6 in", "4.115 m"),
        (162.5 * INCH, LENGTH, "13 ft 6 1/2 in", "4.128 m"),
        (13 * FOOT, LENGTH, "13 ft", "3.962 m"),
        (6 * INCH, LENGTH, "6 in", "0.152 m"),
        (0.085 * INCH, DIAMETER, "0.085 in", "2.159 mm"),
        (0.0855 * INCH, DIAMETER, "0.0855 in", "2.172 mm"),
        (0.00216, DIAMETER, "0.085 in", "2.16 mm"),
        (2.125 * INCH, SHORT_LENGTH, "2 1/8 in", "54 mm"),
        (0.0625 * INCH, SHORT_LENGTH, "1/16 in", "1.6 mm"),
        (0.1 * INCH, SHORT_LENGTH, "0.1 in", "2.5 mm"),
        (15 * INCH, SHORT_LENGTH, "15 in", "381 mm"),
        (480 * GRAIN, WEIGHT, "480.0 gr", "31.10 g"),
        (2 * GRAIN, SMALL_WEIGHT, "2.0 gr", "0.13 g"),
        (870.0, DENSITY, "0.870 g/cm³", "0.870 g/cm³"),
        (14 * GRAIN / FOOT, WEIGHT_PER_LENGTH, "14.00 gr/ft", "2.976 g/m"),
        (-0.5 * INCH, SINK_RATE, "−0.5 in/s", "−1.3 cm/s"),
        (283.15, TEMPERATURE, "50.0 °F", "10.0 °C"),
        (272.15, TEMPERATURE, "30.2 °F", "−1.0 °C"),
        (0.425, SHARE, "42.5 %", "42.5 %"),
        (2.75, RATIO, "2.75", "2.75"),
    ],
)
def test_how_values_are_shown(value: float, kind: Kind, us: str, metric: str) -> None:
    assert show(value, kind, US) == us
    assert show(value, kind, METRIC) == metric


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (11.9, "11 7/8 in"),
        (11.94, "1 ft"),
        (11.95, "1 ft"),
        (11.97, "1 ft"),
        (23.96, "2 ft"),
        (12.04, "1 ft"),
        (12.1, "1 ft 1/8 in"),
        (27.0, "2 ft 3 in"),
        (0.04, "0.04 in"),  # a row that is there does not show as nothing
    ],
)
def test_inches_carry_into_feet(inches: float, text: str) -> None:
    assert show(inches * INCH, LENGTH, US) == text


@pytest.mark.parametrize(
    ("grains", "text"), [(0.05, "0.1"), (0.15, "0.2"), (0.25, "0.3"), (2.45, "2.5"), (2.44, "2.4")]
)
def test_half_of_the_last_figure_rounds_up(grains: float, text: str) -> None:
    assert show(from_unit(grains, "gr", WEIGHT), WEIGHT, US, unit=False) == text


def test_there_is_no_minus_zero() -> None:
    assert show(-1e-9, SINK_RATE, US) == "0.0 in/s"
    assert show(-1e-9, LENGTH, US, signed=True) == "0 in"
    assert show(-0.0, WEIGHT, METRIC, signed=True) == "0.00 g"
    assert show_eighths(-1e-9) == "0 in"
    assert show_eighths(-1e-9, METRIC) == "0 mm"
    assert show(273.15 - 0.04, TEMPERATURE, METRIC) == "0.0 °C"


def test_differences_carry_their_sign() -> None:
    assert show(32.1 * GRAIN, WEIGHT, US, signed=True) == "+32.1 gr"
    assert show(-25 * INCH, LENGTH, US, signed=True) == "−2 ft 1 in"
    assert show(25 * INCH, LENGTH, US, signed=True) == "+2 ft 1 in"
    assert show(-0.012, LENGTH, METRIC, signed=True) == "−0.012 m"
    assert show(5.0, TEMPERATURE, US, signed=True) == "+9.0 °F"
    assert show(-5.0, TEMPERATURE, METRIC, signed=True) == "−5.0 °C"


def test_without_the_unit() -> None:
    assert show(13.5 * FOOT, LENGTH, US, unit=False) == "13' 6\""
    assert show(6 * INCH, LENGTH, US, unit=False) == "0' 6\""
    assert show(-25 * INCH, LENGTH, US, unit=False, signed=True) == "−2' 1\""
    assert show(480 * GRAIN, WEIGHT, US, unit=False) == "480.0"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_not_finite_is_a_dash(value: float) -> None:
    for kind in KINDS.values():
        assert show(value, kind, US) == "—"
    assert show_eighths(value) == "—"


def test_shown_units() -> None:
    assert [shown_unit(kind, US) for kind in (LENGTH, DIAMETER, WEIGHT, RATIO)] == [
        "ft",
        "in",
        "gr",
        "",
    ]
    assert [shown_unit(kind, METRIC) for kind in (LENGTH, DIAMETER, WEIGHT)] == ["m", "mm", "g"]


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (27 * 12 + 3.625, "27 ft 3 5/8 in"),
        (27 * 12 + 3.68, "27 ft 3 5/8 in"),
        (27 * 12 + 3.69, "27 ft 3 3/4 in"),
        (27 * 12 + 0.5, "27 ft 1/2 in"),
        (27 * 12 + 11.95, "28 ft"),
        (27 * 12 + 5.0, "27 ft 5 in"),
        (2.5, "2 1/2 in"),
        (0.125, "1/8 in"),
        (0.05, "0 in"),
        (-2.5, "−2 1/2 in"),
    ],
)
def test_cutting_positions_are_told_in_eighths(inches: float, text: str) -> None:
    assert show_eighths(inches * INCH) == text


def test_cutting_positions_in_millimetres() -> None:
    assert show_eighths(8.3216, METRIC) == "8322 mm"


@given(st.floats(0.0032, 150.0))
def test_a_cutting_position_reads_back_to_half_an_eighth(position: float) -> None:
    us = parse(show_eighths(position), LENGTH, US)
    assert abs(us - position) <= INCH / 16 * (1 + 1e-9)
    assert round(us / INCH * 8, 6) == round(us / INCH * 8)
    assert abs(parse(show_eighths(position, METRIC), LENGTH, US) - position) <= 0.0005 * (1 + 1e-9)


kinds = st.sampled_from(list(KINDS.values()))
systems = st.sampled_from(System)


@st.composite
def kind_and_value(draw: st.DrawFn) -> tuple[Kind, float]:
    kind = draw(kinds)
    # Values lie over the whole range and, as often, near its small end, where rounding bites.
    top = draw(st.sampled_from([kind.highest, kind.example, 0.01 * kind.example]))
    return kind, draw(st.floats(kind.lowest, max(top, kind.lowest)))


def step(kind: Kind, system: System) -> float:
    name = next(name for name, each in KINDS.items() if each is kind)
    return STEPS[name][0 if system is US else 1]


@given(kind_and_value(), systems, st.booleans())
def test_what_is_shown_reads_back(
    kind_value: tuple[Kind, float], system: System, unit: bool
) -> None:
    kind, value = kind_value
    text = show(value, kind, system, unit=unit)
    back = parse(text, kind, system)
    assert abs(back - value) <= step(kind, system) / 2 * (1 + 1e-9)
    assert show(back, kind, system, unit=unit) == text


@given(kind_and_value(), systems, systems)
def test_a_shown_value_means_the_same_in_the_other_system(
    kind_value: tuple[Kind, float], system: System, other: System
) -> None:
    kind, value = kind_value
    assume(kind is not RATIO)
    text = show(value, kind, system)
    assert parse(text, kind, other) == parse(text, kind, system)


@given(kind_and_value(), systems)
def test_typing_what_was_shown_and_switching_systems_never_drifts(
    kind_value: tuple[Kind, float], system: System
) -> None:
    kind, value = kind_value
    settled = parse(show(value, kind, system), kind, system)
    unit = shown_unit(kind, system)
    again = from_unit(to_unit(settled, unit, kind), unit, kind)
    assert again == pytest.approx(settled, rel=1e-14, abs=1e-16)


@given(kinds, systems, st.floats(-1e4, 1e4))
def test_a_difference_and_its_opposite_differ_in_sign_alone(
    kind: Kind, system: System, value: float
) -> None:
    there = show(value, kind, system, signed=True)
    back = show(-value, kind, system, signed=True)
    assert there.lstrip("+−") == back.lstrip("+−")
    assert "-" not in there


@given(kinds, systems, st.floats(), st.booleans(), st.booleans())
def test_any_float_can_be_shown(
    kind: Kind, system: System, value: float, unit: bool, signed: bool
) -> None:
    text = show(value, kind, system, unit=unit, signed=signed)
    assert text
    assert not re.search(r"[0-9][eE]|nan|inf|-", text)
    assert show_eighths(value)


def test_a_unit_of_something_else_is_an_error() -> None:
    with pytest.raises(ValueError, match="gr is no unit of a length"):
        to_unit(1.0, "gr", LENGTH)
    with pytest.raises(KeyError):
        from_unit(1.0, "cubit", LENGTH)
    assert math.isnan(to_unit(math.nan, "gr", WEIGHT))
    assert from_unit(math.inf, "gr", WEIGHT) == math.inf
    assert to_unit(-1e307, "in", LENGTH) == -math.inf


def test_a_difference_of_lengths_has_a_sign_and_eighths() -> None:
    inch = 0.0254
    for inches, us in (
        (-23.25, "−1 ft 11 1/4 in"),
        (5.5, "+5 1/2 in"),
        (0.01, "0 in"),
        (0.0, "0 in"),
    ):
        assert OnTape(inches * inch, signed=True).text(System.US) == us
    assert OnTape(1.25, signed=True).text(System.METRIC) == "+1.250 m"
    assert OnTape(-0.025, signed=True).text(System.METRIC) == "−25 mm"
    assert OnTape(0.025, signed=True).text(System.METRIC) == "+25 mm"


def test_every_kind_has_a_step() -> None:
    assert set(KINDS) <= set(STEPS)


def test_an_error_of_quarters_of_a_grain_is_never_told_smaller_than_it_is() -> None:
    for quarters in range(1, 200):
        grains = quarters / 4.0
        shown = show_error(grains * GRAIN, WEIGHT, System.US, unit=False)
        assert float(shown.split("\N{NO-BREAK SPACE}")[1]) >= grains
