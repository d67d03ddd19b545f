"""Which runs of the program are alive, and which files they have open.

A run is told by a lock that the system drops when it ends; two windows on one file, by a record
of each beside the locks.

A process number alone would not do, since systems hand it out again; a lock cannot outlive its
process, however that ended.
"""

from __future__ import annotations

import atexit
import contextlib
import json
import os
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Self

from taperlab.files import disk
from taperlab.files.disk import reason
from taperlab.files.folders import state_folder
from taperlab.files.problem import FileProblem

if sys.platform == "win32":
    import msvcrt

    def _lock(stream: IO[bytes], *, shared: bool, wait: bool) -> None:
        msvcrt.locking(stream.fileno(), msvcrt.LK_LOCK if wait else msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _lock(stream: IO[bytes], *, shared: bool, wait: bool) -> None:
        how = fcntl.LOCK_SH if shared else fcntl.LOCK_EX
        fcntl.flock(stream, how if wait else how | fcntl.LOCK_NB)


class Presence:
    """One run of the program, present in the state folder until it is left or the process ends.

    name: of this run, unlike any other. folder: the state folder.
    """

    def __init__(self, name: str, folder: Path, lock: IO[bytes]) -> None:
        self.name = name
        self.folder = folder
        self._lock: IO[bytes] | None = lock
        atexit.register(self.leave)

    @classmethod
    def enter(cls, folder: Path | None = None) -> Self:
        """Be present in ``folder``, or the person's own state folder. Raises FileProblem."""
        folder = state_folder() if folder is None else folder
        disk.make_folder(_locks(folder))
        while True:
            name = f"{os.getpid()}-{os.urandom(6).hex()}"
            path = _lock_file(folder, name)
            try:
                lock = path.open("xb")
                _lock(lock, shared=False, wait=True)
                # Another run may have swept the file away before it was locked.
                if path.exists():
                    return cls(name, folder, lock)
                lock.close()
            except OSError as error:
                raise FileProblem(
                    "{file} could not be locked: {system}.", file=path, system=reason(error)
                ) from error

    def leave(self) -> None:
        """Be present no longer."""
        atexit.unregister(self.leave)
        if self._lock is not None:
            self._lock.close()
            self._lock = None
            with contextlib.suppress(OSError):
                _lock_file(self.folder, self.name).unlink()


def is_alive(folder: Path, name: str) -> bool:
    """Whether the run of this name still goes on."""
    try:
        with _lock_file(folder, name).open("r+b") as stream:
            _lock(stream, shared=True, wait=False)
    except FileNotFoundError:
        return False
    except OSError:
        return True
    return False


def sweep(folder: Path) -> None:
    """Remove what ended runs left behind of their presence."""
    for path in _locks(folder).glob("*.lock"):
        if not is_alive(folder, path.stem):
            with contextlib.suppress(OSError):
                path.unlink()


def _locks(folder: Path) -> Path:
    return folder / "present"


def _lock_file(folder: Path, name: str) -> Path:
    return _locks(folder) / f"{name}.lock"


@dataclass(frozen=True, slots=True)
class Claim:
    """A file held open by this window until it is released or the program ends."""

    here: Presence
    record: Path

    def others(self) -> frozenset[str]:
        """The other living windows on this file, in this run or another, at this moment.

        Each is told by the name of its record, which is another for every window.
        """
        stem = self.record.name.partition(".")[0]
        found = set()
        for record in self.record.parent.glob(f"{stem}.*.json"):
            if record == self.record:
                continue
            run = record.name.split(".")[1]
            if is_alive(self.here.folder, run):
                found.add(record.name)
            else:
                with contextlib.suppress(OSError):
                    record.unlink()
        return frozenset(found)

    def release(self) -> None:
        """Hold the file no longer."""
        with contextlib.suppress(OSError):
            self.record.unlink(missing_ok=True)


def claim(here: Presence, path: Path) -> Claim:
    """Say that a window has this file open; nothing is written beside the file itself.

    Links and other spellings of one path are one file. A state folder that cannot be written
    leaves the claim unseen by others, which must not keep anyone from opening a file.
    """
    import hashlib  # a start without a file needs none

    real = os.path.normcase(os.path.realpath(path))
    stem = hashlib.sha256(real.encode("utf-8", "surrogatepass")).hexdigest()[:32]
    folder = here.folder / "claims"
    record = folder / f"{stem}.{here.name}.{os.urandom(4).hex()}.json"
    with contextlib.suppress(FileProblem):
        disk.make_folder(folder)
        disk.write_text(record, json.dumps({"file": real}) + "\n", durable=False)
    return Claim(here, record)
