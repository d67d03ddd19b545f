"""The labels dialog: what is chosen, seen at once, printed, saved and remembered."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QDialog, QFileDialog

from taperlab.edits.jobs import take_in_job
from taperlab.files.native import read_bench
from taperlab.gui.frame.window import Window
from taperlab.gui.paper.labels.dialog import MOST_JOBS_SHOWN, OWN, LabelsDialog, open_labels
from taperlab.gui.paper.preview import PreviewDialog
from taperlab.shipped import sample
from taperlab.shop.labels.asking import grid_of
from taperlab.trade.label_grids import Paper
from tests.gui.hands import (
    CTRL,
    NOISE,
    SHIFT,
    choose,
    click,
    field,
    keys,
    open_dialog,
    retype,
    settle,
    status,
)
from tests.gui.reading import read_back

pytestmark = pytest.mark.qt_log_ignore(NOISE)


def test_labels_from_the_menu_to_paper(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = window.document.bench
    other = bench.lines[1]
    window.document.apply(take_in_job, other.key, None, "Customer 41", "41")
    window.document.look(overlays=(other.key,))
    keys(Qt.Key.Key_P, modifier=CTRL | SHIFT)
    dialog = open_dialog(window, LabelsDialog)
    assert isinstance(dialog, LabelsDialog)
    line = window.document.line
    assert line is not None

    # No part of it lies off a small screen, its buttons least of all.
    assert dialog.rect().contains(dialog.print_button.geometry())
    assert dialog.width() < dialog.screen().availableSize().width()

    # Known sheets by their size; what is seen is what is asked for, key by key.
    choose(dialog.grid, dialog.grid.findData("2 × 4 in"))
    assert "480 gr" in dialog.view.accessibleDescription().replace("\u00a0", " ")
    dialog.start.setFocus()
    dialog.start.selectAll()
    keys("9")
    dialog.count.setFocus()
    dialog.count.selectAll()
    keys("3")
    settle()
    for spin in (dialog.start, dialog.count):  # and what is typed is seen
        assert spin.lineEdit().width() > spin.width() / 2
    assert dialog.sheets is not None
    assert len(dialog.sheets.pages) == 2
    assert dialog.page_words.text() == "page 1 of 2"
    keys(Qt.Key.Key_PageDown)
    assert dialog.view.page == 1
    keys(Qt.Key.Key_PageUp)
    retype(dialog.by, "C. 41")
    assert "C. 41" in dialog.view.accessibleDescription()
    # A label that is pressed is the first.
    click(dialog.view, dialog.view.middle_of(3))
    assert dialog.start.value() == 3
    assert len(dialog.sheets.pages) == 1

    # All that is laid over, and a job.
    choose(dialog.what, 1)
    assert other.name in dialog.view.accessibleDescription()
    choose(dialog.what, 2)
    assert "job 41" in dialog.view.accessibleDescription()
    choose(dialog.what, 0)

    # What cannot be is said, and nothing is printed then.
    nudge = field(dialog, "Move right")
    retype(nudge, "4 in")
    assert not dialog.print_button.isEnabled()
    assert "too far" in dialog.said.text()
    retype(nudge, "-1 mm")
    assert dialog.print_button.isEnabled()
    choose(dialog.grid, dialog.grid.findData(OWN))
    settle()
    width = field(dialog, "Width")
    assert width.isVisible()
    retype(width, "9 in")
    assert "beyond the paper" in dialog.said.text()
    assert dialog.view.is_out_of_date
    retype(width, "100 in")
    assert "more than any sheet of labels has" in dialog.said.text()
    retype(width, "3 in")
    assert dialog.save_button.isEnabled()
    assert not dialog.view.is_out_of_date
    # One beside the other, as wide as they are, until another step is told.
    grid = grid_of(dialog.choices, Paper.LETTER)
    assert (grid.pitch_x, grid.across) == (pytest.approx(3 * 0.0254), 2)
    retype(field(dialog, "Step across"), "3.5 in")
    assert grid_of(dialog.choices, Paper.LETTER).pitch_x == pytest.approx(3.5 * 0.0254)
    assert dialog.choices.is_own

    # To a PDF: what was chosen is there, and is remembered.
    target = tmp_path / "labels.pdf"
    named = lambda *_: (str(target.with_suffix("")), "")  # noqa: E731
    monkeypatch.setattr(QFileDialog, "getSaveFileName", named)
    click(dialog.save_button)
    assert dialog.said.text() == "Saved the labels as labels.pdf"
    assert read_back(target).count(line.name) == 3
    dialog.save(tmp_path / "no such folder" / "labels.pdf")
    assert "no such folder" in dialog.said.text()
    kept = window.settings.preferences.labels
    assert (kept.is_own, kept.count, kept.by, kept.paper) == (True, 3, "C. 41", Paper.LETTER)
    assert kept.width == pytest.approx(3 * 0.0254)
    assert kept.nudge_x == pytest.approx(-0.001)

    # To a printer that writes a file: the whole of the paper is its own.
    sent = tmp_path / "sent.pdf"

    def accept(asked: QPrintDialog) -> QDialog.DialogCode:
        asked.printer().setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        asked.printer().setOutputFileName(str(sent))
        return QDialog.DialogCode.Accepted

    monkeypatch.setattr(QPrintDialog, "exec", accept)
    click(dialog.print_button)
    assert dialog.said.text() == "Sent the labels to the printer"
    assert read_back(sent).count(line.name) == 3
    keys(Qt.Key.Key_Escape)
    assert not dialog.isVisible()

    # A job may ask for its own label; and a page of before and after has a door in the menu.
    window.show_page("jobs")
    assert window.pages.current.job_in_hand() is window.document.bench.jobs[0]
    window.menus.actions["labels"].trigger()
    again = open_dialog(window, LabelsDialog)
    assert again.what.currentText().startswith("Job 41")
    assert again.start.value() == kept.start
    again.close()
    # However many came since; and one without a head gets no label of another's.
    for _ in range(MOST_JOBS_SHOWN):
        window.document.apply(take_in_job)
    bench = window.document.bench
    open_labels(window.place, bench.jobs[0])
    again = open_dialog(window, LabelsDialog)
    assert again.what.currentText().startswith("Job 41")
    again.close()
    open_labels(window.place, bench.jobs[-1])
    assert "no head" in status(window)
    before_and_after(window)
    assert "begin it first" in status(window)
    window.show_page("shape")
    before_and_after(window)
    assert "begin a job of it, or cut it back" in status(window)


def before_and_after(window: Window) -> None:
    window.menus.actions["before_after"].trigger()
    while window.jobs.is_busy():
        settle()


def test_before_and_after_of_a_cut_back_is_seen_from_the_menu(window: Window) -> None:
    window.file.put_in_hand(read_bench(sample("cut_back.taperlab")), None)
    settle()
    bench = window.document.bench
    job = bench.cut_backs[0]
    window.document.look(line=job.line)
    before_and_after(window)
    dialog = open_dialog(window, PreviewDialog)
    assert isinstance(dialog, PreviewDialog)
    words = dialog.view.accessibleDescription()
    assert "What was done to your head" in words
    assert bench.line(job.line).name in words
    dialog.close()
