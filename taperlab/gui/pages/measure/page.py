"""The Measure page: type what was measured, see the line that it makes and how sure that is."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QStackedWidget,
    QTabBar,
    QVBoxLayout,
    QWidget,
)

from taperlab.edits import measure as edits
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.widgets import GAP, Card, caption, side_column, upper_and_lower
from taperlab.gui.pages.measure.begin import BeginDialog, Invitation
from taperlab.gui.pages.measure.cards import LineCard, NextCard, RemarksCard, WeightCard
from taperlab.gui.pages.measure.desk import Desk
from taperlab.gui.pages.measure.details import DetailsDialog, InstrumentsDialog
from taperlab.gui.pages.measure.grid import Grid
from taperlab.gui.pages.measure.plots import MeasurePlots
from taperlab.gui.pages.measure.tables import ComparedModel, FittedModel, SectionModel, StationModel
from taperlab.gui.pages.page import Page


class MeasurePage(Page):
    """Plots above, tables below, figures at the right; an invitation while nothing is measured.

    problem(str): why something was not taken or could not be worked out.
    """

    problem = Signal(str)

    def __init__(self, place: Workplace) -> None:
        super().__init__(place)
        self._settings = settings = place.settings
        self.desk = Desk(place, self.watch, self)
        self.plots = MeasurePlots(self.desk)
        self.stations = Grid(
            StationModel(self.desk),
            place,
            "Stations",
            "Diameters along the line. Type a distance, Enter, a diameter, Enter, and so on; "
            "Control and Tab leaves the table.",
        )
        self.sections = Grid(
            SectionModel(self.desk),
            place,
            "Weighed sections",
            "Offcuts and stretches weighed on their own: from, to, weight.",
        )
        self.fitted = Grid(
            FittedModel(self.desk), place, "Fitted segments", "The line that was found, in order."
        )
        self.compared = Grid(
            ComparedModel(self.desk), place, "As designed and as built", "Differences with errors."
        )
        self.line_card = LineCard(self.desk)
        self.weight_card = WeightCard(self.desk)
        self.next_card = NextCard(self.desk)
        self.remarks = RemarksCard(self.desk)
        self.invitation = Invitation(self.desk, settings)
        self._lay_out()
        self._connect()
        self.problem.connect(place.host.say_problem)
        self._show_right_one()

    # -- layout -------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        plot_card = Card()
        plot_card.body.setContentsMargins(8, 6, 8, 4)
        plot_card.body.addWidget(self.plots)

        self.tabs = QTabBar()
        self.tabs.setAccessibleName("Tables")
        self.tabs.setDrawBase(False)
        self.tabs.setExpanding(False)
        self.tabs.setFont(theming.font(9.0))
        for name, tip in (
            ("Measured", "What was read and weighed"),
            ("Fitted segments", "The line that was found"),
            ("Against the design", "As designed and as built"),
        ):
            self.tabs.setTabToolTip(self.tabs.addTab(name), tip)
        self._tables = QStackedWidget()
        typed = QWidget()
        row = QHBoxLayout(typed)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(10)
        for table, name, stretch in (
            (self.stations, "Stations", 1),
            (self.sections, "Parts weighed by themselves", 1),
        ):
            column = QVBoxLayout()
            column.setSpacing(2)
            heading = caption(name)
            heading.setContentsMargins(8, 6, 0, 0)
            heading.setMinimumWidth(10)
            column.addWidget(heading)
            column.addWidget(table, 1)
            row.addLayout(column, stretch)
        for page in (typed, self.fitted, self.compared):
            self._tables.addWidget(page)
        table_card = Card()
        table_card.body.setContentsMargins(4, 2, 4, 6)
        table_card.body.setSpacing(2)
        table_card.body.addWidget(self.tabs)
        table_card.body.addWidget(self._tables, 1)

        self.splitter = upper_and_lower(plot_card, table_card, stretch=(3, 2), sizes=(440, 280))
        side = side_column(self.line_card, self.weight_card, self.next_card, self.remarks)

        work = QWidget()
        row = QHBoxLayout(work)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP)
        row.addWidget(self.splitter, 1)
        row.addWidget(side)
        self._whole = QStackedWidget()
        self._whole.addWidget(self.invitation)
        self._whole.addWidget(work)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._whole)

    def _connect(self) -> None:
        desk = self.desk
        self.tabs.currentChanged.connect(self._turn)
        desk.changed.connect(self._show_right_one)
        desk.problem.connect(self.problem)
        self.watch.changed.connect(self._document_changed)
        for table in self._grids():
            table.problem.connect(self.problem)
        self.stations.delete_asked.connect(self._delete_stations)
        self.stations.pasted.connect(self._paste_stations)
        self.sections.delete_asked.connect(self._delete_sections)
        self.invitation.started.connect(self._started)
        self.line_card.another.connect(self._begin_another)
        self.line_card.details.connect(self._edit_details)
        self.line_card.instruments.connect(self._edit_instruments)
        self._settings.units_changed.connect(self._units_changed)

    def _grids(self) -> tuple[Grid, ...]:
        return (self.stations, self.sections, self.fitted, self.compared)

    # -- what the window asks -----------------------------------------------------------------

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""
        for table in self._grids():
            table.commit_open_editor()
        if self.desk.measurement is not None:
            self.line_card.commit()

    def table_in_hand(self) -> Grid:
        """The table that the Edit menu acts on: the one with the focus, else the first shown."""
        for table in self._grids():
            if table.hasFocus():
                return table
        return (self.stations, self.fitted, self.compared)[self.tabs.currentIndex()]

    def plots_in_hand(self) -> MeasurePlots:
        """The plots that copying and saving a picture mean."""
        return self.plots

    # -- inside -------------------------------------------------------------------------------

    def _turn(self, index: int) -> None:
        for table in self._grids():
            table.commit_open_editor()
        self._tables.setCurrentIndex(index)

    def _show_right_one(self) -> None:
        self._whole.setCurrentIndex(0 if self.desk.measurement is None else 1)
        has_design = self.desk.design is not None
        if not has_design and self.tabs.currentIndex() == 2:
            self.tabs.setCurrentIndex(1)
        self.tabs.setTabVisible(2, has_design)

    def _document_changed(self, change: object) -> None:
        if change.before.lines is not change.after.lines:
            self.invitation.fields.refresh()
            self.weight_card.refresh()

    def _units_changed(self) -> None:
        self.invitation.fields.refresh()

    def _started(self) -> None:
        self.tabs.setCurrentIndex(0)
        self.stations.setFocus()
        self.stations.go_to(0, 0)

    def _delete_stations(self, rows: list[int]) -> None:
        self._tell(self.desk.apply(edits.delete_stations, rows))

    def _delete_sections(self, rows: list[int]) -> None:
        places = self.sections.grid.rows_in_measurement(rows)
        self._tell(self.desk.apply(edits.delete_sections, places))

    def _paste_stations(self, text: str) -> None:
        self._tell(self.stations.grid.paste(text))

    def _tell(self, sentence: str) -> None:
        if sentence:
            self.problem.emit(sentence)

    def _begin_another(self) -> None:
        self.commit()
        dialog = BeginDialog(self.desk, self._settings, self)
        dialog.accepted.connect(self._started)
        dialog.open()

    def _edit_details(self) -> None:
        self.commit()
        DetailsDialog(self.desk, self._settings, self).open()

    def _edit_instruments(self) -> None:
        self.commit()
        InstrumentsDialog(self.desk, self._settings, self).open()
