"""The one list of pages: what stands in it is in list, menu, keys and pictures."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QVBoxLayout

from taperlab.files.preferences import Preferences, Theme, change_preferences, load_preferences
from taperlab.files.problem import FileProblem
from taperlab.gui.frame.picture import draw, draw_all
from taperlab.gui.frame.window import Window
from taperlab.gui.kit.host import Workplace
from taperlab.gui.pages import catalogue
from taperlab.gui.pages.catalogue import FISH, PAGES, Entry
from taperlab.gui.pages.page import Page
from taperlab.gui.state.document import Change, Reason
from taperlab.shipped import sample
from taperlab.units.kinds import System
from tests.gui.hands import CTRL, NOISE, NONE, menu, settle, type_into
from tests.gui.reading import printed

pytestmark = pytest.mark.qt_log_ignore(NOISE)


class Pools(Page):
    """A page that nobody needs, and what it was told."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(place)
        self.told: list[Change] = []
        self.name = QLabel(place.document.bench.lines[0].name)
        QVBoxLayout(self).addWidget(self.name)
        self.watch.changed.connect(self.told.append)


OTHERS = tuple(each for each in PAGES if each.key in ("shape", "measure", "cut"))
"""Pages of the first two groups: the shape of a line, its measuring, its cutting."""

POOLS = Entry("pools", "&Pools", "Where they lie", FISH, "skagit.taperlab", Pools)


