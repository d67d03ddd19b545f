"""The job in hand: what is said of it, what is due, and what else can be done."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TypeVar

from PySide6.QtCore import Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QGridLayout, QPushButton, QWidget

from taperlab.gui.kit.choice import Choice
from taperlab.gui.kit.deliberate import Deliberate
from taperlab.gui.kit.text_fields import DayField, NoteField, TextField
from taperlab.gui.kit.widgets import Card, Elided, Link, Remark, caption, in_row
from taperlab.gui.pages.jobs.case import JobsCase
from taperlab.gui.state.document import Outcome
from taperlab.model.job import Job, JobState
from taperlab.model.line import Line
from taperlab.model.rod import Rod
from taperlab.shop.jobs.about import rig_of
from taperlab.shop.jobs.listing import Listed
from taperlab.shop.jobs.wording import called, what_is_amiss
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, Sentence
from taperlab.units.words import heading

Named = TypeVar("Named", Line, Rod)

LINE, RIG = "line ", "rig "
"""What stands before the key of each in the choice of heads."""


class JobCard(Card):
    """All that is said of a job, to be typed over; of another bench, to be read.

    printed(): it is to be printed. labelled(): a label is to be printed for it.
    """

    printed = Signal()
    labelled = Signal()

    def __init__(self, case: JobsCase) -> None:
        super().__init__(tr("The job"), spacing=6)
        self._case = case
        self._shown: object = None
        self.title = Elided(points=10.5, weight=QFont.Weight.DemiBold)
        self.due = QPushButton(tr("Begin"))
        self.due.setDefault(True)
        self.due.clicked.connect(self._go_on)
        Deliberate(self, self.due)
        self.customer = TextField(tr("Customer"), tr("Who asked for it, as the shop knows them"))
        self.ticket = TextField(tr("Ticket"), tr("Its number or mark in the shop"))
        self.rod, self.head, self.state = Choice(), Choice(), Choice()
        self.head.setToolTip(tr("The line that it is about, or the rig: lines looped together"))
        self.begun, self.finished = DayField(tr("Begun")), DayField(tr("Finished"))
        self.note = NoteField(tr("Notes"), tr("What was asked for, and what was agreed"))
        self.problem = Remark("bad", points=8.5)
        self.elsewhere = Remark("soft", points=8.5)
        self.first = Remark("warn", points=8.5)
        self.cut = Link(
            tr("Go to the cut-back"), tr("Turn to the Cut back page of this head"), case.go_to_cut
        )
        self.repeat = Link(
            tr("Repeat"),
            tr("Take in the same again as a new job: customer, rod, head and notes"),
            case.repeat,
            tr("Repeat as a new job"),
        )
        self.print = Link(
            tr("Print…"),
            tr("Print this job’s head before and after; one that is not begun, what to build"),
            self.printed,
            tr("Print this job"),
        )
        self.label = Link(
            tr("Label…"),
            tr("Print a label for the bag of this job’s head"),
            self.labelled,
            tr("Print a label for this job"),
        )
        self.drop = Link(
            tr("Drop"),
            tr("Strike this job from the record; its head and its rod stay"),
            case.drop,
            tr("Drop this job"),
        )
        self._lay_out()
        self._connect()
        case.follow(self.refresh)

    def _lay_out(self) -> None:
        form = QWidget()
        grid = QGridLayout(form)
        grid.setContentsMargins(0, 2, 0, 2)
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(5)
        grid.setColumnStretch(1, 1)
        for row, (name, field) in enumerate(
            (
                (tr("Customer"), self.customer),
                (tr("Ticket"), self.ticket),
                (tr("Rod"), self.rod),
                (tr("Head"), self.head),
                (tr("State"), self.state),
                (tr("Begun"), self.begun),
                (tr("Finished"), self.finished),
            )
        ):
            if not field.accessibleName():
                field.setAccessibleName(name)
            grid.addWidget(caption(name), row, 0)
            grid.addWidget(field, row, 1)
        for each in JobState:
            self.state.addItem(heading(each), each)
        for day in (self.begun, self.finished):
            day.setPlaceholderText(tr("Year-month-day"))
        self.add(
            self.title,
            self.elsewhere,
            self.due,
            self.first,
            in_row(self.cut, None),
            form,
            self.problem,
        )
        self._notes = caption(tr("Notes"))
        self.add(self._notes, self.note)
        self.add(in_row(self.repeat, self.print, self.label, None, self.drop, spacing=10))

    def _connect(self) -> None:
        self.customer.typed.connect(lambda text: self._describe(customer=text))
        self.ticket.typed.connect(lambda text: self._describe(ticket=text))
        self.note.typed.connect(lambda text: self._describe(note=text))
        self.rod.activated.connect(lambda: self._describe(rod=self.rod.currentData()))
        self.head.activated.connect(self._head_chosen)
        self.state.activated.connect(
            lambda: self._take(self._case.come_to(JobState(self.state.currentData())))
        )
        self.begun.day_typed.connect(lambda day: self._set_days(self.begun, begun=day))
        self.finished.day_typed.connect(lambda day: self._set_days(self.finished, finished=day))
        for each in (self.begun, self.finished):
            each.problem.connect(self._say)

    # -- showing -------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the job in hand."""
        listed, job = self._case.in_hand, self._case.job
        self.setVisible(listed is not None)
        if listed is None:
            self._shown = None
            return
        said = listed.job
        name = listed.file, said.key
        anew, self._shown = name != self._shown, name
        read = self._case.place.read
        self.title.setText(read(Sentence("Job {name}", name=called(listed))))
        for field, text in (
            (self.customer, said.customer),
            (self.ticket, said.ticket),
            (self.note, said.note),
        ):
            field.show_text(text, anew=anew)
            field.setReadOnly(job is None)
        for day, when in ((self.begun, said.begun), (self.finished, said.finished)):
            day.show_day(when, anew=anew)
            day.setReadOnly(job is None)
        self._show_choices(listed, job)
        amiss = what_is_amiss(self._case.bench, job) if job else NOTHING
        self.first.say(read(amiss))
        self.cut.setVisible(bool(amiss))
        if anew:
            self.problem.say("")
        words = {
            JobState.ASKED: (
                tr("Begin"),
                tr("Begin the work today; the head is kept as it is: Before"),
            ),
            JobState.IN_WORK: (
                tr("Finish"),
                tr("The work is done today; the head is kept as it is: After"),
            ),
            JobState.FINISHED: (tr("Hand over"), tr("The customer has it")),
        }.get(said.state, ("", ""))
        if job is None:
            words = tr("Open its bench"), tr("Open the bench that this job is kept in")
        self.due.setText(words[0])
        self.due.setToolTip(words[1])
        self.due.setVisible(bool(words[0]))
        self.elsewhere.say(
            ""
            if job is not None or listed.file is None
            else read(Sentence("Kept in {file}", file=listed.file.name))
        )
        self.elsewhere.setToolTip(str(listed.file or ""))
        has_note = job is not None or bool(said.note)
        self._notes.setVisible(has_note)
        self.note.setVisible(has_note)
        for each in (self.repeat, self.print, self.label, self.drop):
            each.setVisible(job is not None)

    def _show_choices(self, listed: Listed, job: Job | None) -> None:
        bench = self._case.bench
        if job is None:
            _fill(self.rod, [(listed.rod or tr("none"), None)], None)
            _fill(self.head, [(listed.head or tr("none"), None)], None)
        else:
            gone = tr("{name}, as it was kept").format(name=listed.head) if listed.head else ""
            _fill(self.rod, [(tr("none"), None), *_named(bench.rods)], job.rod)
            none = tr("none") if job.line is not None or not gone else gone
            rigs = [(each.name, f"{RIG}{each.key}") for each in bench.rigs]
            rig = rig_of(bench, job)
            now = f"{RIG}{rig.key}" if rig is not None else f"{LINE}{job.line}"
            lines = [(each.name, f"{LINE}{each.key}") for each in bench.lines]
            _fill(self.head, [(none, None), *lines, *rigs], now)
        self.state.setCurrentIndex(list(JobState).index(listed.job.state))
        for each in (self.rod, self.head, self.state):
            each.setEnabled(job is not None)

    # -- what a person does ----------------------------------------------------------------------

    def _go_on(self) -> None:
        """Do what is due; the keys go to its day, so that Enter pressed twice does no more."""
        before = self._case.job
        self._case.go_on()
        now = self._case.job
        if before is not None and now is not None and now.state is not before.state:
            (self.begun if now.state is JobState.IN_WORK else self.finished).setFocus()

    def _head_chosen(self) -> None:
        """Take the line, or the rig, that was chosen."""
        chosen = self.head.currentData()
        if chosen is not None and chosen.startswith(RIG):
            self._describe(rig=chosen.removeprefix(RIG))
        else:
            self._describe(line=chosen.removeprefix(LINE) if chosen else None, rig=None)

    def _describe(self, **changes: object) -> None:
        self._take(self._case.describe(**changes))

    def _take(self, outcome: Outcome) -> None:
        """Say why something was not done, and show what holds."""
        self._say(outcome.refused)
        if not outcome:
            self._shown = None
            self.refresh()

    def _set_days(self, field: DayField, **days: date | None) -> None:
        """Take a day that was typed into a field; one that can't be stays there to be mended."""
        job = self._case.job
        if job is None:
            return
        known = {"begun": job.begun, "finished": job.finished}
        outcome = self._case.set_days(**(known | days))
        if outcome.refused:
            field.say(outcome.refused)
            return
        self._say(NOTHING)
        for other in (self.begun, self.finished):
            if other.is_bad:
                other.commit()  # beside this day it may do

    def _say(self, sentence: Sentence) -> None:
        self.problem.say(self._case.place.read(sentence))

    def commit(self) -> None:
        """Take over what is being typed."""
        for each in (self.customer, self.ticket, self.begun, self.finished, self.note):
            each.commit()


def _named(things: Sequence[Named]) -> list[tuple[str, str | None]]:
    return [(each.name, each.key) for each in things]


def _fill(box: Choice, choices: list[tuple[str, str | None]], now: str | None) -> None:
    """Offer choices, by name and key, and show the one that holds."""
    there = [(box.itemText(i), box.itemData(i)) for i in range(box.count())]
    if there != choices:
        box.clear()
        for name, key in choices:
            box.addItem(name, key)
    # A file may name what is not on its bench: that is none.
    keys = [key for _, key in choices]
    box.setCurrentIndex(keys.index(now) if now in keys else 0)
