"""What stands on the tab Build while nothing is built: spools to weigh first, and Cut it."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QPushButton

from taperlab.gui.kit.deliberate import Deliberate
from taperlab.gui.kit.widgets import Card, Link, Remark, in_row, label
from taperlab.gui.pages.pieces.case import PiecesCase
from taperlab.gui.pages.pieces.weigh_row import WeighRow
from taperlab.model.stock import Stock
from taperlab.shop.pieces.words import first_to_weigh
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, Sentence


class Invitation(Card):
    """Where to begin while nothing is built: the spools to weigh before the plan is cut.

    begun(): the plan was cut.
    """

    begun = Signal()

    def __init__(self, case: PiecesCase) -> None:
        super().__init__(tr("Nothing is built yet"), margin=24, spacing=8)
        self._case = case
        self._stock: Stock | None = None
        self.title = label("", points=13.0, weight=QFont.Weight.DemiBold, wrap=True)
        self.words = label("", points=9.5, wrap=True)
        tip = tr("Believe what was weighed, and plan with it")
        self.weigh = WeighRow(case.place, tr("That is it"), tip)
        self.problem = Remark("bad")
        self.doubt = Remark("warn")
        self.cut = QPushButton(tr("Cut it and begin"))
        self.cut.setToolTip(tr("Take the pieces off the stock, and begin to build"))
        self.to_plan = Link(tr("Cutting plan"), tr("Turn to the cutting plan"))
        self.add(
            self.title,
            self.words,
            self.weigh,
            self.problem,
            self.doubt,
            4,
            in_row(self.cut, self.to_plan, None, spacing=14),
            None,
        )
        self.weigh.problem.connect(self.problem.say)
        self.weigh.weighed.connect(self._weigh)
        self.cut.clicked.connect(self._cut)
        Deliberate(self, self.cut)
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show which spool is to be weighed first, and whether the plan can be cut."""
        case, read, had_keys = self._case, self._case.place.read, self.weigh.has_keys
        self.cut.setEnabled(case.can_cut)
        doubts = (
            Sentence("{stock}: {said}", stock=stock.name, said=said) for stock, said in case.doubts
        )
        self.doubt.say("\n".join(map(read, doubts)))
        if case.is_late and self._stock is not None:
            return  # what is to be weighed next is told by the plan that is being worked out
        found, before = case.study, self._stock
        said, stock = first_to_weigh(found) if found is not None else (NOTHING, None)
        self._stock = next((each for each in case.stock if each is stock), None)
        self.weigh.setVisible(self._stock is not None)
        self.weigh.show_stock(self._stock)
        # The one next thing is filled: nothing is cut before it is weighed.
        self.weigh.button.setDefault(self._stock is not None)
        self.cut.setDefault(self._stock is None)
        title = said if self._stock is not None else Sentence("Nothing is built yet")
        self.title.setText(read(title))
        about = Sentence(
            "A build begins when the plan is cut. What is made is held from then on, whatever "
            "becomes of the stock; what is weighed before that goes into the plan itself."
        )
        self.words.setText(read(case.problem or about))
        is_other = before is None or self._stock is None or before.key != self._stock.key
        if had_keys and is_other:
            self.take_keys()

    def take_keys(self) -> None:
        """Put the keys where the work goes on."""
        if self._stock is not None:
            self.weigh.take_keys()
        else:
            self.cut.setFocus(Qt.FocusReason.TabFocusReason)

    def _weigh(self, length: float, mass: float) -> None:
        if self._stock is None or self._case.is_late:
            return
        why_not = self._case.weigh(self._stock, length, mass)
        self.problem.say(self._case.place.read(why_not))

    def _cut(self) -> None:
        if self._case.cut_it():
            self.begun.emit()
