"""The bench view: one step on the screen, large; the same state as the page."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QAbstractButton, QLabel, QLineEdit

from taperlab.gui.frame.window import Window
from taperlab.gui.pages.cut_back.bench_view import BenchView
from taperlab.model.cut_log import CutEnd
from tests.gui.hands import (
    ENTER,
    ESC,
    GRAIN,
    choose,
    click,
    keys,
    open_dialog,
    settle,
    settled,
    wait_active,
)
from tests.gui.test_cut_page import cutting, half_done, job_of, large, now, page_of, type_in

__all__ = ["half_done"]

pytestmark = [
    pytest.mark.qt_log_ignore("propagateSizeHints", extend=True),
    pytest.mark.qt_log_ignore("This plugin does not support", extend=True),
]

READABLE = 60
"""Letters whose height is 20 minutes of arc at two metres on a screen of 96 dots an inch [px]."""


def opened(window: Window, width: int = 1280, height: int = 800) -> BenchView:
    window.menus.actions["bench_view"].trigger()
    view = open_dialog(window, BenchView)
    assert isinstance(view, BenchView)
    view.showNormal()
    view.resize(width, height)
    settle()
    return view


def seen(view: BenchView) -> list[QLabel | QAbstractButton | QLineEdit]:
    found: list[QLabel | QAbstractButton | QLineEdit] = []
    for kind in (QLabel, QAbstractButton, QLineEdit):
        found += [each for each in view.findChildren(kind) if each.isVisible()]
    return found


def check_readable(view: BenchView) -> None:
    """No letter is small, no word is cut off, and nothing but one step is on the screen."""
    for each in seen(view):
        size = each.font().pixelSize()
        points = each.font().pointSizeF() * each.logicalDpiY() / 72.0
        assert max(size, points) >= READABLE, each.text()
        room = each.width()
        texts = [each.text()]
        if isinstance(each, QLabel) and each.wordWrap():
            texts = each.text().split()
            assert each.heightForWidth(each.width()) <= each.height()
        for text in texts:
            assert QFontMetricsF(each.font()).horizontalAdvance(text) <= room, text
        assert each.geometry().right() <= each.parentWidget().width()
    for button in (view.back, view.next):
        assert button.height() >= 110


def test_the_menu_offers_it_where_something_is_cut(window: Window) -> None:
    action = window.menus.actions["bench_view"]
    assert not action.isEnabled()
    page = cutting(window)
    assert action.isEnabled()
    view = opened(window)
    assert view.lead.text() == "Head on the scale"
    keys(ESC)
    settle()
    assert page.step.fields.first.isVisible()
    # No key changes from which end is cut: they belong to the work again.
    wait_active(window)
    assert page.step.fields.first.hasFocus()
    click(page.job_card.bench_button)
    assert open_dialog(window, BenchView).isVisible()
    keys(ESC)


@pytest.mark.parametrize("size", [(960, 600), (1024, 700), (1280, 800), (1920, 1080)])
def test_a_whole_cut_back_on_the_bench(window: Window, size: tuple[int, int]) -> None:
    page = cutting(window)
    choose(page.end.end, 2)
    settled(page)
    view = opened(window, *size)
    check_readable(view)
    assert view.fields.first.hasFocus()
    type_in(page, "564.5", ENTER)
    assert "Fly end at the left" in view.lead.text()
    check_readable(view)
    click(view.next)
    settled(page)
    assert job_of(window).ends_told
    stages = 0
    while view.tag.isVisible() and stages < 8:
        stages += 1
        first = view.figure.text()
        assert view.tag.end is CutEnd.REAR
        # One step at a time, and the page shows the same.
        assert large(page) == [first]
        check_readable(view)
        click(view.next)
        settled(page)
        assert view.tag.end is CutEnd.FRONT
        assert view.figure.text() == large(page)[0]
        click(view.next)
        settled(page)
        assert now(page) == "Weigh head and offcut"
        check_readable(view)
        study = page.case.study
        assert study is not None
        due = study.due()
        assert due.head is not None
        assert due.offcut is not None
        assert view.fields.head.hasFocus()
        keys(f"{due.head.mass / GRAIN:.1f}", ENTER)
        settled(page)
        assert job_of(window).steps[-1].head is None
        assert view.lead.text() == "Offcut on the scale"
        assert view.fields.offcut.hasFocus()
        assert len(view.fields.shown) == 2
        assert not view.fields.head.isVisible()
        assert view.verb.text() == "all that came off"
        click(view.back)
        assert view.lead.text() == "Head on the scale"
        keys(ENTER)
        type_in(page, f"{due.offcut / GRAIN:.1f}", ENTER)
        logged = job_of(window).steps[-1]
        assert logged.head == pytest.approx(due.head.mass, abs=0.06 * GRAIN)
        assert logged.offcut == pytest.approx(due.offcut, abs=0.06 * GRAIN)
    assert stages >= 2
    assert view.lead.text() == "Make both loops"
    check_readable(view)
    click(view.next)
    type_in(page, "460", ENTER)
    assert view.lead.text() == "Done"
    assert not view.next.isEnabled()
    check_readable(view)
    click(view.back)
    settled(page)
    assert view.fields.last.text() == "460.0 gr"
    keys(ESC)


def test_weighings_that_disagree_leave_back_alone(window: Window) -> None:
    page = cutting(window)
    view = opened(window)
    type_in(page, "1540", ENTER)
    assert view.lead.text() == "The weighings disagree"
    assert not view.next.isEnabled()
    assert not view.figure.isVisible()
    check_readable(view)
    click(view.back)
    settled(page)
    assert view.fields.first.text() == "1540.0 gr"
    keys(ESC)


def test_a_slip_is_said_in_letters_as_large(make: Callable[..., Window]) -> None:
    window = make(demo=False)
    window.file_menu.open_sample("cut_back.taperlab")
    page = page_of(window)
    settled(page)
    view = opened(window)
    click(view.next)
    settled(page)
    keys("4595", ENTER)
    assert view.problem.isVisible()
    assert job_of(window).steps[2].head is None
    check_readable(view)
    keys(ESC)


def test_undo_works_there_too(make: Callable[..., Window]) -> None:
    window = make(demo=False)
    window.file_menu.open_sample("cut_back.taperlab")
    page = page_of(window)
    settled(page)
    view = opened(window)
    click(view.next)
    settled(page)
    assert len(job_of(window).steps) == 3
    keys(Qt.Key.Key_Z, modifier=Qt.KeyboardModifier.ControlModifier)
    settled(page)
    assert len(job_of(window).steps) == 2
    assert view.figure.text() == "1 in"
    keys(ESC)


def test_what_is_typed_is_there_on_the_page_and_on_the_bench(half_done: Window) -> None:
    page = page_of(half_done)
    page.step.fields.length.setFocus()
    type_in(page, ENTER)
    type_in(page, "459.5")
    view = opened(half_done)
    assert view.fields.head.text() == "459.5 gr"
    view.fields.head.selectAll()
    keys("460.5", ENTER)
    assert view.fields.in_turn is view.fields.offcut
    keys(ESC)
    settled(page)
    assert page.step.fields.head.text() == "460.5 gr"
    view = opened(half_done)
    assert view.fields.head.text() == "460.5 gr"
    view.fields.head.selectAll()
    keys(Qt.Key.Key_Delete, ESC)
    settled(page)
    assert page.step.fields.head.text() == ""
