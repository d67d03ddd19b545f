"""Another name for something that the bench keeps."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QLineEdit

from taperlab.edits.edited import Edited
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.host import Workplace
from taperlab.units.language import tr


class RenameDialog(FormDialog):
    """Asks for a name. edit: does it, to the thing of a key."""

    def __init__(
        self, place: Workplace, title: str, key: str, name: str, edit: Callable[..., Edited]
    ) -> None:
        super().__init__(title, place, accept=tr("Rename"))
        self._key, self._edit = key, edit
        self.name = self.add_row(tr("Name"), QLineEdit(name))
        self.name.selectAll()
        self.finish_layout()

    def try_accept(self) -> None:
        """Rename it, or say why not."""
        self.finish_with(self._edit, self._key, self.name.text())
