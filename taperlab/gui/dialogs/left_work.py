"""Work that was ended without saving: to be had back, or thrown away for a while before it goes."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialogButtonBox, QListWidget, QListWidgetItem, QPushButton

from taperlab.files.recovery import KEPT, LeftCopy
from taperlab.files.standing import when
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.theme import SMALL, px
from taperlab.gui.kit.widgets import in_column, in_row, label
from taperlab.gui.state.bench_file import BenchFile
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, counted

LEFT = Qt.ItemDataRole.UserRole
"""Where an item of the list holds its copy."""


class LeftWorkDialog(FormDialog):
    """All copies that were left behind, and those thrown away that can still be had.

    get_back, throw_away: do so with a copy, and give False where they did not.
    """

    def __init__(
        self,
        place: Workplace,
        file: BenchFile,
        get_back: Callable[[LeftCopy], bool],
        throw_away: Callable[[LeftCopy], bool],
    ) -> None:
        super().__init__(tr("Unsaved work"), place, accept=tr("Get it back"))
        self._file = file
        self._get_back, self._throw_away = get_back, throw_away
        about = counted(
            "Work that was ended without saving. What is thrown away is kept for {count} day.",
            "Work that was ended without saving. What is thrown away is kept for {count} days.",
            KEPT.days,
        )
        self.column.addWidget(label(place.read(about), role="soft", wrap=True))
        self.list = QListWidget()
        self.list.setAccessibleName(tr("Unsaved work"))
        self.list.setFixedWidth(px(300))
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        self.about = label(wrap=True)
        self.about.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.about.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.where = label(points=SMALL, role="soft", wrap=True)
        self.where.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        told = in_column((self.about, 1), self.where, spacing=8)
        row = in_row(self.list, spacing=18)
        row.addLayout(told, 1)
        self.column.addLayout(row, 1)
        self.finish_layout()
        self.throw_button = QPushButton(tr("Throw it away"))
        self.throw_button.setAutoDefault(False)
        self.throw_button.clicked.connect(self._throw)
        self.buttons.addButton(self.throw_button, QDialogButtonBox.ButtonRole.ResetRole)
        self.buttons.button(QDialogButtonBox.StandardButton.Cancel).setText(tr("Close"))
        self.list.currentItemChanged.connect(self._describe)
        self.list.itemActivated.connect(self.try_accept)
        self.resize(760, 420)
        self._fill()

    def try_accept(self, *_item: object) -> None:
        """Get the chosen work back."""
        left = self._chosen()
        if left is not None and self._get_back(left):
            self.accept()

    def _throw(self) -> None:
        left = self._chosen()
        if left is not None and self._throw_away(left):
            self._fill(self.list.currentRow())

    def _fill(self, row: int = 0) -> None:
        self.list.clear()
        for left in (*self._file.left_copies(), *self._file.thrown_copies()):
            template = tr("{file}, {time}") if left.thrown is None else tr("{file}, thrown away")
            name = left.original.name if left.original else tr("Unsaved bench")
            item = QListWidgetItem(template.format(file=name, time=when(left.saved)))
            item.setData(LEFT, left)
            self.list.addItem(item)
        self.list.setCurrentRow(min(row, self.list.count() - 1))
        self._describe()
        self.list.setEnabled(self.list.count() > 0)  # an empty one shows no focus
        self.list.setFocus()

    def _chosen(self) -> LeftCopy | None:
        item = self.list.currentItem()
        left = item.data(LEFT) if item is not None else None
        return left if isinstance(left, LeftCopy) else None

    def _describe(self, *_items: object) -> None:
        left = self._chosen()
        self.throw_button.setEnabled(left is not None and left.thrown is None)
        self.accept_button.setEnabled(left is not None and left.can_be_read)
        if left is None:
            self.about.setText(tr("Nothing was left behind."))
            self.where.setText("")
            return
        said = [left.words()]
        if left.kept_until is not None:
            until = Sentence("Thrown away; kept until {time}.", time=when(left.kept_until))
            said.append(until)
        self.about.setText("\n\n".join(map(self.place.read, said)))
        folders = [left.copy] if left.original is None else [left.original, left.copy]
        self.where.setText("\n".join(map(str, folders)))
