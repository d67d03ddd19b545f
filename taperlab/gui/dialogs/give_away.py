"""What is left out of a bench that is given away: of its jobs always, of its notes as one likes."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QCheckBox

from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.theme import px
from taperlab.gui.kit.widgets import Remark, caption, label
from taperlab.model.bench import Bench
from taperlab.shop.personal import LeftOut, Notes, without_personal_data
from taperlab.units.language import tr
from taperlab.units.words import heading


class GiveAwayDialog(FormDialog):
    """Ticks for the notes that are left out, and what is named all the same.

    write: takes the bench without personal data; False where it was not written after all.
    """

    def __init__(self, place: Workplace, write: Callable[[Bench], bool]) -> None:
        super().__init__(tr("Export without personal data"), place, accept=tr("Export…"))
        self._write = write
        always = tr(
            "Customer, ticket, notes, how it cast and photographs of all jobs are left out, and "
            "what only a newer program knows. Leave out the notes on these, too:"
        )
        self.column.addWidget(label(always, wrap=True))
        self.ticks: dict[Notes, QCheckBox] = {}
        for each in Notes:
            tick = self.ticks[each] = QCheckBox(heading(each))
            tick.setChecked(True)
            tick.toggled.connect(self._show)
            self.column.addWidget(tick)
        self._named = caption(tr("Still named, in what stays: change these first, or let them be"))
        self.still = Remark("warn", points=8.5)
        self.column.addWidget(self._named)
        self.column.addWidget(self.still)
        self.setMinimumWidth(px(440))
        self.finish_layout()
        self._show()

    @property
    def left_out(self) -> LeftOut:
        """The bench as it would be written."""
        keep = [notes for notes, tick in self.ticks.items() if not tick.isChecked()]
        return without_personal_data(self.place.document.bench, keep)

    def _show(self) -> None:
        still = self.left_out.still
        self.still.say("\n".join(map(self.place.read, still)))
        self._named.setVisible(bool(still))

    def try_accept(self) -> None:
        """Ask where to, and write it."""
        if self._write(self.left_out.bench):
            self.accept()
