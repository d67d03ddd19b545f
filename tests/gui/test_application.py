"""The application itself: its icon, files that the system hands over, the head of its log."""

from __future__ import annotations

import platform
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QUrl
from PySide6.QtGui import QFileOpenEvent
from PySide6.QtWidgets import QApplication

from taperlab import __version__
from taperlab.files.native import write_bench
from taperlab.files.preferences import Theme
from taperlab.gui.frame import errors
from taperlab.gui.frame.errors import log_to
from taperlab.gui.frame.window import Window
from taperlab.gui.kit.application import Application
from taperlab.model.bench import Bench
from taperlab.units.kinds import System
from tests.gui.hands import NOISE, banners

pytestmark = pytest.mark.qt_log_ignore(NOISE)


def test_windows_and_dialogs_have_our_icon(window: Window) -> None:
    assert not QApplication.windowIcon().isNull()
    assert not window.windowIcon().isNull()
    drawn = window.windowIcon().pixmap(64, 64).toImage()
    assert drawn.pixelColor(32, 4).name() == "#0e6e6e"
    window.dialogs.show_about()
    dialog = QApplication.activeModalWidget() or QApplication.activeWindow()
    assert dialog is not None
    assert not dialog.windowIcon().isNull()
    dialog.close()


def test_a_file_that_the_system_hands_over_is_opened(window: Window, tmp_path: Path) -> None:
    app = QApplication.instance()
    assert isinstance(app, Application)
    paths = [tmp_path / "early.taperlab", tmp_path / "later.taperlab"]
    for path in paths:
        write_bench(Bench(note=path.stem), path)
    opened: list[str] = []

    def open_path(path: Path) -> None:
        assert window.file_menu.open_path(path)
        opened.append(window.document.bench.note)

    # The system may ask before the window is there.
    QCoreApplication.sendEvent(app, QFileOpenEvent(QUrl.fromLocalFile(str(paths[0]))))
    assert opened == []
    app.hear(open_path)
    try:
        assert opened == ["early"]
        QCoreApplication.sendEvent(app, QFileOpenEvent(QUrl.fromLocalFile(str(paths[1]))))
        assert opened == ["early", "later"]
    finally:
        app.hear(None)
    # Nobody hears it: the file waits for who will.
    QCoreApplication.sendEvent(app, QFileOpenEvent(QUrl.fromLocalFile(str(paths[0]))))
    assert (opened, app.early) == (["early", "later"], [paths[0]])
    app.early.clear()


def test_the_log_says_at_its_head_what_runs(qapp: QApplication, tmp_path: Path) -> None:
    file = log_to(tmp_path)
    assert file is not None
    handler = errors.log.handlers[-1]
    errors.log.removeHandler(handler)
    handler.close()
    (head,) = file.read_text(encoding="utf-8").splitlines()
    assert f"Taperlab {__version__}, Python {platform.python_version()}, Qt 6." in head
    assert "(offscreen)" in head
    assert platform.platform() in head


def test_a_start_shows_the_line_page_units_and_theme_asked_for(window: Window) -> None:
    other = window.document.bench.lines[1]
    window.choose(other.name, "cut", System.METRIC, Theme.DARK)
    assert window.document.line == other
    assert window.document.bench.view.page == "cut"
    assert window.settings.system is System.METRIC
    assert window.theme.choice is Theme.DARK
    assert not banners(window)
    window.choose("no such line", None, None, None)
    assert "This bench has no line" in banners(window)[-1]
