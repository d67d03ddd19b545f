"""The application object: our names, style and typeface."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path

# pyqtgraph would take another binding if one is installed beside ours.
os.environ.setdefault("PYQTGRAPH_QT_LIB", "PySide6")

from PySide6.QtCore import QCoreApplication, QEvent, Qt, Signal
from PySide6.QtGui import QFileOpenEvent, QGuiApplication, QIcon
from PySide6.QtWidgets import QApplication

from taperlab.gui.kit import theme as theming
from taperlab.shipped import resource


class Application(QApplication):
    """The application of a window.

    file_asked(Path): the system wants a file opened, as macOS does of a program that runs already.
    One that was asked for before anybody listened waits in ``early``.
    """

    file_asked = Signal(object)

    def __init__(self, arguments: list[str]) -> None:
        super().__init__(arguments)
        self.early: list[Path] = []
        self._is_heard = False

    def event(self, event: QEvent) -> bool:
        """Take the files that the system hands over."""
        if isinstance(event, QFileOpenEvent) and event.file():
            path = Path(event.file())
            if self._is_heard:
                self.file_asked.emit(path)
            else:
                self.early.append(path)
            return True
        return super().event(event)

    def hear(self, open_path: Callable[[Path], object]) -> None:
        """Have the files opened that the system hands over from now on, and has already."""
        self._is_heard = True
        self.file_asked.connect(open_path)
        for path in self.early:
            open_path(path)
        self.early.clear()


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
    app = Application(arguments if arguments is not None else sys.argv[:1])
    app.setStyle("Fusion")
    app.setWindowIcon(QIcon(str(resource("icons", "taperlab.svg"))))
    theming.load_fonts()
    return app
