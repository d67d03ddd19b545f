"""Cells from and to a spreadsheet's clipboard."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.files.cells import parse_clipboard, to_tsv


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ("", []),
        ("belly\t8.5\n", [["belly", "8.5"]]),
        ("belly\t8.5\r\ntip\t1\r\n", [["belly", "8.5"], ["tip", "1"]]),
        ('13\'6"\t0.085"\n', [["13'6\"", '0.085"']]),
        ('"0.085"""\tx\n', [['0.085"', "x"]]),
        ('"two\nlines"\tx', [["two\nlines", "x"]]),
        ('"unclosed\tx\ny\tz', [['"unclosed', "x"], ["y", "z"]]),
        ("0,085\t12,5", [["0,085", "12,5"]]),
        ("0,085\n0,060\n", [["0,085"], ["0,060"]]),
        ("12,5 mm\n", [["12,5 mm"]]),
        ("belly,8.5,.06", [["belly", "8.5", ".06"]]),
        ("belly;8,5;0,06", [["belly", "8,5", "0,06"]]),
        ("\t\n\nx\n", [["", ""], [""], ["x"]]),
    ],
)
def test_cells_as_copied(text: str, rows: list[list[str]]) -> None:
    assert parse_clipboard(text) == rows


@given(st.text())
def test_no_text_raises(text: str) -> None:
    assert all(row for row in parse_clipboard(text))


CELLS = st.text(st.characters(codec="utf-8"), max_size=6) | st.sampled_from(
    ["0,85", '0.085"', "\n"]
)


@given(st.integers(1, 3).flatmap(lambda n: st.lists(st.lists(CELLS, min_size=n, max_size=n))))
def test_copied_cells_paste_back(rows: list[list[str]]) -> None:
    assert parse_clipboard(to_tsv(rows)) == rows
