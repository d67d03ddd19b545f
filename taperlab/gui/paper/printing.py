"""The door to paper: print a sheet, or look at it first."""

from __future__ import annotations

from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QDialog, QWidget

from taperlab.gui.kit.host import Workplace
from taperlab.gui.paper.layout.blocks import Sheet
from taperlab.gui.paper.layout.pages import NotPrinted, page_layout, paint_sheet
from taperlab.gui.paper.layout.said import plain
from taperlab.gui.paper.preview import PreviewDialog, paper_for
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence

SENT = Sentence("Sent the sheet to the printer")


def print_sheet(place: Workplace, sheet: Sheet | Sentence) -> None:
    """Ask for a printer and print a sheet; where there is none, say why."""
    if isinstance(sheet, Sentence):
        place.host.say_problem(sheet)
        return
    sheet = _of_file(place, sheet)
    try:
        paper = paper_for(place.settings.preferences.paper, place.system)
        sent = send_to_printer(place.host.parent_widget, sheet, place.system, paper)
    except NotPrinted as problem:
        place.host.show_problem(problem.sentence)
        return
    if sent:
        place.host.say(SENT)


def preview_sheet(place: Workplace, sheet: Sheet | Sentence) -> None:
    """Show a sheet as it will be printed; where there is none, say why."""
    if isinstance(sheet, Sentence):
        place.host.say_problem(sheet)
        return
    PreviewDialog(place, _of_file(place, sheet), send_to_printer).open()


def send_to_printer(parent: QWidget, sheet: Sheet, system: System, paper: str) -> bool:
    """Ask for a printer and print; whether it was. Raises NotPrinted."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setPageLayout(page_layout(system, paper))
    # A file that is printed to is offered under this name.
    printer.setDocName(plain(sheet.title, system) or "Taperlab")
    printer.setCreator("Taperlab")
    dialog = QPrintDialog(printer, parent)
    try:
        if dialog.exec() != QDialog.DialogCode.Accepted:
            return False
        paint_sheet(sheet, printer, system)
    finally:
        dialog.deleteLater()
    return True


def _of_file(place: Workplace, sheet: Sheet) -> Sheet:
    path = place.document.path
    return sheet.of_file(path.name if path is not None else "")
