"""The shelf: weighed, cut from, put back; segments tied to it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from taperlab.edits import stock as stock_edits
from taperlab.edits.edited import Refused
from taperlab.model.bench import Bench
from taperlab.model.line import line_of
from taperlab.model.segment import Core, Part, Segment
from taperlab.model.stock import Stock
from taperlab.physics import section
from tests.looped import FOOT, GRAIN

HEAD = Stock(
    Part.BELLY,
    3.0,
    0.001,
    0.002,
    870.0,
    key="h",
    name="Old head",
    behind=(Segment(Part.BELLY, 4.0, 0.002, 0.002, 870.0),),
    cost=70.0,
)
SPOOL = Stock(Part.BELLY, 18.0, 0.002, 0.002, 870.0, key="s", name="Spool", kind="14", cost=36.0)
LINE = line_of("a", "Alder", (Segment(Part.BELLY, 5.0, 0.002, 0.002, 860.0),))
BENCH = Bench((LINE,), stock=(HEAD, SPOOL))


def mass(stock: Stock) -> float:
    return sum(section.mass(each) for each in stock.sections)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.0, 6.9), st.floats(0.001, 7.0))
def test_length_and_mass_are_kept_when_stock_is_cut(begin: float, size: float) -> None:
    end = min(7.0, begin + size)
    if end <= begin:
        return
    cut = sum(section.mass(each) for each in HEAD.stretch(begin, end))
    left = stock_edits.cut_from_stock(BENCH, "h", begin, end).bench.stock[:-1]
    assert sum(each.whole_length for each in left) == pytest.approx(7.0 - (end - begin), abs=1e-4)
    assert sum(map(mass, left)) + cut == pytest.approx(mass(HEAD), rel=1e-4)
    assert all(each.leftover for each in left)
    spent = sum(each.cost or 0.0 for each in left)
    assert spent == pytest.approx(70.0 * (1.0 - (end - begin) / 7.0), abs=1e-2)


def test_a_cut_in_the_middle_leaves_two_pieces_each_with_a_name() -> None:
    shelf = stock_edits.cut_from_stock(BENCH, "h", 2.0, 4.0).bench.stock
    assert [each.name for each in shelf] == ["Old head", "Old head 2", "Spool"]
    assert len({each.key for each in shelf}) == 3
    assert [each.whole_length for each in shelf[:2]] == pytest.approx([2.0, 3.0])
    gone = stock_edits.cut_from_stock(BENCH, "s", 0.0, 18.0).bench
    assert [each.key for each in gone.stock] == ["h"]
    for begin, end, says in ((3.0, 3.0, "begin before"), (0.0, 30.0, "only 59 ft")):
        with pytest.raises(Refused, match=says):
            stock_edits.cut_from_stock(BENCH, "s", begin, end)
    with pytest.raises(Refused):
        stock_edits.cut_from_stock(BENCH, "s", math.nan, 2.0)


def test_ten_feet_are_weighed_and_diameters_stay() -> None:
    after = stock_edits.weigh_stock(BENCH, "s", 10.0 * FOOT, 143.0 * GRAIN, 0.5 * GRAIN).bench
    spool = after.stock[1]
    assert section.linear_density(spool, 0.0) == pytest.approx(14.3 * GRAIN / FOOT)
    assert spool.front_diameter == SPOOL.front_diameter
    assert spool.mass_error == pytest.approx(0.5 / math.sqrt(12.0) / 143.0)
    whole = stock_edits.weigh_stock(BENCH, "h", 7.0, mass(HEAD) * 1.1, 1e-5).bench.stock[0]
    assert mass(whole) == pytest.approx(mass(HEAD) * 1.1)
    with pytest.raises(Refused, match="only"):
        stock_edits.weigh_stock(BENCH, "h", 9.0, 0.01, 1e-5)
    with pytest.raises(Refused, match="step"):
        stock_edits.weigh_stock(BENCH, "h", 3.0, 0.01, 1.0)


def test_a_core_stays_what_it_is_when_the_whole_is_weighed() -> None:
    cored = Stock(Part.TIP, 3.0, 0.001, 0.001, 900.0, Core(0.0006, 1400.0), key="c", name="Cored")
    bench = Bench(stock=(cored,))
    after = stock_edits.weigh_stock(bench, "c", 3.0, 1.2 * mass(cored), 1e-5).bench.stock[0]
    assert after.core == cored.core
    assert mass(after) == pytest.approx(1.2 * mass(cored))
    with pytest.raises(Refused, match="core alone"):
        stock_edits.weigh_stock(bench, "c", 3.0, 0.2 * mass(cored), 1e-6)


def test_a_batch_is_believed_to_be_heavier() -> None:
    after = stock_edits.believe_stock(BENCH, "s", 1.022, 0.002).bench.stock[1]
    assert mass(after) == pytest.approx(1.022 * mass(SPOOL))
    assert after.mass_error == 0.002
    with pytest.raises(Refused):
        stock_edits.believe_stock(BENCH, "s", 9.0, 0.002)


def test_a_tapered_line_goes_into_a_line_section_by_section() -> None:
    edited = stock_edits.insert_from_stock(BENCH, "a", 1, "h", 5.0)
    new = edited.bench.lines[0].segments[1:]
    assert [each.length for each in new] == [3.0, 2.0]
    assert [each.note for each in new] == ["Old head", "Old head"]
    assert edited.segments == (1, 2)
    assert edited.bench.stock is BENCH.stock


def test_segments_are_tied_and_let_go() -> None:
    tied = stock_edits.tie_segments(BENCH, "a", (0,), " Spool ").bench
    assert tied.lines[0].segments[0].stock == "Spool"
    assert stock_edits.tie_segments(tied, "a", (0,), "Spool").bench is tied
    assert stock_edits.tie_segments(tied, "a", (0,), "").bench == BENCH


def test_a_table_adds() -> None:
    more = Stock(Part.BELLY, 4.0, 0.001, 0.001, 870.0, key="x", name="More")
    added = stock_edits.add_stock(BENCH, (more,)).bench
    assert [each.key for each in added.stock] == ["h", "s", "stock-3"]
    with pytest.raises(Refused, match="named Spool already"):
        stock_edits.add_stock(BENCH, (SPOOL,))


def test_what_lies_on_the_shelf_just_so_is_not_put_there_twice() -> None:
    for lying in BENCH.stock:
        assert stock_edits.put_on_shelf(BENCH, replace(lying, key="kept")).bench is BENCH
    other = replace(SPOOL, key="kept", length=9.0)
    with pytest.raises(Refused, match="named Spool already"):
        stock_edits.put_on_shelf(BENCH, other)


def test_stock_is_described_otherwise() -> None:
    after = stock_edits.change_stock(
        BENCH, "s", Stock(Part.TIP, 4.0, 0.001, 0.001, 870.0, key="x", name="Thin")
    ).bench.stock[1]
    assert (after.key, after.name, after.part) == ("s", "Thin", Part.TIP)
    with pytest.raises(Refused, match="named Old head already"):
        stock_edits.change_stock(BENCH, "s", HEAD)


def test_a_plan_is_cut_as_one_step_and_what_is_left_keeps_its_name() -> None:
    cuts = {"h": [(5.0, 6.0), (1.0, 2.0)], "s": [(0.0, 4.0), (4.0, 7.0)]}
    after = stock_edits.cut_plan(BENCH, cuts).bench
    assert [(each.key, each.name) for each in after.stock if each.key in "hs"] == [
        ("h", "Old head"),
        ("s", "Spool"),
    ]
    lengths = [each.whole_length for each in after.stock]
    assert lengths == pytest.approx([1.0, 3.0, 1.0, 11.0])
    used = stock_edits.cut_plan(BENCH, {"s": [(0.0, 18.0001)]}).bench
    assert [each.key for each in used.stock] == ["h"]
    for wrong, says in (
        ({}, "nothing to cut"),
        ({"s": [(0.0, 4.0), (3.0, 5.0)]}, "Two pieces"),
        ({"s": [(0.0, 30.0)]}, "only 59 ft"),
        ({"gone": [(0.0, 1.0)]}, "no longer"),
    ):
        with pytest.raises(Refused, match=says):
            stock_edits.cut_plan(BENCH, wrong)
