"""The Cut back page: from a head that is too heavy to one that is right, never past it."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QFont, QHideEvent, QResizeEvent, QShowEvent, QTextDocument
from PySide6.QtWidgets import QBoxLayout, QPushButton, QSplitter, QStackedWidget, QWidget

from taperlab.edits import cut_back as edits
from taperlab.gui.dialogs.opening import Dialogs
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.rod_card import RodCard
from taperlab.gui.kit.widgets import (
    GAP,
    SIDE_WIDTH,
    Card,
    caption,
    in_row,
    label,
    scrolling,
    side_column,
    tool_button,
    upper_and_lower,
)
from taperlab.gui.pages.cut_back.case import CutCase
from taperlab.gui.pages.cut_back.plan_card import PlanCard
from taperlab.gui.pages.cut_back.setup import EndCard, InstrumentsCard, LimitsCard, TargetCard
from taperlab.gui.pages.cut_back.steps import StepsCard
from taperlab.gui.pages.page import Page
from taperlab.gui.plots.line_plots import Drawing, Laid, LinePlots
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.start import usual_instruments, usual_target
from taperlab.shop.cut_back.study import Study
from taperlab.shop.wording import window_words
from taperlab.units.language import tr
from taperlab.units.sentence import OnTape, Sentence, Unbroken, Weight

NARROW = 640
"""Less room than this for plan and steps, and they stand one below the other [px]."""


class Invitation(Card):
    """What the page offers where nothing is being cut."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(margin=24, spacing=8)
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
                "{line} has no head in one piece at its fly end. Design or measure one, or take "
                "another line in hand.",
                line=line,
            ),
        )
    weighs = Sentence(
        "By its description the head weighs {mass} at {length}.",
        mass=Unbroken(Weight(study.described.mass)),
        length=OnTape(study.described.line.length),
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
        super().__init__()
        self._case = case
        self.name = label("", points=11.0, weight=QFont.Weight.DemiBold, wrap=True)
        tip = tr("Print the plan, the log and the cautions")
        self.print_button = tool_button(tr("Print…"), tr("Print the cut-back"), tip)
        tip = tr("Forget this cut-back and its log; the line stays")
        self.delete_button = tool_button(tr("Delete"), tr("Delete the cut-back"), tip)
        self.buttons = QWidget()
        row = in_row(self.print_button, self.delete_button, None, of=self.buttons)
        row.setContentsMargins(0, 2, 0, 0)
        self.add(caption(tr("Cutting back")), self.name, self.buttons)
        case.asked.connect(self.refresh)

    def refresh(self) -> None:
        """Show the line."""
        line = self._case.line
        self.name.setText(line.name if line else tr("No line in hand"))
        self.buttons.setVisible(self._case.job is not None)


class CutBackPage(Page):
    """Plots above; plan and steps below; target, ends and limits at the right."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(place)
        self.case = CutCase(place, self.watch, self)
        self.plots: LinePlots = LinePlots(place.theme, place.system)
        self.plots.setAccessibleName(tr("Plots of the head before and after the cut"))
        self.plan = PlanCard(self.case)
        self.steps = StepsCard(self.case)
        self.invitation = Invitation(self.case)
        self.job_card = JobCard(self.case)
        self.rod_card = RodCard(place, self.watch)
        self.target = TargetCard(self.case)
        self.end = EndCard(self.case)
        self.limits = LimitsCard(self.case)
        self.instruments = InstrumentsCard(self.case)
        self._setup = (self.target, self.end, self.limits, self.instruments)
        self._lay_out()

        self._dialogs = Dialogs(place)
        self.rod_card.edit_rods.connect(self._dialogs.edit_rods)
        self.plots.canvas.blade_moved.connect(self._blade_moved)
        self.steps.log.change_step.connect(self._change_step)
        self.invitation.button.clicked.connect(self.start)
        self.job_card.print_button.clicked.connect(self._print)
        self.job_card.delete_button.clicked.connect(self._delete)
        self.case.changed.connect(self._study_came)
        self.case.tried.connect(self._draw)
        self.watch.units_changed.connect(self._units_changed)

    def _lay_out(self) -> None:
        plot_card = Card()
        plot_card.body.setContentsMargins(8, 8, 8, 6)
        plot_card.body.addWidget(self.plots)
        plot_card.setMinimumHeight(256)
        work = QWidget()
        self._work = QBoxLayout(QBoxLayout.Direction.LeftToRight, work)
        self._work.setContentsMargins(0, 0, 0, 0)
        self._work.setSpacing(GAP)
        self._work.addWidget(self.plan, 5, Qt.AlignmentFlag.AlignTop)
        self._work.addWidget(self.steps, 6)
        self.work_scroll = scrolling(work)
        self._below = QStackedWidget()
        # Nothing is below until the first study is there.
        for each in (QWidget(), self.work_scroll, self.invitation):
            self._below.addWidget(each)
        self.splitter: QSplitter = upper_and_lower(
            plot_card, self._below, stretch=(2, 3), sizes=(290, 430)
        )
        for card in self._setup:
            card.hide()
        side = side_column(self.job_card, self.rod_card, *self._setup)
        in_row((self.splitter, 1), side, spacing=GAP, of=self)

    @property
    def is_settled(self) -> bool:
        """Whether what is shown is of the bench as it is now."""
        return self.case.is_settled

    # -- what the person does ------------------------------------------------------------------

    def start(self) -> None:
        """Begin a cut-back of the line in hand."""
        study = self.case.study
        if study is None or study.line is None or study.described is None:
            return
        target = usual_target(study.line, study.rod)
        instruments = usual_instruments(self.place.system)
        begun = self.place.do(edits.start_cut_back, study.line.key, target, instruments)
        if begun:
            self.steps.go_on()

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""
        for card in self._setup:
            card.commit()
        self.steps.commit()

    def sheet(self) -> QTextDocument | Sentence:
        """The plan, the log and the cautions of the cut-back of the line in hand."""
        from taperlab.gui.paper.cut_sheet import cut_sheet

        if self.case.job is None:
            return Sentence("There is no cut-back to print: start one on the Cut back page.")
        return cut_sheet(self.case.study_now(), self.place.system)

    def _print(self) -> None:
        from taperlab.gui.paper.printing import preview_sheet

        self.place.host.commit()
        preview_sheet(self.place, self.sheet())

    def _delete(self) -> None:
        if self.case.job:
            self.case.do(edits.delete_cut_back)

    def _change_step(self, index: int) -> None:
        from taperlab.gui.pages.cut_back.step_dialog import StepDialog

        job = self.case.job
        if job and index < len(job.steps):
            StepDialog(self.place, job, index).open()

    def _blade_moved(self, position: float) -> None:
        terms = self.case.study.terms if self.case.study else None
        if terms is not None:
            both = terms.cuts_front and terms.cuts_rear
            front = self.plots.canvas.blades.held == 0 if both else terms.cuts_front
            self.case.try_blade(position, front=front)

    # -- showing -------------------------------------------------------------------------------

    def _study_came(self) -> None:
        study = self.case.study
        working = study is not None and study.job is not None and study.described is not None
        wanted = self.work_scroll if working else self.invitation
        if self._below.currentWidget() is not wanted:
            # The invitation leaves room for the plots; the work needs it.
            self._below.setCurrentWidget(wanted)
            self.splitter.setSizes([290, 430] if working else [430, 290])
        for card in self._setup:
            card.setVisible(working)
        self._draw()
        self.steps.go_on_if_due()
        if working and self.isVisible():
            QTimer.singleShot(0, self, self._show_due)

    def _show_due(self) -> None:
        """Scroll to the step that is due, once the rows have their places."""
        if self.case.job is not None:
            self.work_scroll.ensureWidgetVisible(self.steps.due, 0, 8)
            self.work_scroll.horizontalScrollBar().setValue(0)

    def _draw(self) -> None:
        """Lay what is left over what was there before."""
        study = self.case.study
        if study is None or study.left is None:
            self.plots.canvas.blades.put(())
            self.plots.draw(Drawing())
            return
        left, terms, rod = study.left, study.terms, study.rod
        shown = study.after or left
        # The axis is the tape on the head as it lies now, so the uncut head fits only if its fly
        # end is still where it was.
        whole = study.standing is not None and study.standing.belief.front == 0.0
        before = study.uncut if whole else None
        words, start, blades = tr("in grey: before any cut"), 0.0, (0.0, left.line.length)
        if isinstance(study.plan, Plan):
            plan = study.plan
            if before is None:
                before, words = left, tr("in grey: before this cut")
            start = plan.front_cut + terms.folds(front=plan.front_cut > 0.0, rear=False)[0]
            blades = plan.front_blade, plan.rear_blade
        self.plots.draw(
            Drawing(
                shown.analysis,
                start=start,
                rod_length=rod.length if rod else None,
                window=rod.window_for(left.line.style) if rod else None,
                shadow=Laid(words, before.analysis) if before and before is not shown else None,
            )
        )
        ends = (terms.cuts_front, terms.cuts_rear) if study.job is not None else (False, False)
        cut = tuple(at for at, is_cut in zip(blades, ends, strict=True) if is_cut)
        self.plots.canvas.blades.put(cut)

    def _units_changed(self) -> None:
        self.plots.set_system(self.place.system)

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

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put plan and steps side by side where there is room."""
        super().resizeEvent(event)
        room = self.width() - SIDE_WIDTH - GAP
        # One below the other, the steps come first: they are what is worked by.
        beside, stacked = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.BottomToTop
        wanted = beside if room >= NARROW else stacked
        if self._work.direction() != wanted:
            self._work.setDirection(wanted)
