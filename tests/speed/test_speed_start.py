"""Fresh processes, one after the other and turn about: the window, and a report.

Imports alone measure nothing that a person waits for, so the window is timed until its plots are
painted. Each test compares two commands in one run and records both medians and their ratio.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from pytest_benchmark.fixture import BenchmarkFixture

from taperlab.shipped import sample

TURNS = 9

BARE = """
import os, numpy
from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QApplication
import pyqtgraph
app = QApplication([])
plot = pyqtgraph.PlotWidget()
class Painted(QObject):
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint:
            QTimer.singleShot(0, lambda: os._exit(0))
        return False
painted = Painted()
plot.viewport().installEventFilter(painted)
plot.resize(1280, 800)
plot.show()
app.exec()
"""

WINDOW = """
import os, sys
import taperlab.gui.frame.before_qt  # as a start does
from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QApplication
class Painted(QObject):
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint:
            QTimer.singleShot(0, lambda: os._exit(0))
        return False
painted = Painted()
run = QApplication.exec
def run_watched(*_):
    window = next(each for each in QApplication.topLevelWidgets() if hasattr(each, "rack"))
    window.pages.current.plots.canvas.viewport().installEventFilter(painted)
    return run()
QApplication.exec = run_watched
sys.argv = ["taperlab"]
from taperlab.__main__ import main
main()
"""


def seconds(command: list[str], folder: Path) -> float:
    """Wall time of a fresh process, which must end well."""
    environment = os.environ | {
        "PYTHONDONTWRITEBYTECODE": "",  # both run compiled, as they do where they are installed
        "PYTHONPYCACHEPREFIX": str(folder / "compiled"),
        "QT_QPA_PLATFORM": "offscreen",
        "PYQTGRAPH_QT_LIB": "PySide6",
        "TAPERLAB_STATE": str(folder / "state"),
        "TAPERLAB_CONFIG": str(folder / "config"),
    }
    start = time.perf_counter()
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    taken = time.perf_counter() - start
    assert done.returncode == 0, done.stderr
    return taken


def turn_about(
    benchmark: BenchmarkFixture, ours: Callable[[], float], theirs: Callable[[], float]
) -> float:
    """Run both in turn; the ratio of their medians, which is recorded with the benchmark."""
    ours(), theirs()  # compiled files and disk caches
    other: list[float] = []
    own: list[float] = []

    def once() -> None:
        own.append(ours())

    benchmark.pedantic(once, setup=lambda: other.append(theirs()), rounds=TURNS)
    mine, bare = statistics.median(own), statistics.median(other)
    benchmark.extra_info.update(ours=mine, compared_with=bare, ratio=mine / bare)
    print(f"\n{mine:.3f} s against {bare:.3f} s: {mine / bare:.2f} times")  # noqa: T201
    return mine / bare


def test_start_of_the_window(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    """At most 1.6 times a bare script that shows one empty plot."""
    ratio = turn_about(
        benchmark,
        lambda: seconds([sys.executable, "-c", WINDOW], tmp_path),
        lambda: seconds([sys.executable, "-c", BARE], tmp_path),
    )
    assert ratio <= 1.6


def test_a_report(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    """At most 1.8 times numpy and pint with its registry."""
    report = [sys.executable, "-m", "taperlab", "report", str(sample("scandi.taperlab"))]
    imported = subprocess.run(
        [sys.executable, "-X", "importtime", *report[1:]],
        capture_output=True,
        text=True,
        check=True,
    ).stderr
    assert "taperlab.files.report" in imported
    assert "PySide6" not in imported
    assert "pyqtgraph" not in imported
    bare = [sys.executable, "-c", "import numpy, pint; pint.UnitRegistry()"]
    ratio = turn_about(
        benchmark, lambda: seconds(report, tmp_path), lambda: seconds(bare, tmp_path)
    )
    assert ratio <= 1.8
