"""From an edit to the repainted window, against a fixed piece of numpy work in the same run.

A person is to wait no longer than 10 ms, on a line of 40 segments with 8 lines laid over it, once
every page has been opened. The numpy work tells how fast the machine is, so that runs on different
machines can be compared.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator

import numpy as np
import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QTimer
from PySide6.QtWidgets import QApplication
from pytest_benchmark.fixture import BenchmarkFixture

from taperlab.edits import cut_back as cutting
from taperlab.edits import measure as measuring
from taperlab.edits.breakpoints import drag_breakpoint
from taperlab.edits.figures import Figure, May, Moves, set_figure
from taperlab.edits.values import set_rear_diameter, set_weight
from taperlab.files.preferences import Preferences, Theme
from taperlab.gui.frame.start import make_application, make_window
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.catalogue import PAGES
from taperlab.gui.pages.shape.page import ShapePage
from taperlab.model.bench import Bench, View
from taperlab.model.line import Line, Style, line_of
from taperlab.model.segment import Part, Segment
from taperlab.shop.cut_back.start import usual_target
from taperlab.shop.instruments import usual_instruments
from taperlab.trade.starters import starter_rods
from taperlab.units.kinds import System

SEGMENTS, OVERLAYS = 40, 8

ANSWERED = 0.010
"""Seconds within which an edit is on screen; a frame has 16 ms, and others want some of it."""


def tapered_line(key: str, number: int, count: int = SEGMENTS) -> Line:
    """A line that thickens to its middle and thins again, each a little different."""
    ends = 0.0009 + (0.0011 + 0.00003 * number) * np.sin(np.linspace(0.1, 3.0, count + 1))
    part = [Part.FRONT_TAPER] * (count // 3) + [Part.BELLY] * (count // 3)
    part += [Part.REAR_TAPER] * (count - len(part))
    rows = tuple(
        Segment(part[i], 0.3 + 0.005 * number, float(ends[i]), float(ends[i + 1]), 800.0 + i)
        for i in range(count)
    )
    return line_of(key, f"Line {number}", rows, style=Style.SCANDI)


def with_jobs(bench: Bench) -> Bench:
    """The bench with its first line measured and being cut back, so that every page has work."""
    line = bench.lines[0]
    bench = measuring.start_measurement(bench, line.key, line.length, 0.03, "Measured").bench
    readings = [
        (at, (one.front_diameter,)) for at, one in zip(line.starts, line.segments, strict=False)
    ]
    bench = measuring.paste_stations(bench, bench.measurements[0].key, readings).bench
    target = usual_target(line, bench.chosen_rod)
    return cutting.start_cut_back(bench, line.key, target, usual_instruments(System.US)).bench


@pytest.fixture
def window(private_folders: object) -> Iterator[Window]:
    app = make_application(["taperlab"])
    made = make_window(Preferences(theme=Theme.LIGHT, welcome_seen=True))
    lines = tuple(tapered_line(f"line-{i}", i) for i in range(OVERLAYS + 1))
    rods = starter_rods()
    bench = Bench(
        lines=lines,
        rods=rods,
        rod=rods[0].key,
        view=View(line="line-0", overlays=tuple(line.key for line in lines[1:])),
    )
    made.file.put_in_hand(with_jobs(bench), None)
    made.resize(1280, 800)
    made.show()
    for entry in (*PAGES, PAGES[0]):  # all are there, and the first is shown
        made.show_page(entry.key)
        app.processEvents()
    yield made
    made.document.undo_stack.setClean()
    made.close()
    app.processEvents()


def answer(window: Window, edit: object, *args: object, **options: object) -> None:
    assert window.document.apply(edit, *args, **options)
    QApplication.processEvents()  # the repaints that the edit asked for
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def within_a_frame(benchmark: BenchmarkFixture, edit: Callable[[], None]) -> None:
    benchmark.pedantic(edit, rounds=150, warmup_rounds=20)
    assert benchmark.stats.stats.median <= ANSWERED


def test_a_typed_diameter(benchmark: BenchmarkFixture, window: Window) -> None:
    """A typed diameter: readouts, plots and table answer."""
    turn = itertools.count()

    def edit() -> None:
        answer(window, set_rear_diameter, "line-0", 19, 0.0020 + 0.00002 * (next(turn) % 7))

    within_a_frame(benchmark, edit)


def test_a_typed_weight(benchmark: BenchmarkFixture, window: Window) -> None:
    """A typed weight: the density of one segment moves."""
    turn = itertools.count()

    def edit() -> None:
        answer(window, set_weight, "line-0", 10, 0.0008 + 0.00001 * (next(turn) % 7))

    within_a_frame(benchmark, edit)


def test_a_dragged_breakpoint(benchmark: BenchmarkFixture, window: Window) -> None:
    """One step of a drag: a breakpoint moves along and up, all drags being one undo step."""
    turn = itertools.count()
    merge = window.document.new_merge_id()

    def edit() -> None:
        step = next(turn) % 9
        answer(
            window,
            drag_breakpoint,
            "line-0",
            20,
            6.0 + 0.01 * step,
            diameter=0.0019 + 0.00001 * step,
            merge=merge,
            initiator=window.pages.current,
        )

    within_a_frame(benchmark, edit)


def test_a_ghost(benchmark: BenchmarkFixture, window: Window) -> None:
    """What is typed so far, drawn and read beside what is there, once the pause is over."""
    page, turn = window.pages.page("shape"), itertools.count()
    assert isinstance(page, ShapePage)
    pause = page.preview.findChild(QTimer)

    def look() -> None:
        to = 0.0020 + 0.00002 * (next(turn) % 7)
        page.preview.ask(lambda: (set_rear_diameter, ("line-0", 19, to)))
        pause.timeout.emit()
        QApplication.processEvents()
        assert page.preview.analysis is not None

    within_a_frame(benchmark, look)


def test_a_typed_head_weight(benchmark: BenchmarkFixture, window: Window) -> None:
    """A typed figure of the head: every diameter moves."""
    turn = itertools.count()

    def edit() -> None:
        wanted, may = 0.03 + 0.0001 * (next(turn) % 7), May(Moves.DIAMETERS)
        answer(window, set_figure, "line-0", Figure.WEIGHT, wanted, may)

    within_a_frame(benchmark, edit)


def test_numpy_work_to_compare_with(benchmark: BenchmarkFixture) -> None:
    """The same arithmetic on every machine: sines and sums of a million numbers."""
    numbers = np.linspace(0.0, 10.0, 1_000_000)
    benchmark.pedantic(lambda: float(np.sin(numbers).sum()), rounds=50, warmup_rounds=5)
