"""The jobs of all benches below a folder, from a cache where nothing changed since.

The benches are the record; the cache saves reading them again and may go at any time. It holds what
customers are called, so it is for its owner alone, lies in one file and is forgotten by removing
that. Whatever is wrong with it (missing, damaged, of another program, in use by another window) it
is left out or made anew, and the answer is the same.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import stat
import time
from collections.abc import Callable, Generator, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from taperlab.files import disk, owner_only
from taperlab.files.codec import Where
from taperlab.files.folders import state_folder
from taperlab.files.native import SUFFIX, read_bench
from taperlab.files.problem import FileProblem
from taperlab.files.records import JOB
from taperlab.shop.jobs.listing import Listed, jobs_of
from taperlab.shop.steps import Steps
from taperlab.units.sentence import Sentence

if TYPE_CHECKING:
    import sqlite3

SCHEMA = 3
"""Goes up whenever a cached row means something else, or a head is weighed otherwise."""

MOST_BENCHES = 5_000
"""Below a folder: beyond it, another folder is surely meant."""

MOST_FOLDERS = 20_000
"""Looked into, for the same reason."""

PATIENCE = 2.0
"""Seconds that another window's writing is waited for; then the cache is left as it is."""

SETTLED = 2_000_000_000
"""Nanoseconds after which a file that has not changed since has a time of its own: what is written
twice within the grain of its clock looks the same."""

BATCH = 64
"""Benches read until they are written down: what a search that is called off keeps."""

_JUST_IN_USE = {3, 5, 6, 7, 8, 10, 13, 14}
"""SQLite's codes for no permission, busy, locked, no memory, only to be read, a failing disk, a
full one, and no way to open: the file may be sound, so it stays."""

Answer = TypeVar("Answer")
Stamp = tuple[int, int, int]
"""When a file was changed [ns], how long it is, and which file it is on its disk."""


@dataclass(frozen=True, slots=True)
class Skipped:
    """A bench whose jobs are not in the list, or a folder that was not looked into, and why."""

    file: Path
    why: Sentence
    is_bench: bool = True


@dataclass(frozen=True, slots=True)
class JobList:
    """All jobs below a folder, in the order of their files.

    benches: how many files were found; read: how many of them had to be read now. is_cut_short:
    whether there are more than are looked at. kept: where the cache lies; None where there is none.
    """

    jobs: tuple[Listed, ...]
    skipped: tuple[Skipped, ...] = ()
    benches: int = 0
    read: int = 0
    is_cut_short: bool = False
    kept: Path | None = None


def index_file() -> Path:
    """Where the cache lies. Raises FileProblem where there is no folder for it."""
    return state_folder() / "jobs.sqlite"


def forget_index(index: Path | None = None) -> None:
    """Remove the cache; it is made anew from the benches when it is wanted. Raises FileProblem."""
    where = index_file() if index is None else index
    try:
        _remove(where)
    except OSError as error:
        raise FileProblem(
            "{file} could not be removed: {system}.", file=where, system=disk.reason(error)
        ) from error


def jobs_below(folder: Path, index: Path | None = None) -> Steps[JobList]:
    """All jobs of the benches below a folder. Raises FileProblem where there is no such folder.

    Links are followed, but no folder and no file is looked at twice; what is hidden is left out.
    """
    if not folder.is_dir():
        raise FileProblem("{folder} is not a folder, or is not there.", folder=folder)
    folder = folder.absolute()
    cache = _Cache.at(index)
    found = _Found(cache.rows())
    files, is_cut_short = yield from _benches(folder, found.skipped)
    for number, (file, stamp) in enumerate(files):
        found.take(file, stamp)
        if len(found.fresh) >= BATCH:
            cache.keep(found.fresh, ())
            found.fresh.clear()
        yield number / len(files)
    gone = [] if is_cut_short else found.gone_from(folder)
    if found.fresh or gone:
        cache.keep(found.fresh, gone)
    return JobList(
        tuple(found.jobs),
        tuple(found.skipped),
        len(files),
        found.read,
        is_cut_short,
        cache.where if cache.works else None,
    )


def jobs_of_file(file: Path) -> JobList:
    """The jobs of one bench, read now. Raises FileProblem."""
    return JobList(jobs_of(read_bench(file), file), benches=1, read=1)


# -- which benches there are ------------------------------------------------------------------


