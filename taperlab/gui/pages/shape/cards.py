"""The cards below the figures: what is worth a remark, and which water."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton

from taperlab.gui.kit.widgets import Card, caption, label, set_role
from taperlab.gui.state.document import Document
from taperlab.gui.state.settings import Settings
from taperlab.physics.water import water_state
from taperlab.units.finding import Finding, Level
from taperlab.units.kinds import DENSITY, TEMPERATURE
from taperlab.units.show import show

MOST_FINDINGS = 6


class FindingsCard(Card):
    """What is worth a remark about the line and the rod."""

    def __init__(self, document: Document) -> None:
        super().__init__(spacing=6)
        self._document = document
        self._shown: list[Finding] | None = None
        self._labels: list[QLabel] = []
        document.changed.connect(self.refresh)
        self.refresh()

    def refresh(self, _change: object = None) -> None:
        """Show the findings, the gravest first."""
        analysis, fit = self._document.analysis(), self._document.rod_fit()
        found = list(analysis.findings if analysis else ()) + list(fit.findings if fit else ())
        found.sort(key=lambda finding: -finding.level)
        if found == self._shown:
            return
        self._shown = found
        self.setVisible(bool(found))
        found = found[:MOST_FINDINGS]
        while len(self._labels) < len(found):
            self._labels.append(label(wrap=True))
            self.body.addWidget(self._labels[-1])
        for shown in self._labels[len(found) :]:
            shown.hide()
        for shown, finding in zip(self._labels, found, strict=False):
            mark = {Level.NOTE: "", Level.CAUTION: "Caution: ", Level.STOP: "Stop: "}
            role = {Level.NOTE: "soft", Level.CAUTION: "warn", Level.STOP: "bad"}
            shown.setText(mark[finding.level] + str(finding.sentence))
            set_role(shown, role[finding.level])
            shown.show()


class WaterCard(Card):
    """The water that sink rates are worked out in."""

    edit_water = Signal()

    def __init__(self, document: Document, settings: Settings) -> None:
        super().__init__()
        self._document = document
        self._settings = settings
        self._text = label("")
        edit = QToolButton()
        edit.setText("Edit…")
        edit.setAccessibleName("Edit the water")
        edit.clicked.connect(self.edit_water)
        row = QHBoxLayout()
        row.addWidget(self._text, 1)
        row.addWidget(edit)
        self.body.addWidget(caption("Water"))
        self.body.addLayout(row)
        document.changed.connect(self.refresh)
        settings.units_changed.connect(self.refresh)
        self.refresh()

    def refresh(self, _change: object = None) -> None:
        """Show the kind and the temperature."""
        water = self._document.bench.water
        kind = "Fresh" if water.kind == "fresh" else "Sea"
        self._text.setText(f"{kind}, {show(water.temperature, TEMPERATURE, self._settings.system)}")
        state = water_state(water)
        self._text.setToolTip(
            f"Density {show(state.density, DENSITY, self._settings.system)}, viscosity "
            f"{state.viscosity * 1e3:.3f} mPa·s.\nDensity: Tanaka and others (2001), or EOS-80 for "
            "sea water. Viscosity: Sharqawy, Lienhard and Zubair (2010)."
        )
