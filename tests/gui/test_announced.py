"""What a screen reader is told without asking."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent

from taperlab.edits.figures import Figure
from taperlab.gui.frame.window import Window
from taperlab.gui.kit import announce
from taperlab.units.kinds import LENGTH, System
from taperlab.units.sentence import Sentence
from taperlab.units.show import show
from tests.gui.hands import (
    NOISE,
    choose,
    click,
    keys,
    nudge,
    settled,
    shape,
    status,
    type_into,
    wait_active,
)

pytestmark = pytest.mark.qt_log_ignore(NOISE)

Said = list[tuple[str, bool]]


@pytest.fixture
def said(monkeypatch: pytest.MonkeyPatch) -> Said:
    """What is announced, and whether at once."""
    heard: Said = []
    assertive = QAccessible.AnnouncementPoliteness.Assertive

    def hear(event: QAccessibleAnnouncementEvent) -> None:
        heard.append((event.message(), event.politeness() is assertive))

    monkeypatch.setattr(announce, "send", hear)
    return heard


def test_what_an_edit_did_is_announced(window: Window, said: Said) -> None:
    type_into(window, 1, 1, "16'")
    assert said[-1] == (status(window), False)
    assert said[-1][0]


def test_a_refusal_is_announced_at_once(window: Window, said: Said) -> None:
    window.say_problem(Sentence("This cannot be done."))
    assert said == [("This cannot be done.", True)]


def test_a_reading_under_the_keys_is_announced(window: Window, said: Said) -> None:
    plots = shape(window).plots
    plots.setFocus()
    said.clear()
    keys(Qt.Key.Key_Right, Qt.Key.Key_Right)
    assert [words for words, _ in said][-1] == plots.accessibleDescription()
    assert len(said) == 2
    window.page_list.setFocus()
    said.clear()
    plots.point_at(3.0)
    assert said == []  # what only the mouse reads


def test_buttons_below_the_page_say_what_is_chosen(window: Window) -> None:
    button = window.status.units_button
    assert button.accessibleName().endswith(button.text())
    before = button.accessibleName()
    click(button)
    assert button.accessibleName().endswith(button.text())
    assert button.accessibleName() != before


def test_what_a_nudge_leaves_is_announced_with_the_length(window: Window, said: Said) -> None:
    length = shape(window).readouts.typed[Figure.LENGTH]
    length.setFocus()
    said.clear()
    nudge(Qt.Key.Key_Up)
    told = QAccessible.queryAccessibleInterface(length)
    value = told.text(QAccessible.Text.Value)
    assert value == "37 ft 1/8 in"  # a mark of the tape longer than 37 ft
    assert said[-1] == (f"Head length: {value}", False)


def test_a_handle_of_the_plots_says_where_keys_took_it(window: Window, said: Said) -> None:
    plots = shape(window).plots
    plots.setFocus()
    keys(Qt.Key.Key_Home, Qt.Key.Key_PageDown)
    chosen = plots.grips.in_hand
    assert chosen is not None
    said.clear()
    nudge(Qt.Key.Key_Right)
    assert plots.grips.in_hand.position > chosen.position
    there = show(plots.grips.in_hand.position, LENGTH, System.US)
    assert said[-1] == (plots.accessibleDescription(), False)
    assert there in said[-1][0]


def test_the_blades_of_the_drawing_say_where_keys_took_them(
    make: Callable[..., Window], said: Said
) -> None:
    window = make(demo=False)
    window.file_menu.open_sample("cut_back.taperlab")
    wait_active(window)
    page = window.pages.page("cut")
    settled(page)
    choose(page.end.end, 2)  # from both ends
    settled(page)
    page.drawing.setFocus(Qt.FocusReason.TabFocusReason)
    said.clear()
    keys(Qt.Key.Key_Left)
    value = QAccessible.queryAccessibleInterface(page.drawing).text(QAccessible.Text.Value)
    assert [words for words, _ in said] == [value]
    assert value.count(" in from the ") == 2
    said.clear()
    keys(Qt.Key.Key_Up)
    keys(Qt.Key.Key_Up)
    ends = [words.split(":")[0] for words, _ in said]
    assert sorted(ends) == ["FLY END", "ROD END"]
    assert all(words.split(": ")[1] in value for words, _ in said)
