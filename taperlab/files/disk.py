"""The one way to read a file and to write one: all of it, or a sentence that says why not."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
import sys
from pathlib import Path
from typing import IO

from taperlab.files import locks, owner_only, replacing
from taperlab.files.problem import FileProblem
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

LARGEST = 16_000_000
"""Bytes. A bench of a thousand lines is a third of it; beyond it a file is surely another thing."""

STDIN = Path("-")
"""Stands for the standard input where a command reads a file."""

_DISK_FULL = {errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)}
_TEMPORARY = ".taperlab-*.tmp"
STALE = 3600.0
"""Seconds after which a temporary file that nobody holds is what an ended program left behind."""


def is_one_file(one: Path, other: Path) -> bool:
    """Whether two paths lead to one file; False where either leads nowhere."""
    with contextlib.suppress(OSError):
        return one.samefile(other)
    return False


def called(path: Path) -> str:
    """What a sentence calls a file that is read."""
    return tr("standard input") if path == STDIN else str(path)


def read_bytes(path: Path) -> bytes:
    """All bytes of a file, or of the standard input. Raises FileProblem."""
    try:
        if path == STDIN:
            content = sys.stdin.buffer.read(LARGEST + 1) if sys.stdin else b""
        elif path.is_dir():
            raise FileProblem("{file} is a folder; expected a file.", file=path)
        else:
            with path.open("rb") as stream:
                content = stream.read(LARGEST + 1)
    except FileNotFoundError:
        raise FileProblem(
            "{file} is not there; check the name and the folder.", file=path
        ) from None
    except PermissionError:
        raise FileProblem(
            "{file} may not be read: you have no permission for it.", file=path
        ) from None
    except (OSError, ValueError) as error:
        raise FileProblem(
            "{file} could not be read: {system}.", file=path, system=reason(error)
        ) from None
    if len(content) > LARGEST:
        raise FileProblem(
            "{file} is larger than any bench or line can be: more than {most} MB.",
            file=called(path),
            most=LARGEST // 1_000_000,
        )
    return content


def reason(error: Exception) -> str:
    """The system's own words for an error, without its number and path."""
    words = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return words.rstrip(".")


def write_bytes(path: Path, content: bytes, *, durable: bool = True, private: bool = False) -> None:
    """Replace a file by ``content``, or leave it as it was and raise FileProblem.

    The bytes go to a new file in the same real folder, which then takes the place of the old one
    in one step. A symbolic link stays a link and its target is replaced; the mode of an existing
    file is kept. ``durable`` waits until the bytes are on the disk; ``private`` closes the file to
    all but its owner.
    """
    target = path
    try:
        target = Path(os.path.realpath(path))
        mode = _mode_to_keep(path, target)
        temporary = target.parent / _TEMPORARY.replace("*", os.urandom(8).hex())
        try:
            # Locked until it is in its place, so that nobody sweeps it away before.
            with contextlib.ExitStack() as guarded:
                with _new_file(temporary, owner_only.FILE if private else 0o666) as stream:
                    guarded.enter_context(locks.guard(stream))
                    stream.write(content)
                    stream.flush()
                    if durable:
                        os.fsync(stream.fileno())
                if mode is not None and not private:
                    # A file system without modes has none to keep.
                    with contextlib.suppress(OSError):
                        temporary.chmod(mode)
                replacing.put_in_place(temporary, target)
        except BaseException:
            with contextlib.suppress(OSError):
                temporary.unlink()
            raise
        if durable:
            replacing.settle_folder(target.parent)
    except FileProblem:
        raise
    except (OSError, ValueError) as error:
        raise FileProblem(_why(path, target, error)) from error


def write_text(path: Path, text: str, *, durable: bool = True, private: bool = False) -> None:
    """Replace a file by text in UTF-8, as :func:`write_bytes` does."""
    write_bytes(path, encoded(text), durable=durable, private=private)


def encoded(text: str) -> bytes:
    """The bytes that a text is written as."""
    return text.encode("utf-8", "replace")


def sweep(folder: Path, now: float) -> None:
    """Remove the temporary files that ended programs left in a folder.

    Only those named as ours are, which nobody holds and which are older than ``STALE``. now: by
    the clock that stamps the folder's files [s], which may be another machine's.
    """
    with contextlib.suppress(OSError):
        for path in folder.glob(_TEMPORARY):
            if now - path.stat().st_mtime > STALE:
                locks.remove_unless_held(path)


def make_folder(folder: Path, *, private: bool = False) -> None:
    """Make a folder of our own, and those above it. Raises FileProblem.

    ``private``: those that are made are for their owner alone; one that is there stays as it is.
    """
    try:
        if private:
            for each in reversed((folder, *folder.parents)):
                if not each.exists():
                    each.mkdir(owner_only.FOLDER, exist_ok=True)
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FileProblem(
            "The folder {folder} could not be made: {system}.", folder=folder, system=reason(error)
        ) from error


def _mode_to_keep(path: Path, target: Path) -> int | None:
    try:
        found = target.stat()
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(found.st_mode):
        raise FileProblem("{file} is a folder; give the name of a file.", file=path)
    if not stat.S_ISREG(found.st_mode):
        raise FileProblem("{file} is not an ordinary file and was not replaced.", file=path)
    # Replacing needs no permission for the file itself, but a protected file is meant to stay.
    if not os.access(target, os.W_OK):
        raise FileProblem("{file} is write-protected; save under another name.", file=path)
    return stat.S_IMODE(found.st_mode)


def _new_file(temporary: Path, mode: int) -> IO[bytes]:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    return os.fdopen(os.open(temporary, flags, mode), "wb")


def _why(path: Path, target: Path, error: Exception) -> Sentence:
    """Why a file could not be written."""
    values: dict[str, Path] = {"file": path, "folder": target.parent}
    if isinstance(error, FileNotFoundError | NotADirectoryError):
        return Sentence("{file} could not be written: the folder {folder} is not there.", **values)
    if isinstance(error, OSError):
        if error.errno in _DISK_FULL:
            return Sentence(
                "{file} could not be written: the disk is full. The old file is untouched.",
                file=path,
            )
        if error.errno == errno.EROFS:
            return Sentence("{file} could not be written: the disk can only be read.", file=path)
    if isinstance(error, PermissionError):
        return Sentence(
            "{file} could not be written: you have no permission for {folder}.", **values
        )
    return Sentence("{file} could not be written: {system}.", file=path, system=reason(error))
