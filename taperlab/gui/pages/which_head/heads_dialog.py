"""The heads that are there: how each fits, and one to go on with."""

from __future__ import annotations

from PySide6.QtWidgets import QListWidget

from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.theme import SMALL, px
from taperlab.gui.kit.widgets import Remark, label
from taperlab.gui.pages.which_head.case import WhichCase
from taperlab.shop.which_head.fit import HeadFit
from taperlab.shop.which_head.words import fit_in_short, fit_words, head_in_short
from taperlab.trade.cautions import Topic, caution
from taperlab.trade.windows import Place
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence
from taperlab.units.words import capital


class HeadsDialog(FormDialog):
    """All heads of the bench, the best first, with what speaks for and against the chosen one."""

    def __init__(self, case: WhichCase) -> None:
        super().__init__(
            tr("Heads that are there"), case.place, accept=tr("Make it the current line")
        )
        self._case = case
        self.fits: tuple[HeadFit, ...] = case.heads()
        self.setMinimumWidth(px(440))
        self.list = QListWidget()
        self.list.setAccessibleName(tr("Heads on the bench, the best first"))
        self.list.setMinimumHeight(px(190 if len(self.fits) > 2 else 110))
        self.list.ensurePolished()  # the rows are as high as its style makes them
        read = case.place.read
        for each in self.fits:
            short = capital(read(head_in_short(each))), read(fit_in_short(each))
            self.list.addItem("\n".join((each.line.name, " · ".join(short))))
        self.said = label("", wrap=True)
        self.caution = Remark("warn", points=SMALL)
        self.column.addWidget(self.list)
        self.column.addWidget(self.said)
        self.column.addWidget(self.caution)
        self.finish_layout()
        self.list.currentRowChanged.connect(self._describe)
        self.list.itemActivated.connect(lambda _item: self.try_accept())
        self.list.setCurrentRow(0)
        self.list.setFocus()
        if not self.fits:
            self._describe(-1)

    @property
    def chosen(self) -> HeadFit | None:
        """The head that is chosen."""
        at = self.list.currentRow()
        return self.fits[at] if at >= 0 else None

    def _describe(self, _row: int) -> None:
        """Say how the chosen one fits, and warn of one that is too heavy for the rod."""
        fit, found = self.chosen, self._case.found
        self.accept_button.setEnabled(fit is not None)
        if fit is None or found is None:
            self.said.setText(tr("No head lies on the bench. Lay one on it first."))
            self.caution.say("")
            return
        self.said.setText("\n".join(map(self.place.read, fit_words(fit, found))))
        mind = caution(Topic.OVERLOADED_ROD)
        heavy = fit.place is Place.ABOVE
        self.caution.say(f"{tr(mind.text)} {tr(mind.defer)}" if heavy else "")

    def try_accept(self) -> None:
        """Make it the current line, to be looked at on all pages."""
        fit = self.chosen
        if fit is None:
            return
        self.place.document.look(line=fit.line.key, rig=None, initiator=self)
        self.place.host.say(Sentence("{name} is the current line.", name=fit.line.name))
        self.accept()
