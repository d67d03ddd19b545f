"""A caliper alone drives the Measure page: keys as it types them, and Enter."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from taperlab.gui.frame.window import Window
from taperlab.gui.pages.measure.page import MeasurePage
from taperlab.gui.pages.measure.run_card import RunCard
from taperlab.units.kinds import System
from tests.gui.hands import FOOT, INCH, click, keys, status, words_on

ENTER, UP = Qt.Key.Key_Return, Qt.Key.Key_Up


def thickness(feet: float) -> float:
    """Inches."""
    return 0.040 + 0.002 * min(feet, 14.0)


@pytest.fixture
def beeps(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    heard: list[int] = []
    monkeypatch.setattr(QApplication, "beep", lambda: heard.append(1))
    return heard


@pytest.fixture
def page(window: Window, qtbot: QtBot) -> MeasurePage:
    window.show_page("measure")
    found = window.pages.page("measure")
    assert isinstance(found, MeasurePage)
    fields = found.invitation.fields
    fields.length.setFocus()
    qtbot.keyClicks(fields.length, "20 ft")
    fields.weight.setFocus()
    qtbot.keyClicks(fields.weight, "300 gr")
    click(found.invitation.button)
    return found


def start(page: MeasurePage, text: str = "every 2 ft") -> RunCard:
    card = page.run_card
    index = card.choice.findText(text)
    assert index >= 0
    card.choice.setFocus()
    keys(Qt.Key.Key_Home)
    keys(*[Qt.Key.Key_Down] * index)
    assert card.choice.currentText() == text
    keys(ENTER)
    return card


def readings(page: MeasurePage) -> list[tuple[float, tuple[float, ...]]]:
    """Feet and inches, in order."""
    measurement = page.desk.measurement
    assert measurement is not None
    return sorted(
        (
            round(each.distance / FOOT, 4),
            tuple(round(reading / INCH, 5) for reading in each.readings),
        )
        for each in measurement.stations
    )


def test_each_enter_fills_the_next_station(page: MeasurePage, beeps: list[int]) -> None:
    card = start(page)
    assert card.field.hasFocus()
    for feet in range(0, 20, 2):
        assert card.place.text() == ("0 in" if feet == 0 else f"{feet} ft")
        keys(f"{thickness(feet):.4f}", ENTER)
        assert card.field.text() == ""
        assert f"{feet // 2 + 1} of 11 read" in words_on(card)
    assert card.place.text() == "20 ft"
    keys("0.068", ENTER)
    assert card.place.text() == "All read"
    assert not card.field.isEnabled()
    assert [feet for feet, _ in readings(page)] == list(range(0, 21, 2))
    assert all(read == (pytest.approx(thickness(feet), abs=1e-4),) for feet, read in readings(page))
    assert len(beeps) == 11


def test_a_refused_reading_is_selected_and_the_next_one_replaces_it(
    page: MeasurePage, qtbot: QtBot, beeps: list[int]
) -> None:
    card = start(page)
    for refused in ("0.0.40", "9.5", "hello"):
        keys(refused, ENTER)
        assert card.place.text() == "0 in"
        assert card.field.selectedText() == refused
        assert card.problem.text()
        assert not readings(page)
    qtbot.waitUntil(lambda: len(beeps) == 6)
    keys("0.040", ENTER)
    assert readings(page) == [(0.0, (0.04,))]
    assert card.problem.text() == ""
    # Enter alone is no reading and skips nothing.
    keys(ENTER)
    assert card.place.text() == "2 ft"
    assert len(readings(page)) == 1


def test_skip_repeat_and_back_by_key(page: MeasurePage) -> None:
    card = start(page)
    keys("0.040", ENTER, "s")
    assert card.place.text() == "4 ft"
    keys("0.048", ENTER, "r")
    assert card.place.text() == "4 ft"
    keys("0.0485", ENTER)
    assert card.place.text() == "6 ft"
    keys(UP, UP)
    assert card.place.text() == "2 ft"
    keys("0.044", ENTER)
    assert readings(page) == [(0.0, (0.04,)), (2.0, (0.044,)), (4.0, (0.048, 0.0485))]
    assert card.place.text() == "6 ft"


def test_skip_repeat_and_back_by_button(page: MeasurePage) -> None:
    card = start(page)
    keys("0.040")
    click(card.take)
    assert card.repeat.text() == "Repeat 0 in"
    click(card.skip)
    assert card.place.text() == "4 ft"
    click(card.repeat)
    assert card.place.text() == "0 in"
    click(card.skip)
    click(card.back)
    assert card.place.text() == "2 ft"
    assert card.field.hasFocus()


def test_an_undone_reading_is_asked_for_again(page: MeasurePage) -> None:
    card = start(page)
    keys("0.040", ENTER, "0.44", ENTER)
    assert card.place.text() == "4 ft"
    page.place.document.undo_stack.undo()
    assert card.place.text() == "2 ft"
    keys("0.044", ENTER)
    assert readings(page) == [(0.0, (0.04,)), (2.0, (0.044,))]


def test_own_distances_are_read_in_order_and_one_beyond_the_line_is_refused(
    page: MeasurePage, window: Window
) -> None:
    card = start(page, "own distances…")
    assert card.own.hasFocus()
    keys("0; 30 ft", ENTER)
    assert "beyond the line’s end" in status(window)
    assert card.own.selectedText() == "0; 30 ft"
    keys("5 ft 6 in; 1 ft; 12", ENTER)
    assert card.field.hasFocus()
    for name in ("1 ft", "5 ft 6 in", "12 ft"):
        assert card.place.text() == name
        keys("0.050", ENTER)
    assert [feet for feet, _ in readings(page)] == [1.0, 5.5, 12.0]


def test_a_run_goes_on_past_what_the_table_holds_and_a_slip_is_read_again(
    page: MeasurePage, qtbot: QtBot
) -> None:
    card = start(page, "every 1 ft")
    for feet in range(21):
        keys("0.093" if feet == 10 else f"{thickness(feet):.4f}", ENTER)
    qtbot.waitUntil(lambda: card.again.isVisible())
    assert card.again.text() == "Read 10 ft again"
    click(card.again)
    assert card.place.text() == "10 ft"
    keys(f"{thickness(10):.4f}", ENTER)
    qtbot.waitUntil(lambda: not card.again.isVisible())
    assert (10.0, (0.093, 0.06)) in readings(page)
    # Chosen anew, the same run asks for nothing that is read.
    start(page, "every 2 ft")
    assert card.place.text() == "All read"


def test_the_expected_diameter_is_never_shown_before_the_reading(
    page: MeasurePage, qtbot: QtBot
) -> None:
    card = start(page)
    for _ in range(8):
        keys("0.0505", ENTER)
    qtbot.waitUntil(lambda: page.desk.is_fresh)
    shown = " ".join(words_on(card))
    assert shown.count("0.05") == 1
    assert "Last read: 0.0505 at 14 ft" in shown
    assert card.place.text() == "16 ft"


def test_other_units_offer_other_steps_and_keep_the_run(page: MeasurePage) -> None:
    card = start(page)
    keys("0.040", ENTER)
    page.place.settings.use_system(System.METRIC)
    assert card.choice.findText("every 0.500 m") >= 0 or card.choice.findText("every 0.5 m") >= 0
    assert card.place.text() == "610 mm"
    keys("1.1", ENTER)
    assert len(readings(page)) == 2
