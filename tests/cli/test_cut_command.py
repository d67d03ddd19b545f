"""``taperlab cut``: its promised keys, its sums, its text and its refusals."""

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from taperlab import shipped
from taperlab.cli import Screen, run
from taperlab.edits.cut_back import set_first_reading, start_cut_back
from taperlab.files.native import write_bench
from taperlab.files.opening import read_any
from taperlab.model.cut_log import Target, TargetKind
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.start import usual_instruments
from taperlab.shop.cut_back.study import study_now
from taperlab.units.kinds import WEIGHT, System
from taperlab.units.parse import parse
from tests.tables import read_line

BENCH, CSV = str(shipped.sample("scandi.taperlab")), str(shipped.sample("scandi.csv"))
UNCUT = "Scandi head, uncut, 41 ft"
GRAIN, FOOT = 64.79891e-6, 0.3048
Capture = pytest.CaptureFixture[str]


def nothing(*_: object) -> Any:
    raise AssertionError("nothing here needs a screen")


SCREEN = Screen(nothing, nothing, nothing)


def planned(capsys: Capture, *arguments: str) -> dict[str, Any]:
    assert run(["cut", *arguments, "--json"], SCREEN) == 0
    captured = capsys.readouterr()
    assert captured.err == ""
    found: dict[str, Any] = json.loads(captured.out)
    return found


def refused(capsys: Capture, *arguments: str) -> str:
    assert run(["cut", *arguments], SCREEN) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.startswith("taperlab: ")
    assert captured.err.count("\n") == 1
    return captured.err


def test_the_promised_keys_and_no_rod_for_a_table(capsys: Capture) -> None:
    found = planned(capsys, CSV, "--to", "450 gr")
    assert found["schema"] == 1
    assert found["target_gr"] == pytest.approx(450.0)
    assert found["from"] == "rear"
    assert set(found["before"]) >= {"length_ft", "weight_gr"}
    assert set(found["cut"]) >= {"length_ft", "weight_gr", "position_ft"}
    assert set(found["after"]) >= {"length_ft", "weight_gr", "ratio"}
    assert found["after"]["ratio"] is None
    assert found["stages"]
    for stage in found["stages"]:
        assert set(stage) >= {"cut_length_ft", "expected_weight_gr", "plus_minus_gr"}
        assert stage["cut_length_ft"] > 0.0


@pytest.mark.parametrize("end", ["rear", "front"])
def test_the_cut_lies_where_the_running_weight_says(capsys: Capture, end: str) -> None:
    found = planned(capsys, CSV, "--to", "450 gr", "--from", end)
    profile = Profile.of(read_line(Path(CSV)))
    at = found["cut"]["position_ft"] * FOOT
    ahead = float(profile.running_mass(at)) / GRAIN
    whole = profile.total_mass / GRAIN
    if end == "rear":
        assert ahead == pytest.approx(450.0, abs=1e-6)
        assert found["cut"]["length_ft"] == pytest.approx(profile.length / FOOT - at / FOOT)
    else:
        assert whole - ahead == pytest.approx(450.0, abs=1e-6)
        assert found["cut"]["length_ft"] == pytest.approx(at / FOOT)
    assert found["before"]["weight_gr"] == pytest.approx(whole)
    assert found["cut"]["weight_gr"] + found["after"]["weight_gr"] == pytest.approx(whole)
    left = found["before"]["length_ft"] - found["cut"]["length_ft"]
    assert found["after"]["length_ft"] == pytest.approx(left)


def test_the_scale_scales_the_line_first(capsys: Capture) -> None:
    options = (BENCH, "--line", UNCUT, "--to", "490")
    plain, scaled = planned(capsys, *options), planned(capsys, *options, "--scale", "560 gr")
    assert scaled["before"]["weight_gr"] == pytest.approx(560.0)
    assert scaled["before"]["length_ft"] == pytest.approx(plain["before"]["length_ft"])
    # A heavier line loses more to come to the same weight.
    assert plain["before"]["weight_gr"] < 560.0
    assert scaled["cut"]["length_ft"] > plain["cut"]["length_ft"]
    assert (plain["weighed"], scaled["weighed"]) == (False, True)
    # The ratio is to the bench's chosen rod, 13 ft long.
    assert scaled["after"]["ratio"] == pytest.approx(scaled["after"]["length_ft"] / 13.0)


def test_the_scale_weighs_the_whole_line(capsys: Capture) -> None:
    csv = str(shipped.sample("long_belly.csv"))
    profile = Profile.of(read_line(Path(csv)))
    head = planned(capsys, csv, "--to", "500 gr")["before"]["weight_gr"]
    whole = profile.total_mass / GRAIN
    assert head < 0.95 * whole
    found = planned(capsys, csv, "--to", "500 gr", "--scale", f"{1.1 * whole} gr")
    assert found["before"]["weight_gr"] == pytest.approx(1.1 * head)


def test_stages_never_plan_to_pass_the_target_and_end_at_it(capsys: Capture) -> None:
    found = planned(capsys, BENCH, "--line", UNCUT, "--to", "490", "--scale", "560")
    stages = found["stages"]
    assert len(stages) >= 2
    for stage in stages[:-1]:
        assert stage["expected_weight_gr"] - stage["plus_minus_gr"] > 490.0
    # Within the larger of 1 % and 3 gr.
    assert stages[-1]["expected_weight_gr"] == pytest.approx(490.0, abs=4.9)
    total = sum(stage["cut_length_ft"] for stage in stages)
    assert total == pytest.approx(found["cut"]["length_ft"], abs=2 / 12)


