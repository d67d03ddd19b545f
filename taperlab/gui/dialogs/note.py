"""The bench's own note."""

from __future__ import annotations

from PySide6.QtWidgets import QPlainTextEdit, QWidget

from taperlab.edits import bench as bench_edits
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.state.document import Document


class BenchNoteDialog(FormDialog):
    """A note on the bench as a whole: whose job it is, what was agreed."""

    def __init__(self, document: Document, parent: QWidget | None) -> None:
        super().__init__("Note on this bench", parent)
        self._document = document
        self.note = QPlainTextEdit(document.bench.note)
        self.note.setAccessibleName("Note on this bench")
        self.note.setTabChangesFocus(True)
        self.column.addWidget(self.note, 1)
        self.finish_layout()
        self.resize(520, 320)

    def try_accept(self) -> None:
        """Keep the note as one step."""
        self._document.apply(bench_edits.set_note, self.note.toPlainText())
        self.accept()
