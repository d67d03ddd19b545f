"""The Jobs page: a job from asked for to handed over, found again, looked through, repeated."""

from __future__ import annotations

import math
import os
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QColor, QDesktopServices, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QFileDialog

from taperlab.edits import jobs as edits
from taperlab.edits import values as value_edits
from taperlab.files import job_index
from taperlab.files.native import read_bench, write_bench
from taperlab.gui.dialogs.give_away import GiveAwayDialog
from taperlab.gui.frame.window import Window
from taperlab.gui.kit.theme import px
from taperlab.gui.pages.jobs import photographs
from taperlab.gui.pages.jobs.page import JobsPage
from taperlab.gui.paper.layout.blocks import Sheet
from taperlab.model.bench import Bench, keyed
from taperlab.model.job import Job, JobState
from taperlab.shipped import sample
from taperlab.shop.personal import Notes, without_personal_data
from taperlab.shop.steps import finish
from tests.gui.hands import (
    CTRL,
    ENTER,
    ESC,
    GRAIN,
    NOISE,
    TAB,
    banners,
    choose,
    click,
    keys,
    retype,
    settle,
    settled,
    status,
    wait_active,
    without_view,
)
from tests.gui.reading import printed

pytestmark = pytest.mark.qt_log_ignore(NOISE)


def jobs_page(window: Window) -> JobsPage:
    window.show_page("jobs")
    page = window.pages.page("jobs")
    assert isinstance(page, JobsPage)
    settled(page.case)
    wait_active(window)
    return page


def rows(page: JobsPage) -> list[str]:
    model = page.table.grid
    return [model.cell(row, 1).text for row in range(model.count)]


def job(window: Window, at: int = -1) -> Job:
    return window.document.bench.jobs[at]


def bench_at(window: Window, of: Job) -> int:
    return [each.key for each in window.document.bench.jobs].index(of.key)


