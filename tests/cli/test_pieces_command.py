"""``taperlab pieces``: designs in, pieces and a cutting plan out."""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from taperlab import shipped
from taperlab.cli import Screen, run
from taperlab.edits.pieces import set_rules
from taperlab.edits.stock import add_stock
from taperlab.files.native import read_bench, write_bench
from taperlab.files.opening import read_any
from taperlab.files.shelf import read_shelf
from taperlab.model.bench import Bench
from taperlab.model.exact_units import INCH
from taperlab.model.line import Joint, JointKind, Line
from taperlab.model.pieces import Rules
from taperlab.model.segment import Core, Part, Segment
from taperlab.model.stock import Stock
from tests.cli.test_command_line import no_drawing, no_sheet, no_window

SCREEN = Screen(no_window, no_drawing, no_sheet, no_sheet)
Capture = pytest.CaptureFixture[str]

DESIGN = """part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3]
tip,5,0.066,0.066,0.867
belly,10,0.0823,0.0823,0.867
"""
TAPERED = """part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3]
front taper,6,0.066,0.0823,0.867
"""
STOCK = """name,kind,length [ft],front diameter [in],rear diameter [in],density [g/cm^3],leftover
Nine,nine,30,0.066,0.066,0.867,no
Fourteen,fourteen,40,0.0823,0.0823,0.867,no
End,fourteen,10.5,0.0823,0.0823,0.867,yes
Old,,4,0.05,0.066,0.867,no
Old,,6,0.066,0.0823,0.867,
"""


@pytest.fixture
def files(tmp_path: Path) -> tuple[str, str]:
    design, stock = tmp_path / "design.csv", tmp_path / "stock.csv"
    design.write_text(DESIGN, encoding="utf-8")
    stock.write_text(STOCK, encoding="utf-8")
    return str(design), str(stock)


def told(capsys: Capture, *arguments: str, status: int = 0) -> dict:
    assert run(["pieces", *arguments, "--json"], SCREEN) == status
    captured = capsys.readouterr()
    assert bool(captured.err) == bool(status)
    return json.loads(captured.out)


def refused(capsys: Capture, *arguments: str, status: int = 2) -> str:
    assert run(["pieces", *arguments], SCREEN) == status
    captured = capsys.readouterr()
    assert captured.err.count("\n") == 1
    return captured.err


def test_pieces_as_json(capsys: Capture, files: tuple[str, str]) -> None:
    design, stock = files
    found = told(capsys, design, "--stock", stock, "--overlap", "1.5 in", "--fold", "2 in")
    assert found["schema"] == 1
    tip, belly = found["pieces"]
    assert (tip["line"], tip["segment"], tip["stock"]) == ("design", 1, "Nine")
    for number, each in enumerate((tip, belly), start=1):
        rows = each["segment"], each["last_segment"], each["step"], each["steps"]
        assert rows == (number, number, 1, 1)
    # Half an overlap at the joint, and a fold at the end.
    assert tip["cut_length_ft"] == pytest.approx(5 + 0.75 / 12 + 2 / 12)
    assert tip["finished_length_ft"] == pytest.approx(5)
    assert belly["stock"] == "End"
    assert belly["cut_length_ft"] == pytest.approx(10 + 2.75 / 12)
    assert belly["fit"] == "good"
    assert belly["worst_gr_per_ft"] == pytest.approx(0.0, abs=1e-9)
    per_foot = 2383.4419 * 0.867 * 0.0823**2
    assert belly["weight_gr"] == pytest.approx(per_foot * (10 + 2 / 12), rel=1e-6)
    assert belly["weigh_before_bevel_gr"] == pytest.approx(per_foot * (10 + 2.75 / 12), rel=1e-6)
    assert found["short"] == []
    assert found["proved"] is True
    assert found["gap_ft"] == 0.0
    plan = {each["stock"]: each for each in found["plan"]}
    assert plan["End"]["cuts"] == pytest.approx([belly["cut_length_ft"]])
    assert plan["End"]["left_ft"] == pytest.approx(10.5 - 10 - 2.75 / 12)
    first, last = found["checkpoints"]
    nine = 2383.4419 * 0.867 * 0.066**2
    assert first["weight_gr"] == pytest.approx(nine * (5 + 2 / 12 + 0.75 / 12), rel=1e-6)
    assert last["after_piece"] == 2
    assert last["weight_gr"] == pytest.approx(tip["weight_gr"] + belly["weight_gr"], rel=1e-6)
    assert last["adds_pm_gr"] <= last["pm_gr"]
    assert first["trim_in_per_gr"] == pytest.approx(12 / per_foot, rel=1e-6)
    assert last["trim_in_per_gr"] is None


