"""Rows of short texts in columns, for a card that only tells."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from taperlab.gui.kit.widgets import label, set_role

_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


class LabelGrid(QWidget):
    """Rows of texts: the first column names them, the others stand right.

    The first row stands above the columns. shares: how the columns share the room that is left.
    """

    def __init__(self, shares: Sequence[int], *, between: int = 6, apart: int = 3) -> None:
        super().__init__()
        self.cells: list[QLabel] = []
        self._columns = len(shares)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(between)
        self._grid.setVerticalSpacing(apart)
        for column, share in enumerate(shares):
            self._grid.setColumnStretch(column, share)

    def show_rows(self, rows: Sequence[Sequence[str]]) -> None:
        """Show these, each as long as there are columns."""
        needed = self._columns * len(rows)
        while len(self.cells) < needed:
            row, column = divmod(len(self.cells), self._columns)
            self.cells.append(label())
            if column:
                self._grid.addWidget(self.cells[-1], row, column, _RIGHT)
            else:
                self._grid.addWidget(self.cells[-1], row, column)
        for at, cell in enumerate(self.cells):
            row, column = divmod(at, self._columns)
            cell.setVisible(at < needed)
            cell.setText(rows[row][column] if at < needed else "")
            set_role(cell, "soft" if row == 0 else "")
