"""The Measure page: type what was measured, see the line that it makes and how sure that is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QStackedWidget, QTabBar, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.findings import FindingsCard
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.room import Halves, PageBody, SideColumn
from taperlab.gui.kit.widgets import (
    GAP,
    Card,
    caption,
    in_column,
    in_row,
)
from taperlab.gui.pages.measure.begin import BeginDialog, Invitation
from taperlab.gui.pages.measure.cards import LineCard, NextCard, WeightCard
from taperlab.gui.pages.measure.compared_table import ComparedModel
from taperlab.gui.pages.measure.desk import Desk
from taperlab.gui.pages.measure.details import DetailsDialog, InstrumentsDialog
from taperlab.gui.pages.measure.fitted_table import FittedModel
from taperlab.gui.pages.measure.plots import MeasurePlots
from taperlab.gui.pages.measure.run_card import RunCard
from taperlab.gui.pages.measure.sections_table import SectionModel
from taperlab.gui.pages.measure.stations_table import StationModel
from taperlab.gui.pages.page import Page
from taperlab.gui.state.document import Change
from taperlab.gui.table.grid import Grid
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

if TYPE_CHECKING:
    from taperlab.gui.paper.layout.blocks import Sheet

DESIGN_TAB = 2


class MeasurePage(Page):
    """Plots above, tables below, figures at the right; an invitation while nothing is measured."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(place)
        self.desk = desk = Desk(place, self.watch, self)
        self.plots: MeasurePlots = MeasurePlots(desk)
        self.stations = Grid(
            StationModel(desk),
            place,
            tr("Stations"),
            tr(
                "Diameters along the line. Type a distance, Enter, a diameter, Enter, and so on; "
                "Control and Tab leaves the table."
            ),
        )
        self.sections = Grid(
            SectionModel(desk),
            place,
            tr("Weighed sections"),
            tr("Offcuts and stretches weighed on their own: from, to, weight."),
        )
        self.fitted = Grid(
            FittedModel(desk),
            place,
            tr("Fitted segments"),
            tr("The line that was found, in order."),
        )
        self.compared = Grid(
            ComparedModel(desk),
            place,
            tr("As designed and as built"),
            tr("Differences with errors."),
        )
        self.run_card = RunCard(desk)
        self.line_card = LineCard(desk)
        self.weight_card = WeightCard(desk)
        self.next_card = NextCard(desk)
        self.remarks = FindingsCard(place, desk.findings, most=5)
        desk.follow(self.remarks.refresh)
        self.invitation = Invitation(desk)
        self._lay_out()
        self.tabs.currentChanged.connect(self._turn)
        desk.changed.connect(self._show_right_one)
        self.watch.changed.connect(self._bench_changed)
        self.invitation.started.connect(self._started)
        self.line_card.another.connect(self._begin_another)
        self.line_card.details.connect(lambda: self._ask(DetailsDialog))
        self.line_card.instruments.connect(lambda: self._ask(InstrumentsDialog))
        self._show_right_one()

    # -- layout -------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        plot_card = Card(tr("Plots"))
        plot_card.body.setContentsMargins(8, 6, 8, 4)
        plot_card.body.addWidget(self.plots)

        self.tabs = QTabBar()
        self.tabs.setAccessibleName(tr("Tables"))
        self.tabs.setDrawBase(False)
        self.tabs.setExpanding(False)
        self.tabs.setFont(theming.font(9.0))
        for name, tip in (
            (tr("Measured"), tr("What was read and weighed")),
            (tr("Fitted segments"), tr("The line that was found")),
            (tr("Against the design"), tr("As designed and as built")),
        ):
            self.tabs.setTabToolTip(self.tabs.addTab(name), tip)
        typed = QWidget()
        row = in_row(spacing=4, of=typed)
        for table, name in (
            (self.stations, tr("Stations")),
            (self.sections, tr("Parts weighed by themselves")),
        ):
            heading = caption(name)
            heading.setContentsMargins(8, 6, 0, 0)
            heading.setMinimumWidth(10)
            row.addLayout(in_column(heading, (table, 1), spacing=2))
        self._tables = QStackedWidget()
        for page in (typed, self.fitted, self.compared):
            self._tables.addWidget(page)
        table_card = Card(tr("Tables"))
        table_card.body.setContentsMargins(4, 2, 4, 6)
        table_card.body.setSpacing(2)
        table_card.add(self.tabs, (self._tables, 1))

        self.splitter = Halves(plot_card, table_card)
        side = SideColumn(self.line_card, self.weight_card, self.next_card, self.remarks)
        work = QWidget()
        in_column(self.run_card, (self.splitter, 1), spacing=GAP, of=work)
        self._whole = QStackedWidget()
        self._whole.addWidget(self.invitation)
        self._whole.addWidget(PageBody(work, side))
        in_row(self._whole, of=self)

    def _grids(self) -> tuple[Grid, ...]:
        return (self.stations, self.sections, self.fitted, self.compared)

    # -- what the window asks -----------------------------------------------------------------

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""
        for table in self._grids():
            table.commit_open_editor()
        self.line_card.commit()

    def sheet(self) -> Sheet | Sentence:
        """What was read and what that makes, on paper."""
        from taperlab.gui.paper.measurement_sheet import measurement_sheet

        if self.desk.measurement is None:
            return super().sheet()
        if self.desk.study is None:
            return Sentence("The fit is still being worked out: print again in a moment.")
        return measurement_sheet(self.desk.study)

    def current_table(self) -> Grid:
        """The table that the Edit menu acts on: the one with the focus, else the first shown."""
        for table in self._grids():
            if table.hasFocus():
                return table
        return (self.stations, self.fitted, self.compared)[self.tabs.currentIndex()]

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up, and fit what is measured now."""
        super().showEvent(event)
        self.desk.wake()

    def hideEvent(self, event: QHideEvent) -> None:
        """Fit nothing that is not seen."""
        super().hideEvent(event)
        self.desk.sleep()

    # -- inside -------------------------------------------------------------------------------

    def _turn(self, index: int) -> None:
        for table in self._grids():
            table.commit_open_editor()
        self._tables.setCurrentIndex(index)

    def _show_right_one(self) -> None:
        self._whole.setCurrentIndex(0 if self.desk.measurement is None else 1)
        has_design = self.desk.design is not None
        if not has_design and self.tabs.currentIndex() == DESIGN_TAB:
            self.tabs.setCurrentIndex(DESIGN_TAB - 1)
        self.tabs.setTabVisible(DESIGN_TAB, has_design)

    def _bench_changed(self, change: Change) -> None:
        if change.before.lines is not change.after.lines:
            self.invitation.fields.refresh()
            self.weight_card.refresh()

    def _started(self) -> None:
        self.tabs.setCurrentIndex(0)
        self.stations.setFocus()
        self.stations.go_to(0, 0)

    def _begin_another(self) -> None:
        self.commit()
        dialog = BeginDialog(self.desk)
        dialog.accepted.connect(self._started)
        dialog.open()

    def _ask(self, dialog: type[DetailsDialog | InstrumentsDialog]) -> None:
        self.commit()
        if self.desk.measurement is not None:
            dialog(self.desk, self.desk.measurement).open()