def test_a_taper_comes_from_a_tapered_line(
    capsys: Capture, files: tuple[str, str], tmp_path: Path
) -> None:
    taper = tmp_path / "taper.csv"
    taper.write_text(TAPERED, encoding="utf-8")
    found = told(capsys, str(taper), "--stock", files[1])
    (piece,) = found["pieces"]
    assert (piece["stock"], piece["reversed"]) == ("Old", False)
    assert piece["from_ft"] == pytest.approx(4.0, abs=0.01)
    assert piece["fit"] == "good"


@pytest.mark.parametrize("keep", ["weight", "length"])
def test_both_ways_to_keep(capsys: Capture, files: tuple[str, str], keep: str) -> None:
    text = Path(files[1]).read_text(encoding="utf-8").replace("0.867", "0.884")
    Path(files[1]).write_text(text, encoding="utf-8")
    found = told(capsys, files[0], "--stock", files[1], "--keep", keep)
    belly = found["pieces"][1]
    lengths = {"weight": 10 * 0.867 / 0.884, "length": 10.0}
    assert belly["finished_length_ft"] == pytest.approx(lengths[keep])


def test_short_stock_ends_with_three_and_what_is_known(
    capsys: Capture, files: tuple[str, str]
) -> None:
    design, stock = files
    found = told(capsys, design, design, "--count", "3", "--stock", stock, status=3)
    (short,) = found["short"]
    assert short["kind"] == "fourteen"
    assert short["uncut_ft"] == pytest.approx([10.0])
    assert len(found["pieces"]) == 11
    said = refused(capsys, design, "--count", "6", "--stock", stock, status=3)
    assert "fourteen: 10 ft is missing, in a piece of at least 10 ft" in said


def test_steps_keep_to_what_is_asked(capsys: Capture, tmp_path: Path) -> None:
    taper, stock = tmp_path / "taper.csv", tmp_path / "stock.csv"
    taper.write_text(TAPERED, encoding="utf-8")
    rows = [
        f"S{i},,20,{d},{d},0.867,no" for i, d in enumerate((0.066, 0.0695, 0.073, 0.0765, 0.08))
    ]
    head = STOCK.splitlines()[0]
    stock.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    found = told(capsys, str(taper), "--stock", str(stock), "--least", "9 in")
    assert [each["step"] for each in found["pieces"]] == [
        i + 1 for i in range(found["pieces"][0]["steps"])
    ]
    assert all(each["cut_length_ft"] >= 0.75 for each in found["pieces"])
    assert all(each["worst_gr_per_ft"] <= 1.51 for each in found["pieces"])
    finer = told(capsys, str(taper), "--stock", str(stock), "--tolerance", "0.9")
    assert finer["pieces"][0]["steps"] >= found["pieces"][0]["steps"]
    none = told(capsys, str(taper), "--stock", str(stock), "--tolerance", "0.2", status=3)
    assert "is missing" in none["short"][0]["why"]
    close = told(capsys, str(taper), "--stock", str(stock), "--most-step", "1.12")
    weights = [each["weight_gr"] / each["finished_length_ft"] for each in close["pieces"]]
    for one, other in pairwise(weights):
        assert max(one / other, other / one) <= 1.1201


