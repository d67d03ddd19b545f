"""Find where along the line so much weight is."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import label
from taperlab.gui.state.document import Document
from taperlab.gui.state.settings import Settings
from taperlab.shop.reading import Reading, place_of_weight
from taperlab.units.kinds import LENGTH, WEIGHT, WEIGHT_PER_LENGTH
from taperlab.units.show import show


class FindWeightDialog(FormDialog):
    """Type a weight, read where the line weighs that much from the fly end.

    found(float): the crosshair is to go to this place [m].
    """

    found = Signal(float)

    def __init__(self, document: Document, settings: Settings, parent: QWidget | None) -> None:
        super().__init__("Find a weight", parent, accept="Show it")
        self._document, self._settings = document, settings
        self.weight = QuantityEdit(WEIGHT, settings, name="Weight from the fly end")
        self.answer = label(" ", role="soft", wrap=True)
        self.form.addRow("Weight from the fly end", self.weight)
        self.column.addWidget(self.answer)
        self.finish_layout()
        self.setMinimumWidth(420)
        self.weight.sentence_changed.connect(self.problem)
        self.weight.value_changed.connect(self._look)

    def try_accept(self) -> None:
        """Send the crosshair there."""
        reading = self._reading() if self.weight.require() is not None else None
        if reading is not None:
            self.found.emit(reading.position)
            self.accept()

    def _reading(self) -> Reading | None:
        analysis, weight = self._document.analysis(), self.weight.value()
        if analysis is None or weight is None:
            return None
        return place_of_weight(analysis, weight)

    def _look(self) -> None:
        reading, weight = self._reading(), self.weight.value()
        system = self._settings.system
        if reading is not None:
            self.answer.setText(
                f"{show(reading.position, LENGTH, system)} from the fly end, in the "
                f"{reading.part}, where it has "
                f"{show(reading.linear_density, WEIGHT_PER_LENGTH, system)}."
            )
        else:
            self.answer.setText("The line is lighter than that." if weight is not None else " ")
