"""``taperlab labels``: what it hands on, and how it refuses."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from taperlab.cli import Screen, run
from taperlab.edits.jobs import begin_job, finish_job, take_in_job
from taperlab.edits.lines import delete_line
from taperlab.files.native import dumps, read_bench
from taperlab.shipped import sample
from taperlab.shop.labels.asking import Asked
from taperlab.shop.labels.content import LabelContent
from taperlab.trade.label_grids import Paper
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence, render

SKAGIT = str(sample("skagit.taperlab"))
Capture = pytest.CaptureFixture[str]


class Printed:
    """A screen that notes which labels it was asked for."""

    def __init__(self) -> None:
        def nothing(*_: object) -> int:
            raise AssertionError("only labels are asked for")

        self.asked: Asked | None = None
        self.contents: Sequence[LabelContent] = ()
        self.screen = Screen(nothing, nothing, nothing, nothing, labels=self.labels)

    def labels(self, asked: Asked, contents: Any, _target: Path, _system: System) -> list[Sentence]:
        self.asked, self.contents = asked, contents
        return [Sentence("Left out for want of room: {what}.", what="the drawing")]


@pytest.fixture
def to() -> Printed:
    return Printed()


def refused(capsys: Capture, to: Printed, *arguments: str) -> str:
    assert run(["labels", SKAGIT, "a.pdf", *arguments], to.screen) == 2
    found = capsys.readouterr()
    assert found.out == ""
    assert found.err.count("\n") == 1
    assert to.asked is None
    return found.err


def test_lines_sheet_start_and_count_are_handed_on(to: Printed, capsys: Capture) -> None:
    lines = ["--line", "Tip, 12 ft of 14", "--line", "Skagit body, 23 ft"]
    options = ["--grid", "99.1x67.7 mm", "--start", "3", "--count", "2", "--by", "C. 41"]
    nudge = ["--nudge-x=-1mm", "--nudge-y", "0.5 mm", "--no-rule", "--date", "May"]
    assert run(["labels", SKAGIT, "a.pdf", *lines, *options, *nudge], to.screen) == 0
    assert to.asked is not None
    assert (to.asked.grid.name, to.asked.start, to.asked.count) == ("99.1 × 67.7 mm", 3, 2)
    assert (to.asked.nudge_x, to.asked.nudge_y) == pytest.approx((-0.001, 0.0005))
    assert not to.asked.rule
    assert [each.name for each in to.contents] == ["Tip, 12 ft of 14", "Skagit body, 23 ft"]
    assert render(to.contents[0].day, System.US) == "May · C. 41"  # type: ignore[arg-type]
    assert capsys.readouterr().err == "taperlab: Left out for want of room: the drawing.\n"


def test_without_more_said_the_current_line_goes_on_a_usual_sheet(to: Printed) -> None:
    assert run(["labels", SKAGIT, "a.pdf", "--units", "metric"], to.screen) == 0
    assert to.asked is not None
    assert to.asked.grid.paper is Paper.A4
    assert [each.name for each in to.contents] == ["Skagit body, 23 ft"]
    assert date.fromisoformat(render(to.contents[0].day, System.US))  # type: ignore[arg-type]
    own = ["--size", "50 mm", "30 mm", "--pitch", "55 mm", "32 mm", "--corner", "5 mm", "10 mm"]
    paper = ["--paper", "letter", "--inner", "2 mm"]
    assert run(["labels", SKAGIT, "a.pdf", *own, *paper], to.screen) == 0
    grid = to.asked.grid
    assert (grid.across, grid.down, grid.paper) == (3, 8, Paper.LETTER)
    assert (grid.left, grid.top, grid.inner) == pytest.approx((0.005, 0.01, 0.002))


def test_a_job_names_its_line_and_its_ticket(to: Printed, tmp_path: Path, capsys: Capture) -> None:
    bench = read_bench(sample("skagit.taperlab"))
    tip = next(each for each in bench.lines if each.name.startswith("Tip"))
    bench = take_in_job(bench, tip.key, None, "Customer 41", "41").bench
    file = tmp_path / "b.taperlab"
    file.write_text(dumps(bench), encoding="utf-8")
    assert run(["labels", str(file), "a.pdf", "--job", "41"], to.screen) == 0
    assert [each.name for each in to.contents] == [tip.name]
    content = to.contents[0]
    ticket, day = (render(each, System.US) for each in (content.ticket, content.day))  # type: ignore[arg-type]
    assert ticket == "job 41"
    assert day.startswith("Customer 41 · ")
    # Of a head that is finished, the label is of what was handed over.
    bench = finish_job(
        begin_job(bench, "job-1", date(2026, 5, 4)).bench, "job-1", date(2026, 5, 4)
    ).bench
    file.write_text(dumps(delete_line(bench, tip.key).bench), encoding="utf-8")
    assert run(["labels", str(file), "a.pdf", "--job", "41"], to.screen) == 0
    assert [each.name for each in to.contents] == [tip.name]
    file.write_text(dumps(take_in_job(bench, None, None, "", "43").bench), encoding="utf-8")
    assert run(["labels", str(file), "a.pdf", "--job", "43"], to.screen) == 2
    assert "has no head" in capsys.readouterr().err
    assert run(["labels", str(file), "a.pdf", "--job", ""], to.screen) == 2
    assert "expected one of “41”" in capsys.readouterr().err
    assert run(["labels", str(file), "a.pdf", "--job", "42"], to.screen) == 2
    assert "expected one of “41”" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--grid", "x"], "expected one of “1 × 2 5/8 in”, “2 × 4 in”"),
        (["--grid", "2 x 4 in", "--paper", "a4"], "come on letter"),
        (["--grid", "2 x 4 in", "--size", "1 in", "1 in"], "give one of them"),
        (["--size", "60 mm", "10 mm", "--pitch", "50 mm", "20 mm"], "do not fit into steps of"),
        (["--size", "400 mm", "10 mm"], "beyond the paper"),
        (["--pitch", "2 in", "2 in"], "--pitch: expected only with --size"),
        (["--corner", "0 in", "1 in", "--grid", "2 x 4 in"], "--corner: expected only with --size"),
        (["--start", "99"], "There is no label 99"),
        (["--nudge-x", "2 in"], "--nudge-x: "),
        (["--line", "x"], "--line: found “x”"),
        (["--inner", "3 in"], "leaves no room"),
    ],
)
def test_what_cannot_be_is_refused_in_a_line(
    to: Printed, capsys: Capture, arguments: list[str], words: str
) -> None:
    if "--start" in arguments:
        to.screen = Screen(*[to.screen.open_window] * 4, labels=_really)  # type: ignore[list-item]
    assert words in refused(capsys, to, *arguments)


def _really(asked: Asked, contents: Any, _target: Path, _system: System) -> list[Sentence]:
    from taperlab.shop.labels.asking import slots

    slots(asked, len(contents))
    return []
