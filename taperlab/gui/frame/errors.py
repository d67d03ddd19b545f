"""What happens when something unexpected goes wrong: keep the bench, log it, say so."""

from __future__ import annotations

import logging
import sys
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

from PySide6.QtWidgets import QMessageBox, QWidget

from taperlab import __version__
from taperlab.files.disk import make_folder
from taperlab.files.owner_only import close_to_others
from taperlab.files.problem import FileProblem
from taperlab.units.language import tr

log = logging.getLogger("taperlab")


def log_to(folder: Path) -> Path | None:
    """Log to a file in a folder; None, and no log, where the folder can't be written."""
    from logging.handlers import RotatingFileHandler  # a start without errors needs none

    file = folder / "taperlab.log"
    try:
        make_folder(folder, private=True)
        handler = RotatingFileHandler(file, maxBytes=500_000, backupCount=2, encoding="utf-8")
    except (OSError, FileProblem):
        return None
    close_to_others(file)
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
    log.addHandler(handler)
    log.setLevel(logging.INFO)
    log.info("%s", what_runs())
    return file


def what_runs() -> str:
    """Program, interpreter, libraries and system in one line, for whoever reads the log."""
    import platform

    import numpy as np
    import PySide6
    from PySide6.QtGui import QGuiApplication

    return (
        f"Taperlab {__version__}, Python {platform.python_version()}, Qt {PySide6.__version__} "
        f"({QGuiApplication.platformName()}), numpy {np.__version__}, {platform.platform()}"
    )


class LastResort:
    """Takes exceptions that nothing else took.

    keep: puts the bench where it can be found again, and tells whether it is there. Called first,
    so that nothing is lost whatever happens next. folder: where the log lies, which is begun at
    the first exception.
    """

    def __init__(
        self, keep: Callable[[], bool], folder: Path | None, parent: QWidget | None
    ) -> None:
        self._keep = keep
        self._folder = folder
        self._log_file: Path | None = None
        self._busy = False
        self._parent = parent

    def take(
        self, kind: type[BaseException], value: BaseException, trace: TracebackType | None
    ) -> None:
        """Keep the bench, log the exception, tell the person in one sentence."""
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, value, trace)
            return
        if self._folder is not None and self._log_file is None:
            self._log_file = log_to(self._folder)
        log.error("unexpected error", exc_info=(kind, value, trace))
        if self._busy:
            return
        self._busy = True
        try:
            advice = tr("Save your work under another name to be safe.")
            try:
                if self._keep():
                    kept = tr("Your bench is kept: a recovery copy was written.")
                    advice = f"{kept} {advice}"
            except Exception:
                log.exception("the bench could not be kept")
            if self._log_file:
                details = tr("Details are in {file}.").format(file=self._log_file)
                advice = f"{advice}\n\n{details}"
            wrong = tr("Something went wrong that should not have.")
            buttons = QMessageBox.StandardButton.Ok
            box = QMessageBox(QMessageBox.Icon.Warning, "Taperlab", wrong, buttons, self._parent)
            box.setInformativeText(advice)
            box.exec()
        finally:
            self._busy = False
