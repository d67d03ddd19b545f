"""The report: the promised keys with the promised units, and a text that tells the same."""

import json
import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.files.report import as_json, as_text, readouts
from taperlab.model.line import Line, Style, line_of
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Part, Segment
from taperlab.model.water import Water, WaterKind
from taperlab.shop.analyse import analyse_line
from taperlab.shop.on_rod import fit_to_rod
from taperlab.units.kinds import TEMPERATURE, System
from taperlab.units.show import from_unit

GRAIN, FOOT, INCH = 64.79891e-6, 0.3048, 0.0254

# The page of promises, key by key.
KEYS = {
    "line": {"name", "style", "length_ft", "weight_gr"},
    "head": {
        "length_ft",
        "weight_gr",
        "front_taper_weight_share",
        "front_taper_length_share",
        "balance_point_ft",
        "mean_gr_per_ft",
        "first_30_ft_gr",
    },
    "sink": {"head_ips", "fastest_ips", "slowest_ips", "floats", "water"},
    "rating": {"single_hand", "two_handed"},
}
SEGMENT = {
    "part",
    "length_ft",
    "weight_gr",
    "front_gr_per_ft",
    "rear_gr_per_ft",
    "front_sink_ips",
    "rear_sink_ips",
}
WATER = {"kind", "temperature_c", "density_kg_m3", "viscosity_mpa_s"}
ROD = {"name", "length_ft", "ratio", "window_gr", "in_window"}


def level(part: Part, feet: float, grains_per_foot: float, inches: float) -> Segment:
    """A level piece whose weight follows from its grains per foot alone."""
    density = grains_per_foot * GRAIN / FOOT / (math.pi / 4.0 * (inches * INCH) ** 2)
    return Segment(part, feet * FOOT, inches * INCH, inches * INCH, density)


def a_line() -> Line:
    # 2 + 10 + 28 ft of 3, 4 and 10 gr/ft: 6 + 40 + 280 = 326 gr of head over 40 ft.
    return line_of(
        "a",
        "Alder",
        (
            level(Part.TIP, 2.0, 3.0, 0.036),
            level(Part.FRONT_TAPER, 10.0, 4.0, 0.05),
            level(Part.BELLY, 28.0, 10.0, 0.075),
            level(Part.RUNNING_LINE, 100.0, 2.0, 0.03),
        ),
        Style.SCANDI,
    )


def numbers(value: Any) -> Iterator[float]:
    if isinstance(value, dict | list):
        for each in value.values() if isinstance(value, dict) else value:
            yield from numbers(each)
    elif isinstance(value, float):
        yield value


def check_shape(found: dict[str, Any]) -> None:
    assert found["schema"] == 1
    for key, inner in KEYS.items():
        assert inner <= set(found[key])
    for segment in found["segments"]:
        assert set(segment) >= SEGMENT
    assert set(found["sink"]["water"]) >= WATER
    assert found["rod"] is None or set(found["rod"]) >= ROD
    assert all(math.isfinite(number) for number in numbers(found))
    json.dumps(found, allow_nan=False)


def test_figures_in_the_promised_units() -> None:
    line = a_line()
    analysis = analyse_line(line, Water())
    rod = Rod(
        "r", "Mill pool", 13.0 * FOOT, windows=(Window(Style.SCANDI, 300 * GRAIN, 350 * GRAIN),)
    )
    found = as_json(analysis, fit_to_rod(analysis, rod))
    check_shape(found)
    near = pytest.approx
    assert found["line"] == {
        "name": "Alder",
        "style": "Scandi",
        "length_ft": near(140.0),
        "weight_gr": near(526.0),
    }
    head = found["head"]
    assert head["length_ft"] == near(40.0)
    assert head["weight_gr"] == near(326.0)
    assert head["front_taper_weight_share"] == near(46.0 / 326.0)
    assert head["front_taper_length_share"] == near(12.0 / 40.0)
    assert head["balance_point_ft"] == near((6 * 1 + 40 * 7 + 280 * 26) / 326.0)
    assert head["mean_gr_per_ft"] == near(326.0 / 40.0)
    # From 2 ft on, the level tip left out: 40 gr of front taper, then 20 ft of belly.
    assert head["first_30_ft_gr"] == near(40.0 + 200.0)
    assert [each["weight_gr"] for each in found["segments"]] == near([6.0, 40.0, 280.0, 200.0])
    assert found["segments"][2]["rear_gr_per_ft"] == near(10.0)
    assert found["rod"] == {
        "name": "Mill pool",
        "length_ft": near(13.0),
        "ratio": near(40.0 / 13.0),
        "ratio_counts": "head, without leader",
        "ratio_reading": "over the Scandi band: longer than is usual for a Scandi head",
        "ratio_with_tips": [],
        "window_gr": [near(300.0), near(350.0)],
        "in_window": True,
        "judged": "head",
        "judged_gr": near(326.0),
    }
    # 240 gr is line 9 on target: 230, 240, 250 (AFFTA, single-hand table).
    assert found["rating"]["single_hand"] == {
        "size": 9,
        "low_gr": near(230.0),
        "target_gr": near(240.0),
        "high_gr": near(250.0),
    }
    # 326 gr over 40 ft, nearest is H 7 with 300 (AFFTA, two-handed table).
    assert found["rating"]["two_handed"] == {
        "class": "H",
        "size": 7,
        "target_gr": near(300.0),
        "weighed_over_ft": near(40.0),
    }


