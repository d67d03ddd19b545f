from __future__ import annotations

import math

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from taperlab.units.kinds import (
    DENSITY,
    DIAMETER,
    LENGTH,
    RATIO,
    SALINITY,
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
from taperlab.units.parse import Unreadable, limits, parse, parse_unit, quoted
from taperlab.units.sentence import render
from taperlab.units.show import show
from tests.kinds import KINDS

US, METRIC = System.US, System.METRIC

FOOT, INCH, GRAIN = 0.3048, 0.0254, 64.79891e-6


@pytest.mark.parametrize(
    ("text", "kind", "si"),
    [
        ("13'6\"", LENGTH, 13.5 * FOOT),
        ("13' 6 1/2\"", LENGTH, 162.5 * INCH),
        ("13 ft 6 in", LENGTH, 13.5 * FOOT),
        ("13ft6", LENGTH, 13.5 * FOOT),
        ("13-6", LENGTH, 13.5 * FOOT),
        ("13-6 1/2", LENGTH, 162.5 * INCH),
        ("13½'", LENGTH, 13.5 * FOOT),
        ("13′6½″", LENGTH, 162.5 * INCH),
        ("13’6”", LENGTH, 13.5 * FOOT),
        ("6 in", LENGTH, 0.5 * FOOT),
        ("2 yd", LENGTH, 6 * FOOT),
        ("6-1/2 ft", LENGTH, 6.5 * FOOT),
        ('6-1/2"', LENGTH, 6.5 * INCH),
        ("4.11 m", LENGTH, 4.11),
        ("411 cm", LENGTH, 4.11),
        ("4110 mm", LENGTH, 4.11),
        ("4,11 m", LENGTH, 4.11),
        ('0.085"', DIAMETER, 0.085 * INCH),
        ("85 thou", DIAMETER, 0.085 * INCH),
        ("85 mil", DIAMETER, 0.085 * INCH),
        ("2.16mm", DIAMETER, 0.00216),
        ("12,5 mm", DIAMETER, 0.0125),
        ("12,5\u00a0mm", DIAMETER, 0.0125),
        ("6 1/2 in", SHORT_LENGTH, 6.5 * INCH),
        ('⅝"', SHORT_LENGTH, 0.625 * INCH),
        ("480 gr", WEIGHT, 480 * GRAIN),
        ("480 GR", WEIGHT, 480 * GRAIN),
        ("480 grains", WEIGHT, 480 * GRAIN),
        ("1,050.5 gr", WEIGHT, 1050.5 * GRAIN),
        ("31.1 g", WEIGHT, 0.0311),
        ("31,1 g", WEIGHT, 0.0311),
        ("1.1 oz", WEIGHT, 1.1 * 437.5 * GRAIN),
        ("2.5 gr", SMALL_WEIGHT, 2.5 * GRAIN),
        ("870 kg/m3", DENSITY, 870.0),
        ("870 kg/m³", DENSITY, 870.0),
        ("0.87 g/cc", DENSITY, 870.0),
        ("0,87 g/cm^3", DENSITY, 870.0),
        ("0.87 g per cc", DENSITY, 870.0),
        ("14 gr/ft", WEIGHT_PER_LENGTH, 14 * GRAIN / FOOT),
        ("14 grains per foot", WEIGHT_PER_LENGTH, 14 * GRAIN / FOOT),
        ("14 gpf", WEIGHT_PER_LENGTH, 14 * GRAIN / FOOT),
        ("3 g/m", WEIGHT_PER_LENGTH, 0.003),
        ("7 ips", SINK_RATE, 7 * INCH),
        ("−0.5 in/s", SINK_RATE, -0.5 * INCH),
        ("17.78 cm/s", SINK_RATE, 0.1778),
        ("10 degC", TEMPERATURE, 283.15),
        ("10°C", TEMPERATURE, 283.15),
        ("10 ° C", TEMPERATURE, 283.15),
        ("10C", TEMPERATURE, 283.15),
        ("50 F", TEMPERATURE, 283.15),
        ("50 degF", TEMPERATURE, 283.15),
        ("−2 °C", TEMPERATURE, 271.15),
        ("35 g/kg", SALINITY, 0.035),
        ("35 ‰", SALINITY, 0.035),
        ("3.5 %", SALINITY, 0.035),
        ("42,5%", SHARE, 0.425),
        ("2.75×", RATIO, 2.75),
        ("3:1", RATIO, 3.0),
    ],
)
def test_a_text_with_units_means_the_same_in_both_systems(text: str, kind: Kind, si: float) -> None:
    assert parse(text, kind, US) == pytest.approx(si, rel=1e-15)
    assert parse(text, kind, METRIC) == pytest.approx(si, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "kind", "us", "metric"),
    [
        ("13.5", LENGTH, 13.5 * FOOT, 13.5),
        ("6 1/2", LENGTH, 6.5 * FOOT, 6.5),
        (".085", DIAMETER, 0.085 * INCH, 0.000085),
        ("1/16", DIAMETER, INCH / 16, 0.0000625),
        ("2-1/2", SHORT_LENGTH, 2.5 * INCH, 0.0025),
        ("480", WEIGHT, 480 * GRAIN, 0.48),
        ("0.87", DENSITY, 870.0, 870.0),
        ("14", WEIGHT_PER_LENGTH, 14 * GRAIN / FOOT, 0.014),
        ("-3", SINK_RATE, -3 * INCH, -0.03),
        ("40", TEMPERATURE, (40 + 459.67) / 1.8, 313.15),
        ("35", SALINITY, 0.035, 0.035),
        ("42.5", SHARE, 0.425, 0.425),
        ("0", SHORT_LENGTH, 0.0, 0.0),
    ],
)
def test_a_bare_number_takes_the_unit_shown(
    text: str, kind: Kind, us: float, metric: float
) -> None:
    assert parse(text, kind, US) == pytest.approx(us, rel=1e-15)
    assert parse(text, kind, METRIC) == pytest.approx(metric, rel=1e-15)


