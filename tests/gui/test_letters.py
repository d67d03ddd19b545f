"""How large everything is written: as the system asks, zoomed by keys, remembered."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QApplication, QLabel, QWidget

from taperlab.files.preferences import Preferences, Theme, load_preferences
from taperlab.gui.frame.window import Window
from taperlab.gui.kit import theme as theming
from taperlab.gui.pages import catalogue
from taperlab.shipped import sample
from tests.gui.hands import CTRL, NOISE, at_cell, keys, settle, shape

pytestmark = pytest.mark.qt_log_ignore(NOISE)


@pytest.fixture(autouse=True)
def letters_put_back() -> Iterator[None]:
    """The application outlives a test; so would its letters."""
    usual = QApplication.font()
    yield
    QApplication.setFont(usual)


def sizes(window: Window) -> dict[str, float]:
    """Letters of what is on the page: labels, buttons, fields, by where they are [points]."""
    found: dict[str, float] = {}
    for each in window.pages.current.findChildren(QWidget):
        if each.isVisible() and not isinstance(each, QLabel):
            found[f"{type(each).__name__} {each.accessibleName()}"] = each.font().pointSizeF()
        elif isinstance(each, QLabel) and each.isVisible():
            found[f"label {each.text()}"] = each.font().pointSizeF()
    return found


def ask_for(points: float, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the system ask for letters of a size."""
    monkeypatch.setattr(theming, "system_points", lambda: points)


def test_letters_are_as_large_as_the_system_asks(
    make: Callable[..., Window], monkeypatch: pytest.MonkeyPatch
) -> None:
    usual = sizes(make())
    ask_for(12.0, monkeypatch)
    large = sizes(make())
    assert len(set(usual) & set(large)) > 25
    for each in set(usual) & set(large):
        assert large[each] == pytest.approx(usual[each] * 12.0 / theming.BODY), each


def test_letters_follow_the_system_while_the_window_is_open(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    usual, row = sizes(window), shape(window).table.rowHeight(0)
    ask_for(13.5, monkeypatch)
    QApplication.sendEvent(window, QEvent(QEvent.Type.ThemeChange))
    settle()
    for each, points in sizes(window).items():
        assert points == pytest.approx(usual.get(each, points / 1.5) * 1.5), each
    assert shape(window).table.rowHeight(0) == pytest.approx(1.5 * row, abs=1.0)


def test_keys_zoom_all_letters_and_put_them_back(window: Window) -> None:
    at_cell(window, 0, 0)
    usual, list_height = sizes(window), window.page_list.height()
    keys(Qt.Key.Key_Plus, modifier=CTRL)
    settle()
    larger = sizes(window)
    assert larger["label Head weight"] > usual["label Head weight"]
    keys(Qt.Key.Key_Equal, modifier=CTRL)
    settle()
    assert sizes(window)["label Head weight"] > larger["label Head weight"]
    assert window.page_list.height() > list_height
    largest = sizes(window)
    window.theme.choose(Theme.DARK)
    settle()
    assert sizes(window) == pytest.approx(largest)
    for _ in range(4):
        keys(Qt.Key.Key_Minus, modifier=CTRL)
    settle()
    assert sizes(window)["label Head weight"] < usual["label Head weight"]
    keys(Qt.Key.Key_0, modifier=CTRL)
    settle()
    now = sizes(window)
    assert set(now) == set(usual)
    assert now == pytest.approx(usual)


def test_the_plots_take_the_zoom_while_they_have_the_keys(window: Window) -> None:
    plots = shape(window).plots
    plots.setFocus()
    before = plots.panels["outline"].rect
    keys(Qt.Key.Key_Plus, modifier=CTRL)
    settle()
    assert window.theme.zoom > 100
    assert plots.panels["outline"].rect.left() > before.left()  # wider labels beside the axis


def test_the_zoom_is_remembered(make: Callable[..., Window]) -> None:
    window = make()
    for name in ("larger", "larger", "larger"):
        window.menus.actions[name].trigger()
    zoom = window.theme.zoom
    assert zoom > 100
    window.close()
    settle()
    kept = load_preferences()
    assert kept.zoom == zoom
    again = make(kept)
    assert again.theme.zoom == zoom
    assert again.page_list.font().pointSizeF() == pytest.approx(theming.BODY * zoom / 100.0)


def test_no_letter_is_smaller_than_can_be_read(
    make: Callable[..., Window], monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[float] = []
    face = theming.face

    def noted(points: float, *, weight: QFont.Weight = QFont.Weight.Normal) -> QFont:
        asked.append(points)
        return face(points, weight=weight)

    monkeypatch.setattr(theming, "face", noted)
    window = make(Preferences(theme=Theme.LIGHT, welcome_seen=True), demo=False)
    for entry in catalogue.PAGES:
        window.file_menu.open_path(sample(entry.sample))
        window.show_page(entry.key)
        window.jobs.settle()
        settle()
        window.grab()
    assert len(asked) > 100
    assert min(asked) >= 8.5
    assert min(size for size in sizes(window).values() if size > 0) >= 8.5
    window.document.undo_stack.setClean()
