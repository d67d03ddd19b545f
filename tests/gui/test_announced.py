"""What a screen reader is told without asking."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent

from taperlab.gui.frame.window import Window
from taperlab.gui.kit import announce
from taperlab.units.sentence import Sentence
from tests.gui.hands import (
    NOISE,
    click,
    keys,
    shape,
    status,
    type_into,
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
