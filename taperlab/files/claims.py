"""Who has a file open: so that two windows on one file are told of each other."""

from __future__ import annotations

import contextlib
import json
import os
from dataclasses import dataclass
from pathlib import Path

from taperlab.files import atomic, presence
from taperlab.files.presence import Presence
from taperlab.files.problem import FileProblem


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
            if presence.is_alive(self.here.folder, run):
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
        atomic.make_folder(folder)
        atomic.write_text(record, json.dumps({"file": real}) + "\n", durable=False)
    return Claim(here, record)
