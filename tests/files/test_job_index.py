"""The list of jobs below a folder: a cache that may be lost, damaged or in use at any time."""

from __future__ import annotations

import contextlib
import os
import random
import sqlite3
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from taperlab.edits import jobs as edits
from taperlab.files import job_index, owner_only
from taperlab.files.job_index import JobList, forget_index, jobs_below, jobs_of_file
from taperlab.files.native import write_bench
from taperlab.files.problem import FileProblem
from taperlab.model.bench import Bench
from taperlab.model.line import line_of
from taperlab.model.segment import Part, Segment
from taperlab.shop.steps import finish

HEAD = line_of("head", "Body", (Segment(Part.BELLY, 7.0, 0.003, 0.003, 850.0),))


def bench(*customers: str) -> Bench:
    made = Bench((HEAD,))
    for customer in customers:
        made = edits.take_in_job(made, "head", None, customer).bench
    return made


def put(path: Path, *customers: str) -> Path:
    """A bench, written long ago."""
    path.parent.mkdir(parents=True, exist_ok=True)
    write_bench(bench(*customers), path)
    age(path)
    return path


def age(path: Path) -> None:
    long_ago = path.stat().st_mtime_ns - 10**12
    os.utime(path, ns=(long_ago, long_ago))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    here = tmp_path / "benches"
    put(here / "a.taperlab", "Customer 1", "Customer 2")
    put(here / "later" / "b.taperlab", "Customer 3")
    put(here / "empty.taperlab")
    (here / "notes.txt").write_text("no bench")
    return here


@pytest.fixture
def index(tmp_path: Path) -> Path:
    return tmp_path / "state" / "jobs.sqlite"


def look(folder: Path, index: Path) -> JobList:
    return finish(jobs_below(folder, index))


def customers(found: JobList) -> list[str]:
    return [each.job.customer for each in found.jobs]


def test_benches_are_read_once_and_from_the_cache_after_that(folder: Path, index: Path) -> None:
    first = look(folder, index)
    assert customers(first) == ["Customer 1", "Customer 2", "Customer 3"]
    assert (first.benches, first.read, first.kept) == (3, 3, index)
    again = look(folder, index)
    assert again.jobs == first.jobs
    assert again.read == 0
    one = jobs_of_file(folder / "a.taperlab")
    assert first.jobs[:2] == one.jobs
    assert (one.benches, one.read, one.is_cut_short) == (1, 1, False)


def test_it_is_for_its_owner_alone(folder: Path, index: Path) -> None:
    look(folder, index)
    if owner_only.HAS_MODES:
        assert stat.S_IMODE(index.stat().st_mode) == 0o600
        assert stat.S_IMODE(index.parent.stat().st_mode) == 0o700


def test_what_is_forgotten_is_gone_and_the_answer_the_same(folder: Path, index: Path) -> None:
    first = look(folder, index)
    for beside in ("-journal", "-wal", "-shm"):  # as a run that ended at once leaves them
        index.with_name(index.name + beside).touch()
    forget_index(index)
    assert list(index.parent.iterdir()) == []
    again = look(folder, index)
    assert (again.jobs, again.read) == (first.jobs, 3)
    forget_index(index)
    forget_index(index)


def names_in(index: Path) -> set[str]:
    with contextlib.closing(sqlite3.connect(index)) as db:
        return {os.fsdecode(name) for (name,) in db.execute("SELECT name FROM bench")}


def test_who_is_named_in_a_bench_that_is_gone_is_not_kept(folder: Path, index: Path) -> None:
    look(folder, index)
    (folder / "a.taperlab").unlink()
    assert look(folder, index).read == 0
    assert str(folder / "a.taperlab") not in names_in(index)
    assert len(names_in(index)) == 2


def test_what_changed_behind_it_is_seen(folder: Path, index: Path) -> None:
    look(folder, index)
    put(folder / "later" / "b.taperlab", "Customer 4")
    put(folder / "c.taperlab", "Customer 5")
    (folder / "a.taperlab").unlink()
    found = look(folder, index)
    assert customers(found) == ["Customer 5", "Customer 4"]
    assert found.read == 2
    assert str(folder / "a.taperlab") not in names_in(index)