def test_a_job_goes_its_way_by_keys_alone(window: Window) -> None:
    page = jobs_page(window)
    assert page.empty.isVisible()
    assert not page.listed.isVisible()
    page.begin.setFocus()
    keys(Qt.Key.Key_Space)
    # The keys are where the customer is written; the line and rod in hand are in the job.
    line, rod = window.document.line, window.document.rod
    assert line is not None
    assert rod is not None
    assert (job(window).line, job(window).rod) == (line.key, rod.key)
    assert QApplication.focusWidget() is page.job.customer
    keys("The mill-pool  customer", TAB, "A-041", ENTER)
    assert (job(window).customer, job(window).ticket) == ("The mill-pool customer", "A-041")
    assert page.job.title.text() == "Job A-041"
    assert rows(page) == ["The mill-pool customer"]
    # Begun, the head is kept; cut, it is another; finished, it is kept again.
    page.job.due.setFocus()
    keys(Qt.Key.Key_Space)
    assert job(window).state is JobState.IN_WORK
    assert page.job.due.text() == "Finish"
    # Enter once too often finishes nothing: the keys are where the day is written.
    keys(ENTER, ENTER)
    assert job(window).state is JobState.IN_WORK
    last = len(line.segments) - 1
    window.place.do(value_edits.set_length, line.key, last, line.segments[last].length / 2.0)
    page.job.due.setFocus()
    keys(Qt.Key.Key_Space)
    assert job(window).state is JobState.FINISHED
    weights = [cell.text() for cell in page.figures.cells[0]]
    assert [each.name for each in window.document.bench.versions] == ["Before", "After"]
    # Half of the last segment is gone: by its mean diameter, as near as a taper's may be.
    cut = line.segments[last]
    assert cut.front_diameter == cut.rear_diameter
    gone = cut.density * math.pi / 4.0 * cut.front_diameter**2 * cut.length / 2.0 / GRAIN
    assert float(weights[0][:-3]) - float(weights[1][:-3]) == pytest.approx(gone, abs=0.11)
    assert page.table.grid.cell(0, 5).text == f"{weights[0][:-3]} → {weights[1]}"
    page.figures.cast.setFocus()
    keys("Turned over early", TAB)
    assert job(window).cast == "Turned over early"
    # A day that is none is said, and the bench keeps its own.
    begun = job(window).begun
    retype(page.job.begun, "4.5.2026", ENTER)
    assert page.job.problem.text().startswith("“4.5.2026” is no day")
    assert job(window).begun == begun
    retype(page.job.begun, "2999-01-01", ENTER)
    assert "before it is begun" in page.job.problem.text()
    # What was typed stays until it is mended, and is taken once it does.
    assert page.job.begun.text() == "2999-01-01"
    window.place.do(edits.describe_job, job(window).key, replace(job(window), note="soft"))
    assert page.job.begun.text() == "2999-01-01"
    retype(page.job.finished, "2999-01-02", ENTER)
    assert page.job.problem.text() == ""
    assert (str(job(window).begun), str(job(window).finished)) == ("2999-01-01", "2999-01-02")
    retype(page.job.begun, "2020-05-04", ENTER)
    assert page.job.problem.text() == ""
    assert str(job(window).begun) == "2020-05-04"
    retype(page.job.finished, "2020-05-05", ENTER)
    click(page.job.label)
    (labels,) = (each for each in window.findChildren(QDialog) if each.isVisible())
    labels.reject()
    # Repeated, it is another with the same customer and none of the rest.
    click(page.job.repeat)
    assert [each.customer for each in window.document.bench.jobs] == ["The mill-pool customer"] * 2
    assert (job(window).ticket, job(window).cast, job(window).begun) == ("", "", None)
    assert page.case.job is job(window)
    page.job.customer.setFocus()
    keys(Qt.Key.Key_Z, modifier=CTRL)
    assert len(window.document.bench.jobs) == 1
    # Found by what the customer is called, by weight, by days; Esc looks for nothing again.
    other = window.document.bench.lines[1].key
    window.document.look(line=other)
    click(page.new)
    keys("Customer 12", ENTER)
    # Begun, its head is the one that other pages show.
    window.document.look(line=line.key)
    click(page.job.due)
    assert window.document.line is not None
    assert window.document.line.key == job(window).line == other
    assert sorted(rows(page)) == ["Customer 12", "The mill-pool customer"]
    page.search.words.setFocus()
    keys("pool early")
    assert rows(page) == ["The mill-pool customer"]
    assert page.job.title.text() == "Job A-041"
    keys("nobody")
    assert rows(page) == []
    assert page.none.isVisible()
    keys(ESC)
    assert len(rows(page)) == 2
    retype(page.search.days, "2020", ENTER)
    assert rows(page) == ["The mill-pool customer"]
    retype(page.search.days, "May", ENTER)
    assert page.search.problem.isVisible()
    page.search.words.setFocus()
    keys("x", ESC)
    assert len(rows(page)) == 2
    retype(page.search.weight, "1 to 2 gr", ENTER)
    assert rows(page) == []
    click(page.new)
    assert page.search.weight.text() == ""
    assert len(rows(page)) == 3
    # Up and down through the list, Enter to the job, and out of the record.
    page.table.setFocus()
    page.table.go_to(2, 0)
    assert page.case.job is not None
    assert page.case.job.ticket == "A-041"
    keys(ENTER)
    assert QApplication.focusWidget() is page.job.customer
    click(page.job.drop)
    assert len(window.document.bench.jobs) == 2


def test_a_job_is_dropped_by_key_wherever_it_stands_in_the_list(window: Window) -> None:
    window.open_file(sample("jobs.taperlab"))
    page = jobs_page(window)
    names = rows(page)
    assert page.case.row not in (-1, len(names) - 1)
    page.table.setFocus()
    dropped = names[page.case.row]
    keys(Qt.Key.Key_Delete)
    left = [each for each in names if each != dropped]
    assert rows(page) == left
    assert page.table.currentIndex().row() == page.case.row
    assert page.job.customer.text() == left[page.case.row]
    keys(Qt.Key.Key_Z, modifier=CTRL)
    assert rows(page) == names


