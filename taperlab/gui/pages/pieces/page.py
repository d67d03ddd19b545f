"""The Pieces page: stock, what each piece of a head is cut from, the cutting plan, the build."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTabBar, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.findings import FindingsCard
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.room import PageBody, SideColumn
from taperlab.gui.kit.widgets import Link, in_column, in_row, tool_button
from taperlab.gui.kit.work_bar import WorkBar
from taperlab.gui.pages.page import Page
from taperlab.gui.pages.pieces.build_cards import (
    AsBuiltCard,
    BuildingCard,
    CautionsCard,
    LookFirstCard,
)
from taperlab.gui.pages.pieces.build_flow import BuildFlow
from taperlab.gui.pages.pieces.build_tab import BuildTab
from taperlab.gui.pages.pieces.build_view import BuildView
from taperlab.gui.pages.pieces.cards import HeadsCard, RulesCard
from taperlab.gui.pages.pieces.case import LANE, PiecesCase
from taperlab.gui.pages.pieces.pieces_tab import PiecesTab
from taperlab.gui.pages.pieces.plan_tab import PlanTab
from taperlab.gui.pages.pieces.shelf_tab import ShelfTab
from taperlab.gui.state.document import Change, Reason
from taperlab.gui.table.grid import Grid
from taperlab.shop.pieces.remarks import remarks
from taperlab.units.finding import Finding
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

if TYPE_CHECKING:
    from taperlab.gui.paper.layout.blocks import Sheet

SHELF, PIECES, PLAN, BUILD = range(4)


class PiecesPage(Page):
    """Four tabs; beside the pieces and the plan stand what is asked and what is remarked."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(place)
        self.case = case = PiecesCase(place, self.watch, self)
        self.shelf = ShelfTab(case)
        self.pieces = PiecesTab(case)
        self.plan = PlanTab(case)
        self.flow = BuildFlow(case, self)
        self.build = BuildTab(case, self.flow)
        self.building = BuildingCard(self.flow)
        self.look_first = LookFirstCard(self.flow)
        self.as_built = AsBuiltCard(self.flow)
        self.cautions = CautionsCard()
        self.heads = HeadsCard(case)
        self.rules = RulesCard(case)
        self.remarks = FindingsCard(place, self._findings, most=12)
        self._lay_out()
        self.tabs.currentChanged.connect(self._turn)
        self.pieces.to_shelf.clicked.connect(lambda: self.tabs.setCurrentIndex(SHELF))
        self.plan.begun.connect(self._begun)
        self.build.empty.begun.connect(self._begun)
        self.build.empty.to_plan.clicked.connect(lambda: self.tabs.setCurrentIndex(PLAN))
        self.build.panel.finished.connect(lambda: place.host.show_page("shape"))
        self.build.rested.connect(lambda: self.tabs.setFocus(Qt.FocusReason.TabFocusReason))
        self.building.bench_button.clicked.connect(self.open_bench_view)
        self.building.delete_button.clicked.connect(self.flow.delete)
        self.flow.changed.connect(self._show_cards)
        for card in (self.building, self.look_first, self.as_built):
            card.refresh()  # the flow was worked out before they could follow it
        self.watch.changed.connect(self._bench_changed)
        start = BUILD if self.flow.is_in_work else PIECES
        self._turn(start)
        self.tabs.setCurrentIndex(start)
        case.follow(self._show)

    def _lay_out(self) -> None:
        self.tabs = QTabBar()
        self.tabs.setAccessibleName(tr("Parts of the work"))
        self.tabs.setDrawBase(False)
        self.tabs.setExpanding(False)
        # A click takes the keys out of the part that it hides.
        self.tabs.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.tabs.setFont(theming.font(9.0))
        for name, tip in (
            (tr("Shelf"), tr("What stock there is")),
            (tr("Pieces"), tr("What each piece is cut from")),
            (tr("Cutting plan"), tr("What is cut from which stock, at least loss")),
            (tr("Build"), tr("Joint by joint, with what the scale should read")),
        ):
            self.tabs.setTabToolTip(self.tabs.addTab(name), tip)
        self.print_button = tool_button(
            tr("Print…"),
            tr("Print the cutting plan"),
            tr("Print the cutting plan, with what the scale should read"),
            self._print,
        )
        stop = Link(tr("Stop"), tr("Keep the best plan found so far"), self.case.stop)
        self.work_bar = WorkBar(self.place.jobs, LANE, tr("Share of the plan worked out"), stop)
        work = QWidget()
        head = in_row(self.tabs, (self.work_bar, 1), None, self.print_button, spacing=10)
        # In no stack: that would not ask for the height that wrapped words take.
        self._parts = (self.shelf, self.pieces, self.plan, self.build)
        in_column(head, *((each, 1) for each in self._parts), spacing=6, of=work)
        self._beside_build = (self.building, self.look_first, self.as_built, self.cautions)
        self.side = SideColumn(self.heads, self.remarks, self.rules, *self._beside_build)
        self.body = PageBody(work, self.side)
        self.body.fitted.connect(self._lie_open)
        in_row(self.body, of=self)

    def _findings(self) -> tuple[Finding, ...]:
        return remarks(self.case.study) if self.case.study is not None else ()

    def _lie_open(self) -> None:
        for each in (self.pieces, self.build):
            each.area.lie_open(self.body.is_stacked)

    def _turn(self, index: int) -> None:
        self.shelf.commit()
        self.pieces.commit()
        self.build.commit()
        for number, each in enumerate(self._parts):
            each.setVisible(number == index)
        self.side.setVisible(index != SHELF)
        self._show_cards()
        if index == BUILD:
            self.build.go_on()

    def _show_cards(self) -> None:
        """Show beside the work what belongs to it."""
        index = self.tabs.currentIndex()
        builds = index == BUILD and self.flow.progress is not None
        self.heads.setVisible(not builds)
        self.rules.setVisible(not builds)
        if builds:
            self.remarks.hide()
        else:
            self.remarks.refresh()
        for card in self._beside_build:
            card.setVisible(builds)

    def _bench_changed(self, change: Change) -> None:
        """Another bench was put up: work that was begun there goes on."""
        if change.reason is Reason.LOAD:
            self.flow.forget()
            if self.flow.is_in_work:
                self.tabs.setCurrentIndex(BUILD)

    def _begun(self) -> None:
        """Turn to what was just begun."""
        builds = self.flow.builds
        first = next((each for each in builds if not each.is_cut and not each.is_finished), None)
        if first is not None:
            self.flow.choose(first.key)
        if self.tabs.currentIndex() == BUILD:
            self.build.go_on()
        self.tabs.setCurrentIndex(BUILD)

    def _show(self) -> None:
        self._show_cards()
        builds = self.tabs.currentIndex() == BUILD and self.flow.log is not None
        self.print_button.setEnabled(builds or self.case.study is not None)

    def _print(self) -> None:
        from taperlab.gui.paper.printing import print_sheet

        print_sheet(self.place, self.sheet())

    # -- what the window asks --------------------------------------------------------------------

    def sheet(self) -> Sheet | Sentence:
        """The cutting plan on paper; of the head that is built its own sheet."""
        from taperlab.gui.paper.pieces_sheet import pieces_sheet
        from taperlab.shop.pieces.freezing import thawed

        log = self.flow.log
        if self.tabs.currentIndex() == BUILD and log is not None:
            return pieces_sheet(thawed(log), self.place.document.bench)
        if self.case.study is None:
            return self.case.problem or Sentence("The plan is not worked out yet.")
        return pieces_sheet(self.case.study, self.place.document.bench)

    def current_bench_view(self) -> Callable[[], object] | None:
        """Shows the step of the build that is due on the whole screen."""
        log = self.flow.log
        return self.open_bench_view if log is not None and not log.is_finished else None

    def open_bench_view(self) -> None:
        """Show the step that is due on the whole screen."""
        self.place.host.commit()
        view = BuildView(self.flow, self.place.host.parent_widget)
        view.finished.connect(self.build.go_on)
        view.open_large()

    def take_keys(self) -> bool:
        """Put the keys where the step that is due is typed."""
        is_due = self.tabs.currentIndex() == BUILD and self.flow.log is not None
        return is_due and self.build.panel.take_keys()

    def current_table(self) -> Grid:
        """The table that the Edit menu acts on."""
        if self.heads.table.hasFocus():
            return self.heads.table
        return self.shelf.table if self.tabs.currentIndex() == SHELF else self.pieces.table

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""
        self.shelf.commit()
        self.pieces.commit()
        self.build.commit()
        self.heads.table.commit_open_editor()
        self.rules.commit()
        self.look_first.commit()
