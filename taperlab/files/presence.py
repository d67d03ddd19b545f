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
import time
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import Self

from taperlab.files import disk, locks, owner_only
from taperlab.files.disk import reason
from taperlab.files.folders import state_folder
from taperlab.files.locks import Lock, is_held, remove_unless_held
from taperlab.files.problem import FileProblem


class Presence:
    """One run of the program, present in the state folder until it is left or the process ends.

    name: of this run, unlike any other. folder: the state folder.
    """

    def __init__(self, name: str, folder: Path, lock: Lock) -> None:
        self.name = name
        self.folder = folder
        self._lock: Lock | None = lock
        atexit.register(self.leave)

    @classmethod
    def enter(cls, folder: Path | None = None) -> Self:
        """Be present in ``folder``, or the person's own state folder. Raises FileProblem."""
        folder = state_folder() if folder is None else folder
        make_own_folder(_locks(folder))
        name = f"{os.getpid()}-{os.urandom(6).hex()}"
        path = _lock_file(folder, name)
        try:
            return cls(name, folder, Lock.hold(path))
        except OSError as error:
            raise FileProblem(
                "{file} could not be locked: {system}.", file=path, system=reason(error)
            ) from error

    def leave(self) -> None:
        """Be present no longer."""
        atexit.unregister(self.leave)
        if self._lock is not None:
            self._lock.let_go(remove=True)
            self._lock = None


def make_own_folder(folder: Path) -> None:
    """Make a folder inside the state folder, for its owner alone. Raises FileProblem."""
    disk.make_folder(folder, private=True)
    owner_only.close_to_others(folder)


def is_alive(folder: Path, name: str) -> bool:
    """Whether the run of this name still goes on."""
    return is_held(_lock_file(folder, name))


def sweep(folder: Path) -> None:
    """Remove what ended runs left behind of their presence, and files half written."""
    for path in (*_locks(folder).glob("*.lock"), *_claims(folder).glob("*.lock")):
        remove_unless_held(path)
    for record in _claims(folder).glob("*.json"):
        if not is_alive(folder, _run_of(record)):
            _remove(record)
    for each in (folder, _locks(folder), _claims(folder)):
        disk.sweep(each, time.time())


def _locks(folder: Path) -> Path:
    return folder / "present"


def _lock_file(folder: Path, name: str) -> Path:
    return _locks(folder) / f"{name}.lock"


def _claims(folder: Path) -> Path:
    return folder / "claims"


def _run_of(record: Path) -> str:
    return record.name.split(".")[1]


def _remove(record: Path) -> None:
    with contextlib.suppress(OSError):
        record.unlink(missing_ok=True)


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
            if is_alive(self.here.folder, _run_of(record)):
                found.add(record.name)
            else:
                _remove(record)
        return frozenset(found)

    def alone(self) -> AbstractContextManager[None]:
        """Keep the other windows on this file from writing it for a moment, where that can be."""
        stem = self.record.name.partition(".")[0]
        return locks.alone(self.record.with_name(f"{stem}.lock"))

    def release(self) -> None:
        """Hold the file no longer."""
        _remove(self.record)


def claim(here: Presence, path: Path) -> Claim:
    """Say that a window has this file open; nothing is written beside the file itself.

    So only windows of one person on one machine learn of each other. Links and other spellings of
    one path are one file. A state folder that cannot be written leaves the claim unseen by others,
    which must not keep anyone from opening a file.
    """
    import hashlib  # a start without a file needs none

    real = os.path.normcase(os.path.realpath(path))
    stem = hashlib.sha256(real.encode("utf-8", "surrogatepass")).hexdigest()[:32]
    folder = _claims(here.folder)
    record = folder / f"{stem}.{here.name}.{os.urandom(4).hex()}.json"
    with contextlib.suppress(FileProblem):
        make_own_folder(folder)
        text = json.dumps({"file": real}) + "\n"
        disk.write_text(record, text, durable=False, private=True)
    return Claim(here, record)
