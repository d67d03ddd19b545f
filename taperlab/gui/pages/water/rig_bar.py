"""Which rig is looked at: the bench's rigs, and the current line with a tip looped on the spot."""

from __future__ import annotations

from PySide6.QtWidgets import QSizePolicy, QWidget

from taperlab.edits import rigs as edits
from taperlab.gui.dialogs.rename import RenameDialog
from taperlab.gui.kit.choice import Choice
from taperlab.gui.kit.widgets import in_row, label, tool_button
from taperlab.gui.pages.water.desk import WaterDesk
from taperlab.units.language import tr


class RigBar(QWidget):
    """Chooses a rig, keeps what is looped on the spot, renames a rig and takes it apart."""

    def __init__(self, desk: WaterDesk) -> None:
        super().__init__()
        self._desk = desk
        self._named: list[tuple[str, str, bool]] = []
        self.box = Choice()
        self.box.setAccessibleName(tr("Rig"))
        self.box.setToolTip(tr("Rigs of the bench, and the current line with a tip looped to it"))
        self.box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.box.setMinimumWidth(90)
        self.box.activated.connect(self._chosen)
        self.keep = tool_button(
            tr("Keep as rig"),
            tr("Keep as a rig of the bench"),
            tr("Loop these lines together for good"),
            self._keep,
        )
        self.rename = tool_button(
            tr("Rename…"), tr("Rename the rig"), tr("Give the rig another name"), self._rename
        )
        tip = tr("The rig is forgotten; its lines stay on the bench")
        self.apart = tool_button(tr("Take apart"), tr("Take the rig apart"), tip, self._take_apart)
        in_row(
            label(tr("Rig")), (self.box, 1), self.keep, self.rename, self.apart, spacing=6, of=self
        )
        desk.follow(self.refresh, lambda: (desk.choices, desk.focus))

    def refresh(self) -> None:
        """Show what there is to choose from, and what is chosen."""
        desk = self._desk
        named = [(each.key, each.name, each.kept) for each in desk.choices]
        if named != self._named:
            self._named = named
            self.box.clear()
            for key, name, kept in named:
                self.box.addItem(name if kept else tr("{rig} (on the spot)").format(rig=name), key)
        focus = desk.focus
        if focus is not None:
            self.box.setCurrentIndex(self.box.findData(focus.key))
        self.keep.setVisible(focus is not None and not focus.kept and bool(focus.rig.ahead))
        for each in (self.rename, self.apart):
            each.setVisible(focus is not None and focus.kept)

    def _chosen(self, index: int) -> None:
        self._desk.look_at(self.box.itemData(index))

    def _keep(self) -> None:
        focus, document = self._desk.focus, self._desk.place.document
        if focus is None:
            return
        before = {each.key for each in document.bench.rigs}
        if self._desk.place.do(edits.make_rig, focus.rig.head, focus.rig.ahead):
            made = [each.key for each in document.bench.rigs if each.key not in before]
            self._desk.look_at(made[0])

    def _rename(self) -> None:
        focus = self._desk.focus
        if focus is not None:
            RenameDialog(
                self._desk.place,
                tr("Rename the rig"),
                focus.rig.key,
                focus.rig.name,
                edits.rename_rig,
            ).open()

    def _take_apart(self) -> None:
        focus = self._desk.focus
        if focus is not None:
            self._desk.place.do(edits.delete_rig, focus.key)
