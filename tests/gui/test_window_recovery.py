"""Nothing is lost: killed programs, two windows on one file, and errors nobody expected."""

from __future__ import annotations

import logging
import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QMessageBox

from taperlab.edits.values import set_length
from taperlab.files.native import read_bench, write_bench
from taperlab.files.presence import Presence
from taperlab.gui.frame.errors import LastResort, log
from taperlab.gui.frame.window import Window
from taperlab.gui.kit.banner import Banner
from taperlab.shipped import sample
from tests.gui.hands import NOISE, answer, banners, button, click, settle, wait_active

pytestmark = pytest.mark.qt_log_ignore(NOISE)

WAIT = 60.0
"""Seconds until a helper process is given up; it is never waited for that long."""

EDIT_AND_WAIT = """
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from taperlab.edits.values import set_length
from taperlab.gui.frame import start as starting
make = starting.make_window
def make_and_edit(*arguments):
    window = make(*arguments)
    def edit():
        window.file.findChild(QTimer).setInterval(20)
        window.document.apply(set_length, window.document.line.key, 1, 4.321)
    QTimer.singleShot(0, edit)
    return window
starting.make_window = make_and_edit
starting.run_window(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
"""


@pytest.fixture
def killed(private_folders: Path) -> Callable[..., None]:
    """Edit a file in another process, and kill it once its recovery copy is on the disk."""

    def edit_and_kill(*arguments: str) -> None:
        copies = private_folders / "state" / "recovery"
        before = set(copies.glob("*.json"))
        process = subprocess.Popen(
            [sys.executable, "-c", EDIT_AND_WAIT, *arguments],
            env=os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)},
            stderr=subprocess.PIPE,
            text=True,
        )
        until = time.monotonic() + WAIT
        while not set(copies.glob("*.json")) - before:
            assert process.poll() is None, process.stderr.read()
            assert time.monotonic() < until, "no recovery copy is written"
            settle()
        process.kill()
        process.wait()
        process.stderr.close()

    return edit_and_kill


@pytest.fixture
def bench_file(tmp_path: Path) -> Path:
    path = tmp_path / "mill pool.taperlab"
    write_bench(read_bench(sample("scandi.taperlab")), path)
    return path


def offered(window: Window) -> list[Banner]:
    return window.file_menu.offer_left_copies()


def test_saved_killed_and_got_back(
    killed: Callable[..., None], bench_file: Path, make: Callable[..., Window]
) -> None:
    killed(str(bench_file))
    untouched = read_bench(bench_file)
    window = make()
    found = offered(window)
    assert len(found) == 1
    assert "mill pool.taperlab" in banners(window)[0]
    click(found[0].buttons["Get them back"])
    settle()
    assert window.document.line.segments[1].length == 4.321
    assert window.document.path == bench_file
    assert window.document.is_dirty
    assert window.isWindowModified()
    # The file itself still holds what was saved, until it is saved again.
    assert read_bench(bench_file) == untouched
    assert not banners(window)
    assert not offered(make())  # it is in this window's care now
    assert window.file_menu.save()
    assert read_bench(bench_file).lines[0].segments[1].length == 4.321


def test_work_never_saved_is_got_back_too(
    killed: Callable[..., None], make: Callable[..., Window]
) -> None:
    killed()
    window = make()
    found = offered(window)
    assert "a bench that had no file yet" in banners(window)[0]
    click(found[0].buttons["Get them back"])
    settle()
    assert window.document.path is None
    assert window.document.line.segments[1].length == 4.321


def test_later_keeps_it_and_throwing_away_does_not(
    killed: Callable[..., None], bench_file: Path, make: Callable[..., Window]
) -> None:
    killed(str(bench_file))
    first = make()
    click(offered(first)[0].buttons["Later"])
    settle()
    assert not banners(first)
    second = make()
    click(offered(second)[0].buttons["Throw them away"])
    settle()
    assert not offered(make())


def test_getting_it_back_asks_before_it_puts_other_work_away(
    killed: Callable[..., None], bench_file: Path, make: Callable[..., Window]
) -> None:
    killed(str(bench_file))
    window = make()
    found = offered(window)
    window.document.apply(set_length, window.document.line.key, 1, 3.0)
    answer(QMessageBox.StandardButton.Cancel)
    click(found[0].buttons["Get them back"])
    settle()
    assert window.document.line.segments[1].length == 3.0
    assert len(offered(window)) == 1  # still there to be had


def test_the_copy_is_taken_away_with_undo_save_and_close(
    window: Window, private_folders: Path, tmp_path: Path
) -> None:
    copies = private_folders / "state" / "recovery"

    def count() -> int:
        return len(list(copies.glob("*.taperlab")))

    def edit() -> None:
        window.document.apply(set_length, window.document.line.key, 1, 3.0)
        window.file.keep_copy()
        assert count() == 1

    edit()
    window.menus.actions["undo"].trigger()
    assert count() == 0
    edit()
    assert window.file.save(tmp_path / "a.taperlab")
    assert count() == 0
    window.document.apply(set_length, window.document.line.key, 1, 3.5)
    window.file.keep_copy()
    answer(QMessageBox.StandardButton.Discard)
    window.close()
    settle()
    assert count() == 0