def test_the_head_is_built_without_its_running_line(
    capsys: Capture, files: tuple[str, str], tmp_path: Path
) -> None:
    design, stock = files
    whole = tmp_path / "whole.csv"
    whole.write_text(DESIGN + "running line,100,0.035,0.035,0.867\n", encoding="utf-8")
    asked = ("--stock", stock, "--overlap", "1.5 in", "--fold", "2 in")
    found, alone = told(capsys, str(whole), *asked), told(capsys, design, *asked)
    for name in ("plan", "short", "proved"):
        assert found[name] == alone[name]
    for name in ("pieces", "checkpoints"):
        told_of = [{**each, "line": "design"} for each in found[name]]
        assert told_of == alone[name]
    assert found["left_out"] == [{"line": "whole", "segment": 3, "part": "running line"}]
    assert alone["left_out"] == []
    assert run(["pieces", str(whole), *asked], SCREEN) == 0
    assert "The running line of whole is not cut" in capsys.readouterr().out


def test_heads_of_one_name_are_told_apart(
    capsys: Capture, files: tuple[str, str], tmp_path: Path
) -> None:
    design, stock = files
    twice = told(capsys, design, design, "--stock", stock)["checkpoints"]
    assert {each["line"] for each in twice} == {"design (1)", "design (2)"}
    (tmp_path / "more").mkdir()
    other = tmp_path / "more" / "design.csv"
    other.write_text(DESIGN.replace("belly,10", "belly,9"), encoding="utf-8")
    found = told(capsys, design, str(other), "--stock", stock)
    assert [each["line"] for each in found["checkpoints"]] == [
        f"design, {each}" for each in (design, design, other, other)
    ]


def test_why_nothing_is_cut_is_what_is_in_the_way(capsys: Capture, tmp_path: Path) -> None:
    design, stock, head = tmp_path / "one.csv", tmp_path / "few.csv", DESIGN.splitlines()[0]
    design.write_text(f"{head}\nsink tip,10,0.05,0.05,2.0\n", encoding="utf-8")
    # It floats, and weighs about as much per foot as what sinks.
    stock.write_text("\n".join(STOCK.splitlines()[:2]).replace("0.066", "0.076"), encoding="utf-8")
    said = refused(capsys, str(design), "--stock", str(stock), status=3)
    assert "No stock floats, or sinks, about as it does." in said
    # Less than five inches from 9 to 14 gr/ft, of spools of 9 and 14.
    design.write_text(f"{head}\ntip,0.4,0.066,0.0823,0.867\n", encoding="utf-8")
    stock.write_text("\n".join(STOCK.splitlines()[:3]), encoding="utf-8")
    asked = (str(design), "--stock", str(stock), "--tolerance", "3")
    said = refused(capsys, *asked, status=3)
    assert "would be shorter than 6 in, the shortest piece that is asked for" in said
    assert len(told(capsys, *asked, "--least", "2 in")["pieces"]) == 2


def test_a_taper_shorter_than_the_shortest_piece_may_be_one_level_piece(
    capsys: Capture, tmp_path: Path
) -> None:
    design, stock = tmp_path / "short.csv", tmp_path / "one.csv"
    design.write_text(f"{DESIGN.splitlines()[0]}\ntip,0.3,0.066,0.067,0.867\n", encoding="utf-8")
    spool = "\n".join(STOCK.splitlines()[:2]).replace("0.066", "0.0665")
    stock.write_text(spool, encoding="utf-8")
    (piece,) = told(capsys, str(design), "--stock", str(stock))["pieces"]
    assert piece["cut_length_ft"] == pytest.approx(0.3, abs=1e-3)


def test_a_bare_tolerance_is_grains_a_foot_in_either_system(
    capsys: Capture, tmp_path: Path
) -> None:
    design, stock = tmp_path / "design.csv", tmp_path / "stock.csv"
    design.write_text(DESIGN, encoding="utf-8")
    # 14 gr/ft are wanted; 12.6 lie there.
    thinner = STOCK.replace("0.0823,0.0823", "0.0781,0.0781")
    stock.write_text("".join(thinner.splitlines(keepends=True)[:3]), encoding="utf-8")
    for units in ("us", "metric"):
        asked = (str(design), "--stock", str(stock), "--units", units, "--tolerance")
        assert told(capsys, *asked, "1.45")["pieces"][1]["stock"] == "Fourteen"
        assert told(capsys, *asked, "1.35", status=3)["short"]
        assert told(capsys, *asked, "0.3 g/m")["pieces"][1]["stock"] == "Fourteen"


