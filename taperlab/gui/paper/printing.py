"""Print and preview of a sheet."""

from __future__ import annotations

from PySide6.QtGui import QTextDocument
from PySide6.QtPrintSupport import QPrintDialog, QPrinter, QPrintPreviewDialog
from PySide6.QtWidgets import QDialog

from taperlab.gui.kit.host import Workplace
from taperlab.gui.paper.sheet import page_layout, paint_sheet
from taperlab.units.sentence import Sentence


def print_sheet(place: Workplace, sheet: QTextDocument | Sentence) -> None:
    """Ask for a printer and print a sheet; where there is none, say why."""
    if isinstance(sheet, Sentence):
        place.host.say_problem(sheet)
        return
    printer = _printer(place, sheet)
    dialog = QPrintDialog(printer, place.host.parent_widget)
    if dialog.exec() == QDialog.DialogCode.Accepted:
        paint_sheet(sheet, printer)
        place.host.say(Sentence("Sent the sheet to the printer"))
    dialog.deleteLater()


def preview_sheet(place: Workplace, sheet: QTextDocument | Sentence) -> None:
    """Show a sheet as it will be printed; where there is none, say why."""
    if isinstance(sheet, Sentence):
        place.host.say_problem(sheet)
        return
    printer = _printer(place, sheet)  # the dialog does not keep it alive
    dialog = QPrintPreviewDialog(printer, place.host.parent_widget)
    dialog.paintRequested.connect(lambda target: paint_sheet(sheet, target))
    dialog.resize(900, 760)
    dialog.exec()
    dialog.deleteLater()


def _printer(place: Workplace, sheet: QTextDocument) -> QPrinter:
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setPageLayout(page_layout(place.system))
    # A file that is printed to is offered under this name.
    title = sheet.metaInformation(QTextDocument.MetaInformation.DocumentTitle)
    printer.setDocName(title or "Taperlab")
    return printer
