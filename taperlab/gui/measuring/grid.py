"""A small table whose cells can be typed into: for stations, sections and fitted segments."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import shiboken6
from PySide6.QtCore import (
    QAbstractTableModel,
    QEvent,
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QObject,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QFontMetrics,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QHeaderView,
    QStyle,
    QStyledItemDelegate,
    QTableView,
    QWidget,
)

from taperlab.files.cells import to_tsv
from taperlab.gui import theme as theming
from taperlab.gui.table.delegate import Go, go_for
from taperlab.gui.table.editors import Bubble, CellEdit, PartEdit, opens_list

ROW_HEIGHT = 26
PAD = 8

_SELECT = QItemSelectionModel.SelectionFlag


@dataclass(frozen=True, slots=True)
class Heading:
    """One column: what stands above it, its full name, its narrowest width [px], and its help.

    right: numbers stand right. typed: whether it can be typed into. part: whether it holds a part.
    spare: a column that goes where there is no room for all.
    """

    text: str
    name: str
    width: int
    help: str
    right: bool = True
    typed: bool = True
    part: bool = False
    spare: bool = False


@dataclass(frozen=True, slots=True)
class GridCell:
    """What a cell shows; role: "" for ink, "soft", "warn" or "strong"."""

    text: str
    role: str = ""
    tip: str = ""


EMPTY = GridCell("")


class GridModel(QAbstractTableModel):
    """Rows of texts that somebody else makes; typed text goes to :meth:`commit`.

    ``adds``: a last row is for adding another. Rows are told apart by their keys, so that a
    change moves no other row and repaints only cells whose text is another.
    """

    problem = Signal(str)

    def __init__(self, headings: Sequence[Heading], *, adds: bool, parent: Any = None) -> None:
        super().__init__(parent)
        self.headings = tuple(headings)
        self.adds = adds
        self._cells: list[tuple[GridCell, ...]] = []

    @property
    def count(self) -> int:
        """Rows that hold something; the one that adds is not counted."""
        return len(self._cells)

    def cell(self, row: int, column: int) -> GridCell:
        """What a cell shows."""
        if row < len(self._cells):
            return self._cells[row][column]
        return self.adding_cell(column)

    def adding_cell(self, column: int) -> GridCell:
        """What a cell of the adding row shows."""
        return EMPTY

    def edit_text(self, row: int, column: int) -> str:
        """The text that an editor starts with."""
        return self.cell(row, column).text if row < len(self._cells) else ""

    def commit(self, row: int, column: int, text: str) -> str:
        """Take typed text; gives back what is wrong with it, or nothing."""
        raise NotImplementedError

    def stops(self) -> Sequence[int]:
        """Columns where Enter and Tab stop, in order."""
        return [i for i, heading in enumerate(self.headings) if heading.typed]

    def can_edit(self, row: int, column: int) -> bool:
        """Whether a cell can be typed into."""
        return self.headings[column].typed

    def show_rows(self, rows: Sequence[tuple[GridCell, ...]]) -> None:
        """Show these rows in place of those."""
        before, after = len(self._cells), len(rows)
        if after < before:
            self.beginRemoveRows(QModelIndex(), after, before - 1)
            del self._cells[after:]
            self.endRemoveRows()
        elif after > before:
            # The adding row becomes a row and another comes below it, so that whoever types
            # there stays where he is.
            first = before + 1 if self.adds else before
            self.beginInsertRows(QModelIndex(), first, first + after - before - 1)
            self._cells.extend(rows[before:])
            self.endInsertRows()
            if self.adds:
                self._tell(before, 0, len(self.headings) - 1)
        for i, row in enumerate(rows[:before]):
            old = self._cells[i]
            if old == row:
                continue
            self._cells[i] = tuple(row)
            for column, (one, other) in enumerate(zip(old, row, strict=True)):
                if one != other:
                    self._tell(i, column, column)

    def _tell(self, row: int, first: int, last: int) -> None:
        self.dataChanged.emit(self.index(row, first), self.index(row, last))

    def set_headings(self, headings: Sequence[Heading]) -> None:
        """Write other headings, for other units."""
        if tuple(headings) != self.headings:
            self.headings = tuple(headings)
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(self.headings) - 1)

    # -- Qt -----------------------------------------------------------------------------------

    def rowCount(self, parent: QModelIndex = QModelIndex()) -> int:  # noqa: B008 - Qt's way
        """The rows, and one to add another where that can be done."""
        return 0 if parent.isValid() else len(self._cells) + int(self.adds)

    def columnCount(self, parent: QModelIndex = QModelIndex()) -> int:  # noqa: B008 - Qt's way
        """The headings."""
        return 0 if parent.isValid() else len(self.headings)

    def flags(self, index: QModelIndex) -> Qt.ItemFlag:
        """Typed columns can be edited."""
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        if index.isValid() and self.can_edit(index.row(), index.column()):
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Texts for views, editors, tooltips and screen readers."""
        if not index.isValid():
            return None
        row, column = index.row(), index.column()
        cell = self.cell(row, column)
        if role == Qt.ItemDataRole.DisplayRole:
            return cell.text
        if role == Qt.ItemDataRole.EditRole:
            return self.edit_text(row, column)
        if role == Qt.ItemDataRole.ToolTipRole:
            return cell.tip or cell.text or None
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{self.headings[column].name}: {cell.text or 'empty'}"
        return None

    def setData(
        self, index: QModelIndex, value: object, role: int = Qt.ItemDataRole.EditRole
    ) -> bool:
        """Take typed text. False, and problem() is emitted, if it could not be used."""
        if role != Qt.ItemDataRole.EditRole or not index.isValid():
            return False
        sentence = self.commit(index.row(), index.column(), str(value))
        if sentence:
            self.problem.emit(sentence)
        return not sentence

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        """Headings."""
        if orientation != Qt.Orientation.Horizontal or not 0 <= section < len(self.headings):
            return None
        heading = self.headings[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return heading.text
        if role == Qt.ItemDataRole.ToolTipRole:
            return heading.help
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return heading.name
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if heading.right else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        return None


class GridDelegate(QStyledItemDelegate):
    """Paints texts and the frame of the current cell; edits in place. left(Go): a key moved on."""

    left = Signal(object)

    def __init__(self, model: GridModel, theme: theming.Theme, bubble: Bubble, view: Any) -> None:
        super().__init__(view)
        self._model = model
        self._theme = theme
        self._bubble = bubble
        self._editor: CellEdit | None = None
        self._font = theming.font()
        self._metrics = QFontMetrics(self._font)

    def paint(self, painter: QPainter, option: Any, index: QModelIndex) -> None:
        """Paint a cell."""
        tokens, rect = self._theme.tokens, QRect(option.rect)
        cell = self._model.cell(index.row(), index.column())
        if QStyle.StateFlag.State_Selected in option.state:
            painter.fillRect(rect, QColor(tokens.accent_wash))
        colour = {"soft": tokens.soft, "warn": tokens.warn}.get(cell.role, tokens.ink)
        painter.setFont(
            theming.font(weight=theming.QFont.Weight.DemiBold)
            if cell.role == "strong"
            else self._font
        )
        painter.setPen(QColor(colour))
        side = (
            Qt.AlignmentFlag.AlignRight
            if self._model.headings[index.column()].right
            else Qt.AlignmentFlag.AlignLeft
        )
        adds = index.row() >= self._model.count
        room = rect.adjusted(PAD, 0, -PAD, 0)
        text = cell.text
        if not adds and self._metrics.horizontalAdvance(text) > room.width():
            text = self._metrics.elidedText(text, Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, int(side | Qt.AlignmentFlag.AlignVCenter), text)
        view = self.parent()
        if index == view.currentIndex():
            focused = view.hasFocus()
            painter.setPen(QPen(QColor(tokens.accent if focused else tokens.soft), 1 + focused))
            inset = 1 if focused else 0
            painter.drawRect(rect.adjusted(inset, inset, -1, -1))

    def open_editor(self) -> CellEdit | None:
        """The editor that is open, if one is."""
        editor = self._editor
        if editor is None or not shiboken6.isValid(editor) or editor.isHidden():
            return None
        return editor

    def createEditor(self, parent: QWidget, option: object, index: QModelIndex) -> QWidget:
        """Open an editor."""
        heading = self._model.headings[index.column()]
        make = PartEdit if heading.part else CellEdit
        editor = make(parent, self._theme.tokens, self._bubble)
        if heading.right:
            editor.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        editor.setAccessibleName(heading.name)
        if isinstance(editor, PartEdit):
            editor.chosen.connect(self._chosen)
        self._editor = editor
        return editor

    def setEditorData(self, editor: QWidget, index: QModelIndex) -> None:
        """Fill the editor, but never over what is being typed."""
        if not editor.isModified():
            text = self._model.edit_text(index.row(), index.column())
            if editor.text() != text:
                editor.setText(text)

    def setModelData(self, editor: QWidget, model: object, index: QModelIndex) -> None:
        """Hand typed text on; if it can't be used the editor says why and keeps it."""
        if not editor.isModified():
            return
        sentence = self._model.commit(index.row(), index.column(), editor.text())
        editor.say(sentence)
        if sentence:
            self._model.problem.emit(sentence)
        else:
            editor.setModified(False)

    def updateEditorGeometry(self, editor: QWidget, option: Any, index: QModelIndex) -> None:
        """Fill the cell and take the bubble along."""
        editor.setGeometry(option.rect)
        if editor.sentence:
            self._bubble.place(option.rect)

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        """Enter and Tab take the text and move on; they stay where it can't be used."""
        if event.type() == QEvent.Type.KeyPress and isinstance(editor, CellEdit):
            go = go_for(event)
            if go is not None:
                if self.finish(editor):
                    self.left.emit(go)
                return True
            if event.key() == Qt.Key.Key_Escape:
                editor.say("")
                self.closeEditor.emit(editor, QStyledItemDelegate.EndEditHint.RevertModelCache)
                return True
        return super().eventFilter(editor, event)

    def finish(self, editor: CellEdit) -> bool:
        """Take an editor's text and close it; False if its text can't be used."""
        self.commitData.emit(editor)
        if editor.sentence:
            return False
        self.closeEditor.emit(editor, QStyledItemDelegate.EndEditHint.NoHint)
        return True

    def _chosen(self) -> None:
        if self._editor is not None:
            self.finish(self._editor)


class Grid(QTableView):
    """A table of texts. Enter goes to the next typed cell, and past a row to the row below.

    problem(str): why text was not taken. delete_asked(list): rows to delete. pasted(str).
    """

    problem = Signal(str)
    delete_asked = Signal(object)
    pasted = Signal(str)

    def __init__(self, model: GridModel, theme: theming.Theme, name: str, help_text: str) -> None:
        super().__init__()
        self.grid = model
        model.setParent(self)
        self._theme = theme
        self._bubble = Bubble(self.viewport())
        self._delegate = GridDelegate(model, theme, self._bubble, self)
        self._delegate.left.connect(self.go)
        model.problem.connect(self.problem)
        self.setModel(model)
        self.setItemDelegate(self._delegate)
        self.setAccessibleName(name)
        self.setAccessibleDescription(help_text)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.AnyKeyPressed
        )
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setCornerButtonEnabled(False)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(ROW_HEIGHT)
        self.horizontalHeader().setHighlightSections(False)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.horizontalHeader().setFocusPolicy(Qt.FocusPolicy.NoFocus)
        model.rowsInserted.connect(self._rows_came)
        theme.changed.connect(self._theme_changed)
        self._theme_changed()
        self._spread()

    def sizeHint(self) -> QSize:
        """Six rows."""
        width = sum(heading.width for heading in self.grid.headings)
        return QSize(width + 12, 7 * ROW_HEIGHT)

    def minimumSizeHint(self) -> QSize:
        """Two rows; the rest scrolls."""
        return QSize(150, 4 * ROW_HEIGHT)

    def _theme_changed(self) -> None:
        self._bubble.use(self._theme.tokens)
        self.viewport().update()

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

    def open_editor(self) -> CellEdit | None:
        """The editor that is open, if one is."""
        return self._delegate.open_editor()

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Close an editor, unless its text waits to be mended."""
        kept = hint == QAbstractItemDelegate.EndEditHint.RevertModelCache
        if isinstance(editor, CellEdit) and editor.sentence and not kept:
            return
        super().closeEditor(editor, hint)

    # -- moving -------------------------------------------------------------------------------

    def stops(self) -> list[int]:
        """Columns where Enter and Tab stop, in order."""
        return list(self.grid.stops())

    def go(self, go: Go) -> None:
        """Move on: Enter and Tab through the typed cells, row by row; with Shift back."""
        index = self.currentIndex()
        if not index.isValid():
            return
        stops, last = self.stops(), self.grid.rowCount() - 1
        if not stops:
            return
        row = index.row()
        forward = go in (Go.NEXT, Go.DOWN)
        beyond = [c for c in stops if (c > index.column() if forward else c < index.column())]
        if beyond:
            column = beyond[0] if forward else beyond[-1]
        elif forward:
            row, column = min(row + 1, last), stops[0]
        else:
            row, column = max(row - 1, 0), stops[-1]
        self.go_to(row, column)

    def go_to(self, row: int, column: int) -> None:
        """Make a cell the current one."""
        index = self.grid.index(min(row, self.grid.rowCount() - 1), column)
        self.selectionModel().setCurrentIndex(index, _SELECT.ClearAndSelect)
        self.scrollTo(index)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The keys of a spreadsheet."""
        key, control = event.key(), event.modifiers() & Qt.KeyboardModifier.ControlModifier
        index = self.currentIndex()
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        elif event.matches(QKeySequence.StandardKey.Paste):
            self.paste()
        elif event.matches(QKeySequence.StandardKey.SelectAll):
            self.select_all()
        elif go_for(event) is not None:
            self.go(go_for(event))
        elif key in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab) and control:
            QWidget.focusNextPrevChild(self, key == Qt.Key.Key_Tab)
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.delete_rows()
        elif index.isValid() and self.grid.headings[index.column()].part and opens_list(event):
            self.edit(index)
            editor = self._delegate.open_editor()
            if isinstance(editor, PartEdit):
                editor.open_list()
        else:
            super().keyPressEvent(event)

    def event(self, event: QEvent) -> bool:
        """Keep the keys that are used here from the window's shortcuts."""
        if event.type() == QEvent.Type.ShortcutOverride and any(
            event.matches(key)
            for key in (
                QKeySequence.StandardKey.Copy,
                QKeySequence.StandardKey.Paste,
                QKeySequence.StandardKey.SelectAll,
                QKeySequence.StandardKey.Delete,
            )
        ):
            event.accept()
            return True
        return super().event(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Text that can't be used is mended, or left with Esc, before another cell is taken."""
        editor = self._delegate.open_editor()
        if editor is not None and editor.sentence:
            editor.setFocus()
            return
        super().mousePressEvent(event)

    # -- rows ---------------------------------------------------------------------------------

    def selected_rows(self) -> list[int]:
        """Rows with a selected cell; the adding row is none."""
        found = {index.row() for index in self.selectionModel().selectedIndexes()}
        return sorted(row for row in found if row < self.grid.count)

    def delete_rows(self) -> None:
        """Ask for the selected rows to be deleted."""
        rows = self.selected_rows()
        if rows and self.commit_open_editor():
            self.delete_asked.emit(rows)

    def select_all(self) -> None:
        """Select every row that holds something."""
        if self.grid.count:
            last = self.grid.index(self.grid.count - 1, len(self.grid.headings) - 1)
            self.selectionModel().select(
                QItemSelection(self.grid.index(0, 0), last), _SELECT.ClearAndSelect
            )

    def selectAll(self) -> None:
        """As :meth:`select_all`, for whoever calls it by Qt's name."""
        self.select_all()

    def copy(self) -> None:
        """Copy the selected rows, headings first if more than one is."""
        rows = self.selected_rows()
        if not rows:
            return
        texts = [
            [self.grid.cell(row, c).text.replace("−", "-") for c in range(self._columns())]
            for row in rows
        ]
        if len(rows) > 1:
            texts.insert(0, [heading.name for heading in self.grid.headings])
        QGuiApplication.clipboard().setText(to_tsv(texts))

    def paste(self) -> None:
        """Hand on the clipboard's text."""
        if self.commit_open_editor():
            self.pasted.emit(QGuiApplication.clipboard().text())

    def _columns(self) -> int:
        return len(self.grid.headings)

    def _rows_came(self) -> None:
        if not self.currentIndex().isValid() and self.grid.rowCount():
            self.go_to(0, 0)

    # -- looks --------------------------------------------------------------------------------

    def _spread(self) -> None:
        """Give columns their widths, and share what is left over among them."""
        headings, room = self.grid.headings, self.viewport().width()
        crowded = sum(heading.width for heading in headings) > room
        shown = []
        for i, heading in enumerate(headings):
            self.setColumnHidden(i, heading.spare and crowded)
            if not self.isColumnHidden(i):
                shown.append((i, heading.width))
        left_over = max(0, room - sum(width for _, width in shown))
        for number, (i, width) in enumerate(shown):
            share = left_over // (len(shown) - number)
            left_over -= share
            self.setColumnWidth(i, width + share)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Spread the columns over the width."""
        super().resizeEvent(event)
        self._spread()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the focus ring; on the first visit the row that adds is current."""
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.grid.rowCount():
            self.go_to(self.grid.count if self.grid.adds else 0, 0)
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take the focus ring away."""
        super().focusOutEvent(event)
        self.viewport().update()
