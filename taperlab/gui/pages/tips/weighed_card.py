"""A tip that a person has and knows little of: its length and weight, and its diameter if read."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLineEdit, QPushButton, QWidget

from taperlab.edits.tips import add_tip
from taperlab.gui.kit.fold import Fold
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import Card, Remark, in_column, label
from taperlab.gui.pages.tips.case import TipsCase
from taperlab.shop.tips.building import tip_stock
from taperlab.shop.tips.weighed import between, between_words, weighed_tip
from taperlab.units.kinds import DIAMETER, LENGTH, WEIGHT
from taperlab.units.language import tr
from taperlab.units.sentence import Length, Sentence, Weight


class WeighedCard(Card):
    """How fast a tip of a length and a weight may sink; with its diameter it can be put on.

    added(str): key of a tip put on the bench.
    """

    added = Signal(str)

    def __init__(self, case: TipsCase) -> None:
        super().__init__(tr("A tip that you have"))
        self._case = case
        settings = case.place.settings
        self.length = QuantityEdit(LENGTH, settings, name=tr("Length of the tip"), optional=True)
        self.weight = QuantityEdit(WEIGHT, settings, name=tr("Weight of the tip"), optional=True)
        self.diameter = QuantityEdit(
            DIAMETER, settings, name=tr("Diameter of the tip"), optional=True
        )
        self.diameter.setPlaceholderText(tr("not known"))
        self.name = QLineEdit()
        self.name.setAccessibleName(tr("Name of the tip"))
        self.name.setPlaceholderText(tr("by its length and weight"))
        self.words = Remark("soft")
        self.problem = Remark("bad")
        self.button = QPushButton(tr("Put this one in the table"))
        self.button.clicked.connect(self.put)
        content = QWidget()
        grid = QGridLayout()
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(6)
        for i, (text, field) in enumerate(
            (
                (tr("Length"), self.length),
                (tr("Weight"), self.weight),
                (tr("Diameter"), self.diameter),
                (tr("Name"), self.name),
            )
        ):
            grid.addWidget(label(text), i, 0)
            grid.addWidget(field, i, 1)
        grid.setColumnStretch(1, 1)
        in_column(grid, self.words, self.problem, self.button, spacing=6, of=content)
        self.fold = Fold(tr("A tip that you have"), content)
        self.add(self.fold)
        for field in (self.length, self.weight, self.diameter):
            field.value_changed.connect(self.refresh)
            field.sentence_changed.connect(self.refresh)
        case.watch.changed.connect(self.refresh)
        case.follow(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Say how fast it may sink, as far as that is known."""
        length, mass, thick = self.length.value(), self.weight.value(), self.diameter.value()
        faults = [field.sentence for field in (self.length, self.weight, self.diameter)]
        self.problem.say(next(filter(None, faults), ""))
        known = length is not None and mass is not None
        self.button.setEnabled(known and thick is not None and not any(faults))
        said = ""
        if length is not None and mass is not None and thick is None:
            bench = self._case.place.document.bench
            found = between(length, mass, tip_stock(bench), bench.water)
            if found is not None:
                said = self._case.place.read(between_words(found))
        self.words.say(said)

    def put(self) -> None:
        """Put it on the bench, and so in the table."""
        length, mass, thick = self.length.value(), self.weight.value(), self.diameter.value()
        if length is None or mass is None or thick is None:
            return
        place = self._case.place
        usual = Sentence("{length}, {weight}", length=Length(length), weight=Weight(mass))
        tip = weighed_tip(self.name.text().strip() or place.read(usual), length, mass, thick)
        before = {line.key for line in place.document.bench.lines}
        outcome = place.do(add_tip, tip, initiator=self)
        self.problem.say(place.read(outcome.refused))
        if outcome:
            lines = place.document.bench.lines
            self.added.emit(next(line.key for line in lines if line.key not in before))
