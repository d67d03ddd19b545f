"""A current that is dragged on the page Water: what one step takes of the window's own thread.

The line, the figures and the drawing are to follow within a frame, 16 ms. What the jobs beside the
window take is not counted: each of their steps waits until the window has nothing to do.
"""

from __future__ import annotations

import itertools
import time
from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtWidgets import QApplication
from pytest_benchmark.fixture import BenchmarkFixture

from taperlab.edits.rigs import set_swing
from taperlab.files.preferences import Preferences, Theme
from taperlab.gui.frame.start import make_application, make_window
from taperlab.gui.pages.water.page import WaterPage
from taperlab.model.exact_units import FOOT

FRAME = 0.016
"""Seconds."""


@pytest.fixture
def page(private_folders: object) -> Iterator[WaterPage]:
    app = make_application(["taperlab"])
    made = make_window(Preferences(theme=Theme.LIGHT, welcome_seen=True))
    made.file_menu.open_sample("rigs.taperlab")
    made.resize(1280, 800)
    made.show()
    made.show_page("water")
    app.processEvents()
    water = made.pages.current
    assert isinstance(water, WaterPage)
    yield water
    made.document.undo_stack.setClean()
    made.close()
    app.processEvents()


@pytest.mark.parametrize("slackens", [False, True])
@pytest.mark.benchmark(timer=time.thread_time)
def test_a_dragged_current(benchmark: BenchmarkFixture, page: WaterPage, slackens: bool) -> None:
    """Each step moves the current by a tenth of a foot a second, there and back."""
    place = page.place
    swing = replace(place.document.bench.swing, bed=1.5, slackens=slackens)
    assert place.do(set_swing, swing)
    place.jobs.settle()
    QApplication.processEvents()
    speeds = itertools.cycle([2.0 + 0.1 * i for i in (*range(20), *range(20, 0, -1))])

    def step() -> None:
        page.depth_plot.move_to(next(speeds) * FOOT)
        QApplication.processEvents()

    benchmark.pedantic(step, rounds=80, warmup_rounds=10)
    place.jobs.settle()
    assert benchmark.stats.stats.median <= FRAME
