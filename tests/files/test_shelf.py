"""Stock as a table, both ways."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from taperlab.files import native
from taperlab.files.cells import to_text
from taperlab.files.problem import FileProblem, TableProblem
from taperlab.files.shelf import is_shelf, read_shelf, shelf_of, shelf_rows, write_shelf
from taperlab.model.bench import Bench
from taperlab.model.segment import Core, Part
from taperlab.model.stock import Stock
from taperlab.physics import section
from taperlab.units.kinds import System
from taperlab.units.limits import MOST_STOCK
from tests.looped import FOOT, GRAIN, INCH
from tests.strategies import stocks

TABLE = """name,kind,length [ft],front diameter [in],rear diameter [in],density [g/cm^3],grains per foot [gr/ft],leftover
Spool 14,floating 14,60,0.082,,,14,no
End of 14,floating 14,7.5,0.082,0.082,0.8735,,yes
Old head,,10,0.036,0.085,0.87,,no
Old head,,12,0.085,0.085,0.87,,
Old head,,8,0.085,0.040,0.87,,
"""  # noqa: E501


def test_spools_offcuts_and_a_tapered_line() -> None:
    spool, end, head = shelf_of(TABLE)
    assert (spool.name, spool.kind, spool.leftover) == ("Spool 14", "floating 14", False)
    assert section.linear_density(spool, 1.0) == pytest.approx(14.0 * GRAIN / FOOT)
    assert spool.rear_diameter == spool.front_diameter == pytest.approx(0.082 * INCH)
    assert end.leftover
    assert head.whole_length == pytest.approx(30.0 * FOOT)
    assert [each.rear_diameter / INCH for each in head.sections] == pytest.approx(
        [0.085, 0.085, 0.040]
    )
    assert not head.is_level
    assert spool.is_level


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("name,", "title,", "row 1, column “title”: found this name"),
        ("length [ft]", "length", "row 1, column “length”: found no unit"),
        ("60,0.082", "60 gr,0.082", "row 2, column “length [ft]”"),
        ("60,0.082,", "60,,", "row 2, column “front diameter [in]”: found nothing"),
        (",,14,no", ",,,no", "row 2, column “density [g/cm^3]”: found nothing"),
        (",,14,no", ",0.5,14,no", "row 2, column “grains per foot [gr/ft]”: found “14”"),
        (",,14,no", ",,0.06,no", "makes a density of"),
        (",,yes", ",,perhaps", "row 3, column “leftover”: found “perhaps”, expected yes or no"),
        ("End of 14,", "Old head,", "found “Old head” once more"),
        ("Old head,,8", "Old head,other,8", "as in the first row"),
        ("Spool 14,", ",", "expected a name for the stock"),
    ],
)
def test_what_is_wrong_is_told_with_its_place(old: str, new: str, says: str) -> None:
    text = TABLE.replace(old, new, 1)
    if new == "Old head,":
        text = text.replace("Old head,floating 14,7.5", "Old head,,7.5").replace(
            "Spool 14,floating", "Old head,,9,0.08,,0.8,,no\nSpool 14,floating"
        )
    with pytest.raises(TableProblem) as caught:
        shelf_of(text)
    assert says in str(caught.value.sentence)


def test_all_that_is_missing_is_told_at_once() -> None:
    """Who writes headings of another language learns all of it in one go, in either system."""
    own = "Name;Länge;Durchmesser vorn;Durchmesser hinten;Ort\nSpule;30;2,0;2,0;Regal\n"
    with pytest.raises(TableProblem) as caught:
        shelf_of(own)
    said = str(caught.value.sentence)
    assert "found no column for length and front diameter" in said
    assert "not known, “Länge”, “Durchmesser vorn”, “Durchmesser hinten” and “Ort”" in said
    for heading in ("name", "kind", "length [m]", "front diameter [mm]", "gr/ft in the brackets"):
        assert heading in said.split("Expected headings such as ")[1]
    # Units that lack are told together as well, and many names no longer one by one.
    with pytest.raises(TableProblem, match="no unit in brackets in “length” and “diameter”"):
        shelf_of("name,length,diameter\nSpool,60,0.08\n")
    with pytest.raises(TableProblem, match="“c6” and 3 more"):
        shelf_of(",".join(["name", "length [m]", *(f"c{n}" for n in range(-1, 10))]) + "\n1,2,3\n")


def test_a_table_of_stock_is_known_by_its_headings() -> None:
    assert is_shelf(TABLE)
    assert is_shelf("Stock;Left [m];⌀ [mm]\n")
    assert not is_shelf("part,length [ft],front diameter [in],rear diameter [in]\n")
    assert not is_shelf("Name;Länge;Durchmesser\n")
    assert not is_shelf("")


def test_an_empty_table_is_told_by_its_file(tmp_path: Path) -> None:
    path = tmp_path / "shelf.csv"
    path.write_text("name, length [ft], front diameter [in]\n", encoding="utf-8")
    with pytest.raises(FileProblem, match="holds no stock"):
        read_shelf(path)


def test_a_table_of_a_spreadsheet_has_empty_columns_and_says_things_twice() -> None:
    """Weight per length beside the density that makes it, within rounding; columns of nothing."""
    density = 14.0 * GRAIN / FOOT / (math.pi / 4.0 * (0.082 * INCH) ** 2) / 1000.0
    text = (
        "name,,length [ft],front diameter [in],density [g/cm^3],grains per foot [gr/ft],,\n"
        f"Spool,,60,0.082,{density:.3f},14.0,,\n"
    )
    (stock,) = shelf_of(text)
    assert section.linear_density(stock, 1.0) == pytest.approx(14.0 * GRAIN / FOOT, rel=1e-3)
    assert shelf_of("") == shelf_of("\n\n") == ()
    with pytest.raises(TableProblem, match="found this name"):
        shelf_of(text.replace("Spool,,", "Spool,what is this,"))


def test_a_note_is_that_of_the_first_row_and_what_is_not_said_is_no_leftover() -> None:
    rows = TABLE.replace("leftover\n", "leftover,note\n")
    rows = rows.replace("10,0.036,0.085,0.87,,no", "10,0.036,0.085,0.87,,,its tip")
    rows = rows.replace("12,0.085,0.085,0.87,,", "12,0.085,0.085,0.87,,,nicked")
    head = shelf_of(rows)[2]
    assert (head.note, head.leftover, len(head.sections)) == ("its tip", False, 3)


@settings(max_examples=40, deadline=None)
@given(st.lists(stocks(), max_size=3), st.sampled_from(System))
def test_what_is_written_is_read_again(shelf: list[Stock], system: System) -> None:
    named = [
        replace(
            each,
            name=f"Stock {i}",
            **{key: " ".join(getattr(each, key).split()).strip("\"'#,;") for key in TEXTS},
        )
        for i, each in enumerate(shelf)
    ]
    again = shelf_of(to_text(shelf_rows(named, system), "\t"))
    assert len(again) == len(named)
    for one, other in zip(named, again, strict=True):
        assert other.leftover == one.leftover
        assert (other.labelled or 0.0) == pytest.approx(one.labelled or 0.0)
        assert (other.mass_error or 0.0) == pytest.approx(one.mass_error or 0.0)
        for mine, theirs in zip(one.sections, other.sections, strict=True):
            assert section.mass(theirs) == pytest.approx(section.mass(mine), rel=1e-9)
            assert theirs.length == pytest.approx(mine.length, rel=1e-10)


def test_headings_are_understood_as_the_window_and_a_spool_write_them() -> None:
    text = "Stock\tLeft (ft)\t⌀ (in)\tLabel (gr/ft)\tWelds to\tWhere\nSpool\t40\t0.1\t20\tPU\tRack"
    (stock,) = shelf_of(text)
    assert (stock.name, stock.coating, stock.place) == ("Spool", "PU", "Rack")
    # 40 ft at 20 gr/ft are 800 gr, of 64.79891 mg each by definition.
    assert section.mass(stock) == pytest.approx(800 * 64.79891e-6)
    assert stock.labelled == pytest.approx(20 * 64.79891e-6 / 0.3048)
    for heading in ("grains per foot", "gr/ft"):
        (same,) = shelf_of(f"name,length [ft],diameter [in],{heading}\nSpool,40,0.1,20\n")
        assert section.mass(same) == pytest.approx(section.mass(stock))


def test_as_many_as_a_bench_holds_are_read_however_many_sections_they_have() -> None:
    """Forty heads to be cut up, thirty rows each, are more rows than a bench has stock."""
    head = shelf_of(TABLE)[2]
    tapered = [
        replace(head, name=f"Head {i}", behind=head.behind * 15) for i in range(MOST_STOCK // 25)
    ]
    again = shelf_of(to_text(shelf_rows(tapered), ","))
    assert [len(each.sections) for each in again] == [31] * len(tapered)
    spools = "".join(f"Spool {i},9,0.05,0.9\n" for i in range(MOST_STOCK + 1))
    with pytest.raises(TableProblem, match="more than 1,000 pieces of stock"):
        shelf_of("name,length [ft],front diameter [in],density [g/cm^3]\n" + spools)


def test_words_are_as_they_would_be_typed() -> None:
    """A segment is tied to a kind by typing it: no second blank may keep both apart."""
    text = "name,kind,coating,where,length [ft],diameter [in],label [gr/ft]\n"
    (stock,) = shelf_of(text + "A  1,fast  sink,P  U,top  shelf,9,0.05,20\n")
    assert (stock.name, stock.kind, stock.coating) == ("A 1", "fast sink", "P U")
    assert stock.place == "top shelf"


TEXTS = ("kind", "coating", "place", "note")


def test_through_a_file_and_a_bench(tmp_path: Path) -> None:
    core = Core(0.0005, 1140.0)
    shelf = tuple(
        replace(each, place="Drawer 2, left", cost=31.5, coating="vinyl", mass_error=0.004)
        for each in shelf_of(TABLE)
    )
    shelf = (*shelf, Stock(Part.TIP, 3.0, 0.001, 0.001, 900.0, core, key="Cored", name="Cored"))
    for name in ("shelf.csv", "shelf.tsv"):
        write_shelf(shelf, tmp_path / name)
        again = read_shelf(tmp_path / name)
        assert [each.place for each in again] == [each.place for each in shelf]
        assert [each.cost for each in again] == pytest.approx([31.5] * 3 + [None])
        assert section.mass(again[-1]) == pytest.approx(section.mass(shelf[-1]))
    bench = Bench(stock=shelf)
    assert native.loads(native.dumps(bench), "x") == bench
