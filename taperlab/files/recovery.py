"""Copies of unsaved work, found again after a crash.

A copy is one file, so that it is never without its account: a native bench with one key more,
which tells the file that its edits were begun on and what that held then.
"""

from __future__ import annotations

import contextlib
import os
import time
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from taperlab.files import disk, native, presence
from taperlab.files.problem import FileProblem
from taperlab.files.replacing import put_in_place
from taperlab.files.standing import Standing, stand, when
from taperlab.model.bench import Bench
from taperlab.units.sentence import Sentence

ACCOUNT = "recovery"
"""The key of the account in a copy."""

KEPT = timedelta(days=30)
"""How long a copy that was thrown away can still be had."""


@dataclass(frozen=True, slots=True)
class LeftCopy:
    """A copy whose program is gone without saving.

    original: the file that the bench came from, or None if it was never saved. base: the digest
    of what that held when the edits were begun, as far as is known. saved: when the copy was
    written. thrown: when it was thrown away, if it was. found: what the copy holds, or why that
    cannot be read.
    """

    copy: Path
    original: Path | None
    base: str | None
    saved: datetime
    thrown: datetime | None
    found: Bench | FileProblem = field(compare=False)

    def read(self) -> Bench:
        """The bench in the copy. Raises FileProblem."""
        if isinstance(self.found, FileProblem):
            raise self.found
        return self.found

    def standing(self) -> Standing:
        """How the copy stands to its file as that is now. Raises FileProblem as ``read`` does."""
        here = Sentence("in the copy")
        return stand(self.read(), self.base, self.saved, self.original, here)

    def words(self) -> Sentence:
        """What was left behind, when, and how it stands to its file."""
        try:
            standing = self.standing()
        except FileProblem as problem:
            return problem.sentence
        if self.original is None:
            return Sentence(
                "Taperlab was ended without saving a bench that had no file yet; its edits were "
                "kept at {time}.",
                time=when(self.saved),
            )
        said = Sentence(
            "Taperlab was ended without saving {file}; its edits were kept at {time}.",
            file=self.original.name,
            time=when(self.saved),
        )
        return Sentence("{said} {newer}", said=said, newer=standing.words())

    @property
    def can_be_read(self) -> bool:
        """Whether the copy is whole."""
        return isinstance(self.found, Bench)

    @property
    def kept_until(self) -> datetime | None:
        """When a copy that was thrown away goes for good."""
        return None if self.thrown is None else self.thrown + KEPT

    def throw_away(self) -> None:
        """Offer the copy no more, but keep it for a while. Raises FileProblem."""
        place = self.copy.parent / "thrown"
        presence.make_own_folder(place)
        try:
            os.utime(self.copy)
            put_in_place(self.copy, place / self.copy.name)
        except OSError as error:
            raise FileProblem(
                "The copy could not be put away: {system}.", system=disk.reason(error)
            ) from error


def write_copy(
    here: presence.Presence, bench: Bench, document: str, original: Path | None, base: str | None
) -> None:
    """Keep a copy of a bench with unsaved edits; one for each document of each run.

    ``document`` names the document within this run: letters, digits and hyphens. The copy is not
    waited for until it is on the disk: it guards against a crash of the program, many times a
    minute, and must not hold up the hand. Raises FileProblem.
    """
    copy = _copy_file(here, document)
    presence.make_own_folder(copy.parent)
    account = {
        "original": None if original is None else str(original.absolute()),
        "base": base,
        "saved": datetime.now(UTC).isoformat(),
    }
    text = native.dumps(replace(bench, extra={**bench.extra, ACCOUNT: account}))
    disk.write_text(copy, text, durable=False, private=True)


def without_account(bench: Bench) -> Bench:
    """A bench without what a copy of it says of itself: a copy may be opened like any file."""
    if ACCOUNT not in bench.extra:
        return bench
    kept = {key: value for key, value in bench.extra.items() if key != ACCOUNT}
    return replace(bench, extra=kept)


def drop_copy(here: presence.Presence, document: str) -> None:
    """Remove a document's copy: it was saved or given up. Nothing happens if there is none."""
    _remove(_copy_file(here, document))


def adopt(here: presence.Presence, left: LeftCopy, document: str) -> bool:
    """Make a left copy the copy of a document of this run; False where another run was faster.

    It needs no room on the disk, and at every moment there is one copy, with one owner.
    """
    try:
        put_in_place(left.copy, _copy_file(here, document))
    except OSError:
        return False
    return True


def find_left_copies(here: presence.Presence) -> tuple[LeftCopy, ...]:
    """The copies of runs that are gone, newest first.

    One whose file holds all that it does is removed: its program ended between saving and
    removing it.
    """
    left = []
    for each in _copies_in(here, _folder(here)):
        if _is_saved(each):
            _remove(each.copy)
        else:
            left.append(each)
    return _newest_first(left)


def find_thrown_copies(here: presence.Presence) -> tuple[LeftCopy, ...]:
    """The copies that were thrown away and can still be had, newest first."""
    return _newest_first(_copies_in(here, _thrown(here)))


def sweep(here: presence.Presence) -> None:
    """Remove what ended runs left half written, and what was thrown away long ago."""
    presence.sweep(here.folder)
    for each in find_thrown_copies(here):
        if each.kept_until is not None and each.kept_until < datetime.now(UTC):
            _remove(each.copy)
    for folder in (_folder(here), _thrown(here)):
        disk.sweep(folder, time.time())


def _copies_in(here: presence.Presence, folder: Path) -> Iterator[LeftCopy]:
    for copy in folder.glob(f"*{native.SUFFIX}"):
        if presence.is_alive(here.folder, copy.name.partition(".")[0]):
            continue
        with contextlib.suppress(FileNotFoundError):  # taken up by another run meanwhile
            yield _left_copy(copy, thrown=folder == _thrown(here))


def _left_copy(copy: Path, *, thrown: bool) -> LeftCopy:
    original, base = None, None
    written = saved = datetime.fromtimestamp(copy.stat().st_mtime, UTC)
    found: Bench | FileProblem
    try:
        found = native.read_bench(copy)
        account: Any = found.extra.get(ACCOUNT)
        found = without_account(found)
        # The copy is what matters: one without its account, or with a torn one, is still offered.
        with contextlib.suppress(ValueError, TypeError, KeyError, OverflowError):
            told = datetime.fromisoformat(account["saved"]).astimezone(UTC)
            # In a person's own time the first and the last year of all may not exist.
            saved = told if 1 < told.year < 9999 else saved
            base = account["base"]
            original = None if account["original"] is None else Path(account["original"])
    except FileProblem as problem:
        found = problem
    return LeftCopy(copy, original, base, saved, written if thrown else None, found)


def _is_saved(left: LeftCopy) -> bool:
    """Whether the file holds all that a copy does."""
    try:
        return left.standing().is_saved
    except FileProblem:
        return False


def _newest_first(left: Iterator[LeftCopy] | list[LeftCopy]) -> tuple[LeftCopy, ...]:
    return tuple(sorted(left, key=lambda each: each.saved, reverse=True))


def _folder(here: presence.Presence) -> Path:
    return here.folder / "recovery"


def _thrown(here: presence.Presence) -> Path:
    return _folder(here) / "thrown"


def _copy_file(here: presence.Presence, document: str) -> Path:
    return _folder(here) / f"{here.name}.{document}{native.SUFFIX}"


def _remove(copy: Path) -> None:
    with contextlib.suppress(OSError):
        copy.unlink(missing_ok=True)
