"""The shelf: put a length of a material into the line, or a segment's material on the shelf."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QDialogButtonBox, QLineEdit, QPushButton, QSizePolicy

from taperlab.edits import stock as stock_edits
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.dialogs.kept import KeptButton
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.theme import SMALL, px
from taperlab.gui.kit.widgets import label
from taperlab.model.exact_units import FOOT
from taperlab.model.line import Line
from taperlab.model.stock import Stock
from taperlab.shop.wording import piece_words, stock_words
from taperlab.units.kinds import LENGTH
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, verbatim
from taperlab.units.words import capital, word

USUAL_PIECE = 10.0 * FOOT


class StockDialog(FormDialog):
    """Choose a material and a length of it, to go in before row ``at``."""

    def __init__(self, place: Workplace, line: Line, at: int) -> None:
        super().__init__(tr("Insert from stock"), place, accept=tr("Insert"))
        self._line = line
        self._at = at
        self.box = self.add_row(tr("Stock"), QComboBox())
        self.box.addItems([stock.name for stock in place.document.bench.stock])
        self.box.setMinimumWidth(px(300))
        self.box.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.length = self.add_field(tr("Length"), LENGTH, USUAL_PIECE)
        self._about = label("", role="soft", wrap=True)
        self.column.addWidget(self._about)
        self.finish_layout()
        self.remove_button = QPushButton(tr("Delete"))
        self.remove_button.setAutoDefault(False)
        self.remove_button.setToolTip(
            tr("Delete this stock from the bench; lines keep what was cut from it")
        )
        self.remove_button.clicked.connect(self._remove)
        self.buttons.addButton(self.remove_button, QDialogButtonBox.ButtonRole.ResetRole)
        self.own = KeptButton(place, Stock, _name_of, self._stock, self._put_on_shelf, self.problem)
        self.buttons.addButton(self.own, QDialogButtonBox.ButtonRole.ResetRole)
        self.length.value_changed.connect(self._describe)
        self.box.currentIndexChanged.connect(self._describe)
        self._describe()

    def try_accept(self) -> None:
        """Insert the segment."""
        length, stock = self.length.require(), self._stock()
        if length is not None and stock is not None:
            self.finish_with(
                stock_edits.insert_from_stock, self._line.key, self._at, stock.key, length
            )

    def _remove(self) -> None:
        stock = self._stock()
        if stock is not None and self.place.do(stock_edits.delete_stock, stock.key):
            self.box.removeItem(self.box.currentIndex())
            self._describe()

    def _put_on_shelf(self, material: Stock) -> None:
        """Have a material that is kept for every bench on this one, and choose it."""
        outcome = self.place.do(stock_edits.put_on_shelf, material)
        self.problem(self.place.read(outcome.refused))
        names = [each.name for each in self.place.document.bench.stock]
        if outcome:
            self.box.clear()
            self.box.addItems(names)
        self.box.setCurrentIndex(names.index(material.name))

    def _stock(self) -> Stock | None:
        at = self.box.currentIndex()
        return self.place.document.bench.stock[at] if at >= 0 else None

    def _describe(self) -> None:
        stock = self._stock()
        self.accept_button.setEnabled(stock is not None)
        self.remove_button.setEnabled(stock is not None)
        if stock is None:
            self._about.setText(tr("There is no stock on this bench."))
            return
        length = self.length.value()
        said = [stock_words(stock)]
        if length is not None and 0.0 < length <= stock.whole_length:
            said.append(piece_words(stock, length))
        about = capital(" ".join(self.place.read(each) for each in said))
        self._about.setText("\n".join(filter(None, (about, stock.note))))


def _name_of(material: Stock) -> Sentence:
    return verbatim(material.name)


class KeepStockDialog(FormDialog):
    """Name the material of a segment and put it on the shelf."""

    def __init__(self, place: Workplace, line: Line, row: int) -> None:
        super().__init__(tr("Keep as stock"), place, accept=tr("Keep"))
        self._line, self._row = line, row
        name = f"{line.name}, {word(line.segments[row].part)}"
        self.name = self.add_row(tr("Name"), QLineEdit(name))
        self.name.setAccessibleName(tr("Name of the stock"))
        self.name.setMinimumWidth(px(320))
        self.name.selectAll()
        kept = Sentence(
            "Segment {row} is kept with its diameters, density, core and length.", row=row + 1
        )
        self.column.addWidget(label(place.read(kept), points=SMALL, role="soft"))
        self.finish_layout()

    def try_accept(self) -> None:
        """Put the material on the shelf."""
        self.finish_with(stock_edits.keep_as_stock, self._line.key, self._row, self.name.text())