def test_a_state_that_is_chosen_keeps_the_head_as_the_button_does(window: Window) -> None:
    window.open_file(sample("jobs.taperlab"))
    page = jobs_page(window)
    assert page.case.job is not None
    key, kept = page.case.job.key, len(window.document.bench.versions)
    choose(page.job.state, list(JobState).index(JobState.FINISHED))
    chosen = window.document.bench
    keys(Qt.Key.Key_Z, modifier=CTRL)
    assert len(window.document.bench.versions) == kept
    click(page.job.due)
    assert without_view(window.document.bench) == without_view(chosen)
    assert keyed(chosen.jobs, key) == page.case.job
    assert len(chosen.versions) == kept + 1


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    here = tmp_path / "benches"
    (here / "spring").mkdir(parents=True)
    bench = read_bench(sample("jobs.taperlab"))
    write_bench(bench, here / "jobs.taperlab")
    other = read_bench(sample("scandi.taperlab"))
    other = edits.take_in_job(other, other.lines[0].key, None, "Customer 31", "B-1").bench
    write_bench(other, here / "spring" / "other.taperlab")
    (here / "bad.taperlab").write_text("{")
    for each in here.rglob("*.taperlab"):
        os.utime(each, ns=(10**18, 10**18))
    return here


def test_a_folder_is_looked_through_and_forgotten(
    window: Window, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other_way = folder.parent / "link"
    other_way.symlink_to(folder)
    window.file_menu.open_path(other_way / "jobs.taperlab")
    page = jobs_page(window)
    assert len(rows(page)) == 4
    page.table.setFocus()
    page.table.go_to(3, 0)
    keys(Qt.Key.Key_Delete)
    assert len(rows(page)) == 3
    keys(Qt.Key.Key_Z, modifier=CTRL)
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(folder))
    click(page.choose)
    settled(page.case)
    # The bench in hand is listed once, whatever leads to it; what can't be read is told.
    assert sorted(rows(page)).count("Customer 12") == 1
    assert len(rows(page)) == 5
    assert "1 bench could not be read" in page.skipped.text()
    kept = job_index.index_file()
    assert kept.exists()
    assert str(kept) in page.where.text().replace("\u200b", "")
    assert window.settings.preferences.jobs_folder == str(folder)
    # One of another bench is read here, and opened to be worked on.
    page.search.words.setFocus()
    keys("31")
    assert page.job.customer.isReadOnly()
    assert page.job.due.text() == "Open its bench"
    assert not page.job.repeat.isVisible()
    page.table.setFocus()
    keys(Qt.Key.Key_Delete)
    assert "open it to drop the job" in status(window)
    click(page.job.due)
    settled(page.case)
    assert window.document.path == folder / "spring" / "other.taperlab"
    assert page.case.job is not None
    assert page.case.job.ticket == "B-1"
    assert page.isVisible()
    assert not page.job.customer.isReadOnly()
    keys(ESC)
    click(page.forget)
    assert not kept.exists()
    assert window.settings.preferences.jobs_folder == ""
    assert rows(page) == ["Customer 31"]


