"""Reading a file: at once where it is small, else beside the window, with a way out."""

from __future__ import annotations

from collections.abc import Callable, Generator
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QProgressDialog

from taperlab.files.problem import FileProblem
from taperlab.gui.kit.host import Workplace
from taperlab.shop.steps import Steps, finish
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

SMALL = 40_000
"""Bytes of a file that is read within a few frames: a bench of a dozen lines."""

Read = TypeVar("Read")


def is_small(path: Path) -> bool:
    """Whether a file is read at once. One that is not there is quickly said to be missing."""
    try:
        return path.stat().st_size <= SMALL
    except (OSError, ValueError):
        return True


def read_beside(
    steps: Steps[Read],
    at_once: bool,
    name: str,
    place: Workplace,
    done: Callable[[Read | FileProblem], object],
    called_off: Callable[[], object] | None = None,
) -> bool:
    """Have a file read and ``done`` told what it holds, or why it cannot be read.

    At once, or else beside the window: then a dialog shows how far it is, and calls it off, which
    ``called_off`` is told. Gives what ``done`` gives; True while the file is still being read.
    """
    told = _telling(steps)
    if at_once:
        return bool(done(finish(told)))
    _Progress(name, place, done, called_off).begin(told)
    return True


def _telling(steps: Steps[Read]) -> Steps[Read | FileProblem]:
    try:
        return (yield from steps)
    except FileProblem as problem:
        return problem


class _Progress(QProgressDialog):
    """How far a file is read; shown where that takes more than a moment."""

    def __init__(
        self,
        name: str,
        place: Workplace,
        done: Callable[..., object],
        called_off: Callable[[], object] | None,
    ) -> None:
        text = tr("Reading {file}…").format(file=name)
        super().__init__(text, tr("Cancel"), 0, 100, place.host.parent_widget)
        self._place = place
        self._done = done
        self._tell_called_off = called_off or (lambda: None)
        # Of its own: one file must not take the place of another.
        self.lane = f"file {id(self)}"
        self.setWindowTitle("Taperlab")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setMinimumWidth(360)
        self.setWindowModality(Qt.WindowModality.WindowModal)
        # Jobs say when it is time to be seen.
        self.setAutoReset(False)
        self.setAutoClose(False)
        self.reset()
        self.canceled.connect(self._called_off)
        place.jobs.busy.connect(self._busy)
        place.jobs.progress.connect(self._progress)

    def begin(self, steps: Generator[float, None, object]) -> None:
        """Have the work done."""
        self._place.jobs.run(self.lane, _given, steps, done=self._take, failed=self._failed)

    def _busy(self, lane: str, busy: bool) -> None:
        if lane == self.lane and busy:
            self.show()

    def _progress(self, lane: str, share: float) -> None:
        if lane == self.lane:
            self.setValue(round(100 * share))

    def _take(self, read: object) -> None:
        self._finish()
        self._done(read)

    def _failed(self, sentence: Sentence) -> None:
        self._finish()
        self._tell_called_off()
        self._place.host.show_problem(sentence)

    def _called_off(self) -> None:
        self._place.jobs.cancel(self.lane)
        self._finish()
        self._tell_called_off()

    def _finish(self) -> None:
        self._place.jobs.busy.disconnect(self._busy)
        self._place.jobs.progress.disconnect(self._progress)
        self.canceled.disconnect(self._called_off)
        self.close()
        self.deleteLater()


def _given(steps: Generator[float, None, object]) -> Generator[float, None, object]:
    return steps
