"""Copies of unsaved work, found again after a crash."""

from __future__ import annotations

import contextlib
import json
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from taperlab.files import disk, native, presence
from taperlab.files.presence import Presence
from taperlab.model.bench import Bench


@dataclass(frozen=True, slots=True)
class LeftCopy:
    """A copy whose program is gone without saving.

    original: the file that the bench came from, or None if it was never saved. saved: when the
    copy was written.
    """

    copy: Path
    original: Path | None
    saved: datetime

    def read(self) -> Bench:
        """The bench in the copy. Raises FileProblem."""
        return native.read_bench(self.copy)

    def discard(self) -> None:
        """Remove the copy: the person has it back, or does not want it."""
        _remove(self.copy)


def write_copy(here: Presence, bench: Bench, document: str, original: Path | None) -> None:
    """Keep a copy of a bench with unsaved edits; one for each document of each run.

    ``document`` names the document within this run: letters, digits and hyphens. The copy is not
    waited for until it is on the disk: it guards against a crash of the program, many times a
    minute, and must not hold up the hand. Raises FileProblem.
    """
    copy = _copy_file(here, document)
    disk.make_folder(copy.parent)
    about = {
        "original": None if original is None else str(original.absolute()),
        "saved": datetime.now(UTC).isoformat(timespec="seconds"),
    }
    disk.write_text(copy, native.dumps(bench), durable=False)
    disk.write_text(_about_file(copy), json.dumps(about, indent=2) + "\n", durable=False)


def drop_copy(here: Presence, document: str) -> None:
    """Remove a document's copy: it was saved or closed. Nothing happens if there is none."""
    _remove(_copy_file(here, document))


def find_left_copies(here: Presence) -> tuple[LeftCopy, ...]:
    """The copies of runs that are gone, newest first."""
    left = [
        _left_copy(copy)
        for copy in _copies(here).glob(f"*{native.SUFFIX}")
        if not presence.is_alive(here.folder, _run_of(copy))
    ]
    presence.sweep(here.folder)
    return tuple(sorted(left, key=lambda each: each.saved, reverse=True))


def _left_copy(copy: Path) -> LeftCopy:
    original, saved = None, None
    # The copy is what matters: one without its account, or with a torn one, is still offered.
    with contextlib.suppress(OSError, ValueError, TypeError, KeyError):
        about = json.loads(_about_file(copy).read_text(encoding="utf-8"))
        original = None if about["original"] is None else Path(about["original"])
        saved = datetime.fromisoformat(about["saved"]).astimezone(UTC)
    return LeftCopy(copy, original, saved or _last_written(copy))


def _last_written(copy: Path) -> datetime:
    try:
        return datetime.fromtimestamp(copy.stat().st_mtime, UTC)
    except OSError:
        return datetime.now(UTC)


def _copies(here: Presence) -> Path:
    return here.folder / "recovery"


def _copy_file(here: Presence, document: str) -> Path:
    return _copies(here) / f"{here.name}.{document}{native.SUFFIX}"


def _about_file(copy: Path) -> Path:
    return copy.with_suffix(".json")


def _run_of(copy: Path) -> str:
    return copy.name.partition(".")[0]


def _remove(copy: Path) -> None:
    for path in (copy, _about_file(copy)):
        with contextlib.suppress(OSError):
            path.unlink(missing_ok=True)