def test_a_long_list_shows_what_tells_jobs_apart(
    window: Window, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = read_bench(sample("scandi.taperlab"))
    for number in range(60):
        bench = edits.take_in_job(bench, bench.lines[0].key, None, f"Customer {number}").bench
    write_bench(bench, folder / "many.taperlab")
    (folder / "gone.taperlab").symlink_to(folder / "nowhere" / "gone.taperlab")
    window.file_menu.open_path(folder / "jobs.taperlab")
    window.settings.remember(jobs_folder=str(folder))
    page = jobs_page(window)
    page.case.read_folder()
    settled(page.case)
    table = page.table

    def seen(size: tuple[int, int]) -> list[str]:
        window.resize(*size)
        QApplication.processEvents()
        headings = table.grid.headings
        return [each.text for i, each in enumerate(headings) if not table.isColumnHidden(i)]

    # What is told beside the list goes first; the head, by which one knows the job, last.
    assert seen((1280, 800)) == ["Date", "Customer", "Ticket", "Rod", "Head", "Weight", "State"]
    assert seen((1024, 700)) == ["Date", "Customer", "Head", "Weight", "State"]
    assert not table.horizontalScrollBar().isVisible()

    # The job in work is in hand, far down the list, and seen there.
    assert page.job.title.text() == "Job A-041"
    assert page.case.row > 40
    row = table.visualRect(table.grid.index(page.case.row, 0))
    assert table.viewport().rect().contains(row)

    # One that is taken in now stands first of those without a day.
    click(page.new)
    keys("A customer whose name is much longer than the field that it is written in", TAB)
    assert page.case.row == 0
    assert page.job.customer.cursorPosition() == 0
    # Its long name takes not all the room that other columns lack.
    window.resize(1280, 800)
    settle()
    settled(page.case)
    settle()
    assert table.columnWidth(4) > px(100)

    # What could not be read is named, by keys too.
    assert "2 benches could not be read" in page.skipped.text()
    page.which.button.setFocus()
    keys(Qt.Key.Key_Space)
    why = page.why.text().replace("\u200b", "")
    assert page.why.isVisible()
    assert f"{folder / 'gone.taperlab'} could not be read" in why
    assert f"{folder / 'bad.taperlab'} is damaged" in why


def test_a_bench_whose_jobs_name_what_is_not_there(window: Window) -> None:
    odd = Job("job-1", "Customer 12", "", "no rod", "no line", "no version", "none either")
    window.file.put_in_hand(Bench(jobs=(odd,)), None)
    page = jobs_page(window)
    assert (page.job.rod.currentText(), page.job.head.currentText()) == ("none", "none")
    retype(page.job.ticket, "B-2", ENTER)
    assert job(window) == replace(odd, ticket="B-2")
    assert "begin it first" in str(page.sheet())
    page.job.due.setFocus()
    keys(Qt.Key.Key_Space)
    assert job(window).state is JobState.IN_WORK
    # The rest of a double click that began it does not finish it.
    QTest.mouseDClick(page.job.due, Qt.MouseButton.LeftButton)
    assert job(window).state is JobState.IN_WORK
    click(page.job.due)
    assert job(window).state is JobState.FINISHED


def test_a_job_of_a_rig_is_chosen_begun_and_told_of(window: Window) -> None:
    window.file.put_in_hand(read_bench(sample("rigs.taperlab")), None)
    window.document.look(line="line-1", rig="rig-2")
    page = jobs_page(window)
    click(page.begin)
    assert (job(window).rig, job(window).line) == ("rig-2", "line-1")
    assert page.job.head.currentText() == "10 ft of 11 on the body"
    # By keys to the head alone, and to another rig.
    for name, rig in (("Skagit body, 23 ft", None), ("12 ft of 14 on the body", "rig-1")):
        choose(page.job.head, page.job.head.findText(name))
        assert job(window).rig == rig
    page.job.due.setFocus()
    keys(Qt.Key.Key_Space)
    # The other pages are turned to for the rig; on the bench each of its lines is kept.
    assert window.document.bench.view.rig == "rig-1"
    assert len(job(window).rig_before) == 2
    whole = window.document.whole
    assert whole is not None
    assert whole.head is not None
    weight = f"{whole.head.mass / GRAIN:.1f} gr"
    assert page.figures.cells[0][0].text() == weight
    assert page.table.grid.cell(0, 4).text == "12 ft of 14 on the body"
    sheet = page.sheet()
    assert isinstance(sheet, Sheet)
    words = printed(sheet)
    assert "What was done to your rig" in words
    assert weight in words


def test_a_head_that_is_cut_leads_to_its_cut_back(window: Window) -> None:
    window.file.put_in_hand(read_bench(sample("cut_back.taperlab")), None)
    page = jobs_page(window)
    click(page.begin)
    assert not page.job.cut.isVisible()
    click(page.job.due)
    assert "put the cut head on the bench" in page.job.first.text()
    click(page.job.due)  # finished all the same
    assert "kept as it is after the job" in page.job.first.text()
    click(page.job.cut)
    assert window.pages.current is window.pages.page("cut")


def test_a_cut_whose_weighings_contradict_each_other_is_printed_in_no_way(window: Window) -> None:
    bench = read_bench(sample("cut_back.taperlab"))
    (log,) = bench.cut_backs
    first, *others = log.steps
    torn = replace(log, steps=(replace(first, head=first.head - 60 * GRAIN, sure=False), *others))
    window.file.put_in_hand(replace(bench, cut_backs=(torn,)), None)
    page = jobs_page(window)
    click(page.begin)
    # What is to be built, before there is a job's work to tell of.
    assert isinstance(page.sheet(), Sheet)
    click(page.job.due)
    # Nor as the head that lies there, which is the one before the blade.
    assert "do not add up" in str(page.sheet())


def test_photographs_are_named_seen_and_opened(
    window: Window, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.file_menu.open_path(folder / "jobs.taperlab")
    picture = QImage(900, 600, QImage.Format.Format_RGB32)
    picture.fill(QColor("seagreen"))
    (folder / "pictures").mkdir()
    assert picture.save(str(folder / "pictures" / "before.png"))
    (folder / "pictures" / "no.png").write_text("no picture")
    named = [str(folder / "pictures" / name) for name in ("before.png", "no.png", "gone.jpg")]
    monkeypatch.setattr(QFileDialog, "getOpenFileNames", lambda *_: (named, ""))
    page = jobs_page(window)
    click(page.photographs.attach)
    settled(page.case)
    in_hand = page.case.job
    assert in_hand is not None
    assert in_hand.photographs == ("pictures/before.png", "pictures/no.png", "pictures/gone.jpg")
    # Chosen together, they are one step.
    window.document.undo_stack.undo()
    assert job(window, bench_at(window, in_hand)).photographs == ()
    window.document.undo_stack.redo()
    settled(page.case)
    first = page.photographs.buttons[0].icon().pixmap(40, 40).toImage()
    assert first.pixelColor(first.width() // 2, first.height() // 2) == QColor("seagreen")
    assert (
        page.photographs.missing.text()
        == "Not there, or no picture that can be shown: no.png, gone.jpg."
    )
    opened: list[str] = []
    monkeypatch.setattr(
        QDesktopServices, "openUrl", lambda url: opened.append(url.toLocalFile()) or True
    )
    click(page.photographs.buttons[0])
    assert opened == [named[0]]
    click(page.photographs.buttons[2])
    assert len(opened) == 1
    assert "gone.jpg is not there" in status(window)
    # Saved into another folder, the bench finds them all the same; as one step that is undone.
    monkeypatch.setattr(
        QFileDialog, "getSaveFileName", lambda *_: (str(folder / "spring" / "moved.taperlab"), "")
    )
    window.menus.actions["save_as"].trigger()
    assert page.case.job is not None
    assert page.case.job.photographs[0] == (folder / "pictures" / "before.png").as_posix()
    settled(page.case)
    assert (
        page.photographs.missing.text()
        == "Not there, or no picture that can be shown: no.png, gone.jpg."
    )
    assert not window.document.is_dirty
    assert page.case.in_hand is not None
    assert page.case.in_hand.file == folder / "spring" / "moved.taperlab"
    page.photographs.buttons[1].setFocus()
    keys(Qt.Key.Key_Delete)
    settled(page.case)
    assert page.case.job is not None
    left = [Path(each).name for each in page.case.job.photographs]
    assert left == ["before.png", "gone.jpg"]


def test_a_picture_beyond_all_measure_is_not_looked_at(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    picture = QImage(400, 300, QImage.Format.Format_RGB32)
    picture.fill(QColor("black"))
    path = tmp_path / "a.png"
    assert picture.save(str(path))

    def looked_at() -> bool:
        ((_, image),) = finish(photographs.read_small((("a.png", path),), QSize(40, 40)))
        return image is not None

    assert looked_at()
    monkeypatch.setattr(photographs, "MOST_PIXELS", 100_000)
    assert not looked_at()
    monkeypatch.setattr(photographs, "MOST_PIXELS", 1_000_000)
    monkeypatch.setattr(photographs, "LARGEST", 10)
    assert not looked_at()


def test_a_bench_is_exported_without_personal_data(
    window: Window, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own, target = folder / "jobs.taperlab", tmp_path / "for customer 12.taperlab"
    window.file_menu.open_path(own)
    saved = own.read_bytes()
    window.menus.actions["give_away"].trigger()
    (dialog,) = (each for each in window.findChildren(GiveAwayDialog) if each.isVisible())
    assert not dialog.accept_button.isEnabled()  # it is looked through beside the window
    settled(dialog)
    assert "A-038" in dialog.still.text()
    dialog.ticks[Notes.RODS].click()
    settled(dialog)
    chosen = [str(own), str(target)]
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (chosen.pop(0), ""))
    click(dialog.accept_button)
    assert own.read_bytes() == saved
    assert dialog.isVisible()
    click(dialog.accept_button)
    # The bench names nobody; its file does.
    settle()
    assert f"Problem: {target.name} names somebody by its own name." in banners(window)
    given = read_bench(target)
    assert given == without_personal_data(window.document.bench, [Notes.RODS]).bench
    assert "Customer 12" not in target.read_text(encoding="utf-8")
    assert window.document.path == own
