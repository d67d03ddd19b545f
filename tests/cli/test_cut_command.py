"""``taperlab cut``: its promised keys, its sums, its text and its refusals."""

import csv
import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from taperlab import shipped
from taperlab.cli import Looks, Screen, run
from taperlab.edits.cut_back import set_first_reading, start_cut_back
from taperlab.edits.measure import put_on_bench
from taperlab.files.native import write_bench
from taperlab.files.opening import read_any
from taperlab.model.cut_log import Target, TargetKind
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.study import study_now
from taperlab.shop.instruments import usual_instruments
from taperlab.shop.measure.study import study
from taperlab.units.kinds import WEIGHT, System
from taperlab.units.parse import parse
from tests.tables import read_line

BENCH, CSV = str(shipped.sample("scandi.taperlab")), str(shipped.sample("scandi.csv"))
UNCUT = "Scandi head, uncut, 41 ft"
GRAIN, FOOT = 64.79891e-6, 0.3048
Capture = pytest.CaptureFixture[str]


def nothing(*_: object) -> Any:
    raise AssertionError("nothing here needs a screen")


SCREEN = Screen(nothing, nothing, nothing, nothing)


def planned(capsys: Capture, *arguments: str) -> dict[str, Any]:
    assert run(["cut", *arguments, "--json"], SCREEN) == 0
    captured = capsys.readouterr()
    assert captured.err == ""
    found: dict[str, Any] = json.loads(captured.out)
    return found


def refused(capsys: Capture, *arguments: str, status: int = 2) -> str:
    assert run(["cut", *arguments], SCREEN) == status
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
    assert "From the rod end: measure 3 ft 7 1/8 in, mark, cut." in text
    # What is to be done comes before what would come of cutting all the way.
    assert text.index("Stage 1") < text.index("If you cut all the way")
    assert "0.3 % high" in text
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
        ((CSV, "--to", "heavy"), "--to: “heavy”"),
        ((CSV, "--to", "480", "--scale", "3 ft"), "--scale: "),
        ((CSV, "--to", "450", "--scale", ""), "--scale: Nothing was typed"),
        ((CSV,), "--to-length"),
        ((CSV, "--to", "450", "--from", "side"), "both"),
        ((CSV, "--to", "450", "--share-rear", "60"), "--from both"),
        ((CSV, "--to", "450", "--to-length", "30 ft"), "not allowed"),
        ((CSV, "--to", "line"), 'such as "line 8"'),
        ((CSV, "--to", "line 8 Q"), 'such as "line 8"'),
        ((CSV, "--to", "line 77"), "77"),
        ((CSV, "--to", "window-middle"), "Choose a rod"),
        ((CSV, "--to-ratio", "2.5"), "Choose a rod"),
        ((CSV, "--to", "450", "--window", "500gr", "400gr"), "lightest head first"),
        ((CSV, "--to", "450", "--plans", "x.csv"), "--heads"),
        ((CSV, "--heads", "none.csv"), "expected --plans or --sheets"),
        ((CSV, "--heads", "none.csv", "--plans", "x.csv"), "none.csv is not there"),
        (("--to", "450"), "expected FILE"),
        ((BENCH, "--to", "450", "--line", "gone"), "expected one of “Scandi"),
        (("none.csv", "--to", "450"), "none.csv is not there"),
    ],
)
def test_bad_input_gets_one_line(capsys: Capture, arguments: tuple[str, ...], words: str) -> None:
    assert words in refused(capsys, *arguments)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((CSV, "--to", "900"), "Cutting only takes away"),
        ((CSV, "--to", "50g", "--units=metric"), " g, less than"),
        ((CSV, "--to", "1 gr"), "more than the 1.0 gr asked for"),
        ((CSV, "--to", "400", "--shortest", "36 ft"), "the shortest head allowed is 36 ft"),
        ((CSV, "--to", "400", "--from", "front", "--keep-front-taper"), "is to stay whole"),
        ((CSV, "--to-length", "40 ft"), "less than the 40 ft asked for"),
    ],
)
def test_what_no_cut_reaches_has_a_status_of_its_own(
    capsys: Capture, arguments: tuple[str, ...], words: str
) -> None:
    assert words in refused(capsys, *arguments, status=3)
    # For scripts, what is known all the same.
    assert run(["cut", *arguments, "--json"], SCREEN) == 3
    captured = capsys.readouterr()
    found = json.loads(captured.out)
    assert (found["cut"], found["cuts"], found["after"], found["stages"]) == (None, [], None, [])
    assert found["before"]["length_ft"] == pytest.approx(37.0)
    assert words in found["why"] or "metric" in arguments[-1]
    assert captured.err.count("\n") == 1