def test_stock_of_a_bench(capsys: Capture, files: tuple[str, str], tmp_path: Path) -> None:
    bench = read_bench(shipped.sample("scandi.taperlab"))
    bench = add_stock(replace(bench, stock=()), read_shelf(Path(files[1]))).bench
    path = tmp_path / "bench.taperlab"
    write_bench(bench, path)
    as_table = told(capsys, files[0], "--stock", files[1])
    assert told(capsys, files[0], "--stock", str(path)) == as_table


def test_text_to_read(capsys: Capture, files: tuple[str, str]) -> None:
    assert run(["pieces", files[0], "--stock", files[1], "--overlap", "1.5 in"], SCREEN) == 0
    out = capsys.readouterr().out
    assert "Cut 10 ft 3/4 in of End." in out
    assert "not bevelled yet" in out
    assert "Weigh 10 ft of End first" in out
    assert "Cut away from your hand" in out
    assert "Molten coating" in out
    assert run(["pieces", files[0], "--stock", files[1], "--units", "metric"], SCREEN) == 0
    out = capsys.readouterr().out
    assert " m of End." in out
    assert "Cut away from your hand" in out
    # Nothing is welded there.
    assert "Molten coating" not in out


def test_a_core_that_is_spliced_is_hot_work_too(capsys: Capture, tmp_path: Path) -> None:
    core = Core(0.0006, 1140.0)
    row = Segment(Part.TIP, 1.5, 0.0012, 0.0012, 860.0, core)
    joint = Joint(JointKind.SPLICED_CORE, 0.1)
    line = Line("a", "Spliced", segments=(row, row), joints=(joint,))
    stock = Stock(Part.TIP, 9.0, 0.0012, 0.0012, 860.0, core, key="s", name="Cored")
    path = tmp_path / "spliced.taperlab"
    write_bench(Bench((line,), stock=(stock,)), path)
    assert run(["pieces", str(path), "--stock", str(path)], SCREEN) == 0
    assert "Molten coating" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "part"),
    [
        (("--tolerance", "3 ft"), "--tolerance"),
        (("--most-step", "0.5"), "--most-step: found 0.5, expected 1 or more"),
        (("--least", "x"), "--least: “x”"),
        (("--overlap", "20 ft"), "--overlap"),
        (("--overlap", "9 in", "--line", "Nobody"), "Nobody"),
        (("--count", "0"), "--count: found 0"),
        (("--keep", "both"), "--keep"),
    ],
)
def test_bad_input_is_one_line(
    capsys: Capture, files: tuple[str, str], arguments: tuple[str, ...], part: str
) -> None:
    assert part in refused(capsys, files[0], "--stock", files[1], *arguments)


def test_bad_files_are_one_line(capsys: Capture, files: tuple[str, str], tmp_path: Path) -> None:
    design, stock = files
    assert "required: --stock" in refused(capsys, design)
    assert "gone.csv" in refused(capsys, design, "--stock", str(tmp_path / "gone.csv"))
    Path(stock).write_text(STOCK.replace("40,", "x,"), encoding="utf-8")
    said = refused(capsys, design, "--stock", stock)
    assert "row 3, column “length [ft]”: “x”" in said
    Path(design).write_text(DESIGN.replace("tip,5,", "tip,0.05,"), encoding="utf-8")
    Path(stock).write_text(STOCK, encoding="utf-8")
    said = refused(capsys, design, "--stock", stock, "--overlap", "2 in")
    assert "too short for the laps" in said


def test_a_bench_says_how_its_pieces_are_made(
    capsys: Capture, files: tuple[str, str], tmp_path: Path
) -> None:
    design, stock = files
    rules = Rules(overlap=1.5 * INCH, spare=2.0 * INCH)
    write_bench(set_rules(read_any(Path(design)), rules).bench, tmp_path / "bench.taperlab")
    said = told(capsys, str(tmp_path / "bench.taperlab"), "--stock", stock)
    asked = told(capsys, design, "--stock", stock, "--overlap", "1.5 in", "--spare", "2 in")
    lengths = [[each["cut_length_ft"] for each in found["pieces"]] for found in (said, asked)]
    assert lengths[0] == pytest.approx(lengths[1])
    assert lengths[0][0] == pytest.approx(5 + 0.75 / 12 + 2 / 12)