def test_a_bench_written_just_now_is_read_again(folder: Path, index: Path) -> None:
    """Written twice within the grain of a clock, it would look the same."""
    write_bench(bench("Customer 8"), folder / "new.taperlab")
    assert look(folder, index).read == 4
    again = look(folder, index)
    assert again.read == 1
    assert "Customer 8" in customers(again)


def test_another_folder_keeps_its_rows(folder: Path, index: Path, tmp_path: Path) -> None:
    put(tmp_path / "benches too" / "d.taperlab", "Customer 6")
    look(folder, index)
    look(tmp_path / "benches too", index)
    assert look(folder, index).read == 0


def _no_database(index: Path) -> None:
    index.write_bytes(b"this is no database, however long it may be " * 40)


def _of_another_program(index: Path) -> None:
    index.unlink()
    with sqlite3.connect(index) as db:
        db.execute("CREATE TABLE bench (other TEXT)")
        db.execute(f"PRAGMA user_version = {job_index.SCHEMA}")
    db.close()


def _older(index: Path) -> None:
    index.unlink()
    with sqlite3.connect(index) as db:
        db.execute("CREATE TABLE bench (name TEXT, jobs TEXT)")
        db.execute("INSERT INTO bench VALUES ('a', 'b')")
        db.execute(f"PRAGMA user_version = {job_index.SCHEMA + 1}")
    db.close()


def _changed_by_hand(index: Path) -> None:
    with sqlite3.connect(index) as db:
        db.execute("UPDATE bench SET jobs = replace(jobs, 'Customer', 'Someone')")
    db.close()


def _wrong_kinds(index: Path) -> None:
    with sqlite3.connect(index) as db:
        db.execute("UPDATE bench SET changed = 'long ago', jobs = 7")
    db.close()


@pytest.mark.parametrize(
    "damage", [_no_database, _of_another_program, _older, _changed_by_hand, _wrong_kinds]
)
def test_one_that_is_damaged_is_made_anew(
    folder: Path, index: Path, damage: Callable[[Path], None]
) -> None:
    first = look(folder, index)
    damage(index)
    assert look(folder, index).jobs == first.jobs
    mended = look(folder, index)
    assert (mended.jobs, mended.read) == (first.jobs, 0)


def test_a_row_that_was_given_another_time_is_not_believed(folder: Path, index: Path) -> None:
    look(folder, index)
    about = put(folder / "a.taperlab", "Customer 9").stat()
    with sqlite3.connect(index) as db:
        db.execute(
            "UPDATE bench SET changed = ?, size = ?, which = ? WHERE name = ?",
            (about.st_mtime_ns, about.st_size, about.st_ino, os.fsencode(folder / "a.taperlab")),
        )
    db.close()
    assert customers(look(folder, index))[0] == "Customer 9"


def test_a_letter_that_became_another_is_not_believed(folder: Path, index: Path) -> None:
    look(folder, index)
    with contextlib.closing(sqlite3.connect(index)) as db:
        rows = db.execute("SELECT jobs, name FROM bench").fetchall()
        other = [(bytes(jobs).replace(b"Customer 1", b"Customer 7"), name) for jobs, name in rows]
        assert other != rows
        db.executemany("UPDATE bench SET jobs = ? WHERE name = ?", other)
        db.commit()
    again = look(folder, index)
    assert customers(again) == ["Customer 1", "Customer 2", "Customer 3"]
    assert again.read == 1


def test_wherever_its_bytes_are_damaged_the_answer_is_the_same(folder: Path, index: Path) -> None:
    first, rng = look(folder, index), random.Random(7)
    sound = index.read_bytes()
    for _ in range(60):
        content = bytearray(sound[: rng.choice([len(sound), rng.randrange(len(sound))])])
        for _ in range(min(len(content), rng.choice([0, 1, 8, 200]))):
            content[rng.randrange(len(content))] = rng.randrange(256)
        index.write_bytes(content)
        assert look(folder, index).jobs == first.jobs