def _benches(
    folder: Path, skipped: list[Skipped]
) -> Generator[float, None, tuple[list[tuple[Path, Stamp]], bool]]:
    """The benches below a folder with their stamps, in order, and whether there are more.

    skipped: takes folders that may not be read, and benches that a link leads to in vain.
    """
    waiting, seen = [folder], {_which(folder, folder.stat())}
    found: list[tuple[Path, Stamp]] = []
    while waiting:
        below = []
        for path in _lying_in(waiting.pop(), skipped):
            try:
                about = path.stat()
            except OSError as error:
                # One that went meanwhile is no bench of the folder any more.
                if path.suffix == SUFFIX and os.path.lexists(path):
                    skipped.append(_unread(path, error))
                continue
            is_folder = stat.S_ISDIR(about.st_mode)
            is_bench = path.suffix == SUFFIX and stat.S_ISREG(about.st_mode)
            which = _which(path, about)
            if (is_folder or is_bench) and which not in seen:
                seen.add(which)
                if is_folder:
                    below.append(path)
                else:
                    found.append((path, _stamp(about)))
        waiting += reversed(below)
        if len(found) > MOST_BENCHES or len(seen) - len(found) > MOST_FOLDERS:
            return found[:MOST_BENCHES], True
        yield 0.0
    return found, False


def _lying_in(folder: Path, skipped: list[Skipped]) -> list[Path]:
    """What lies in a folder, by name, hidden things left out; nothing where it may not be read."""
    try:
        return sorted(each for each in folder.iterdir() if not each.name.startswith("."))
    except FileNotFoundError:  # it went meanwhile
        return []
    except OSError as error:
        skipped.append(_unread(folder, error, is_bench=False))
        return []


def _unread(path: Path, error: OSError, *, is_bench: bool = True) -> Skipped:
    why = Sentence("{file} could not be read: {system}.", file=path, system=disk.reason(error))
    return Skipped(path, why, is_bench)


def _which(path: Path, about: os.stat_result) -> object:
    """What makes a file or folder the same as another, whatever links lead to it."""
    return (about.st_dev, about.st_ino) if about.st_ino else path


def _stamp(about: os.stat_result) -> Stamp:
    # A number of a file may have more bits than one of a database.
    return about.st_mtime_ns, about.st_size, about.st_ino & 0x7FFF_FFFF_FFFF_FFFF


@dataclass(slots=True)
class _Found:
    """What is read so far. rows: of the cache; fresh: those to be written to it."""

    rows: dict[bytes, _Row]
    jobs: list[Listed] = field(default_factory=list)
    skipped: list[Skipped] = field(default_factory=list)
    fresh: list[_Row] = field(default_factory=list)
    seen: set[bytes] = field(default_factory=set)
    read: int = 0

    def take(self, file: Path, stamp: Stamp) -> None:
        """The jobs of a file: of the cache where they still hold, else read."""
        name = os.fsencode(file)
        self.seen.add(name)
        row = self.rows.get(name)
        jobs = row.jobs(file) if row is not None and row.stamp == stamp else None
        if jobs is None:
            self.read += 1
            try:
                jobs = self._read(file, stamp)
            except FileProblem as problem:
                self.skipped.append(Skipped(file, problem.sentence))
                return
        self.jobs += jobs

    def _read(self, file: Path, stamp: Stamp) -> tuple[Listed, ...]:
        if stamp[1] > disk.LARGEST:
            raise FileProblem(
                "{file} is larger than any bench or line can be: more than {most} MB.",
                file=file,
                most=disk.LARGEST // 1_000_000,
            )
        jobs = jobs_of(read_bench(file), file)
        if time.time_ns() - stamp[0] > SETTLED:
            self.fresh.append(_Row.of(file, stamp, jobs))
        return jobs

    def gone_from(self, folder: Path) -> list[bytes]:
        """Files of the cache that no longer lie below a folder."""
        above = os.fsencode(os.path.join(folder, ""))  # noqa: PTH118 - ends in a separator
        return [name for name in self.rows if name.startswith(above) and name not in self.seen]


# -- the cache --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Row:
    """What the cache holds of a file. text: its jobs as JSON; digest: of all the rest."""

    name: bytes
    stamp: Stamp
    text: bytes
    digest: bytes

    @classmethod
    def of(cls, file: Path, stamp: Stamp, jobs: Iterable[Listed]) -> _Row:
        """The row of a file that was read."""
        text = json.dumps([_written(each) for each in jobs], ensure_ascii=True).encode()
        name = os.fsencode(file)
        return cls(name, stamp, text, _digest(name, stamp, text))

    def jobs(self, file: Path) -> tuple[Listed, ...] | None:
        """Its jobs; None where the row is not as it was written."""
        try:
            if self.digest != _digest(self.name, self.stamp, self.text):
                return None
            return tuple(_read_back(each, file) for each in json.loads(self.text))
        except (FileProblem, ValueError, TypeError, KeyError):
            return None


