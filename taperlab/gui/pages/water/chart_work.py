"""How far the curves of the chart are: a thin bar, a count, and a button to stop or to go on."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QProgressBar, QWidget

from taperlab.gui.kit.theme import SMALL
from taperlab.gui.kit.widgets import Link, in_row, label
from taperlab.gui.pages.water.desk import CHART, WaterDesk
from taperlab.units.language import tr

WHOLE = 1000


class ChartWork(QWidget):
    """Shown while new curves are late, and once they were stopped."""

    def __init__(self, desk: WaterDesk) -> None:
        super().__init__()
        self._desk = desk
        self.bar = QProgressBar()
        self.bar.setObjectName("thin")
        self.bar.setRange(0, WHOLE)
        self.bar.setTextVisible(False)
        self.bar.setAccessibleName(tr("Share of the curves worked out"))
        self.words = label("", points=SMALL, role="soft")
        self.button = Link(pressed=self._pressed)
        in_row((self.bar, 1), (self.words, 1), self.button, spacing=8, of=self)
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        desk.place.jobs.progress.connect(self._progress)
        desk.follow(self.refresh, lambda: (desk.is_chart_late, desk.is_chart_stopped))
        self.refresh()

    def refresh(self) -> None:
        """Show whether it is at work, was stopped, or neither."""
        desk, stopped = self._desk, self._desk.is_chart_stopped
        self.setVisible(desk.is_chart_old)
        self.bar.setVisible(not stopped)
        self.words.setVisible(stopped)
        self.words.setText(tr("Stopped; as before the change"))
        self.button.setText(tr("Work it out") if stopped else tr("Stop"))
        self.button.setToolTip(
            tr("Work the curves out as it is fished now")
            if stopped
            else tr("Keep the curves of before the change")
        )

    def _progress(self, lane: str, share: float) -> None:
        if lane == CHART:
            self.bar.setValue(round(share * WHOLE))

    def _pressed(self) -> None:
        if self._desk.is_chart_stopped:
            self._desk.work_chart_out()
        else:
            self._desk.stop_chart()
