"""``taperlab room``: how much room behind a head wants."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from taperlab import shipped
from taperlab.cli import Screen, run
from tests.cli.test_command_line import no_drawing, no_sheet, no_window

BENCH = str(shipped.sample("skagit.taperlab"))
CSV = str(shipped.sample("scandi.csv"))
SCREEN = Screen(no_window, no_drawing, no_sheet, no_sheet)
Capture = pytest.CaptureFixture[str]
ROD = ("--rod-length", "13 ft")


def told(capsys: Capture, *arguments: str, status: int = 0) -> dict:
    assert run(["room", *arguments, "--json"], SCREEN) == status
    captured = capsys.readouterr()
    assert bool(captured.err) == bool(status)
    return json.loads(captured.out)


def test_as_json(capsys: Capture) -> None:
    found = told(capsys, CSV, *ROD, "--cast", "touch-and-go", "--room", "12 ft")
    assert set(found) >= {
        *("schema", "line_ft", "round_ft", "pointed_ft", "low_ft", "high_ft", "height_ft", "loop"),
    }
    assert found["schema"] == 1
    assert found["loop"] is True
    assert found["low_ft"] <= found["round_ft"] <= found["pointed_ft"] <= found["high_ft"]
    assert found["height_ft"] == pytest.approx(5.0 + 13.0 * math.cos(math.radians(30.0)))
    assert found["longest_head"]["pointed_ft"] <= found["longest_head"]["round_ft"]


def test_what_is_typed_is_what_is_worked_out(capsys: Capture) -> None:
    """A rod tip at one's feet: half of what the anchor leaves, (31 - 13)/2 ft; by hand."""
    flat = ("--lean", "0", "--hands", "5 ft", "--aside", "0", "--overhang", "1 ft")
    found = told(capsys, CSV, *ROD, *flat, "--peel", "13 ft", "--on-water", "7 ft")
    assert found["line_ft"] == pytest.approx(31.0)
    assert found["height_ft"] == pytest.approx(18.0)
    # sqrt(31^2 - 18^2)/2 - (1 + 13)/2
    assert found["pointed_ft"] == pytest.approx(math.sqrt(31**2 - 18**2) / 2.0 - 7.0)


def test_a_rig_of_a_bench_on_its_rod(capsys: Capture) -> None:
    rig = (BENCH, "--ahead", "Tip, 12 ft of 14", "--leader", "4 ft")
    alone = told(capsys, *rig, "--cast", "touch-and-go")
    anchored = told(capsys, *rig, "--cast", "sustained")
    assert alone["line_ft"] - anchored["line_ft"] == pytest.approx(12.0)
    assert alone["on_water_ft"] == pytest.approx(4.0)


def test_text(capsys: Capture) -> None:
    assert run(["room", CSV, *ROD, "--room", "12 ft"], SCREEN) == 0
    out = capsys.readouterr().out
    assert "with your habits" in out
    assert "takes a head of" in out
    assert "No measurement" in out or "no measurement" in out


def test_no_loop_has_no_answer(capsys: Capture) -> None:
    found = told(capsys, CSV, *ROD, "--on-water", "30 ft", status=3)
    assert (found["loop"], found["round_ft"], found["low_ft"]) == (False, None, None)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ((), "has no chosen rod; expected --rod-length"),
        (("--rod-length", "13 gr"), "--rod-length: "),
        ((*ROD, "--lean", "90"), "--lean: found “90”, expected degrees from 0 to 60"),
        ((*ROD, "--wading", "6 ft"), "--wading: found 6 ft, expected less than"),
        ((*ROD, "--peel", "x"), "--peel: "),
        ((*ROD, "--room", "-3 ft"), "--room: "),
    ],
)
def test_what_is_wrong_is_said(capsys: Capture, options: tuple[str, ...], words: str) -> None:
    assert run(["room", CSV, *options], SCREEN) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.count("\n") == 1
    assert words in captured.err


def test_the_file_is_not_there(capsys: Capture, tmp_path: Path) -> None:
    assert run(["room", str(tmp_path / "gone.csv"), *ROD], SCREEN) == 2