def test_an_absurd_weight_is_refused_unless_the_person_says_anyway(capsys: Capture) -> None:
    options = (CSV, "--to", "450", "--scale", "1540 gr")
    said = refused(capsys, *options)
    assert "--scale: found 1540.0 gr, but by its description scandi weighs 474.4 gr" in said
    assert planned(capsys, *options, "--anyway")["before"]["weight_gr"] == pytest.approx(1540.0)
    # A head that is heavier than described by a fifth is only a heavy head.
    assert planned(capsys, CSV, "--to", "450", "--scale", "570 gr")["weighed"]


@pytest.mark.parametrize("share", [30.0, 70.0])
def test_both_ends_are_cut_each_from_its_own_end_the_rod_end_first(
    capsys: Capture, share: float
) -> None:
    options = (CSV, "--to", "430", "--from", "both", "--share-rear", f"{share}")
    found = planned(capsys, *options)
    assert found["from"] == "both"
    assert found["cut"] is None
    rod, fly = found["cuts"]
    assert (rod["end"], fly["end"]) == ("rod", "fly")
    whole = rod["length_ft"] + fly["length_ft"]
    assert rod["length_ft"] == pytest.approx(share / 100 * whole)
    for cut in (rod, fly):
        eighths = cut["from_that_end_ft"] * 96
        assert eighths == pytest.approx(round(eighths), abs=1e-6)
        assert cut["from_that_end_ft"] == pytest.approx(cut["length_ft"], abs=1 / 192 + 1e-9)
    # Worked out by itself: what those two cuts leave of the tape laid along the line.
    profile = Profile.of(read_line(Path(CSV)))
    kept = profile.mass_between(
        fly["from_that_end_ft"] * FOOT, profile.length - rod["from_that_end_ft"] * FOOT
    )
    assert kept / GRAIN == pytest.approx(430.0, abs=0.2)
    total = rod["weight_gr"] + fly["weight_gr"] + found["after"]["weight_gr"]
    assert total == pytest.approx(profile.total_mass / GRAIN)
    assert run(["cut", *options], SCREEN) == 0
    text = capsys.readouterr().out
    assert text.index("First from the rod end: measure") < text.index("Then from the fly end:")


def test_the_marks_of_every_stage_are_steps_of_the_tape(capsys: Capture) -> None:
    found = planned(capsys, BENCH, "--line", UNCUT, "--to", "490", "--from", "both")
    profile = Profile.of(head_of(next(b for b in read_any(Path(BENCH)).lines if b.name == UNCUT)))
    gone = {"fly": 0.0, "rod": 0.0}
    for stage in found["stages"]:
        assert [cut["end"] for cut in stage["cuts"]] == ["rod", "fly"][: len(stage["cuts"])]
        for cut in stage["cuts"]:
            gone[cut["end"]] += cut["from_that_end_ft"]
            assert cut["from_that_end_ft"] * 96 == pytest.approx(
                round(cut["from_that_end_ft"] * 96), abs=1e-6
            )
        left = profile.mass_between(
            gone["fly"] * FOOT, profile.length - gone["rod"] * FOOT, points=False
        )
        assert stage["should_read_gr"] == pytest.approx(left / GRAIN, abs=0.3)


@pytest.mark.parametrize(
    ("name", "wanted"), [("window-low", 470.0), ("window-middle", 480.0), ("window-high", 490.0)]
)
def test_a_window_is_aimed_at_by_its_edges_or_middle(
    capsys: Capture, name: str, wanted: float
) -> None:
    found = planned(capsys, BENCH, "--line", UNCUT, "--to", name, "--window", "470gr", "490gr")
    assert found["target_gr"] == pytest.approx(wanted)
    assert found["after"]["weight_gr"] == pytest.approx(wanted, abs=0.01)
    plain = planned(capsys, CSV, "--to", "window-middle", "--window", "440", "460")
    assert plain["target_gr"] == pytest.approx(450.0)
    assert plain["after"]["ratio"] is None


def test_a_length_and_a_ratio_are_aimed_at(capsys: Capture) -> None:
    options = (BENCH, "--line", UNCUT)
    assert planned(capsys, *options, "--to-length", "38 ft")["after"]["length_ft"] == (
        pytest.approx(38.0)
    )
    found = planned(capsys, *options, "--to-ratio", "2.8", "--rod-length", "13 ft")
    assert found["after"]["length_ft"] == pytest.approx(2.8 * 13.0)
    assert found["after"]["ratio"] == pytest.approx(2.8)


