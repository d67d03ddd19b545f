import math

import pytest

from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Style
from taperlab.model.segment import Part
from taperlab.physics import frustum
from taperlab.physics.sinking import sink_rate
from taperlab.physics.water import WaterState
from taperlab.trade.starters import starter_rods, starter_stock
from taperlab.trade.tables import read_table


def test_rods_are_many_and_of_both_kinds():
    rods = starter_rods()
    assert len(rods) >= 8
    assert {rod.two_handed for rod in rods} == {True, False}
    assert len({rod.key for rod in rods}) == len(rods)
    assert [rod.length for rod in rods] == sorted(rod.length for rod in rods)
    styles = {window.style for rod in rods for window in rod.windows}
    assert styles >= {Style.SKAGIT, Style.SCANDI, Style.SINGLE_HAND, Style.LONG_BELLY}


def test_rod_figures_become_si():
    rod = next(rod for rod in starter_rods() if rod.key == "rod-mill-pool")
    window = rod.window_for(Style.SKAGIT)
    assert rod.length == pytest.approx(3.9624)
    assert window is not None
    assert window.lightest / GRAIN == pytest.approx(480)
    assert window.source


def test_longer_rods_take_heavier_heads():
    two_handed = [rod for rod in starter_rods() if rod.two_handed]
    heaviest = [rod.window_for(Style.SKAGIT).heaviest for rod in two_handed]
    assert heaviest == sorted(heaviest)


def test_stock_has_each_kind():
    stock = starter_stock()
    assert len({each.key for each in stock}) == len(stock)
    parts = {each.part for each in stock}
    assert parts >= {Part.SINK_TIP, Part.RUNNING_LINE, Part.HANDLING_LINE, Part.BELLY, Part.TIP}
    assert any(each.core for each in stock)


@pytest.mark.parametrize("grains_per_foot", [8, 11, 14, 17, 20])
def test_tungsten_stock_weighs_what_its_name_says(grains_per_foot):
    (stock,) = (s for s in starter_stock() if s.key == f"stock-tungsten-{grains_per_foot}")
    found = frustum.linear_density(stock.front_diameter, stock.density) / GRAIN * FOOT
    assert found == pytest.approx(grains_per_foot, rel=1e-4)


@pytest.mark.parametrize(
    ("grains_per_foot", "low", "high"), [(8, 6, 7), (11, 7, 8), (14, 8, 9), (17, 9, 10)]
)
def test_starter_tips_sink_as_fast_as_they_were_made_to(grains_per_foot, low, high):
    """Their diameters were derived from these rates [in/s], so this is no proof of either."""
    (stock,) = (s for s in starter_stock() if s.key == f"stock-tungsten-{grains_per_foot}")
    mass = stock.density * math.pi / 4.0 * stock.front_diameter**2
    rate = sink_rate(stock.front_diameter, mass, WaterState(999.1026, 1.13757e-3))
    assert low <= float(rate) / INCH <= high


def test_a_core_fits_inside_its_coating():
    for stock in starter_stock():
        if stock.core:
            assert stock.core.diameter < min(stock.front_diameter, stock.rear_diameter)
        assert 0.02 * INCH < stock.front_diameter < 0.12 * INCH


@pytest.mark.parametrize(
    "parts",
    [
        ("tables", "single_hand.toml"),
        ("tables", "two_handed.toml"),
        ("tables", "style_ratios.toml"),
        ("tables", "head_choice.toml"),
        ("tables", "sink_classes.toml"),
        ("cautions.toml",),
        ("starters", "rods.toml"),
        ("starters", "stock.toml"),
    ],
)
def test_every_table_names_its_source_edition_and_year(parts):
    table = read_table(*parts)
    assert all(table[key] for key in ("source", "edition", "year"))
