"""The water that lines are fished in."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox

from taperlab.edits import bench as bench_edits
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import label
from taperlab.model.water import WaterKind
from taperlab.units.kinds import SALINITY, TEMPERATURE
from taperlab.units.language import tr
from taperlab.units.words import heading

KINDS = tuple(WaterKind)


class WaterDialog(FormDialog):
    """Kind, temperature and salinity of the water."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(tr("Water"), place)
        water = place.document.bench.water
        self.kind = QComboBox()
        self.kind.addItems([heading(kind) for kind in KINDS])
        self.kind.setAccessibleName(tr("Kind of water"))
        self.kind.setCurrentIndex(KINDS.index(water.kind))
        self.temperature = QuantityEdit(TEMPERATURE, place.settings)
        self.temperature.set_value(water.temperature)
        self.salinity = QuantityEdit(SALINITY, place.settings)
        self.salinity.set_value(water.salinity)
        for edit in (self.temperature, self.salinity):
            edit.sentence_changed.connect(self.problem)
        self.kind.currentIndexChanged.connect(self._kind_changed)
        self.form.addRow(tr("Kind"), self.kind)
        self.form.addRow(tr("Temperature"), self.temperature)
        self.form.addRow(tr("Salinity"), self.salinity)
        self.column.addWidget(
            label(tr("Cold and salt water slow sinking a little."), points=8.0, role="soft")
        )
        self.finish_layout()
        self._kind_changed()

    def try_accept(self) -> None:
        """Apply the water if it reads well."""
        temperature, salinity = self.temperature.require(), self.salinity.require()
        if temperature is None or salinity is None:
            return
        self.finish_with(bench_edits.set_water, self._kind(), temperature, salinity)

    def _kind(self) -> WaterKind:
        return KINDS[self.kind.currentIndex()]

    def _kind_changed(self) -> None:
        self.salinity.setEnabled(self._kind() is WaterKind.SEA)