def test_round_figures_stay_round() -> None:
    found = as_json(analyse_line(a_line(), Water()), None)
    assert found["rating"]["single_hand"]["target_gr"] == 240.0
    assert found["rating"]["two_handed"]["weighed_over_ft"] == 40.0
    assert found["head"]["length_ft"] == 40.0


def test_sink_is_signed_and_ordered() -> None:
    for density, floats in ((0.8, True), (1.5, False)):
        belly = Segment(Part.BELLY, 9.0, 0.001, 0.002, density * 1000.0)
        found = as_json(analyse_line(line_of("a", "a", (belly,)), Water()), None)
        sink = found["sink"]
        assert sink["floats"] is floats
        assert (sink["head_ips"] < 0.0) is floats
        assert sink["fastest_ips"] >= sink["head_ips"] >= sink["slowest_ips"]
        assert sink["water"]["kind"] == "fresh"
        assert sink["water"]["temperature_c"] == pytest.approx(10.0)
        # IAPWS at 10 °C: 999.70 kg/m3 and 1.3059 mPa s.
        assert sink["water"]["density_kg_m3"] == pytest.approx(999.70, abs=0.02)
        assert sink["water"]["viscosity_mpa_s"] == pytest.approx(1.3059, rel=2e-3)


def test_what_is_not_applicable_is_null() -> None:
    short = line_of("a", "a", (level(Part.BELLY, 23.0, 22.0, 0.1),), Style.SKAGIT)
    found = as_json(analyse_line(short, Water()), None)
    assert found["head"]["first_30_ft_gr"] is None
    assert found["rating"] == {"single_hand": None, "two_handed": None}
    assert found["rod"] is None


@pytest.mark.parametrize("segments", [(), (level(Part.RUNNING_LINE, 100.0, 2.0, 0.03),)])
def test_a_line_without_a_head(segments: tuple[Segment, ...]) -> None:
    analysis = analyse_line(line_of("a", "a", segments), Water())
    rod = fit_to_rod(analysis, length=4.0, window=(0.02, 0.03))
    found = as_json(analysis, rod)
    check_shape(found)
    assert set(found["head"].values()) == {None}
    assert found["sink"]["floats"] is None
    assert found["rod"]["in_window"] is None
    assert found["rod"]["ratio"] is None
    assert found["findings"]
    assert as_text(analysis, rod)


def test_as_much_of_a_rod_as_is_known() -> None:
    analysis = analyse_line(a_line(), Water())
    assert fit_to_rod(analysis) is None
    found = as_json(analysis, fit_to_rod(analysis, length=13 * FOOT))["rod"]
    assert (found["name"], found["window_gr"], found["in_window"]) == (None, None, None)
    assert found["ratio"] == pytest.approx(40 / 13)
    found = as_json(analysis, fit_to_rod(analysis, window=(330 * GRAIN, 400 * GRAIN)))["rod"]
    assert (found["length_ft"], found["ratio"], found["in_window"]) == (None, None, False)
    rod = Rod("r", "Mill pool", 4.0, windows=(Window(Style.SKAGIT, 0.03, 0.04),))
    assert as_json(analysis, fit_to_rod(analysis, rod))["rod"]["window_gr"] is None
    own = fit_to_rod(analysis, rod, window=(300 * GRAIN, 400 * GRAIN))
    assert as_json(analysis, own)["rod"]["in_window"] is True


