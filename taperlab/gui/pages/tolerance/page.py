"""The Tolerances page: what each ± on the bench does to a head, and what to do about it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QFont

from taperlab.gui.dialogs.opening import Dialogs
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.rod_card import RodCard
from taperlab.gui.kit.room import Halves, PageBody, SideColumn
from taperlab.gui.kit.widgets import Card, Elided, in_row, label, tool_button
from taperlab.gui.pages.page import Page
from taperlab.gui.pages.tolerance.cards import (
    BuildsCard,
    FiguresCard,
    TotalCard,
    WaysCard,
    readout,
)
from taperlab.gui.pages.tolerance.case import ToleranceCase
from taperlab.gui.pages.tolerance.closeness import ClosenessCard
from taperlab.gui.pages.tolerance.plots import TolerancePlots
from taperlab.gui.pages.tolerance.table import CausesTable
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

if TYPE_CHECKING:
    from taperlab.gui.paper.layout.blocks import Sheet

MOST_OF_IT = 0.6
"""Share of the height that the table takes where it has so many rows."""


class TolerancePage(Page):
    """What a thousandth costs along the head above, the causes below, what follows at the right."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(place)
        self.case = ToleranceCase(place, self.watch, self)
        self.plots: TolerancePlots = TolerancePlots(self.case)
        self.table = CausesTable(self.case)
        self.title = Elided(points=10.5, weight=QFont.Weight.DemiBold)
        self.total = TotalCard(self.case)
        self.builds = BuildsCard(self.case)
        self.ways = WaysCard(self.case)
        self.closeness = ClosenessCard(self.case)
        self.figures = FiguresCard(self.case)
        self.rod_card = RodCard(place, self.watch)
        self._dialogs = Dialogs(place)
        self.rod_card.edit_rods.connect(self._dialogs.edit_rods)
        self._lay_out()
        self.case.follow(self._show)

    def _lay_out(self) -> None:
        drawn = Card(tr("Where a thousandth costs most"))
        drawn.body.setContentsMargins(8, 8, 8, 6)
        drawn.add(self.plots)
        self.copy_button = tool_button(
            tr("Copy"),
            tr("Copy what may be off"),
            tr("Copy the table for a spreadsheet"),
            self.table.copy,
        )
        self.print_button = tool_button(
            tr("Print…"), tr("Print the tolerances"), tr("Print the table"), self._print
        )
        row = in_row((self.title, 1), self.copy_button, self.print_button)
        row.setContentsMargins(5, 6, 2, 2)
        self.key = label("", points=8.5, role="soft", wrap=True)
        self.key.setContentsMargins(5, 2, 5, 4)
        self.table.fitted.connect(self._show_key)
        listed = Card(tr("What may be off"))
        listed.body.setContentsMargins(9, 1, 9, 4)
        listed.body.setSpacing(0)
        listed.add(row, (self.table, 1), self.key)
        self.splitter = Halves(drawn, listed, MOST_OF_IT)
        cards = (
            self.total,
            self.builds,
            self.ways,
            self.figures,
            self.closeness,
            self.rod_card,
        )
        in_row(PageBody(self.splitter, SideColumn(*cards)), of=self)

    def _show(self) -> None:
        found, read = self.case.study, self.place.read
        title = tr("What may be off")
        if found is not None:
            title = read(Sentence("What may be off of {head}", head=found.asked.line.name))
        self.title.setText(title)
        for button in (self.copy_button, self.print_button):
            button.setEnabled(found is not None)
        # Only here, where they lie in the page: a card that shows itself before is a window.
        for each in (self.key, self.builds, self.ways, self.figures, self.closeness):
            each.setVisible(found is not None)
        self._show_key()

    def _show_key(self) -> None:
        """Say what the hatch is, and what has no room."""
        said = tr("Hatched: off alike in every head of one micrometer and one batch.")
        if self.table.is_narrow:
            said += " " + tr("How far each is off stands at the right; segments are left out here.")
        self.key.setText(said)

    def _print(self) -> None:
        from taperlab.gui.paper.printing import print_sheet

        print_sheet(self.place, self.sheet())

    def sheet(self) -> Sheet | Sentence:
        """The sentence and the table on paper."""
        from taperlab.gui.paper.tolerance_sheet import tolerance_sheet

        found = self.case.study
        if found is None:
            return self.case.problem
        return tolerance_sheet(found, self.case.builds)

    def current_readouts(self) -> list[tuple[str, str, str]]:
        """The large figure."""
        return [readout(self.case)]

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""
        self.closeness.commit()
