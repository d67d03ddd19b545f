"""Instruments of a measurement; its name, design, loops and note."""

from __future__ import annotations

from PySide6.QtWidgets import QLineEdit

from taperlab.edits import measure as edits
from taperlab.gui.dialogs.form import FormDialog, note_box
from taperlab.gui.dialogs.line import LoopFields
from taperlab.gui.kit.theme import px
from taperlab.gui.pages.measure.begin import DesignBox
from taperlab.gui.pages.measure.desk import Desk
from taperlab.model.measurement import Measurement
from taperlab.units.kinds import FINE_LENGTH, SHORT_LENGTH, SMALL_WEIGHT
from taperlab.units.language import tr


class InstrumentsDialog(FormDialog):
    """The smallest step of each instrument, and how far one diameter scatters."""

    def __init__(self, desk: Desk, measurement: Measurement) -> None:
        super().__init__(tr("Instruments"), desk.place)
        self._desk, self._measurement = desk, measurement
        now = measurement.instruments
        scatter = tr(
            "How far one reading strays at the same place (one standard deviation): the coating is "
            "soft and not quite round. Read one place ten times to find it."
        )
        micrometer = tr("The smallest step that the micrometer or caliper shows.")
        tape = tr("The smallest step that you read on the tape.")
        scale = tr("The smallest step that the scale shows.")
        self.scale = self.add_field(tr("Scale step"), SMALL_WEIGHT, now.scale, scale)
        self.tape = self.add_field(tr("Tape step"), SHORT_LENGTH, now.tape, tape)
        self.micrometer = self.add_field(
            tr("Micrometer step"), FINE_LENGTH, now.micrometer, micrometer
        )
        self.scatter = self.add_field(
            tr("Scatter of a diameter"), FINE_LENGTH, now.scatter, scatter
        )
        self.finish_layout()

    def try_accept(self) -> None:
        """Take the steps over."""
        if self.is_filled_in():
            steps = (field.value() for field in self.quantities)
            self.finish_with(edits.set_instruments, self._measurement.key, *steps)


class DetailsDialog(FormDialog):
    """Name, design, loops and note."""

    def __init__(self, desk: Desk, measurement: Measurement) -> None:
        super().__init__(tr("About this measurement"), desk.place)
        self._desk, self._measurement = desk, measurement
        self.setMinimumWidth(px(560))
        self.name = self.add_row(tr("Name"), QLineEdit(measurement.name))
        self.design = self.add_row(tr("Design"), DesignBox(desk, measurement.line))
        self.front = LoopFields(self, tr("Fly-end loop"), measurement.front_loop)
        self.rear = LoopFields(self, tr("Rod-end loop"), measurement.rear_loop)
        self.note = self.add_row(tr("Note"), note_box(measurement.note, 60))
        self.finish_layout()

    def try_accept(self) -> None:
        """Take it all over in one step."""
        if self.is_filled_in():
            self.finish_with(
                edits.describe_measurement,
                self._measurement.key,
                self.name.text(),
                self.design.line,
                self.front.loop(),
                self.rear.loop(),
                self.note.toPlainText(),
            )
