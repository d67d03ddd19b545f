"""The command line: what it prints, how it refuses, and that it stays light."""

import io
import json
import os
import re
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

from taperlab import shipped
from taperlab.cli import Looks, Screen
from taperlab.cli import run as run_on
from taperlab.files.native import read_bench
from taperlab.files.problem import FileProblem
from taperlab.model.bench import Bench
from tests.tables import read_line

BENCH, CSV = str(shipped.sample("scandi.taperlab")), str(shipped.sample("scandi.csv"))
Capture = pytest.CaptureFixture[str]


def no_window(*_: object) -> int:
    raise AssertionError("nothing here opens a window")


def no_drawing(*_: object) -> None:
    raise AssertionError("nothing here draws")


def no_sheet(*_: object) -> None:
    raise AssertionError("a sheet was not asked for")


def run(
    arguments: Sequence[str],
    screen: Screen = Screen(no_window, no_drawing, no_sheet, no_sheet),  # noqa: B008
) -> int:
    return run_on(arguments, screen)


def refused(capsys: Capture, *arguments: str) -> str:
    assert run(arguments) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.startswith("taperlab: ")
    assert captured.err.count("\n") == 1
    assert captured.err.endswith("\n")
    return captured.err


def printed(capsys: Capture, *arguments: str) -> str:
    assert run(arguments) == 0
    captured = capsys.readouterr()
    assert captured.err == ""
    return captured.out


def test_report_of_a_bench_and_of_its_csv(capsys: Capture) -> None:
    text = printed(capsys, "report", BENCH)
    assert text.startswith("Scandi head, 37 ft (Scandi)")
    assert "Mill pool" in text
    assert printed(capsys, "report", CSV).startswith("scandi (other)")
    assert " m, " in printed(capsys, "report", BENCH, "--units", "metric")


def test_report_as_json(capsys: Capture) -> None:
    found = json.loads(printed(capsys, "report", BENCH, "--json"))
    assert found["line"]["name"] == "Scandi head, 37 ft"
    assert found["rod"]["in_window"] is True
    assert found["sink"]["water"]["temperature_c"] == pytest.approx(10.0)
    other = json.loads(
        printed(
            capsys,
            "report",
            BENCH,
            "--json",
            "--line=Scandi head, uncut, 41 ft",
            "--rod-length",
            "4.11 m",
            "--window",
            "30 g",
            "480",
            "--water=sea",
            "--temperature=-1 degC",
        )
    )
    assert other["line"]["length_ft"] == pytest.approx(41.0)
    assert other["rod"]["name"] is None
    assert other["rod"]["length_ft"] == pytest.approx(4.11 / 0.3048)
    assert other["rod"]["window_gr"] == pytest.approx([30 / 0.06479891, 480.0])
    assert other["rod"]["in_window"] is False
    assert other["sink"]["water"]["kind"] == "sea"
    assert other["sink"]["water"]["temperature_c"] == pytest.approx(-1.0)


def test_the_water_is_fresh_and_ten_degrees_whatever_the_bench_says(capsys: Capture) -> None:
    found = json.loads(printed(capsys, "report", str(shipped.sample("skagit.taperlab")), "--json"))
    assert found["sink"]["water"]["temperature_c"] == pytest.approx(10.0)


