"""The segment table as it is seen: its keys, what is chosen in it, how it follows the document."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby
from typing import Any

from PySide6.QtCore import QItemSelection, QItemSelectionModel, QKeyCombination, QSize, Qt
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHeaderView, QWidget

from taperlab.edits import rows as row_edits
from taperlab.edits.edited import Edited
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.host import Workplace
from taperlab.gui.pages.shape.columns import COLUMNS, Col, places_of
from taperlab.gui.pages.shape.segment_looks import (
    HEADING_HEIGHT,
    NUMBERS_WIDTH,
    ColumnHeader,
    RowHeader,
    SegmentDelegate,
    StartsHeading,
)
from taperlab.gui.pages.shape.segment_model import SegmentModel
from taperlab.gui.state.document import Change, Outcome, Reason
from taperlab.gui.state.watch import Watch
from taperlab.gui.table.editors import Go, go_for
from taperlab.gui.table.typing_table import TableKey, TypingTable
from taperlab.units.language import later, tr
from taperlab.units.sentence import Sentence, verbatim

ROW_HEIGHT = 28

_SELECT = QItemSelectionModel.SelectionFlag
_CONTROL = Qt.KeyboardModifier.ControlModifier


class SegmentView(TypingTable):
    """The current line as a table in which every number can be typed."""

    KEYS = (
        *TypingTable.KEYS,
        TableKey((Qt.Key.Key_Space,), later("List the parts, in their column"), "open_part_list"),
        TableKey(
            (QKeyCombination(Qt.KeyboardModifier.ShiftModifier, Qt.Key.Key_Space),),
            later("Select the whole segment"),
            "select_row",
        ),
    )

    def __init__(self, place: Workplace, watch: Watch, parent: QWidget | None = None) -> None:
        super().__init__(place, parent)
        self.segments = SegmentModel(place, watch, self)
        self.segments.updated.connect(self._updated)
        self.setHorizontalHeader(ColumnHeader(self.segments, place.theme, self))
        self._letters = 0.0
        self._rows = RowHeader(self.segments, place.theme, self)
        self.setVerticalHeader(self._rows)
        self._starts_heading = StartsHeading(self.segments, place.theme, self)
        self.type_into(self.segments, SegmentDelegate(self.segments, place, self._bubble, self))
        self._delegate.refused.connect(place.host.say_problem)
        self.setAccessibleName(tr("Segments"))
        self.setAccessibleDescription(
            tr(
                "The segments of the line from the fly end. Type into any cell; Control and Tab "
                "leaves the table."
            )
        )
        columns = self.horizontalHeader()
        columns.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        columns.setStretchLastSection(True)
        if self.segments.rowCount():
            self.setCurrentIndex(self.segments.index(0, 0))
        watch.units_changed.connect(self._units_changed)
        for told in (
            self.segments.headerDataChanged,
            self.segments.starts_moved,
            self.segments.modelReset,
        ):
            told.connect(self._fit_starts)
        # What was cut off at the edge, and so not read, is painted anew once it is whole.
        self.horizontalScrollBar().valueChanged.connect(lambda: self.viewport().update())
        self._fit_starts()

    def minimumSizeHint(self) -> QSize:
        """Two rows; the rest scrolls."""
        rows = 3 * theming.px(ROW_HEIGHT)
        return QSize(theming.px(260), self.horizontalHeader().sizeHint().height() + rows)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Where the columns up to the weight have room beside them, say where rows begin."""
        super().resizeEvent(event)
        self._fit_starts()

    def _fit_starts(self) -> None:
        """Show where rows begin, if the columns that are looked at most stay in sight."""
        bar = self.verticalScrollBar()
        room = self.width() - (bar.width() if bar.isVisible() else 0)
        numbers = theming.px(NUMBERS_WIDTH)
        kept = numbers + sum(self.columnWidth(i) for i in range(Col.WEIGHT + 1))
        starts = self._rows.starts_needed
        if not self.segments.count or kept + starts > room:
            starts = 0
        if starts != self._rows.starts_width:
            self._rows.starts_width = starts
            self.updateGeometries()
        self._starts_heading.setVisible(starts > 0)
        self._starts_heading.setGeometry(numbers, 0, starts, theming.px(HEADING_HEIGHT))
        self._starts_heading.update()  # of other units, as wide as before
        self._starts_heading.raise_()
        self._rows.viewport().update()

    # -- edits --------------------------------------------------------------------------------

    def edit_rows(self, edit: Callable[..., Edited], *arguments: Any, **options: Any) -> Outcome:
        """Do an edit of the current line, after what is being typed; the rows it names are chosen.

        Refused without a line, or where what is being typed can't be used.
        """
        line, editor = self.place.document.line, self.open_editor()
        if line is None:
            return Outcome(refused=Sentence("There is no line on the bench."))
        if editor is not None and not self.commit_open_editor():
            return Outcome(refused=verbatim(editor.sentence))
        return self.place.do(edit, line.key, *arguments, initiator=self, **options)

    # -- moving -------------------------------------------------------------------------------

    def go(self, go: Go) -> None:
        """Move the current cell on; past the last cell a row is added."""
        index = self.currentIndex()
        if not index.isValid():
            return
        row, column, last = index.row(), index.column(), len(COLUMNS) - 1
        count = self.segments.count
        if go is Go.UP:
            row = max(0, row - 1)
        elif go is Go.DOWN:
            row = min(count, row + 1)
        elif go is Go.BACK:
            row, column = (row, column - 1) if column > 0 else (max(0, row - 1), last)
        elif column < last and row < count:
            column += 1
        elif row < count - 1:
            row, column = row + 1, 0
        else:
            self.add_row()
            return
        self.go_to(row, column)

    def add_row(self) -> None:
        """Add a row at the rod end and go to it."""
        self.edit_rows(row_edits.insert_default, self.segments.count)
        self.go_to(self.segments.count - 1, 0)

    def take_key(self, event: QKeyEvent) -> bool:
        """Enter may add a row."""
        index = self.currentIndex()
        if go_for(event) is Go.DOWN and index.isValid() and index.row() == self.segments.count:
            self.add_row()
            return True
        if super().take_key(event):
            return True
        # Elsewhere Space opens no editor either.
        return event.key() == Qt.Key.Key_Space and not event.modifiers() & _CONTROL

    def select_row(self) -> None:
        """Select all of the current row."""
        self.selectRow(self.currentIndex().row())

    # -- choosing -----------------------------------------------------------------------------

    def selects_whole_rows(self) -> bool:
        """Whether all that is selected is whole rows."""
        chosen, last = self.selected_ranges(), len(COLUMNS) - 1
        return bool(chosen) and all(part.left() == 0 and part.right() == last for part in chosen)

    def selected_columns(self) -> list[int]:
        """Columns with a selected cell."""
        chosen = self.selected_ranges()
        return sorted({c for part in chosen for c in range(part.left(), part.right() + 1)})

    def select_rows(self, rows: Sequence[int], columns: Sequence[int] = ()) -> None:
        """Select segments, whole or in some columns; one whole row keeps to the column in use."""
        rows = sorted({min(row, self.segments.count - 1) for row in rows if row >= 0})
        if not rows or rows[0] < 0:
            return
        model, column = self.segments, max(0, self.currentIndex().column())
        if columns and column not in columns:
            column = columns[0]
        current = model.index(rows[0], column)
        if not columns and len(rows) > 1:
            columns = range(len(COLUMNS))
        if len(rows) == 1 and len(columns) < 2:
            self.selectionModel().setCurrentIndex(current, _SELECT.ClearAndSelect)
        else:
            chosen = QItemSelection()
            for row in rows:
                for first, last in _runs(columns):
                    chosen.select(model.index(row, first), model.index(row, last))
            self.selectionModel().setCurrentIndex(current, _SELECT.NoUpdate)
            self.selectionModel().select(chosen, _SELECT.ClearAndSelect)
        self.scrollTo(model.index(rows[-1], column))
        self.scrollTo(current)

    # -- following ----------------------------------------------------------------------------

    def _updated(self, change: Change) -> None:
        if change.reason in (Reason.UNDO, Reason.REDO) or change.initiator is self:
            self.select_rows(change.rows, places_of(change.columns))
        if not self.currentIndex().isValid() and self.segments.rowCount():
            self.go_to(0, 0)  # what is typed next goes somewhere

    def _units_changed(self) -> None:
        # What is being typed was meant in the units that were shown.
        self.commit_open_editor()
        self.segments.use_system(self.place.system)

    def use_theme(self) -> None:
        """Take the colours and letters of the theme in force."""
        super().use_theme()
        now = theming.letters()
        if now != self._letters:
            self._letters = now
            self.verticalHeader().setDefaultSectionSize(theming.px(ROW_HEIGHT))
            self.horizontalHeader().setMinimumSectionSize(theming.px(44))
            for i, column in enumerate(COLUMNS):
                self.setColumnWidth(i, theming.px(column.width))
        tokens = self.place.theme.tokens
        self.setStyleSheet(
            f"QTableCornerButton::section {{ background: {tokens.card}; border: none;"
            f" border-bottom: 1px solid {tokens.rule}; }}"
        )
        self._fit_starts()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the cells, or a sentence where there is no line."""
        super().paintEvent(event)
        if self.segments.rowCount() == 0:
            painter = QPainter(self.viewport())
            painter.setFont(theming.font())
            painter.setPen(QColor(self.place.theme.tokens.soft))
            painter.drawText(
                self.viewport().rect(),
                int(Qt.AlignmentFlag.AlignCenter),
                tr("No line on the bench. Add one at the left."),
            )


def _runs(columns: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Columns as stretches without a gap: the first and the last of each."""
    ordered = sorted(columns)
    for _, run in groupby(enumerate(ordered), lambda numbered: numbered[1] - numbered[0]):
        stretch = [column for _, column in run]
        yield stretch[0], stretch[-1]
