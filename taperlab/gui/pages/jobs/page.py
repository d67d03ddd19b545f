"""The Jobs page: what customers asked for, in this bench and in all benches of a folder."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QShowEvent
from PySide6.QtWidgets import QFileDialog, QPushButton, QWidget

from taperlab.gui.kit.fold import Fold
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.room import PageBody, SideColumn
from taperlab.gui.kit.theme import px
from taperlab.gui.kit.widgets import (
    Card,
    Elided,
    Link,
    Remark,
    in_column,
    in_row,
    label,
    tool_button,
)
from taperlab.gui.kit.work_bar import WorkBar
from taperlab.gui.pages.jobs.case import LANE, JobsCase
from taperlab.gui.pages.jobs.figures_card import FiguresCard
from taperlab.gui.pages.jobs.job_card import JobCard
from taperlab.gui.pages.jobs.photographs import PhotographsCard
from taperlab.gui.pages.jobs.search_bar import SearchBar
from taperlab.gui.pages.jobs.table import JobsTable
from taperlab.gui.pages.page import Page
from taperlab.gui.table.typing_table import TypingTable
from taperlab.shop.jobs.about import about
from taperlab.shop.jobs.cut_in_hand import cut_in_hand
from taperlab.shop.jobs.wording import how_many, left_out
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, Sentence, counted

if TYPE_CHECKING:
    from taperlab.files.job_index import Skipped
    from taperlab.gui.paper.layout.blocks import Sheet
    from taperlab.model.job import Job


MOST_TOLD = 6
"""Benches of which it is told why they could not be read: more would crowd out the list."""

MARGIN = 18
"""Round what an empty page says [px]."""


class JobsPage(Page):
    """Search and list at the left, the job in hand at the right."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(place)
        self.case = JobsCase(place, self.watch, self)
        self.search = SearchBar(self.case)
        self.table = JobsTable(self.case)
        self.job = JobCard(self.case)
        self.figures = FiguresCard(self.case)
        self.photographs = PhotographsCard(self.case)
        self._lay_out()
        self.table.entered.connect(self.go_to_job)
        self.job.printed.connect(self._print)
        self.job.labelled.connect(self._print_label)
        self.case.follow(self._show)

    def _lay_out(self) -> None:
        self.title = Elided(points=10.5, weight=QFont.Weight.DemiBold)
        self.new = tool_button(
            tr("New job"),
            tr("Take in a new job"),
            tr("Write down what a customer asks for, about the current line and rod"),
            self._take_in,
        )
        head = in_row((self.title, 1), self.new)
        head.setContentsMargins(13, 6, 10, 2)
        self.search.setContentsMargins(12, 2, 12, 6)
        self.none = Remark("soft")
        self.none.setContentsMargins(14, 4, 14, 8)
        self.listed = Card(tr("Jobs"))
        self.listed.body.setContentsMargins(1, 1, 1, 6)
        self.listed.body.setSpacing(0)
        self.listed.add(head, self.search, self.none, (self.table, 1), self._foot())
        self.empty = self._invitation()
        work = QWidget()
        in_column((self.empty, 1), (self.listed, 1), of=work)
        self.side = SideColumn(self.job, self.figures, self.photographs)
        in_row(PageBody(work, self.side), of=self)

    def _foot(self) -> QWidget:
        """Which benches are looked through, and where the list of them is kept."""
        made = QWidget()
        self.where = label("", points=8.5, role="soft", wrap=True)
        self.skipped = Remark("warn", points=8.5)
        self.why = label("", points=8.5, role="soft", wrap=True)
        self.which = Fold(tr("Which, and why"), self.why)
        self.choose = Link(
            tr("Look through a folder…"),
            tr("List the jobs of all benches below a folder, too"),
            self.choose_folder,
        )
        self.forget = Link(
            tr("Forget the folder"),
            tr("List this bench alone, and remove what was kept of the others"),
            self.case.forget,
        )
        stop = Link(tr("Stop"), tr("Read no more benches now"), self.case.stop)
        name = tr("Share of the benches read")
        self.work_bar = WorkBar(self.place.jobs, LANE, name, stop)
        column = in_column(
            self.work_bar,
            self.skipped,
            self.which,
            self.where,
            in_row(self.choose, self.forget, None, spacing=10),
            spacing=3,
            of=made,
        )
        column.setContentsMargins(13, 6, 13, 2)
        return made

    def _invitation(self) -> QWidget:
        """What an empty page says, and the button that fills it."""
        self._card = card = Card(tr("No job yet"), margin=MARGIN, spacing=12)
        self.begin = QPushButton(tr("Take in a job"))
        self.begin.setDefault(True)
        self.begin.clicked.connect(self._take_in)
        words = tr(
            "No job is on this bench yet: take in one, and the head is kept as it was before and "
            "after the work."
        )
        other = Link(
            tr("Look through a folder…"),
            tr("List the jobs of all benches below a folder"),
            self.choose_folder,
        )
        self._words = label(words, wrap=True)
        card.add(self._words, in_row(self.begin, other, None, spacing=12))

        self._take_width()
        self.place.theme.changed.connect(self._take_width)
        made = QWidget()
        column = in_column(None, card, None, of=made)
        column.setStretch(2, 2)
        column.setAlignment(card, Qt.AlignmentFlag.AlignHCenter)
        return made

    def _take_width(self) -> None:
        """A wrapped text in a card of fixed width: no layout asks how high it gets."""
        self._card.setFixedWidth(px(430))
        room = self._card.width() - 2 * MARGIN
        self._words.setFixedSize(room, self._words.heightForWidth(room))

    # -- showing -------------------------------------------------------------------------------

    def _show(self) -> None:
        """Show what stands round the table."""
        case, read = self.case, self.place.read
        self.empty.setVisible(case.is_empty)
        self.listed.setVisible(not case.is_empty)
        self.side.setVisible(case.in_hand is not None)
        title = counted("{count} job", "{count} jobs", case.count)
        if case.count > len(case.listed):
            shown = f"{len(case.listed):,}"
            title = Sentence("{jobs}, the first {shown} of them here", jobs=title, shown=shown)
        self.title.setText(read(title))
        nothing = not case.is_empty and not case.listed
        is_new = nothing and not case.bench.jobs and case.below is not None and not case.below.jobs
        none = Sentence("No job is like that: look for less.")
        if is_new:
            none = Sentence("No bench below that folder has a job.")
        self.none.say(read(none if nothing else NOTHING))
        self._show_where()

    def _show_where(self) -> None:
        case, read = self.case, self.place.read
        said = [Sentence("The jobs of this bench are listed.")]
        problems = [case.problem] if case.problem else []
        unread: tuple[Skipped, ...] = ()
        if case.folder is not None:
            below = case.below
            folder = _breakable(case.folder)
            said = [Sentence("This bench, and all below {folder}.", folder=folder)]
            if below is not None:
                many = how_many(len(below.jobs), below.benches)
                said.append(Sentence("{many} there.", many=many))
                if below.kept is not None:
                    said.append(
                        Sentence(
                            "The list is kept for you alone in {file}, and may go at any time.",
                            file=_breakable(below.kept),
                        )
                    )
                unread = below.skipped
                benches = sum(each.is_bench for each in unread)
                problems.append(left_out(benches, len(unread) - benches))
                if below.is_cut_short:
                    problems.append(Sentence("There are more benches than are looked at."))
        self.where.setText(" ".join(read(each) for each in said))
        self.skipped.say(" ".join(read(each) for each in problems if each))
        why = [each.why for each in unread[:MOST_TOLD]]
        if len(unread) > MOST_TOLD:
            why.append(Sentence("And so on."))
        self.why.setText("\n".join(read(each) for each in why).replace(os.sep, f"{os.sep}\u200b"))
        self.which.setVisible(bool(unread))
        self.choose.setText(
            tr("Another folder…") if case.folder is not None else tr("Look through a folder…")
        )
        self.forget.setVisible(case.folder is not None)

    # -- what a person does ----------------------------------------------------------------------

    def _take_in(self) -> None:
        self.commit()
        if self.case.take_in():
            self.go_to_job()

    def go_to_job(self) -> None:
        """Put the keys where something is said of the job in hand."""
        if self.case.in_hand is None:
            return
        field: QWidget = self.job.customer if self.case.job is not None else self.job.due
        field.setFocus()

    def choose_folder(self) -> None:
        """Ask for a folder and look through it."""
        path, folder = self.place.document.path, self.case.folder
        start = folder or (path.parent if path is not None else None)
        name = QFileDialog.getExistingDirectory(
            self.place.host.parent_widget, tr("A folder of benches"), str(start or "")
        )
        if name:
            self.case.use_folder(Path(name))

    def _print(self) -> None:
        from taperlab.gui.paper.printing import print_sheet

        print_sheet(self.place, self.sheet())

    def _print_label(self) -> None:
        from taperlab.gui.paper.labels.dialog import open_labels

        open_labels(self.place, self.case.job)

    # -- what the window asks ------------------------------------------------------------------

    def job_in_hand(self) -> Job | None:
        """The job of this bench that is looked at."""
        return self.case.job

    def sheet(self) -> Sheet | Sentence:
        """The head of the job in hand before and after; what to build where none was kept."""
        from taperlab.gui.paper.build_sheet import build_sheet
        from taperlab.gui.paper.customer_sheet import customer_sheet

        job, bench = self.case.job, self.place.document.bench
        if job is None:
            return Sentence("Open the bench of a job to print it.")
        told, known = customer_sheet(bench, job), about(bench, job).best
        # Of a head that is cut, what lies on the bench is the one before the blade.
        is_cut = cut_in_hand(bench, job) is not None
        if not isinstance(told, Sentence) or known is None or is_cut:
            return told
        # On its own rod: that of the bench may be somebody else's.
        return build_sheet(replace(bench, rod=job.rod), known)

    def current_table(self) -> TypingTable:
        """The table that the Edit menu acts on."""
        return self.table

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""
        self.search.commit()
        self.job.commit()
        self.figures.commit()

    def showEvent(self, event: QShowEvent) -> None:
        """Wake, and see what changed below the folder."""
        super().showEvent(event)
        if self.case.folder is not None:
            self.case.read_folder()
        self.photographs.look_again()


def _breakable(path: Path) -> str:
    """A path that may go on in another line after each folder."""
    return str(path).replace(os.sep, f"{os.sep}\u200b")
