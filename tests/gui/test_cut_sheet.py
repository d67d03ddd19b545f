"""The cut-back on paper: its plan, its log and the cautions, in either system."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from taperlab.files.native import read_bench
from taperlab.gui.paper.cut_sheet import cut_sheet
from taperlab.gui.paper.export import write_cut_sheet
from taperlab.gui.paper.layout.blocks import Sheet
from taperlab.gui.paper.layout.drawing import Drawing, Tone
from taperlab.gui.paper.layout.reading import BLANK
from taperlab.gui.paper.parts import FOR_BUILDING
from taperlab.model.bench import Bench
from taperlab.model.cut_log import CutBack, CutStep, Limits
from taperlab.shipped import sample
from taperlab.shop.cut_back.study import study_now
from taperlab.trade.cautions import cautions, short_defer
from taperlab.units.kinds import System
from tests.gui.hands import FOOT, GRAIN, INCH
from tests.gui.reading import printed, read_back

pytestmark = pytest.mark.usefixtures("qapp")


@pytest.fixture
def bench() -> Bench:
    return read_bench(sample("cut_back.taperlab"))


def text_of(bench: Bench, system: System = System.US, **changes: object) -> str:
    job = replace(bench.cut_backs[0], **changes)
    return printed(sheet_of(bench, job), system)


def sheet_of(bench: Bench, job: CutBack) -> Sheet:
    return cut_sheet(study_now(bench.lines[0], job, bench.chosen_rod, bench.water))


def test_the_log_and_what_is_still_to_cut(bench: Bench) -> None:
    text = text_of(bench)
    assert "Cut-back: Scandi head, 43 ft" in text
    assert "before the first cut: 569.5 gr on the scale" in text
    assert "Cut 1: 4 ft off the rod end" in text
    assert "head 501.5 gr, offcut 68.0 gr" in text
    assert "Cut 2: 1 ft 9 7/8 in off the rod end" in text
    assert "head 461.5 gr, offcut 40.5 gr" in text
    assert "From the rod end: measure 1 in, mark, cut." in text
    assert "0.3 % high" in text
    assert "Make the loop at the rod end: 2 1/2 in folded back" in text
    for each in cautions():
        assert ((each.short or each.text) in text) == (each.topic in FOR_BUILDING)
    assert short_defer() in text


def test_in_metric_and_finished(bench: Bench) -> None:
    metric = text_of(bench, System.METRIC)
    assert not re.search(r" gr\b", metric)
    assert "36.90 g on the scale" in metric
    last = CutStep(0.0, 1.0 * INCH, 459.5 * GRAIN, 2.0 * GRAIN, note="dry")
    done = text_of(bench, steps=(*bench.cut_backs[0].steps, last))
    assert "Cut 3: 1 in off the rod end" in done
    assert "dry" in done
    assert "near enough" in done or "at the target" in done
    assert "Still to cut" not in done
    # Room for the one weighing that is left, with the loop on.
    assert done.count(f"with its loops on it reads\n{BLANK}") == 1
    steps = (*bench.cut_backs[0].steps, last)
    weighed = text_of(bench, steps=steps, last_reading=460.0 * GRAIN)
    assert "With its loops on the head reads 460.0 gr" in weighed
    # Nothing is left to weigh or to cut; there is room for a name and a date.
    work = weighed[weighed.index("Where it stands") : weighed.index("Cut and weighed by")]
    assert "_____" not in work
    assert "Still to cut" not in weighed
    assert "Cut and weighed by\n_____\ndate\n_____" in weighed


def test_before_anything_is_done_there_is_room_to_write(bench: Bench) -> None:
    text = text_of(bench, steps=(), first_reading=None)
    assert f"The head before the first cut, on the scale\n{BLANK}" in text
    assert "Cut 1" not in text


def test_before_and_after_stand_side_by_side(bench: Bench) -> None:
    text = text_of(bench)
    for name in ("Before any cut", "Now", "After this cut"):
        assert name in text
    # 43 ft, less 4 ft, 1 ft 9 7/8 in and the fold of 2 1/2 in; then an inch less.
    for length in ("43 ft", "36 ft 11 5/8 in", "36 ft 10 5/8 in"):
        assert length in text
    # The one way to cut is the staged one.
    assert "All the way" not in text


def test_the_drawing_shows_the_blade_and_what_comes_off(bench: Bench) -> None:
    sheet = sheet_of(bench, bench.cut_backs[0])
    (drawing,) = (each for each in sheet.blocks if isinstance(each, Drawing))
    (outline,) = drawing.outlines
    (blade,) = outline.blades
    gone = [each for each in outline.stretches if each.tone is Tone.GONE]
    assert [each.front for each in gone] == [blade.at]
    assert blade.next
    assert gone[0].rear - gone[0].front == pytest.approx(1.0 * INCH)
    (off,) = drawing.dimensions
    assert (off.front, off.rear) == (gone[0].front, gone[0].rear)
    assert "37 ft 1 1/8 in stays" in text_of(bench)


def test_weighings_that_disagree_are_asked_about_on_paper_too(bench: Bench) -> None:
    wrong = CutStep(0.0, 1.0 * INCH, 440 * GRAIN, 2.0 * GRAIN)
    text = text_of(bench, steps=(*bench.cut_backs[0].steps, wrong))
    assert "Head and offcut make 442.0 gr" in text
    assert "Still to cut" not in text
    assert "Where it stands" not in text


def test_a_limit_that_stops_it_is_printed(bench: Bench) -> None:
    text = text_of(bench, limits=Limits(shortest=40 * FOOT))
    assert "the shortest head allowed is 40 ft" in text


def test_the_pdf_has_the_log(bench: Bench, qapp: QApplication, tmp_path: Path) -> None:
    target = tmp_path / "cut.pdf"
    study = study_now(bench.lines[0], bench.cut_backs[0], bench.chosen_rod, bench.water)
    assert write_cut_sheet(study, target) <= 2
    found = read_back(target)
    assert "head 501.5 gr, offcut 68.0 gr" in found
    assert "1 ft 9 7/8 in off the rod end" in found
