"""Print and preview."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtPrintSupport import QPrintDialog, QPrinter, QPrintPreviewDialog
from PySide6.QtWidgets import QDialog

from taperlab.gui.printing.sheet import build_sheet, page_layout, paint_sheet

if TYPE_CHECKING:
    from taperlab.gui.window import Window


def _printer(window: Window) -> QPrinter:
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setPageLayout(page_layout(window.settings.system))
    printer.setDocName(window.document.line.name if window.document.line else "Taperlab")
    return printer


def _paint(window: Window, printer: QPrinter) -> None:
    line = window.document.line
    if line is not None:
        paint_sheet(build_sheet(window.document.bench, line, window.settings.system), printer)


def print_sheet(window: Window) -> None:
    """Ask for a printer and print the build sheet of the line in hand."""
    if window.document.line is None:
        window.say_problem("There is no line to print.")
        return
    printer = _printer(window)
    dialog = QPrintDialog(printer, window)
    if dialog.exec() == QDialog.DialogCode.Accepted:
        _paint(window, printer)
        window.say("Sent the build sheet to the printer")
    dialog.deleteLater()


def preview_sheet(window: Window) -> None:
    """Show the build sheet as it will be printed."""
    if window.document.line is None:
        window.say_problem("There is no line to print.")
        return
    printer = _printer(window)
    dialog = QPrintPreviewDialog(printer, window)
    dialog.paintRequested.connect(lambda target: _paint(window, target))
    dialog.resize(900, 760)
    dialog.exec()
    dialog.deleteLater()
