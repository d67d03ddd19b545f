"""Every dialog of the menus by keys alone: names, the way of the Tab key, Enter and Esc."""

from __future__ import annotations

from itertools import pairwise

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QDialogButtonBox,
    QLabel,
    QLineEdit,
    QPushButton,
    QTableView,
    QWidget,
)

from taperlab.gui.frame.window import Window
from tests.gui.accessible.tree import Role, tree
from tests.gui.hands import CTRL, ENTER, ESC, NOISE, NONE, TAB, at_cell, keys, settle, wait_active
from tests.gui.test_focus_seen import faint
from tests.gui.test_tab_order import follows, place

pytestmark = pytest.mark.qt_log_ignore(NOISE)

FORMS = [
    "left_work",
    "bench_note",
    "describe_line",
    "find_weight",
    "insert_stock",
    "keep_stock",
    "split_here",
    "edit_core",
    "edit_joint",
    "edit_rods",
    "edit_water",
]
PAGES = ["keys", "methods", "cautions", "about"]

each_dialog = pytest.mark.parametrize("command", FORMS + PAGES)


def opened(window: Window, command: str) -> QDialog:
    at_cell(window, 1, 1)
    window.menus.actions[command].trigger()
    (dialog,) = [each for each in window.findChildren(QDialog) if each.isVisible()]
    wait_active(dialog)
    settle()
    return dialog


def stops(dialog: QDialog) -> list[QWidget]:
    """What the Tab key stops at."""
    return [
        each
        for each in dialog.findChildren(QWidget)
        if each.focusPolicy() & Qt.FocusPolicy.TabFocus
        and each.focusProxy() is None
        and each.isVisible()
        and each.isEnabled()
        and not each.objectName().startswith("qt_")
    ]


@each_dialog
def test_everything_has_a_name_and_shows_where_the_keys_go(window: Window, command: str) -> None:
    dialog = opened(window, command)
    told = [
        each for each in tree(dialog).all() if each.is_stop and each.role is not Role.StaticText
    ]
    assert told
    assert [each.role.name for each in told if not each.name] == []
    assert faint(dialog, stops(dialog)) == []
    dialog.reject()


@each_dialog
def test_the_tab_key_goes_as_the_eye_reads_and_comes_round(window: Window, command: str) -> None:
    dialog = opened(window, command)
    begins = QApplication.focusWidget()
    assert dialog.isAncestorOf(begins)
    # Where there is something to type or to choose, the keys begin there and not on a button.
    assert command in [*PAGES, "left_work"] or not isinstance(begins, QPushButton)
    walked: list[QWidget] = []
    for _ in range(60):
        now = QApplication.focusWidget()
        if now in walked:
            break
        walked.append(now)
        keys(TAB, modifier=CTRL if isinstance(now, QTableView) else NONE)
    assert now is walked[0]
    assert {str(each) for each in stops(dialog)} <= {str(each) for each in walked}
    box = dialog.findChild(QDialogButtonBox)
    first = min(
        range(len(walked)), key=lambda at: (place(walked[at]).top(), place(walked[at]).left())
    )
    walked = walked[first:] + walked[:first]
    wrong = [
        (one.accessibleName(), other.accessibleName())
        for one, other in pairwise(walked)
        if not box.isAncestorOf(one)
        and not follows(place(one), place(other))
        and not place(one).right() < place(other).left()  # the next column
    ]
    assert wrong == []
    assert [box.isAncestorOf(each) for each in walked] == sorted(map(box.isAncestorOf, walked))
    dialog.reject()


@each_dialog
def test_esc_closes_from_wherever_the_keys_go(window: Window, command: str) -> None:
    bench = window.document.bench
    for at in range(60):
        dialog = opened(window, command)
        every = stops(dialog)
        if at == len(every):
            break
        every[at].setFocus()
        keys(ESC)
        settle()
        assert QApplication.activeModalWidget() is None, every[at].accessibleName()
        wait_active(window)
        assert window.isAncestorOf(QApplication.focusWidget())
    dialog.reject()
    assert window.document.bench is bench


@pytest.mark.parametrize("command", FORMS)
def test_enter_in_a_field_takes_it_or_says_what_is_missing(window: Window, command: str) -> None:
    dialog = opened(window, command)
    field = next((each for each in stops(dialog) if isinstance(each, QLineEdit)), None)
    (field or dialog.accept_button).setFocus()
    taken = []
    dialog.accepted.connect(lambda: taken.append(True))
    said = dialog.findChild(QLabel, "problem")
    enabled = dialog.accept_button.isEnabled()
    keys(ENTER)
    if taken or not enabled:
        return
    assert said.isVisible()
    assert said.text().endswith(".")
    dialog.reject()


@pytest.mark.parametrize("command", PAGES[1:])
def test_enter_closes_what_is_only_read(window: Window, command: str) -> None:
    opened(window, command)
    keys(ENTER)
    settle()
    assert QApplication.activeModalWidget() is None
