"""The Cut back page: from a head that is too heavy to one that is right, never past it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QFont, QHideEvent, QShowEvent
from PySide6.QtWidgets import QApplication, QBoxLayout, QFrame, QPushButton, QWidget

from taperlab.edits import cut_back as edits
from taperlab.gui.dialogs.opening import Dialogs
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.rail import Rail
from taperlab.gui.kit.rod_card import RodCard
from taperlab.gui.kit.room import PageBody, SideColumn
from taperlab.gui.kit.ruler import WeightRuler
from taperlab.gui.kit.theme import px, usual
from taperlab.gui.kit.widgets import (
    GAP,
    Card,
    Remark,
    caption,
    in_column,
    in_row,
    label,
    tool_button,
)
from taperlab.gui.pages.cut_back.ask_panel import AskPanel
from taperlab.gui.pages.cut_back.bench_view import BenchView
from taperlab.gui.pages.cut_back.case import CutCase
from taperlab.gui.pages.cut_back.drawing import HeadDrawing
from taperlab.gui.pages.cut_back.figures_card import FiguresCard
from taperlab.gui.pages.cut_back.flow import CutFlow
from taperlab.gui.pages.cut_back.setup import EndCard, InstrumentsCard, LimitsCard, TargetCard
from taperlab.gui.pages.cut_back.step_dialog import FirstDialog, StepDialog
from taperlab.gui.pages.cut_back.step_panel import StepPanel
from taperlab.gui.pages.cut_back.weights import ruler_of
from taperlab.gui.pages.page import Page
from taperlab.gui.plots.cut_sketch import cut_sketch
from taperlab.model.cut_log import CutEnd, Weighing
from taperlab.shop.cut_back.goal import NoPlan
from taperlab.shop.cut_back.start import usual_target
from taperlab.shop.cut_back.study import Study
from taperlab.shop.cut_back.way import Act
from taperlab.shop.cut_back.way_words import rows_of
from taperlab.shop.cut_back.weighings import Reading
from taperlab.shop.instruments import usual_instruments
from taperlab.shop.wording import window_words
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, OnTape, Sentence, Unbroken, Weight

if TYPE_CHECKING:
    from taperlab.gui.paper.layout.blocks import Sheet

NARROW = 940
"""A narrower page leaves the steps less room, and writes its large figure smaller [px].

For usual letters, as are the widths below.
"""

RAIL, NARROW_RAIL = 200, 156
"""Width of the steps at the left, for usual letters [px]."""

WIDEST = (1 << 24) - 1
"""Qt’s own limit [px]."""

SPENT = 84
"""What margins, the rule and the bar that scrolls take of a page's width [px]."""


class Invitation(Card):
    """What the page offers where nothing is being cut."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(tr("Start a cut-back"), margin=24, spacing=8)
        self._case = case
        self.title = label("", points=13.0, weight=QFont.Weight.DemiBold, wrap=True)
        self.words = label("", points=9.5, wrap=True)
        self.button = QPushButton(tr("Start a cut-back"))
        self.button.setDefault(True)
        for each in (self.title, self.words):
            each.setMaximumWidth(560)
        self.add(self.title, self.words, 6, self.button, None)
        self.body.setAlignment(self.button, Qt.AlignmentFlag.AlignLeft)
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Say what can be cut, or what is missing."""
        study = self._case.study
        if study is None:
            return
        self.button.setVisible(study.described is not None)
        title, words = _invitation(study)
        self.title.setText(self._case.place.read(title))
        self.words.setText(self._case.place.read(words))


def _invitation(study: Study) -> tuple[Sentence, Sentence]:
    if study.line is None:
        return (
            Sentence("No line on the bench"),
            Sentence("Put a line on the bench first, or open a sample from the menu."),
        )
    line = study.line.name
    if study.described is None:
        return (
            Sentence("Nothing to cut back here"),
            Sentence(
                "{line} has no head in one piece at its fly end. Design or measure one, or choose "
                "another line.",
                line=line,
            ),
        )
    mass = Unbroken(Weight(study.described.mass))
    length = OnTape(study.described.line.length)
    weighs = Sentence(
        "By its description the head weighs {mass} at {length}.", mass=mass, length=length
    )
    if study.measurement is not None:
        weighs = Sentence(
            "As measured, the head weighs {mass} at {length}.", mass=mass, length=length
        )
    fit = study.described.fit
    if fit and fit.window:
        weighs = Sentence(
            "{weighs} {rod} takes {window}.",
            weighs=weighs,
            rod=fit.name,
            window=Unbroken(window_words(fit.window.lightest, fit.window.heaviest)),
        )
    return (
        Sentence("Cut {line} back to weight", line=line),
        Sentence(
            "{weighs} A cut is final, so it goes in stages: weigh the head, cut short of the "
            "target, weigh head and offcut, and look again. The last cut is a small one.",
            weighs=weighs,
        ),
    )


