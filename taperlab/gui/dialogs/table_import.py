"""A preview of a table that is to be a line, with what has to be decided before it is one."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QGridLayout,
    QHeaderView,
    QLabel,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from taperlab.edits import lines as line_edits
from taperlab.files.delimited import reading_rows
from taperlab.files.opening import bench_of
from taperlab.files.problem import FileProblem, TableProblem
from taperlab.files.table import READ, Layout
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.dialogs.reading import read_beside
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.theme import SMALL, px
from taperlab.gui.kit.widgets import caption, label, scrolling
from taperlab.model.line import Line
from taperlab.units.columns import Column
from taperlab.units.kinds import Kind
from taperlab.units.language import tr, trn
from taperlab.units.parse import parse_unit

SAMPLE_ROWS = 8

MANY, MOST_HIGH = 6, 264
"""From so many columns on fewer of the first rows are seen, and what is said of columns scrolls, no
higher than this for usual letters [px]."""

AT_ONCE = 100
"""Rows that are read within a frame."""


def put_on_bench(line: Line, place: Workplace) -> bool:
    """Add a line that was read in to the bench and make it current."""
    return bool(place.do(line_edits.add_lines_from, bench_of(line)))


def _fault(layout: Layout) -> TableProblem | None:
    """The first reason why a table can be no line yet."""
    try:
        layout.check()
    except TableProblem as problem:
        return problem
    return None


class TableImportDialog(FormDialog):
    """Says what each column means and in which unit, above the first rows of the table."""

    def __init__(self, layout: Layout, source: str, name: str, place: Workplace) -> None:
        super().__init__(tr("Import {file}").format(file=source), place, accept=tr("Import"))
        self._layout, self._source, self._name = layout, source, name
        count = len(layout.rows)
        said = trn(
            "{count} row. Say what the columns hold; those in doubt are marked.",
            "{count} rows. Say what the columns hold; those in doubt are marked.",
            count,
        )
        self.column.addWidget(label(said.format(count=count), role="soft"))
        columns = QWidget()
        grid = QGridLayout(columns)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(6)
        for at, text in enumerate((tr("Heading in the file"), tr("Holds"), tr("In"), "")):
            grid.addWidget(caption(text), 0, at)
        self.meanings: list[QComboBox] = []
        self.units: list[QComboBox] = []
        self._doubts: list[QLabel] = []
        for i in range(len(layout.headings)):
            self._add_heading(grid, i)
        grid.setColumnStretch(3, 1)
        self.decimal = self._add_decimal(grid)
        # A table of many columns scrolls: the buttons stay on the smallest screen.
        area = scrolling(columns, tr("What the columns hold"))
        area.setFixedHeight(min(columns.sizeHint().height(), px(MOST_HIGH)))
        self.column.addWidget(area)
        self.column.addWidget(caption(tr("The first rows")))
        self.column.addWidget(self._preview())
        self.finish_layout()
        self.setMinimumWidth(px(640))
        self._judge()

    def layout_decided(self) -> Layout:
        """The layout as decided so far."""
        layout = self._layout
        mark = self.decimal.currentData()
        for i, unit_box in enumerate(self.units):
            if self.meanings[i].currentIndex() == 0:
                continue
            column, kind = self._column(i), self._kind(i)
            if kind is None:
                layout = layout.decide(i, column)
            elif unit_box.currentData() is not None:
                layout = layout.decide(i, column, parse_unit(unit_box.currentData(), kind))
        return layout.decide_decimal(mark) if mark else layout

    def try_accept(self) -> None:
        """Read the line with the layout decided on."""
        steps = reading_rows(self.layout_decided(), self._source, self._name)
        at_once = len(self._layout.rows) <= AT_ONCE
        self.setEnabled(at_once)
        read_beside(steps, at_once, self._source, self.place, self._take, self._stay)

    def _stay(self) -> None:
        self.setEnabled(True)

    def _take(self, line: Line | FileProblem) -> None:
        self._stay()
        if isinstance(line, FileProblem):
            self.problem(self.place.read(line.sentence))
            return
        put_on_bench(line, self.place)
        self.accept()

    def reject(self) -> None:
        """Close, unless the table is being read: that is called off where its progress is shown."""
        if self.isEnabled():
            super().reject()

    def _add_decimal(self, grid: QGridLayout) -> QComboBox:
        """Where the commas of the numbers leave it open, what they are."""
        box = QComboBox()
        row = len(self._layout.headings) + 1
        said = label(tr("Commas in numbers"))
        box.setAccessibleName(said.text())
        grid.addWidget(said, row, 0)
        grid.addWidget(box, row, 1)
        doubt = label(tr("decide"), points=SMALL, role="warn")
        grid.addWidget(doubt, row, 3)
        self._decimal_parts = (said, box, doubt)
        box.addItem(tr("decide…"), None)
        box.addItem("", ",")
        box.addItem("", ".")
        box.currentIndexChanged.connect(self._judge)
        return box

    def _show_decimal(self, layout: Layout) -> None:
        """Ask about commas only where they leave it open, with one of them as the example."""
        told = self.decimal.currentData() is not None
        found = layout.open_number
        for part in self._decimal_parts:
            part.setVisible(told or found is not None)
        self._decimal_parts[2].setVisible(not told and found is not None)
        if found is not None:
            text = found[2]
            one, other = text.replace(",", "."), text.replace(",", "")
            self.decimal.setItemText(1, tr("decimal: {number}").format(number=one))
            self.decimal.setItemText(2, tr("thousands: {number}").format(number=other))

    def _add_heading(self, grid: QGridLayout, at: int) -> None:
        head = self._layout.headings[at]
        meaning, unit, doubt = QComboBox(), QComboBox(), label("", points=SMALL, role="warn")
        meaning.setAccessibleName(tr("What column {heading} holds").format(heading=head.text))
        meaning.addItem(tr("decide…"), None)
        for column in READ:
            meaning.addItem(tr(column.said), column)
        meaning.addItem(tr("nothing"), None)
        meaning.setCurrentIndex(READ.index(head.column) + 1 if head.column in READ else 0)
        unit.setAccessibleName(tr("Unit of column {heading}").format(heading=head.text))
        shown = head.text or tr("(column {number})").format(number=at + 1)
        for column_at, widget in enumerate((label(shown), meaning, unit, doubt)):
            grid.addWidget(widget, at + 1, column_at)
        self.meanings.append(meaning)
        self.units.append(unit)
        self._doubts.append(doubt)
        self._fill_units(at)
        meaning.currentIndexChanged.connect(partial(self._meaning_changed, at))
        unit.currentIndexChanged.connect(self._judge)

    def _column(self, at: int) -> Column | None:
        """What a column is said to hold; None for nothing, or where it is not decided."""
        index = self.meanings[at].currentIndex()
        return READ[index - 1] if 0 < index <= len(READ) else None

    def _kind(self, at: int) -> Kind | None:
        column = self._column(at)
        return column.kind if column else None

    def _fill_units(self, at: int) -> None:
        box, kind = self.units[at], self._kind(at)
        box.setVisible(kind is not None)
        with QSignalBlocker(box):
            box.clear()
            if kind is not None:
                known = self._layout.headings[at].unit
                fits = [known.symbol] if known and known.dimension is kind.dimension else []
                box.addItem(tr("decide…"), None)
                for unit in dict.fromkeys((*kind.units, *fits)):
                    box.addItem(unit, unit)
                box.setCurrentIndex(box.findData(fits[0]) if fits else 0)

    def _meaning_changed(self, at: int, *_index: object) -> None:
        self._fill_units(at)
        self._judge()

    def _judge(self) -> None:
        unit_wanted = ""
        for i, (head, doubt, unit) in enumerate(
            zip(self._layout.headings, self._doubts, self.units, strict=True)
        ):
            lacks_unit = self._kind(i) is not None and unit.currentData() is None
            in_doubt = lacks_unit or self.meanings[i].currentIndex() == 0
            doubt.setText(tr("decide") if in_doubt else "")
            doubt.setToolTip(self.place.read(head.question))
            if lacks_unit and not unit_wanted:
                unit_wanted = tr("Choose the unit that “{heading}” is in.").format(
                    heading=head.text
                )
        layout = self.layout_decided()
        self._show_decimal(layout)
        fault = _fault(layout)
        self.problem(unit_wanted or (self.place.read(fault.sentence) if fault else ""))
        self.accept_button.setEnabled(fault is None)

    def _preview(self) -> QTableWidget:
        rows, headings = self._layout.rows[:SAMPLE_ROWS], self._layout.headings
        table = QTableWidget(len(rows), len(headings))
        table.setAccessibleName(tr("The first rows of the table"))
        table.setHorizontalHeaderLabels([head.text for head in headings])
        table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        table.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        table.verticalHeader().hide()
        for i, row in enumerate(rows):
            for j, cell in enumerate(row.cells[: len(headings)]):
                item = QTableWidgetItem(cell)
                if cell[:1].isdigit() or cell[:1] in tuple("+-.,"):
                    item.setTextAlignment(
                        Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                    )
                table.setItem(i, j, item)
        table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        seen = min(6 if len(headings) < MANY else 4, len(rows))
        table.setFixedHeight(px(seen * 30 + 40))
        return table
