"""What screen readers find on each page: as it is written down, and nothing without a name."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from taperlab.gui.pages.catalogue import PAGES, Entry
from tests.gui.accessible.tree import BOXES, FOLDER, Role, page_tree, text_of
from tests.gui.hands import NOISE, settle

pytestmark = pytest.mark.qt_log_ignore(NOISE)

each_page = pytest.mark.parametrize("entry", PAGES, ids=[entry.key for entry in PAGES])


@each_page
def test_a_page_is_told_as_it_is_written_down(qtbot: QtBot, entry: Entry) -> None:
    now = text_of(entry)
    settle()
    kept = (FOLDER / f"{entry.key}.txt").read_text(encoding="utf-8")
    assert now == kept, "python -m tests.gui.accessible.write writes it anew"


@each_page
def test_no_control_and_no_box_is_without_a_name(qtbot: QtBot, entry: Entry) -> None:
    told = list(page_tree(entry).all())
    settle()
    assert sum(each.is_stop for each in told) > 5
    assert sum(each.role in BOXES for each in told) > 3
    nameless = [each for each in told if not each.name]
    assert [(each.role.name, each.value) for each in nameless if each.role is not Role.Pane] == []


@pytest.mark.parametrize(
    "entry", [each for each in PAGES if each.key != "jobs"], ids=lambda entry: entry.key
)
def test_a_plot_says_in_words_what_it_shows(qtbot: QtBot, entry: Entry) -> None:
    charts = [each for each in page_tree(entry).all() if each.role is Role.Chart]
    settle()
    assert charts
    for each in charts:
        assert each.name
        assert any(letter.isdigit() for letter in each.value), each.name
