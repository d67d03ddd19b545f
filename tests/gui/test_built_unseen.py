"""A page is built out of sight: no card of it flashes as a window of its own."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication, QWidget

from taperlab.files.native import read_bench
from taperlab.gui.frame.window import Window
from taperlab.gui.pages import catalogue
from taperlab.shipped import sample
from tests.gui.hands import NOISE, settle

pytestmark = pytest.mark.qt_log_ignore(NOISE)


class ShownAlone(QObject):
    """Notes every widget that is shown as a window."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[QWidget] = []

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        if event.type() == QEvent.Type.Show and isinstance(watched, QWidget) and watched.isWindow():
            self.found.append(watched)
        return False


@pytest.mark.parametrize("name", ["rigs", "cut_back", "range"])
def test_nothing_but_the_window_is_shown_as_one(
    make: Callable[..., Window], qapp: QApplication, name: str
) -> None:
    noted = ShownAlone()
    qapp.installEventFilter(noted)
    window = make(demo=False)
    bench = read_bench(sample(f"{name}.taperlab"))
    window.file.put_in_hand(bench, None)
    if bench.rigs:
        window.document.look(line=bench.rigs[0].head, rig=bench.rigs[0].key)
    for entry in catalogue.PAGES:
        window.show_page(entry.key)
        window.jobs.settle()
        settle()
    qapp.removeEventFilter(noted)
    assert {type(each).__name__ for each in noted.found} == {"Window"}