def test_a_size_of_the_standard_is_aimed_at(capsys: Capture) -> None:
    single = str(shipped.sample("single_hand.taperlab"))
    found = planned(capsys, single, "--to", "line 5", "--from", "front")
    said = planned(capsys, single, "--to", "line 5 single-hand", "--from", "front")
    assert found == said
    # 140 gr over the first 30 ft is line 5 of the single-hand standard; the head weighs it all.
    assert run(["report", single, "--json"], SCREEN) == 0
    capsys.readouterr()
    assert found["stages"]
    two = planned(capsys, BENCH, "--line", UNCUT, "--to", "line 7 H")
    assert two["stages"]


def test_loops_and_limits_are_taken_from_the_command(capsys: Capture) -> None:
    options = (CSV, "--to", "450", "--loop-fold", "2 in", "--loop-weight", "1.5 gr")
    found, plain = planned(capsys, *options), planned(capsys, CSV, "--to", "450")
    assert found["after"]["weight_gr"] == pytest.approx(450.0, abs=0.01)
    # A grain and a half of glue is that much less line, and 2 in lie folded back.
    last = found["stages"][-1]
    assert last["expected_weight_gr"] - last["should_read_gr"] == pytest.approx(1.5)
    assert found["cut"]["length_ft"] > plain["cut"]["length_ft"]
    shorter = plain["before"]["length_ft"] - found["cut"]["length_ft"] - 2 / 12
    assert found["after"]["length_ft"] == pytest.approx(shorter)
    assert any("Make the loop at the rod end: 2 in folded back" in r for r in found["remarks"])
    # 0.3 % of 450 gr, and the loop that is still to be made.
    assert "1.4 gr lighter" in found["cannot_see"][0]
    assert "1.0 gr heavier" in found["cannot_see"][1]
    assert len(plain["cannot_see"]) == 1


def test_a_head_out_of_its_window_is_said_to_be(capsys: Capture) -> None:
    options = (BENCH, "--line", UNCUT, "--to", "500", "--window")
    said = {
        ("400", "450"): "still be too heavy for the grain window, 400.0 to 450.0 gr",
        ("520", "540"): "will be too light for the grain window, 520.0 to 540.0 gr",
        ("570", "590"): "too light for the grain window, 570.0 to 590.0 gr, already",
    }
    for window, words in said.items():
        remarks = planned(capsys, *options, *window)["remarks"]
        assert words in remarks[0]
    inside = planned(capsys, *options, "490", "510")["remarks"]
    assert not any("window" in remark for remark in inside)


def test_a_measured_head_is_cut_as_it_was_measured(capsys: Capture, tmp_path: Path) -> None:
    bench = read_any(shipped.sample("measured_head.taperlab"))
    (measurement,) = bench.measurements
    fit = study(measurement).fit
    assert fit is not None
    path = tmp_path / "measured.taperlab"
    write_bench(put_on_bench(bench, measurement.key, fit.line).bench, path)
    options = (str(path), "--line", measurement.key, "--to", "380")
    found = planned(capsys, *options)
    whole = measurement.sections[0].mass
    assert found["weighed"]
    assert found["before"]["weight_gr"] == pytest.approx(whole / GRAIN, abs=0.3)
    # Weighed once more it may only be what it was.
    off = f"{whole / GRAIN + 20:.1f} gr"
    assert "but when it was measured it weighed" in refused(capsys, *options, "--scale", off)
    assert planned(capsys, *options, "--scale", off, "--anyway")["weighed"]


def test_a_measurement_that_contradicts_itself_is_said_to(capsys: Capture, tmp_path: Path) -> None:
    bench = read_any(shipped.sample("measured_head.taperlab"))
    (measurement,) = bench.measurements
    first = measurement.sections[0]
    again = replace(first, mass=first.mass - 60 * GRAIN)
    measurement = replace(measurement, sections=(*measurement.sections, again))
    bench = replace(bench, measurements=(measurement,))
    fit = study(measurement).fit
    assert fit is not None
    path = tmp_path / "measured.taperlab"
    write_bench(put_on_bench(bench, measurement.key, fit.line).bench, path)
    options = (str(path), "--line", measurement.key, "--to", "300")
    said = "The weights measured on this line do not agree: weigh the head."
    found = planned(capsys, *options)
    assert not found["weighed"]
    assert said in found["remarks"]
    assert run(["cut", *options], SCREEN) == 0
    assert said in capsys.readouterr().out
    # Weighed now, the head is what the scale says.
    assert said not in planned(capsys, *options, "--scale", "400 gr")["remarks"]


# -- a table of heads --------------------------------------------------------------------------