def test_text_has_grains_beside_grams_and_lists_findings() -> None:
    light = replace(a_line(), name="two\nlines")
    analysis = analyse_line(light, Water(WaterKind.SEA))
    rod = fit_to_rod(analysis, length=13 * FOOT, window=(200 * GRAIN, 300 * GRAIN))
    text = as_text(analysis, rod)
    assert text.startswith("two lines (Scandi)\n")
    assert "326.0 gr (21.12 g)" in text
    assert "\ncaution: Heavier than the rod’s grain window" in text
    assert "sea, 50.0 °F, 35.0 g/kg of salt (practical salinity 34.84)" in text
    metric = as_text(analysis, rod, System.METRIC)
    assert "21.12 g (326.0 gr)" in metric
    assert "12.192 m" in metric
    assert not any(line.endswith(" ") for line in text.splitlines())
    labels = [label for label, _ in readouts(analysis, rod)]
    assert len(labels) == len(set(labels))


def test_a_body_alone_is_given_with_each_tip_and_not_read() -> None:
    body = line_of("b", "Body", (level(Part.BELLY, 23.0, 20.0, 0.09),), Style.SKAGIT)
    tip = line_of("t", "Tip", (level(Part.SINK_TIP, 10.0, 11.0, 0.036),), Style.TIP)
    analysis = analyse_line(body, Water())
    rod = Rod("r", "Mill pool", 13.0 * FOOT)
    found = as_json(analysis, fit_to_rod(analysis, rod, lines=(body, tip)))["rod"]
    assert found["ratio"] == pytest.approx(23.0 / 13.0)
    assert found["ratio_counts"] == "body alone"
    assert found["ratio_reading"] is None
    (beside,) = found["ratio_with_tips"]
    assert beside["tip"] == "Tip"
    assert beside["ratio"] == pytest.approx(33.0 / 13.0)


@pytest.mark.parametrize(("fahrenheit", "celsius"), [(32.0, 0.0), (50.0, 10.0), (68.0, 20.0)])
def test_a_round_temperature_stays_round(fahrenheit: float, celsius: float) -> None:
    kelvin = from_unit(fahrenheit, "°F", TEMPERATURE)
    analysis = analyse_line(a_line(), Water(temperature=kelvin))
    given = as_json(analysis, None)["sink"]["water"]["temperature_c"]
    assert given == celsius
    assert math.copysign(1.0, given) == 1.0


def test_salt_is_given_as_weighed_and_as_the_field_reads_it() -> None:
    sea = as_json(analyse_line(a_line(), Water(WaterKind.SEA)), None)["sink"]["water"]
    assert sea["salinity_g_kg"] == 35.0
    # 35 g/kg x 35 / 35.16504 (Millero and others, 2008).
    assert sea["practical_salinity"] == pytest.approx(34.8357, abs=1e-4)
    fresh = as_json(analyse_line(a_line(), Water()), None)["sink"]["water"]
    assert fresh["salinity_g_kg"] is None
    assert fresh["practical_salinity"] is None


def test_a_long_head_is_of_the_class_of_the_written_standard_alone() -> None:
    line = line_of("a", "a", (level(Part.BELLY, 55.0, 10.0, 0.08),))
    found = dict(readouts(analyse_line(line, Water()), None))
    assert "Class S (short belly): the first 55 ft" in found["Two-handed"]
    assert not any("in the trade" in each for each in found.values())


segments = st.builds(
    Segment,
    st.sampled_from(Part),
    st.floats(0.01, 40.0),
    st.floats(0.0003, 0.004),
    st.floats(0.0003, 0.004),
    st.floats(200.0, 15000.0),
)


@given(st.lists(segments, max_size=5), st.sampled_from(Style), st.sampled_from(System))
def test_every_line_can_be_reported(made: list[Segment], style: Style, system: System) -> None:
    analysis = analyse_line(line_of("a", "a", tuple(made), style), Water())
    rod = fit_to_rod(analysis, length=4.0, window=(0.02, 0.03))
    check_shape(as_json(analysis, rod))
    assert as_text(analysis, rod, system).endswith("\n")
