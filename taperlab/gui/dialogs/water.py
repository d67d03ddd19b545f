"""The water that lines are fished in."""

from __future__ import annotations

from taperlab.edits import bench as bench_edits
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.widgets import choice, label
from taperlab.model.water import WaterKind
from taperlab.units.kinds import SALINITY, TEMPERATURE
from taperlab.units.language import tr


class WaterDialog(FormDialog):
    """Kind, temperature and salinity of the water."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(tr("Water"), place)
        water = place.document.bench.water
        self.kind = self.add_row(tr("Kind"), choice(WaterKind, water.kind, tr("Kind of water")))
        self.temperature = self.add_field(tr("Temperature"), TEMPERATURE, water.temperature)
        self.salinity = self.add_field(tr("Salinity"), SALINITY, water.salinity)
        self.kind.currentIndexChanged.connect(self._kind_changed)
        self.column.addWidget(
            label(tr("Cold and salt water slow sinking a little."), points=8.0, role="soft")
        )
        self.finish_layout()
        self._kind_changed()

    def try_accept(self) -> None:
        """Apply the water if it reads well."""
        temperature, salinity = self.temperature.require(), self.salinity.require()
        if temperature is not None and salinity is not None:
            self.finish_with(bench_edits.set_water, self._kind(), temperature, salinity)

    def _kind(self) -> WaterKind:
        return WaterKind(self.kind.currentData())

    def _kind_changed(self) -> None:
        self.salinity.setEnabled(self._kind() is WaterKind.SEA)
