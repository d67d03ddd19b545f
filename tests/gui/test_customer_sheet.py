"""The customer's sheet: figures as the bench has them, on one page, read back from the PDF."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from taperlab.edits import jobs
from taperlab.files.native import read_bench
from taperlab.gui.paper.customer_sheet import customer_sheet, sheet_of
from taperlab.gui.paper.export import write_pdf
from taperlab.gui.paper.layout.blocks import Sheet
from taperlab.gui.paper.layout.pages import page_layout, pages_of
from taperlab.model.bench import Bench
from taperlab.model.line import Loop, LoopKind
from taperlab.shipped import sample
from taperlab.shop.analyse import analyse_line
from taperlab.shop.before_after.study import of_cut_back
from taperlab.shop.cut_back.study import Study, study_now
from taperlab.trade.cautions import Topic, caution
from taperlab.units.kinds import WEIGHT, System
from taperlab.units.sentence import OnTape, Sentence
from taperlab.units.show import show
from tests.gui.reading import printed, read_back
from tests.shop.test_before_after import FOOT, HEAD, cut, job_bench


@pytest.fixture(autouse=True)
def _fonts(qapp: QApplication) -> None:
    """Letters are measured."""


def bench_with_job() -> Bench:
    return job_bench(cut(3 * FOOT, 5 * FOOT, Loop(LoopKind.FOLDED, 0.06)))


def job_sheet(bench: Bench) -> Sheet:
    found = customer_sheet(bench, bench.jobs[0])
    assert isinstance(found, Sheet)
    return found


def cut_study() -> Study:
    bench = read_bench(sample("cut_back.taperlab"))
    job = bench.cut_backs[0]
    return study_now(bench.line(job.line), job, bench.chosen_rod, bench.water)


@pytest.mark.parametrize("system", list(System))
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_pdf_holds_before_after_and_change_on_one_page(
    tmp_path: Path, system: System, paper: str
) -> None:
    bench, target = bench_with_job(), tmp_path / "before_after.pdf"
    assert write_pdf(job_sheet(bench), target, page_layout(system, paper), system) == 1
    words = read_back(target)
    before = analyse_line(bench.versions[0].line, bench.water).head
    after = analyse_line(bench.line("a"), bench.water).head
    assert before is not None
    assert after is not None
    for head in (before, after):
        assert show(head.mass, WEIGHT, system) in words
        assert OnTape(head.length).text(system) in words
    assert show(after.mass - before.mass, WEIGHT, system, signed=True) in words
    assert f"{OnTape(3 * FOOT - 0.06).text(system)} off" in words
    assert f"{OnTape(5 * FOOT - 0.06).text(system)} off" in words
    for each in ("job 41", "For Customer 41", "Mill pool", "FLY END", "ROD END", "Look after it"):
        assert each in words
    assert "The loops at both ends are new." in words
    assert caution(Topic.HOOK).title in words
    data = target.read_bytes()
    assert b"/FontFile2" in data
    assert b"/Subtype /Image" not in data


def test_how_it_casts_is_the_jobs_text_or_room_to_write() -> None:
    bench = bench_with_job()
    assert "_____" in printed(job_sheet(bench)).split("How it casts")[1].split("Look after it")[0]
    told = replace(bench.jobs[0], cast="Turns over in one go.")
    bench = jobs.describe_job(bench, "job-1", told).bench
    said = printed(job_sheet(bench)).split("How it casts")[1].split("Look after it")[0]
    assert said.strip() == "Turns over in one go."


def test_another_taper_is_told_row_by_row_and_an_overloaded_rod_is_warned_of() -> None:
    heavier = replace(HEAD, segments=tuple(replace(each, density=990.0) for each in HEAD.segments))
    words = printed(job_sheet(job_bench(heavier)))
    assert "What was changed" in words
    assert "density 0.990 g/cm³ (was 0.900 g/cm³)" in words
    assert " off" not in words
    assert caution(Topic.OVERLOADED_ROD).title in words
    assert "above the rod’s grain window" in words


def test_a_cut_back_without_a_job_has_a_sheet_too() -> None:
    study = cut_study()
    sheet = sheet_of(of_cut_back(study))
    assert isinstance(sheet, Sheet)
    words = printed(sheet)
    assert study.finished is not None
    assert show(study.finished.mass, WEIGHT, System.US) in words
    assert "from a scale that reads to" in words
    assert "job " not in words
    assert len(pages_of(sheet, page_layout(System.US), System.US)) == 1


def test_where_there_is_nothing_to_tell_a_sentence_says_why() -> None:
    bench = jobs.take_in_job(Bench((HEAD,)), "a").bench
    said = customer_sheet(bench, bench.jobs[0])
    assert isinstance(said, Sentence)
    assert "begin it first" in str(said)
    nothing = sheet_of(of_cut_back(study_now(HEAD, None, None, bench.water)))
    assert isinstance(nothing, Sentence)
