"""Rows of texts for small tables, which somebody else makes and takes typed text for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QModelIndex, QObject, Qt

from taperlab.gui.table.typed_model import Index, TypedModel
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, Sentence


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
    """Rows of texts; a last row may be for adding another.

    A change moves no other row and repaints only cells whose text is another.
    """

    def __init__(
        self, headings: Sequence[Heading], *, adds: bool = False, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.headings = tuple(headings)
        self.adds = adds
        self._cells: list[tuple[GridCell, ...]] = []

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

    def delete_rows(self, rows: Sequence[int]) -> None:
        """Take rows out, where that can be done."""

    def paste(self, text: str) -> Sentence:
        """Take in what was copied elsewhere; gives back why not, or nothing."""
        return NOTHING

    # -- what there is ------------------------------------------------------------------------

    @property
    def count(self) -> int:
        """Rows that hold something; the one that adds is not counted."""
        return len(self._cells)

    def cell(self, row: int, column: int) -> GridCell:
        """What a cell shows."""
        return self._cells[row][column] if row < self.count else self.adding_cell(column)

    @property
    def adding(self) -> bool:
        """Whether a last row adds another."""
        return self.adds

    @property
    def columns(self) -> int:
        """Number of headings."""
        return len(self.headings)

    def text(self, row: int, column: int) -> str:
        """The text that a cell shows."""
        return self.cell(row, column).text

    def edit_text(self, row: int, column: int) -> str:
        """The text that an editor starts with."""
        return self._cells[row][column].text if row < self.count else ""

    def tip(self, row: int, column: int) -> str:
        """The tooltip of a cell; its whole text where it has none of its own."""
        cell = self.cell(row, column)
        return cell.tip or cell.text

    def spoken(self, row: int, column: int) -> str:
        """The heading and the text of a cell."""
        name, text = self.headings[column].name, self.cell(row, column).text
        return tr("{name}: {value}").format(name=name, value=text or tr("empty"))

    def show_rows(self, rows: Sequence[tuple[GridCell, ...]]) -> None:
        """Show these rows in place of those."""
        before, after = self.count, len(rows)
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
                self.tell(before, 0, len(self.headings) - 1)
        for i, row in enumerate(rows[:before]):
            old, self._cells[i] = self._cells[i], row
            for column, (one, other) in enumerate(zip(old, row, strict=True)):
                if one != other:
                    self.tell(i, column, column)

    def tell(self, row: int, first: int, last: int) -> None:
        """Tell views that cells of a row show something else."""
        self.dataChanged.emit(self.index(row, first), self.index(row, last))

    def set_headings(self, headings: Sequence[Heading]) -> None:
        """Write other headings, for other units."""
        if tuple(headings) != self.headings:
            self.headings = tuple(headings)
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(self.headings) - 1)

    # -- Qt -----------------------------------------------------------------------------------

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Typed columns can be edited."""
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        if index.isValid() and self.headings[index.column()].typed:
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

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
