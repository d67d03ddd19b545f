"""Labels to a printer."""

from __future__ import annotations

from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QDialog, QWidget

from taperlab.gui.paper.labels.sheets import LabelSheets, page_layout_of, paint_labels
from taperlab.units.language import tr


def send_labels(parent: QWidget, sheets: LabelSheets) -> bool:
    """Ask for a printer and print labels; whether they were. Raises NotPrinted."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setFullPage(True)
    printer.setPageLayout(page_layout_of(sheets.paper))
    printer.setDocName(tr("Labels"))
    printer.setCreator("Taperlab")
    dialog = QPrintDialog(printer, parent)
    try:
        if dialog.exec() != QDialog.DialogCode.Accepted:
            return False
        paint_labels(sheets, printer)
    finally:
        dialog.deleteLater()
    return True
