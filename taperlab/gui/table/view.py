"""The segment table: keys, mouse, clipboard, and what can be done to rows."""

from __future__ import annotations

from dataclasses import dataclass

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
from PySide6.QtGui import (
    QAction,
    QColor,
    QContextMenuEvent,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QHeaderView,
    QMenu,
    QTableView,
    QWidget,
)

from taperlab.edits import segments as edits
from taperlab.edits.edited import Refused
from taperlab.edits.segments import Column as FillColumn
from taperlab.edits.together import Step, together
from taperlab.files.cells import to_tsv
from taperlab.gui import theme as theming
from taperlab.gui.document import Change, Document, Reason
from taperlab.gui.settings import Settings
from taperlab.gui.table.clipboard import CannotPaste, headings, paste_block, read_block
from taperlab.gui.table.columns import COLUMNS, Col
from taperlab.gui.table.delegate import Go, SegmentDelegate, go_for
from taperlab.gui.table.dialogs import (
    CoreDialog,
    JointDialog,
    MergeDialog,
    SmallDialog,
    SplitDialog,
)
from taperlab.gui.table.editors import Bubble, CellEdit, PartEdit, opens_list
from taperlab.gui.table.headers import ColumnHeader, RowHeader
from taperlab.gui.table.model import SegmentModel
from taperlab.physics.water import water_state

ROW_HEIGHT = 28

_SELECT = QItemSelectionModel.SelectionFlag
_FILLED = {
    Col.PART: FillColumn.PART,
    Col.LENGTH: FillColumn.LENGTH,
    Col.FRONT_DIAMETER: FillColumn.FRONT_DIAMETER,
    Col.REAR_DIAMETER: FillColumn.REAR_DIAMETER,
    Col.DENSITY: FillColumn.DENSITY,
    Col.WEIGHT: FillColumn.WEIGHT,
    Col.NOTE: FillColumn.NOTE,
}


@dataclass(frozen=True, slots=True)
class Command:
    """Something that can be done to rows: the name of the method, words, keys, and a tip."""

    method: str
    text: str
    keys: str = ""
    tip: str = ""


COMMANDS: tuple[Command | None, ...] = (
    Command("cut", "Cut", "Ctrl+X", "Copy whole rows and take them out."),
    Command("copy", "Copy", "Ctrl+C", "Copy the cells as a spreadsheet takes them."),
    Command("copy_with_headings", "Copy with headings", "Ctrl+Shift+C"),
    Command("paste", "Paste", "Ctrl+V", "Fill cells from the current one on."),
    Command("fill_down", "Fill down", "Ctrl+D", "Give the cells below what the first one has."),
    Command("select_all", "Select all", "Ctrl+A"),
    None,
    Command("insert_above", "Insert row above", "Ctrl+Shift+I"),
    Command("insert_below", "Insert row below", "Ctrl+Return"),
    Command("duplicate_rows", "Duplicate rows"),
    Command("delete_rows", "Delete rows", "Ctrl+Backspace"),
    Command("move_up", "Move rows up", "Ctrl+Shift+Up", "One row toward the fly."),
    Command("move_down", "Move rows down", "Ctrl+Shift+Down", "One row toward the rod."),
    None,
    Command("split_here", "Split row…", "Ctrl+T", "Two rows of the same taper, cut at a distance."),
    Command("merge_rows", "Merge rows", "Ctrl+M", "One row of neighbours; the weight stays."),
    Command("reverse_line", "Reverse line", "Ctrl+Shift+R", "Turn the whole line end for end."),
    None,
    Command("edit_core", "Core and coating…", "", "A core of one diameter inside the coating."),
    Command("edit_joint", "Joint to next row…", "Ctrl+J", "How this row meets the next."),
)
"""What the context menu offers, in order; None parts groups. A window makes its actions of it."""