def test_a_column_can_lend_a_bare_number_its_own_unit() -> None:
    assert parse("411", LENGTH, US, unit=parse_unit("cm", LENGTH)) == 4.11
    assert parse("13 ft", LENGTH, US, unit=parse_unit("cm", LENGTH)) == 13 * FOOT
    assert parse("4,115", LENGTH, METRIC, unit=parse_unit("m", LENGTH), decimal=",") == 4.115


def why_not(text: str, kind: Kind = LENGTH, system: System = US) -> str:
    with pytest.raises(Unreadable) as caught:
        parse(text, kind, system)
    assert str(caught.value) == str(caught.value.sentence)
    return render(caught.value.sentence, system)


@pytest.mark.parametrize(
    ("text", "kind", "sentence"),
    [
        ("", LENGTH, "Nothing was typed: type a length such as 13 ft 6 in."),
        ("\u00a0 ", WEIGHT, "Nothing was typed: type a weight such as 480.0 gr."),
        (
            "480 gr",
            LENGTH,
            "“480 gr” is a weight where a length is expected: type a length such as 13 ft 6 in.",
        ),
        (
            "13'6\"",
            WEIGHT,
            "“13'6\"” is a length where a weight is expected: type a weight such as 480.0 gr.",
        ),
        (
            "10 g",
            TEMPERATURE,
            "“10 g” is a weight where a water temperature is expected: "
            "type a water temperature such as 50.0 °F.",
        ),
        (
            "5 c",
            LENGTH,
            "“5 c” is a temperature where a length is expected: type a length such as 13 ft 6 in.",
        ),
        (
            "14 T",
            WEIGHT,
            "“14 T” has a unit that is not known, “T”: type a weight such as 480.0 gr; "
            "the units are gr, g or oz.",
        ),
        (
            "-3 ft",
            LENGTH,
            "“-3 ft” is below zero, which a length cannot be: "
            "type a length from 0.0004 in to 3000 ft.",
        ),
        (
            "0",
            LENGTH,
            "“0” is zero, and a length must be more: type a length from 0.0004 in to 3000 ft.",
        ),
        ("nan", LENGTH, "“nan” is not a number: type a length such as 13 ft 6 in."),
        ("-inf", LENGTH, "“-inf” is not a finite number: type a length such as 13 ft 6 in."),
        (
            "3 miles",
            LENGTH,
            "“3 miles” is longer than any spool of line: type a length from 0.0004 in to 3000 ft.",
        ),
        (
            "1 µm",
            LENGTH,
            "“1 µm” is too short to cut: type a length from 0.0004 in to 3000 ft.",
        ),
        (
            "2 in",
            DIAMETER,
            "“2 in” is thicker than any fly line: type a diameter from 0.0004 in to 0.500 in.",
        ),
        (
            "30",
            DENSITY,
            "“30” is heavier than any metal: type a density from 0.050 g/cm³ to 25.000 g/cm³.",
        ),
        (
            "-5 °C",
            TEMPERATURE,
            "“-5 °C” is colder than sea water gets before it freezes: "
            "type a water temperature from 28.4 °F to 104.0 °F.",
        ),
        (
            "1,234 gr",
            WEIGHT,
            "“1,234 gr” could mean 1.234 or 1234, so write it one of these ways: "
            "type a weight such as 480.0 gr.",
        ),
        (
            "6-1/2",
            LENGTH,
            "“6-1/2” could be feet and inches or feet and a part of a foot: "
            "write ft or in after it, or type a length such as 13 ft 6 in.",
        ),
        (
            "a lot",
            DENSITY,
            "“a lot” does not start with a number: type a density such as 0.870 g/cm³.",
        ),
    ],
)
def test_each_fault_has_its_own_sentence(text: str, kind: Kind, sentence: str) -> None:
    assert why_not(text, kind) == sentence


