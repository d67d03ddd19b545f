"""The tab Shelf: the stock as a table, tables from and to files, and weighing a length of it."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QFileDialog, QWidget

from taperlab.edits import stock as edits
from taperlab.files.problem import FileProblem
from taperlab.files.shelf import read_shelf, write_shelf
from taperlab.gui.dialogs.kept import KeptButton
from taperlab.gui.kit.theme import SMALL
from taperlab.gui.kit.widgets import GAP, Card, Remark, in_column, in_row, label, tool_button
from taperlab.gui.pages.pieces.case import PiecesCase
from taperlab.gui.pages.pieces.drawing import paint_stock, thickest
from taperlab.gui.pages.pieces.shelf_model import DRAWN, ShelfModel
from taperlab.gui.pages.pieces.weigh_row import WeighRow
from taperlab.gui.table.grid import PAD, Grid, GridDelegate
from taperlab.gui.table.grid_model import Index
from taperlab.model.stock import Stock
from taperlab.shop.pieces.to_weigh import what_it_tells
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, Sentence, counted, verbatim


class ShelfDelegate(GridDelegate):
    """Draws stock to one scale in its column."""

    def paint_sign(self, painter: QPainter, rect: QRect, index: Index) -> QRect:
        """Draw it; the other cells are texts."""
        model = self._grid
        assert isinstance(model, ShelfModel)
        if index.column() == DRAWN and index.row() < model.count:
            shelf = model.case.stock
            longest = max(each.whole_length for each in shelf)
            room = QRectF(rect).adjusted(PAD, 5.0, -PAD, -5.0)
            stock = model.row(index.row()).stock
            paint_stock(painter, room, stock, longest, thickest(shelf), self._place.theme.tokens)
        return rect


class ShelfTab(QWidget):
    """The table of stock, and below it what weighing a length of one tells."""

    def __init__(self, case: PiecesCase) -> None:
        super().__init__()
        self.case = case
        place = case.place
        self.model = ShelfModel(case)
        self.table = Grid(
            self.model,
            place,
            tr("Shelf"),
            tr(
                "Stock, one below the other. Type a name in the last line to add one; a table with "
                "headings can be pasted; Control and Tab leaves the table."
            ),
            ShelfDelegate,
            most=8,
        )
        self.load = tool_button(
            tr("Open CSV…"),
            tr("Add stock from a table"),
            tr("Add the stock of a CSV file"),
            self.ask_table,
        )
        self.save = tool_button(
            tr("Save CSV…"),
            tr("Save the stock as a table"),
            tr("Write all stock as CSV"),
            self.ask_where,
        )
        self.problem = Remark("bad")
        self.doubt = Remark("warn")
        self.kept = KeptButton(place, Stock, _name_of, self.chosen, self._put, self.problem.say)
        self.which = label("", points=SMALL, role="soft", wrap=True)
        tip = tr("Believe what was weighed, and no longer the label")
        self.weigh = WeighRow(place, tr("Keep the weight"), tip)
        self._lay_out()
        self.weigh.problem.connect(self.problem.say)
        self.weigh.weighed.connect(self.keep_weight)
        self.table.selectionModel().currentChanged.connect(lambda *_: self._show())
        case.follow(self._show)

    def _lay_out(self) -> None:
        buttons = in_row(self.kept, None, self.load, self.save)
        buttons.setContentsMargins(10, 4, 10, 6)
        shelf = Card(tr("Shelf"))
        shelf.body.setContentsMargins(1, 1, 1, 1)
        shelf.body.setSpacing(0)
        shelf.add((self.table, 1), buttons)
        weigh = Card(tr("Weigh some of it"))
        weigh.add(self.which, self.weigh, self.problem, self.doubt)
        in_column((shelf, 1), weigh, spacing=GAP, of=self)

    def chosen(self) -> Stock | None:
        """The stock that the current cell is of."""
        row = self.table.currentIndex().row()
        return self.model.row(row).stock if 0 <= row < self.model.count else None

    def _show(self) -> None:
        stock = self.chosen()
        said = Sentence("Choose a stock above: some of it on the scale tells more than its label.")
        if stock is not None:
            said = what_it_tells(stock, self.case.rules.scale)
        self.which.setText(self.case.place.read(said))
        self.weigh.show_stock(stock)
        self.save.setEnabled(bool(self.case.stock))
        said = self.case.doubt(stock) if stock is not None else NOTHING
        self.doubt.say(self.case.place.read(said))

    # -- what a person does ----------------------------------------------------------------------

    def keep_weight(self, length: float, mass: float) -> None:
        """Believe what a length of the chosen stock weighed [m, kg]."""
        stock = self.chosen()
        if stock is None:
            return
        why_not = self.case.weigh(stock, length, mass)
        self.problem.say(self.case.place.read(why_not))
        if not why_not:
            self.weigh.clear()

    def ask_table(self) -> None:
        """Ask for a table, and add its stock."""
        name, _ = QFileDialog.getOpenFileName(
            self.case.place.host.parent_widget, tr("Stock as a table"), "", "*.csv *.tsv *.txt"
        )
        if name:
            self.read_table(Path(name))

    def read_table(self, path: Path) -> None:
        """Add the stock of a table."""
        try:
            found = read_shelf(path)
        except FileProblem as problem:
            self.case.place.host.show_problem(problem.sentence)
            return
        count = self.model.count
        outcome = self.case.do(edits.add_stock, found)
        if outcome.refused:
            self.case.place.host.show_problem(outcome.refused)
        else:
            self.table.go_to(count, 0)

    def ask_where(self) -> None:
        """Ask where to, and write the shelf."""
        name, _ = QFileDialog.getSaveFileName(
            self.case.place.host.parent_widget, tr("Save the stock"), "shelf.csv", "*.csv"
        )
        if name:
            self.write_table(Path(name))

    def write_table(self, path: Path) -> None:
        """Write the shelf as a table."""
        target = path if path.suffix else path.with_suffix(".csv")
        try:
            write_shelf(self.case.stock, target, self.case.system)
        except FileProblem as problem:
            self.case.place.host.show_problem(problem.sentence)
            return
        said = counted(
            "Saved {count} piece of stock as {file}",
            "Saved {count} pieces of stock as {file}",
            len(self.case.stock),
            file=target.name,
        )
        self.case.place.host.say(said)

    def _put(self, stock: Stock) -> None:
        outcome = self.case.do(edits.put_on_shelf, stock)
        self.problem.say(self.case.place.read(outcome.refused))

    def commit(self) -> None:
        """Take over what is being typed."""
        self.table.commit_open_editor()


def _name_of(stock: Stock) -> Sentence:
    return verbatim(stock.name)