@pytest.fixture
def pools(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """One entry more in the list of pages, and nothing else."""
    monkeypatch.setattr(catalogue, "PAGES", (*OTHERS, POOLS))
    return None


@pytest.fixture
def window(pools: None, make: Callable[..., Window]) -> Window:
    return make()


def names(window: Window) -> list[str]:
    return [window.page_list.item(row).text() for row in range(window.page_list.count())]


def test_it_stands_in_the_list_under_its_group(window: Window) -> None:
    assert names(window) == ["Shape", "Measure", "Cut back", "Pools"]
    assert window.page_list.item(3).toolTip() == "Where they lie"
    role = Qt.ItemDataRole.AccessibleDescriptionRole
    groups = [window.page_list.item(row).data(role) for row in range(4)]
    assert groups == ["Design", "Make", "Make", "Fish"]


def test_all_pages_are_in_sight_and_headings_take_room(window: Window) -> None:
    shown, room = window.page_list, window.page_list.viewport().rect()
    heights = [shown.visualItemRect(shown.item(row)).height() for row in range(4)]
    assert heights[2] < heights[0] <= heights[1] == heights[3]
    assert all(room.contains(shown.visualItemRect(shown.item(row))) for row in range(4))


def test_keys_go_from_page_to_page_and_never_stop_at_a_heading(window: Window) -> None:
    window.page_list.setFocus()
    shown = []
    for key in (Qt.Key.Key_Home, *[Qt.Key.Key_Down] * 3, Qt.Key.Key_End, Qt.Key.Key_Up):
        QTest.keyClick(window.page_list, key)
        shown.append(window.document.bench.view.page)
    assert shown == ["shape", "measure", "cut", "pools", "pools", "cut"]


def test_a_press_on_a_heading_chooses_nothing(window: Window) -> None:
    row = window.page_list.visualItemRect(window.page_list.item(3))
    at_heading = QPoint(row.center().x(), row.top() + 8)
    view = window.page_list.viewport()
    QTest.mouseClick(view, Qt.MouseButton.LeftButton, NONE, at_heading)
    assert window.document.bench.view.page == "shape"
    QTest.mouseClick(view, Qt.MouseButton.LeftButton, NONE, QPoint(40, row.bottom() - 8))
    assert window.document.bench.view.page == "pools"


def test_a_screen_reader_hears_the_pages_and_no_headings(window: Window) -> None:
    spoken = QAccessible.queryAccessibleInterface(window.page_list)
    heard = [
        spoken.child(i).text(QAccessible.Text.Name)
        for i in range(spoken.childCount())
        if spoken.child(i).role() == QAccessible.Role.ListItem
    ]
    assert heard == names(window)


def test_it_has_a_place_in_the_menu_and_a_key(window: Window) -> None:
    entries = {each.text(): each for each in menu(window, "View").actions()}
    entries["&Pools"].trigger()
    page = window.pages.current
    assert isinstance(page, Pools)
    assert page.isVisible()
    window.show_page("shape")
    QTest.keyClick(window, Qt.Key.Key_4, CTRL)
    assert window.pages.current is page
    assert window.page_list.currentItem().text() == "Pools"


def test_it_is_built_when_it_is_first_shown(window: Window) -> None:
    assert not window.findChildren(Pools)
    window.commit()
    assert not window.findChildren(Pools)
    window.show_page("pools")
    assert window.findChildren(Pools)


def test_while_hidden_it_hears_nothing_and_then_all_at_once(window: Window) -> None:
    window.show_page("pools")
    page = window.pages.current
    assert isinstance(page, Pools)
    window.show_page("shape")
    page.told.clear()
    before = window.document.bench.lines
    for length in range(2, 5):
        type_into(window, 1, 1, f"{length} ft")
    assert page.told == []
    window.show_page("pools")
    (change,) = page.told
    assert change.reason is Reason.WAKE
    assert change.before.lines == before
    assert change.after is window.document.bench


def test_what_it_has_not_is_greyed_and_the_line_in_hand_is_printed(window: Window) -> None:
    window.show_page("pools")
    for name in ("copy_plots", "export_plots", "copy_readouts", "insert_below", "zoom_all"):
        assert not window.menus.actions[name].isEnabled(), name
    sheet = window.pages.current.sheet()
    assert window.document.line.name in printed(sheet)
    window.show_page("shape")
    for name in ("copy_plots", "export_plots", "copy_readouts", "insert_below", "zoom_all"):
        assert window.menus.actions[name].isEnabled(), name


def test_it_can_be_drawn_as_a_picture(pools: None, tmp_path: Path, qapp: QApplication) -> None:
    draw(sample("scandi.taperlab"), tmp_path / "pools.png", "pools")
    draw(sample("scandi.taperlab"), tmp_path / "shape.png", "shape")
    one, other = QImage(str(tmp_path / "pools.png")), QImage(str(tmp_path / "shape.png"))
    assert one.size() == other.size()
    assert one != other
    with pytest.raises(FileProblem, match="shape, measure, cut and pools"):
        draw(sample("scandi.taperlab"), tmp_path / "none.png", "riffles")


def test_a_picture_leaves_the_choices_of_the_person_alone(tmp_path: Path) -> None:
    kept = Preferences(theme=Theme.DARK, welcome_seen=True, recent_files=("head.taperlab",))
    change_preferences(Preferences(), kept)
    draw(sample("scandi.taperlab"), tmp_path / "shape.png", "shape", system=System.METRIC)
    assert load_preferences() == kept


def test_all_pages_are_drawn_each_on_its_sample(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, qapp: QApplication
) -> None:
    monkeypatch.setattr(catalogue, "PAGES", (POOLS,))
    drawn = draw_all(tmp_path)
    assert [each.name for each in drawn] == [
        f"pools-{theme}-{scale}x.png" for theme in ("light", "dark") for scale in (1, 2)
    ]
    assert all(not QImage(str(each)).isNull() for each in drawn)


def test_a_group_without_pages_is_not_shown(
    monkeypatch: pytest.MonkeyPatch, make: Callable[..., Window]
) -> None:
    monkeypatch.setattr(catalogue, "PAGES", OTHERS)
    window = make()
    role = Qt.ItemDataRole.AccessibleDescriptionRole
    groups = {window.page_list.item(row).data(role) for row in range(window.page_list.count())}
    assert groups == {"Design", "Make"}
    settle()


def test_a_page_turned_to_by_the_menu_is_asked_for_once(window: Window) -> None:
    # Showing a page commits the table that is left; doing it twice could ask a question twice.
    asked: list[str] = []
    window.page_list.asked.connect(asked.append)
    entries = {each.text(): each for each in menu(window, "View").actions()}
    entries["&Pools"].trigger()
    assert window.page_list.currentItem().text() == "Pools"
    assert asked == []