def test_the_example_is_in_the_units_of_the_person() -> None:
    assert why_not("x", LENGTH, METRIC).endswith("type a length such as 4.115 m.")
    assert why_not("-3", DIAMETER, METRIC).endswith("from 0.01 mm to 12.70 mm.")


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
@pytest.mark.parametrize("system", System)
def test_the_faults_of_a_kind_are_told_apart(kind: Kind, system: System) -> None:
    other = "5 °C" if kind.dimension is not TEMPERATURE.dimension else "5 gr"
    unit = kind.shown(system).unit
    texts = ["", "?", "nan", "inf", "1,234", "1 cubit", other, f"1e30 {unit}", f"-1e30 {unit}"]
    if not kind.signed and kind.lowest > 0.0:
        texts.append("0")
    sentences = [why_not(text, kind, system) for text in texts]
    for text, sentence in zip(texts, sentences, strict=True):
        assert quoted(text.strip()) in sentence or not text
        assert kind.noun in sentence
        assert sentence.endswith(".")
        assert "\n" not in sentence
    reasons = {
        sentence.removeprefix(quoted(text.strip()))
        for text, sentence in zip(texts, sentences, strict=True)
    }
    assert len(reasons) == len(texts)


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
@pytest.mark.parametrize("system", System)
def test_the_limits_themselves_are_taken_and_what_lies_beyond_is_not(
    kind: Kind, system: System
) -> None:
    for limit, beyond in (
        (kind.lowest, kind.lowest - max(abs(kind.lowest), kind.example) * 0.5),
        (kind.highest, kind.highest + max(abs(kind.highest), kind.example) * 0.5),
    ):
        shown = show(limit, kind, system)
        assert shown in render(limits(kind), system)
        assert kind.lowest <= parse(shown, kind, system) <= kind.highest
        why_not(show(beyond, kind, system), kind, system)


@pytest.mark.parametrize(("text", "kind"), [("2-6", SHORT_LENGTH), ("85-90", DIAMETER)])
def test_a_range_is_not_taken_for_feet_and_inches(text: str, kind: Kind) -> None:
    assert "is more than one number and a unit" in why_not(text, kind)


def test_a_long_or_crooked_text_is_quoted_on_one_short_line() -> None:
    assert quoted("12\r\n3\t4\x00") == "“12 3 4”"
    assert quoted("x" * 100) == "“" + "x" * 40 + "…”"
    assert "…”" in why_not("9" * 1000)


nasty = st.one_of(
    st.text(),
    st.text(alphabet="0123456789.,-−+/'\"′″½ eEftingrmoz³°C%_"),
    st.builds(
        "{}{} {}".format,
        st.floats() | st.integers(),
        st.sampled_from(["", "e5", "'", "-6", " 1/2", ",5"]),
        st.sampled_from(["ft", "in", "gr", "g", "°C", "T", "gr/ft", "kg/m3", "%", ""]),
    ),
)


@settings(deadline=None)  # the first unit that is not shown anywhere loads pint
@given(
    text=nasty,
    kind=st.sampled_from(list(KINDS.values())),
    system=st.sampled_from(System),
    decimal=st.sampled_from([".", ","]),
)
@example(text="2**99999999", kind=LENGTH, system=US, decimal=".")
@example(text="__import__('os')", kind=LENGTH, system=US, decimal=".")
@example(text="1e99 mi", kind=LENGTH, system=US, decimal=".")
@example(text="9" * 55 + "e99", kind=WEIGHT, system=US, decimal=".")
@example(text="1e-99", kind=WEIGHT, system=US, decimal=".")
@example(text="\ud800", kind=WEIGHT, system=US, decimal=".")
def test_any_text_gives_a_value_within_limits_or_a_sentence(
    text: str, kind: Kind, system: System, decimal: str
) -> None:
    try:
        value = parse(text, kind, system, decimal=decimal)  # type: ignore[arg-type]
    except Unreadable:
        return
    assert math.isfinite(value)
    assert kind.lowest <= value <= kind.highest


@pytest.mark.parametrize(
    ("heading", "kind", "symbol"),
    [
        ("ft", LENGTH, "ft"),
        ("in", DIAMETER, "in"),
        ("g/cm^3", DENSITY, "g/cm³"),
        (" kg/m3 ", DENSITY, "kg/m³"),
        ("gr", WEIGHT, "gr"),
        ("gr/ft", WEIGHT_PER_LENGTH, "gr/ft"),
        ("°C", TEMPERATURE, "°C"),
    ],
)
def test_units_of_headings(heading: str, kind: Kind, symbol: str) -> None:
    assert parse_unit(heading, kind).symbol == symbol


@pytest.mark.parametrize(
    ("heading", "sentence"),
    [
        ("gr", "“gr” is a unit of a weight, not of a diameter: the units are in, thou or mm."),
        (
            "cubit",
            "“cubit” is not a unit that is known: for a diameter, the units are in, thou or mm.",
        ),
        (" ", "No unit is named: for a diameter, the units are in, thou or mm."),
    ],
)
def test_headings_that_do_not_fit(heading: str, sentence: str) -> None:
    with pytest.raises(Unreadable) as caught:
        parse_unit(heading, DIAMETER)
    assert str(caught.value.sentence) == sentence


@given(st.text(), st.sampled_from(list(KINDS.values())))
def test_any_heading_gives_a_unit_that_fits_or_a_sentence(text: str, kind: Kind) -> None:
    try:
        unit = parse_unit(text, kind)
    except Unreadable:
        return
    assert unit.dimension is kind.dimension
