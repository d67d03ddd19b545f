"""Rows of texts that can be typed into: what a table asks of its model."""

from __future__ import annotations

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from taperlab.units.sentence import Sentence

Index = QModelIndex | QPersistentModelIndex


class TypedModel(QAbstractTableModel):
    """Gives each cell a text to edit and takes a typed one; a last row may add another."""

    # -- what a table of its own says -----------------------------------------------------------

    @property
    def count(self) -> int:
        """Rows that hold something; one that adds another is not counted."""
        raise NotImplementedError

    @property
    def adding(self) -> bool:
        """Whether a last row adds another."""
        raise NotImplementedError

    @property
    def columns(self) -> int:
        """Number of columns."""
        raise NotImplementedError

    def text(self, row: int, column: int) -> str:
        """The text that a cell shows."""
        raise NotImplementedError

    def edit_text(self, row: int, column: int) -> str:
        """The text that an editor starts with."""
        raise NotImplementedError

    def tip(self, row: int, column: int) -> str:
        """The tooltip of a cell."""
        raise NotImplementedError

    def spoken(self, row: int, column: int) -> str:
        """What a screen reader says of a cell."""
        raise NotImplementedError

    def commit(self, row: int, column: int, text: str) -> Sentence:
        """Take typed text; gives back what is wrong with it, or nothing."""
        raise NotImplementedError

    # -- what follows from it -------------------------------------------------------------------

    def copy_text(self, row: int, column: int) -> str:
        """The text that is copied: as shown, with the minus sign that spreadsheets know."""
        return self.edit_text(row, column).replace("−", "-")

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's way
        """The rows, and one to add another where that can be done."""
        return 0 if parent.isValid() else self.count + self.adding

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's way
        """The columns."""
        return 0 if parent.isValid() else self.columns

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Texts for views, editors, tooltips and screen readers."""
        if not index.isValid():
            return None
        row, column = index.row(), index.column()
        if role == Qt.ItemDataRole.DisplayRole:
            return self.text(row, column)
        if role == Qt.ItemDataRole.EditRole:
            return self.edit_text(row, column)
        if role == Qt.ItemDataRole.ToolTipRole:
            return self.tip(row, column) or None
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self.spoken(row, column)
        return None
