"""Print and preview of a sheet."""

from __future__ import annotations

from PySide6.QtGui import QPagedPaintDevice
from PySide6.QtPrintSupport import QPrintDialog, QPrinter, QPrintPreviewDialog
from PySide6.QtWidgets import QDialog

from taperlab.gui.kit.host import Workplace
from taperlab.gui.paper.layout.blocks import Sheet
from taperlab.gui.paper.layout.pages import NotPrinted, page_layout, paint_sheet
from taperlab.gui.paper.layout.said import plain
from taperlab.units.sentence import Sentence


def print_sheet(place: Workplace, sheet: Sheet | Sentence) -> None:
    """Ask for a printer and print a sheet; where there is none, say why."""
    if isinstance(sheet, Sentence):
        place.host.say_problem(sheet)
        return
    printer = _printer(place, sheet)
    dialog = QPrintDialog(printer, place.host.parent_widget)
    if dialog.exec() == QDialog.DialogCode.Accepted:
        try:
            _paint(place, sheet, printer)
        except NotPrinted as problem:
            place.host.show_problem(problem.sentence)
        else:
            place.host.say(Sentence("Sent the sheet to the printer"))
    dialog.deleteLater()


def preview_sheet(place: Workplace, sheet: Sheet | Sentence) -> None:
    """Show a sheet as it will be printed; where there is none, say why."""
    if isinstance(sheet, Sentence):
        place.host.say_problem(sheet)
        return
    printer = _printer(place, sheet)  # the dialog does not keep it alive
    dialog = QPrintPreviewDialog(printer, place.host.parent_widget)
    dialog.paintRequested.connect(lambda target: _paint(place, sheet, target))
    dialog.resize(900, 760)
    dialog.exec()
    dialog.deleteLater()


def _paint(place: Workplace, sheet: Sheet, device: QPagedPaintDevice) -> None:
    path = place.document.path
    paint_sheet(sheet.of_file(path.name if path else ""), device, place.system)


def _printer(place: Workplace, sheet: Sheet) -> QPrinter:
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setPageLayout(page_layout(place.system))
    # A file that is printed to is offered under this name.
    printer.setDocName(plain(sheet.title, place.system) or "Taperlab")
    return printer
