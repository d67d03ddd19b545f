"""Reading files into the window: large ones beside it, and commas that leave it open."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event

import pytest
from PySide6.QtWidgets import QProgressDialog, QTableWidget
from pytestqt.qtbot import QtBot

from taperlab.files.native import write_bench
from taperlab.files.table import Layout, TableRow
from taperlab.gui.dialogs import reading
from taperlab.gui.dialogs.table_import import TableImportDialog
from taperlab.gui.frame.window import Window
from taperlab.gui.state import jobs
from taperlab.model.bench import Bench
from tests.gui.hands import (
    NOISE,
    TAB,
    banners,
    button,
    choose,
    click,
    drop,
    keys,
    open_dialog,
    problem,
    settle,
    status,
)

pytestmark = pytest.mark.qt_log_ignore(NOISE)

PLAIN = (
    "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3]\n"
    + "belly,0.5,0.06,0.06,0.85\n" * 300
)
OPEN = (
    "part;length [mm];front diameter [mm];rear diameter [mm];density [kg/m^3]\n"
    "belly;9,144;2;2;870\n"
)
LONGEST = 20.0
"""Seconds until a test gives up on an event that never comes."""


def until(qtbot: QtBot, comes: Callable[[], bool]) -> None:
    qtbot.waitUntil(comes, timeout=round(1000 * LONGEST))


@pytest.fixture
def beside(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every file counts as large, and what is read beside the window is shown at once."""
    monkeypatch.setattr(reading, "SMALL", 0)
    monkeypatch.setattr(jobs, "PROGRESS_AFTER", 0)


@pytest.fixture
def held_up(monkeypatch: pytest.MonkeyPatch, beside: None) -> Iterator[Event]:
    """The rows of a table wait until they are let through."""
    gate, read = Event(), Layout.read_rows

    def waiting(layout: Layout) -> Iterator[TableRow]:
        assert gate.wait(LONGEST)
        yield from read(layout)

    monkeypatch.setattr(Layout, "read_rows", waiting)
    yield gate
    gate.set()


def progress(window: Window) -> QProgressDialog | None:
    return next((each for each in window.findChildren(QProgressDialog) if each.isVisible()), None)


def test_a_large_table_is_read_beside_the_window(
    window: Window, tmp_path: Path, qtbot: QtBot, held_up: Event
) -> None:
    path = tmp_path / "large.csv"
    path.write_text(PLAIN, encoding="utf-8")
    before = window.document.bench
    drop(window, path)
    assert window.document.bench is before
    until(qtbot, lambda: progress(window) is not None)
    held_up.set()
    until(qtbot, lambda: window.document.bench is not before)
    assert window.document.line.name == "large"
    assert len(window.document.line.segments) == 300
    until(qtbot, lambda: progress(window) is None)


@pytest.mark.parametrize("way", ["button", "close", "reject"])
def test_a_file_that_is_being_read_can_be_called_off(
    window: Window, tmp_path: Path, qtbot: QtBot, held_up: Event, way: str
) -> None:
    path = tmp_path / "large.csv"
    path.write_text(PLAIN, encoding="utf-8")
    before = window.document.bench
    drop(window, path)
    until(qtbot, lambda: progress(window) is not None)
    shown = progress(window)
    if way == "button":
        click(button(shown, "Cancel"))
    else:
        getattr(shown, way)()
    settle()
    held_up.set()
    window.jobs.settle()
    settle()
    assert window.document.bench is before
    assert progress(window) is None
    assert not banners(window)


def test_a_large_bench_is_opened_beside_the_window(
    window: Window, tmp_path: Path, qtbot: QtBot, beside: None
) -> None:
    path = tmp_path / "large.taperlab"
    write_bench(Bench(note="a large one"), path)
    assert window.file_menu.open_path(path)
    until(qtbot, lambda: window.document.path == path)
    assert window.document.bench.note == "a large one"
    assert "Opened large.taperlab" in status(window)


def test_a_large_file_that_is_wrong_says_so(
    window: Window, tmp_path: Path, qtbot: QtBot, beside: None
) -> None:
    path = tmp_path / "many.csv"
    path.write_text(PLAIN + "belly,0.5,0.06,0.06,0.85\n" * 2000, encoding="utf-8")
    before = window.document.bench
    window.file_menu.open_path(path)
    until(qtbot, lambda: bool(banners(window)))
    assert "found 2,300 rows below the heading, expected at most 2,000" in banners(window)[0]
    assert window.document.bench is before


