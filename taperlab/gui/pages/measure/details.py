"""Instruments of a measurement; its name, design, loops and note."""

from __future__ import annotations

from PySide6.QtWidgets import QLineEdit, QPlainTextEdit

from taperlab.edits import measure as edits
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.dialogs.line import LoopFields
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.pages.measure.begin import DesignBox
from taperlab.gui.pages.measure.desk import Desk
from taperlab.model.measurement import Measurement
from taperlab.units.kinds import FINE_LENGTH, SHORT_LENGTH, SMALL_WEIGHT, Kind
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

        def step(kind: Kind, name: str, value: float, help_text: str) -> QuantityEdit:
            edit = QuantityEdit(kind, desk.place.settings, name=name)
            edit.set_value(value)
            edit.set_help(help_text)
            edit.sentence_changed.connect(self.problem)
            self.form.addRow(name, edit)
            return edit

        self.scale = step(SMALL_WEIGHT, tr("Scale step"), now.scale, scale)
        self.tape = step(SHORT_LENGTH, tr("Tape step"), now.tape, tape)
        self.micrometer = step(FINE_LENGTH, tr("Micrometer step"), now.micrometer, micrometer)
        self.scatter = step(FINE_LENGTH, tr("Scatter of a diameter"), now.scatter, scatter)
        self.finish_layout()

    def try_accept(self) -> None:
        """Take the steps over."""
        fields = (self.scale, self.tape, self.micrometer, self.scatter)
        values = [edit.require() for edit in fields]
        if None not in values:
            self.finish_with(edits.set_instruments, self._measurement.key, *values)


class DetailsDialog(FormDialog):
    """Name, design, loops and note."""

    def __init__(self, desk: Desk, measurement: Measurement) -> None:
        super().__init__(tr("About this measurement"), desk.place)
        self._desk, self._measurement = desk, measurement
        self.setMinimumWidth(560)
        self.name = QLineEdit(measurement.name)
        self.name.setAccessibleName(tr("Name"))
        self.design = DesignBox(desk, measurement.line)
        settings = desk.place.settings
        self.front = LoopFields(tr("Front loop"), measurement.front_loop, settings)
        self.rear = LoopFields(tr("Rear loop"), measurement.rear_loop, settings)
        for fields in (self.front, self.rear):
            fields.fold.sentence_changed.connect(self.problem)
            fields.mass.sentence_changed.connect(self.problem)
        self.note = QPlainTextEdit(measurement.note)
        self.note.setAccessibleName(tr("Note"))
        self.note.setTabChangesFocus(True)
        self.note.setFixedHeight(60)
        self.form.addRow(tr("Name"), self.name)
        self.form.addRow(tr("Design"), self.design)
        self.form.addRow(tr("Front loop"), self.front)
        self.form.addRow(tr("Rear loop"), self.rear)
        self.form.addRow(tr("Note"), self.note)
        self.finish_layout()

    def try_accept(self) -> None:
        """Take it all over in one step."""
        front, rear = self.front.loop(), self.rear.loop()
        if front is None or rear is None:
            return
        self.finish_with(
            edits.describe_measurement,
            self._measurement.key,
            self.name.text(),
            self.design.line,
            front,
            rear,
            self.note.toPlainText(),
        )
