"""The card that chooses the rod that heads are judged on."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QSizePolicy, QWidget

from taperlab.edits import bench as bench_edits
from taperlab.gui.kit.choice import Choice
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.widgets import Card, caption, in_row, tool_button
from taperlab.gui.state.watch import Watch
from taperlab.model.rod import Rod
from taperlab.units.kinds import ROD_LENGTH, System
from taperlab.units.language import tr
from taperlab.units.show import show

LONGEST_ROD = 420
"""Pixels that the list of rods may widen to, so that a name is read whole."""


class RodChoice(QWidget):
    """A list to choose the rod from that heads are judged on, and a way to edit rods.

    edit_rods(): the person wants to edit them.
    """

    edit_rods = Signal()

    def __init__(self, place: Workplace, watch: Watch) -> None:
        super().__init__()
        self._place = place
        self._shown: tuple[tuple[Rod, ...], Rod | None, System] | None = None
        self._names: list[str] = []
        self.box = Choice()
        self.box.setAccessibleName(tr("Rod"))
        self.box.setToolTip(tr("The rod that the ratio and the grain window are worked out on"))
        self.box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.box.activated.connect(self._chosen)
        tip = tr("Add rods, or change their lengths and grain windows")
        edit = tool_button(tr("Edit…"), tr("Edit rods"), tip, self.edit_rods)
        in_row((self.box, 1), edit, spacing=4, of=self)
        watch.follow(self.refresh)

    def refresh(self) -> None:
        """Show the rods of the bench and the chosen one."""
        rods, chosen = self._place.document.bench.rods, self._place.document.rod
        if self._shown == (rods, chosen, self._place.system):
            return
        self._shown = (rods, chosen, self._place.system)
        names = [tr("No rod chosen"), *(_rod_text(rod, self._place.system) for rod in rods)]
        if names != self._names:
            self._names = names
            self.box.clear()
            self.box.addItems(names)
            popup = self.box.view()
            popup.setMinimumWidth(min(popup.sizeHintForColumn(0) + 24, LONGEST_ROD))
        self.box.setCurrentIndex(rods.index(chosen) + 1 if chosen else 0)

    def _chosen(self, index: int) -> None:
        rods = self._place.document.bench.rods
        key = rods[index - 1].key if index > 0 else None
        self._place.do(bench_edits.choose_rod, key, initiator=self)


class RodCard(Card):
    """Choose the rod that heads are judged on. edit_rods(): the person wants to edit them."""

    edit_rods = Signal()

    def __init__(self, place: Workplace, watch: Watch) -> None:
        super().__init__(tr("Rod"))
        self.choice = RodChoice(place, watch)
        self.box = self.choice.box
        self.choice.edit_rods.connect(self.edit_rods)
        self.add(caption(tr("Rod")), self.choice)


def _rod_text(rod: Rod, system: System) -> str:
    """A rod's name and its length, which many names hold already."""
    length = show(rod.length, ROD_LENGTH, system)
    return rod.name if length in rod.name else f"{rod.name} · {length}"
