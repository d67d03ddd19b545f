"""What is remarked on pieces: coatings that do not weld, stock that fits badly or is short."""

from __future__ import annotations

from dataclasses import replace

from taperlab import shipped
from taperlab.files import native
from taperlab.model.stock import Stock
from taperlab.shop.pieces.asking import Question
from taperlab.shop.pieces.remarks import remarks
from taperlab.shop.pieces.study import study_now
from taperlab.units.finding import Level
from taperlab.units.kinds import System
from taperlab.units.sentence import render

FILE = shipped.sample("pieces.taperlab")
BENCH = native.parse_bench(FILE.read_bytes(), "sample")


def told(*stock: Stock) -> list[tuple[Level, str]]:
    found = study_now(Question(((BENCH.lines[0], 1),), stock))
    return [(each.level, str(each.sentence)) for each in remarks(found)]


def test_nothing_but_a_note_is_said_of_stock_that_fits() -> None:
    assert [level for level, _ in told(*BENCH.stock)] == [Level.NOTE]


def test_coatings_of_two_families_are_not_welded_in_silence() -> None:
    other = [replace(each, coating="" if each.is_level else "hard") for each in BENCH.stock]
    assert not any("weld" in said for _, said in told(*other))  # one of them is not told
    other = [replace(each, coating="soft" if each.is_level else "hard") for each in BENCH.stock]
    cautions = [said for level, said in told(*other) if level is Level.CAUTION]
    assert len(cautions) == 2
    assert all("Old salmon line" in each and "loop to loop" in each for each in cautions)


def test_stock_that_is_short_stops_the_work() -> None:
    thick = [each for each in BENCH.stock if each.is_level and each.labelled is not None]
    short = [replace(each, length=0.6) for each in thick]
    stops = [said for level, said in told(*short) if level is Level.STOP]
    assert stops
    assert all(f" of {BENCH.lines[0].name}, " in each for each in stops)
    found = study_now(Question(((BENCH.lines[0], 1),), thick[:1]))
    assert found.short
    for each in remarks(found):
        assert "gr/ft" not in render(each.sentence, System.METRIC)
