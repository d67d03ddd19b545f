"""The Shape page: the line drawn across the page, its table below, its figures at the right."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtWidgets import QWidget

from taperlab.gui.dialogs.opening import Dialogs
from taperlab.gui.kit.findings import FindingsCard
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.rod_card import RodCard
from taperlab.gui.kit.room import Halves, PageBody, SideColumn
from taperlab.gui.kit.typed_figure import figure_help
from taperlab.gui.kit.water_card import WaterCard
from taperlab.gui.kit.widgets import Card, in_column, in_row
from taperlab.gui.pages.page import Page
from taperlab.gui.pages.shape.against_card import AgainstCard
from taperlab.gui.pages.shape.goals_card import GoalsCard
from taperlab.gui.pages.shape.goals_case import GoalsCase
from taperlab.gui.pages.shape.header import LineHeader
from taperlab.gui.pages.shape.profile_plots import ProfilePlots
from taperlab.gui.pages.shape.readouts import Readouts
from taperlab.gui.pages.shape.segment_model import CELL_OF
from taperlab.gui.pages.shape.segment_table import SegmentTable
from taperlab.gui.pages.shape.totals import Totals
from taperlab.gui.state.preview import Preview
from taperlab.model.aim import Cell
from taperlab.units.finding import Finding
from taperlab.units.language import tr

if TYPE_CHECKING:
    from taperlab.gui.pages.shape.rig_readouts import RigReadouts


class ShapePage(Page):
    """Plots above, table below, figures at the right."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(place)
        self.figure_help = figure_help()
        self.preview = Preview(place.document, self)
        self.plots: ProfilePlots = ProfilePlots(place, self.watch)
        self.plots.follow_typing(self.preview)
        self.table = self.segments = SegmentTable(place, self.watch)
        self.table.follow_typing(self.preview)
        self.header = LineHeader(place, self.watch, self.table)
        self.rod_card = RodCard(place, self.watch)
        self.goals = GoalsCase(place, self.watch, self.preview, self)
        self.readouts = Readouts(place, self.watch, self.preview, self.goals)
        self.goals_card = GoalsCard(self.goals, self._ask_goal)
        self.goals.bound_asked.connect(self._ask_bound)
        self.figure_menus = [self.readouts.menus()]
        self._for_rig = QWidget()
        self._for_rig.hide()
        self.watch.follow(self._show_rig)
        self.findings = FindingsCard(place, self._findings, most=6)
        self.watch.follow(self.findings.refresh)
        self.against = AgainstCard(place, self.watch)
        self.water = WaterCard(place, self.watch)
        self.plots.merge_asked.connect(self._merge)
        self._dialogs = Dialogs(place)
        self.header.describe.connect(self._dialogs.describe_line)
        self.rod_card.edit_rods.connect(self._dialogs.edit_rods)
        self.water.edit_water.connect(self._dialogs.edit_water)

        plot_card = Card(tr("Plots"))
        plot_card.body.setContentsMargins(8, 8, 8, 6)
        plot_card.add(self.plots)
        table_card = Card(tr("The line"))
        table_card.body.setContentsMargins(1, 1, 1, 6)
        table_card.body.setSpacing(2)
        self.totals = Totals(place, self.watch, self.table)
        table_card.add(self.header, (self.table, 1), self.totals)
        self.splitter = Halves(plot_card, table_card)
        cards = (
            self.rod_card,
            self.readouts,
            self.goals_card,
            self._for_rig,
            self.findings,
            self.against,
            self.water,
        )
        side = SideColumn(*cards)
        in_row(PageBody(self.splitter, side), of=self)
        self.goals_card.show_in(side)

    @cached_property
    def rig_readouts(self) -> RigReadouts:
        """The figures of a rig, made when first one is looked at."""
        from taperlab.gui.pages.shape.rig_readouts import RigReadouts

        made = RigReadouts(self.place, self.watch, self.preview)
        menus = made.menus()
        menus.offers = self.figure_menus[0].offers
        self.figure_menus.append(menus)
        in_column(made, of=self._for_rig)
        return made

    def _show_rig(self) -> None:
        is_rig = self.place.document.rig is not None
        self._for_rig.setVisible(is_rig and self.rig_readouts is not None)

    def _ask_goal(self) -> None:
        from taperlab.gui.pages.shape.goal_dialog import GoalDialog

        self.place.host.commit()
        if self.place.document.line is not None:
            GoalDialog(self.place, self.goals).open()

    def _ask_bound(self, row: int, cell: Cell) -> None:
        column = next(column for column, each in CELL_OF.items() if each is cell)
        self.table.go_to(row, column)
        dialog = self.table.bound_cell()
        if dialog is not None:
            dialog.accepted.connect(self.goals.look_again)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter takes an answer that waits, Esc puts it back."""
        if self.goals.proposal is not None and not event.modifiers():
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                self.goals.accept()
                return
            if event.key() == Qt.Key.Key_Escape:
                self.goals.drop()
                return
        super().keyPressEvent(event)

    def _merge(self, index: int) -> None:
        self.table.select_rows((index - 1, index))
        self.table.merge_rows()

    def _findings(self) -> tuple[Finding, ...]:
        """What is worth a remark about the line and the rod; joints of a rig have their card."""
        whole, fit = self.place.document.whole, self.place.document.rod_fit()
        return (*(whole.in_its_lines if whole else ()), *(fit.findings if fit else ()))

    def current_table(self) -> SegmentTable:
        """The table that the Edit menu acts on."""
        return self.table

    def take_offers(self, plots: list[QAction], figures: list[QAction]) -> None:
        """Put the window's commands into the menus of the plots, and of the figures."""
        super().take_offers(plots, figures)
        for menus in self.figure_menus:
            menus.offers = figures

    def has_readouts(self) -> bool:
        """There always are."""
        return True

    def current_readouts(self) -> list[tuple[str, str, str]]:
        """The figures at the right."""
        rig = self.place.document.rig
        return self.readouts.as_rows() if rig is None else self.rig_readouts.as_rows()

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""
        self.table.commit_open_editor()
        self.readouts.commit()
