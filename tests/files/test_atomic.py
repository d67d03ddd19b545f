"""A file is replaced whole or not at all."""

import errno
import os
import sys
from pathlib import Path

import pytest

from taperlab.files import disk
from taperlab.files.problem import FileProblem

posix = pytest.mark.skipif(sys.platform == "win32", reason="modes and links of POSIX")


def names(folder: Path) -> list[str]:
    return sorted(each.name for each in folder.iterdir())


def test_writes_a_new_file_and_replaces_an_old_one(tmp_path: Path) -> None:
    target = tmp_path / "head.taperlab"
    disk.write_bytes(target, b"one")
    disk.write_text(target, "two ½")
    assert target.read_text(encoding="utf-8") == "two ½"
    assert names(tmp_path) == ["head.taperlab"]


@pytest.mark.parametrize("step", ["fsync", "replace"])
@pytest.mark.parametrize(
    ("number", "words"),
    [(errno.ENOSPC, "disk is full"), (errno.EROFS, "only be read"), (errno.EIO, "could not be")],
)
def test_a_failure_keeps_the_old_file_and_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, number: int, words: str
) -> None:
    target = tmp_path / "head.taperlab"
    target.write_bytes(b"old")

    def fail(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, "fsync", fail) if step == "fsync" else monkeypatch.setattr(
        Path, "replace", fail
    )
    with pytest.raises(FileProblem, match=words):
        disk.write_bytes(target, b"new")
    assert target.read_bytes() == b"old"
    assert names(tmp_path) == ["head.taperlab"]


def test_an_interrupt_cleans_up_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(_: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupt)
    with pytest.raises(KeyboardInterrupt):
        disk.write_bytes(tmp_path / "head.taperlab", b"new")
    assert names(tmp_path) == []


@posix
def test_a_link_stays_a_link_and_its_target_is_replaced(tmp_path: Path) -> None:
    real = tmp_path / "real" / "head.taperlab"
    real.parent.mkdir()
    real.write_bytes(b"old")
    link = tmp_path / "link.taperlab"
    link.symlink_to(real)
    disk.write_bytes(link, b"new")
    assert link.is_symlink()
    assert real.read_bytes() == b"new"
    assert names(real.parent) == ["head.taperlab"]


@posix
@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664])
def test_the_mode_of_the_old_file_is_kept(tmp_path: Path, mode: int) -> None:
    target = tmp_path / "head.taperlab"
    target.write_bytes(b"old")
    target.chmod(mode)
    disk.write_bytes(target, b"new")
    assert target.stat().st_mode & 0o777 == mode


@posix
def test_a_new_file_has_the_mode_that_any_other_would(tmp_path: Path) -> None:
    (tmp_path / "other").write_bytes(b"")
    disk.write_bytes(tmp_path / "ours", b"")
    assert (tmp_path / "ours").stat().st_mode == (tmp_path / "other").stat().st_mode


def test_each_hindrance_has_its_own_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(FileProblem, match=r"the folder .* is not there"):
        disk.write_bytes(tmp_path / "absent" / "head.taperlab", b"")
    with pytest.raises(FileProblem, match="is a folder"):
        disk.write_bytes(tmp_path, b"")
    with pytest.raises(FileProblem, match="could not be written"):
        disk.write_bytes(tmp_path / "no\0name.taperlab", b"")
    protected = tmp_path / "head.taperlab"
    protected.write_bytes(b"old")
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(FileProblem, match="write-protected"):
        disk.write_bytes(protected, b"new")

    def forbid(*_: object) -> int:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(os, "open", forbid)
    with pytest.raises(FileProblem, match="no permission"):
        disk.write_bytes(tmp_path / "new.taperlab", b"")
    assert protected.read_bytes() == b"old"


@posix
def test_a_pipe_or_device_is_never_replaced(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(FileProblem, match="not an ordinary file"):
        disk.write_bytes(pipe, b"")
    assert pipe.is_fifo()
