"""The application object: our names, style and typeface."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path

# pyqtgraph would take another binding if one is installed beside ours.
os.environ.setdefault("PYQTGRAPH_QT_LIB", "PySide6")

from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QFileOpenEvent, QGuiApplication, QIcon
from PySide6.QtWidgets import QApplication

from taperlab.gui.kit import theme as theming
from taperlab.shipped import resource


class Application(QApplication):
    """The application of a window.

    The system may want a file opened, as macOS does of a program that runs already. One that it
    asks for while nobody hears it waits in ``early``.
    """

    def __init__(self, arguments: list[str]) -> None:
        super().__init__(arguments)
        self.early: list[Path] = []
        self._open_path: Callable[[Path], object] | None = None

    def event(self, event: QEvent) -> bool:
        """Take the files that the system hands over."""
        if isinstance(event, QFileOpenEvent) and event.file():
            path = Path(event.file())
            if self._open_path is not None:
                self._open_path(path)
            else:
                self.early.append(path)
            return True
        return super().event(event)

    def hear(self, open_path: Callable[[Path], object] | None) -> None:
        """Have the files opened that the system hands over from now on, and has already.

        open_path: what opens them; None where nobody does any more, so that they wait again.
        """
        self._open_path = open_path
        if open_path is not None:
            waiting, self.early = self.early, []
            for path in waiting:
                open_path(path)


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
