"""Print and preview: the build sheet of the line in hand, and its cut-back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QTextDocument
from PySide6.QtPrintSupport import QPrintDialog, QPrinter, QPrintPreviewDialog
from PySide6.QtWidgets import QDialog

from taperlab.gui.paper.sheet import build_sheet, page_layout, paint_sheet

if TYPE_CHECKING:
    from taperlab.gui.frame.window import Window


def print_sheet(window: Window) -> None:
    """Ask for a printer and print the build sheet of the line in hand."""
    _print(window, _build_sheet(window), "build sheet")


def preview_sheet(window: Window) -> None:
    """Show the build sheet as it will be printed."""
    _preview(window, _build_sheet(window))


def print_cut_back(window: Window) -> None:
    """Ask for a printer and print the cut-back of the line in hand."""
    _print(window, _cut_sheet(window), "cut-back")


def preview_cut_back(window: Window) -> None:
    """Show the cut-back as it will be printed."""
    _preview(window, _cut_sheet(window))


def _build_sheet(window: Window) -> QTextDocument | None:
    line = window.document.line
    if line is None:
        window.say_problem("There is no line to print.")
        return None
    return build_sheet(window.document.bench, line, window.settings.system)


def _cut_sheet(window: Window) -> QTextDocument | None:
    from taperlab.gui.pages.cut_back.case import cut_back_of
    from taperlab.gui.paper.cut_sheet import cut_sheet

    line = window.document.line
    job = cut_back_of(window.document.bench, line)
    if line is None or job is None:
        window.say_problem("There is no cut-back to print: start one on the Cut back page.")
        return None
    return cut_sheet(window.document.bench, line, job, window.settings.system)


def _printer(window: Window) -> QPrinter:
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setPageLayout(page_layout(window.settings.system))
    printer.setDocName(window.document.line.name if window.document.line else "Taperlab")
    return printer


def _print(window: Window, sheet: QTextDocument | None, what: str) -> None:
    if sheet is None:
        return
    printer = _printer(window)
    dialog = QPrintDialog(printer, window)
    if dialog.exec() == QDialog.DialogCode.Accepted:
        paint_sheet(sheet, printer)
        window.say(f"Sent the {what} to the printer")
    dialog.deleteLater()


def _preview(window: Window, sheet: QTextDocument | None) -> None:
    if sheet is None:
        return
    printer = _printer(window)  # the dialog does not keep it alive
    dialog = QPrintPreviewDialog(printer, window)
    dialog.paintRequested.connect(lambda target: paint_sheet(sheet, target))
    dialog.resize(900, 760)
    dialog.exec()
    dialog.deleteLater()
