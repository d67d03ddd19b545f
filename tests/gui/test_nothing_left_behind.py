"""A closed window lets go of everything: widgets, timers, connections, its file."""

from __future__ import annotations

import gc
import weakref
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import SIGNAL, QObject, QTimer
from PySide6.QtWidgets import QApplication
from shiboken6 import isValid

from taperlab.edits.values import set_length
from taperlab.files.preferences import Preferences, Theme
from taperlab.files.presence import Presence
from taperlab.gui.frame.start import make_window
from taperlab.gui.frame.window import Window
from taperlab.gui.kit import theme as theming
from taperlab.units.sentence import Sentence
from tests.gui.hands import NOISE, answer, settle, shape

pytestmark = pytest.mark.qt_log_ignore(NOISE)


def used_window(presence: Presence) -> Window:
    """A window in which something of everything was done."""
    window = make_window(Preferences(theme=Theme.SYSTEM), presence)
    window.file_menu.open_demo()
    window.welcome.greet()
    window.show()
    QApplication.processEvents()
    window.document.apply(set_length, window.document.line.key, 1, 3.0)
    window.rack.duplicate_current()
    window.rack.toggle(window.document.bench.lines[0])
    for act in (
        window.dialogs.edit_rods,
        window.dialogs.edit_water,
        window.dialogs.describe_line,
        window.menus.actions["insert_stock"].trigger,
        window.dialogs.show_cautions,
    ):
        act()
        QApplication.activeModalWidget().reject()
        settle()
    window.theme.choose(Theme.DARK)
    window.theme.choose(Theme.SYSTEM)
    window.use_system(
        next(each for each in type(window.settings.system) if each is not window.settings.system)
    )
    window.menus.actions["undo"].trigger()
    QApplication.processEvents()
    return window


def close(window: Window) -> None:
    window.document.undo_stack.setClean()
    assert window.close()
    settle()


def test_windows_opened_and_closed_are_gone(presence: Presence, qapp: QApplication) -> None:
    close(used_window(presence))  # what is made once per program is made now
    before = set(map(id, QApplication.topLevelWidgets()))
    told: list[object] = []
    left: list[weakref.ref[object]] = []
    for _ in range(6):
        window = used_window(presence)
        parts = (window, window.document, window.file, shape(window), shape(window).plots)
        parts += (shape(window).table, window.rack, window.theme, window.settings)
        left += [weakref.ref(each) for each in parts]
        timers = window.findChildren(QTimer)
        close(window)
        assert not any(isValid(each) for each in parts)
        assert not any(isValid(each) for each in timers)
        del window, parts, timers
    gc.collect()
    assert not told
    alive = [each() for each in left if each() is not None]
    assert not alive, [type(each).__name__ for each in alive]
    now = [each for each in QApplication.topLevelWidgets() if id(each) not in before]
    assert not now, now


def test_nothing_of_the_window_hears_of_the_system_s_colours_any_more(
    presence: Presence, qapp: QApplication, qtbot: object
) -> None:
    hints, signal = QApplication.styleHints(), SIGNAL("colorSchemeChanged(Qt::ColorScheme)")
    before = hints.receivers(signal)
    window = used_window(presence)
    assert hints.receivers(signal) == before + 1
    close(window)
    assert hints.receivers(signal) == before


def test_no_timer_runs_on_after_a_close(presence: Presence, qapp: QApplication) -> None:
    window = used_window(presence)
    timers = window.findChildren(QTimer)
    assert any(each.isActive() for each in timers)
    close(window)
    assert not any(isValid(each) and each.isActive() for each in timers)
    alive = [each for each in qapp.findChildren(QTimer) if each.isActive()]
    assert not alive


def test_a_closed_window_lets_go_of_its_file_and_its_copy(
    presence: Presence, private_folders: Path, tmp_path: Path, qapp: QApplication
) -> None:
    window = used_window(presence)
    assert window.file.save(tmp_path / "a.taperlab")
    state = private_folders / "state"
    assert len(list((state / "claims").iterdir())) == 1
    window.document.apply(set_length, window.document.line.key, 1, 3.3)
    window.file.keep_copy()
    assert list((state / "recovery").iterdir())
    close(window)
    assert not list((state / "claims").iterdir())
    assert not list((state / "recovery").iterdir())


def test_the_undo_stack_says_nothing_to_a_window_that_goes(make: Callable[..., Window]) -> None:
    window = make()
    for i in range(3):
        window.document.apply(set_length, window.document.line.key, 1, 3.0 + i / 10)
    answer(lambda box: box.button(box.StandardButton.Discard).click())
    assert window.close()
    settle()  # an exception in a slot would fail this test
    assert not isValid(window)


def test_banners_come_and_go(window: Window) -> None:
    for i in range(5):
        window.show_problem(Sentence("Sentence {number}.", number=i))
    settle()
    shown = [
        each
        for each in window.banners.children()
        if isinstance(each, QObject) and hasattr(each, "buttons")
    ]
    for banner in shown:
        banner.buttons["OK"].click()
    settle()
    assert not any(isValid(each) for each in shown)
    assert theming.LIGHT.name == "light"
