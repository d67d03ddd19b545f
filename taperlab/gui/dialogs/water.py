"""The water that lines are fished in."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QWidget

from taperlab.edits import water as water_edits
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import label
from taperlab.gui.state.document import Document
from taperlab.gui.state.settings import Settings
from taperlab.model.water import WaterKind
from taperlab.units.kinds import SALINITY, TEMPERATURE


class WaterDialog(FormDialog):
    """Kind, temperature and salinity of the water."""

    def __init__(self, document: Document, settings: Settings, parent: QWidget | None) -> None:
        super().__init__("Water", parent)
        self._document = document
        water = document.bench.water
        self.kind = QComboBox()
        self.kind.addItems(["Fresh", "Sea"])
        self.kind.setAccessibleName("Kind of water")
        self.kind.setCurrentIndex(list(WaterKind).index(water.kind))
        self.temperature = QuantityEdit(TEMPERATURE, settings)
        self.temperature.set_value(water.temperature)
        self.salinity = QuantityEdit(SALINITY, settings)
        self.salinity.set_value(water.salinity)
        for edit in (self.temperature, self.salinity):
            edit.sentence_changed.connect(self.problem)
        self.kind.currentIndexChanged.connect(self._kind_changed)
        self.form.addRow("Kind", self.kind)
        self.form.addRow("Temperature", self.temperature)
        self.form.addRow("Salinity", self.salinity)
        self.column.addWidget(
            label("Cold and salt water slow sinking a little.", points=8.0, role="soft")
        )
        self.finish_layout()
        self._kind_changed()

    def try_accept(self) -> None:
        """Apply the water if it reads well."""
        temperature, salinity = self.temperature.require(), self.salinity.require()
        if temperature is None or salinity is None:
            return
        kind = list(WaterKind)[self.kind.currentIndex()]
        done = self._document.apply(water_edits.set_water, kind, temperature, salinity)
        self.problem(str(done.refused))
        if done:
            self.accept()

    def _kind_changed(self) -> None:
        self.salinity.setEnabled(self.kind.currentIndex() == 1)
