"""Nothing is lost: killed programs, two windows on one file, and errors nobody expected."""

from __future__ import annotations

import errno
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
from taperlab.files import locks, native
from taperlab.files.native import read_bench, write_bench
from taperlab.files.presence import Presence
from taperlab.files.recovery import write_copy
from taperlab.files.standing import digest
from taperlab.gui.dialogs.left_work import LeftWorkDialog
from taperlab.gui.frame.errors import LastResort, log
from taperlab.gui.frame.window import Window
from taperlab.gui.kit.banner import Banner
from taperlab.model.bench import Bench
from taperlab.shipped import sample
from tests.gui.hands import (
    ESC,
    NOISE,
    answer,
    banners,
    button,
    click,
    keys,
    open_dialog,
    settle,
    status,
    wait_active,
)

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
        before = set(copies.glob("*.taperlab"))
        process = subprocess.Popen(
            [sys.executable, "-c", EDIT_AND_WAIT, *arguments],
            env=os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)},
            stderr=subprocess.PIPE,
            text=True,
        )
        until = time.monotonic() + WAIT
        while not set(copies.glob("*.taperlab")) - before:
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


def offered(window: Window) -> Banner | None:
    return window.file_menu.offer_left_copies()


def press(banner: Banner | None, text: str) -> None:
    assert banner is not None, "nothing is offered"
    click(banner.buttons[text])
    settle()


def edit(window: Window, length: float) -> None:
    assert window.document.apply(set_length, window.document.line.key, 1, length)


def length_in(path: Path) -> float:
    return read_bench(path).lines[0].segments[1].length


def leave_a_copy(length: float, original: Path | None, base: str | None) -> None:
    """Leave what a run leaves that ended before it saved an edit of a file."""
    gone = Presence.enter()
    bench = read_bench(sample("scandi.taperlab"))
    edited = set_length(bench, bench.lines[0].key, 1, length).bench
    write_copy(gone, edited, "window-1", original, base)
    gone.leave()


def test_saved_killed_and_got_back(
    killed: Callable[..., None], bench_file: Path, make: Callable[..., Window]
) -> None:
    killed(str(bench_file))
    untouched = read_bench(bench_file)
    window = make()
    found = offered(window)
    assert "mill pool.taperlab" in banners(window)[0]
    assert "The copy is newer than the file" in banners(window)[0]
    press(found, "Get them back")
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
    press(found, "Get them back")
    assert window.document.path is None
    assert window.document.line.segments[1].length == 4.321


def test_later_keeps_it_and_so_does_throwing_away_for_a_while(
    bench_file: Path, make: Callable[..., Window]
) -> None:
    leave_a_copy(4.321, bench_file, digest(bench_file.read_bytes()))
    first = make()
    press(offered(first), "Later")
    assert not banners(first)
    second = make()
    press(offered(second), "Throw them away")
    assert not banners(second)
    assert "for 30 days it can be had under File, Unsaved work" in status(second)
    third = make()
    assert not offered(third)
    third.menus.actions["left_work"].trigger()
    dialog = open_dialog(third, LeftWorkDialog)
    assert dialog.list.currentItem().text() == "mill pool.taperlab, thrown away"
    assert not dialog.throw_button.isEnabled()
    click(dialog.accept_button)
    settle()
    assert third.document.line.segments[1].length == 4.321
    assert third.document.path == bench_file


def test_getting_it_back_asks_before_it_puts_other_work_away(
    bench_file: Path, make: Callable[..., Window]
) -> None:
    leave_a_copy(4.321, bench_file, digest(bench_file.read_bytes()))
    window = make()
    found = offered(window)
    edit(window, 3.0)
    answer(QMessageBox.StandardButton.Cancel)
    press(found, "Get them back")
    assert window.document.line.segments[1].length == 3.0
    assert len(banners(window)) == 1  # still there to be had
    answer(QMessageBox.StandardButton.Discard)
    press(found, "Get them back")
    assert window.document.line.segments[1].length == 4.321


def test_an_older_copy_is_not_saved_over_newer_work_without_a_word(
    bench_file: Path, make: Callable[..., Window]
) -> None:
    leave_a_copy(4.321, bench_file, digest(bench_file.read_bytes()))
    window = make(demo=False)
    found = offered(window)
    press(found, "Later")
    assert window.file_menu.open_path(bench_file)
    edit(window, 5.0)
    assert window.file_menu.save()
    again = make()
    found = offered(again)
    assert "The file is newer: it was saved at" in banners(again)[0]
    assert "They differ: line “" in banners(again)[0]
    press(found, "Get them back")
    assert again.document.line.segments[1].length == 4.321
    asked = answer(QMessageBox.StandardButton.Cancel)
    again.menus.actions["save"].trigger()
    assert "has changed on disk since the edits that you got back were begun" in asked[0]
    assert "They differ: line “" in asked[0]
    assert length_in(bench_file) == 5.0
    assert again.document.is_dirty
    answer(QMessageBox.StandardButton.Save)
    again.menus.actions["save"].trigger()
    assert length_in(bench_file) == 4.321
    # Once it is decided nothing more is asked.
    edit(again, 4.4)
    again.menus.actions["save"].trigger()
    assert length_in(bench_file) == 4.4