def test_two_large_files_at_once_both_arrive(
    window: Window, tmp_path: Path, qtbot: QtBot, beside: None
) -> None:
    paths = [tmp_path / "one.csv", tmp_path / "two.csv"]
    for path in paths:
        path.write_text(PLAIN, encoding="utf-8")
    drop(window, *paths)
    until(qtbot, lambda: {"one", "two"} <= {each.name for each in window.document.bench.lines})


@pytest.mark.parametrize(("entry", "metres"), [(1, 0.009144), (2, 9.144)])
def test_a_comma_that_leaves_it_open_is_asked_about(
    window: Window, tmp_path: Path, entry: int, metres: float
) -> None:
    path = tmp_path / "open.csv"
    path.write_text(OPEN, encoding="utf-8")
    before = window.document.bench
    drop(window, path)
    dialog = open_dialog(window, TableImportDialog)
    assert window.document.bench is before
    assert not dialog.accept_button.isEnabled()
    assert "could mean 9.144 or 9144" in problem(dialog).text()
    box = dialog.decimal
    assert box.isVisible()
    assert [box.itemText(i) for i in (1, 2)] == ["decimal: 9.144", "thousands: 9144"]
    choose(box, entry)
    assert dialog.accept_button.isEnabled(), problem(dialog).text()
    click(dialog.accept_button)
    settle()
    (segment,) = window.document.line.segments
    assert segment.length == pytest.approx(metres)


def test_a_large_table_that_was_decided_on_is_read_beside_its_preview(
    window: Window, tmp_path: Path, qtbot: QtBot, held_up: Event
) -> None:
    path = tmp_path / "decided.csv"
    path.write_text(PLAIN.replace("[g/cm^3]", ""), encoding="utf-8")
    before = window.document.bench
    drop(window, path)
    until(qtbot, lambda: bool(window.findChildren(TableImportDialog)))
    dialog = open_dialog(window, TableImportDialog)
    choose(dialog.units[4], dialog.units[4].findText("g/cm³"))
    click(dialog.accept_button)
    until(qtbot, lambda: progress(window) is not None)
    dialog.close()
    assert dialog.isVisible()  # it waits for what is being read
    click(button(progress(window), "Cancel"))
    until(qtbot, dialog.isEnabled)
    assert window.document.bench is before
    held_up.set()
    window.jobs.settle()
    assert window.document.bench is before
    click(dialog.accept_button)
    until(qtbot, lambda: window.document.bench is not before)
    assert len(window.document.line.segments) == 300


def test_nothing_is_asked_about_commas_where_a_table_tells(window: Window, tmp_path: Path) -> None:
    path = tmp_path / "told.csv"
    path.write_text(OPEN.replace(";2;2;", ";2,5;2,5;").replace("part", "what"), encoding="utf-8")
    drop(window, path)
    dialog = open_dialog(window, TableImportDialog)
    assert not dialog.decimal.isVisible()
    dialog.reject()


def test_a_table_of_many_columns_leaves_the_buttons_on_a_small_screen(
    window: Window, tmp_path: Path
) -> None:
    """Sixteen headings that nobody knows, on a screen of 1024 by 700: they scroll."""
    file = tmp_path / "own.csv"
    file.write_text(
        ";".join(f"Spalte Nummer {n}" for n in range(16)) + "\n" + 9 * (15 * "1,5;" + "2\n"),
        encoding="utf-8",
    )
    window.file_menu.open_path(file)
    dialog = open_dialog(window, TableImportDialog)
    settle()
    assert dialog.height() <= 700 - 44
    last = dialog.meanings[-1]
    for _ in range(40):
        if not last.hasFocus():
            keys(TAB)
    settle()
    assert last.hasFocus()
    assert last.visibleRegion().boundingRect().height() == last.height()
    table = dialog.findChild(QTableWidget)
    for at in range(16):
        needed = table.horizontalHeader().fontMetrics().horizontalAdvance("Spalte Nummer 10")
        assert table.columnWidth(at) >= needed - 8
    dialog.reject()
