"""The rods of the bench."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QListWidget,
    QListWidgetItem,
    QMenu,
    QPushButton,
    QWidget,
)

from taperlab.edits import bench as bench_edits
from taperlab.edits.edited import Refused
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.dialogs.rod_form import RodForm
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.widgets import in_column, in_row, scrolling
from taperlab.model.bench import fresh_key
from taperlab.model.exact_units import FOOT
from taperlab.model.rod import Rod
from taperlab.trade.starters import starter_rods
from taperlab.units.language import tr

ROD = Qt.ItemDataRole.UserRole
"""Where an item of the list holds its rod."""

USUAL_LENGTH = 13.0 * FOOT


class RodsDialog(FormDialog):
    """List of rods and the fields of one; all of it is one step when accepted.

    The rod shown is taken over from its fields before another is: a rod that cannot be stays.
    """

    def __init__(self, place: Workplace) -> None:
        super().__init__(tr("Rods"), place)
        self._shown: QListWidgetItem | None = None
        self.list = QListWidget()
        self.list.setAccessibleName(tr("Rods on the bench"))
        self.list.setFixedWidth(200)
        self.fields = RodForm(place.settings)
        self._lay_out()
        self.list.currentItemChanged.connect(self._turned)
        for rod in place.document.bench.rods:
            self.list.addItem(_item(rod))
        chosen = place.document.rod
        rods = place.document.bench.rods
        self.list.setCurrentRow(rods.index(chosen) if chosen in rods else 0)
        self.fields.setEnabled(bool(rods))

    def _lay_out(self) -> None:
        add, remove = QPushButton(tr("Add")), QPushButton(tr("Remove"))
        add.setMenu(self._add_menu(add))
        remove.clicked.connect(self._remove)
        for button in (add, remove):
            button.setAutoDefault(False)  # Enter means Done
        left = in_column((self.list, 1), in_row(add, remove), spacing=-1)
        scroll = scrolling(self.fields)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.column.addLayout(in_row(left, (scroll, 1), spacing=18), 1)
        self.finish_layout()
        self.resize(760, 480)

    def _add_menu(self, parent: QWidget) -> QMenu:
        menu = QMenu(parent)
        menu.addAction(tr("New rod")).setData(Rod("", tr("New rod"), USUAL_LENGTH))
        menu.addSeparator()
        for rod in starter_rods():
            menu.addAction(rod.name).setData(rod)
        menu.triggered.connect(self._add)
        return menu

    def try_accept(self) -> None:
        """Apply all rods as one step; the rod shown becomes the chosen one."""
        if not self._take_over():
            return
        chosen = self._shown.data(ROD).key if self._shown is not None else None
        self.finish_with(bench_edits.set_rods, tuple(self._rods()), chosen)

    def _rods(self) -> list[Rod]:
        return [self.list.item(row).data(ROD) for row in range(self.list.count())]

    def _add(self, action: QAction) -> None:
        if self._take_over():
            key = fresh_key({rod.key for rod in self._rods()}, "rod")
            item = _item(replace(action.data(), key=key))
            self.list.addItem(item)
            self.list.setCurrentItem(item)
            self.fields.name.setFocus()
            self.fields.name.selectAll()

    def _remove(self) -> None:
        if self._shown is not None:
            row, self._shown = self.list.row(self._shown), None
            self.list.takeItem(row)

    def _turned(self, item: QListWidgetItem | None) -> None:
        if item is self._shown:
            return
        if self._shown is not None and not self._take_over():
            self.list.setCurrentItem(self._shown)
            return
        self._shown = item
        self.fields.setEnabled(item is not None)
        if item is not None:
            self.fields.set_rod(item.data(ROD))

    def _take_over(self) -> bool:
        """Put what the fields hold into the list; False where they hold no rod that can be."""
        if self._shown is None:
            return True
        try:
            rod = self.fields.rod()
        except Refused as problem:
            self.problem(self.place.read(problem.sentence))
            return False
        self.problem("")
        self._shown.setData(ROD, rod)
        self._shown.setText(rod.name)
        return True


def _item(rod: Rod) -> QListWidgetItem:
    item = QListWidgetItem(rod.name)
    item.setData(ROD, rod)
    return item
