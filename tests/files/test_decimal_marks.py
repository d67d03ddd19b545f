"""A comma before three digits: a decimal comma, or one that groups thousands, is never guessed."""

from __future__ import annotations

from pathlib import Path

import pytest

from taperlab.edits.edited import Refused
from taperlab.files.marks import marks_of
from taperlab.files.opening import read_any
from taperlab.files.problem import FileProblem, TableProblem
from taperlab.files.stations import read_stations
from taperlab.files.table import lay_out
from taperlab.gui.pages.shape.clipboard import read_block
from taperlab.units.columns import Column
from taperlab.units.kinds import LENGTH, System
from taperlab.units.parse import Unreadable, parse
from taperlab.units.typed import Mark
from taperlab.units.vocabulary import unit_named
from tests.tables import parse_table

MM = (
    "part;length [mm];front diameter [mm];rear diameter [mm];density [kg/m^3]\n"
    "belly;9,144;2;2;870\n"
)


def test_a_table_that_leaves_it_open_is_refused_and_says_how_to_write_it() -> None:
    with pytest.raises(FileProblem) as caught:
        parse_table(MM, "line.csv", "line")
    assert str(caught.value.sentence) == (
        "line.csv, row 2, column “length [mm]”: found “9,144”, which could mean 9.144 or 9144; "
        "write it one of these ways, or say which mark is decimal."
    )


@pytest.mark.parametrize(("mark", "metres"), [(",", 0.009144), (".", 9.144)])
def test_a_person_who_says_which_mark_is_decimal_is_taken_at_their_word(
    tmp_path: Path, mark: Mark, metres: float
) -> None:
    path = tmp_path / "line.csv"
    path.write_text(MM, encoding="utf-8")
    (segment,) = read_any(path, mark).lines[0].segments
    assert segment.length == pytest.approx(metres, rel=1e-12)


@pytest.mark.parametrize(
    ("cells", "mark"),
    [
        (["9,144"], None),
        (["9,144", "12,345"], None),
        (["9,144", "2,5"], ","),
        (["9,144", "0,085"], ","),
        (["9,144", "2.5"], "."),
        (["1.234,5"], ","),
        (["1,234.5"], "."),
        (["1,234,567"], "."),
        (["1.234.567"], ","),
        (["13 ft 6,5 in"], ","),
        (["870", ""], "."),
    ],
)
def test_what_the_cells_of_a_table_tell(cells: list[str], mark: Mark | None) -> None:
    assert marks_of(cells, ";").decimal == mark
    assert marks_of(cells, "\t").decimal == mark
    assert marks_of(cells, ",").decimal == "."


def test_one_cell_that_can_be_nothing_else_tells_of_all() -> None:
    line = parse_table(MM.replace(";2;2;", ";2,5;2,5;"), "line.csv", "line")
    assert line.segments[0].length == pytest.approx(0.009144)


def test_grouped_thousands_beside_a_decimal_comma_are_read() -> None:
    line = parse_table(MM.replace("9,144;2;2", "9.144,5;2,5;2,5"), "line.csv", "line")
    assert line.segments[0].length == pytest.approx(9.1445)


def test_a_column_decided_later_tells_too() -> None:
    layout = lay_out(MM.replace("length [mm]", "how long").replace("front diameter [mm]", "thick"))
    assert layout.open_number is None  # as nobody knows that it is a number
    layout = layout.decide(1, Column.LENGTH, unit_named("mm"))
    assert layout.open_number == (2, "how long", "9,144")
    layout = layout.decide(2, Column.FRONT_DIAMETER, unit_named("mm"))
    with pytest.raises(TableProblem, match="could mean"):
        layout.check()
    layout.decide_decimal(",").check()


def test_paste_judges_as_a_file_does() -> None:
    with pytest.raises(Refused, match=r"row 2, column .length \[mm\].*could mean 9\.144 or 9144"):
        read_block(MM.replace(";", "\t"), 0, System.US)
    rows = read_block(MM.replace(";2;2;", ";2,5;2,5;").replace(";", "\t"), 0, System.US)
    assert rows[0].numbers[Column.LENGTH].value == pytest.approx(0.009144)


def test_stations_are_judged_alike(tmp_path: Path) -> None:
    path = tmp_path / "stations.csv"
    path.write_text("distance [mm];diameter [mm]\n9,144;2\n", encoding="utf-8")
    with pytest.raises(FileProblem, match=r"row 2, column “distance \[mm\]”.*could mean 9\.144"):
        read_stations(path)
    assert read_stations(path, ",")[0].distance == pytest.approx(0.009144)
    assert read_stations(path, ".")[0].distance == pytest.approx(9.144)


@pytest.mark.parametrize(
    ("text", "mark", "metres"),
    [("9,144 mm", ".", 9.144), ("9.144 mm", ",", 9.144), ("1.234,5 mm", ",", 1.2345)],
)
def test_a_mark_that_is_known_to_group_groups(text: str, mark: Mark, metres: float) -> None:
    assert parse(text, LENGTH, System.US, decimal=mark, grouping=True) == pytest.approx(metres)


@pytest.mark.parametrize(
    ("text", "mark"), [("9,14", "."), ("9.14", ","), ("1,2,3", ","), ("9,", ",")]
)
def test_a_mark_that_cannot_group_is_refused(text: str, mark: Mark) -> None:
    with pytest.raises(Unreadable, match="has a comma or a point too many"):
        parse(text, LENGTH, System.US, decimal=mark, grouping=True)
