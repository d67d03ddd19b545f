"""Rods, stock, water and notes."""

from __future__ import annotations

import math

import pytest

from taperlab.edits import bench as bench_edits
from taperlab.edits import stock as stock_edits
from taperlab.edits.edited import Refused
from taperlab.model.bench import Bench
from taperlab.model.line import line_of
from taperlab.model.rod import Rod
from taperlab.model.segment import Core, Part, Segment
from taperlab.model.stock import Stock
from taperlab.model.water import ZERO_CELSIUS, Water, WaterKind

SWITCH, LONG = Rod("s", "Switch", 3.35), Rod("l", "Long", 4.57)
TIP = Stock(
    Part.SINK_TIP, 9.0, 0.001, 0.0013, 3000.0, Core(0.0005, 1400.0), key="t", name="Heavy tip"
)
BELLY = Segment(Part.BELLY, 5.0, 0.002, 0.002, 860.0)
BENCH = Bench((line_of("a", "Alder head", (BELLY,)),), (SWITCH, LONG), (TIP,), rod="l")


def test_rods_are_replaced_and_chosen():
    longer = Rod("l", "Longer", 4.9)
    assert bench_edits.choose_rod(BENCH, "s").bench.chosen_rod is SWITCH
    assert bench_edits.choose_rod(BENCH, None).bench.chosen_rod is None
    assert bench_edits.choose_rod(BENCH, "l").bench is BENCH
    after = bench_edits.set_rods(BENCH, (longer,), "l").bench
    assert (after.rods, after.rod) == ((longer,), "l")
    for refused in (
        lambda: bench_edits.set_rods(BENCH, (longer, LONG), "l"),
        lambda: bench_edits.set_rods(BENCH, (longer,), "s"),
        lambda: bench_edits.choose_rod(BENCH, "gone"),
    ):
        with pytest.raises(Refused):
            refused()


def test_stock_is_kept_by_key():
    kept = stock_edits.keep_as_stock(BENCH, "a", 0, "Belly stock").bench
    assert [each.key for each in kept.stock] == ["t", "stock-2"]
    assert stock_edits.delete_stock(kept, "t").bench.stock == kept.stock[1:]
    assert stock_edits.delete_stock(BENCH, "t").bench.stock == ()


def test_a_length_of_stock_is_cut_from_its_front():
    edited = stock_edits.insert_from_stock(BENCH, "a", 0, "t", 3.0)
    new = edited.bench.lines[0].segments[0]
    assert new.rear_diameter == pytest.approx(0.0011)
    assert (new.part, new.length, new.front_diameter, new.density, new.core, new.note) == (
        Part.SINK_TIP,
        3.0,
        0.001,
        3000.0,
        Core(0.0005, 1400.0),
        "Heavy tip",
    )
    assert edited.bench.stock is BENCH.stock
    assert edited.segments == (0,)


@pytest.mark.parametrize(
    ("length", "says"), [(9.5, r"only 29 ft 6 3/8 in of Heavy tip"), (0.0, "above zero")]
)
def test_more_stock_than_there_is_cannot_be_used(length, says):
    with pytest.raises(Refused, match=says):
        stock_edits.insert_from_stock(BENCH, "a", 0, "t", length)


def test_two_materials_cannot_have_one_name():
    once = stock_edits.keep_as_stock(BENCH, "a", 0, "Belly stock").bench
    assert [each.name for each in once.stock][-1] == "Belly stock"
    with pytest.raises(Refused, match="There is stock named"):
        stock_edits.keep_as_stock(once, "a", 0, " Belly  stock ")


def test_stock_cannot_be_thinner_than_its_core():
    with pytest.raises(ValueError, match="core diameter"):
        Stock(Part.TIP, 9.0, 0.0004, 0.001, 900.0, Core(0.0005, 1400.0), key="w", name="Wrong")


def test_water_is_what_was_typed():
    sea = bench_edits.set_water(BENCH, WaterKind.SEA, ZERO_CELSIUS - 1.0, 0.03).bench
    assert sea.water == Water(WaterKind.SEA, ZERO_CELSIUS - 1.0, 0.03)
    assert bench_edits.set_water(sea, WaterKind.SEA, ZERO_CELSIUS - 1.0, 0.03).bench is sea
    with pytest.raises(
        Refused, match=r"^Fresh water must be from 32\.0 °F to 104\.0 °F, not 30\.2 °F\.$"
    ):
        bench_edits.set_water(sea, WaterKind.FRESH, ZERO_CELSIUS - 1.0, 0.03)
    with pytest.raises(Refused, match=r"would be 60\.0 g/kg; it must be from 0\.0 g/kg to 42"):
        bench_edits.set_water(BENCH, WaterKind.FRESH, 283.15, 0.06)
    with pytest.raises(Refused, match="must be above zero"):
        bench_edits.set_water(BENCH, WaterKind.SEA, math.nan, 0.03)


def test_notes_are_written():
    noted = bench_edits.set_note(BENCH, "spring order").bench
    assert noted.note == "spring order"
    assert noted.lines is BENCH.lines
    assert bench_edits.set_note(noted, "spring order").bench is noted


def test_a_segment_is_kept_as_stock_under_a_name_of_its_own():
    belly = Segment(Part.BELLY, 3.0, 0.002, 0.002, 870.0)
    bench = Bench((line_of("a", "Head", (belly,)),))
    kept = stock_edits.keep_as_stock(bench, "a", 0, "  Level   belly ").bench
    (material,) = kept.stock
    assert (material.name, material.length, material.density) == ("Level belly", 3.0, 870.0)
    with pytest.raises(Refused, match="There is stock named"):
        stock_edits.keep_as_stock(kept, "a", 0, "Level belly")
    with pytest.raises(Refused, match="needs a name"):
        stock_edits.keep_as_stock(kept, "a", 0, " ")
