"""``taperlab jobs``: jobs of customers, found from a terminal."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from taperlab import shipped
from taperlab.cli import Screen, run
from taperlab.edits import jobs as edits
from taperlab.edits import values
from taperlab.files.native import read_bench, write_bench
from taperlab.model.job import Job, JobState
from tests.cli.test_command_line import no_drawing, no_sheet, no_window

SCREEN = Screen(no_window, no_drawing, no_sheet, no_sheet)
Capture = pytest.CaptureFixture[str]


@pytest.fixture(autouse=True)
def own_state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TAPERLAB_STATE", str(tmp_path / "state"))
    return tmp_path / "state"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A bench with a job that is done and one that is asked for; one that cannot be read."""
    made = read_bench(shipped.sample("scandi.taperlab"))
    line, rod = made.lines[0].key, made.rods[0].key
    made = edits.take_in_job(made, line, rod, "The mill-pool customer", "A-041").bench
    made = edits.begin_job(made, "job-1", date(2026, 5, 4)).bench
    made = values.set_length(made, line, 2, made.lines[0].segments[2].length * 0.8).bench
    made = edits.finish_job(made, "job-1", date(2026, 5, 8)).bench
    made = edits.take_in_job(made, line, None, "Customer 12").bench
    said = Job("x", "Customer 12", line=line, note="two tips\nlater", photographs=("a.jpg",))
    made = edits.describe_job(made, "job-2", said).bench
    here = tmp_path / "benches"
    here.mkdir()
    write_bench(made, here / "one.taperlab")
    (here / "bad.taperlab").write_text("{")
    return here


def told(capsys: Capture, *arguments: str) -> dict:
    assert run(["jobs", *arguments, "--json"], SCREEN) == 0
    return json.loads(capsys.readouterr().out)


def test_all_jobs_of_a_folder_for_scripts(capsys: Capture, folder: Path, own_state: Path) -> None:
    found = told(capsys, str(folder))
    asked, done = found["jobs"]
    assert (asked["customer"], asked["state"], asked["begun"]) == ("Customer 12", "asked for", None)
    assert (asked["before_gr"], asked["photographs"]) == (None, ["a.jpg"])
    assert done["file"] == str(folder / "one.taperlab")
    assert (done["ticket"], done["begun"], done["finished"]) == (
        *("A-041", "2026-05-04"),
        "2026-05-08",
    )
    assert done["before_gr"] > done["after_gr"] == done["weight_gr"]
    assert [Path(each["file"]).name for each in found["skipped"]] == ["bad.taperlab"]
    assert (own_state / "jobs.sqlite").exists()
    assert run(["jobs", "--forget"], SCREEN) == 0
    assert not (own_state / "jobs.sqlite").exists()
    assert told(capsys, str(folder)) == found


@pytest.mark.parametrize(
    ("options", "keys"),
    [
        (("--customer", "mill"), ["job-1"]),
        (("--words", "tips"), ["job-2"]),
        (("--rod", "nothing like it"), []),
        (("--since", "2026-05"), ["job-1"]),
        (("--until", "2026"), ["job-1"]),
        (("--until", "2026-05-03"), []),
        (("--state", "asked-for"), ["job-2"]),
        (("--weight", "1 gr", "2 gr"), []),
        (("--weight", "10 gr", "2000 gr"), ["job-2", "job-1"]),
    ],
)
def test_jobs_are_looked_for(
    capsys: Capture, folder: Path, options: tuple[str, ...], keys: list[str]
) -> None:
    found = told(capsys, str(folder / "one.taperlab"), *options)
    assert [each["key"] for each in found["jobs"]] == keys


def test_jobs_are_printed_one_a_row_and_what_was_left_out_beside_them(
    capsys: Capture, folder: Path
) -> None:
    assert run(["jobs", str(folder), "--units", "metric"], SCREEN) == 0
    said = capsys.readouterr()
    head, *rows = said.out.splitlines()
    assert head.split()[:2] == ["Date", "Customer"]
    assert [row[:10].strip() for row in rows] == ["–", "2026-05-08"]
    assert "→" in rows[1]
    assert " g " in rows[1]
    assert "left out: " in said.err
    assert run(["jobs", str(folder), "--words", "nobody"], SCREEN) == 0
    assert capsys.readouterr().out == "No such job.\n"


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        ((), "expected a folder"),
        (("gone",), "not there"),
        ((".", "--since", "4.5.2026"), "--since: “4.5.2026” is no day"),
        ((".", "--weight", "500 gr", "400 gr"), "the lighter first"),
        ((".", "--weight", "x", "400 gr"), "--weight"),
        ((".", "--state", "gone"), "--state"),
    ],
)
def test_what_cannot_be_done_is_said_in_one_line(
    capsys: Capture, arguments: tuple[str, ...], why: str
) -> None:
    assert run(["jobs", *arguments], SCREEN) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert why in said.err
    assert said.err.count("\n") == 1


def test_every_state_can_be_asked_for(capsys: Capture, folder: Path) -> None:
    found = [
        told(capsys, str(folder), "--state", state.replace(" ", "-"))["jobs"] for state in JobState
    ]
    assert list(map(len, found)) == [1, 0, 1, 0]


def test_a_bench_is_converted_without_what_it_says_of_people(
    capsys: Capture, tmp_path: Path
) -> None:
    source, target = shipped.sample("jobs.taperlab"), tmp_path / "given.taperlab"
    options = ["--without-personal-data", "--keep-notes", "rods", "bench"]
    assert run(["convert", str(source), str(target), *options], SCREEN) == 0
    said = capsys.readouterr().err
    assert "taperlab: Left out of 4 jobs: " in said
    assert "“A-038” is still named: “Scandi head of A-038”." in said
    before, after = read_bench(source), read_bench(target)
    assert after.note == before.note
    assert {each.customer for each in after.jobs} == {""}
    assert "mill-pool customer" not in target.read_text(encoding="utf-8")
    # Nothing is taken out of the bench itself.
    assert run(["convert", str(target), str(target), *options], SCREEN) == 2
    assert "the bench itself" in capsys.readouterr().err
    assert run(["convert", str(source), str(target), "--keep-notes", "rods"], SCREEN) == 2