class JobCard(Card):
    """Which line is cut back, and what can be done with the cut-back as a whole."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(tr("Cutting back"))
        self._case = case
        self.name = label("", points=11.0, weight=QFont.Weight.DemiBold, wrap=True)
        tip = tr("One step on the screen, to be read from two metres")
        self.bench_button = tool_button(tr("Bench view"), tr("Bench view"), tip)
        tip = tr("Print the plan, the log and the cautions")
        self.print_button = tool_button(tr("Print…"), tr("Print the cut-back"), tip)
        tip = tr("Forget this cut-back and its log; the line stays")
        self.delete_button = tool_button(tr("Delete"), tr("Delete the cut-back"), tip)
        self.buttons = QWidget()
        row = in_row(
            self.bench_button, self.print_button, self.delete_button, None, of=self.buttons
        )
        row.setContentsMargins(0, 2, 0, 0)
        self.add(caption(tr("Cutting back")), self.name, self.buttons)
        case.asked.connect(self.refresh)

    def refresh(self) -> None:
        """Show the line."""
        line = self._case.line
        self.name.setText(line.name if line else tr("No line on the bench"))
        self.buttons.setVisible(self._case.job is not None)


class TrialRow(QWidget):
    """What a cut that is tried would leave, and the way back to the plan."""

    def __init__(self, case: CutCase) -> None:
        super().__init__()
        self._case = case
        self.words = Remark("")
        self.caution = Remark("warn")
        self.back = QPushButton(tr("Back to the plan"))
        self.back.clicked.connect(case.back_to_target)
        words = in_column(self.words, self.caution)
        row = in_row(spacing=12, of=self)
        row.addLayout(words, 1)
        row.addWidget(self.back, 0, Qt.AlignmentFlag.AlignBottom)
        row.setContentsMargins(10, 4, 10, 6)
        self.hide()

    def show_study(self, study: Study | None) -> None:
        """Show the trial, if there is one."""
        trial = study.trial if study is not None else None
        self.setVisible(trial is not None)
        if trial is None:
            return
        read = self._case.place.read
        if isinstance(trial.plan, NoPlan):
            self.words.say(read(trial.plan.sentence))
            self.caution.say("")
            return
        after = trial.plan.after
        leaves = Sentence(
            "This cut would leave {mass} at {length}.",
            mass=Weight(after.mass),
            length=OnTape(after.length),
        )
        self.words.say(read(leaves))
        self.caution.say("\n".join(read(each.sentence) for each in trial.findings))


class CutBackPage(Page):
    """The head as it lies; its weight on a ruler; the steps, and the one that is due."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(place)
        self.case = CutCase(place, self.watch, self)
        self.flow = CutFlow(self.case, self)
        self.drawing = HeadDrawing(place.theme)
        self.drawing.setAccessibleName(tr("The head as it lies"))
        self.trial = TrialRow(self.case)
        self.ruler = WeightRuler(place.theme)
        self.ruler.setAccessibleName(tr("Weight of the head"))
        self.rail = Rail(place.theme)
        self.step = StepPanel(self.flow)
        self.ask = AskPanel(self.flow)
        self.figures = FiguresCard(self.flow)
        self.invitation = Invitation(self.case)
        self.job_card = JobCard(self.case)
        self.rod_card = RodCard(place, self.watch)
        self.target = TargetCard(self.case)
        self.end = EndCard(self.case)
        self.limits = LimitsCard(self.case)
        self.instruments = InstrumentsCard(self.case)
        self._setup = (self.target, self.end, self.limits, self.instruments)
        self._go_on = False
        self._lay_out()

        self._dialogs = Dialogs(place)
        self.rod_card.edit_rods.connect(self._dialogs.edit_rods)
        self.drawing.blade_moved.connect(self._blade_moved)
        self.drawing.let_go.connect(self.case.back_to_target)
        self.rail.change_step.connect(self._change_step)
        self.rail.change_first.connect(self._change_first)
        self.ask.change_reading.connect(self._change_reading)
        self.step.finished.connect(self._head_on_bench)
        self.invitation.button.clicked.connect(self.start)
        self.job_card.bench_button.clicked.connect(self.open_bench_view)
        self.job_card.print_button.clicked.connect(self._print)
        self.job_card.delete_button.clicked.connect(self._delete)
        self.flow.changed.connect(self._show)
        self.flow.went_on.connect(self.go_on)
        self.case.tried.connect(self._draw)

    def _lay_out(self) -> None:
        drawn = Card(tr("Drawing of the head"), spacing=0)
        drawn.body.setContentsMargins(8, 8, 8, 6)
        drawn.add(self.drawing, self.trial)
        self._ruler_card = Card(tr("Weights"))
        self._ruler_card.body.setContentsMargins(6, 8, 6, 6)
        self._ruler_card.add(self.ruler)
        rule = QFrame()
        rule.setObjectName("rule")
        rule.setFixedWidth(1)
        self._work = Card(tr("Steps"))
        self._rule = rule
        self._step = QWidget()
        in_column((self.step, 1), (self.ask, 1), of=self._step)
        self._beside = in_row(self.rail, rule, (self._step, 1), spacing=14)
        self._work.body.addLayout(self._beside)
        content = QWidget()
        in_column(
            drawn,
            self._ruler_card,
            (self._work, 1),
            self.figures,
            self.invitation,
            spacing=GAP,
            of=content,
        )
        for card in (*self._setup, self._ruler_card, self._work, self.figures, self.invitation):
            card.hide()
        self._side = SideColumn(self.job_card, self.rod_card, *self._setup)
        self._body = PageBody(content, self._side)
        self._body.fitted.connect(self._use_room)
        self.work_scroll = self._body.work_scroll
        in_row(self._body, of=self)

    @property
    def is_settled(self) -> bool:
        """Whether what is shown is of the bench as it is now."""
        return self.case.is_settled

    # -- what the person does ------------------------------------------------------------------

    def start(self) -> None:
        """Begin a cut-back of the current line."""
        study = self.case.study
        if study is None or study.line is None or study.described is None:
            return
        target = usual_target(study.line, study.rod)
        instruments = usual_instruments(self.place.system)
        begun = self.place.do(edits.start_cut_back, study.line.key, target, instruments)
        if begun:
            self.go_on()

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""
        for card in self._setup:
            card.commit()

    def current_bench_view(self) -> Callable[[], object] | None:
        """Shows the step that is due on the whole screen."""
        return self.open_bench_view if self.case.job is not None else None

    def open_bench_view(self) -> None:
        """Show the step that is due on the whole screen."""
        self.place.host.commit()
        view = BenchView(self.flow, self.place.host.parent_widget)
        view.finished.connect(self._take_keys)
        view.open_large()

    def sheet(self) -> Sheet | Sentence:
        """The plan, the log and the cautions of the cut-back of the current line."""
        from taperlab.gui.paper.cut_sheet import cut_sheet

        if self.case.job is None:
            return Sentence("There is no cut-back to print: start one on the Cut back page.")
        return cut_sheet(self.case.study_now())

    def _print(self) -> None:
        from taperlab.gui.paper.printing import preview_sheet

        self.place.host.commit()
        preview_sheet(self.place, self.sheet())

    def _head_on_bench(self) -> None:
        self.place.host.show_page("shape")

    def _delete(self) -> None:
        if self.case.job:
            self.case.do(edits.delete_cut_back)

    def _change_step(self, index: int) -> None:
        job = self.case.job
        if job and index < len(job.steps):
            StepDialog(self.place, job, index).open()

    def _change_first(self) -> None:
        if self.case.job is not None:
            FirstDialog(self.place, self.case.job).open()

    def _change_reading(self, reading: Reading) -> None:
        if reading.what is Weighing.FIRST:
            self._change_first()
        else:
            self._change_step(reading.step or 0)

    def _blade_moved(self, end: CutEnd, position: float) -> None:
        self.case.try_blade(position, front=end is CutEnd.FRONT)

    # -- showing -------------------------------------------------------------------------------

    def _show(self) -> None:
        study = self.case.study
        working = self.flow.study is not None and study is not None and study.described is not None
        self.invitation.setVisible(not working)
        for card in (*self._setup, self._work, self.figures):
            card.setVisible(working)
        self._draw()
        if self.flow.study is not None and working:
            self._show_work(self.flow.study)
        if self._go_on and self.is_settled:
            self.go_on()
        if working and self.isVisible():
            QTimer.singleShot(0, self, self._show_due)

    def _show_work(self, study: Study) -> None:
        due, words = self.flow.due, self.flow.words
        self.rail.show_rows(rows_of(study, due), self.place.read)
        asks = due.act is Act.ASK and study.disagreement is not None
        had_keys = self._has_keys()
        self.step.setVisible(not asks)
        self.ask.setVisible(asks)
        if study.disagreement is not None and asks:
            self.ask.show_question(study.disagreement)
        elif words is not None:
            self.step.show_step(due, words)
        self.figures.setVisible(not asks)
        self.figures.show_study(study)
        self._use_room()
        # What had them may be gone, as a field is that was typed in before an undo.
        self._go_on = self._go_on or (had_keys and not self._has_keys())

    def _draw(self) -> None:
        """Draw the head as it lies, and its weight on the ruler."""
        study, due = self.case.study, self.flow.due
        self.trial.show_study(study)
        drawn = cut_sketch(study, due, self.place.system) if study is not None else None
        step = 0.0
        if study is not None and study.job is not None and study.left is not None:
            step = study.job.instruments.tape
        sketch, words = drawn if drawn else (None, NOTHING)
        self.drawing.show_sketch(sketch, self.place.read(words), step=step)
        ruler = ruler_of(study, due, self.place.system) if self.flow.study and study else None
        self._ruler_card.setVisible(ruler is not None)
        self.ruler.show_ruler(ruler)

    def go_on(self) -> None:
        """Put the keys where the work goes on; if that is not known yet, as soon as it is."""
        self._go_on = not self.is_settled
        if not self._go_on and self.isVisible() and self.window().isActiveWindow():
            self._take_keys()

    def _has_keys(self) -> bool:
        held = QApplication.focusWidget()
        return held is not None and self._step.isAncestorOf(held)

    def _take_keys(self) -> None:
        panel = self.ask if self.ask.isVisibleTo(self) else self.step
        panel.take_keys()

    def _show_due(self) -> None:
        """Scroll to the step that is due, once all have their places."""
        self._use_room()
        if self.case.job is not None:
            asks = self.ask.isVisibleTo(self)
            shown = self.ask.again if asks else self.step.button
            self.work_scroll.ensureWidgetVisible(shown, 0, 60)
            self.work_scroll.horizontalScrollBar().setValue(0)

    # -- Qt ------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with the bench, and show the step that is due."""
        super().showEvent(event)
        self.case.refresh()
        QTimer.singleShot(0, self, self._show_due)

    def hideEvent(self, event: QHideEvent) -> None:
        """Work nothing out that nobody looks at."""
        super().hideEvent(event)
        self.case.sleep()

    def _use_room(self) -> None:
        """Give the sides less where there is little; the steps go below if all else fails."""
        narrow = usual(self.width()) < NARROW
        self.rail.setMinimumWidth(px(NARROW_RAIL if narrow else RAIL))
        needs = self.drawing.minimumSizeHint().height()
        self.drawing.setFixedHeight(max(needs, round(0.2 * self.height())))
        self.step.use_narrow(narrow)
        self.figures.use_narrow(narrow)
        self.ask.use_narrow(narrow)
        room = self._body.room - SPENT
        panel = self.ask if self.ask.isVisibleTo(self) else self.step
        self.step.settle()
        if self.rail.minimumWidth() + panel.minimumSizeHint().width() > room:
            self.step.put_buttons_below()
            self.step.settle()
        stacked = self.rail.minimumWidth() + panel.minimumSizeHint().width() > room
        across, up = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.BottomToTop
        self._beside.setDirection(up if stacked else across)
        self._rule.setVisible(not stacked)
        self.rail.setMaximumWidth(WIDEST if stacked else self.rail.minimumWidth())
