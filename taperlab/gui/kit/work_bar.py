"""A thin bar and a way out, while work takes longer than a moment."""

from __future__ import annotations

from PySide6.QtWidgets import QProgressBar, QWidget

from taperlab.gui.kit.widgets import Link, in_row
from taperlab.gui.state.jobs import Jobs

WHOLE = 1000


class WorkBar(QWidget):
    """How far the work in a lane is, and a word that ends it; it takes no room while there is none.

    name: what screen readers call the bar.
    """

    def __init__(self, jobs: Jobs, lane: str, name: str, stop: Link) -> None:
        super().__init__()
        self._lane = lane
        self.bar = QProgressBar()
        self.bar.setObjectName("thin")
        self.bar.setRange(0, WHOLE)
        self.bar.setTextVisible(False)
        self.bar.setAccessibleName(name)
        self.button = stop
        in_row((self.bar, 1), stop, spacing=8, of=self)
        self.hide()
        jobs.busy.connect(self._busy)
        jobs.progress.connect(self._progress)

    def _busy(self, lane: str, busy: bool) -> None:
        if lane == self._lane:
            self.setVisible(busy)

    def _progress(self, lane: str, share: float) -> None:
        if lane == self._lane:
            self.bar.setValue(round(share * WHOLE))
