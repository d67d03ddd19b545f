"""Rows of texts for the small tables: for stations, sections and fitted segments."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QModelIndex, Qt

from taperlab.gui.table.typed_model import TypedModel


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


class GridModel(TypedModel):
    """Rows of texts that somebody else makes; typed text goes to :meth:`commit`.

    ``adds``: a last row is for adding another. Rows are told apart by their keys, so that a
    change moves no other row and repaints only cells whose text is another.
    """

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