def test_the_copy_is_written_within_seconds(window: Window) -> None:
    window.document.apply(set_length, window.document.line.key, 1, 3.0)
    (timer,) = window.file.findChildren(QTimer)
    assert timer.isActive()
    assert timer.interval() <= 3000
    # More edits do not put it off.
    left = timer.remainingTime()
    window.document.apply(set_length, window.document.line.key, 1, 3.1)
    assert timer.remainingTime() <= left


def test_two_windows_on_one_file_are_told(
    make: Callable[..., Window], bench_file: Path, private_folders: Path
) -> None:
    first, second = make(), make()
    assert first.file_menu.open_path(bench_file)
    assert not banners(first)
    assert second.file_menu.open_path(bench_file)
    assert "open in another window too" in banners(second)[0]
    assert "mill pool.taperlab" in banners(second)[0]
    # The first learns of it when its owner comes back to it, and is told once.
    first.activateWindow()
    wait_active(first)
    second.activateWindow()
    wait_active(second)
    first.activateWindow()
    wait_active(first)
    assert len(banners(first)) == 1
    assert "open in another window too" in banners(first)[0]
    second.file_menu.open_demo()
    third = make()
    first.file_menu.open_demo()
    assert third.file_menu.open_path(bench_file)
    assert not banners(third)


def test_a_window_of_another_run_is_told_of_too(
    make: Callable[..., Window], bench_file: Path, private_folders: Path
) -> None:
    from taperlab.files.presence import claim

    other = Presence.enter()
    claim(other, bench_file)
    window = make()
    assert window.file_menu.open_path(bench_file)
    assert "open in another window too" in banners(window)[0]
    other.leave()
    window.file_menu.open_demo()
    again = make()
    assert again.file_menu.open_path(bench_file)
    assert not banners(again)


@pytest.fixture
def last_resort(window: Window, private_folders: Path) -> Iterator[LastResort]:
    yield LastResort(window.file.keep_copy, private_folders / "state", window)
    for handler in list(log.handlers):
        log.removeHandler(handler)
        handler.close()
    log.setLevel(logging.NOTSET)


def raised(error: Exception) -> tuple[type[BaseException], BaseException, object]:
    try:
        raise error
    except type(error) as caught:
        return type(caught), caught, caught.__traceback__


def test_an_unexpected_error_keeps_the_bench_logs_it_and_shows_no_traceback(
    window: Window, last_resort: LastResort, private_folders: Path
) -> None:
    window.document.apply(set_length, window.document.line.key, 1, 3.0)
    asked = answer(QMessageBox.StandardButton.Ok)
    last_resort.take(*raised(ZeroDivisionError("a weld of no length")))
    assert "Something went wrong" in asked[0]
    assert "recovery copy was written" in asked[0]
    assert "Traceback" not in asked[0]
    assert "ZeroDivisionError" not in asked[0]
    assert "taperlab.log" in asked[0]
    logged = (private_folders / "state" / "taperlab.log").read_text(encoding="utf-8")
    assert "Traceback" in logged
    assert "a weld of no length" in logged
    copies = list((private_folders / "state" / "recovery").glob("*.taperlab"))
    assert read_bench(copies[0]).lines == window.document.bench.lines
    assert window.isVisible()


def test_an_error_while_keeping_the_bench_is_said_too(
    window: Window, private_folders: Path
) -> None:
    def cannot() -> None:
        raise OSError("disk full")

    made = LastResort(cannot, None, window)
    asked = answer(QMessageBox.StandardButton.Ok)
    made.take(*raised(ValueError("x")))
    assert "Save your work under another name" in asked[0]
    assert "recovery copy" not in asked[0]


def test_errors_on_top_of_errors_ask_only_once(window: Window, last_resort: LastResort) -> None:
    def again(box: object) -> None:
        last_resort.take(*raised(ValueError("second")))
        box.accept()

    asked = answer(again)
    last_resort.take(*raised(ValueError("first")))
    assert len(asked) == 1


def test_an_error_in_an_edit_leaves_the_bench_and_the_stack_alone(
    window: Window, bench_file: Path
) -> None:
    bench, steps = window.document.bench, window.document.undo_stack.count()

    def broken(_bench: object) -> object:
        raise RuntimeError("not the person's fault")

    with pytest.raises(RuntimeError):
        window.document.apply(broken)
    assert window.document.bench is bench
    assert window.document.undo_stack.count() == steps
    assert window.document.apply(set_length, window.document.line.key, 1, 3.0)


def test_first_start_welcomes_once(make: Callable[..., Window]) -> None:
    from taperlab.files.preferences import Preferences, load_preferences

    window = make(Preferences())
    window.welcome.greet_once()
    assert "Welcome" in banners(window)[0]
    click(button(window.banners, "Got it"))
    settle()
    assert not banners(window)
    again = make(load_preferences())
    again.welcome.greet_once()
    assert banners(again) == []
    again.menus.actions["welcome"].trigger()
    assert "Welcome" in banners(again)[0]
