"""A card that asks: fields one below the other, with their names, and what is wrong with one."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from taperlab.gui.kit.kept import Kept
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import Card, Remark, caption, label
from taperlab.gui.state.settings import Settings
from taperlab.units.kinds import Kind

WIDE = 84
"""Of a field [px]."""


class AskedCard(Card):
    """A card of fields, one below the other, with their names at the left."""

    def __init__(self, settings: Settings, name: str) -> None:
        super().__init__(name, spacing=6)
        self._settings = settings
        self.kept: list[Kept] = []
        self.problem = Remark("bad")
        self.add(caption(name))

    def field(self, kind: Kind, name: str, *, optional: bool = False) -> QuantityEdit:
        """A field of its own; what is wrong with it is said below."""
        made = QuantityEdit(kind, self._settings, name=name, optional=optional)
        made.keep_width(WIDE)
        made.sentence_changed.connect(self.problem.say)
        return made

    def named(self, *rows: tuple[str, QWidget]) -> QGridLayout:
        """Fields with their names."""
        grid = QGridLayout()
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(6)
        grid.setColumnStretch(0, 1)
        for number, (name, widget) in enumerate(rows):
            grid.addWidget(label(name, wrap=True), number, 0)
            grid.addWidget(widget, number, 1, Qt.AlignmentFlag.AlignRight)
        return grid

    def commit(self) -> None:
        """Take over what is being typed."""
        for each in self.kept:
            each.commit()
