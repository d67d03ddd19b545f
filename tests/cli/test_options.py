"""Options that commands share, standard input, plain consoles, completion and the man page."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from pathlib import Path

import pytest

from taperlab import shipped
from taperlab.__main__ import screen
from taperlab.cli import COMMANDS, Looks, Screen, run
from taperlab.gui.pages.catalogue import PAGES
from taperlab.model.bench import Bench
from taperlab.units.kinds import System

BENCH, CSV = str(shipped.sample("scandi.taperlab")), str(shipped.sample("scandi.csv"))
Capture = pytest.CaptureFixture[str]
OPEN = (
    "part;length [mm];front diameter [mm];rear diameter [mm];density [kg/m^3]\n"
    "belly;9,144;2;2;870\n"
)


class Shown:
    """A screen that notes what it was asked to show."""

    def __init__(self) -> None:
        self.looks: list[Looks] = []
        self.lines: list[str | None] = []
        self.screen = Screen(self.window, self.draw, self.draw, self.window, screen().pages)

    def window(self, *asked: object) -> int:
        self.looks.append(asked[-1])  # type: ignore[arg-type]
        return 0

    def draw(self, bench: Bench, _source: Path, _target: Path, looks: Looks) -> None:
        self.looks.append(looks)
        self.lines.append(bench.current_line.name if bench.current_line else None)


@pytest.fixture
def shown() -> Shown:
    return Shown()


def standard_input(monkeypatch: pytest.MonkeyPatch, content: bytes) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(content), encoding="utf-8"))


UNCUT = "Scandi head, uncut, 41 ft"


def test_a_picture_shows_what_was_asked_for(shown: Shown) -> None:
    options = ["--page", "cut", "--line", UNCUT, "--theme", "dark", "--scale", "2"]
    assert run(["picture", BENCH, "a.png", *options, "--units", "metric"], shown.screen) == 0
    assert shown.looks == [Looks(page="cut", units=System.METRIC, theme="dark", scale=2.0)]
    assert shown.lines == [UNCUT]


def test_a_sheet_takes_line_units_and_paper(shown: Shown) -> None:
    options = ["--line", UNCUT, "--paper", "a4"]
    assert run(["sheet", BENCH, "a.pdf", *options], shown.screen) == 0
    assert shown.looks == [Looks(units=System.US, paper="a4")]
    assert shown.lines == [UNCUT]


def test_the_window_takes_line_page_units_and_theme(shown: Shown) -> None:
    options = ["--line", UNCUT, "--page", "cut", "--units", "metric", "--theme", "dark"]
    assert run([BENCH, *options], shown.screen) == 0
    assert shown.looks == [Looks("cut", UNCUT, System.METRIC, "dark")]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["picture", BENCH, "a.png", "--page", "none"], "invalid choice: 'none'"),
        (["picture", BENCH, "a.png", "--scale", "90"], "--scale: found 90.0, expected a number"),
        (["picture", BENCH, "a.png", "--scale", "nan"], "--scale: found nan"),
        (["picture", BENCH, "a.png", "--line", "x"], "--line: found “x”"),
        (["sheet", BENCH, "a.pdf", "--paper", "a3"], "invalid choice: 'a3'"),
        ([BENCH, "--page", "none"], "There is no page “none”; the pages are shape, "),
    ],
)
def test_what_cannot_be_shown_is_refused(
    capsys: Capture, shown: Shown, arguments: list[str], words: str
) -> None:
    assert run(arguments, shown.screen) == 2
    assert words in capsys.readouterr().err
    assert shown.looks == []


def test_the_help_of_a_picture_names_the_pages(capsys: Capture, shown: Shown) -> None:
    assert run(["picture", "--help"], shown.screen) == 0
    pages = ", ".join(entry.key for entry in PAGES)
    assert f"one of {pages}; else the first" in " ".join(capsys.readouterr().out.split())


def test_the_help_of_the_window_names_the_pages_too(capsys: Capture, shown: Shown) -> None:
    assert run(["--help"], shown.screen) == 0
    pages = ", ".join(entry.key for entry in PAGES)
    assert f"which page to show: {pages}" in " ".join(capsys.readouterr().out.split())


def test_help_is_given_where_qt_is_not(capsys: Capture) -> None:
    def no_qt() -> tuple[str, ...]:
        raise ImportError("libEGL.so.1")

    def nothing(*_: object) -> int:
        return 0

    screen = Screen(nothing, nothing, nothing, nothing, no_qt)
    for command in ([], ["picture"]):
        assert run([*command, "--help"], screen) == 0
        assert "--page NAME" in capsys.readouterr().out


def test_the_version_by_its_letter(capsys: Capture, shown: Shown) -> None:
    assert run(["-V"], shown.screen) == 0
    assert capsys.readouterr().out.startswith("Taperlab ")


# -- what is read -----------------------------------------------------------------------------


@pytest.mark.parametrize(("mark", "feet"), [("comma", 0.03), ("point", 30.0)])
def test_a_person_says_what_the_comma_is(
    capsys: Capture, shown: Shown, tmp_path: Path, mark: str, feet: float
) -> None:
    path = tmp_path / "open.csv"
    path.write_text(OPEN, encoding="utf-8")
    assert run(["report", str(path)], shown.screen) == 2
    said = capsys.readouterr().err
    assert "open.csv, row 2, column “length [mm]”: found “9,144”, which could mean" in said
    assert run(["report", str(path), "--decimal", mark, "--json"], shown.screen) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["line"]["length_ft"] == pytest.approx(feet)


@pytest.mark.parametrize("file", [BENCH, CSV])
def test_a_hyphen_reads_the_standard_input(
    capsys: Capture, shown: Shown, monkeypatch: pytest.MonkeyPatch, file: str
) -> None:
    assert run(["report", file, "--json"], shown.screen) == 0
    wanted = json.loads(capsys.readouterr().out)
    standard_input(monkeypatch, Path(file).read_bytes())
    assert run(["report", "-", "--json"], shown.screen) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["segments"] == wanted["segments"]


def test_standard_input_is_named_where_it_is_wrong(
    capsys: Capture, shown: Shown, monkeypatch: pytest.MonkeyPatch
) -> None:
    for content, words in (
        (b"", "standard input is empty"),
        (OPEN.encode(), "standard input, row"),
    ):
        standard_input(monkeypatch, content)
        assert run(["report", "-"], shown.screen) == 2
        assert words in capsys.readouterr().err


def test_stations_are_read_from_the_standard_input(
    capsys: Capture, shown: Shown, monkeypatch: pytest.MonkeyPatch
) -> None:
    stations = shipped.sample("measured_head_stations.csv").read_bytes()
    standard_input(monkeypatch, stations)
    options = ["--length", "36 ft", "--weight", "480 gr", "--json"]
    assert run(["measure", "-", *options], shown.screen) == 0
    assert json.loads(capsys.readouterr().out)["total"]["length_ft"] == pytest.approx(36.0)


# -- what is printed --------------------------------------------------------------------------


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp1252", "cp437"])
def test_a_console_that_lacks_our_letters_gets_the_like(
    monkeypatch: pytest.MonkeyPatch, shown: Shown, encoding: str
) -> None:
    out = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(out, encoding=encoding))
    assert run(["report", CSV], shown.screen) == 0
    text = out.getvalue().decode(encoding)
    assert "-2.2 in/s as one body" in text
    assert "?" not in text


def test_letters_without_a_like_are_question_marks(monkeypatch: pytest.MonkeyPatch) -> None:
    from taperlab.cli import plain

    assert "−½ é “Ø” 鱒 …".encode("ascii", plain.ERRORS) == b'-1/2 e "?" ? ...'


# -- completion and the man page ----------------------------------------------------------------


def test_completion_knows_every_command_and_its_options(capsys: Capture, shown: Shown) -> None:
    for shell in ("bash", "zsh", "tcsh"):
        assert run(["--completion", shell], shown.screen) == 0
        made = capsys.readouterr().out
        for word in (*COMMANDS, "loop-fold", "temperature"):
            assert word in made


def test_completion_completes_in_bash(capsys: Capture, shown: Shown, tmp_path: Path) -> None:
    assert run(["--completion", "bash"], shown.screen) == 0
    script = tmp_path / "taperlab.bash"
    script.write_text(capsys.readouterr().out, encoding="utf-8")

    def completed(*typed: str) -> set[str]:
        words = " ".join(f"'{each}'" for each in ("taperlab", *typed))
        done = subprocess.run(
            [
                "bash",
                "-c",
                f"source '{script}'; COMP_WORDS=({words}); COMP_CWORD={len(typed)}; "
                '_shtab_taperlab; printf "%s\\n" "${COMPREPLY[@]}"',
            ],
            capture_output=True,
            text=True,
            check=True,
        )
        return set(done.stdout.split())

    assert {"report", "measure"} <= completed("")
    assert completed("rep") == {"report"}
    assert completed("cut", "--loop-f") == {"--loop-fold"}
    assert completed("cut", "--from", "") == {"rear", "front", "both"}


def test_completion_without_its_package_is_refused(
    capsys: Capture, shown: Shown, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "shtab", None)
    assert run(["--completion", "bash"], shown.screen) == 2
    assert "needs the package shtab" in capsys.readouterr().err


def test_the_man_page_tells_every_option_of_every_command(capsys: Capture, shown: Shown) -> None:
    assert run(["--manual"], shown.screen) == 0
    page = capsys.readouterr().out
    assert page.startswith(".TH TAPERLAB 1")
    for command in COMMANDS:
        assert f".SS {command}\n" in page
        assert run([command, "--help"], shown.screen) == 0
        told = capsys.readouterr().out
        for option in {each.strip(",") for each in told.split() if each.startswith("--")}:
            assert option.strip("[]").replace("-", r"\-") in page
    # Whatever begins with a point is a request to roff: only ours do.
    requests = {line.split()[0] for line in page.splitlines() if line.startswith((".", "'"))}
    assert requests <= {".TH", ".SH", ".SS", ".TP", ".PP"}