class SegmentTable(QTableView):
    """The line in hand as a table in which every number can be typed.

    problem(str): why typed or pasted text was not taken. said(str): what was copied or left out.
    """

    problem = Signal(str)
    said = Signal(str)

    def __init__(
        self,
        document: Document,
        settings: Settings,
        theme: theming.Theme,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._settings = settings
        self._theme = theme
        self._column = 0
        self._choose_after = False
        self.segments = SegmentModel(document, settings, self)
        self.segments.initiator = self
        self.segments.problem.connect(self.problem)
        self.segments.updated.connect(self._updated)
        self._bubble = Bubble(self.viewport())
        self._delegate = SegmentDelegate(self.segments, theme, self._bubble, self)
        self._delegate.left.connect(self.go)
        self.setModel(self.segments)
        self.setItemDelegate(self._delegate)
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
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setMouseTracking(False)
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.AnyKeyPressed
        )
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
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

    @property
    def holds(self) -> str:
        """While an edit of the table is being done: what stays as it was typed."""
        return self.segments.holds

    # -- the open editor ----------------------------------------------------------------------

    def commit_open_editor(self) -> bool:
        """Take what is being typed. False if it can't be used: then the editor stays open."""
        editor = self._delegate.open_editor()
        return editor is None or self._delegate.finish(editor)

    def discard_open_editor(self) -> None:
        """Close the editor without taking its text."""
        editor = self._delegate.open_editor()
        if editor is not None:
            editor.say("")
            self.closeEditor(editor, QAbstractItemDelegate.EndEditHint.RevertModelCache)

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Close an editor, unless its text waits to be mended."""
        kept = hint == QAbstractItemDelegate.EndEditHint.RevertModelCache
        if isinstance(editor, CellEdit) and editor.sentence and not kept:
            return
        super().closeEditor(editor, hint)

    def edit_current(self) -> None:
        """Open the editor of the current cell."""
        if self.currentIndex().isValid():
            self.edit(self.currentIndex())

    def open_part_list(self) -> None:
        """Open the list of parts on the current cell."""
        index = self.currentIndex()
        if index.isValid() and index.column() == Col.PART:
            self.edit(index)
            editor = self._delegate.open_editor()
            if isinstance(editor, PartEdit):
                editor.open_list()

    def _waits_to_be_mended(self) -> CellEdit | None:
        editor = self._delegate.open_editor()
        return editor if editor is not None and editor.sentence else None

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
        self._go_to(row, column)

    def _add_row(self) -> None:
        line = self._document.line
        if line is not None:
            self._tell(self.segments.apply(edits.insert_default, line.key, self.segments.count))

    def _go_to(self, row: int, column: int) -> None:
        index = self.segments.index(row, column)
        self.selectionModel().setCurrentIndex(index, _SELECT.ClearAndSelect)
        self.scrollTo(index)

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
                self._go_to(self.segments.count - 1, 0)
            else:
                self.go(go)
            return True
        control = event.modifiers() & Qt.KeyboardModifier.ControlModifier
        if key in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab) and control:
            # The item view's own would only send itself another Tab.
            QWidget.focusNextPrevChild(self, key == Qt.Key.Key_Tab)
            return True
        if key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self._clear()
            return True
        is_part = index.isValid() and index.column() == Col.PART
        if is_part and (opens_list(event) or (key == Qt.Key.Key_Space and not event.modifiers())):
            self.open_part_list()
            return True
        if key == Qt.Key.Key_Space and event.modifiers() == Qt.KeyboardModifier.ShiftModifier:
            self.selectRow(index.row())
            return True
        return key == Qt.Key.Key_Space and not control

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Text that can't be used is mended, or left with Esc, before another cell is taken."""
        editor = self._waits_to_be_mended()
        if editor is not None:
            editor.setFocus()
            return
        super().mousePressEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """As a press."""
        if self._waits_to_be_mended() is None:
            super().mouseDoubleClickEvent(event)

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

    def select_all(self) -> None:
        """Select every segment; the row that adds one is left out."""
        if self.segments.count:
            last = self.segments.index(self.segments.count - 1, len(COLUMNS) - 1)
            self.selectionModel().select(
                QItemSelection(self.segments.index(0, 0), last), _SELECT.ClearAndSelect
            )

    def selectAll(self) -> None:
        """As :meth:`select_all`, for whoever calls it by Qt's name."""
        self.select_all()

    # -- what can be done to rows -------------------------------------------------------------

    def insert_above(self) -> None:
        """Put a sensible row in before the first selected one."""
        rows = self.selected_rows()
        self._rows_edit(edits.insert_default, rows[0] if rows else self.segments.count)

    def insert_below(self) -> None:
        """Put a sensible row in behind the last selected one."""
        rows = self.selected_rows()
        self._rows_edit(edits.insert_default, rows[-1] + 1 if rows else self.segments.count)

    def delete_rows(self) -> None:
        """Take the selected rows out."""
        self._rows_edit(edits.delete, self.selected_rows())

    def duplicate_rows(self) -> None:
        """Copy the selected rows to behind the last of them."""
        self._rows_edit(edits.duplicate, self.selected_rows())

    def move_up(self) -> None:
        """Move the selected rows one toward the fly."""
        rows = self.selected_rows()
        if rows and rows[0] > 0:
            self._rows_edit(edits.move, rows, rows[0] - 1)

    def move_down(self) -> None:
        """Move the selected rows one toward the rod."""
        rows = self.selected_rows()
        if rows and rows[-1] + 1 < self.segments.count:
            self._rows_edit(edits.move, rows, rows[-1] + 2)

    def reverse_line(self) -> None:
        """Turn the whole line end for end."""
        self._rows_edit(edits.reverse)

    def fill_down(self) -> None:
        """Give every selected cell the value of the first one in its column."""
        line = self._document.line
        rows = self.selected_rows()
        if line is None or len(rows) < 2:
            self._tell("Select two or more cells below each other to fill down.")
            return
        columns = sorted(
            {
                column
                for part in self.selectionModel().selection()
                for column in range(part.left(), part.right() + 1)
            }
        )
        if self.selects_whole_rows():
            columns = [c for c in columns if c in _FILLED and c != Col.WEIGHT]
        steps: list[Step] = []
        for column in columns:
            if column in _FILLED:
                steps.append((edits.fill_down, (line.key, rows, _FILLED[column])))
            else:
                steps += self._fill_worked_out(line.key, rows, column)
        self._choose_after = True
        self._tell(self.segments.apply(together, "Fill down", steps, tuple(rows)))
        self._choose_after = False

    def _fill_worked_out(self, line: str, rows: list[int], column: int) -> list[Step]:
        figures, solve = self.segments.row(rows[0]).figures, self._settings.solve
        if column == Col.SINK_RATE:
            state = water_state(self._document.bench.water)
            return [(edits.set_sink_rate, (line, row, figures.sink, state)) for row in rows[1:]]
        if column == Col.FRONT_WEIGHT_PER_LENGTH:
            edit, value = edits.set_front_linear_density, figures.front_linear_density
        else:
            edit, value = edits.set_rear_linear_density, figures.rear_linear_density
        return [(edit, (line, row, value, solve)) for row in rows[1:]]

    def merge_rows(self) -> MergeDialog | None:
        """Make one row of the selected ones; asks first where that changes the shape."""
        line, rows = self._document.line, self.selected_rows()
        if line is None:
            return None
        try:
            edits.merge(self._document.bench, line.key, rows)
        except Refused as problem:
            try:
                edits.merge(self._document.bench, line.key, rows, keep_weight=True)
            except Refused:
                self._rows_edit(edits.merge, rows)
                return None
            dialog = MergeDialog(rows, problem.sentence, self)
            dialog.accepted.connect(self._merge_anyway)
            return self._open(dialog)
        self._rows_edit(edits.merge, rows)
        return None

    def split_here(self) -> SplitDialog | None:
        """Ask where to split the current row, and split it there."""
        row = self._one_row()
        if row is None:
            return None
        dialog = SplitDialog(row, self.segments.row(row).segment, self._settings, self)
        dialog.accepted.connect(self._split)
        return self._open(dialog)

    def edit_core(self) -> CoreDialog | None:
        """Ask for the core and coating of the current row."""
        row = self._one_row()
        if row is None:
            return None
        dialog = CoreDialog(row, self.segments.row(row).segment, self._settings, self)
        dialog.accepted.connect(self._set_core)
        dialog.removed.connect(self._remove_core)
        return self._open(dialog)

    def edit_joint(self) -> JointDialog | None:
        """Ask how the current row meets the next."""
        row = self._one_row()
        line = self._document.line
        if row is None or line is None:
            return None
        if row + 1 >= self.segments.count:
            self._tell("The last row meets no other: choose the row ahead of the joint.")
            return None
        dialog = JointDialog(
            row, line.segments[row], line.segments[row + 1], line.joints[row], self._settings, self
        )
        dialog.accepted.connect(self._set_joint)
        return self._open(dialog)

    def _one_row(self) -> int | None:
        self.commit_open_editor()
        row = self.currentIndex().row()
        if not 0 <= row < self.segments.count:
            self._tell("Choose a segment first.")
            return None
        return row

    def _open(self, dialog: SmallDialog) -> SmallDialog:
        dialog.open()
        return dialog

    def _merge_anyway(self) -> None:
        self._rows_edit(edits.merge, self.sender().rows, keep_weight=True)

    def _split(self) -> None:
        dialog = self.sender()
        self._rows_edit(edits.split_segment, dialog.row, dialog.distance.value())

    def _set_core(self) -> None:
        dialog = self.sender()
        self._rows_edit(
            edits.set_core,
            dialog.row,
            dialog.diameter.value(),
            dialog.density.value(),
            dialog.coating.value(),
        )

    def _remove_core(self) -> None:
        self._rows_edit(edits.remove_core, self.sender().row)

    def _set_joint(self) -> None:
        dialog = self.sender()
        self._rows_edit(edits.set_joint, dialog.row, dialog.joint())

    def _rows_edit(self, edit: object, *arguments: object, **options: object) -> None:
        line = self._document.line
        if line is None or not self.commit_open_editor():
            return
        self._choose_after = True
        self._tell(self.segments.apply(edit, line.key, *arguments, **options))
        self._choose_after = False

    def _tell(self, sentence: str) -> None:
        if sentence:
            self.problem.emit(sentence)

    # -- clipboard ----------------------------------------------------------------------------

    def copy(self) -> None:
        """Copy the selected cells with the numbers as shown."""
        self._copy(with_headings=False)

    def copy_with_headings(self) -> None:
        """Copy the selected cells under a header row with units."""
        self._copy(with_headings=True)

    def _copy(self, *, with_headings: bool) -> None:
        cells = {
            (index.row(), index.column())
            for index in self.selectionModel().selectedIndexes()
            if index.row() < self.segments.count
        }
        if not cells:
            return
        rows = sorted({row for row, _ in cells})
        columns = sorted({column for _, column in cells})
        texts = [
            [
                self.segments.copy_text(row, column) if (row, column) in cells else ""
                for column in columns
            ]
            for row in rows
        ]
        if with_headings:
            texts.insert(0, headings(columns, self._settings.system))
        QGuiApplication.clipboard().setText(to_tsv(texts))
        self.said.emit(f"Copied {len(rows)} {'row' if len(rows) == 1 else 'rows'}.")

    def cut(self) -> None:
        """Copy whole rows and take them out; a note can be cut by itself."""
        if self.selects_whole_rows():
            self.copy()
            self.delete_rows()
        elif self._only_notes():
            self.copy()
            self._clear()
        else:
            self._tell("A number can't be cut out of a row: select the whole row, or copy.")

    def paste(self) -> None:
        """Fill cells from the current one on; nothing is pasted if any cell can't be read."""
        line, index = self._document.line, self.currentIndex()
        if line is None or not index.isValid():
            return
        chosen = self.selectionModel().selection()
        first = min([index.column(), *(part.left() for part in chosen)])
        row = min([index.row(), *(part.top() for part in chosen)])
        try:
            block = read_block(QGuiApplication.clipboard().text(), first, self._settings.system)
        except CannotPaste as problem:
            self._tell(str(problem))
            return
        state = water_state(self._document.bench.water)
        self._choose_after = True
        sentence = self.segments.apply(
            paste_block, line.key, row, block.rows, self._settings.solve, state
        )
        self._choose_after = False
        if sentence:
            self._tell(sentence)
        elif block.left_out:
            self.said.emit(f"Pasted; left out, as no column here: {', '.join(block.left_out)}.")

    def _only_notes(self) -> bool:
        indexes = self.selectionModel().selectedIndexes()
        return bool(indexes) and all(index.column() == Col.NOTE for index in indexes)

    def _clear(self) -> None:
        line, rows = self._document.line, self.selected_rows()
        if line is None or not rows:
            return
        if self.selects_whole_rows():
            self.delete_rows()
        elif self._only_notes():
            steps: list[Step] = [(edits.set_note, (line.key, row, "")) for row in rows]
            self._tell(self.segments.apply(together, "Clear note", steps, tuple(rows)))
        else:
            self._tell("A number can't be empty: type another, or select the whole row to delete.")

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
                "No line in hand. Add one to the rack.",
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
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for command in COMMANDS:
            if command is None:
                menu.addSeparator()
                continue
            keys = QKeySequence(command.keys).toString(QKeySequence.SequenceFormat.NativeText)
            action = QAction(f"{command.text}\t{keys}" if keys else command.text, menu)
            action.setToolTip(command.tip)
            action.triggered.connect(getattr(self, command.method))
            menu.addAction(action)
        return menu


__all__ = ["COMMANDS", "ROW_HEIGHT", "Command", "SegmentTable"]
