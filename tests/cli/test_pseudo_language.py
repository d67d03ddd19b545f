"""Every word that a command says comes from the catalogue of the language that is read.

Exceptions: the names that people gave and those of files, options and units, and what is said by
the system and by the standard library's reader of options.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache, reduce
from pathlib import Path

import pytest

from taperlab import shipped
from taperlab.cli import COMMANDS, Screen, run
from taperlab.files.native import read_bench
from taperlab.model.bench import Bench
from taperlab.trade.starters import starter_rods
from tests.contracts.pseudo import OPEN, UNITS, given, outside, reading_pseudo, words

SAMPLES = ("scandi", "skagit", "single_hand", "long_belly", "cut_back", "measured_head")
ARGPARSE = """
    usage options positional arguments show this help message and exit program's version number
    the following arguments are required unrecognized argument expected one invalid choice choose
    from not allowed with or
"""
SPOKEN_OF = ("taperlab", *COMMANDS, "csv", "tsv", "png", "svg")


@pytest.fixture(scope="module", autouse=True)
def pseudo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with reading_pseudo(tmp_path_factory.mktemp("language")):
        yield


def nothing(*_: object) -> int:
    return 0


def said(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    run(arguments, Screen(nothing, nothing, nothing, nothing))
    captured = capsys.readouterr()
    return captured.out + captured.err


@cache
def bench_of(name: str) -> Bench:
    return read_bench(shipped.sample(f"{name}.taperlab"))


def escaped(text: str, *, known: set[str] = frozenset(), files: tuple[str, ...] = ()) -> list[str]:
    """The words of a text that come from no catalogue."""
    for file in sorted(files, key=len, reverse=True):
        text = text.replace(file, " ")
    bare = re.sub(r"\{[\w,.-]*\}|--?[a-z][\w-]*|\b[A-Z][A-Z_]+\b", " ", outside(text))
    fine = known | UNITS | set(SPOKEN_OF)
    return [word for word in words(bare) if word not in fine and word.casefold() not in fine]


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("units", ["us", "metric"])
def test_report(capsys: pytest.CaptureFixture[str], name: str, units: str) -> None:
    file = shipped.sample(f"{name}.taperlab")
    for line in bench_of(name).lines:
        text = said(capsys, "report", str(file), "--units", units, "--line", line.name)
        assert len(text) > 400
        assert escaped(text, known=given(bench_of(name))) == []


@pytest.mark.parametrize(
    "options",
    [("--rod-length", "13ft"), ("--window", "400gr", "500gr"), ("--ahead", "line-2")],
)
def test_report_on_another_rod(
    capsys: pytest.CaptureFixture[str], options: tuple[str, ...]
) -> None:
    file = shipped.sample("scandi.taperlab")
    assert (
        escaped(said(capsys, "report", str(file), *options), known=given(bench_of("scandi"))) == []
    )


@pytest.mark.parametrize(
    ("name", "options"),
    [
        ("scandi", ("--to", "400gr")),
        ("scandi", ("--to", "400gr", "--from", "front")),
        ("scandi", ("--to", "400gr", "--units", "metric", "--scale", "500gr")),
        ("skagit", ("--to", "450gr")),
        ("skagit", ("--to", "450gr", "--ahead", "line-2")),
        ("long_belly", ("--to", "600gr", "--from", "front")),
        ("scandi", ("--to", "9000gr")),
        ("scandi", ("--to", "1gr")),
        ("scandi", ("--to", "400gr", "--scale", "0.1gr")),
    ],
)
def test_cut(capsys: pytest.CaptureFixture[str], name: str, options: tuple[str, ...]) -> None:
    file = shipped.sample(f"{name}.taperlab")
    text = said(capsys, "cut", str(file), *options)
    assert escaped(text, known=given(bench_of(name)), files=(str(file),)) == []


@pytest.mark.parametrize("units", ["us", "metric"])
@pytest.mark.parametrize(
    "options",
    [(), ("--window", "500gr", "540gr"), ("--diameter-pm", "0.003 in"), ("--length-pm", "3 in")],
)
def test_tolerance(
    capsys: pytest.CaptureFixture[str], options: tuple[str, ...], units: str
) -> None:
    for name in ("scandi", "skagit"):
        file = shipped.sample(f"{name}.taperlab")
        text = said(capsys, "tolerance", str(file), *options, "--units", units)
        assert len(text) > 400
        assert escaped(text, known=given(bench_of(name))) == []


@pytest.mark.parametrize(
    "options",
    [
        ("--weights", "from 300 to 560 by 130", "--rods", "13 ft"),
        ("--weights", "20 gr", "30 gr"),
        ("--weights", "480 gr", "--length", "weight", "--shape", "same"),
    ],
)
@pytest.mark.parametrize("units", ["us", "metric"])
def test_range(capsys: pytest.CaptureFixture[str], options: tuple[str, ...], units: str) -> None:
    for name in ("scandi", "skagit"):
        file = shipped.sample(f"{name}.taperlab")
        text = said(capsys, "range", str(file), *options, "--units", units)
        assert len(text) > 60
        assert escaped(text, known=given(bench_of(name)), files=(str(file),)) == []


@pytest.mark.parametrize("units", ["us", "metric"])
def test_measure(capsys: pytest.CaptureFixture[str], units: str) -> None:
    file = shipped.sample("measured_head_stations.csv")
    options = ("--weight", "434 gr", "--length", "36 ft 3 5/8 in", "--at", "10 ft", "--at", "36 ft")
    text = said(capsys, "measure", str(file), *options, "--units", units)
    assert len(text) > 400
    assert escaped(text) == []


def test_the_cautions_of_a_cut_come_from_the_catalogue(
    capsys: pytest.CaptureFixture[str],
) -> None:
    text = said(capsys, "cut", str(shipped.sample("scandi.csv")), "--to", "450")
    assert f"{OPEN}Cut away from your hand" in text
    assert f"{OPEN}Molten" in text or f"{OPEN}PVC" in text or f"{OPEN}Heated PVC" in text


@pytest.mark.parametrize("command", [(), *((each,) for each in COMMANDS)])
def test_help(capsys: pytest.CaptureFixture[str], command: tuple[str, ...]) -> None:
    assert escaped(said(capsys, *command, "--help"), known=set(words(ARGPARSE))) == []


BAD_FILES = {
    "empty.taperlab": "",
    "broken.taperlab": '{"format": ',
    "double.taperlab": '{"format": 1, "format": 1}',
    "nan.taperlab": '{"format": NaN}',
    "digits.taperlab": '{"format": ' + "9" * 3000 + "}",
    "newer.taperlab": '{"taperlab": "bench", "format": 99}',
    "other.taperlab": '{"a": 1}',
    "words.csv": "Nothing to see here\n",
    "short.csv": "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3]\n",
    "odd.csv": "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3]\n"
    "belly,x,0.08,0.08,0.9\n",
    "long.csv": "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3]\n"
    "belly,90000,0.08,0.08,0.9\n",
    "part.csv": "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3]\n"
    "knot,9,0.08,0.08,0.9\n",
    "quote.csv": 'part,length [ft]\n"belly,9\n',
}


@pytest.mark.parametrize("name", BAD_FILES)
def test_files_that_cannot_be_read(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, name: str
) -> None:
    file = tmp_path / name
    file.write_text(BAD_FILES[name])
    text = said(capsys, "report", str(file))
    assert text
    quoted = set(words("Nothing to see here knot format belly length"))
    assert escaped(text, known=quoted | {file.stem}, files=(str(file), name)) == []


@pytest.mark.parametrize(
    "arguments",
    [
        ("report", "nowhere.taperlab"),
        ("report", "FILE", "--line", "xyz"),
        ("report", "FILE", "--rod", "xyz"),
        ("report", "FILE", "--rod-length", "xyz"),
        ("report", "FILE", "--rod-length", "-3 ft"),
        ("report", "FILE", "--window", "500gr", "400gr"),
        ("report", "FILE", "--temperature", "90 degC"),
        ("cut", "FILE", "--to", "five"),
        ("cut", "FILE", "--to", "3 ft"),
        ("convert", "FILE", "out.txt"),
        ("convert", "FILE", "nowhere/out.csv"),
        ("convert", "FILE", "TMP/out.csv"),
        ("convert", "FILE", "TMP/out.taperlab", "--line", "xyz"),
        ("nonsense",),
        ("report",),
        ("report", "FILE", "--units", "old"),
        ("cut", "FILE"),
        ("measure", "FILE"),
        ("measure", "FILE", "--length", "30 ft", "--weight", "500 gr"),
        ("measure", "STATIONS", "--length", "30 ft"),
        ("measure", "STATIONS", "--length", "30 ft", "--weight", "5 gr", "--at", "90 ft"),
    ],
    ids=" ".join,
)
def test_what_is_refused_or_remarked(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, arguments: tuple[str, ...]
) -> None:
    file = shipped.sample("scandi.taperlab")
    stations = shipped.sample("measured_head_stations.csv")
    named = {"FILE": str(file), "TMP": str(tmp_path), "STATIONS": str(stations)}
    filled = [
        reduce(lambda text, name: text.replace(name, named[name]), named, each)
        for each in arguments
    ]
    text = said(capsys, *filled)
    assert text
    names = given(bench_of("scandi")) | set(
        words(f"{ARGPARSE} xyz five old nowhere nonsense out txt")
    )
    names |= {word for rod in starter_rods() for word in words(rod.name)}
    assert escaped(text, known=names, files=(str(file), str(tmp_path))) == []


@pytest.mark.parametrize(
    "options",
    [
        ("--current", "3 ft/s", "--leader", "4 ft", "--drift", "4 s", "--angle", "20"),
        ("--current", "0 ft/s"),
        ("--current", "1 ft/s", "--river-depth", "2 ft"),
        ("--current", "3 ft/s", "--profile", "river"),
        ("--current", "3 ft/s", "--angle", "99"),
    ],
)
def test_depth(capsys: pytest.CaptureFixture[str], options: tuple[str, ...]) -> None:
    for ahead in ((), ("--ahead", "line-3")):
        file = str(shipped.sample("skagit.taperlab"))
        text = said(capsys, "depth", file, *ahead, *options)
        assert text
        assert escaped(text, known=given(bench_of("skagit")), files=(file,)) == []


@pytest.mark.parametrize("units", ["us", "metric"])
@pytest.mark.parametrize(
    "options",
    [
        ("--goal", "weight", "500gr", "--goal", "length", "35 ft", "--buildable"),
        ("--goal", "weight", "900gr", "--lock", "4.front"),
        ("--goal", "running", "20 ft", "Scandi head, uncut, 41 ft", "--free", "density"),
        ("--goal", "weight", "520gr", "--goal", "length", "31 ft", "--lock", "4.front"),
        ("--goal", "girth", "3"),
    ],
)
def test_solve(capsys: pytest.CaptureFixture[str], options: tuple[str, ...], units: str) -> None:
    file = str(shipped.sample("scandi.taperlab"))
    text = said(capsys, "solve", file, *options, "--units", units)
    known = {"weight", "length", "running", "girth", "balance", "ratio", "tip", "thickest", "sink"}
    known |= {"front-taper", "thickest-diameter", "joint-step"}
    assert len(text) > 60
    names = [line.name for line in bench_of("scandi").lines]
    assert not escaped(text, known=known, files=(file, *names))
