"""``taperlab solve``: goals in, the smallest change out, or why not."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from taperlab import shipped
from taperlab.cli import Screen, run
from taperlab.edits import goals
from taperlab.files import native
from taperlab.model.aim import Cell, Goal, GoalKind
from taperlab.model.exact_units import FOOT, GRAIN
from taperlab.shop.goals.meet import answer_for
from tests.cli.test_command_line import no_drawing, no_sheet, no_window

BENCH = str(shipped.sample("scandi.taperlab"))
SCREEN = Screen(no_window, no_drawing, no_sheet, no_sheet)
HEADINGS = "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3],note\n"
Capture = pytest.CaptureFixture[str]


@pytest.fixture
def head(tmp_path: Path) -> str:
    file = tmp_path / "head.csv"
    rows = "front taper,15,0.03,0.09,0.87,\nbelly,20,0.09,0.09,0.87,\n"
    file.write_text(HEADINGS + rows, encoding="utf-8")
    return str(file)


def told(capsys: Capture, *arguments: str, status: int = 0) -> dict:
    assert run(["solve", *arguments, "--json"], SCREEN) == status
    captured = capsys.readouterr()
    assert bool(captured.err) == bool(status)
    return json.loads(captured.out)


def refused(capsys: Capture, *arguments: str) -> str:
    assert run(["solve", *arguments], SCREEN) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.count("\n") == 1
    return captured.err


def test_a_goal_is_met_and_all_is_told(capsys: Capture) -> None:
    found = told(capsys, BENCH, "--goal", "weight", "500gr")
    assert set(found) >= {"schema", "met", "goals", "line", "moved", "in_the_way"}
    assert found["schema"] == 1
    assert found["met"] is True
    (goal,) = found["goals"]
    assert goal["name"] == "weight"
    assert goal["wanted"] == [500.0, 500.0]
    assert goal["reached"] == pytest.approx(500.0, abs=0.05)
    assert found["line"]["head"]["weight_gr"] == pytest.approx(goal["reached"])
    assert found["in_the_way"] == []
    assert {each["unit"] for each in found["moved"]} <= {"ft", "in"}
    lengths = [each["length_ft"] for each in found["line"]["segments"]]
    moved = {each["cell"]: each for each in found["moved"]}
    assert moved["2.length"]["from"] == pytest.approx(17.0)
    assert moved["2.length"]["to"] == pytest.approx(lengths[1])


def test_what_is_told_is_what_report_tells(capsys: Capture, tmp_path: Path) -> None:
    out = str(tmp_path / "out.taperlab")
    found = told(
        capsys, BENCH, "--goal", "weight", "500gr", "--goal", "balance", "23 ft", "--out", out
    )
    assert run(["report", out, "--json"], SCREEN) == 0
    report = json.loads(capsys.readouterr().out)
    assert report["head"]["weight_gr"] == pytest.approx(found["goals"][0]["reached"])
    assert report["head"]["balance_point_ft"] == pytest.approx(23.0, abs=0.001)
    for ours, theirs in zip(found["line"]["segments"], report["segments"], strict=True):
        assert {**ours, **theirs} == ours


@pytest.mark.parametrize(
    ("goal", "unit"),
    [
        (("weight", "480gr", "500gr"), "gr"),
        (("length", "36 ft"), "ft"),
        (("front-taper", "65%"), ""),
        (("balance", "24 ft"), "ft"),
        (("ratio", "2.9"), ""),
        (("tip", "2.6 gr/ft"), "gr/ft"),
        (("thickest", "0.105 in"), "in"),
        (("thickest", "23 gr/ft"), "gr/ft"),
        (("sink", "-2.1 in/s", "-2 in/s"), "in/s"),
        (("running", "30 ft", "330gr"), "gr"),
        (("running", "20 ft", "Scandi head, uncut, 41 ft"), "gr"),
    ],
)
def test_every_goal(capsys: Capture, goal: tuple[str, ...], unit: str) -> None:
    found = told(capsys, BENCH, "--goal", *goal)
    (told_goal,) = found["goals"]
    assert told_goal["unit"] == unit
    low, high = told_goal["wanted"]
    slack = 0.01 * max(abs(low), abs(high))
    assert low - slack <= told_goal["reached"] <= high + slack


def test_a_joint_step_to_a_tip_on_the_bench(capsys: Capture) -> None:
    bench = str(shipped.sample("skagit.taperlab"))
    found = told(capsys, bench, "--goal", "joint-step", "Tip, 12 ft of 14", "0.9")
    assert found["goals"][0]["reached"] == pytest.approx(0.9, abs=0.01)


def test_locks_bounds_and_ties_are_kept(capsys: Capture) -> None:
    found = told(
        capsys,
        BENCH,
        *("--goal", "weight", "520gr"),
        *("--lock", "4.front", "--lock", "1", "--bound", "2.length", "16.9ft", "17.1ft"),
        *("--tie", "3.length", "4.length"),
    )
    moved = {each["cell"]: each for each in found["moved"]}
    assert not {"1.length", "1.front", "4.front", "4.rear", "3.rear"} & set(moved)
    assert 16.9 <= moved.get("2.length", {"to": 17.0})["to"] <= 17.1
    three, four = (moved[f"{row}.length"] for row in (3, 4))
    assert three["to"] / three["from"] == pytest.approx(four["to"] / four["from"])


def test_whole_columns_are_locked_and_density_freed(capsys: Capture) -> None:
    found = told(
        capsys,
        BENCH,
        *("--goal", "weight", "490gr", "--lock", "lengths", "--lock", "diameters"),
        *("--free", "density"),
    )
    assert {each["cell"].partition(".")[2] for each in found["moved"]} == {"density"}


def test_buildable_lies_on_steps(capsys: Capture) -> None:
    found = told(
        capsys, BENCH, "--goal", "weight", "500gr", "--goal", "length", "35 ft", "--buildable"
    )
    assert found["buildable"] is True
    assert found["goals"][0]["reached"] == pytest.approx(500.0, abs=0.5)
    for each in found["line"]["segments"]:
        assert each["length_ft"] * 96.0 == pytest.approx(round(each["length_ft"] * 96.0))
        for end in ("front_diameter_in", "rear_diameter_in"):
            assert each[end] * 1000.0 == pytest.approx(round(each[end] * 1000.0))


def test_steps_are_set(capsys: Capture, head: str) -> None:
    found = told(capsys, head, "--goal", "weight", "350gr", "--buildable", "--tape", "1 in")
    for each in found["line"]["segments"]:
        assert each["length_ft"] * 12.0 == pytest.approx(round(each["length_ft"] * 12.0))


def test_what_cannot_be_met_is_named_and_nothing_is_written(
    capsys: Capture, tmp_path: Path
) -> None:
    out = tmp_path / "out.taperlab"
    found = told(
        capsys,
        BENCH,
        *("--goal", "weight", "520gr", "--goal", "length", "31 ft"),
        *("--lock", "4.front", "--lock", "1", "--out", str(out)),
        status=3,
    )
    assert found["met"] is False
    assert found["in_the_way"][:3] == ["weight", "length", "4.front"]
    assert found["why"]["conflict"] == ["weight", "length"]
    assert not out.exists()
    alone = {each["name"]: each["could_be"] for each in found["why"]["alone"]}
    assert alone["weight"] < 520.0
    assert alone["length"] > 31.0


def test_what_is_asked_for_last_gives_way_as_in_the_window(capsys: Capture) -> None:
    bench = native.read_bench(Path(BENCH))
    last = Goal(GoalKind.WEIGHT, 800.0 * GRAIN, 800.0 * GRAIN)
    for goal in (Goal(GoalKind.LENGTH, 29.0 * FOOT, 29.0 * FOOT), last):
        bench = goals.set_goal(bench, "line-1", goal).bench
    window = answer_for(bench, "line-1", last)
    asked = ("--goal", "length", "29ft", "--goal", "weight", "800gr")
    length, weight = told(capsys, BENCH, *asked, status=3)["goals"]
    assert length["reached"] == pytest.approx(29.0, abs=0.01)
    assert weight["reached"] * GRAIN == pytest.approx(window.outcomes[1].reached)


def test_why_not_is_one_sentence_that_never_says_impossible(capsys: Capture) -> None:
    assert run(["solve", BENCH, "--goal", "weight", "900gr"], SCREEN) == 3
    captured = capsys.readouterr()
    assert captured.err.count("\n") == 1
    assert "head weight at most" in captured.err
    assert "mpossible" not in captured.err


def test_goals_and_locks_of_the_bench_are_used(capsys: Capture, tmp_path: Path) -> None:
    bench = native.read_bench(Path(BENCH))
    goal = Goal(GoalKind.WEIGHT, 500.0 * GRAIN, 500.0 * GRAIN)
    bench = goals.set_goal(bench, "line-1", goal).bench
    bench = goals.set_locks(bench, "line-1", [(3, Cell.FRONT)], True).bench
    file = tmp_path / "kept.taperlab"
    native.write_bench(bench, file)
    found = told(capsys, str(file))
    assert found["goals"][0]["wanted"] == [500.0, 500.0]
    assert "4.front" not in {each["cell"] for each in found["moved"]}
    freed = told(capsys, str(file), "--free", "4.front")
    assert "4.front" in {each["cell"] for each in freed["moved"]}
    other = told(capsys, str(file), "--goal", "length", "36 ft")
    assert [each["name"] for each in other["goals"]] == ["length"]


def test_the_written_line_meets_the_goals(capsys: Capture, head: str, tmp_path: Path) -> None:
    out = tmp_path / "out.csv"
    assert run(["solve", head, "--goal", "weight", "350gr", "--out", str(out)], SCREEN) == 0
    capsys.readouterr()
    assert run(["report", str(out), "--json"], SCREEN) == 0
    assert json.loads(capsys.readouterr().out)["head"]["weight_gr"] == pytest.approx(350, abs=0.1)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ([], "--goal: expected one or more"),
        (["--goal", "girth", "3"], "“girth”"),
        (["--goal", "weight"], "expected one value"),
        (["--goal", "weight", "heavy"], "“heavy”"),
        (["--goal", "weight", "500gr", "480gr"], "expected the lower one first"),
        (["--goal", "weight", "3 ft"], "a length where a weight is expected"),
        (["--goal", "weight", "500gr", "--lock", "9.length"], "expected 1 to 4"),
        (["--goal", "weight", "500gr", "--lock", "2.colour"], "expected a cell"),
        (["--goal", "weight", "500gr", "--bound", "2", "1", "2"], "expected a cell"),
        (["--goal", "weight", "500gr", "--bound", "2.length", "3ft", "2ft"], "lower bound"),
        (["--goal", "weight", "500gr", "--tape", "1in"], "go with --buildable"),
        (["--goal", "weight", "500gr", "--out", "x.doc"], "ends in"),
        (["--goal", "running", "20 ft", "No such"], "“No such”"),
        (["--goal", "joint-step", "No such", "1"], "“No such”"),
    ],
)
def test_bad_input_is_refused_in_one_sentence(
    capsys: Capture, arguments: list[str], said: str
) -> None:
    assert said in refused(capsys, BENCH, *arguments)


def test_a_ratio_needs_a_rod(capsys: Capture, head: str) -> None:
    assert "Choose a rod first" in refused(capsys, head, "--goal", "ratio", "2.7")
    found = told(capsys, head, "--goal", "ratio", "2.7", "--rod", "Mill pool 13 ft, 7")
    assert found["line"]["length_ft"] == pytest.approx(2.7 * 13.0, abs=0.02)


def test_goals_at_a_distance_are_told(capsys: Capture) -> None:
    found = told(capsys, BENCH, "--goal", "running", "30 ft", "330gr")
    assert found["goals"][0]["at_ft"] == pytest.approx(30.0)
