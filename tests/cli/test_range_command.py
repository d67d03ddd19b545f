"""``taperlab range``: one head graded over weights and rods."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from taperlab import shipped
from taperlab.cli import Screen, run
from taperlab.edits.ranges import edit_by_hand, make_range
from taperlab.files.native import read_bench, write_bench
from taperlab.shop.analyse import analyse_line
from tests.cli.test_command_line import no_drawing, no_sheet, no_window
from tests.looped import FOOT, GRAIN
from tests.tables import read_line

SCANDI = str(shipped.sample("scandi.taperlab"))
SKAGIT = str(shipped.sample("skagit.csv"))
SCREEN = Screen(no_window, no_drawing, no_sheet, no_sheet)
Capture = pytest.CaptureFixture[str]


def told(capsys: Capture, *arguments: str, status: int = 0) -> dict:
    assert run(["range", *arguments, "--json"], SCREEN) == status
    captured = capsys.readouterr()
    assert bool(captured.err) == bool(status)
    return json.loads(captured.out)


def refused(capsys: Capture, *arguments: str, status: int = 2) -> str:
    assert run(["range", *arguments], SCREEN) == status
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.count("\n") == 1
    return captured.err


def test_members_as_json(capsys: Capture) -> None:
    found = told(
        capsys, SCANDI, "--weights", "from 400 to 460 by 30", "--rods", "12'", "13'", "14'"
    )
    assert found["schema"] == 1
    assert found["refused"] == []
    members = found["members"]
    assert [each["weight_gr"] for each in members] == pytest.approx([400, 430, 460])
    assert [each["rod_length_ft"] for each in members] == pytest.approx([12, 13, 14])
    for each in members:
        assert each["ratio"] == pytest.approx(37 / 13)
        assert each["length_ft"] == pytest.approx(37 / 13 * each["rod_length_ft"])
        assert set(each) >= {
            *("weight_gr", "rod_length_ft", "length_ft", "ratio", "front_taper_weight_share"),
            *("balance_point_ft", "tip_gr_per_ft", "thickest_gr_per_ft", "segments"),
        }
        # The loop at the fly end is folded line, and no segment.
        weights = sum(row["weight_gr"] for row in each["segments"])
        assert weights <= each["weight_gr"] < weights + 5.0
        assert each["tip_gr_per_ft"] == pytest.approx(members[0]["tip_gr_per_ft"])


@pytest.mark.parametrize(
    ("options", "key", "as_parent"),
    [
        (("--length", "same"), "length_ft", True),
        (("--length", "weight"), "thickest_in", True),
        (("--shape", "same", "--length", "same"), "front_taper_length_share", True),
        (("--shape", "front-end"), "tip_diameter_in", True),
        (("--shape", "same", "--length", "same"), "tip_diameter_in", False),
    ],
)
def test_switches(capsys: Capture, options: tuple[str, ...], key: str, as_parent: bool) -> None:
    found = told(capsys, SCANDI, "--weights", "400", "560", "--rods", "12 ft", "15 ft", *options)
    for each in found["members"]:
        assert (each[key] == pytest.approx(found["parent"][key])) is as_parent


def test_members_that_cannot_be_are_told_of_beside_those_that_can(capsys: Capture) -> None:
    found = told(capsys, SKAGIT, "--weights", "300gr", "500gr", "--rod-length", "13 ft")
    assert [each["weight_gr"] for each in found["members"]] == pytest.approx([500])
    (one,) = found["refused"]
    assert one["weight_gr"] == pytest.approx(300)
    assert "With its fly end held it weighs" in one["why"]


def test_without_any_member_the_answer_is_none_and_what_is_known_is_printed(
    capsys: Capture,
) -> None:
    found = told(capsys, SKAGIT, "--weights", "100", "200", "--length", "same", status=3)
    assert found["members"] == []
    assert len(found["refused"]) == 2
    assert found["parent"]["least_gr"] is None
    assert "With its fly end held" in refused(
        capsys, SKAGIT, "--weights", "100", "--length", "same", status=3
    )


def test_text_to_read(capsys: Capture) -> None:
    assert run(["range", SCANDI, "--weights", "430 500", "--rods", "12'6"], SCREEN) == 0
    out = capsys.readouterr().out
    assert out.startswith("Scandi head, 37 ft, graded\n")
    assert "430.0 gr" in out
    assert "10 gr above 360–420 gr" in out
    assert "an overloaded rod can break" in out


@pytest.mark.parametrize(
    ("arguments", "part"),
    [
        (("--weights", "abc"), "--weights: “abc”"),
        (("--weights", "480", "--rods", "12'", "13'"), "1 weights and 2 rods"),
        (("--weights", "480", "--rods", "12 gr"), "--rods"),
        (("--weights", "480", "--line", "Nobody"), "Nobody"),
        (("--weights", "480", "--as", "csv"), "--as: expected only with --out"),
        (("--range", "None"), "expected none, as there are none"),
        ((), "one of the arguments --weights --range is required"),
        (("--weights", "from 1 to 500 by 1"), "more values than the 60"),
        (("--weights", "480", "--rod-length", "70 ft"), "too long for a fly rod"),
    ],
)
def test_bad_input_is_one_line(capsys: Capture, arguments: tuple[str, ...], part: str) -> None:
    assert part in refused(capsys, SCANDI, *arguments)


def test_a_folder_of_lines_and_their_table(capsys: Capture, tmp_path: Path) -> None:
    arguments = ["range", SCANDI, "--weights", "430", "500", "--out", str(tmp_path / "heads")]
    assert run(arguments, SCREEN) == 0
    names = {path.name for path in (tmp_path / "heads").iterdir()}
    first, second = "Scandi head, 37 ft A.taperlab", "Scandi head, 37 ft B.taperlab"
    assert names == {first, second, "members.csv"}
    bench = read_bench(tmp_path / "heads" / first)
    (line,) = bench.lines
    head = analyse_line(line, bench.water).head
    assert head is not None
    assert head.mass == pytest.approx(430 * GRAIN)
    with (tmp_path / "heads" / "members.csv").open(encoding="utf-8", newline="") as stream:
        heading, *rows = csv.reader(stream)
    assert heading[:4] == ["member", "weight [gr]", "rod [ft]", "length [ft]"]
    assert [float(row[1]) for row in rows] == pytest.approx([430, 500])
    assert [float(row[3]) for row in rows] == pytest.approx([37, 37])
    capsys.readouterr()


def test_buildable_members_stand_on_the_steps_of_the_tools(capsys: Capture) -> None:
    asked = ("--weights", "430", "500", "--buildable")
    found = told(capsys, SCANDI, *asked)
    assert found["rounded"] is True
    assert [each["weight_gr"] for each in found["members"]] == pytest.approx([430, 500], abs=0.5)
    for each in found["members"]:
        for row in each["segments"]:
            eighths = row["length_ft"] * 96.0
            assert eighths == pytest.approx(round(eighths), abs=1e-6)
    metric = told(capsys, SCANDI, *asked[:1], "28 g", "--buildable", "--units", "metric")
    millimetres = metric["members"][0]["segments"][1]["length_ft"] * 304.8
    assert millimetres == pytest.approx(round(millimetres), abs=1e-6)


def test_lines_as_csv_say_what_csv_cannot_hold(capsys: Capture, tmp_path: Path) -> None:
    arguments = ["range", SCANDI, "--weights", "430", "--as", "csv", "--out", str(tmp_path)]
    assert run(arguments, SCREEN) == 0
    line = read_line(tmp_path / "Scandi head, 37 ft A.csv")
    assert sum(each.length for each in line.segments) == pytest.approx(37 * FOOT)
    loops = read_bench(Path(SCANDI)).lines[0].front_loop.fold
    assert ("which CSV cannot hold" in capsys.readouterr().err) is (loops > 0.0)


def test_a_range_of_the_bench_with_a_member_edited_by_hand(capsys: Capture, tmp_path: Path) -> None:
    bench = read_bench(Path(SCANDI))
    line = bench.lines[0]
    bench = make_range(bench, line.key, [0.026, 0.03], name="Winter").bench
    bench = edit_by_hand(bench, "range-1", 1, line).bench
    file = tmp_path / "range.taperlab"
    write_bench(bench, file)
    found = told(capsys, str(file), "--range", "Winter")
    own = [each["by_hand"] for each in found["members"]]
    assert own == [False, True]
    assert found["members"][1]["weight_gr"] == pytest.approx(found["parent"]["weight_gr"])
    assert any("no longer follows" in each for each in found["remarks"])
    assert "leave out --line and --rods" in refused(
        capsys, str(file), "--range", "Winter", "--rods", "12'"
    )
