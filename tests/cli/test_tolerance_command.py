"""``taperlab tolerance``: what each ± does to a head, from a terminal."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from taperlab import shipped
from taperlab.cli import Screen, run
from taperlab.files.native import read_bench, write_bench
from taperlab.model.line import line_of
from taperlab.model.segment import Part, Segment
from tests.cli.test_command_line import no_drawing, no_sheet, no_window

BENCH = str(shipped.sample("scandi.taperlab"))
LINE = str(shipped.sample("scandi.csv"))
SCREEN = Screen(no_window, no_drawing, no_sheet, no_sheet)
Capture = pytest.CaptureFixture[str]


def told(capsys: Capture, *arguments: str) -> dict:
    assert run(["tolerance", *arguments, "--json"], SCREEN) == 0
    return json.loads(capsys.readouterr().out)


def test_json_has_the_keys_that_scripts_rely_on(capsys):
    found = told(capsys, LINE, "--window", "460gr", "490gr")
    assert found["schema"] == 1
    for key in ("weight_pm_gr", "balance_pm_ft", "sink_pm_ips"):
        assert found[key] > 0.0
    assert {"what", "pm_gr", "gr_per_step"} <= set(found["rows"][0])
    sizes = [row["pm_gr"] for row in found["rows"]]
    assert sizes == sorted(sizes, reverse=True)
    assert 0.0 < found["in_window"] < 1.0
    assert found["shrink_for_95"] == 1.0


def test_what_a_thousandth_costs(capsys):
    """The belly and every diameter of this head, by hand: K r (1/3 and sums) at 0.001 in."""
    found = told(capsys, LINE)
    belly = next(row for row in found["rows"] if row["what"] == "Diameter, belly")
    assert belly["gr_per_step"] == pytest.approx(5.4, abs=0.05)
    assert found["every_diameter_gr_per_step"] == pytest.approx(11.5, abs=0.05)


def test_without_a_window_no_builds_are_told(capsys):
    found = told(capsys, LINE)
    assert found["in_window"] is None
    assert found["shrink_for_95"] is None


def test_a_design_beside_the_window_cannot_be_worked_closer(capsys):
    found = told(capsys, LINE, "--window", "500gr", "540gr")
    assert found["in_window"] < 0.01
    assert found["shrink_for_95"] is None
    assert any("too light" in each for each in found["remarks"])


def test_what_is_typed_takes_the_place_of_what_is_read(capsys):
    found = told(
        capsys,
        LINE,
        *("--length-pm", "1/4 in", "--diameter-pm", "0.002 in"),
        *("--offset-pm", "0.001 in", "--density-pm", "0.02 g/cm^3"),
    )
    off = {row["kind"]: row["off"] for row in found["rows"]}
    assert off == {
        "length": 0.25,
        "diameter": 0.002,
        "all diameters one way": 0.001,
        "density": 0.02,
    }


def test_a_density_weighed_on_a_piece_takes_most_of_the_offset_away(capsys):
    bare, weighed = (
        next(r for r in told(capsys, LINE, *more)["rows"] if r["kind"] == "all diameters one way")
        for more in ((), ("--weighed-piece", "10 ft"))
    )
    assert weighed["pm_gr"] < 0.15 * bare["pm_gr"]


def test_steps_of_the_instruments(capsys):
    fine, coarse = (
        told(capsys, LINE, "--tape-step", step, "--scale-step", scale)
        for step, scale in (("1/16 in", "0.1 gr"), ("1 in", "2 gr"))
    )
    assert fine["weighed"]["weight_pm_gr"] == pytest.approx(0.0577, abs=0.001)
    assert coarse["weighed"]["weight_pm_gr"] == pytest.approx(1.15, abs=0.01)
    lengths = [row["pm_gr"] for row in coarse["rows"] if row["kind"] == "length"]
    assert max(lengths) > 1.0


def test_the_window_of_a_bench_is_that_of_its_rod(capsys):
    assert told(capsys, BENCH)["in_window"] == pytest.approx(1.0, abs=0.01)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--length-pm", "two"), "--length-pm"),
        (("--density-pm", "-1"), "--density-pm"),
        (("--weighed-piece", "0"), "--weighed-piece"),
        (("--tape-step", "0"), "--tape-step"),
        (("--window", "500gr", "400gr"), "lightest head first"),
        (("--line", "Nobody"), "--line"),
    ],
)
def test_what_cannot_be_read_is_said_in_one_line(capsys, arguments, said):
    assert run(["tolerance", BENCH, *arguments], SCREEN) == 2
    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1


def test_a_line_without_a_head_has_no_answer(tmp_path: Path, capsys):
    file = tmp_path / "running.taperlab"
    bench = read_bench(Path(BENCH))
    line = line_of("r", "Running", (Segment(Part.RUNNING_LINE, 20.0, 0.001, 0.001, 900.0),))
    write_bench(replace(bench, lines=(line,), view=replace(bench.view, line="r")), file)
    assert run(["tolerance", str(file)], SCREEN) == 3
    assert "no head" in capsys.readouterr().err


def test_for_reading_in_both_systems(capsys):
    assert run(["tolerance", BENCH], SCREEN) == 0
    us = capsys.readouterr().out
    assert "0.001 in on the belly is" in us
    assert "Of 100 builds" in us
    assert run(["tolerance", BENCH, "--units", "metric"], SCREEN) == 0
    assert "0.01 mm on the belly is" in capsys.readouterr().out
