"""What is left out of a bench that is given away: of its jobs always, of its notes as one likes."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QCheckBox

from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.theme import px
from taperlab.gui.kit.widgets import Link, Remark, caption, label
from taperlab.gui.kit.work_bar import WorkBar
from taperlab.model.bench import Bench
from taperlab.shop.personal import LeftOut, Notes, leaving_out
from taperlab.units.language import tr
from taperlab.units.words import heading

LANE = "give away"


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
        self.left_out: LeftOut | None = None
        self.work_bar = WorkBar(
            place.jobs,
            LANE,
            tr("Share of the bench looked through"),
            Link(tr("Stop"), tr("Export nothing"), self.reject),
        )
        self.column.addWidget(self.work_bar)
        self._named = caption(tr("Still named, in what stays: change these first, or let them be"))
        self._named.hide()
        self.still = Remark("warn", points=8.5)
        self.column.addWidget(self._named)
        self.column.addWidget(self.still)
        self.setMinimumWidth(px(440))
        self.finish_layout()
        self._show()

    @property
    def is_settled(self) -> bool:
        """Whether what is shown is of the ticks as they are."""
        return not self.place.jobs.is_busy(LANE)

    def _show(self) -> None:
        """Look through the bench beside the window; until that is done nothing is exported."""
        keep = [notes for notes, tick in self.ticks.items() if not tick.isChecked()]
        self.accept_button.setEnabled(False)
        self.place.jobs.run(
            LANE,
            leaving_out,
            self.place.document.bench,
            keep,
            done=self._take,
            failed=lambda sentence: self.problem(self.place.read(sentence)),
        )

    def _take(self, left_out: LeftOut) -> None:
        self.left_out = left_out
        self.still.say("\n".join(map(self.place.read, left_out.still)))
        self._named.setVisible(bool(left_out.still))
        self.accept_button.setEnabled(True)

    def done(self, result: int) -> None:
        """Want no answer any more."""
        self.place.jobs.cancel(LANE)
        super().done(result)

    def try_accept(self) -> None:
        """Ask where to, and write it."""
        if self.left_out is not None and self._write(self.left_out.bench):
            self.accept()
