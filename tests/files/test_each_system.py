"""What each system does its own way: locks, rights, taking another's place. By injection."""

import errno
import os
import sys
import types
from pathlib import Path
from typing import IO

import pytest

from taperlab.files import disk, locks, owner_only, replacing
from taperlab.files.locks import Lock
from taperlab.files.presence import Presence, is_alive, sweep

posix = pytest.mark.skipif(sys.platform == "win32", reason="locks and modes of POSIX")


@posix
def test_a_lock_is_held_by_one_and_its_file_goes_with_it(tmp_path: Path) -> None:
    path = tmp_path / "a.lock"
    assert not locks.is_held(path)
    held = Lock.hold(path)
    assert locks.is_held(path)
    locks.remove_unless_held(path)
    assert path.exists()
    with pytest.raises(OSError, match="temporarily unavailable"):
        Lock.hold(path, patience=0.0)
    held.let_go(remove=True)
    assert not path.exists()
    with Lock.hold(path):
        assert locks.is_held(path)
    assert not locks.is_held(path)
    locks.remove_unless_held(path)
    assert not path.exists()


def test_a_disk_without_locks_is_not_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tries: list[str] = []

    def cannot(stream: IO[bytes], shared: bool) -> None:
        tries.append("once")
        raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

    monkeypatch.setattr(locks, "take", cannot)
    with pytest.raises(OSError, match="No locks"):
        Lock.hold(tmp_path / "a.lock")
    assert tries == ["once"]
    # What is whole by itself is done without.
    with locks.alone(tmp_path / "a.lock"):
        tries.append("done")
    assert tries == ["once", "once", "done"]
    disk.write_bytes(tmp_path / "head.taperlab", b"new")
    assert (tmp_path / "head.taperlab").read_bytes() == b"new"


@posix
def test_a_run_that_begins_while_another_sweeps_keeps_its_lock(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The file is there and not locked yet: just then another run looks for what ended runs left.
    take = locks.take
    swept: list[bool] = []

    def take_late(stream: IO[bytes], shared: bool) -> None:
        if not swept:
            swept.append(True)
            sweep(tmp_path)
        take(stream, shared)

    monkeypatch.setattr(locks, "take", take_late)
    here = Presence.enter(tmp_path)
    assert is_alive(tmp_path, here.name)
    sweep(tmp_path)
    assert is_alive(tmp_path, here.name)
    here.leave()


@posix
def test_nobody_locks_a_file_between_the_look_of_a_sweep_and_its_removal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "present" / "1-x.lock"
    path.parent.mkdir()
    path.touch()
    take = locks.take
    tried: list[str] = []

    def take_and_let_another_try(stream: IO[bytes], shared: bool) -> None:
        take(stream, shared)
        if not tried:
            tried.append("once")
            with path.open("ab") as other:
                try:
                    take(other, False)
                except OSError:
                    tried.append("refused")

    monkeypatch.setattr(locks, "take", take_and_let_another_try)
    sweep(tmp_path)
    assert tried == ["once", "refused"]
    assert not path.exists()


class LikeMsvcrt(types.SimpleNamespace):
    """Locks as Windows has them: of one open file, told by its inode here."""

    LK_NBLCK = 2

    def __init__(self) -> None:
        super().__init__()
        self.held: dict[int, int] = {}

    def locking(self, handle: int, mode: int, size: int) -> None:
        assert (mode, size) == (self.LK_NBLCK, 1)
        assert os.lseek(handle, 0, os.SEEK_CUR) == 0
        file = os.fstat(handle).st_ino
        if self.held.setdefault(file, handle) != handle:
            raise PermissionError(13, "Permission denied")


@pytest.fixture
def like_windows(monkeypatch: pytest.MonkeyPatch) -> LikeMsvcrt:
    """The ways of Windows, as far as they can be had elsewhere."""
    fake = LikeMsvcrt()
    monkeypatch.setattr(locks, "take", locks.windows_take(fake))
    monkeypatch.setattr(locks, "OPEN_FILES_STAY", True)
    monkeypatch.setattr(owner_only, "HAS_MODES", False)
    monkeypatch.setattr(replacing, "WINDOWS", True)
    monkeypatch.setattr(replacing, "PATIENCE", (0.0, 0.0))
    return fake


def test_locks_by_the_way_of_windows(like_windows: LikeMsvcrt, tmp_path: Path) -> None:
    path = tmp_path / "a.lock"
    held = Lock.hold(path)
    assert locks.is_held(path)
    with pytest.raises(PermissionError):
        Lock.hold(path, patience=0.0)
    like_windows.held.clear()
    held.let_go(remove=True)
    assert not path.exists()
    assert not locks.is_held(path)


def test_a_file_is_closed_before_windows_replaces_it(
    like_windows: LikeMsvcrt, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    replace = Path.replace
    tries: list[str] = []

    def busy_once(temporary: Path, target: Path) -> Path:
        tries.append(temporary.name)
        if len(tries) == 1:
            raise PermissionError(13, "a scanner has it open")
        return replace(temporary, target)

    monkeypatch.setattr(Path, "replace", busy_once)
    disk.write_bytes(tmp_path / "head.taperlab", b"new")
    assert (tmp_path / "head.taperlab").read_bytes() == b"new"
    assert len(tries) == 2
    assert not like_windows.held  # nothing is locked that must be moved
    assert [each.name for each in tmp_path.iterdir()] == ["head.taperlab"]


@posix
def test_a_system_without_modes_is_left_alone(like_windows: LikeMsvcrt, tmp_path: Path) -> None:
    tmp_path.chmod(0o755)
    owner_only.close_to_others(tmp_path)
    assert tmp_path.stat().st_mode & 0o777 == 0o755


@posix
def test_others_lose_every_right_to_what_is_closed_to_them(tmp_path: Path) -> None:
    file = tmp_path / "log"
    file.touch()
    file.chmod(0o644)
    owner_only.close_to_others(file)
    assert file.stat().st_mode & 0o777 == 0o600
    owner_only.close_to_others(tmp_path / "absent")