def _digest(name: bytes, stamp: Stamp, text: bytes) -> bytes:
    told = b"%d %d %d %d " % (len(name), *stamp)
    return hashlib.blake2b(told + name + text, digest_size=8).digest()


def _written(each: Listed) -> dict[str, Any]:
    masses = [each.before, each.after, each.now]
    names = [each.rod, each.head, each.words]
    return {"job": JOB.write(each.job), "names": names, "kg": masses, "rig": each.is_rig}


def _read_back(found: Any, file: Path) -> Listed:
    rod, head, words = found["names"]
    before, after, now = found["kg"]
    job, is_rig = JOB.read(found["job"], Where("")), bool(found["rig"])
    return Listed(job, file, rod, head, before, after, now, words, is_rig)


@dataclass(slots=True)
class _Cache:
    """The file of the cache. works: whether it can be read and written."""

    where: Path | None
    works: bool = True

    @classmethod
    def at(cls, index: Path | None) -> _Cache:
        """The cache in a file, or in its usual one; one that never works where there is none."""
        try:
            return cls(index_file() if index is None else index)
        except FileProblem:
            return cls(None, works=False)

    def rows(self) -> dict[bytes, _Row]:
        """All that it holds, by file."""
        found = self._with(
            lambda db: [
                _Row(name, (changed, size, which), text, digest)
                for name, changed, size, which, text, digest in db.execute(
                    "SELECT name, changed, size, which, jobs, digest FROM bench"
                )
            ]
        )
        return {each.name: each for each in found or () if _is_row(each)}

    def keep(self, fresh: Iterable[_Row], gone: Iterable[bytes]) -> None:
        """Hold rows, and no longer those of files that are gone."""

        def write(db: sqlite3.Connection) -> bool:
            db.execute("BEGIN IMMEDIATE")
            db.executemany("DELETE FROM bench WHERE name = ?", [(name,) for name in gone])
            db.executemany(
                "INSERT OR REPLACE INTO bench VALUES (?, ?, ?, ?, ?, ?)",
                [(each.name, *each.stamp, each.text, each.digest) for each in fresh],
            )
            db.execute("COMMIT")
            return True

        self._with(write)

    def _with(self, act: Callable[[sqlite3.Connection], Answer]) -> Answer | None:
        """What can be done with it; None where it cannot. One that is damaged is made anew."""
        if self.where is None:
            return None
        try:
            import sqlite3
        except ImportError:
            self.works = False
            return None
        for _ in range(2):
            try:
                answer = _using(sqlite3, self.where, act)
                self.works = True
                return answer
            except (OSError, FileProblem):
                break
            except sqlite3.Error as error:
                if getattr(error, "sqlite_errorcode", 1) & 0xFF in _JUST_IN_USE:
                    break
                with contextlib.suppress(OSError):
                    _remove(self.where)
        self.works = self.where.exists()
        return None


def _is_row(row: _Row) -> bool:
    kinds = (row.name, bytes), (row.text, bytes), (row.digest, bytes)
    return all(isinstance(each, kind) for each, kind in kinds) and all(
        isinstance(each, int) for each in row.stamp
    )


def _using(sqlite3: Any, where: Path, act: Callable[[Any], Answer]) -> Answer:
    """Open the cache, made where it is missing or of another kind, and do something with it."""
    disk.make_folder(where.parent, private=True)
    # So that it is closed to others from the first byte on; SQLite gives its own files that mode.
    os.close(os.open(where, os.O_RDWR | os.O_CREAT, owner_only.FILE))
    owner_only.close_to_others(where)
    with contextlib.closing(sqlite3.connect(where, timeout=PATIENCE, isolation_level=None)) as db:
        # What is taken out is written over: it may name people.
        db.execute("PRAGMA secure_delete = ON")
        if db.execute("PRAGMA user_version").fetchone() != (SCHEMA,):
            db.execute("BEGIN IMMEDIATE")
            db.execute("DROP TABLE IF EXISTS bench")
            db.execute(
                "CREATE TABLE bench (name BLOB PRIMARY KEY, changed INTEGER, size INTEGER, "
                "which INTEGER, jobs BLOB, digest BLOB) WITHOUT ROWID"
            )
            db.execute(f"PRAGMA user_version = {SCHEMA}")
            db.execute("COMMIT")
        return act(db)


def _remove(where: Path) -> None:
    for ending in ("", "-journal", "-wal", "-shm"):
        where.with_name(where.name + ending).unlink(missing_ok=True)
