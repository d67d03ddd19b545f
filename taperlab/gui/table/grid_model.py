"""Rows of texts that can be typed into, and a last row that may add another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from typing import Generic, TypeVar

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, Sentence

Index = QModelIndex | QPersistentModelIndex
"""A place in a model, as every override takes it."""

NO_INDEX = QModelIndex()
"""The place that is none: the parent of all rows of a list or a table."""


@dataclass(frozen=True, slots=True)
class Heading:
    """One column: what stands above it, its full name, its narrowest width [px], and its help.

    right: numbers stand right. typed: whether it can be typed into. part: whether it holds a part.
    spare: how readily a column goes where there is no room for all, the highest first; 0: never.
    idle: it has nothing to tell now, and is not shown.
    """

    text: str
    name: str
    width: int
    help: str
    right: bool = True
    typed: bool = True
    part: bool = False
    spare: int = 0
    idle: bool = False


@dataclass(frozen=True, slots=True)
class GridCell:
    """All that the look of a cell depends on.

    role: "" for ink, "soft", "warn", "strong", or "slip" for what is left out. edit: what an
    editor starts with, where that is not the text. absent: decimals that others in the column
    have and this one has not. marks: which of its table's own signs stand in it. locked: whether
    it is held where it is.
    """

    text: str
    role: str = ""
    tip: str = ""
    edit: str = ""
    absent: int = 0
    marks: tuple[bool, ...] = ()
    locked: bool = False


EMPTY = GridCell("")


@dataclass(frozen=True, slots=True)
class GridRow:
    """A row: what its cells show."""

    cells: tuple[GridCell, ...]

    @property
    def of(self) -> object:
        """What the row is of, by which it is known again where others come or go before it."""
        return None


RowT = TypeVar("RowT", bound=GridRow)

# Put together once: every painted cell asks for it.
_READ = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
_TYPE_INTO = _READ | Qt.ItemFlag.ItemIsEditable


class GridModel(QAbstractTableModel, Generic[RowT]):
    """Rows of texts; a last row may be for adding another.

    A change moves no other row and repaints only cells that look different.
    """

    def __init__(
        self, headings: Sequence[Heading], *, adds: bool = False, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.headings = tuple(headings)
        self.adds = adds
        self._shown: list[RowT] = []

    # -- for those who inherit ------------------------------------------------------------------

    def adding_cell(self, column: int) -> GridCell:
        """What a cell of the adding row shows."""
        return EMPTY

    def commit(self, row: int, column: int, text: str) -> Sentence:
        """Take typed text; gives back what is wrong with it, or nothing."""
        return NOTHING

    def stops(self) -> Sequence[int]:
        """Columns where Enter and Tab stop, in order."""
        return [i for i, heading in enumerate(self.headings) if heading.typed]

    def onward(self, row: int, column: int) -> tuple[int, int] | None:
        """Where Enter goes from a cell, row and column, if not to the next stop."""
        return None

    def delete_rows(self, rows: Sequence[int]) -> None:
        """Take rows out, where that can be done."""

    def paste(self, text: str) -> Sentence:
        """Take in what was copied elsewhere; gives back why not, or nothing."""
        return NOTHING

    def fill(self, texts: Mapping[tuple[int, int], str]) -> Sentence:
        """Take texts for cells, each by its row and column; gives back why not, or nothing."""
        for (row, column), text in texts.items():
            if why_not := self.commit(row, column, text):
                return why_not
        return NOTHING

    # -- what there is ------------------------------------------------------------------------

    @property
    def count(self) -> int:
        """Rows that hold something; the one that adds is not counted."""
        return len(self._shown)

    def row(self, row: int) -> RowT:
        """One row. Raises IndexError."""
        return self._shown[row]

    def cell(self, row: int, column: int) -> GridCell:
        """What a cell shows."""
        return self._shown[row].cells[column] if row < self.count else self.adding_cell(column)

    def edit_text(self, row: int, column: int) -> str:
        """The text that an editor starts with."""
        cell = self._shown[row].cells[column] if row < self.count else EMPTY
        return cell.edit or cell.text

    def copy_text(self, row: int, column: int) -> str:
        """The text that is copied: as shown, with the minus sign that spreadsheets know."""
        return self.edit_text(row, column).replace("−", "-")

    def copied(self, rows: Sequence[int]) -> list[list[str]]:
        """Rows as they are copied, headings first if more than one is."""
        columns = range(len(self.headings))
        texts = [[self.copy_text(row, column) for column in columns] for row in rows]
        return [[each.name for each in self.headings], *texts] if len(rows) > 1 else texts

    def tip(self, row: int, column: int) -> str:
        """The tooltip of a cell; its whole text where it has none of its own."""
        cell = self.cell(row, column)
        return cell.tip or cell.text

    def spoken(self, row: int, column: int) -> str:
        """What a screen reader says of a cell: its heading and its text."""
        name, text = self.headings[column].name, self.cell(row, column).text
        return tr("{name}: {value}").format(name=name, value=text or tr("empty"))

    # -- showing something else -----------------------------------------------------------------

    def show_rows(self, rows: Sequence[RowT]) -> None:
        """Show these rows in place of those."""
        if len(rows) != self.count:
            self._fit_rows(rows)
        for i, row in enumerate(rows):
            old, self._shown[i] = self._shown[i], row
            if old is not row:
                for column, (one, other) in enumerate(zip(old.cells, row.cells, strict=True)):
                    if one != other:
                        self.tell(i, column, column)

    def _fit_rows(self, rows: Sequence[RowT]) -> None:
        """Have as many rows as these, most of them of the same; what is put in is yet blank."""
        before, after = (
            [i if each.of is None else id(each.of) for i, each in enumerate(some)]
            for some in (self._shown, rows)
        )
        blank = tuple(self.adding_cell(column) for column in range(len(self.headings)))
        for what, start, end, new_start, new_end in reversed(
            SequenceMatcher(None, before, after, autojunk=False).get_opcodes()
        ):
            if what == "equal":
                continue
            at = start + min(end - start, new_end - new_start)
            more = rows[new_start + at - start : new_end]
            if end > at:
                self.beginRemoveRows(NO_INDEX, at, end - 1)
                del self._shown[at:end]
                self.endRemoveRows()
            elif more:
                # At the end the adding row becomes a row, to be told of like any other, and
                # another comes below it: whoever was typing there stays on what he typed.
                first = at + 1 if self.adds and at == self.count else at
                self.beginInsertRows(NO_INDEX, first, first + len(more) - 1)
                self._shown[at:at] = [replace(row, cells=blank) for row in more]
                self.endInsertRows()
        self.headerDataChanged.emit(Qt.Orientation.Vertical, 0, self.count)

    def tell(self, row: int, first: int, last: int) -> None:
        """Tell views that cells of a row show something else."""
        self.dataChanged.emit(self.index(row, first), self.index(row, last))

    def set_headings(self, headings: Sequence[Heading]) -> None:
        """Write other headings, for other units."""
        if tuple(headings) != self.headings:
            self.headings = tuple(headings)
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(self.headings) - 1)

    # -- Qt -----------------------------------------------------------------------------------

    def rowCount(self, parent: Index = NO_INDEX) -> int:
        """The rows, and one to add another where that can be done."""
        return 0 if parent.isValid() else self.count + self.adds

    def columnCount(self, parent: Index = NO_INDEX) -> int:
        """The columns."""
        return 0 if parent.isValid() else len(self.headings)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Typed columns can be edited."""
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        return _TYPE_INTO if self.headings[index.column()].typed else _READ

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Texts for views, editors, tooltips and screen readers."""
        if not index.isValid():
            return None
        row, column = index.row(), index.column()
        if role == Qt.ItemDataRole.DisplayRole:
            return self.cell(row, column).text
        if role == Qt.ItemDataRole.EditRole:
            return self.edit_text(row, column)
        if role == Qt.ItemDataRole.ToolTipRole:
            return self.tip(row, column) or None
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self.spoken(row, column)
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """Headings."""
        if orientation != Qt.Orientation.Horizontal or not 0 <= section < len(self.headings):
            return None
        heading = self.headings[section]
        side = Qt.AlignmentFlag.AlignRight if heading.right else Qt.AlignmentFlag.AlignLeft
        shown: dict[int, object] = {
            Qt.ItemDataRole.DisplayRole: heading.text,
            Qt.ItemDataRole.ToolTipRole: heading.help,
            Qt.ItemDataRole.AccessibleTextRole: heading.name,
            Qt.ItemDataRole.TextAlignmentRole: side | Qt.AlignmentFlag.AlignVCenter,
        }
        return shown.get(role)