def test_another_window_that_writes_is_no_problem(
    folder: Path, index: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = look(folder, index)
    put(folder / "c.taperlab", "Customer 5")
    monkeypatch.setattr(job_index, "PATIENCE", 0.01)
    other = sqlite3.connect(index, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    found = look(folder, index)
    assert found.read == 4
    assert set(first.jobs) < set(found.jobs)
    other.execute("ROLLBACK")
    other.close()
    assert look(folder, index).read == 1  # what is new; the rest was kept all along


def test_without_room_for_a_cache_there_is_an_answer(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    found = look(folder, tmp_path / "file" / "jobs.sqlite")
    assert len(found.jobs) == 3
    assert found.kept is None


def test_what_cannot_be_read_is_told_and_the_rest_is_listed(folder: Path, index: Path) -> None:
    (folder / "bad.taperlab").write_text("{")
    with (folder / "large.taperlab").open("wb") as stream:
        stream.truncate(17_000_000)
    for _ in range(2):
        found = look(folder, index)
        assert len(found.jobs) == 3
        assert [each.file.name for each in found.skipped] == ["bad.taperlab", "large.taperlab"]
        assert "larger than any bench" in str(found.skipped[1].why)


def test_what_is_out_of_reach_is_told(
    folder: Path, index: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = finish(jobs_below(folder, index)).jobs
    (folder / "on a share.taperlab").symlink_to(tmp_path / "no share" / "on a share.taperlab")
    (folder / "notes on a share.txt").symlink_to(tmp_path / "no share" / "notes.txt")
    (folder / "locked").mkdir()
    lying = Path.iterdir

    def refused(self: Path) -> object:
        if self.name == "locked":
            raise PermissionError(13, "Permission denied")
        return lying(self)

    monkeypatch.setattr(Path, "iterdir", refused)
    told = finish(jobs_below(folder, index))
    assert told.jobs == before
    assert {(each.file.name, each.is_bench) for each in told.skipped} == {
        ("on a share.taperlab", True),
        ("locked", False),
    }
    assert all("could not be read" in str(each.why) for each in told.skipped)


def test_links_lead_round_no_circle_and_no_bench_is_listed_twice(folder: Path, index: Path) -> None:
    try:
        (folder / "later" / "round").symlink_to(folder, target_is_directory=True)
        (folder / "again.taperlab").symlink_to(folder / "a.taperlab")
        (folder / "nowhere.taperlab").symlink_to(folder / "gone")
    except OSError:
        pytest.skip("no links here")
    assert look(folder, index).benches == 3


def test_a_folder_beyond_all_measure_is_cut_short(
    folder: Path, index: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert not look(folder, index).is_cut_short
    monkeypatch.setattr(job_index, "MOST_BENCHES", 3)
    assert not look(folder, index).is_cut_short
    monkeypatch.setattr(job_index, "MOST_BENCHES", 2)
    found = look(folder, index)
    assert found.is_cut_short
    assert found.benches == 2
    monkeypatch.setattr(job_index, "MOST_BENCHES", 50)
    # Two folders, however many benches lie in them.
    monkeypatch.setattr(job_index, "MOST_FOLDERS", 2)
    assert not look(folder, index).is_cut_short
    monkeypatch.setattr(job_index, "MOST_FOLDERS", 1)
    assert look(folder, index).is_cut_short


def test_a_folder_that_is_none_is_refused(tmp_path: Path, index: Path) -> None:
    with pytest.raises(FileProblem, match="not a folder"):
        look(tmp_path / "gone", index)


def test_one_that_is_called_off_keeps_what_it_read(
    folder: Path, index: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(job_index, "BATCH", 1)
    steps = jobs_below(folder, index)
    while next(steps) == 0.0:
        pass
    steps.close()
    assert look(folder, index).read < 3
