"""How much of a stock is laid on the scale, and what that reads."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QPushButton, QWidget

from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.tape_edit import TapeEdit
from taperlab.gui.kit.theme import px
from taperlab.gui.kit.widgets import in_row, label
from taperlab.model.stock import Stock
from taperlab.shop.pieces.to_weigh import length_to_weigh
from taperlab.units.kinds import LENGTH, WEIGHT
from taperlab.units.language import tr


class WeighRow(QWidget):
    """A length, what it weighed, and a button; the length is the usual one until another is typed.

    weighed(length, mass): both were typed [m, kg]. problem(str): what is wrong, or nothing.
    """

    weighed = Signal(float, float)
    problem = Signal(str)

    def __init__(self, place: Workplace, button: str, tip: str) -> None:
        super().__init__()
        self._place = place
        self._stock: Stock | None = None
        self._usual: float | None = None
        settings = place.settings
        self.length = TapeEdit(LENGTH, settings, name=tr("Length that is weighed"))
        self.mass = QuantityEdit(WEIGHT, settings, name=tr("The scale reads"))
        self.button = QPushButton(button)
        self.button.setToolTip(tip)
        names = label(tr("Weigh")), label(tr("The scale reads"))
        for name, field in zip(names, (self.length, self.mass), strict=True):
            name.setBuddy(field)
            field.keep_width(px(96))
            field.sentence_changed.connect(self.problem)
            field.returnPressed.connect(self._entered)
        in_row(names[0], self.length, names[1], self.mass, self.button, None, spacing=8, of=self)
        self.button.clicked.connect(self._take)
        self.show_stock(None)

    @property
    def has_keys(self) -> bool:
        """Whether the keys are in one of its fields, or on its button."""
        return any(each.hasFocus() for each in (self.length, self.mass, self.button))

    def show_stock(self, stock: Stock | None) -> None:
        """Ask for a stock. What was typed for another one is not this one's."""
        before, self._stock = self._stock, stock
        for each in (self.length, self.mass, self.button):
            each.setEnabled(stock is not None)
        usual = None if stock is None else length_to_weigh(stock, self._place.system)
        is_other = before is None or stock is None or before.key != stock.key
        if is_other or (usual != self._usual and self.length.value() == self._usual):
            self.length.set_value(usual)
        if is_other:
            self.mass.set_value(None)
        self._usual = usual

    def take_keys(self) -> None:
        """Put the keys where the reading is typed."""
        self.mass.setFocus(Qt.FocusReason.TabFocusReason)
        self.mass.selectAll()

    def clear(self) -> None:
        """The reading was taken: the next one is another."""
        self.mass.set_value(None)

    def _entered(self) -> None:
        """Enter leads from the length to the reading, which is taken."""
        if self.length.hasFocus() and not self.length.sentence and not self.mass.text().strip():
            self.take_keys()
        else:
            self._take()

    def _take(self) -> None:
        length, mass = self.length.require(), self.mass.require()
        if self._stock is not None and length is not None and mass is not None:
            self.weighed.emit(length, mass)
