"""Recovery copies and claims: what a living run holds, and what a dead one left."""

import json
import os
import subprocess
import sys
import time
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from taperlab.files import presence
from taperlab.files.native import read_bench, write_bench
from taperlab.files.presence import Presence, claim
from taperlab.files.problem import FileProblem
from taperlab.files.recovery import (
    LeftCopy,
    adopt,
    drop_copy,
    find_left_copies,
    find_thrown_copies,
    sweep,
    without_account,
    write_copy,
)
from taperlab.files.standing import State, digest
from taperlab.model.bench import Bench, View
from taperlab.model.line import ONE_EXTRUSION, Line
from taperlab.model.segment import Part, Segment

BENCH = Bench(note="unsaved ½")
LEVEL = Segment(
    part=Part.BELLY, length=3.0, front_diameter=0.002, rear_diameter=0.002, density=900.0
)


@pytest.fixture
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "state"
    monkeypatch.setenv("TAPERLAB_STATE", str(folder))
    return folder


def files_in(folder: Path) -> list[Path]:
    return [each for each in folder.rglob("*") if each.is_file()]


def test_a_run_is_alive_until_it_leaves(state: Path) -> None:
    here, other = Presence.enter(), Presence.enter()
    assert here.folder == state
    assert here.name != other.name
    assert presence.is_alive(state, here.name)
    presence.sweep(state)
    assert presence.is_alive(state, here.name)
    here.leave()
    assert not presence.is_alive(state, here.name)
    assert presence.is_alive(state, other.name)
    other.leave()
    other.leave()
    assert files_in(state) == []


def test_a_state_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "state").write_text("in the way", encoding="utf-8")
    with pytest.raises(FileProblem, match="could not be made"):
        Presence.enter(tmp_path / "state")


def test_only_copies_of_ended_runs_are_left(state: Path, tmp_path: Path) -> None:
    gone, here = Presence.enter(), Presence.enter()
    original = tmp_path / "head.taperlab"
    write_copy(gone, Bench(note="first"), "doc-1", original, None)
    write_copy(gone, BENCH, "doc-1", original, None)
    write_copy(gone, BENCH, "doc-2", None, None)
    write_copy(here, BENCH, "doc-1", None, None)
    assert find_left_copies(here) == ()
    gone.leave()
    before = datetime.now(UTC)
    left = find_left_copies(here)
    assert {each.original for each in left} == {original, None}
    for each in left:
        assert each.read() == BENCH
        assert abs((before - each.saved).total_seconds()) < 3600
        assert adopt(here, each, "doc-1")
    assert find_left_copies(here) == ()
    drop_copy(here, "doc-1")
    drop_copy(here, "doc-1")
    here.leave()
    assert files_in(state) == []


def rewrite(copy: Path, account: object) -> None:
    """Put another account into a copy; None takes it out."""
    held = json.loads(copy.read_text(encoding="utf-8"))
    del held["recovery"]
    if account is not None:
        held["recovery"] = account
    copy.write_text(json.dumps(held), encoding="utf-8")


def test_the_newest_copy_is_offered_first(state: Path) -> None:
    gone, here = Presence.enter(), Presence.enter()
    days = {"a": 2, "b": 3, "c": 1}
    for document, day in days.items():
        write_copy(gone, Bench(note=str(day)), document, None, None)
        account = {"original": None, "base": None, "saved": f"2026-01-0{day}T12:00:00+00:00"}
        rewrite(next(state.rglob(f"*.{document}.taperlab")), account)
    gone.leave()
    assert [each.read().note for each in find_left_copies(here)] == ["3", "2", "1"]
    here.leave()


@pytest.mark.parametrize("account", [None, "", [], {}, {"original": 5, "saved": 1}, {"saved": "x"}])
def test_a_copy_without_a_sound_account_is_still_offered(state: Path, account: object) -> None:
    gone, here = Presence.enter(), Presence.enter()
    write_copy(gone, BENCH, "doc", None, None)
    rewrite(next(state.rglob("*.taperlab")), account)
    gone.leave()
    (left,) = find_left_copies(here)
    assert left.read() == BENCH
    here.leave()


