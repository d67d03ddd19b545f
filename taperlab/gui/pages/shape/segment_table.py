"""The segment table: its keys, what is chosen in it, and how it follows the document."""

from __future__ import annotations

from PySide6.QtCore import (
    QEvent,
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QPoint,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QContextMenuEvent, QKeyEvent, QKeySequence, QPainter, QPaintEvent
from PySide6.QtWidgets import QHeaderView, QMenu, QWidget

from taperlab.edits import segments as edits
from taperlab.gui.kit import theme as theming
from taperlab.gui.pages.shape.clipboard_commands import ClipboardCommands
from taperlab.gui.pages.shape.commands import COMMANDS, command_menu
from taperlab.gui.pages.shape.row_commands import RowCommands
from taperlab.gui.pages.shape.segment_delegate import SegmentDelegate
from taperlab.gui.pages.shape.segment_headers import ColumnHeader, RowHeader
from taperlab.gui.pages.shape.segment_model import SegmentModel
from taperlab.gui.state.document import Change, Document, Reason
from taperlab.gui.state.settings import Settings
from taperlab.gui.table.columns import COLUMNS
from taperlab.gui.table.editors import opens_list
from taperlab.gui.table.keys import Go, go_for
from taperlab.gui.table.typing_table import TypingTable

ROW_HEIGHT = 28

_SELECT = QItemSelectionModel.SelectionFlag


class SegmentTable(RowCommands, ClipboardCommands, TypingTable):
    """The line in hand as a table in which every number can be typed.

    said(str): what was copied or left out.
    """

    said = Signal(str)

    def __init__(
        self,
        document: Document,
        settings: Settings,
        theme: theming.Theme,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(theme, parent)
        self._document = document
        self._settings = settings
        self._choose_after = False
        self.segments = SegmentModel(document, settings, self)
        self.segments.initiator = self
        self.segments.updated.connect(self._updated)
        self.type_into(self.segments, SegmentDelegate(self.segments, theme, self._bubble, self))
        self.setHorizontalHeader(ColumnHeader(self.segments, theme, self))
        self.setVerticalHeader(RowHeader(self.segments, theme, self))
        self._set_up()
        settings.units_changed.connect(self._units_changed)
        theme.changed.connect(self._theme_changed)
        self._theme_changed()

    def _set_up(self) -> None:
        self.setAccessibleName("Segments")
        self.setAccessibleDescription(
            "The segments of the line from the fly end. Type into any cell; Control and Tab "
            "leaves the table."
        )
        self.setMouseTracking(False)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.DefaultContextMenu)
        rows, columns = self.verticalHeader(), self.horizontalHeader()
        rows.setDefaultSectionSize(ROW_HEIGHT)
        columns.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        for i, column in enumerate(COLUMNS):
            self.setColumnWidth(i, column.width)
        columns.setMinimumSectionSize(44)
        columns.setStretchLastSection(True)
        if self.segments.rowCount():
            self.setCurrentIndex(self.segments.index(0, 0))

    def sizeHint(self) -> QSize:
        """Six rows."""
        width = self.verticalHeader().sizeHint().width() + sum(c.width for c in COLUMNS)
        return QSize(width + 2, self.horizontalHeader().sizeHint().height() + 7 * ROW_HEIGHT)

    def minimumSizeHint(self) -> QSize:
        """Two rows; the rest scrolls."""
        return QSize(260, self.horizontalHeader().sizeHint().height() + 3 * ROW_HEIGHT)

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
            self._add_row()
            row, column = self.segments.count - 1, 0
        self.go_to(row, column)

    def _add_row(self) -> None:
        line = self._document.line
        if line is not None:
            self._tell(self.segments.apply(edits.insert_default, line.key, self.segments.count))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The keys of a spreadsheet."""
        if not self._take_key(event):
            super().keyPressEvent(event)

    def _take_key(self, event: QKeyEvent) -> bool:
        keys = (
            (QKeySequence.StandardKey.Copy, self.copy),
            (QKeySequence.StandardKey.Cut, self.cut),
            (QKeySequence.StandardKey.Paste, self.paste),
            (QKeySequence.StandardKey.SelectAll, self.select_all),
        )
        for key, do in keys:
            if event.matches(key):
                do()
                return True
        pressed = QKeySequence(event.keyCombination()).toString()
        for command in COMMANDS:
            if command and command.keys == pressed:
                getattr(self, command.method)()
                return True
        index, key = self.currentIndex(), event.key()
        go = go_for(event)
        if go is not None:
            at_add = index.isValid() and index.row() == self.segments.count
            if go is Go.DOWN and at_add:
                self._add_row()
                self.go_to(self.segments.count - 1, 0)
            else:
                self.go(go)
            return True
        if self.leave_by_tab(event):
            return True
        if key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.clear_cells()
            return True
        plain_space = key == Qt.Key.Key_Space and not event.modifiers()
        if self.on_part() and (opens_list(event) or plain_space):
            self.open_part_list()
            return True
        if key == Qt.Key.Key_Space and event.modifiers() == Qt.KeyboardModifier.ShiftModifier:
            self.selectRow(index.row())
            return True
        control = event.modifiers() & Qt.KeyboardModifier.ControlModifier
        return key == Qt.Key.Key_Space and not control

    # -- choosing -----------------------------------------------------------------------------

    def selected_rows(self) -> list[int]:
        """Rows with a selected cell, or the row of the current one; the adding row is none."""
        found = {
            row
            for part in self.selectionModel().selection()
            for row in range(part.top(), part.bottom() + 1)
        }
        if not found and self.currentIndex().isValid():
            found = {self.currentIndex().row()}
        return sorted(row for row in found if row < self.segments.count)

    def selects_whole_rows(self) -> bool:
        """Whether all that is selected is whole rows."""
        chosen = self.selectionModel().selection()
        return bool(chosen) and all(
            part.left() == 0 and part.right() == len(COLUMNS) - 1 for part in chosen
        )

    def select_rows(self, rows: tuple[int, ...] | list[int]) -> None:
        """Select segments: one row keeps to the column in use, several are selected whole."""
        rows = sorted({min(row, self.segments.count - 1) for row in rows if row >= 0})
        if not rows or rows[0] < 0:
            return
        model, column = self.segments, max(0, self.currentIndex().column())
        current = model.index(rows[0], column)
        if len(rows) == 1:
            self.selectionModel().setCurrentIndex(current, _SELECT.ClearAndSelect)
        else:
            chosen = QItemSelection()
            for row in rows:
                chosen.select(model.index(row, 0), model.index(row, len(COLUMNS) - 1))
            self.selectionModel().setCurrentIndex(current, _SELECT.NoUpdate)
            self.selectionModel().select(chosen, _SELECT.ClearAndSelect)
        self.scrollTo(model.index(rows[-1], column))
        self.scrollTo(current)

    # -- what can be done to rows -------------------------------------------------------------

    def _edit_rows(self, edit: object, *arguments: object, **options: object) -> None:
        line = self._document.line
        if line is not None and self.commit_open_editor():
            self._tell(self._apply_and_choose(edit, line.key, *arguments, **options))

    def _apply_and_choose(self, edit: object, *arguments: object, **options: object) -> str:
        """Do an edit and select the rows that it concerns; what is wrong with it, or nothing."""
        self._choose_after = True
        sentence = self.segments.apply(edit, *arguments, **options)
        self._choose_after = False
        return sentence

    def _tell(self, sentence: str) -> None:
        if sentence:
            self.problem.emit(sentence)

    # -- following ----------------------------------------------------------------------------

    def _updated(self, change: Change) -> None:
        if change.reason in (Reason.UNDO, Reason.REDO) or (
            self._choose_after and change.initiator is self
        ):
            self.select_rows(change.rows)
        elif change.reason is not Reason.EDIT and not self.currentIndex().isValid():
            self.setCurrentIndex(self.segments.index(0, 0))

    def _units_changed(self) -> None:
        # What is being typed was meant in the units that were shown.
        self.commit_open_editor()
        self.segments.use_system(self._settings.system)

    def _theme_changed(self) -> None:
        tokens = self._theme.tokens
        self._bubble.use(tokens)
        self._delegate.use_theme()
        self.setStyleSheet(
            f"QTableCornerButton::section {{ background: {tokens.card}; border: none;"
            f" border-bottom: 1px solid {tokens.rule}; }}"
        )
        self.viewport().update()

    def currentChanged(self, current: QModelIndex, previous: QModelIndex) -> None:
        """Repaint the frame where it was and where it is."""
        super().currentChanged(current, previous)
        self.update(previous)

    def focusInEvent(self, event: QEvent) -> None:
        """Show the focus ring."""
        super().focusInEvent(event)
        self.update(self.currentIndex())

    def focusOutEvent(self, event: QEvent) -> None:
        """Take the focus ring away."""
        super().focusOutEvent(event)
        self.update(self.currentIndex())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the cells, or a sentence where there is no line."""
        super().paintEvent(event)
        if self.segments.rowCount() == 0:
            painter = QPainter(self.viewport())
            painter.setFont(theming.font())
            painter.setPen(QColor(self._theme.tokens.soft))
            painter.drawText(
                self.viewport().rect(),
                int(Qt.AlignmentFlag.AlignCenter),
                "No line in hand. Add one at the left.",
            )

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer what can be done to rows, at the pointer or under the current cell."""
        where = event.globalPos()
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            box = self.visualRect(self.currentIndex())
            where = self.viewport().mapToGlobal(box.bottomLeft() + QPoint(12, 0))
        self.context_menu().popup(where)

    def context_menu(self) -> QMenu:
        """A menu of :data:`COMMANDS`."""
        return command_menu(self)


__all__ = ["ROW_HEIGHT", "SegmentTable"]
