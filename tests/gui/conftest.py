"""A window on the demo bench for each test, and a look at what it leaves behind."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from taperlab.files.preferences import Preferences, Theme
from taperlab.files.presence import Presence
from taperlab.gui.frame.start import make_application, make_window
from taperlab.gui.frame.window import Window
from tests.gui.hands import forget_answers


@pytest.fixture(scope="session")
def qapp() -> QApplication:
    return make_application(["taperlab"])


def deliver_deletes() -> None:
    """Carry out deleteLater, which waits for a running event loop otherwise."""
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    QCoreApplication.processEvents()


@pytest.fixture
def presence(private_folders: Path) -> Iterator[Presence]:
    here = Presence.enter()
    yield here
    here.leave()


@pytest.fixture
def make(qtbot: QtBot, presence: Presence) -> Iterator[Callable[..., Window]]:
    made: list[Window] = []

    def one(
        preferences: Preferences | None = None, *, demo: bool = True, file: Path | None = None
    ) -> Window:
        window = make_window(
            preferences or Preferences(theme=Theme.LIGHT, welcome_seen=True), presence
        )
        if preferences is None:
            window.resize(1280, 800)  # more than the screenless platform has room for
        if file is not None:
            assert window.file_menu.open_path(file)
        elif demo:
            window.file_menu.open_demo()
        with qtbot.waitActive(window):
            window.show()
            window.activateWindow()
        made.append(window)
        return window

    yield one
    forget_answers()
    for window in made:
        try:
            window.document.undo_stack.setClean()
            window.close()
        except RuntimeError:
            pass  # the test closed it itself
    deliver_deletes()
    left = [each for each in QApplication.topLevelWidgets() if each.isVisible()]
    assert not left, f"left on the screen: {left}"


@pytest.fixture
def window(make: Callable[..., Window]) -> Window:
    return make()
