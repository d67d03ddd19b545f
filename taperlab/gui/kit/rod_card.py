"""The card that chooses the rod that heads are judged on."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QSizePolicy, QToolButton

from taperlab.edits import rods as rod_edits
from taperlab.gui.kit.widgets import Card, caption
from taperlab.gui.state.document import Document
from taperlab.gui.state.settings import Settings
from taperlab.model.rod import Rod
from taperlab.units.kinds import ROD_LENGTH, System
from taperlab.units.show import show

LONGEST_ROD = 420
"""Pixels that the list of rods may widen to, so that a name is read whole."""


class RodCard(Card):
    """Choose the rod that heads are judged on, and edit it."""

    edit_rods = Signal()

    def __init__(self, document: Document, settings: Settings) -> None:
        super().__init__()
        self._document = document
        self._settings = settings
        self._box = QComboBox()
        self._box.setAccessibleName("Rod")
        self._box.setToolTip("The rod that the ratio and the window are worked out on")
        self._box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self._box.activated.connect(self._chosen)
        edit = QToolButton()
        edit.setText("Edit…")
        edit.setAccessibleName("Edit rods")
        edit.setToolTip("Add rods, or change their lengths and windows")
        edit.clicked.connect(self.edit_rods)
        row = QHBoxLayout()
        row.setSpacing(4)
        row.addWidget(self._box, 1)
        row.addWidget(edit)
        self.body.addWidget(caption("Rod"))
        self.body.addLayout(row)
        document.changed.connect(self.refresh)
        settings.units_changed.connect(self.refresh)
        self.refresh()

    def refresh(self, _change: object = None) -> None:
        """Show the rods of the bench and the chosen one."""
        rods = self._document.bench.rods
        system = self._settings.system
        names = ["No rod chosen"] + [_rod_text(rod, system) for rod in rods]
        if names != [self._box.itemText(i) for i in range(self._box.count())]:
            self._box.clear()
            self._box.addItems(names)
            popup = self._box.view()
            popup.setMinimumWidth(min(popup.sizeHintForColumn(0) + 24, LONGEST_ROD))
        chosen = self._document.rod
        self._box.setCurrentIndex(rods.index(chosen) + 1 if chosen else 0)

    def _chosen(self, index: int) -> None:
        rods = self._document.bench.rods
        key = rods[index - 1].key if index > 0 else None
        self._document.apply(rod_edits.choose_rod, key, initiator=self)


def _rod_text(rod: Rod, system: System) -> str:
    """A rod's name and its length, which many names hold already."""
    length = show(rod.length, ROD_LENGTH, system)
    return rod.name if length in rod.name else f"{rod.name} · {length}"
