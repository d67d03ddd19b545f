"""Find where along the line so much weight is."""

from __future__ import annotations

from PySide6.QtCore import Signal

from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.theme import px
from taperlab.gui.kit.widgets import label
from taperlab.shop.reading import Reading, place_of_weight
from taperlab.units.kinds import WEIGHT
from taperlab.units.language import tr
from taperlab.units.sentence import Length, Sentence, WeightPerLength


class FindWeightDialog(FormDialog):
    """Type a weight, read where the line weighs that much from the fly end.

    found(float): the crosshair is to go to this place [m].
    """

    found = Signal(float)

    def __init__(self, place: Workplace) -> None:
        super().__init__(tr("Find a weight"), place, accept=tr("Find"))
        self.weight = self.add_field(tr("Weight from the fly end"), WEIGHT, None)
        self.answer = label(" ", role="soft", wrap=True)
        self.column.addWidget(self.answer)
        self.finish_layout()
        self.setMinimumWidth(px(420))
        self.weight.value_changed.connect(self._look)

    def try_accept(self) -> None:
        """Send the crosshair there."""
        reading = self._reading() if self.weight.require() is not None else None
        if reading is not None:
            self.found.emit(reading.position)
            self.accept()

    def _reading(self) -> Reading | None:
        whole, weight = self.place.document.whole, self.weight.value()
        if whole is None or weight is None:
            return None
        return place_of_weight(whole.analysis, weight)

    def _look(self) -> None:
        reading = self._reading()
        if reading is not None:
            said = Sentence(
                "{position} from the fly end, in the {part}, where it has {weight}.",
                position=Length(reading.position),
                part=reading.part,
                weight=WeightPerLength(reading.linear_density),
            )
            whole = self.place.document.whole
            if whole is not None and whole.looped is not None:
                line = whole.looped.names[whole.row_of(reading.segment)[0]]
                said = Sentence("{place} That is in “{line}”.", place=said, line=line)
            self.answer.setText(self.place.read(said))
        elif self.weight.value() is not None:
            rig = self.place.document.rig
            self.answer.setText(
                tr("The rig is lighter than that.") if rig else tr("The line is lighter than that.")
            )
        else:
            self.answer.setText(" ")
