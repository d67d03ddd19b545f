"""The Tips page: which of the tips suits the head, and how deep each fishes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QFont, QHideEvent, QShowEvent

from taperlab.gui.dialogs.opening import Dialogs
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.rod_card import RodCard
from taperlab.gui.kit.room import Halves, PageBody, SideColumn
from taperlab.gui.kit.widgets import Card, Elided, Remark, in_row, tool_button
from taperlab.gui.pages.page import Page
from taperlab.gui.pages.tips.build_card import BuildCard
from taperlab.gui.pages.tips.cards import DeepestCard, HeadCard
from taperlab.gui.pages.tips.case import TipsCase
from taperlab.gui.pages.tips.plots import TipsPlots
from taperlab.gui.pages.tips.table import TipsTable
from taperlab.gui.pages.tips.weighed_card import WeighedCard
from taperlab.shop.tips.study import TipRow, left_out
from taperlab.shop.tips.words import left_out_words
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

if TYPE_CHECKING:
    from taperlab.gui.paper.layout.blocks import Sheet

MOST_OF_IT = 0.62
"""Share of the height that the table takes where it has so many rows."""


class TipsPage(Page):
    """Plots above, the table of tips below; depth, head, rod, water and builder at the right."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(place)
        self.case = TipsCase(place, self.watch, self)
        self.plots: TipsPlots = TipsPlots(self.case)
        self.table = TipsTable(self.case)
        self.title = Elided(points=10.5, weight=QFont.Weight.DemiBold)
        self.empty = Remark("soft")
        self.deepest = DeepestCard(self.case)
        self.head = HeadCard(self.case)
        self.rod_card = RodCard(place, self.watch)
        self.swing = self.deepest.swing
        self.swing.elsewhere.clicked.connect(lambda: self.case.see_in_water(self._chosen_row()))
        self.build = BuildCard(self.case)
        self.weighed = WeighedCard(self.case)
        self._dialogs = Dialogs(place)
        self.rod_card.edit_rods.connect(self._dialogs.edit_rods)
        self.build.added.connect(self._added)
        self.weighed.added.connect(self._added)
        self._lay_out()
        self.case.follow(self._show)
        self._show()

    def _lay_out(self) -> None:
        drawn = Card(tr("Plots of the tips"))
        drawn.body.setContentsMargins(8, 8, 8, 6)
        drawn.add(self.plots)
        self.rig_button = tool_button(
            tr("Keep as rig"),
            tr("Keep as rig"),
            tr("Loop the chosen tip to the head, and keep both as a rig of this bench"),
            self._keep_as_rig,
        )
        self.water_button = tool_button(
            tr("In the water"),
            tr("See it in the water"),
            tr("Open the page Water with the chosen tip on this head: angle, river and drift"),
            lambda: self.case.see_in_water(self._chosen_row()),
        )
        self.copy_button = tool_button(
            tr("Copy"),
            tr("Copy the table of tips"),
            tr("Copy the selected tips for a spreadsheet, or all of them"),
            self.table.copy,
        )
        self.print_button = tool_button(
            tr("Print…"), tr("Print the tips"), tr("Print the table of tips"), self._print
        )
        buttons = (self.water_button, self.rig_button, self.copy_button, self.print_button)
        row = in_row((self.title, 1), *buttons)
        row.setContentsMargins(13, 6, 10, 2)
        listed = Card(tr("Tips"))
        listed.body.setContentsMargins(1, 1, 1, 6)
        listed.body.setSpacing(0)
        self.empty.setContentsMargins(14, 4, 14, 6)
        listed.add(row, (self.table, 1), self.empty)
        self.splitter = Halves(drawn, listed, MOST_OF_IT)
        cards = (self.deepest, self.head, self.rod_card, self.build, self.weighed)
        in_row(PageBody(self.splitter, SideColumn(*cards)), of=self)

    def _show(self) -> None:
        """Show what stands round the table."""
        study, read, bench = self.case.study, self.place.read, self.place.document.bench
        has_tips = study is not None and bool(study.rows)
        title = tr("Tips")
        if study is not None:
            title = read(Sentence("Tips on {head}", head=study.question.head.name))
        self.title.setText(title)
        for button in (self.water_button, self.rig_button, self.copy_button, self.print_button):
            button.setEnabled(has_tips)
        said = left_out_words(
            tuple((line.name, problem.sentence) for line, problem in left_out(bench))
        )
        if not has_tips and not said:
            said = Sentence(
                "A line whose style is tip stands here. Build one at the right and put it in the "
                "table, or set the style of a line on the page Shape."
            )
        self.empty.say(read(said))

    def _added(self, key: str) -> None:
        """Lay a tip over that was just put in the table."""
        laid = self.place.document.bench.view.overlays
        self.place.document.look(overlays=(*laid, key), initiator=self)

    def _chosen_row(self) -> TipRow | None:
        """The tip that is meant: the current one of those laid over, or the deepest."""
        best = self.case.study.best if self.case.study is not None else None
        chosen = self.table.selected_tips()
        row = self.table.current_row()
        if chosen and row not in chosen:
            row = chosen[0]
        return row or best

    def _keep_as_rig(self) -> None:
        self.case.keep_as_rig(self._chosen_row())

    def _print(self) -> None:
        from taperlab.gui.paper.printing import print_sheet

        print_sheet(self.place, self.sheet())

    def sheet(self) -> Sheet | Sentence:
        """The table of tips on paper."""
        from taperlab.gui.paper.tips_sheet import tips_sheet

        study = self.case.study_now()
        if study is None:
            return Sentence("There is no head on the bench that tips could be looped to.")
        if not study.rows:
            return Sentence("There is no tip on this bench to print.")
        return tips_sheet(study)

    def has_readouts(self) -> bool:
        """There always are."""
        return True

    def current_readouts(self) -> list[tuple[str, str, str]]:
        """The large figure."""
        deepest = self.deepest
        unit = deepest.unit.text()
        figure = f"{deepest.figure.text()} {unit}".strip()
        return [(tr("Deepest that does not hinge"), figure, deepest.name.text())]

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""
        self.table.commit_open_editor()
        self.swing.commit()

    def current_table(self) -> TipsTable:
        """The table of tips."""
        return self.table

    def showEvent(self, event: QShowEvent) -> None:
        """Wake, and ask for what is missing."""
        super().showEvent(event)
        self.case.refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        """Sleep."""
        super().hideEvent(event)
        self.case.sleep()
