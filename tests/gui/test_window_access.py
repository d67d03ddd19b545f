"""For everyone: names that screen readers say, keys that reach everything, text that fits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QDialog,
    QLabel,
    QLineEdit,
    QListView,
    QMenu,
    QMenuBar,
    QScrollBar,
    QWidget,
)
from pytestqt.qtbot import QtBot

from taperlab.files.preferences import Preferences, Theme
from taperlab.gui.dialogs.bench import WaterDialog
from taperlab.gui.dialogs.line import LineDialog
from taperlab.gui.dialogs.rods import RodsDialog
from taperlab.gui.dialogs.stock import StockDialog
from taperlab.gui.dialogs.table_import import TableImportDialog
from taperlab.gui.dialogs.texts import TextDialog
from taperlab.gui.frame.window import Window
from taperlab.gui.pages import catalogue
from taperlab.shipped import sample
from taperlab.units.kinds import System
from tests.gui.hands import (
    CTRL,
    NOISE,
    SHIFT,
    TAB,
    at_cell,
    banners,
    button,
    click,
    clipped,
    keys,
    open_dialog,
    settle,
    shape,
    status,
)

pytestmark = pytest.mark.qt_log_ignore(NOISE)


INNER = (QScrollBar, QMenu, QMenuBar)


def focusable(root: QWidget) -> Iterator[QWidget]:
    for each in root.findChildren(QWidget):
        popup = type(each) is QListView  # a combo box's own list, which has the box's name
        inner = popup or each.objectName().startswith("qt_") or isinstance(each, INNER)
        inner |= each.focusProxy() is not None  # passes the keys on
        if each.focusPolicy() != Qt.FocusPolicy.NoFocus and not inner:
            yield each


def name_of(widget: QWidget) -> str:
    """What a screen reader calls a widget."""
    if widget.accessibleName():
        return widget.accessibleName()
    if isinstance(widget, (QAbstractButton, QLabel)):
        return widget.text()
    buddies = [
        label.text() for label in widget.window().findChildren(QLabel) if label.buddy() is widget
    ]
    return buddies[0] if buddies else ""


def nameless(root: QWidget) -> list[str]:
    found = []
    for each in focusable(root):
        parent = each.parentWidget()
        part_of = isinstance(each, QLineEdit) and isinstance(parent, QComboBox)
        named = name_of(parent) if part_of else name_of(each)
        if not any(letter.isalnum() for letter in named) and not (
            isinstance(each, QAbstractButton) and each.text() and each.accessibleName()
        ):
            found.append(f"{type(each).__name__} in {type(parent).__name__}")
    return found


def test_everything_on_every_page_that_takes_keys_has_a_name(window: Window) -> None:
    for key in (each.key for each in catalogue.PAGES):
        window.show_page(key)
        settle()
    assert len(list(focusable(window))) > 10
    assert nameless(window) == []


OPEN = {
    RodsDialog: "edit_rods",
    WaterDialog: "edit_water",
    LineDialog: "describe_line",
    StockDialog: "insert_stock",
    TextDialog: "cautions",
}
"""The command that opens a dialog."""


@pytest.mark.parametrize("kind", list(OPEN))
def test_everything_in_dialogs_that_takes_keys_has_a_name(
    window: Window, kind: type[QDialog]
) -> None:
    window.menus.actions[OPEN[kind]].trigger()
    dialog = open_dialog(window, kind)
    if kind is RodsDialog:
        click(button(dialog, "Add a grain window"))
        settle()
    assert list(focusable(dialog))
    assert nameless(dialog) == []
    dialog.reject()


def test_everything_in_the_import_preview_has_a_name(window: Window, tmp_path: object) -> None:
    path = tmp_path / "unclear.csv"
    path.write_text("what,how long,front,rear,heavy\nbelly,20,0.09,0.095,0.86\n", encoding="utf-8")
    window.file_menu.import_path(path)
    dialog = open_dialog(window, TableImportDialog)
    assert nameless(dialog) == []
    dialog.reject()


def visited(window: Window, *pressed: Qt.Key, modifier: Qt.KeyboardModifier) -> list[QWidget]:
    window.page_list.setFocus()
    found: list[QWidget] = []
    for _ in range(80):
        now = QApplication.focusWidget()
        if found and now is found[0]:
            break
        found.append(now)
        if now is shape(window).table:
            keys(*pressed, modifier=Qt.KeyboardModifier.ControlModifier | modifier)
        else:
            keys(*pressed, modifier=modifier)
    return found


def test_tab_reaches_everything_and_comes_back(window: Window) -> None:
    found = visited(window, TAB, modifier=Qt.KeyboardModifier.NoModifier)
    wanted = (
        window.page_list,
        window.rack.view,
        shape(window).plots,
        shape(window).table,
        shape(window).rod_card.box,
        shape(window).header.style_box,
    )
    for widget in wanted:
        assert widget in found, (widget, found)
    order = [found.index(widget) for widget in wanted[1:4]]
    assert order == sorted(order)


def test_backtab_reaches_the_table_and_the_plots(window: Window) -> None:
    found = visited(window, Qt.Key.Key_Backtab, modifier=SHIFT)
    for widget in (shape(window).plots, shape(window).table, window.rack.view):
        assert widget in found


def actions(window: Window) -> list[QAction]:
    return [each for each in window.findChildren(QAction) if not each.isSeparator()]


def test_no_shortcut_means_two_things(window: Window) -> None:
    counted = Counter(
        keys_.toString() for action in actions(window) for keys_ in action.shortcuts()
    )
    assert sum(counted.values()) > 20
    assert {each: n for each, n in counted.items() if n > 1} == {}


def test_menus_have_no_two_equal_mnemonics(window: Window) -> None:
    def letters(texts: list[str]) -> list[str]:
        return [
            QKeySequence.mnemonic(text).toString()
            for text in texts
            if QKeySequence.mnemonic(text).toString()
        ]

    bar = [action.text() for action in window.menuBar().actions()]
    assert len(set(letters(bar))) == len(bar)
    for menu in window.menuBar().findChildren(QMenu):
        used = letters([action.text() for action in menu.actions()])
        assert len(set(used)) == len(used), (menu.title(), used)


def test_every_command_says_what_it_does(window: Window) -> None:
    for name, action in window.menus.actions.items():
        assert action.text().strip(), name
        assert action.toolTip().strip(), name


SIZES = [QSize(1280, 800), QSize(960, 600)]


@pytest.mark.parametrize("system", list(System))
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size.width()}x{size.height()}")
@pytest.mark.parametrize("name", ["scandi", "skagit", "long_belly", "single_hand"])
def test_no_text_on_the_page_is_cut_off(
    make: Callable[..., Window], qtbot: QtBot, system: System, size: QSize, name: str
) -> None:
    window = make(Preferences(system=system, theme=Theme.LIGHT, welcome_seen=True), demo=False)
    window.file_menu.open_sample(f"{name}.taperlab")
    others = [each.key for each in window.document.bench.lines if each is not window.document.line]
    window.document.look(overlays=tuple(others[:2]))
    window.resize(size)
    settle()
    # Cards within cards find their heights in several turns of the event loop.
    qtbot.waitUntil(lambda: clipped(window) == [])


@pytest.mark.parametrize("kind", [RodsDialog, WaterDialog, LineDialog, StockDialog])
def test_no_text_in_dialogs_is_cut_off(window: Window, kind: type[QDialog]) -> None:
    window.menus.actions[OPEN[kind]].trigger()
    dialog = open_dialog(window, kind)
    settle()
    assert clipped(dialog) == []
    dialog.reject()


@pytest.mark.parametrize("choice", [Theme.LIGHT, Theme.DARK])
def test_both_themes_paint_the_page_in_their_own_colours(
    make: Callable[..., Window], choice: Theme
) -> None:
    window = make(Preferences(theme=choice, welcome_seen=True))
    corner = window.grab().toImage().pixelColor(3, window.height() // 2)
    assert corner.name().upper() == window.theme.tokens.page
    window.theme.choose(Theme.DARK if choice is Theme.LIGHT else Theme.LIGHT)
    settle()
    other = window.grab().toImage().pixelColor(3, window.height() // 2)
    assert other.name().upper() == window.theme.tokens.page
    assert other != corner


def test_the_choice_of_theme_is_remembered_and_the_window_s_size_too(
    make: Callable[..., Window],
) -> None:
    from taperlab.files.preferences import load_preferences

    window = make()
    window.menus.actions["theme_dark"].trigger()
    assert window.theme.choice is Theme.DARK
    size = QSize(760, 650)  # what the screenless platform has room for
    window.resize(size)
    settle()
    assert window.close()
    settle()
    kept = load_preferences()
    assert kept.theme is Theme.DARK
    again = make(kept)
    assert again.size() == size
    assert again.theme.tokens.name == "dark"
    assert again.menus.actions["theme_dark"].isChecked()


def test_status_and_plots_speak(window: Window) -> None:
    at_cell(window, 1, 1)
    shape(window).plots.setFocus()
    keys(Qt.Key.Key_Right)
    assert shape(window).plots.accessibleDescription()
    assert shape(window).readouts.weight.accessibleName().startswith("Head weight")
    assert read_aloud(window) > 10
    assert sample("scandi.taperlab").exists()


def read_aloud(window: Window) -> int:
    """How many widgets of the page say something."""
    return sum(bool(each.accessibleName()) for each in shape(window).findChildren(QWidget))


def test_pages_are_turned_by_keys_and_the_keys_go_to_their_work(window: Window) -> None:
    at_cell(window, 0, 0)
    number = {each.key: Qt.Key(Qt.Key.Key_1 + i) for i, each in enumerate(catalogue.PAGES)}
    for key in ("measure", "cut", "shape", "cut"):
        keys(number[key], modifier=CTRL)
        page = window.pages.current
        assert page is window.pages.page(key)
        assert page.isVisible()
        assert page.isAncestorOf(QApplication.focusWidget())
    for name in ("shape", "measure", "cut"):
        window.menus.actions[f"page_{name}"].trigger()
        assert window.document.bench.view.page == name


def test_a_bench_that_comes_in_hand_is_named_and_takes_the_keys(
    window: Window, tmp_path: Path
) -> None:
    window.welcome.greet()
    shape(window).plots.setFocus()
    window.file_menu.new_bench()
    assert shape(window).table.hasFocus()
    assert status(window).startswith("A new bench")
    assert banners(window) == []  # the welcome speaks of the demo bench
    copy = tmp_path / "weir pool.taperlab"
    copy.write_bytes(sample("scandi.taperlab").read_bytes())
    assert window.file_menu.open_path(copy)
    assert status(window) == "Opened weir pool.taperlab"
    assert shape(window).table.hasFocus()
