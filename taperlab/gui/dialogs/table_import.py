"""Reading a line in from a table: at once where all is clear, else with a preview to decide on."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QGridLayout,
    QLabel,
    QTableWidget,
    QTableWidgetItem,
)

from taperlab.edits import lines as line_edits
from taperlab.files.delimited import KIND_OF, Meaning, TableGuess, decode, read_with, sniff_table
from taperlab.files.opening import bench_of
from taperlab.files.problem import FileProblem
from taperlab.files.reading import read_bytes
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.widgets import caption, label, set_role
from taperlab.model.line import Line
from taperlab.units.parse import parse_unit


def read_table_file(path: Path, place: Workplace) -> bool:
    """Put the line of a table on the bench; ask where its layout is not clear."""
    source = path.name
    try:
        text = decode(read_bytes(path), source)
        guess = sniff_table(text, source)
        if not guess.problem:
            return put_on_bench(read_with(text, guess, source, path.stem), place)
    except FileProblem as problem:
        place.host.show_problem(problem.sentence)
        return False
    dialog = TableImportDialog(text, guess, source, path.stem, place)
    dialog.open()
    return True


def put_on_bench(line: Line, place: Workplace) -> bool:
    """Add a line that was read in to the bench and take it in hand."""
    return bool(place.do(line_edits.add_lines_from, bench_of(line)))


class TableImportDialog(FormDialog):
    """Says what each column means and in which unit, above the first rows of the table."""

    def __init__(
        self, text: str, guess: TableGuess, source: str, name: str, place: Workplace
    ) -> None:
        super().__init__(f"Read in {source}", place.host.parent_widget, accept="Read in")
        self._text, self._guess, self._source, self._name = text, guess, source, name
        self._place = place
        self.column.addWidget(
            label(
                f"{guess.row_count} rows. Say what the columns hold; those in doubt are marked.",
                role="soft",
            )
        )
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(6)
        for at, heading in enumerate(("Heading in the file", "Holds", "In", "")):
            grid.addWidget(caption(heading), 0, at)
        self.meanings: list[QComboBox] = []
        self.units: list[QComboBox] = []
        self._doubts: list[QLabel] = []
        for i, column in enumerate(guess.columns):
            meaning = QComboBox()
            meaning.setAccessibleName(f"What column {column.heading} holds")
            meaning.addItem("decide…")
            meaning.addItems([str(each) for each in Meaning])
            meaning.setCurrentIndex(
                0 if column.meaning is None else list(Meaning).index(column.meaning) + 1
            )
            unit = QComboBox()
            unit.setAccessibleName(f"Unit of column {column.heading}")
            doubt = label("", points=8.0, role="warn")
            grid.addWidget(label(column.heading or f"(column {i + 1})"), i + 1, 0)
            grid.addWidget(meaning, i + 1, 1)
            grid.addWidget(unit, i + 1, 2)
            grid.addWidget(doubt, i + 1, 3)
            self.meanings.append(meaning)
            self.units.append(unit)
            self._doubts.append(doubt)
            self._fill_units(i)
            meaning.currentIndexChanged.connect(self._meaning_changed)
            unit.currentIndexChanged.connect(self._judge)
        grid.setColumnStretch(3, 1)
        self.column.addLayout(grid)
        self.column.addWidget(caption("The first rows"))
        self.column.addWidget(self._preview())
        self.finish_layout()
        self.setMinimumWidth(640)
        self._judge()

    def guess(self) -> TableGuess:
        """The layout as decided so far."""
        guess = self._guess
        for i, unit_box in enumerate(self.units):
            meaning = self._meaning(i)
            if meaning is None:
                continue
            kind = KIND_OF.get(meaning)
            if kind is None:
                guess = guess.decide(i, meaning)
            elif unit_box.currentData() is not None:
                guess = guess.decide(i, meaning, parse_unit(unit_box.currentData(), kind))
        return guess

    def try_accept(self) -> None:
        """Read the line with the layout decided on."""
        try:
            line = read_with(self._text, self.guess(), self._source, self._name)
        except FileProblem as problem:
            self.problem(str(problem.sentence))
            return
        put_on_bench(line, self._place)
        self.accept()

    def _meaning(self, at: int) -> Meaning | None:
        index = self.meanings[at].currentIndex()
        return list(Meaning)[index - 1] if index > 0 else None

    def _fill_units(self, at: int) -> None:
        meaning = self._meaning(at)
        box = self.units[at]
        box.blockSignals(True)
        box.clear()
        kind = KIND_OF.get(meaning) if meaning else None
        box.setVisible(kind is not None)
        if kind is not None:
            box.addItem("decide…", None)
            for unit in kind.units:
                box.addItem(unit, unit)
            known = self._guess.columns[at].unit
            if known is not None:
                found = box.findData(known.symbol)
                if found < 0:
                    box.addItem(known.symbol, known.symbol)
                    found = box.count() - 1
                box.setCurrentIndex(found)
        box.blockSignals(False)

    def _meaning_changed(self) -> None:
        for at, box in enumerate(self.meanings):
            if box is self.sender():
                self._fill_units(at)
        self._judge()

    def _judge(self) -> None:
        guess = self.guess()
        unit_wanted = ""
        for i, (column, doubt, unit) in enumerate(
            zip(guess.columns, self._doubts, self.units, strict=True)
        ):
            undecided = self._meaning(i) is None or (
                not unit.isHidden() and unit.currentData() is None
            )
            doubt.setText("decide" if undecided else "")
            doubt.setToolTip(column.question)
            set_role(doubt, "warn")
            if undecided and self._meaning(i) is not None and not unit_wanted:
                unit_wanted = f"Choose the unit that “{column.heading}” is in."
        self.problem(unit_wanted or guess.problem or "")
        self.accept_button.setEnabled(not guess.problem)

    def _preview(self) -> QTableWidget:
        rows = self._guess.rows
        table = QTableWidget(len(rows), len(self._guess.columns))
        table.setAccessibleName("The first rows of the table")
        table.setHorizontalHeaderLabels([column.heading for column in self._guess.columns])
        table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        table.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        table.verticalHeader().hide()
        for i, row in enumerate(rows):
            for j, cell in enumerate(row[: table.columnCount()]):
                item = QTableWidgetItem(cell)
                if cell[:1].isdigit() or cell[:1] in tuple("+-.,"):
                    item.setTextAlignment(
                        Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                    )
                table.setItem(i, j, item)
        table.resizeColumnsToContents()
        table.setFixedHeight(min(6, len(rows)) * 30 + 40)
        return table
