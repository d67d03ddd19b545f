"""A move of the mouse over the plots: no dearer on the Measure page than on the Shape page.

Both are measured turn about in one run, each with the sample bench of its page.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication
from pytest_benchmark.fixture import BenchmarkFixture

from taperlab.files.native import read_bench
from taperlab.files.preferences import Preferences, Theme
from taperlab.gui.frame.start import make_application, make_window
from taperlab.gui.frame.window import Window
from taperlab.gui.plots.stack import PlotStack
from taperlab.shipped import sample

MOVES = 60
ROOM = 1.15
"""How much two equal medians may differ by chance in one run of turns about."""


@pytest.fixture
def window(private_folders: object) -> Iterator[Window]:
    app = make_application(["taperlab"])
    made = make_window(Preferences(theme=Theme.LIGHT, welcome_seen=True))
    design = read_bench(sample("scandi.taperlab"))
    measured = read_bench(sample("measured_head.taperlab"))
    made.file.put_in_hand(replace(design, measurements=measured.measurements), None)
    made.resize(1280, 800)
    made.show()
    app.processEvents()
    yield made
    made.document.undo_stack.setClean()
    made.close()
    app.processEvents()


def plots_of(window: Window, key: str) -> PlotStack:
    """The plots of a page, shown and with all that is asked for answered."""
    window.show_page(key)
    window.jobs.settle()
    QApplication.processEvents()
    plots = window.pages.page(key).plots
    assert isinstance(plots, PlotStack)
    return plots


def seconds_a_move(plots: PlotStack) -> float:
    """From a move of the mouse to what it repaints, the median of many places."""
    view, found = plots.canvas.viewport(), []
    none = Qt.MouseButton.NoButton
    for move in range(MOVES):
        at = QPointF(80.0 + (move * 37) % (view.width() - 160), view.height() / 2.0)
        event = QMouseEvent(
            QEvent.Type.MouseMove,
            at,
            view.mapToGlobal(at),
            none,
            none,
            Qt.KeyboardModifier.NoModifier,
        )
        start = time.perf_counter()
        QApplication.sendEvent(view, event)
        QApplication.processEvents()
        found.append(time.perf_counter() - start)
    assert plots.position is not None
    return statistics.median(found)


def test_a_move_on_measure_against_one_on_shape(
    benchmark: BenchmarkFixture, window: Window
) -> None:
    """The ratio of the two, and the milliseconds of each, stand in the benchmark's own notes."""
    taken: dict[str, list[float]] = {"shape": [], "measure": []}

    def turn_about() -> None:
        for key, found in taken.items():
            found.append(seconds_a_move(plots_of(window, key)))

    benchmark.pedantic(turn_about, rounds=8, warmup_rounds=1)
    shape, measure = (min(taken[key]) for key in ("shape", "measure"))
    benchmark.extra_info |= {
        "shape_ms": round(shape * 1e3, 2),
        "measure_ms": round(measure * 1e3, 2),
        "ratio": round(measure / shape, 2),
    }
    assert measure <= ROOM * shape
