"""A box to choose from, whose choice has no room."""

from __future__ import annotations

from pytestqt.qtbot import QtBot

from taperlab.gui.frame.window import Window
from taperlab.gui.kit.choice import Choice
from tests.gui.hands import shape

NAME = "Mill pool 13 ft, 7 · 3.96 m"


def test_what_has_no_room_ends_in_an_ellipsis_and_is_painted_so(
    window: Window, qtbot: QtBot
) -> None:
    box = Choice(shape(window))
    box.addItems([NAME])
    box.resize(600, box.sizeHint().height())
    assert box.shown_text() == NAME
    box.resize(110, box.sizeHint().height())
    short = box.shown_text()
    assert short.endswith("…")
    assert NAME.startswith(short[:-1])
    assert not short[:-1].endswith("3.")
    painted = box.grab().toImage()
    box.setItemText(0, short)
    box.resize(112, box.height())
    box.resize(110, box.height())
    assert box.shown_text() == short
    assert box.grab().toImage() == painted
    assert box.count() == 1
