"""The preview: pages and paper, units and scale, to a printer and to a PDF, by mouse and keys."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QSizeF, Qt
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QApplication, QDialog, QFileDialog

from taperlab.files.native import read_bench
from taperlab.files.preferences import Preferences, SheetPaper, Theme
from taperlab.gui.frame.window import Window
from taperlab.gui.paper import page_view
from taperlab.gui.paper.layout.blocks import Paragraph, Sheet
from taperlab.gui.paper.layout.pages import NotPrinted
from taperlab.gui.paper.page_view import page_words, true_scale
from taperlab.gui.paper.preview import FIT_WIDTH, PreviewDialog
from taperlab.gui.paper.printing import preview_sheet
from taperlab.shipped import sample
from taperlab.units.kinds import System
from tests.gui.hands import CTRL, NOISE, choose, click, keys, open_dialog, settle
from tests.gui.reading import read_back

pytestmark = pytest.mark.qt_log_ignore(NOISE)


def preview(window: Window) -> PreviewDialog:
    window.menus.actions["preview"].trigger()
    dialog = open_dialog(window, PreviewDialog)
    assert isinstance(dialog, PreviewDialog)
    return dialog


def test_a_sheet_is_looked_at_page_by_page_and_goes_to_a_pdf(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.document.load(read_bench(sample("long_belly.taperlab")), None)
    dialog = preview(window)
    assert dialog.thumbs.count() == len(dialog.pages) == 2
    assert "Page 1 of 2" in dialog.said.text()
    assert "740.7 gr" in dialog.view.accessibleDescription()
    # Keys alone: on to the next page, as large as on paper.
    keys(Qt.Key.Key_PageDown)
    assert dialog.thumbs.currentRow() == 1
    assert "Cautions" in dialog.view.accessibleDescription()
    keys(Qt.Key.Key_PageUp)
    keys(Qt.Key.Key_0, modifier=CTRL)
    assert dialog.scale == 1.0
    assert "100 %" in dialog.said.text()
    one, _ = true_scale(dialog.screen())
    shown = dialog.view.paper.paper_size()
    assert shown.width() == pytest.approx(8.5 * 72.0 * one, abs=1.0)
    keys(Qt.Key.Key_Plus, modifier=CTRL)
    assert dialog.scale == pytest.approx(1.25)
    assert dialog.size_shown.currentText() == ""
    choose(dialog.size_shown, dialog.size_shown.findData(FIT_WIDTH))
    settle()
    assert dialog.view.horizontalScrollBar().maximum() == 0
    # Other paper, other units: the sheet is laid out anew.
    choose(dialog.paper, dialog.paper.findData("a4"))
    assert window.settings.preferences.paper is SheetPaper.A4  # and the next sheet is printed on it
    choose(dialog.units, dialog.units.findData(System.METRIC))
    settle()
    words = page_words(dialog.pages[0])
    assert "48.00 g" in words
    assert "must measure 4 in" not in words
    height = dialog.view.paper.paper_size().height()
    assert height / dialog.view.paper.paper_size().width() == pytest.approx(297 / 210, rel=0.01)
    # To a PDF, of what is shown.
    target = tmp_path / "sheet.pdf"
    named: list[str] = []

    def ask(_parent: object, _title: str, start: str, _kinds: str) -> tuple[str, str]:
        named.append(Path(start).name)
        return str(target.with_suffix("")), ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", ask)
    click(dialog.save_button)
    assert named == ["Long belly, 65 ft.pdf"]
    assert dialog.said.text() == "Saved the sheet as sheet.pdf"
    assert "48.00 g" in read_back(target)
    # What cannot be written says why, in one sentence, and the sheet stays.
    dialog.save(tmp_path / "no such folder" / "sheet.pdf")
    assert "no such folder" in dialog.said.text()
    assert dialog.said.property("role") == "bad"
    keys(Qt.Key.Key_Escape)
    assert not dialog.isVisible()


def test_it_is_printed_from_there_and_a_printer_that_takes_nothing_is_told_of(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    dialog = preview(window)
    target = tmp_path / "printed.pdf"

    def accept(asked: QPrintDialog) -> QDialog.DialogCode:
        printer: QPrinter = asked.printer()
        printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        printer.setOutputFileName(str(target))
        return QDialog.DialogCode.Accepted

    monkeypatch.setattr(QPrintDialog, "exec", accept)
    click(dialog.print_button)
    assert dialog.said.text() == "Sent the sheet to the printer"
    assert "479.6 gr" in read_back(target)
    # What is cancelled was not sent.
    monkeypatch.setattr(QPrintDialog, "exec", lambda _: QDialog.DialogCode.Rejected)
    keys(Qt.Key.Key_0, modifier=CTRL)
    click(dialog.print_button)
    assert dialog.said.text().startswith("Page 1 of ")
    click(dialog.close_button)
    settle()

    def fail(*_: object) -> bool:
        raise NotPrinted("The printer takes no page; see whether it is there, and ready.")

    PreviewDialog(window.place, dialog.sheet, fail).open()
    dialog = open_dialog(window, PreviewDialog)
    assert isinstance(dialog, PreviewDialog)
    click(dialog.print_button)
    assert dialog.said.text().startswith("The printer takes no page")
    click(dialog.close_button)


@pytest.mark.parametrize("theme", [Theme.LIGHT, Theme.DARK])
def test_paper_is_white_in_either_theme(make: object, theme: Theme) -> None:
    window = make(Preferences(theme=theme, welcome_seen=True))  # type: ignore[operator]
    sheet = Sheet("One word", (Paragraph("word"),))
    preview_sheet(window.pages.current.place, sheet)
    dialog = open_dialog(window, PreviewDialog)
    assert isinstance(dialog, PreviewDialog)
    picture = dialog.view.paper.grab().toImage()
    middle = picture.pixelColor(picture.width() // 2, picture.height() // 2)
    assert middle.name() == "#ffffff"
    click(dialog.close_button)


class Screen:
    """A screen that says what it is told to."""

    def __init__(self, wide_mm: float, pixels: int) -> None:
        self._mm, self._pixels = wide_mm, pixels

    def physicalSize(self) -> QSizeF:  # noqa: N802 - Qt's name
        return QSizeF(self._mm, self._mm * 0.6)

    def geometry(self) -> QSizeF:
        return QSizeF(self._pixels, self._pixels * 0.6)

    def logicalDotsPerInchX(self) -> float:  # noqa: N802 - Qt's name
        return 96.0


def test_a_millimetre_is_one_where_the_screen_knows_its_size(qapp: QApplication) -> None:
    # 1920 pixels over 480 mm: four to each millimetre.
    one, is_told = page_view.true_scale(Screen(480.0, 1920))  # type: ignore[arg-type]
    assert is_told
    assert one * 72.0 / 25.4 == pytest.approx(4.0)
    for untold in (Screen(0.0, 1920), Screen(16.0, 1920)):
        one, is_told = page_view.true_scale(untold)  # type: ignore[arg-type]
        assert not is_told
        assert one == pytest.approx(96.0 / 72.0)
