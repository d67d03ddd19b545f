"""The Range page: one head graded over weights and rods."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QFont, QHideEvent, QShowEvent
from PySide6.QtWidgets import QStackedWidget, QWidget

from taperlab.edits.ranges import follow_again
from taperlab.gui.kit.findings import FindingsCard
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.room import Halves, PageBody, SideColumn
from taperlab.gui.kit.widgets import Card, Elided, Remark, in_column, in_row, tool_button
from taperlab.gui.pages.page import Page
from taperlab.gui.pages.range.asked import AskedCard, RulesCard
from taperlab.gui.pages.range.by_hand import SegmentsTable
from taperlab.gui.pages.range.case import RangeCase
from taperlab.gui.pages.range.make_row import MakeRow
from taperlab.gui.pages.range.members import MemberTable
from taperlab.gui.pages.range.plots import RangePlots
from taperlab.gui.table.typing_table import TypingTable
from taperlab.shop.range.words import findings
from taperlab.units.finding import Finding
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, Several, counted

if TYPE_CHECKING:
    from taperlab.gui.paper.layout.blocks import Sheet

MOST_OF_IT = 0.56
"""Share of the height that the table takes where it has so many rows."""

MOST_SAID = 40
"""Remarks on a range that are shown: each stands for several members, and the column scrolls."""


class RangePage(Page):
    """Plots above, the members below; what is asked, the switches and remarks at the right."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(place)
        self.case = RangeCase(place, self.watch, self)
        self.plots: RangePlots = RangePlots(self.case)
        self.table = MemberTable(self.case)
        self.segment_table = SegmentsTable(self.case)
        self.title = Elided(points=10.5, weight=QFont.Weight.DemiBold)
        self.own = Remark("soft")
        self.less = Remark("soft", points=8.5)
        self.asked = AskedCard(self.case)
        self.rules = RulesCard(self.case)
        self.remarks = FindingsCard(place, self._findings, most=MOST_SAID)
        self.make = MakeRow(self.case)
        self._lay_out()
        self.make.print_button.clicked.connect(self._print)
        self.case.follow(self._show)
        self.case.turned.connect(self._show)
        self.table.fitted.connect(self._show_left_out)
        self._show()

    def _lay_out(self) -> None:
        drawn = Card(tr("Plots of the range"))
        drawn.body.setContentsMargins(8, 8, 8, 6)
        drawn.add(self.plots)
        self.by_hand = tool_button(
            tr("Edit by hand"),
            tr("Edit the member by hand"),
            tr("Show the segments of the chosen member, to be changed by hand"),
            self.open_member,
        )
        self.back = tool_button(
            tr("All members"),
            tr("Back to all members"),
            tr("Show the table of members again"),
            self.close_member,
        )
        self.follow = tool_button(
            tr("Follow the parent again"),
            tr("Let the member follow the parent again"),
            tr("Drop what was edited by hand"),
            self._follow_again,
        )
        self.copy_button = tool_button(
            tr("Copy"),
            tr("Copy the table of members"),
            tr("Copy the members for a spreadsheet"),
            self.copy,
        )
        row = in_row((self.title, 1), self.by_hand, self.follow, self.back, self.copy_button)
        row.setContentsMargins(13, 6, 10, 2)
        self.stack = QStackedWidget()
        self.stack.addWidget(self.table)
        by_hand = QWidget()
        in_column((self.segment_table, 1), self.own, of=by_hand, spacing=2)
        self.own.setContentsMargins(13, 2, 13, 4)
        self.stack.addWidget(by_hand)
        self.listed = listed = Card(tr("Members"))
        listed.body.setContentsMargins(1, 1, 1, 6)
        listed.body.setSpacing(0)
        self.less.setContentsMargins(14, 2, 14, 0)
        listed.add(row, (self.stack, 1), self.less, self.make)
        self.splitter = Halves(drawn, listed, MOST_OF_IT)
        side = SideColumn(self.asked, self.rules, self.remarks)
        in_row(PageBody(self.splitter, side), of=self)

    # -- showing -------------------------------------------------------------------------------

    @property
    def is_by_hand(self) -> bool:
        """Whether the segments of one member are shown in place of the table."""
        return self.stack.currentIndex() == 1

    def _findings(self) -> tuple[Finding, ...]:
        study = self.case.study
        return findings(study) if study is not None else ()

    def _show(self) -> None:
        """Show what stands round the table."""
        study, read, member = self.case.study, self.place.read, self.case.member
        if self.is_by_hand and member is None:
            self.stack.setCurrentIndex(0)
        self.remarks.refresh()
        self._show_left_out()
        title = Sentence("Members")
        if study is not None:
            title = counted("{count} member", "{count} members", len(study.rows))
        if self.is_by_hand and member is not None:
            title = Sentence("Segments of {letter}", letter=member.letter)
        self.title.setText(read(title))
        own = member is not None and member.by_hand
        self.by_hand.setVisible(not self.is_by_hand)
        self.by_hand.setEnabled(member is not None)
        self.back.setVisible(self.is_by_hand)
        self.follow.setVisible(own)
        self.copy_button.setVisible(not self.is_by_hand)
        self.copy_button.setEnabled(study is not None and bool(study.members))
        self.listed.setVisible(study is not None)
        said = ""
        if member is not None and member.by_hand:
            text = Sentence(
                "{letter} was edited by hand and no longer follows the parent.",
                letter=member.letter,
            )
            said = read(text)
        elif member is not None:
            text = Sentence(
                "What you type here stays: {letter} will no longer follow the parent.",
                letter=member.letter,
            )
            said = read(text)
        self.own.say(said)

    def _show_left_out(self) -> None:
        """Say which columns had no room: they are printed, and copied."""
        names = self.table.left_out
        text = Sentence(
            "In print and CSV, for want of room here: {names}.", names=Several(tuple(names))
        )
        self.less.say(self.place.read(text) if names and not self.is_by_hand else "")

    # -- what a person does --------------------------------------------------------------------

    def open_member(self) -> None:
        """Show the segments of the member that is looked at."""
        if self.case.member is None:
            return
        self.stack.setCurrentIndex(1)
        self._show()
        if self.segment_table.grid.rowCount():
            self.segment_table.go_to(0, 1)
        self.segment_table.setFocus()

    def close_member(self) -> None:
        """Show all members again."""
        if self.segment_table.commit_open_editor():
            self.stack.setCurrentIndex(0)
            self._show()
            self.table.setFocus()

    def copy(self) -> None:
        """Copy the members for a spreadsheet: headings with units, then the rows."""
        from PySide6.QtGui import QGuiApplication

        from taperlab.files.cells import to_tsv
        from taperlab.files.range_report import rows

        study = self.case.study
        if study is not None:
            QGuiApplication.clipboard().setText(to_tsv(rows(study, self.place.system)))
            self.place.host.say(Sentence("Copied the table of members"))

    def _follow_again(self) -> None:
        self.case.do(follow_again, self.case.index)

    def _print(self) -> None:
        from taperlab.gui.paper.printing import print_sheet

        print_sheet(self.place, self.sheet())

    # -- what the window asks ------------------------------------------------------------------

    def sheet(self) -> Sheet | Sentence:
        """The table of members on paper."""
        from taperlab.gui.paper.range_sheet import range_sheet

        study = self.case.study_now()
        if study is None:
            return Sentence("There is no range on this bench to print.")
        if not study.members:
            return Sentence("No member of this range can be made.")
        return range_sheet(study)

    def current_table(self) -> TypingTable:
        """The table that the Edit menu acts on."""
        return self.segment_table if self.is_by_hand else self.table

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""
        self.asked.commit()
        for table in (self.table, self.segment_table):
            table.commit_open_editor()

    def showEvent(self, event: QShowEvent) -> None:
        """Wake, and ask for what is missing."""
        super().showEvent(event)
        self.case.refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        """Sleep."""
        super().hideEvent(event)
        self.case.sleep()