def test_a_rod_of_the_bench_or_a_starter_rod(capsys: Capture) -> None:
    for name in ("Long pool 13 ft 6 in, 7/8", "rod-long-pool", "Weir 15 ft, 10"):
        found = json.loads(printed(capsys, "report", BENCH, "--json", "--rod", name))
        assert found["rod"]["in_window"] is False
    assert json.loads(printed(capsys, "report", CSV, "--json"))["rod"] is None


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["report"], "the following arguments are required: FILE"),
        (["report", "none.csv"], "none.csv is not there"),
        (["report", BENCH, "--line", "x"], "--line: found “x”"),
        (["report", BENCH, "--rod", "x"], "expected one of “Ford 11 ft switch, 7”"),
        (["report", BENCH, "--rod-length", "x"], "--rod-length: “x” does not start with a number"),
        (["report", BENCH, "--rod-length", "40 ft"], "is too long for a fly rod"),
        (["report", BENCH, "--rod-length", "13", "--rod", "x"], "not allowed with"),
        (["report", BENCH, "--window", "500", "400"], "expected the lightest head first"),
        (["report", BENCH, "--window", "500"], "--window: expected 2 arguments"),
        (["report", BENCH, "--temperature", ""], "--temperature: Nothing was typed"),
        (["report", BENCH, "--rod-length", ""], "--rod-length: Nothing was typed"),
        (["report", BENCH, "--water", "brackish"], "invalid choice: 'brackish'"),
        (["report", BENCH, "--temperature", "90 degC"], "--temperature: “90 degC” is warmer"),
        (["report", BENCH, "--temperature=-1 degC"], "fresh water below 0 °C is ice"),
        (["report", BENCH, "--jso"], "unrecognized arguments: --jso"),
        (["convert", BENCH], "the following arguments are required: OUT"),
        (["convert", BENCH, "x.txt"], "expected a name that ends in .taperlab, .csv or .tsv"),
        (["convert", BENCH, "x.taperlab", "--line", "a"], "a bench keeps all lines"),
        (["picture", BENCH], "the following arguments are required: OUT"),
        (["a", "b"], "unrecognized arguments: b"),
    ],
)
def test_refusals(
    capsys: Capture,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    arguments: list[str],
    words: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    assert words in refused(capsys, *arguments)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty"),
        (b"\x89PNG\0", "found the byte 89, expected UTF-8 text"),
        (b"one,two\n1,2\n", "is neither a Taperlab bench nor a line as CSV"),
        (b'{"format": "taperlab bench", "version": 9}', "written by a newer Taperlab (format 9"),
        (b'{"format": "taperlab bench", "version": 1, "lines": []}', "has no lines"),
        (
            b"part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3]\n"
            b"belly,abc,.06,.06,.85\n",
            "bad.csv, row 2, column “length [ft]”: “abc”",
        ),
    ],
)
def test_bad_files_name_the_place_and_leave_nothing_half_written(
    capsys: Capture, tmp_path: Path, content: bytes, words: str
) -> None:
    path, target = tmp_path / "bad.csv", tmp_path / "out.csv"
    path.write_bytes(content)
    target.write_bytes(b"old")
    assert words in refused(capsys, "report", str(path))
    assert words in refused(capsys, "convert", str(path), str(target))
    assert target.read_bytes() == b"old"
    assert len(list(tmp_path.iterdir())) == 2


def test_convert_there_and_back(capsys: Capture, tmp_path: Path) -> None:
    csv, back, tsv = tmp_path / "a.csv", tmp_path / "a.taperlab", tmp_path / "a.tsv"
    assert run(["convert", BENCH, str(csv)]) == 0
    remarks = capsys.readouterr().err
    assert "wrote the current line, Scandi head, 37 ft" in remarks
    assert "is without its loops" in remarks
    assert csv.read_bytes() == shipped.sample("scandi.csv").read_bytes()
    printed(capsys, "convert", str(csv), str(back))
    (line,) = read_bench(back).lines
    assert line == read_line(csv)
    printed(capsys, "convert", str(back), str(tsv), "--units", "metric")
    assert "length [m]\t" in tsv.read_text(encoding="utf-8")
    assert read_line(tsv).segments == line.segments
    assert run(["convert", BENCH, str(csv), "--line", "line-2"]) == 0
    assert "wrote" not in capsys.readouterr().err
    assert len(read_line(csv).segments) == 5


def test_convert_into_no_folder(capsys: Capture, tmp_path: Path) -> None:
    assert "is not there" in refused(capsys, "convert", CSV, str(tmp_path / "x" / "a.csv"))


@pytest.mark.parametrize("command", [[], ["report"], ["convert"], ["picture"]])
def test_help(capsys: Capture, command: list[str]) -> None:
    assert printed(capsys, *command, "--help").startswith("usage: taperlab")


def test_version(capsys: Capture) -> None:
    assert printed(capsys, "--version").startswith("Taperlab ")


def test_a_file_opens_in_the_window_and_a_wrong_word_does_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    opened: list[Path | None] = []

    def open_window(path: Path | None, _looks: Looks) -> int:
        opened.append(path)
        return 7

    monkeypatch.chdir(tmp_path)
    Path("report").write_text("a file named like a command", encoding="utf-8")
    screen = Screen(open_window, no_drawing, no_sheet, no_sheet)
    for arguments in ([], [BENCH], ["./report"]):
        assert run(arguments, screen) == 7
    assert opened == [None, Path(BENCH), Path("./report")]
    assert run(["frob"], screen) == 2
    assert "frob is neither a file nor a command" in capsys.readouterr().err
    assert len(opened) == 3


def test_picture_is_asked_of_the_window(capsys: Capture) -> None:
    drawn: list[tuple[Path, Path, str | None]] = []

    def draw(_bench: Bench, source: Path, target: Path, looks: Looks) -> None:
        drawn.append((source, target, looks.page))

    screen = Screen(no_window, draw, no_sheet, no_sheet)
    assert run(["picture", BENCH, "a.svg"], screen) == 0
    assert run(["picture", BENCH, "a.svg", "--page", "shape"], screen) == 0
    assert drawn == [(Path(BENCH), Path("a.svg"), page) for page in (None, "shape")]

    def fail(*_: object) -> None:
        raise FileProblem("There is no such page.")

    assert run(["picture", BENCH, "a.svg"], Screen(no_window, fail, no_sheet, no_sheet)) == 2
    assert capsys.readouterr().err == "taperlab: There is no such page.\n"


