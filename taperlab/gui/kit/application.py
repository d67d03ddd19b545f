"""The application object: our names, style and typeface."""

from __future__ import annotations

import os
import sys

# pyqtgraph would take another binding if one is installed beside ours.
os.environ.setdefault("PYQTGRAPH_QT_LIB", "PySide6")

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication

from taperlab.gui.kit import theme as theming


def make_application(arguments: list[str] | None = None) -> QApplication:
    """The application, with our names, style and fonts. One per process."""
    existing = QApplication.instance()
    if isinstance(existing, QApplication):
        theming.load_fonts()
        return existing
    QCoreApplication.setApplicationName("Taperlab")
    QCoreApplication.setOrganizationName("Taperlab")
    QGuiApplication.setDesktopFileName("taperlab")
    QGuiApplication.setHighDpiScaleFactorRoundingPolicy(
        Qt.HighDpiScaleFactorRoundingPolicy.PassThrough
    )
    app = QApplication(arguments if arguments is not None else sys.argv[:1])
    app.setStyle("Fusion")
    theming.load_fonts()
    return app