def test_a_clash_is_still_asked_about_where_the_window_that_got_it_back_ended_too(
    bench_file: Path, make: Callable[..., Window]
) -> None:
    leave_a_copy(4.321, bench_file, "what the file held then")
    first = make()
    press(offered(first), "Get them back")
    edit(first, 4.5)
    assert first.file.keep_copy()
    # As if it had been killed: its copy is left, and is its run's no longer.
    (copy,) = (Path(os.environ["TAPERLAB_STATE"]) / "recovery").glob("*.taperlab")
    copy.rename(copy.with_name(f"1-dead.window-1{copy.suffix}"))
    second = make()
    press(offered(second), "Get them back")
    assert second.document.line.segments[1].length == 4.5
    asked = answer(QMessageBox.StandardButton.Cancel)
    second.menus.actions["save"].trigger()
    assert "has changed on disk" in asked[0]


def test_what_was_saved_just_before_the_end_is_not_offered(
    bench_file: Path, window: Window, make: Callable[..., Window], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert window.file_menu.open_path(bench_file)
    edit(window, 3.0)
    assert window.file.keep_copy()
    edit(window, 3.3)  # no copy of it yet
    monkeypatch.setattr(window.file, "drop_copy", lambda: None)  # killed between the two
    assert window.file.save(bench_file)
    (copy,) = (Path(os.environ["TAPERLAB_STATE"]) / "recovery").glob("*.taperlab")
    copy.rename(copy.with_name(f"1-dead.window-1{copy.suffix}"))
    assert not offered(make())


def test_two_windows_that_save_one_file_ask_each_other(
    bench_file: Path, make: Callable[..., Window]
) -> None:
    first, second = make(), make()
    assert first.file_menu.open_path(bench_file)
    assert second.file_menu.open_path(bench_file)
    edit(first, 3.1)
    edit(second, 3.2)
    first.menus.actions["save"].trigger()
    asked = answer(QMessageBox.StandardButton.Cancel)
    second.menus.actions["save"].trigger()
    assert "Another window, program or computer saved it at" in asked[0]
    assert length_in(bench_file) == 3.1


def test_what_is_written_between_reading_and_looking_is_not_taken_for_what_was_read(
    bench_file: Path, window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    read = native.parse_bench

    def slow(content: bytes, source: str) -> Bench:
        bench = read(content, source)
        write_bench(set_length(bench, bench.lines[0].key, 1, 6.0).bench, bench_file)
        return bench

    monkeypatch.setattr(native, "parse_bench", slow)
    assert window.file_menu.open_path(bench_file)
    monkeypatch.undo()
    edit(window, 3.2)
    asked = answer(QMessageBox.StandardButton.Cancel)
    window.menus.actions["save"].trigger()
    assert "has changed on disk" in asked[0]
    assert length_in(bench_file) == 6.0


def fail_in(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let a disk be full as far as this folder goes."""
    write = os.open

    def full(path: object, flags: int, *rest: object, **options: object) -> int:
        if flags & os.O_CREAT and str(path).startswith(str(folder)):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return write(path, flags, *rest, **options)

    monkeypatch.setattr(os, "open", full)


def test_getting_it_back_on_a_full_disk_keeps_the_only_copy(
    bench_file: Path,
    private_folders: Path,
    make: Callable[..., Window],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    leave_a_copy(4.321, bench_file, digest(bench_file.read_bytes()))
    window = make()
    found = offered(window)
    fail_in(private_folders / "state", monkeypatch)
    press(found, "Get them back")
    assert window.document.line.segments[1].length == 4.321
    (copy,) = (private_folders / "state" / "recovery").glob("*.taperlab")
    assert length_in(copy) == 4.321
    # It goes once the file holds it.
    assert window.file_menu.save()
    assert length_in(bench_file) == 4.321
    assert not list((private_folders / "state" / "recovery").glob("*.taperlab"))


def test_a_full_disk_is_told_once_and_so_is_that_it_is_over(
    private_folders: Path, window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as full:
        fail_in(private_folders / "state", full)
        for length in (3.0, 3.1, 3.2):
            edit(window, length)
            assert not window.file.keep_copy()
        assert len(banners(window)) == 1
        assert "cannot be kept against a crash" in banners(window)[0]
        assert "disk is full" in banners(window)[0]
    edit(window, 3.3)
    assert window.file.keep_copy()
    settle()
    assert not banners(window)


def test_a_full_disk_told_of_and_put_away_is_not_told_again(
    private_folders: Path, window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    fail_in(private_folders / "state", monkeypatch)
    edit(window, 3.0)
    window.file.keep_copy()
    click(button(window.banners, "OK"))
    settle()
    edit(window, 3.1)
    window.file.keep_copy()
    assert not banners(window)


def test_all_copies_are_offered_in_a_list(
    bench_file: Path, make: Callable[..., Window], private_folders: Path
) -> None:
    for number in range(5):
        leave_a_copy(4.0 + number, bench_file if number else None, None)
    copies = private_folders / "state" / "recovery"
    torn = next(copies.glob("*.taperlab"))
    torn.write_bytes(torn.read_bytes()[:40])
    window = make()
    found = offered(window)
    assert "ended without saving 5 benches" in banners(window)[0]
    press(found, "Show them…")
    dialog = open_dialog(window, LeftWorkDialog)
    assert dialog.list.count() == 5
    names = [dialog.list.item(row).text() for row in range(5)]
    assert sum(name.startswith("mill pool.taperlab, ") for name in names) >= 3
    shown = []
    for row in range(5):
        dialog.list.setCurrentRow(row)
        shown.append(dialog.about.text())
        assert dialog.accept_button.isEnabled() is ("is damaged" not in shown[-1])
    assert sum("is damaged" in each for each in shown) == 1
    assert sum("The copy is newer" in each for each in shown) >= 3
    row = next(row for row, each in enumerate(shown) if "mill pool.taperlab" in each)
    dialog.list.setCurrentRow(row)
    click(dialog.throw_button)
    assert dialog.list.count() == 5
    assert "thrown away" in dialog.list.item(4).text()
    dialog.list.setCurrentRow(next(r for r, each in enumerate(shown) if "damaged" not in each))
    click(dialog.accept_button)
    settle()
    assert not window.findChildren(LeftWorkDialog)
    assert window.document.is_dirty


def test_a_copy_that_is_damaged_is_told_of_and_cannot_be_had(
    make: Callable[..., Window], private_folders: Path
) -> None:
    leave_a_copy(4.0, None, None)
    (copy,) = (private_folders / "state" / "recovery").glob("*.taperlab")
    copy.write_bytes(copy.read_bytes()[:40])
    window = make()
    found = offered(window)
    assert "is damaged" in banners(window)[0]
    assert list(found.buttons) == ["Later", "Throw them away"]


def test_nothing_left_behind_is_said(window: Window) -> None:
    window.menus.actions["left_work"].trigger()
    dialog = open_dialog(window, LeftWorkDialog)
    assert dialog.about.text() == "Nothing was left behind."
    assert not dialog.accept_button.isEnabled()
    keys(ESC)


def test_half_written_files_of_ended_programs_are_swept(bench_file: Path, window: Window) -> None:
    folder = bench_file.parent
    old, young, held, theirs = (
        folder / ".taperlab-0123456789abcdef.tmp",
        folder / ".taperlab-fedcba9876543210.tmp",
        folder / ".taperlab-00000000ffffffff.tmp",
        folder / ".another-0123456789abcdef.tmp",
    )
    for path in (old, young, held, theirs):
        path.write_bytes(b"half")
        if path is not young:
            os.utime(path, (1.7e9, 1.7e9))
    with held.open("ab") as stream, locks.guard(stream):
        assert window.file_menu.open_path(bench_file)
        edit(window, 3.0)
        assert window.file_menu.save()
        assert sorted(path for path in folder.iterdir() if path != bench_file) == sorted(
            (young, held, theirs)
        )


def test_the_copy_is_taken_away_with_undo_save_and_close(
    window: Window, private_folders: Path, tmp_path: Path
) -> None:
    copies = private_folders / "state" / "recovery"

    def count() -> int:
        return len(list(copies.glob("*.taperlab")))

    def edit_and_keep() -> None:
        edit(window, 3.0)
        window.file.keep_copy()
        assert count() == 1

    edit_and_keep()
    window.menus.actions["undo"].trigger()
    assert count() == 0
    edit_and_keep()
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
    def cannot() -> bool:
        raise OSError("disk full")

    made = LastResort(cannot, None, window)
    asked = answer(QMessageBox.StandardButton.Ok)
    made.take(*raised(ValueError("x")))
    assert "Save your work under another name" in asked[0]
    assert "recovery copy" not in asked[0]


def test_a_copy_that_could_not_be_written_is_not_promised(
    window: Window, last_resort: LastResort, private_folders: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    edit(window, 3.0)
    fail_in(private_folders / "state" / "recovery", monkeypatch)
    asked = answer(QMessageBox.StandardButton.Ok)
    last_resort.take(*raised(ValueError("x")))
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
    click(button(window.banners, "OK"))
    settle()
    assert not banners(window)
    again = make(load_preferences())
    again.welcome.greet_once()
    assert banners(again) == []
    again.menus.actions["welcome"].trigger()
    assert "Welcome" in banners(again)[0]
