"""What stands on the tab Build while nothing is built: spools to weigh first, and Cut it."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QPushButton, QWidget

from taperlab.edits.stock import weigh_stock
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.tape_edit import TapeEdit
from taperlab.gui.kit.theme import px
from taperlab.gui.kit.widgets import Card, Link, Remark, in_row, label
from taperlab.gui.pages.pieces.case import PiecesCase
from taperlab.model.stock import Stock
from taperlab.shop.pieces.progress import TEN_FEET
from taperlab.shop.pieces.words import first_to_weigh
from taperlab.units.kinds import LENGTH, WEIGHT
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
        settings = case.place.settings
        self.length = TapeEdit(LENGTH, settings, name=tr("Length that is weighed"))
        self.mass = QuantityEdit(WEIGHT, settings, name=tr("The scale reads"), optional=True)
        self.keep = QPushButton(tr("That is it"))
        self.keep.setToolTip(tr("Believe what was weighed, and plan with it"))
        self.problem = Remark("bad")
        self.cut = QPushButton(tr("Cut it and begin"))
        self.cut.setDefault(True)
        self.cut.setToolTip(tr("Take the pieces off the stock, and begin to build"))
        self.to_plan = Link(tr("Cutting plan"), tr("Turn to the cutting plan"))
        self.weigh = QWidget()
        in_row(
            label(tr("Weigh")),
            self.length,
            label(tr("The scale reads")),
            self.mass,
            self.keep,
            None,
            spacing=8,
            of=self.weigh,
        )
        for field in (self.length, self.mass):
            field.keep_width(px(96))
            field.sentence_changed.connect(self.problem.say)
            field.returnPressed.connect(self._weigh)
        self.add(
            self.title,
            self.words,
            self.weigh,
            self.problem,
            4,
            in_row(self.cut, self.to_plan, None, spacing=14),
            None,
        )
        self.keep.clicked.connect(self._weigh)
        self.cut.clicked.connect(self._cut)
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show which spool is to be weighed first, and whether the plan can be cut."""
        found, read = self._case.study, self._case.place.read
        before = self._stock
        self._stock, said = None, NOTHING
        if found is not None:
            said, stock = first_to_weigh(found)
            self._stock = next((each for each in self._case.stock if each is stock), None)
        if self._stock is not None and (before is None or before.key != self._stock.key):
            self.length.set_value(min(TEN_FEET, self._stock.whole_length))
            self.mass.set_value(None)
        self.weigh.setVisible(self._stock is not None)
        title = Sentence("Nothing is built yet")
        if self._stock is not None:
            title = said
        self.title.setText(read(title))
        about = Sentence(
            "A build begins when the plan is cut. What is made is held from then on, whatever "
            "becomes of the stock; what is weighed before that goes into the plan itself."
        )
        self.words.setText(read(self._case.problem or about))
        self.cut.setEnabled(self._case.can_cut)

    def _weigh(self) -> None:
        stock, length, mass = self._stock, self.length.value(), self.mass.value()
        if stock is None or self.length.sentence or self.mass.sentence:
            return
        if length is None or mass is None:
            missing = self.mass if length is not None else self.length
            missing.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        outcome = self._case.do(weigh_stock, stock.key, length, mass, self._case.rules.scale)
        self.problem.say(self._case.place.read(outcome.refused))

    def _cut(self) -> None:
        if self._case.cut_it():
            self.begun.emit()
