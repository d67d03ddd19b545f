"""The note on a bench as a whole, and the water that its lines are fished in."""

from __future__ import annotations

from taperlab.edits import bench as bench_edits
from taperlab.gui.dialogs.form import FormDialog, note_box
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.widgets import choice
from taperlab.model.water import WaterKind
from taperlab.units.kinds import SALINITY, TEMPERATURE
from taperlab.units.language import tr


class BenchNoteDialog(FormDialog):
    """A note on the bench as a whole: whose job it is, what was agreed."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(tr("Note on this bench"), place)
        self.note = note_box(place.document.bench.note)
        self.note.setAccessibleName(tr("Note on this bench"))
        self.column.addWidget(self.note, 1)
        self.finish_layout()
        self.resize(520, 320)

    def try_accept(self) -> None:
        """Keep the note as one step."""
        self.finish_with(bench_edits.set_note, self.note.toPlainText())


class WaterDialog(FormDialog):
    """Kind, temperature and salinity of the water."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(tr("Water"), place)
        water = place.document.bench.water
        self.kind = self.add_row(tr("Kind"), choice(WaterKind, water.kind, tr("Kind of water")))
        self.temperature = self.add_field(tr("Temperature"), TEMPERATURE, water.temperature)
        self.salinity = self.add_field(tr("Salinity"), SALINITY, water.salinity)
        self.kind.currentIndexChanged.connect(self._kind_changed)
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
