"""Rows of texts that can be typed into: what a table asks of its model."""

from __future__ import annotations

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex

from taperlab.units.sentence import Sentence

Index = QModelIndex | QPersistentModelIndex


class TypedModel(QAbstractTableModel):
    """Gives each cell a text to edit and takes a typed one; a last row may add another."""

    @property
    def count(self) -> int:
        """Rows that hold something; one that adds another is not counted."""
        raise NotImplementedError

    def edit_text(self, row: int, column: int) -> str:
        """The text that an editor starts with."""
        raise NotImplementedError

    def copy_text(self, row: int, column: int) -> str:
        """The text that is copied: as shown, with the minus sign that spreadsheets know."""
        return self.edit_text(row, column).replace("−", "-")

    def commit(self, row: int, column: int, text: str) -> Sentence | str:
        """Take typed text; gives back what is wrong with it, or nothing."""
        raise NotImplementedError
