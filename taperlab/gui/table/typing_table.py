"""A table whose cells are typed into: the base of the segment table and of the small grids."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import (
    QItemSelection,
    QItemSelectionModel,
    QItemSelectionRange,
    QKeyCombination,
    QSize,
    Qt,
)
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence, QMouseEvent
from PySide6.QtWidgets import QAbstractItemDelegate, QAbstractItemView, QTableView, QWidget

from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.key_names import Help, Keys, help_on
from taperlab.gui.kit.theme import px
from taperlab.gui.table.editors import GO_KEYS, Bubble, CellEdit, Go, PartEdit, go_for
from taperlab.gui.table.grid_model import GridModel, Index
from taperlab.gui.table.typing_delegate import TypingDelegate
from taperlab.units.language import later, tr

_SELECT = QItemSelectionModel.SelectionFlag


@dataclass(frozen=True, slots=True)
class TableKey:
    """Keys of a table, what they do, and the method that does it: False where it can't be done."""

    keys: tuple[Keys, ...]
    does: str
    act: str


_CONTROL, _SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
_ALT_DOWN = QKeyCombination(Qt.KeyboardModifier.AltModifier, Qt.Key.Key_Down)


class TypingTable(QTableView):
    """A table whose cells are typed into. Text that can't be used waits to be mended.

    A table says where the current cell goes next (:meth:`go`), what is copied, pasted, cut, and
    what Delete does. KEYS: its keys, beside those that move the current cell on.
    """

    KEYS: tuple[TableKey, ...] = (
        TableKey((Qt.Key.Key_F2,), later("Edit the cell"), "edit_current"),
        TableKey(
            (Qt.Key.Key_Delete, Qt.Key.Key_Backspace),
            later("Take out what is selected, or clear what can be empty"),
            "clear_cells",
        ),
        TableKey(
            (Qt.Key.Key_F4, _ALT_DOWN), later("List the parts, in their column"), "open_part_list"
        ),
        TableKey(
            (QKeyCombination(_CONTROL, Qt.Key.Key_Tab),), later("Leave the table"), "leave_table"
        ),
        TableKey(
            (QKeyCombination(_CONTROL | _SHIFT, Qt.Key.Key_Backtab),),
            later("Leave the table, backwards"),
            "leave_table_back",
        ),
    )

    def __init__(self, place: Workplace, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.place = place
        self._wanted = QSize()
        self._bubble = Bubble(self.viewport())
        self._delegate: TypingDelegate
        self._typed: GridModel[Any]
        self._began: int | None = None
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

    def type_into(self, model: GridModel[Any], delegate: TypingDelegate) -> None:
        """Show a model and edit it with a delegate."""
        self._typed, self._delegate = model, delegate
        delegate.left.connect(self.leave)
        self.setModel(model)
        self.setItemDelegate(delegate)
        self.place.theme.changed.connect(self.use_theme)
        self.use_theme()

    def use_theme(self) -> None:
        """Take the colours and letters of the theme in force."""
        self._bubble.use(self.place.theme.tokens)
        self._delegate.use_theme()
        self.viewport().update()

    # -- the open editor ----------------------------------------------------------------------

    def open_editor(self) -> CellEdit | None:
        """The editor that is open, if one is."""
        return self._delegate.open_editor()

    def commit_open_editor(self) -> bool:
        """Take what is being typed. False if it can't be used: then the editor stays open."""
        editor = self.open_editor()
        return editor is None or self._delegate.finish(editor)

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Close an editor, unless its text waits to be mended."""
        kept = hint == QAbstractItemDelegate.EndEditHint.RevertModelCache
        if isinstance(editor, CellEdit) and editor.sentence and not kept:
            return
        super().closeEditor(editor, hint)

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

    def _waits_to_be_mended(self) -> CellEdit | None:
        editor = self.open_editor()
        return editor if editor is not None and editor.sentence else None

    # -- parts --------------------------------------------------------------------------------

    def on_part(self) -> bool:
        """Whether the current cell holds a part."""
        index = self.currentIndex()
        return index.isValid() and self._typed.headings[index.column()].part

    def open_part_list(self) -> bool:
        """Open the list of parts on the current cell, if it holds one; whether it does."""
        if not self.on_part():
            return False
        self.edit(self.currentIndex())
        editor = self.open_editor()
        if isinstance(editor, PartEdit):
            editor.open_list()
        return True

    # -- keys ---------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The keys of a spreadsheet."""
        if not self.take_key(event):
            super().keyPressEvent(event)

    def take_key(self, event: QKeyEvent) -> bool:
        """Act on a key that every table knows; whether it did."""
        for standard, act in (
            (QKeySequence.StandardKey.Copy, self.copy),
            (QKeySequence.StandardKey.Cut, self.cut),
            (QKeySequence.StandardKey.Paste, self.paste),
            (QKeySequence.StandardKey.SelectAll, self.selectAll),
        ):
            if event.matches(standard):
                act()
                return True
        go = go_for(event)
        if go is not None:
            self.leave(go)
            return True
        held = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        pressed = QKeySequence(QKeyCombination(held, Qt.Key(event.key())))
        for use in self.KEYS:
            if any(QKeySequence(each) == pressed for each in use.keys):
                return getattr(self, use.act)() is not False
        return False

    @property
    def key_help(self) -> tuple[Help, ...]:
        """What the keys do in this table."""
        going = (help_on((keys,), tr(does)) for keys, does, _ in GO_KEYS)
        return *going, *(help_on(use.keys, tr(use.does)) for use in self.KEYS)

    def leave_table(self) -> None:
        """Go on to what comes after the table."""
        # The item view's own would only send itself another Tab.
        QWidget.focusNextPrevChild(self, True)

    def leave_table_back(self) -> None:
        """Go back to what comes before the table."""
        QWidget.focusNextPrevChild(self, False)

    def edit_current(self) -> bool:
        """Open the current cell, with what is in it; whether that can be typed."""
        index = self.currentIndex()
        if not index.flags() & Qt.ItemFlag.ItemIsEditable:
            return False
        self.edit(index)
        return True

    def leave(self, go: Go) -> None:
        """Move the current cell on; Enter after Tabs goes below the cell where those began."""
        index, began = self.currentIndex(), self._began
        if go in (Go.NEXT, Go.BACK):
            self.go(go)
            if self.currentIndex().row() == index.row():
                self._began = index.column() if began is None else began
        elif began is None:
            self.go(go)
        else:
            self.go_to(max(0, index.row() + (1 if go is Go.DOWN else -1)), began)

    def go(self, go: Go) -> None:
        """Move the current cell on by one: Tab along the row, Enter as the table has it."""
        raise NotImplementedError

    def copy(self) -> None:
        """Put what is selected on the clipboard."""
        raise NotImplementedError

    def cut(self) -> None:
        """Put what is selected on the clipboard and take it out, where that can be done."""

    def paste(self) -> None:
        """Take in what is on the clipboard."""
        raise NotImplementedError

    def clear_cells(self) -> None:
        """Do what Delete does."""
        raise NotImplementedError

    # -- room ---------------------------------------------------------------------------------

    def sizeHint(self) -> QSize:
        """All rows, and the bar that scrolls columns if there is one."""
        bar = self.horizontalScrollBar()
        high = self.horizontalHeader().sizeHint().height() + self.verticalHeader().length()
        high += bar.sizeHint().height() if bar.isVisible() else 0
        least = self.minimumSizeHint()
        return QSize(least.width(), max(high + px(4), least.height()))

    def updateGeometries(self) -> None:
        """Ask for the room that the rows take now."""
        super().updateGeometries()
        if self.model() is None:
            return
        wanted = self.sizeHint()
        if wanted != self._wanted:
            self._wanted = wanted
            self.updateGeometry()

    # -- choosing -----------------------------------------------------------------------------

    def go_to(self, row: int, column: int) -> None:
        """Make a cell the current one; past the last row, one of the last row."""
        model = self.model()
        index = model.index(min(row, model.rowCount() - 1), column)
        self.selectionModel().setCurrentIndex(index, _SELECT.ClearAndSelect)
        self.scrollTo(index)

    def selected_ranges(self) -> list[QItemSelectionRange]:
        """Blocks of selected cells."""
        chosen = self.selectionModel().selection()
        return [chosen.at(i) for i in range(chosen.count())]

    def selected_rows(self) -> list[int]:
        """Rows with a selected cell, or the row of the current one; the adding row is none."""
        ranges = self.selected_ranges()
        found = {row for part in ranges for row in range(part.top(), part.bottom() + 1)}
        if not found and self.currentIndex().isValid():
            found = {self.currentIndex().row()}
        return sorted(row for row in found if row < self._typed.count)

    def selectAll(self) -> None:
        """Select every row that holds something; one that adds another is left out."""
        if self._typed.count:
            model = self.model()
            last = model.index(self._typed.count - 1, model.columnCount() - 1)
            self.selectionModel().select(
                QItemSelection(model.index(0, 0), last), _SELECT.ClearAndSelect
            )

    def currentChanged(self, current: Index, previous: Index) -> None:
        """Repaint the frame where it was; whoever goes elsewhere has ended his run of Tabs."""
        super().currentChanged(current, previous)
        self._began = None
        self.update(previous)

    def keyboardSearch(self, search: str) -> None:
        """A letter typed where nothing can be typed goes nowhere: it is no search for a row."""

    # -- the frame of the current cell ----------------------------------------------------------

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Strengthen the frame."""
        super().focusInEvent(event)
        self.update(self.currentIndex())

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Weaken the frame."""
        super().focusOutEvent(event)
        self.update(self.currentIndex())
