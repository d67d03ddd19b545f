"""What the segment table does with the clipboard, and with Delete."""

from __future__ import annotations

from PySide6.QtGui import QGuiApplication

from taperlab.edits import segments as edits
from taperlab.edits.together import Step, together
from taperlab.files.cells import to_tsv
from taperlab.gui.table.clipboard import CannotPaste, headings, paste_block, read_block
from taperlab.gui.table.columns import Col


class ClipboardCommands:
    """Methods of a :class:`SegmentTable`, which brings document, model and selection."""

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
            self.clear_cells()
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
        sentence = self._apply_and_choose(
            paste_block, line.key, row, block.rows, self._settings.solve
        )
        if sentence:
            self._tell(sentence)
        elif block.left_out:
            self.said.emit(f"Pasted; left out, as no column here: {', '.join(block.left_out)}.")

    def _only_notes(self) -> bool:
        indexes = self.selectionModel().selectedIndexes()
        return bool(indexes) and all(index.column() == Col.NOTE for index in indexes)

    def clear_cells(self) -> None:
        """Take whole rows out, or clear notes; a number can't be empty."""
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
