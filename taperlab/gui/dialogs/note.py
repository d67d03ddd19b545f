"""The bench's own note."""

from __future__ import annotations

from taperlab.edits import bench as bench_edits
from taperlab.gui.dialogs.form import FormDialog, note_box
from taperlab.gui.kit.host import Workplace
from taperlab.units.language import tr


class BenchNoteDialog(FormDialog):
    """A note on the bench as a whole: whose job it is, what was agreed."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(tr("Note on this bench"), place)
        self.note = note_box(place.document.bench.note)
        self.note.setAccessibleName(tr("Note on this bench"))
        self.column.addWidget(self.note, 1)
        self.finish_layout()
        self.resize(520, 320)

    def try_accept(self) -> None:
        """Keep the note as one step."""
        self.finish_with(bench_edits.set_note, self.note.toPlainText())
