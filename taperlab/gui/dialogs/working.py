"""How far work beside the window is, and a way out of it, where it takes more than a moment."""

from __future__ import annotations

from collections.abc import Callable, Generator
from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QProgressDialog

from taperlab.gui.kit.host import Workplace
from taperlab.shop.steps import Steps
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

Answer = TypeVar("Answer")


def work_beside(
    steps: Steps[Answer],
    text: str,
    place: Workplace,
    done: Callable[[Answer], object],
    called_off: Callable[[], object] | None = None,
) -> None:
    """Have work done beside the window and ``done`` told its answer.

    text: what a dialog says of it, once it takes more than a moment. Called off there,
    ``called_off`` is told.
    """
    _Progress(text, place, done, called_off).begin(steps)


class _Progress(QProgressDialog):
    """How far the work is; shown where it takes more than a moment."""

    def __init__(
        self,
        text: str,
        place: Workplace,
        done: Callable[..., object],
        called_off: Callable[[], object] | None,
    ) -> None:
        super().__init__(text, tr("Cancel"), 0, 100, place.host.parent_widget)
        self._place = place
        self._done = done
        self._tell_called_off = called_off or (lambda: None)
        self._is_over = False
        # Of its own: one must not take the place of another.
        self.lane = f"beside {id(self)}"
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

    def _take(self, answer: object) -> None:
        self._finish()
        self._done(answer)

    def _failed(self, sentence: Sentence) -> None:
        self._finish()
        self._tell_called_off()
        self._place.host.show_problem(sentence)

    def _called_off(self) -> None:
        self._place.jobs.cancel(self.lane)
        self._finish()
        self._tell_called_off()

    def reject(self) -> None:
        """Whatever closes it calls the work off."""
        if self._is_over:
            super().reject()
        else:
            self._called_off()

    def _finish(self) -> None:
        self._is_over = True
        self._place.jobs.busy.disconnect(self._busy)
        self._place.jobs.progress.disconnect(self._progress)
        self.canceled.disconnect(self._called_off)
        self.close()
        self.deleteLater()


def _given(steps: Generator[float, None, object]) -> Generator[float, None, object]:
    return steps
