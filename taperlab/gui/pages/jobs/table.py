"""The list of jobs: the newest first, one of them in hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QItemSelectionModel, QSize, Signal
from PySide6.QtGui import QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView

from taperlab.gui.kit.theme import px
from taperlab.gui.kit.widgets import NONE
from taperlab.gui.pages.jobs.case import JobsCase
from taperlab.gui.table.editors import Go
from taperlab.gui.table.grid import ROW_HEIGHT, Grid
from taperlab.gui.table.grid_model import GridCell, GridModel, GridRow, Heading, Index
from taperlab.model.job import JobState
from taperlab.shop.jobs.listing import Listed
from taperlab.shop.jobs.wording import weights
from taperlab.units.days import show_day
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence
from taperlab.units.words import heading

ROLES = {
    JobState.ASKED: "",
    JobState.IN_WORK: "strong",
    JobState.FINISHED: "",
    JobState.HANDED_OVER: "soft",
}

ROWS_WANTED = 12
"""Of the list, where there is room for as many."""


@dataclass(frozen=True, slots=True)
class JobRow(GridRow):
    """A row, with its job."""

    listed: Listed

    @property
    def of(self) -> object:
        """The job, which keeps its place while others come and go."""
        return self.listed.job


class JobsModel(GridModel[JobRow]):
    """A row for each job that is found. is_showing: whether rows come and go just now."""

    def __init__(self, case: JobsCase) -> None:
        self.case = case
        self.is_showing = False
        super().__init__(_headings(case))
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show what is found."""
        self.set_headings(_headings(self.case))
        self.is_showing = True
        self.show_rows([JobRow(self._cells(each), each) for each in self.case.listed])
        self.is_showing = False

    def delete_rows(self, rows: Sequence[int]) -> None:
        """Strike the job in hand from the record, if it is one of this bench."""
        if rows and self.case.job is None:
            self.case.place.host.say_problem(
                Sentence("That job is kept in another bench: open it to drop the job.")
            )
        elif rows:
            self.case.drop()

    def _cells(self, listed: Listed) -> tuple[GridCell, ...]:
        job, read = listed.job, self.case.place.read
        path = self.case.place.document.path
        here = listed.file == path
        file = GridCell(tr("this bench"), "soft")
        if not here and listed.file is not None:
            file = GridCell(listed.file.stem, tip=str(listed.file))
        days = (show_day(job.begun) or "…", show_day(job.finished) or "…")
        return (
            _cell(show_day(listed.day), tip=" – ".join(days) if job.begun else ""),
            _cell(job.customer),
            _cell(job.ticket),
            _cell(listed.rod),
            _cell(listed.head),
            _cell(read(weights(listed))),
            GridCell(heading(job.state), ROLES[job.state]),
            file,
        )


def _cell(text: str, role: str = "", tip: str = "") -> GridCell:
    return GridCell(" ".join(text.split()), role, tip) if text.strip() else GridCell(NONE, "soft")


def _headings(case: JobsCase) -> tuple[Heading, ...]:
    day = tr("When it was finished; of one that is not, when it was begun")
    weight = tr("Of the head: before the job, and after it or as it lies on the bench")
    return (
        # What goes first where it is narrow is told beside the list, of the job in hand.
        Heading(tr("Date"), tr("date"), 92, day, right=False, typed=False),
        Heading(tr("Customer"), tr("customer"), 110, tr("Who asked for it"), False, False),
        Heading(
            tr("Ticket"), tr("ticket"), 70, tr("Its number in the shop"), False, False, spare=2
        ),
        Heading(tr("Rod"), tr("rod"), 96, tr("The rod it is for"), False, False, spare=3),
        Heading(tr("Head"), tr("head"), 100, tr("The line it is about"), False, False, spare=1),
        Heading(tr("Weight"), tr("weight"), 112, weight, typed=False),
        Heading(tr("State"), tr("state"), 90, tr("How far it has come"), False, False),
        Heading(
            tr("Bench"),
            tr("bench"),
            96,
            tr("The file it is kept in"),
            right=False,
            typed=False,
            spare=4,
            # Of one bench alone it would say the same in every row.
            idle=case.folder is None,
        ),
    )


class JobsTable(Grid):
    """The list. Up and Down go through the jobs; Enter goes on to the one in hand.

    entered(): the keys are to go to the job in hand.
    """

    entered = Signal()

    def __init__(self, case: JobsCase) -> None:
        self._case = case
        self._at: tuple[Path | None, str, int] | None = None
        model = self._jobs = JobsModel(case)
        super().__init__(
            model,
            case.place,
            tr("Jobs"),
            tr("Up and Down go through the jobs, Enter to what is said of one"),
        )
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        case.follow(self._show)

    def sizeHint(self) -> QSize:
        """So many rows: the rest scrolls below its headings, and what is looked for stays."""
        wanted, most = super().sizeHint(), ROWS_WANTED * px(ROW_HEIGHT)
        return QSize(wanted.width(), min(wanted.height(), most))

    def _show(self) -> None:
        """Go to the job in hand, wherever it stands by now; not where a person scrolled away."""
        in_hand, row = self._case.in_hand, self._case.row
        at = (in_hand.file, in_hand.job.key, row) if in_hand is not None else None
        is_new, self._at = at != self._at, at
        if row >= 0 and is_new:
            self.go_to(row, max(self.currentIndex().column(), 0))

    def go_to(self, row: int, column: int) -> None:
        """Make a row the current one, all of it."""
        index = self.grid.index(min(row, self.grid.rowCount() - 1), column)
        flags = QItemSelectionModel.SelectionFlag
        self.selectionModel().setCurrentIndex(index, flags.ClearAndSelect | flags.Rows)
        # Qt scrolls rows that came just now by the room that there was before them.
        self.updateGeometries()
        self.scrollTo(index)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the job in hand in sight where it was."""
        at = self.visualRect(self.currentIndex())
        was_seen = at.top() >= 0 and at.bottom() < event.oldSize().height()
        super().resizeEvent(event)
        if was_seen:
            self.scrollTo(self.currentIndex())

    def currentChanged(self, current: Index, previous: Index) -> None:
        """Take the job of the row in hand, unless nobody went there: its row was taken out."""
        super().currentChanged(current, previous)
        is_another = current.isValid() and current.row() != previous.row()
        if is_another and self.hasFocus() and not self._jobs.is_showing:
            self._case.take(current.row())

    def leave(self, go: Go) -> None:
        """Nothing is typed here: Tab leaves, Enter goes to the job."""
        if go is Go.NEXT:
            self.leave_table()
        elif go is Go.BACK:
            self.leave_table_back()
        elif go is Go.DOWN:
            self.entered.emit()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the job that was pressed in hand."""
        super().mousePressEvent(event)
        self._case.take(self.currentIndex().row())

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Go on to the job."""
        super().mouseDoubleClickEvent(event)
        self.entered.emit()
