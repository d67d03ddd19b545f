"""``taperlab turnover``: whether a rig turns over before it lands."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from taperlab import shipped
from taperlab.cli import Screen, run
from taperlab.edits.casting import set_throw
from taperlab.files import native
from taperlab.model.casting import Throw
from tests.cli.test_command_line import no_drawing, no_sheet, no_window

BENCH = shipped.sample("skagit.taperlab")
CSV = str(shipped.sample("scandi.csv"))
HEADINGS = "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3],note\n"
SCREEN = Screen(no_window, no_drawing, no_sheet, no_sheet)
Capture = pytest.CaptureFixture[str]
SPEED = ("--speed", "60 ft/s")


def told(capsys: Capture, *arguments: str, status: int = 0) -> dict:
    assert run(["turnover", *arguments, "--json"], SCREEN) == status
    captured = capsys.readouterr()
    assert bool(captured.err) == bool(status)
    return json.loads(captured.out)


def test_as_json(capsys: Capture) -> None:
    found = told(capsys, CSV, *SPEED, "--leader", "12 ft")
    assert set(found) >= {
        *("schema", "rig", "speed_mps", "half_mps", "end_mps", "time_s", "energy_left"),
        *("needed_mps", "turns_over"),
    }
    assert found["schema"] == 1
    assert found["speed_mps"] == pytest.approx(18.288)
    needed = found["needed_mps"]
    assert needed["low"] == pytest.approx(0.8 * needed["estimate"])
    assert needed["high"] == pytest.approx(1.2 * needed["estimate"])
    assert found["turns_over"] == "yes"
    assert 0.0 < found["energy_left"] < 1.0


def test_a_level_line_by_hand(capsys: Capture, tmp_path: Path) -> None:
    """A fold in a heavy level line, a fly that weighs nothing: hardly any drag; closed forms."""
    file = tmp_path / "level.csv"
    file.write_text(HEADINGS + "belly,40,0.09,0.09,20,\n", encoding="utf-8")
    bare = ("--fly-mass", "0", "--fly-drag", "0", "--loop-height", "0.01 m", "--start", "0 m")
    found = told(capsys, str(file), "--speed", "20 m/s", *bare)
    length = 40 * 0.3048
    assert found["half_mps"] == pytest.approx(20.0 * math.sqrt(2.0), rel=0.01)
    assert found["time_s"] == pytest.approx(4.0 * length / (3.0 * 20.0), rel=0.01)
    way = 20.0 * found["time_s"]
    drop = 3.5 + 0.01 + way * math.sin(math.radians(5.0))
    wanted = way * math.sqrt(9.80665 / (2.0 * drop))
    assert found["needed_mps"]["estimate"] == pytest.approx(wanted)


def test_every_option_counts(capsys: Capture) -> None:
    plain = told(capsys, CSV, *SPEED)
    for option in (
        ("--loop-height", "2 m"),
        ("--loop-factor", "1"),
        ("--rod-tip", "2 m"),
        ("--launch", "-5"),
        ("--start", "8 ft"),
        ("--leader", "9 ft"),
        ("--fly", "bulky"),
    ):
        assert told(capsys, CSV, *SPEED, *option)["needed_mps"] != plain["needed_mps"]
    same = told(
        capsys, CSV, *SPEED, "--loop-height", "1 m", "--loop-factor", "0.6", "--rod-tip", "3.5 m",
        "--launch", "5", "--start", "1 m",
    )  # fmt: skip
    assert same["needed_mps"] == plain["needed_mps"]


def test_a_heavy_tip_arrives_hard(capsys: Capture) -> None:
    fine = told(capsys, CSV, *SPEED, "--leader", "12 ft")
    tipped = told(capsys, str(BENCH), *SPEED, "--leader", "4 ft", "--ahead", "Tip, 12 ft of 14")
    assert tipped["energy_left"] > 2.0 * fine["energy_left"]
    assert not fine["likely_to_kick"]
    assert tipped["likely_to_kick"]
    assert tipped["rig"]["lines"] == ["Tip, 12 ft of 14", "Skagit body, 23 ft"]


def test_a_slow_one_lands(capsys: Capture) -> None:
    assert told(capsys, CSV, "--speed", "15 ft/s", "--leader", "12 ft")["turns_over"] == "no"
    down = told(capsys, CSV, *SPEED, "--launch", "-45")
    assert (down["needed_mps"]["estimate"], down["turns_over"]) == (None, "no")


def test_how_the_bench_throws_is_what_counts_where_nothing_is_typed(
    capsys: Capture, tmp_path: Path
) -> None:
    file = tmp_path / "bench.taperlab"
    bench = set_throw(native.read_bench(BENCH), Throw(rod_tip=2.0)).bench
    native.write_bench(bench, file)
    kept = told(capsys, str(file), *SPEED)
    typed = told(capsys, str(BENCH), *SPEED, "--rod-tip", "2 m")
    assert kept["needed_mps"] == typed["needed_mps"]


def test_text(capsys: Capture) -> None:
    assert run(["turnover", CSV, *SPEED, "--leader", "12 ft"], SCREEN) == 0
    out = capsys.readouterr().out
    assert "needs a line speed of" in out
    assert "At 60 ft/s" in out
    assert "Not in it" in out


def test_nothing_to_turn_over_has_no_answer(capsys: Capture) -> None:
    assert run(["turnover", CSV, *SPEED, "--start", "60 ft"], SCREEN) == 3
    captured = capsys.readouterr()
    assert "Nothing is left to turn over" in captured.err
    assert captured.err.count("\n") == 1


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ((), "--speed"),
        (("--speed", "60 gr"), "--speed: "),
        (("--speed", "0"), "--speed: "),
        ((*SPEED, "--launch", "50"), "--launch: found “50”, expected degrees from -45 to 45"),
        ((*SPEED, "--loop-height", "-1 m"), "--loop-height: "),
        ((*SPEED, "--loop-factor", "x"), "--loop-factor: "),
        ((*SPEED, "--ahead", "none"), "--ahead: found “none”"),
    ],
)
def test_what_is_wrong_is_said(capsys: Capture, options: tuple[str, ...], words: str) -> None:
    assert run(["turnover", CSV, *options], SCREEN) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.count("\n") == 1
    assert words in captured.err


SHOT = {"shot_m", "running_end_mps", "to_guides", "to_pickup", "running_kg_m", "guide_friction_n"}


def test_a_line_that_shoots(capsys: Capture) -> None:
    held = told(capsys, CSV, *SPEED)
    assert not SHOT & set(held)
    free = told(capsys, CSV, *SPEED, "--shoot", "--guide-friction", "2 g", "--running", "0.5 g/m")
    assert set(free) == set(held) | SHOT
    assert free["shot_m"] > 1.0
    assert free["guide_friction_n"] == pytest.approx(0.002 * 9.80665)
    assert free["running_kg_m"] == pytest.approx(0.0005)
    assert free["needed_mps"]["estimate"] > held["needed_mps"]["estimate"]
    firm = told(capsys, CSV, *SPEED, "--shoot", "--guide-friction", "500 g")
    assert firm["shot_m"] == 0.0
    assert firm["energy_left"] == pytest.approx(held["energy_left"], rel=1e-4)


def test_what_is_shot_as_text(capsys: Capture) -> None:
    assert run(["turnover", CSV, *SPEED, "--shoot", "--guide-friction", "2 g"], SCREEN) == 0
    out = capsys.readouterr().out
    assert "of running line is shot by then" in out
    assert "The film does not shoot" in out


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--running", "0.5 g/m"), "--running counts only with --shoot"),
        (("--shoot", "--running", "0.5 g"), "--running: "),
        (("--shoot", "--guide-friction", "-1 g"), "--guide-friction: "),
    ],
)
def test_what_is_wrong_with_shooting_is_said(
    capsys: Capture, options: tuple[str, ...], words: str
) -> None:
    assert run(["turnover", CSV, *SPEED, *options], SCREEN) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.count("\n") == 1
    assert words in captured.err
