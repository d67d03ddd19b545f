"""The status line says what became of a step, in the words of that step."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from taperlab.files.native import read_bench
from taperlab.gui.frame.window import Window
from taperlab.shipped import sample
from taperlab.units.kinds import System
from tests.gui.hands import CTRL, NOISE, keys, settle, status, type_into

pytestmark = pytest.mark.qt_log_ignore(NOISE)


def undo(window: Window) -> str:
    """Undo by keys; what the status line says then."""
    window.setFocus()
    keys(Qt.Key.Key_Z, modifier=CTRL)
    return status(window)


def test_undo_and_redo_name_the_step_that_they_take(window: Window) -> None:
    type_into(window, 1, 1, "16 ft")  # a length
    type_into(window, 2, 4, "0.9")  # a density
    window.rack.add_line()
    steps = ("Add line", "Change density", "Change length")
    shown = [window.menus.actions["undo"].text()]
    for step in steps:
        assert undo(window) == f"Undone: {step}"
        shown.append(window.menus.actions["undo"].text())
    assert shown == [*(f"&Undo {step}" for step in steps), "&Undo"]
    for step in reversed(steps):
        assert window.menus.actions["redo"].text() == f"&Redo {step}"
        window.menus.actions["redo"].trigger()
        assert status(window) == f"Redone: {step}"


def test_what_is_refused_is_said_and_what_is_done_after_it_too(window: Window) -> None:
    window.menus.actions["find_weight"].trigger()
    QApplication.activeModalWidget().reject()
    settle()
    type_into(window, 1, 1, "16 ft")
    assert status(window) == "Change length"
    window.settings.use_system(System.METRIC)
    assert status(window) == "Change length"


def test_what_an_edit_moved_is_said_in_the_units_that_are_read(window: Window) -> None:
    type_into(window, 2, 5, "210")
    told = status(window)
    assert told.startswith("Change weight")
    assert "ensity of segment 3 moved" in told
    assert "g/cm³" in told


def test_copying_the_plots_means_the_page_that_is_shown(window: Window) -> None:
    """On a page without plots of its own, what a hidden page shows is not taken for them."""
    window.file.put_in_hand(read_bench(sample("cut_back.taperlab")), None)
    clipboard = QApplication.clipboard()
    seen: dict[str, QImage] = {}
    for page in ("shape", "cut", "measure"):
        window.show_page(page)
        settle()
        clipboard.setText("nothing")
        window.menus.actions["copy_plots"].trigger()
        seen[page] = clipboard.image()
    assert not seen["shape"].isNull()
    assert seen["cut"].isNull()
    assert seen["measure"] != seen["shape"]