def test_a_table_of_heads_gives_a_table_of_plans_and_a_sheet_each(
    capsys: Capture, tmp_path: Path
) -> None:
    table, plans, folder = tmp_path / "heads.csv", tmp_path / "plans.csv", tmp_path / "sheets"
    table.write_text(
        "name,scale [gr],to\nAspen,480,450 gr\nBirch,471.5,\nCedar,,9000gr\n", encoding="utf-8"
    )
    written: list[tuple[str, str]] = []

    def sheet(study: Any, target: Path, _system: System, _looks: Looks) -> None:
        written.append((study.line.name, target.name))

    screen = Screen(nothing, nothing, nothing, sheet)
    options = ["--to", "440", "--heads", str(table), "--plans", str(plans), "--sheets", str(folder)]
    assert run(["cut", CSV, *options], screen) == 3
    assert "asked of Cedar" in capsys.readouterr().err
    assert written == [("Aspen", "Aspen.pdf"), ("Birch", "Birch.pdf")]
    with plans.open(encoding="utf-8", newline="") as text:
        rows = list(csv.DictReader(text))
    by_name: dict[str, list[dict[str, str]]] = {}
    for row in rows:
        by_name.setdefault(row["name"], []).append(row)
    assert list(by_name) == ["Aspen", "Birch", "Cedar"]
    alone = planned(capsys, CSV, "--to", "450", "--scale", "480 gr")["stages"]
    assert [float(row["should read [gr]"]) for row in by_name["Aspen"]] == pytest.approx(
        [stage["should_read_gr"] for stage in alone], abs=1e-3
    )
    assert {row["to [gr]"] for row in by_name["Birch"]} == {"440.0000"}
    assert "Cutting only takes away" in by_name["Cedar"][0]["remark"]
    assert by_name["Cedar"][0]["stage"] == ""


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("name,wight\nAspen,480\n", "row 1, column “wight”: found this name"),
        ("scale [gr]\n480\n", "found no column “name”"),
        ("name\n", "names no head"),
        ("name,scale [gr]\nAspen,480\nBirch,heavy\n", "row 3: --scale: “heavy”"),
        ("name,scale [gr]\nAspen,1540\n", "row 2: --scale: found 1540.0 gr"),
        ("name,to\nAspen,440\nAspen,450\n", "row 3, column “name”: found “Aspen” once more"),
        ("name,file\nAspen,gone.csv\n", "gone.csv is not there"),
    ],
)
def test_a_bad_table_of_heads_gets_one_line_and_nothing_is_written(
    capsys: Capture, tmp_path: Path, text: str, words: str
) -> None:
    table, plans = tmp_path / "heads.csv", tmp_path / "plans.csv"
    table.write_text(text, encoding="utf-8")
    said = refused(capsys, CSV, "--to", "450", "--heads", str(table), "--plans", str(plans))
    assert words in said
    assert "heads.csv" in said or "gone.csv" in said
    assert not plans.exists()


@pytest.mark.parametrize(
    ("one", "other"), [("Aspen", "aspen"), ("Aspen", "Aspen."), ("a/b", "a:b"), ("É", "e\u0301")]
)
def test_two_heads_whose_sheets_would_be_one_file_are_refused_before_any_is_written(
    capsys: Capture, tmp_path: Path, one: str, other: str
) -> None:
    table, plans, folder = tmp_path / "heads.csv", tmp_path / "plans.csv", tmp_path / "sheets"
    table.write_text(f"name\n{one}\nBirch\n{other}\n", encoding="utf-8")
    options = ["--to", "440", "--heads", str(table), "--plans", str(plans), "--sheets", str(folder)]
    said = refused(capsys, CSV, *options)
    assert f"row 4: found “{other}”, whose sheet would be the same file as that of row 2" in said
    assert not plans.exists()
    assert not folder.exists()


def test_sheets_are_written_as_pdf(tmp_path: Path) -> None:
    table = tmp_path / "heads.csv"
    table.write_text("name\nAspen / Birch\n", encoding="utf-8")
    arguments = [CSV, "--to", "450", "--heads", str(table), "--sheets", str(tmp_path / "out")]
    done = subprocess.run(
        [sys.executable, "-m", "taperlab", "cut", *arguments], capture_output=True, check=False
    )
    assert done.stderr == b""
    assert done.returncode == 0
    (sheet,) = (tmp_path / "out").iterdir()
    assert sheet.name == "Aspen - Birch.pdf"
    assert sheet.read_bytes().startswith(b"%PDF")


def test_a_line_without_a_head_is_refused(capsys: Capture, tmp_path: Path) -> None:
    table = tmp_path / "running.csv"
    table.write_text(
        "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3]\n"
        "running line,100,0.03,0.03,0.88\n"
    )
    assert "no head" in refused(capsys, str(table), "--to", "50")
    assert "no head" in refused(capsys, str(table), "--to", "50", "--scale", "60")


SAMPLES = sorted(
    path
    for path in Path(BENCH).parent.iterdir()
    if path.suffix in (".taperlab", ".csv") and "stations" not in path.stem
)


@pytest.mark.parametrize("share", [0.97, 0.7])
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
