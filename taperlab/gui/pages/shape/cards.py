"""The cards below the figures: what is worth a remark, and which water."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QToolButton

from taperlab.gui.kit.findings import FindingsList
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.widgets import Card, caption, label
from taperlab.gui.state.watch import Watch
from taperlab.model.water import Water
from taperlab.shop.wording import water_figures, water_words
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.words import capital

MOST_FINDINGS = 6


class FindingsCard(FindingsList):
    """What is worth a remark about the line and the rod."""

    def __init__(self, place: Workplace, watch: Watch) -> None:
        super().__init__(place, most=MOST_FINDINGS)
        watch.changed.connect(self.refresh)
        watch.units_changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the findings, the gravest first."""
        document = self._place.document
        analysis, fit = document.analysis(), document.rod_fit()
        self.show_findings(
            [*(analysis.findings if analysis else ()), *(fit.findings if fit else ())]
        )


class WaterCard(Card):
    """The water that sink rates are worked out in. edit_water(): the person wants another."""

    edit_water = Signal()

    def __init__(self, place: Workplace, watch: Watch) -> None:
        super().__init__()
        self._place = place
        self._text = label("")
        self._shown: tuple[Water, System] | None = None
        edit = QToolButton()
        edit.setText(tr("Edit…"))
        edit.setAccessibleName(tr("Edit the water"))
        edit.clicked.connect(self.edit_water)
        row = QHBoxLayout()
        row.addWidget(self._text, 1)
        row.addWidget(edit)
        self.body.addWidget(caption(tr("Water")))
        self.body.addLayout(row)
        watch.changed.connect(self.refresh)
        watch.units_changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the kind and the temperature."""
        water = self._place.document.bench.water
        if self._shown == (water, self._place.system):
            return
        self._shown = (water, self._place.system)
        self._text.setText(capital(self._place.read(water_words(water))))
        self._text.setToolTip(self._place.read(water_figures(water)))
