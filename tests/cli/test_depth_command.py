"""``taperlab depth``, and lines looped together in report and cut."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path

import pytest

from taperlab import shipped
from taperlab.cli import Screen, run
from taperlab.edits import rigs
from taperlab.files import native
from taperlab.model.exact_units import FOOT
from taperlab.model.rig import Leader
from tests.cli.test_command_line import no_drawing, no_sheet, no_window

BENCH = str(shipped.sample("skagit.taperlab"))
TIP = "Tip, 12 ft of 14"
SCREEN = Screen(no_window, no_drawing, no_sheet, no_sheet)
HEADINGS = "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3],note\n"
Capture = pytest.CaptureFixture[str]


@pytest.fixture
def tip(tmp_path: Path) -> str:
    """A level tip of 10 ft as CSV."""
    file = tmp_path / "tip.csv"
    file.write_text(HEADINGS + "sink tip,10,0.04,0.04,3.6,\n", encoding="utf-8")
    return str(file)


@pytest.fixture
def head(tmp_path: Path) -> str:
    """A level floating head of 25 ft as CSV."""
    file = tmp_path / "head.csv"
    file.write_text(HEADINGS + "belly,25,0.09,0.09,0.86,\n", encoding="utf-8")
    return str(file)


def told(capsys: Capture, *arguments: str, status: int = 0) -> dict:
    assert run([*arguments, "--json"], SCREEN) == status
    captured = capsys.readouterr()
    assert bool(captured.err) == bool(status)
    return json.loads(captured.out)


def refused(capsys: Capture, *arguments: str) -> str:
    assert run(arguments, SCREEN) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.count("\n") == 1
    return captured.err


def test_a_rig_of_a_bench_as_json(capsys: Capture) -> None:
    found = told(capsys, "depth", BENCH, "--ahead", TIP, "--current", "3 ft/s", "--leader", "4 ft")
    assert set(found) >= {
        *("schema", "rig", "water", "current_fps", "angle_deg", "depth_ft", "low_ft", "high_ft"),
        *("deepest_ft", "under_ft", "state", "tension_n", "causes", "settling"),
    }
    assert found["schema"] == 1
    assert found["rig"]["lines"] == [TIP, "Skagit body, 23 ft"]
    assert found["rig"]["length_ft"] == pytest.approx(35.0)
    assert found["current_fps"] == pytest.approx(3.0)
    assert found["state"] == "level"
    assert found["low_ft"] < found["depth_ft"] < found["high_ft"]
    assert found["deepest_ft"] >= found["depth_ft"]
    assert 16.0 < found["under_ft"] < 39.0
    assert {each["name"] for each in found["causes"]} >= {"current", "skin friction"}
    assert [each["name"] for each in found["settling"]] == ["fly", "leader", *found["rig"]["lines"]]


def test_settling_agrees_with_report(capsys: Capture, tip: str) -> None:
    depth = told(capsys, "depth", tip, "--current", "2 ft/s")
    report = told(capsys, "report", tip)
    assert depth["settling"][-1]["ips"] == pytest.approx(report["sink"]["head_ips"])


@pytest.mark.parametrize("feet", [1.0, 3.0, 6.0])
def test_a_lone_tip_hangs_as_its_sink_rate_has_it(capsys: Capture, tip: str, feet: float) -> None:
    """Depth over length is sin phi, and sin phi / sqrt(cos phi) the sink rate over the current."""
    bare = ("--fly-weight", "0", "--fly-drag", "0")
    found = told(capsys, "depth", tip, "--current", f"{feet} ft/s", *bare)
    rate = told(capsys, "report", tip)["sink"]["head_ips"] / 12.0
    assert found["state"] == "under"
    sine = found["depth_ft"] / 10.0
    # The drag coefficient rises a little as the speed across the line falls.
    assert sine / math.sqrt(math.sqrt(1.0 - sine**2)) == pytest.approx(rate / feet, rel=0.02)


def test_without_a_current_it_hangs(capsys: Capture, tip: str) -> None:
    found = told(capsys, "depth", tip, "--current", "0 ft/s", "--leader", "3 ft")
    assert found["state"] == "hangs"
    assert found["depth_ft"] == pytest.approx(13.0)


def test_csv_lines_are_looped_and_a_heavier_fly_is_deeper(
    capsys: Capture, head: str, tip: str
) -> None:
    rig = ("depth", head, "--ahead", tip, "--current", "1 m/s", "--leader", "1.2 m")
    depths = [
        told(capsys, *rig, *fly)["depth_ft"]
        for fly in ((), ("--fly", "weighted"), ("--fly-weight", "30 gr"))
    ]
    assert depths == sorted(depths)
    assert depths[0] < depths[-1] - 0.3
    assert told(capsys, *rig)["rig"]["lines"] == ["tip", "head"]


def test_what_floats_floats(capsys: Capture, head: str) -> None:
    found = told(capsys, "depth", head, "--current", "3 ft/s", "--fly-weight", "0")
    assert (found["state"], found["depth_ft"]) == ("floats", 0.0)
    assert run(["depth", head, "--current", "3 ft/s", "--fly-weight", "0"], SCREEN) == 0
    assert "stays at the surface" in capsys.readouterr().out


def test_on_the_bottom_there_is_no_figure(capsys: Capture) -> None:
    rig = ("depth", BENCH, "--ahead", TIP, "--current", "2 ft/s", "--river-depth", "2 ft")
    for profile in ("uniform", "river"):
        found = told(capsys, *rig, "--profile", profile, status=3)
        assert found["state"] == "bottom"
        assert (found["depth_ft"], found["deepest_ft"], found["high_ft"]) == (None, None, None)
    assert run(rig, SCREEN) == 3
    captured = capsys.readouterr()
    assert captured.out == ""
    assert "lies on the bottom" in captured.err


def test_a_river_that_slackens_lets_it_deeper(capsys: Capture) -> None:
    rig = ("depth", BENCH, "--ahead", TIP, "--current", "3 ft/s", "--river-depth", "10 ft")
    river = told(capsys, *rig, "--profile", "river")["depth_ft"]
    assert river > told(capsys, *rig)["depth_ft"]


def test_a_swing_and_a_drift(capsys: Capture) -> None:
    rig = ("depth", BENCH, "--ahead", TIP, "--current", "3 ft/s", "--leader", "4 ft")
    found = told(capsys, *rig, "--angle", "30", "--drift", "4 s")
    assert found["angle_deg"] == pytest.approx(30.0)
    assert found["depth_ft"] > told(capsys, *rig)["depth_ft"]
    tip = next(each["ips"] for each in found["settling"] if each["name"] == TIP)
    assert found["drift"]["tip_ft"] == pytest.approx(tip * 4.0 / 12.0)
    assert found["drift"]["then"][0]["seconds"] == pytest.approx(1.5 * 16.0 / 3.0)


def in_quarters(feet: float) -> str:
    """To the nearest quarter of a foot."""
    whole, quarters = divmod(round(feet * 4.0), 4)
    return f"{whole}{['', '¼', '½', '¾'][quarters]}"


def test_in_words(capsys: Capture) -> None:
    rig = ("depth", BENCH, "--ahead", TIP, "--current", "3 ft/s", "--leader", "4 ft")
    known = told(capsys, *rig, "--drift", "4")
    assert run([*rig, "--drift", "4"], SCREEN) == 0
    text = capsys.readouterr().out
    low, high = (in_quarters(known[name]) for name in ("low_ft", "high_ft"))
    first, second = (each["name"] for each in known["causes"][:2])
    for part in (
        f"The fly is about {low} to {high} ft deep.",
        f"What is least sure: {first}, then {second}.",
        f"the tip is about {in_quarters(known['drift']['tip_ft'])} ft down; the fly lags behind it",
        "is forgotten after about 32 ft of water",
        "Not counted: belly and mends",
    ):
        assert part in text
    assert run([*rig, "--units=metric"], SCREEN) == 0
    low, high = (f"{known[name] * 0.3048:.1f}" for name in ("low_ft", "high_ft"))
    assert f"The fly is about {low} to {high} m deep." in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((), "the following arguments are required: --current"),
        (("--current", "3 gr"), "--current: “3 gr” is a weight where a current is expected"),
        (("--current", "3", "--angle", "75"), "--angle: found “75”, expected degrees"),
        (("--current", "3", "--angle", "x"), "--angle: found “x”, expected degrees"),
        (("--current", "3", "--ahead", "x"), "--ahead: found “x”"),
        (("--current", "3", "--profile", "river"), "expected --river-depth with it"),
        (("--current", "3", "--leader-diameter", "0.01"), "--leader: expected a length with"),
        (("--current", "3", "--fly-drag", "1 m"), "--fly-drag: “1 m” is a length"),
    ],
)
def test_bad_input_is_told_in_one_line(
    capsys: Capture, arguments: tuple[str, ...], words: str
) -> None:
    assert words in refused(capsys, "depth", BENCH, *arguments)


def test_what_has_no_head_cannot_be_looped(capsys: Capture, tmp_path: Path) -> None:
    file = tmp_path / "running.csv"
    file.write_text(HEADINGS + "running line,100,0.035,0.035,0.9,\n", encoding="utf-8")
    said = refused(capsys, "depth", BENCH, "--current", "3", "--ahead", str(file))
    assert "running: This line is all handling or running line" in said


def test_a_report_of_a_rig(capsys: Capture) -> None:
    rod = ("--window", "450 gr", "540 gr", "--rod-length", "13 ft")
    alone = told(capsys, "report", BENCH, *rod)
    found = told(capsys, "report", BENCH, "--ahead", TIP, *rod)
    assert (alone["rig"], alone["joints"]) == (None, [])
    tip = told(capsys, "report", BENCH, "--line", TIP)
    weight = alone["head"]["weight_gr"] + tip["head"]["weight_gr"]
    assert found["rig"]["lines"] == [TIP, "Skagit body, 23 ft"]
    assert found["rig"]["weight_gr"] == pytest.approx(weight)
    assert found["head"]["weight_gr"] == pytest.approx(weight)
    assert found["head"]["length_ft"] == pytest.approx(found["rig"]["length_ft"])
    (joint,) = found["joints"]
    assert joint["position_ft"] == pytest.approx(12.0)
    assert joint["ahead_gr_per_ft"] == pytest.approx(14.0, rel=1e-3)
    assert joint["step"] == pytest.approx(joint["ahead_gr_per_ft"] / joint["behind_gr_per_ft"])
    # The window was measured on the head alone, unless it is said otherwise.
    assert found["rod"]["judged"] == "head"
    assert alone["rod"]["in_window"] is found["rod"]["in_window"] is True
    whole = told(capsys, "report", BENCH, "--ahead", TIP, "--judged", "rig", *rod)
    assert (whole["rod"]["judged"], whole["rod"]["in_window"]) == ("rig", False)
    assert found["rod"]["ratio"] == pytest.approx(35.0 / 13.0)
    assert run(["report", BENCH, "--ahead", TIP, *rod], SCREEN) == 0
    text = capsys.readouterr().out
    assert "(the head alone)" in text
    assert "14.00 gr/ft ahead, 19.11 gr/ft behind, 12 ft from the fly end" in text


def test_a_cut_minds_the_tip_ahead(capsys: Capture) -> None:
    aim = ("cut", BENCH, "--to", "460 gr")
    found = told(capsys, *aim, "--ahead", TIP)
    plain = told(capsys, *aim)
    assert "rig" not in plain
    assert found["cut"] == plain["cut"]
    assert found["rig"]["length_ft"] == pytest.approx(12.0 + found["after"]["length_ft"])
    assert found["joints"][0]["behind_gr_per_ft"] == pytest.approx(19.11, abs=0.01)
    assert run([*aim, "--ahead", TIP], SCREEN) == 0
    text = capsys.readouterr().out
    assert f"{TIP} + Skagit body, 23 ft: " in text
    assert "14.00 gr/ft ahead, 19.11 gr/ft behind" in text
    # A step of 14 to 19 gr/ft is 0.73: what allows less lets no cut through.
    assert told(capsys, *aim, "--ahead", TIP, "--most-step", "0.8")["cut"] is not None
    refused = told(capsys, *aim, "--ahead", TIP, "--most-step", "0.7", status=3)
    assert refused["cut"] is None
    assert told(capsys, *aim, "--most-step", "0.7")["cut"] is not None


@pytest.fixture
def rigged(tmp_path: Path) -> str:
    """The sample bench with its tip looped to its body, and kept so."""
    bench = native.read_bench(shipped.sample("skagit.taperlab"))
    keys = {line.name: line.key for line in bench.lines}
    bench = rigs.make_rig(bench, keys["Skagit body, 23 ft"], [keys[TIP]], name="Low water").bench
    swing = replace(bench.swing, leader=Leader(4 * FOOT))
    bench = rigs.set_swing(bench, swing).bench
    file = tmp_path / "rigged.taperlab"
    native.write_bench(bench, file)
    return str(file)


def test_a_rig_that_is_kept_is_the_lines_looped_by_hand(capsys: Capture, rigged: str) -> None:
    asked = ("--current", "3 ft/s")
    kept = told(capsys, "depth", rigged, "--rig", "Low water", *asked)
    by_hand = told(capsys, "depth", rigged, "--ahead", TIP, *asked, "--leader", "4 ft")
    assert kept == by_hand
    assert told(capsys, "depth", rigged, "--rig", "Low water", *asked, "--fly", "bulky") == told(
        capsys, "depth", rigged, "--ahead", TIP, *asked, "--leader", "4 ft", "--fly", "bulky"
    )
    kept, by_hand = (
        told(capsys, "report", rigged, *how) for how in (("--rig", "Low water"), ("--ahead", TIP))
    )
    # It has a name of its own.
    assert (kept["line"].pop("name"), by_hand["line"].pop("name")) == (
        "Low water",
        f"{TIP} + Skagit body, 23 ft",
    )
    assert kept == by_hand


def test_a_rig_is_named_alone_and_as_it_is_called(capsys: Capture, rigged: str) -> None:
    assert "leave out" in refused(capsys, "report", rigged, "--rig", "Low water", "--ahead", TIP)
    assert "expected one of “Low water”" in refused(capsys, "report", rigged, "--rig", "High")
    assert "expected none" in refused(capsys, "report", BENCH, "--rig", "High")