def test_a_copy_is_one_file_that_knows_where_it_came_from(state: Path, tmp_path: Path) -> None:
    # A program that ends while it writes its first copy leaves a whole one or none.
    here = Presence.enter()
    write_copy(here, BENCH, "doc", tmp_path / "head.taperlab", "digest")
    (copy,) = (each for each in files_in(state) if "recovery" in each.parts)
    account = json.loads(copy.read_text(encoding="utf-8"))["recovery"]
    assert account["original"] == str(tmp_path / "head.taperlab")
    assert account["base"] == "digest"
    # Opened by hand it is a bench like any other.
    assert without_account(read_bench(copy)) == BENCH
    here.leave()


def test_a_torn_copy_is_a_problem_with_a_sentence(state: Path) -> None:
    gone, here = Presence.enter(), Presence.enter()
    write_copy(gone, BENCH, "doc", None, None)
    gone.leave()
    copy = next(state.rglob("*.taperlab"))
    copy.write_bytes(copy.read_bytes()[:40])
    (left,) = find_left_copies(here)
    with pytest.raises(FileProblem, match="is damaged"):
        left.read()
    assert "is damaged" in str(left.words())
    here.leave()


def left_by_a_run_that_ended(
    here: Presence, bench: Bench, original: Path, base: str | None
) -> LeftCopy:
    gone = Presence.enter()
    write_copy(gone, bench, "doc", original, base)
    gone.leave()
    return next(each for each in find_left_copies(here) if each.read() == bench)


def test_which_is_newer_the_copy_or_its_file(state: Path, tmp_path: Path) -> None:
    here = Presence.enter()
    path = tmp_path / "head.taperlab"
    line = Line("line-1", "Alder", segments=(LEVEL, LEVEL), joints=(ONE_EXTRUSION,))
    write_bench(Bench(lines=(line,)), path)
    base = digest(path.read_bytes())
    edited = Bench(lines=(replace(line, segments=(LEVEL,), joints=()),), note="edited")
    left = left_by_a_run_that_ended(here, edited, path, base)
    assert left.standing().state is State.UNCHANGED
    assert not left.standing().clashes
    assert "The copy is newer than the file" in str(left.words())
    # Of 3 m and 6 m, π/4 · (2 mm)² · 3 m · 900 kg/m³ = 8.482 g = 130.9 gr, and twice that.
    assert "line “Alder” has 1 segment (9 ft 10 1/8 in, 130.9 gr) in the copy," in str(left.words())
    assert (
        ", 2 segments (19 ft 8 1/4 in, 261.8 gr) in the file; the note on the bench differs"
        in str(left.words())
    )

    extra = replace(line, key="line-2", name="Birch")
    write_bench(Bench(lines=(line, extra)), path)
    later = left.saved.timestamp() + 60.0
    os.utime(path, (later, later))
    assert left.standing().state is State.NEWER
    assert left.standing().clashes
    assert "The file is newer: it was saved at" in str(left.words())
    assert "line “Birch” only in the file" in str(left.words())
    os.utime(path, (later - 120.0, later - 120.0))
    assert left.standing().state is State.OLDER
    assert left.standing().clashes
    assert "The copy is newer, but the file was saved at" in str(left.words())

    path.write_text("{", encoding="utf-8")
    assert left.standing().clashes
    path.unlink()
    assert left.standing().state is State.GONE
    assert "no longer there" in str(left.words())
    here.leave()


def test_a_copy_whose_file_holds_all_of_it_is_not_offered(state: Path, tmp_path: Path) -> None:
    here, gone = Presence.enter(), Presence.enter()
    path = tmp_path / "head.taperlab"
    write_copy(gone, BENCH, "doc", path, "what was there before")
    write_bench(replace(BENCH, view=View(page="measure")), path)
    gone.leave()
    assert find_left_copies(here) == ()
    assert not list(state.rglob("*.taperlab"))
    here.leave()


def test_one_run_alone_takes_a_copy_up_and_there_is_one_at_every_moment(
    state: Path, tmp_path: Path
) -> None:
    gone, one, two = Presence.enter(), Presence.enter(), Presence.enter()
    write_copy(gone, BENCH, "doc", None, None)
    gone.leave()
    (left,), (seen_too,) = find_left_copies(one), find_left_copies(two)
    assert adopt(one, left, "doc")
    assert not adopt(two, seen_too, "doc")
    assert find_left_copies(two) == ()
    one.leave()
    (left,) = find_left_copies(two)
    assert left.read() == BENCH
    two.leave()


