"""Locks on files, which the system drops when their process ends, however it ends.

The one module that knows how each system locks. A lock file is removed only while its lock is
held (POSIX), or by a system that keeps every open file in place (Windows): one that is removed
after its lock was dropped may by then be another's.
"""

from __future__ import annotations

import contextlib
import errno
import os
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO, Any, Self

Take = Callable[[IO[bytes], bool], None]
"""Locks an open file, for others to share where it says so, at once or with OSError."""

OPEN_FILES_STAY = sys.platform == "win32"
"""Whether the system itself keeps files that are open from being removed or replaced."""

_HELD = {errno.EACCES, errno.EAGAIN, errno.EDEADLK}
"""What is said of a lock that another holds; anything else will not be better for waiting."""

_PAUSE = 0.01
"""Seconds between tries where a lock is held by others."""


def posix_take(fcntl: Any) -> Take:
    """Locks by ``flock``, which belongs to the open file and not to the process."""

    def take(stream: IO[bytes], shared: bool) -> None:
        fcntl.flock(stream, (fcntl.LOCK_SH if shared else fcntl.LOCK_EX) | fcntl.LOCK_NB)

    return take


def windows_take(msvcrt: Any) -> Take:
    """Locks on the first byte of a file; they cannot be shared, which only costs a try."""

    def take(stream: IO[bytes], shared: bool) -> None:
        stream.seek(0)
        msvcrt.locking(stream.fileno(), msvcrt.LK_NBLCK, 1)

    return take


if sys.platform == "win32":
    import msvcrt

    take = windows_take(msvcrt)
else:
    import fcntl

    take = posix_take(fcntl)


class Lock:
    """A lock that is held until it is let go or the process ends."""

    def __init__(self, path: Path, stream: IO[bytes]) -> None:
        self._path = path
        self._stream = stream

    @classmethod
    def hold(cls, path: Path, patience: float = 2.0) -> Self:
        """Hold the lock of a file, which is made if it is not there.

        patience: seconds to wait where another holds it. Raises OSError.
        """
        until = time.monotonic() + patience
        while True:
            stream = path.open("ab")
            try:
                take(stream, False)
                # Whoever held it may have removed the file before it let go.
                if _is_at(path, stream):
                    return cls(path, stream)
            except OSError as error:
                if error.errno not in _HELD or time.monotonic() > until:
                    stream.close()
                    raise
                time.sleep(_PAUSE)
            stream.close()

    def let_go(self, *, remove: bool = False) -> None:
        """Hold it no longer; ``remove`` takes its file away too."""
        if remove and not OPEN_FILES_STAY:
            _unlink(self._path)
        self._stream.close()
        if remove and OPEN_FILES_STAY:
            _unlink(self._path)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.let_go()


@contextlib.contextmanager
def alone(path: Path) -> Iterator[None]:
    """Hold the lock of a file for a moment.

    Where there can be no lock, or another holds it for long, it is done without: what is done
    under it is whole by itself.
    """
    with contextlib.ExitStack() as held:
        with contextlib.suppress(OSError):
            held.enter_context(Lock.hold(path))
        yield


@contextlib.contextmanager
def guard(stream: IO[bytes]) -> Iterator[None]:
    """Keep a file of one's own locked, past its closing too, where its file system has locks."""
    if OPEN_FILES_STAY:
        yield
        return
    with os.fdopen(os.dup(stream.fileno()), "ab") as kept:
        with contextlib.suppress(OSError):
            take(kept, False)
        yield


def is_held(path: Path) -> bool:
    """Whether some process holds the lock of a file; where that cannot be told, it does."""
    try:
        with path.open("r+b") as stream:
            take(stream, True)
    except FileNotFoundError:
        return False
    except OSError:
        return True
    return False


def remove_unless_held(path: Path) -> None:
    """Remove a file that no process holds locked, or open where the system keeps those."""
    if OPEN_FILES_STAY:
        _unlink(path)
        return
    with contextlib.suppress(OSError), path.open("r+b") as stream:
        take(stream, False)
        if _is_at(path, stream):
            path.unlink()


def _is_at(path: Path, stream: IO[bytes]) -> bool:
    """Whether an open file is still the one at its path."""
    try:
        return os.path.samestat(os.fstat(stream.fileno()), path.stat())
    except FileNotFoundError:
        return False


def _unlink(path: Path) -> None:
    with contextlib.suppress(OSError):
        path.unlink(missing_ok=True)
