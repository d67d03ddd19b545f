"""Recovery copies and claims: what a living run holds, and what a dead one left."""

import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from taperlab.files import presence
from taperlab.files.presence import Presence, claim
from taperlab.files.problem import FileProblem
from taperlab.files.recovery import drop_copy, find_left_copies, write_copy
from taperlab.model.bench import Bench

BENCH = Bench(note="unsaved ½")


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
    write_copy(gone, Bench(note="first"), "doc-1", original)
    write_copy(gone, BENCH, "doc-1", original)
    write_copy(gone, BENCH, "doc-2", None)
    write_copy(here, BENCH, "doc-1", None)
    assert find_left_copies(here) == ()
    gone.leave()
    before = datetime.now(UTC)
    left = find_left_copies(here)
    assert {each.original for each in left} == {original, None}
    for each in left:
        assert each.read() == BENCH
        assert abs((before - each.saved).total_seconds()) < 3600
        each.discard()
    assert find_left_copies(here) == ()
    drop_copy(here, "doc-1")
    drop_copy(here, "doc-1")
    here.leave()
    assert files_in(state) == []


def test_the_newest_copy_is_offered_first(state: Path) -> None:
    gone, here = Presence.enter(), Presence.enter()
    days = {"a": 2, "b": 3, "c": 1}
    for document, day in days.items():
        write_copy(gone, Bench(note=str(day)), document, None)
        account = f'{{"original": null, "saved": "2026-01-0{day}T12:00:00+00:00"}}'
        next(state.rglob(f"*.{document}.json")).write_text(account, encoding="utf-8")
    gone.leave()
    assert [each.read().note for each in find_left_copies(here)] == ["3", "2", "1"]
    here.leave()


@pytest.mark.parametrize("account", [None, "", "{", "[]", '{"original": 5, "saved": 1}'])
def test_a_copy_without_a_sound_account_is_still_offered(state: Path, account: str | None) -> None:
    gone, here = Presence.enter(), Presence.enter()
    write_copy(gone, BENCH, "doc", None)
    about = next(state.rglob("*.json"))
    about.unlink() if account is None else about.write_text(account, encoding="utf-8")
    gone.leave()
    (left,) = find_left_copies(here)
    assert left.read() == BENCH
    here.leave()


def test_a_torn_copy_is_a_problem_with_a_sentence(state: Path) -> None:
    gone, here = Presence.enter(), Presence.enter()
    write_copy(gone, BENCH, "doc", None)
    gone.leave()
    (left,) = find_left_copies(here)
    left.copy.write_bytes(left.copy.read_bytes()[:40])
    with pytest.raises(FileProblem, match="is damaged"):
        left.read()
    here.leave()


KILLED = """
import sys
from pathlib import Path
from taperlab.files.presence import claim
from taperlab.files.presence import Presence
from taperlab.files.recovery import write_copy
from taperlab.model.bench import Bench
here = Presence.enter()
claim(here, Path(sys.argv[1]))
write_copy(here, Bench(note="unsaved ½"), "doc", Path(sys.argv[1]))
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
