"""Keeping a line as it is now, and a note on what was kept."""

from __future__ import annotations

from PySide6.QtWidgets import QLineEdit

from taperlab.edits.versions import keep_version, note_version, usual_name
from taperlab.gui.dialogs.form import FormDialog, note_box
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.today import today
from taperlab.model.line import Line
from taperlab.model.version import Version
from taperlab.units.language import tr

NOTE_HEIGHT = 90


class KeepDialog(FormDialog):
    """Asks what a version is called."""

    def __init__(self, place: Workplace, line: Line) -> None:
        super().__init__(tr("Keep a version"), place, accept=tr("Keep"))
        self._line = line.key
        named = usual_name(place.document.bench, line.key, tr("Version"))
        self.name = self.add_row(tr("Name"), QLineEdit(named))
        self.name.selectAll()
        self.note = self.add_row(tr("Note"), note_box("", NOTE_HEIGHT))
        self.setMinimumWidth(380)
        self.finish_layout()

    def try_accept(self) -> None:
        """Keep it as one step, or say why not."""
        self.finish_with(
            keep_version,
            self._line,
            self.name.text(),
            today().isoformat(),
            self.note.toPlainText(),
        )


class VersionNoteDialog(FormDialog):
    """A note on a version."""

    def __init__(self, place: Workplace, version: Version) -> None:
        super().__init__(tr("Note on a version"), place)
        self._key = version.key
        self.note = self.add_row(version.name, note_box(version.note, NOTE_HEIGHT))
        self.setMinimumWidth(380)
        self.finish_layout()

    def try_accept(self) -> None:
        """Keep the note as one step."""
        self.finish_with(note_version, self._key, self.note.toPlainText())