def test_what_is_thrown_away_can_be_had_for_thirty_days(state: Path, tmp_path: Path) -> None:
    here, gone = Presence.enter(), Presence.enter()
    write_copy(gone, BENCH, "doc", tmp_path / "head.taperlab", None)
    gone.leave()
    (left,) = find_left_copies(here)
    left.throw_away()
    assert find_left_copies(here) == ()
    sweep(here)
    (thrown,) = find_thrown_copies(here)
    assert thrown.read() == BENCH
    assert thrown.original == tmp_path / "head.taperlab"
    assert thrown.thrown is not None
    assert thrown.kept_until == thrown.thrown + timedelta(days=30)
    long_ago = time.time() - 30.1 * 24 * 3600
    os.utime(thrown.copy, (long_ago, long_ago))
    sweep(here)
    assert find_thrown_copies(here) == ()
    here.leave()


@pytest.mark.skipif(sys.platform == "win32", reason="modes of POSIX")
def test_the_state_is_for_its_owner_alone(state: Path, tmp_path: Path) -> None:
    # A folder inside that an older program made is closed too.
    (state / "recovery").mkdir(parents=True)
    (state / "recovery").chmod(0o755)
    here, gone = Presence.enter(), Presence.enter()
    claim(here, tmp_path / "head.taperlab")
    write_copy(here, BENCH, "doc", None, None)
    write_copy(gone, BENCH, "doc", None, None)
    gone.leave()
    find_left_copies(here)[0].throw_away()
    inside = [each for each in state.rglob("*") if each.is_dir()]
    assert {each.stat().st_mode & 0o777 for each in inside} == {0o700}
    written = [each for each in files_in(state) if each.suffix != ".lock"]
    assert len(written) == 3
    assert {each.stat().st_mode & 0o777 for each in written} == {0o600}
    here.leave()
    fresh = tmp_path / "fresh" / "state"
    Presence.enter(fresh).leave()
    assert fresh.stat().st_mode & 0o777 == 0o700


KILLED = """
import sys
from pathlib import Path
from taperlab.files.presence import claim
from taperlab.files.presence import Presence
from taperlab.files.recovery import write_copy
from taperlab.model.bench import Bench
here = Presence.enter()
claim(here, Path(sys.argv[1]))
write_copy(here, Bench(note="unsaved ½"), "doc", Path(sys.argv[1]), None)
print("ready", flush=True)
sys.stdin.read()
"""


def test_a_killed_process_leaves_its_copy_and_no_claim(state: Path, tmp_path: Path) -> None:
    original = tmp_path / "head.taperlab"
    with subprocess.Popen(
        [sys.executable, "-c", KILLED, str(original)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
        here = Presence.enter()
        mine = claim(here, original)
        assert find_left_copies(here) == ()
        assert len(mine.others()) == 1
        process.kill()
        process.wait()
    (left,) = find_left_copies(here)
    assert left.original == original
    assert left.read() == BENCH
    assert mine.others() == frozenset()
    here.leave()


def test_two_windows_on_one_file_are_told_of_each_other(state: Path, tmp_path: Path) -> None:
    one, two = Presence.enter(), Presence.enter()
    path = tmp_path / "head.taperlab"
    path.write_text("{}", encoding="utf-8")
    first = claim(one, path)
    assert first.others() == frozenset()
    same_run = claim(one, path.parent / "x" / ".." / path.name)
    assert len(first.others()) == 1
    other_run = claim(two, path)
    claim(two, tmp_path / "another.taperlab")
    assert len(first.others()) == len(same_run.others()) == len(other_run.others()) == 2
    same_run.release()
    assert len(first.others()) == 1
    two.leave()
    assert first.others() == frozenset()
    first.release()
    first.release()
    one.leave()
    assert [each.name for each in tmp_path.iterdir() if each.is_file()] == ["head.taperlab"]


@pytest.mark.skipif(sys.platform == "win32", reason="links need a privilege there")
def test_a_link_and_its_target_are_one_file(state: Path, tmp_path: Path) -> None:
    here = Presence.enter()
    path = tmp_path / "head.taperlab"
    path.write_text("{}", encoding="utf-8")
    (tmp_path / "link").symlink_to(path)
    claim(here, path)
    assert len(claim(here, tmp_path / "link").others()) == 1
    here.leave()
