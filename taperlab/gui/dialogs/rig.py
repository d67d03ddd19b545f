"""Name, leader, fly and note of a rig."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QComboBox, QLineEdit

from taperlab.edits import rigs as edits
from taperlab.gui.dialogs.form import FormDialog, note_box
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.theme import px
from taperlab.model.rig import Fly, FlyKind, Leader, Rig
from taperlab.trade.flies import flies
from taperlab.units.kinds import LENGTH
from taperlab.units.language import tr
from taperlab.units.words import heading


class RigDialog(FormDialog):
    """What a rig is called, what is tied to it, a note; all of it is one step when accepted.

    A rig without a leader or a fly of its own is fished with those of all rigs of the bench.
    """

    def __init__(self, place: Workplace, rig: Rig) -> None:
        super().__init__(tr("Rig"), place)
        self._rig = rig
        self.name = self.add_row(tr("Name"), QLineEdit(rig.name))
        length = rig.leader.length if rig.leader else None
        about = tr("Left empty, the rig has the leader that rigs of this bench are fished with")
        self.leader = self.add_field(tr("Leader"), LENGTH, length, about, optional=True)
        self.leader.setPlaceholderText(tr("as all rigs of this bench"))
        self.fly = self.add_row(tr("Fly"), QComboBox())
        self.fly.addItem(tr("As all rigs of this bench"), None)
        for kind in FlyKind:
            if kind is not FlyKind.OWN or (rig.fly and rig.fly.kind is kind):
                self.fly.addItem(heading(kind), kind)
        self.fly.setCurrentIndex(self.fly.findData(rig.fly.kind if rig.fly else None))
        self.note = self.add_row(tr("Note"), note_box(rig.note, px(72)))
        self.setMinimumWidth(px(460))
        self.finish_layout()

    def try_accept(self) -> None:
        """Describe it, or say why not."""
        if self.is_filled_in():
            tied = self._leader(), self._fly()
            note = self.note.toPlainText().strip()
            self.finish_with(edits.describe_rig, self._rig.key, self.name.text(), *tied, note)

    def _leader(self) -> Leader | None:
        length, own = self.leader.value(), self._rig.leader
        if length is None:
            return None
        return replace(own, length=length) if own else Leader(length)

    def _fly(self) -> Fly | None:
        kind = self.fly.currentData()
        own = self._rig.fly
        if kind is None or (own is not None and own.kind is kind):
            return own if kind is not None else None
        return flies()[FlyKind(kind)].fly
