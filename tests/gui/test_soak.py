"""Many edits, each with real repaints, in one process: the window lives and memory stays flat.

The suite runs a short form. The long one runs on demand and prints what it measured::

    TAPERLAB_SOAK=20000 python -m pytest tests/gui/test_soak.py -s

It watches two things. Qt bindings that lose references to None at each repaint (one release does,
on Python 3.11) make its count fall, and abort the interpreter after some thousand repaints. And
whatever is made anew at each edit and never let go makes the process grow.
"""

from __future__ import annotations

import gc
import os
import sys
import time
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication
from shiboken6 import isValid

from taperlab.edits import breakpoints as breakpoint_edits
from taperlab.edits import rows as row_edits
from taperlab.edits import values as value_edits
from taperlab.edits.bench import set_water
from taperlab.edits.edited import Solve
from taperlab.gui.frame.window import Window
from taperlab.model.water import WaterKind

EDITS = int(os.environ.get("TAPERLAB_SOAK", "150"))
KEPT_FOR_EACH_EDIT = 3072
"""Bytes that an undo step may hold: undo reaches back for as long as the file is open."""
SLACK = 24 * 2**20
STATM = Path("/proc/self/statm")


def resident() -> int | None:
    """Bytes of memory in use, where the system tells."""
    if not STATM.exists():
        return None
    return int(STATM.read_text(encoding="ascii").split()[1]) * os.sysconf("SC_PAGE_SIZE")


def settle() -> None:
    QApplication.processEvents()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def one_edit(window: Window, key: str, number: int) -> None:
    """One of the things a person does all day, by turns."""
    document, swing = window.document, number % 11
    match number % 8:
        case 0:
            document.apply(value_edits.set_length, key, 1, 3.0 + 0.01 * swing)
        case 1:
            document.apply(value_edits.set_rear_diameter, key, 0, 0.0011 + 0.00001 * swing)
        case 2:
            document.apply(value_edits.set_weight, key, 1, 0.010 + 0.0001 * swing, Solve.DENSITY)
        case 3:
            document.apply(breakpoint_edits.drag_breakpoint, key, 1, None, diameter=0.0012)
        case 4:
            document.apply(set_water, WaterKind.FRESH, 278.15 + swing, 0.035)
        case 5:
            document.apply(row_edits.split_segment, key, 1, 1.0)
        case 6:
            document.undo_stack.undo()
        case 7:
            window.rack.toggle(document.bench.lines[1 + number // 8 % 2])
    if number % 50 == 0:
        window.repaint()
    settle()


def test_many_edits_leave_the_window_alive_and_memory_flat(make: Callable[..., Window]) -> None:
    window = make()
    document = window.document
    key = document.line.key
    for _ in range(2):
        window.rack.duplicate_current()
    document.look(line=key)
    for number in range(min(200, EDITS // 4)):  # caches fill, and the arenas of the allocator
        one_edit(window, key, number)
    gc.collect()
    steps, memory, nones = document.undo_stack.count(), resident(), sys.getrefcount(None)
    start = time.perf_counter()
    for number in range(EDITS):
        one_edit(window, key, number)
    taken = time.perf_counter() - start
    gc.collect()
    nones_after, memory_after = sys.getrefcount(None), resident()
    told = f"{EDITS} edits in {taken:.1f} s, {document.undo_stack.count() - steps} undo steps"
    told += f"; references to None {nones} to {nones_after}"
    if memory is not None:
        told += f"; memory {memory / 2**20:.1f} to {memory_after / 2**20:.1f} MiB"
    print(f"\n{told}")  # noqa: T201
    assert document.undo_stack.count() - steps > EDITS // 2
    assert isValid(window)
    assert window.isVisible()
    assert not window.grab().isNull()
    assert nones_after >= nones - 200
    if memory is not None:
        assert memory_after - memory < SLACK + KEPT_FOR_EACH_EDIT * EDITS
