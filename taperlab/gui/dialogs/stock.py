"""The shelf: put a length of a material into the line, or a segment's material on the shelf."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QDialogButtonBox, QLineEdit, QPushButton, QWidget

from taperlab.edits import stock as stock_edits
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import label
from taperlab.gui.state.document import Document
from taperlab.gui.state.settings import Settings
from taperlab.model.stock import Stock
from taperlab.physics.frustum import linear_density, mass
from taperlab.units.kinds import DIAMETER, LENGTH, WEIGHT, WEIGHT_PER_LENGTH
from taperlab.units.show import show


class StockDialog(FormDialog):
    """Choose a material and a length of it."""

    def __init__(
        self, document: Document, settings: Settings, at: int, parent: QWidget | None
    ) -> None:
        super().__init__("Insert from stock", parent, accept="Insert")
        self._document = document
        self._settings = settings
        self._at = at
        self.box = QComboBox()
        self.box.setAccessibleName("Material")
        self.box.addItems([stock.name for stock in document.bench.stock])
        self.box.setMinimumWidth(300)
        self.length = QuantityEdit(LENGTH, settings)
        self.length.set_value(3.048)
        self._about = label("", role="soft", wrap=True)
        self.form.addRow("Material", self.box)
        self.form.addRow("Length", self.length)
        self.column.addWidget(self._about)
        self.finish_layout()
        self.remove_button = QPushButton("Take off the shelf")
        self.remove_button.setAutoDefault(False)
        self.remove_button.setToolTip("Remove this material from the bench; lines keep theirs")
        self.remove_button.clicked.connect(self.remove)
        self.buttons.addButton(self.remove_button, QDialogButtonBox.ButtonRole.ResetRole)
        self.length.sentence_changed.connect(self.problem)
        self.length.value_changed.connect(self._describe)
        self.box.currentIndexChanged.connect(self._describe)
        self._describe()

    def try_accept(self) -> None:
        """Insert the segment."""
        length = self.length.require()
        stock, line = self._stock(), self._document.line
        if length is None or stock is None or line is None:
            return
        done = self._document.apply(
            stock_edits.insert_from_stock, line.key, self._at, stock.key, length
        )
        self.problem(str(done.refused))
        if done:
            self.accept()

    def remove(self) -> None:
        """Take the material shown off the shelf."""
        stock = self._stock()
        if stock is not None:
            self._document.apply(stock_edits.delete_stock, stock.key)
            self.box.removeItem(self.box.currentIndex())
            self._describe()

    def _stock(self) -> Stock | None:
        at = self.box.currentIndex()
        return self._document.bench.stock[at] if at >= 0 else None

    def _describe(self) -> None:
        stock = self._stock()
        self.accept_button.setEnabled(stock is not None)
        self.remove_button.setEnabled(stock is not None)
        if stock is None:
            self._about.setText("There is no stock on this bench.")
            return
        system = self._settings.system
        core = (stock.core.diameter, stock.core.density) if stock.core else (0.0, 0.0)
        ends = [
            float(linear_density(d, stock.density, *core))
            for d in (stock.front_diameter, stock.rear_diameter)
        ]
        diameters = " to ".join(
            dict.fromkeys(
                show(d, DIAMETER, system) for d in (stock.front_diameter, stock.rear_diameter)
            )
        )
        weights = " to ".join(dict.fromkeys(show(w, WEIGHT_PER_LENGTH, system) for w in ends))
        text = f"{str(stock.part).capitalize()}, {diameters}, {weights}; "
        text += f"{show(stock.length, LENGTH, system)} on the spool."
        length = self.length.value()
        if length is not None and stock.front_diameter == stock.rear_diameter:
            piece = float(
                mass(length, stock.front_diameter, stock.rear_diameter, stock.density, *core)
            )
            text += f" This length weighs {show(piece, WEIGHT, system)}."
        if stock.note:
            text += f"\n{stock.note}"
        self._about.setText(text)


class KeepStockDialog(FormDialog):
    """Name the material of a segment and put it on the shelf."""

    def __init__(self, document: Document, row: int, parent: QWidget | None) -> None:
        super().__init__("Keep as stock", parent, accept="Keep")
        self._document, self._row = document, row
        self._line = document.line
        segment = self._line.segments[row]
        self.name = QLineEdit(f"{self._line.name}, {segment.part}")
        self.name.setAccessibleName("Name of the material")
        self.name.setMinimumWidth(320)
        self.name.selectAll()
        self.form.addRow("Name", self.name)
        self.column.addWidget(
            label(
                f"Segment {row + 1} is kept with its diameters, density, core and length.",
                points=8.0,
                role="soft",
            )
        )
        self.finish_layout()

    def try_accept(self) -> None:
        """Put the material on the shelf."""
        done = self._document.apply(
            stock_edits.keep_as_stock, self._line.key, self._row, self.name.text()
        )
        self.problem(str(done.refused))
        if done:
            self.accept()
