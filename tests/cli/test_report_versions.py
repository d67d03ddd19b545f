"""``taperlab report --version``: a line as it was, and what became of it since."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from taperlab.edits.values import set_length
from taperlab.edits.versions import keep_version
from taperlab.files.native import dumps, read_bench
from taperlab.shipped import sample
from tests.cli.test_command_line import Capture, printed, refused

FOOT = 0.3048


@pytest.fixture
def path(tmp_path: Path) -> str:
    bench = read_bench(sample("scandi.taperlab"))
    line = bench.lines[0]
    bench = keep_version(bench, line.key, "As bought", "2026-02-11", "from the shop").bench
    bench = keep_version(bench, line.key, "", "2026-03-14").bench
    bench = set_length(bench, line.key, 3, line.segments[3].length - FOOT).bench
    bench = replace(bench, view=replace(bench.view, line=bench.lines[1].key))
    file = tmp_path / "b.taperlab"
    file.write_text(dumps(bench), encoding="utf-8")
    return str(file)


def test_the_figures_are_of_the_line_as_it_was_and_the_words_of_what_became_of_it(
    path: str, capsys: Capture
) -> None:
    asked = ("report", path, "--line", "Scandi head, 37 ft")
    was = printed(capsys, *asked, "--version", "As bought")
    now = printed(capsys, *asked)
    assert "Head length    37 ft\n" in was
    assert "Head length    36 ft\n" in now
    told = was[was.index("“As bought” of 2026-02-11") :].splitlines()
    assert told[1] == "from the shop"
    # A foot of the level belly at the rod end, of 157.0 gr over 7 ft.
    assert told[2].startswith("The head now, against “As bought”: 22.4 gr lighter, 1 ft shorter, ")
    assert told[3] == "Segment 4, belly: length 6 ft (was 7 ft)."
    found = json.loads(printed(capsys, *asked, "--version", "As bought", "--json"))
    assert found["head"]["length_ft"] == pytest.approx(37.0)
    version = found["version"]
    assert (version["name"], version["date"]) == ("As bought", "2026-02-11")
    assert version["since"]["length_ft"] == pytest.approx([37.0, 36.0])
    assert version["since"]["segments"] == [
        {"was": 4, "now": 4, "part": "belly", "length_ft": pytest.approx([7.0, 6.0])}
    ]


def test_a_name_that_is_not_there_lists_those_that_are(path: str, capsys: Capture) -> None:
    said = refused(capsys, "report", path, "--line", "Scandi head, 37 ft", "--version", "x")
    assert "--version: found “x”" in said
    assert "expected one of “As bought”, “Version 2”" in said
    assert "expected none" in refused(capsys, "report", path, "--version", "x")