def test_a_line_with_running_line_is_cut_at_the_rear_of_its_head(capsys: Capture) -> None:
    found = planned(capsys, str(shipped.sample("long_belly.taperlab")), "--to", "600 gr")
    assert found["before"]["length_ft"] == pytest.approx(65.0)
    assert found["cut"]["position_ft"] < 65.0
    assert any("running line" in remark for remark in found["remarks"])


def test_text_has_positions_to_an_eighth_and_a_caution(capsys: Capture) -> None:
    assert run(["cut", BENCH, "--line", UNCUT, "--to", "490gr", "--scale=560"], SCREEN) == 0
    text = capsys.readouterr().out
    assert "blade at 37 ft 4 7/8 in from the fly end" in text
    assert "Stage 1" in text
    cautions = [line for line in text.splitlines() if line.startswith("Caution: ")]
    assert len(cautions) == 1
    assert "away from your hand" in cautions[0]
    assert run(["cut", BENCH, "--line", UNCUT, "--to", "490gr", "--units=metric"], SCREEN) == 0
    metric = capsys.readouterr().out
    assert " mm " in metric
    assert " gr" not in metric


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((CSV, "--to", "900"), "Cutting only takes away"),
        ((CSV, "--to", "50g", "--units=metric"), " g, less than"),
        ((CSV, "--to", "1 gr"), "more than the 1.0 gr asked for"),
        ((CSV, "--to", "heavy"), "--to: “heavy”"),
        ((CSV, "--to", "480", "--scale", "3 ft"), "--scale: "),
        ((CSV, "--to", "450", "--scale", ""), "--scale: Nothing was typed"),
        ((CSV,), "--to"),
        ((CSV, "--to", "450", "--from", "both"), "rear"),
        ((BENCH, "--to", "450", "--line", "gone"), 'expected one of "Scandi'),
        (("none.csv", "--to", "450"), "none.csv is not there"),
    ],
)
def test_bad_input_gets_one_line(capsys: Capture, arguments: tuple[str, ...], words: str) -> None:
    assert words in refused(capsys, *arguments)


def test_a_line_without_a_head_is_refused(capsys: Capture, tmp_path: Path) -> None:
    table = tmp_path / "running.csv"
    table.write_text(
        "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3]\n"
        "running line,100,0.03,0.03,0.88\n"
    )
    assert "no head" in refused(capsys, str(table), "--to", "50")
    assert "no head" in refused(capsys, str(table), "--to", "50", "--scale", "60")


SAMPLES = sorted(
    path for path in Path(BENCH).parent.iterdir() if path.suffix in (".taperlab", ".csv")
)


@pytest.mark.parametrize("share", [0.97, 0.9, 0.7])
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
def test_the_window_and_the_command_cut_every_sample_at_one_place(
    capsys: Capture, tmp_path: Path, path: Path, share: float
) -> None:
    bench = replace(read_any(path), cut_backs=())
    path = tmp_path / "uncut.taperlab"
    write_bench(bench, path)
    for line in bench.lines:
        whole = Profile.of(head_of(line)).total_mass
        goal = f"{share * whole / GRAIN:.1f} gr"
        target = Target(TargetKind.WEIGHT, parse(goal, WEIGHT, System.US))
        begun = start_cut_back(bench, line.key, target, usual_instruments(System.US)).bench
        # What the scale of the window's bench reads is what the command takes it to read.
        weighed = set_first_reading(begun, begun.cut_backs[0].key, whole).bench
        for window in (begun, weighed):
            shown = study_now(line, window.cut_backs[0], bench.chosen_rod, bench.water)
            found = planned(capsys, str(path), "--to", goal, "--line", line.key)
            assert isinstance(shown.plan, Plan)
            # The window rounds a last cut to the tape.
            near = pytest.approx(shown.plan.after.length / FOOT, abs=1 / 96)
            assert found["after"]["length_ft"] == near
            blade = pytest.approx(shown.plan.rear_blade / FOOT, abs=1 / 96)
            assert found["cut"]["position_ft"] == blade
        stages = [stage.length / FOOT for stage in shown.stages]
        assert [each["cut_length_ft"] for each in found["stages"]] == pytest.approx(stages)


def test_a_head_with_cuts_in_its_log_is_for_the_window(capsys: Capture) -> None:
    # A blade at the figure for the uncut head would take off what is gone already.
    begun = shipped.sample("cut_back.taperlab")
    line = next(each for each in read_any(begun).cut_backs if each.steps).line
    said = refused(capsys, str(begun), "--to", "400 gr", "--line", line)
    assert "in its log already: go on with it in the window" in said


LIGHT = """
import sys
from taperlab.__main__ import main
sys.argv[1:] = ["cut", sys.argv[1], "--to", "450gr", "--json"]
status = main()
parts = ("optimize", "special", "stats", "linalg", "integrate", "sparse", "interpolate")
heavy = {"PySide6", "shiboken6", "pyqtgraph", *("scipy." + part for part in parts)}
assert not heavy & set(sys.modules), heavy & set(sys.modules)
sys.exit(status)
"""


def test_a_process_plans_without_window_or_scipy() -> None:
    done = subprocess.run([sys.executable, "-c", LIGHT, CSV], capture_output=True, check=False)
    assert done.stderr == b""
    assert done.returncode == 0
    assert json.loads(done.stdout)["schema"] == 1