class Closed(io.StringIO):
    def write(self, text: str) -> int:
        raise BrokenPipeError


def test_sheet_hands_its_files_on() -> None:
    written: list[tuple[Path, Path]] = []

    def sheet(_bench: Bench, source: Path, target: Path, _looks: Looks) -> None:
        written.append((source, target))

    screen = Screen(no_window, no_drawing, sheet, no_sheet)
    assert run(["sheet", BENCH, "a.pdf"], screen) == 0
    assert written == [(Path(BENCH), Path("a.pdf"))]


@pytest.mark.parametrize("command", ["sheet", "picture"])
def test_sheet_and_picture_take_a_rig_and_lines_looped_on_the_spot(
    capsys: Capture, tmp_path: Path, command: str
) -> None:
    shown: list[Bench] = []

    def show(bench: Bench, *_: object) -> None:
        shown.append(bench)

    screen = Screen(no_window, show, show, no_sheet)
    file, tip, body = str(shipped.sample("rigs.taperlab")), "Tip, 10 ft of 8", "Skagit body, 23 ft"
    table = tmp_path / "Cheater.csv"
    table.write_text(
        "part,length [ft],front diameter [in],rear diameter [in],density [g/cm3]\n"
        "extension,5,0.085,0.08,0.87\n",
        encoding="utf-8",
    )
    for options in (
        ["--rig", "12 ft of 14 on the body"],
        ["--ahead", tip],
        ["--line", body, "--ahead", tip, "--behind", str(table)],
        ["--line", tip],
    ):
        assert run([command, file, "a.pdf", *options], screen) == 0
    rigs = [bench.current_rig for bench in shown]
    assert [rig and rig.name for rig in rigs] == [
        "12 ft of 14 on the body",
        f"{tip} + {body}",
        f"{tip} + {body} + Cheater",
        None,
    ]
    line = shown[3].current_line
    assert line is not None
    assert line.name == tip
    for options, words in (
        (["--rig", "none"], "--rig: found “none”"),
        (["--ahead", tip, "--ahead", tip], f"--ahead: a rig can’t hold “{tip}” twice"),
        (["--behind", tip, "--behind", body], "--behind: expected one line behind the head"),
        (["--ahead", "gone"], "--ahead: found “gone”"),
    ):
        assert run([command, file, "a.pdf", *options], screen) == 2
        assert words in capsys.readouterr().err
    assert len(shown) == 4


def test_a_reader_who_has_had_enough(monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    monkeypatch.setattr(sys, "stdout", Closed())
    assert run(["report", BENCH]) == 0
    assert capsys.readouterr().err == ""


def test_a_console_that_cannot_show_everything(monkeypatch: pytest.MonkeyPatch) -> None:
    out = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(out, encoding="ascii"))
    assert run(["report", BENCH]) == 0
    # A rising line has a minus sign that ASCII lacks.
    assert re.search(rb"-\d\.\d in/s as one body \(floats\)", out.getvalue())


LIGHT = """
import sys
from taperlab.__main__ import main
sys.argv[1:] = ["report", sys.argv[1], "--json"]
status = main()
# pint looks whether scipy is there, which loads none of its parts.
parts = ("optimize", "special", "stats", "linalg", "integrate", "sparse", "interpolate")
heavy = {"PySide6", "shiboken6", "pyqtgraph", *("scipy." + part for part in parts)}
assert not heavy & set(sys.modules), heavy & set(sys.modules)
sys.exit(status)
"""


def test_a_process_reports_without_window_or_scipy() -> None:
    done = subprocess.run([sys.executable, "-c", LIGHT, BENCH], capture_output=True, check=False)
    assert done.stderr == b""
    assert done.returncode == 0
    assert json.loads(done.stdout)["schema"] == 1


def test_a_process_refuses_in_one_line(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "taperlab", "report", str(tmp_path / "none.csv")],
        capture_output=True,
        check=False,
        env={**os.environ, "PYTHONIOENCODING": "utf-8"},
    )
    assert done.returncode == 2
    assert done.stdout == b""
    assert done.stderr.decode().splitlines() == [
        f"taperlab: {tmp_path / 'none.csv'} is not there; check the name and the folder."
    ]


def test_a_process_whose_reader_goes_away() -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "taperlab", "report", BENCH],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait() == 0
