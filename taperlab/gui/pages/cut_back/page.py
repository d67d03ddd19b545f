"""The Cut back page: from a head that is too heavy to one that is right, never past it."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QFont, QHideEvent, QResizeEvent, QShowEvent, QTextDocument
from PySide6.QtWidgets import (
    QBoxLayout,
    QHBoxLayout,
    QPushButton,
    QStackedWidget,
    QToolButton,
    QWidget,
)

from taperlab.edits import cut_back as edits
from taperlab.gui.dialogs.opening import Dialogs
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.rod_card import RodCard
from taperlab.gui.kit.widgets import (
    GAP,
    SIDE_WIDTH,
    Card,
    caption,
    label,
    scrolling,
    side_column,
    upper_and_lower,
)
from taperlab.gui.pages.cut_back.case import CutCase
from taperlab.gui.pages.cut_back.plan_card import PlanCard
from taperlab.gui.pages.cut_back.setup import EndCard, InstrumentsCard, LimitsCard, TargetCard
from taperlab.gui.pages.cut_back.steps import StepsCard
from taperlab.gui.pages.page import Page
from taperlab.gui.plots.line_plots import Drawing, LinePlots
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.start import usual_instruments, usual_target
from taperlab.units.kinds import WEIGHT
from taperlab.units.sentence import Sentence
from taperlab.units.show import show, show_eighths

NARROW = 640
"""Less room than this for plan and steps, and they stand one below the other [px]."""


class Invitation(Card):
    """What the page offers where nothing is being cut."""

    start = Signal()

    def __init__(self, case: CutCase) -> None:
        super().__init__(margin=24, spacing=8)
        self._case = case
        self.title = label("", points=13.0, weight=QFont.Weight.DemiBold, wrap=True)
        self.words = label("", points=9.5, wrap=True)
        self.button = QPushButton("Start a cut-back")
        self.button.setDefault(True)
        self.button.clicked.connect(self.start)
        for each in (self.title, self.words):
            each.setMaximumWidth(560)
            self.body.addWidget(each)
        self.body.addSpacing(6)
        self.body.addWidget(self.button, 0, Qt.AlignmentFlag.AlignLeft)
        self.body.addStretch(1)
        case.changed.connect(self.refresh)
        case.settings.units_changed.connect(self.refresh)

    def refresh(self) -> None:
        """Say what can be cut, or what is missing."""
        case = self._case
        self.button.setVisible(case.head is not None)
        if case.line is None:
            self.title.setText("No line on the bench")
            self.words.setText("Put a line on the bench first, or open a sample from the menu.")
            return
        if case.head is None:
            self.title.setText("Nothing to cut back here")
            self.words.setText(
                f"{case.line.name} has no head in one piece at its fly end. Design or measure one, "
                "or take another line in hand."
            )
            return
        system = case.settings.system
        analysis = case.analysis(case.head)
        self.title.setText(f"Cut {case.line.name} back to weight")
        words = (
            f"By its description the head weighs {show(analysis.head.mass, WEIGHT, system)} at "
            f"{show_eighths(case.head.length, system)}. "
        )
        fit = case.fit(case.head)
        if fit and fit.window:
            words += (
                f"{fit.name} takes {show(fit.window.lightest, WEIGHT, system, unit=False)} to "
                f"{show(fit.window.heaviest, WEIGHT, system)}. ".replace(" gr", "\u00a0gr")
            )
        self.words.setText(
            words
            + "A cut is final, so it goes in stages: weigh the head, cut short of the target, "
            "weigh head and offcut, and look again. The last cut is a small one."
        )


class JobCard(Card):
    """Which line is cut back, and what can be done with the cut-back as a whole."""

    def __init__(self, case: CutCase) -> None:
        super().__init__()
        self._case = case
        self.name = label("", points=11.0, weight=QFont.Weight.DemiBold, wrap=True)
        self.print_button = QToolButton()
        self.print_button.setText("Print…")
        self.print_button.setAccessibleName("Print the cut-back")
        self.print_button.setToolTip("Print the plan, the log and the cautions")
        self.delete_button = QToolButton()
        self.delete_button.setText("Delete")
        self.delete_button.setAccessibleName("Delete the cut-back")
        self.delete_button.setToolTip("Forget this cut-back and its log; the line stays")
        self.body.addWidget(caption("Cutting back"))
        self.body.addWidget(self.name)
        self.buttons = QWidget()
        row = QHBoxLayout(self.buttons)
        row.setContentsMargins(0, 2, 0, 0)
        row.addWidget(self.print_button)
        row.addWidget(self.delete_button)
        row.addStretch(1)
        self.body.addWidget(self.buttons)
        case.changed.connect(self.refresh)

    def refresh(self) -> None:
        """Show the line."""
        line = self._case.line
        self.name.setText(line.name if line else "No line in hand")
        self.buttons.setVisible(self._case.job is not None)


class CutBackPage(Page):
    """Plots above; plan and steps below; target, ends and limits at the right."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(place)
        document, settings, theme = place.document, place.settings, place.theme
        self.case = CutCase(document, settings)
        self.case.setParent(self)
        self._document, self._settings, self._theme = document, settings, theme
        self.plots = LinePlots(theme, settings.system)
        self.plots.setAccessibleName("Plots of the head before and after the cut")
        self.plan = PlanCard(self.case)
        self.steps = StepsCard(self.case, theme)
        self.invitation = Invitation(self.case)
        self.job_card = JobCard(self.case)
        self.rod_card = RodCard(place, self.watch)
        self.target = TargetCard(self.case)
        self.end = EndCard(self.case)
        self.limits = LimitsCard(self.case)
        self.instruments = InstrumentsCard(self.case)
        self._setup = (self.target, self.end, self.limits, self.instruments)
        self._shadow: object = None
        self._lay_out()

        self._dialogs = Dialogs(place)
        self.rod_card.edit_rods.connect(self._dialogs.edit_rods)
        self.plots.blade_moved.connect(self._blade_moved)
        self.steps.finished.connect(self._head_on_bench)
        self.steps.change_step.connect(self._change_step)
        self.invitation.start.connect(self.start)
        self.job_card.print_button.clicked.connect(self._print)
        self.job_card.delete_button.clicked.connect(self._delete)
        self.case.changed.connect(self._case_changed)
        self.case.tried.connect(self._draw)
        settings.units_changed.connect(self._units_changed)
        self.case.refresh()

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
        scroll = scrolling(work)
        self.work_scroll = scroll
        self._below = QStackedWidget()
        self._below.addWidget(scroll)
        self._below.addWidget(self.invitation)
        self.splitter = upper_and_lower(plot_card, self._below, stretch=(2, 3), sizes=(290, 430))
        side = side_column(self.job_card, self.rod_card, *self._setup)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP)
        row.addWidget(self.splitter, 1)
        row.addWidget(side)

    # -- what the person does ------------------------------------------------------------------

    def start(self) -> None:
        """Begin a cut-back of the line in hand."""
        line = self.case.line
        if line is None or self.case.head is None:
            return
        target = usual_target(line, self._document.rod)
        instruments = usual_instruments(self._settings.system)
        if self._document.apply(edits.start_cut_back, line.key, target, instruments):
            self.steps.first.setFocus(Qt.FocusReason.TabFocusReason)

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""
        for card in self._setup:
            card.commit()
        self.steps.commit()

    def plots_in_hand(self) -> LinePlots:
        """The plots that copying and saving a picture mean."""
        return self.plots

    def sheet(self) -> QTextDocument | Sentence:
        """The plan, the log and the cautions of the cut-back of the line in hand."""
        from taperlab.gui.paper.cut_sheet import cut_sheet

        line, job = self.case.line, self.case.job
        if line is None or job is None:
            return Sentence("There is no cut-back to print: start one on the Cut back page.")
        return cut_sheet(self._document.bench, line, job, self._settings.system)

    def _print(self) -> None:
        from taperlab.gui.paper.printing import preview_sheet

        self.place.host.commit()
        preview_sheet(self.place, self.sheet())

    def _head_on_bench(self) -> None:
        self.place.host.show_page("shape")

    def _delete(self) -> None:
        if self.case.job:
            self._document.apply(edits.delete_cut_back, self.case.job.key)

    def _change_step(self, index: int) -> None:
        from taperlab.gui.pages.cut_back.step_dialog import StepDialog

        if self.case.job:
            StepDialog(self.place, self.case.job, index).open()

    def _blade_moved(self, position: float) -> None:
        share = self.case.terms.share
        front = share == 1.0 or (0.0 < share < 1.0 and self.plots.blade_held == 0)
        self.case.try_blade(position, front)

    # -- showing -------------------------------------------------------------------------------

    def _case_changed(self) -> None:
        working = self.case.job is not None and self.case.head is not None
        if self._below.currentIndex() != (0 if working else 1):
            # The invitation leaves room for the plots; the work needs it.
            self._below.setCurrentIndex(0 if working else 1)
            self.splitter.setSizes([290, 430] if working else [430, 290])
        for card in self._setup:
            card.setVisible(working)
        self._draw()
        if working and self.isVisible():
            QTimer.singleShot(0, self._show_due)

    def _show_due(self) -> None:
        """Scroll to the step that is due, once the rows have their places."""
        if self.case.job is not None:
            self.work_scroll.ensureWidgetVisible(self.steps.due, 0, 8)
            self.work_scroll.horizontalScrollBar().setValue(0)

    def _draw(self) -> None:
        """Lay what is left over what was there before."""
        case, left = self.case, self.case.left
        if left is None:
            self.plots.set_blades(())
            self._show_shadow(None)
            self.plots.draw(Drawing())
            return
        rod = self._document.rod
        how = {
            "rod_length": rod.length if rod else None,
            "window": rod.window_for(left.style) if rod else None,
        }
        plan, share = case.plan, case.terms.share
        if not isinstance(plan, Plan):
            uncut = case.standing.uncut if case.standing else left
            shown = case.after or left
            fits = case.standing is not None and case.standing.belief.front == 0.0
            self._show_shadow(
                case.analysis(uncut) if fits and shown is not uncut else None, uncut=True
            )
            self.plots.draw(Drawing(case.analysis(shown), **how))
            ends = ((0.0,) if share > 0.0 else ()) + ((left.length,) if share < 1.0 else ())
            self.plots.set_blades(ends if case.job is not None else (), True)
            return
        # The axis is the tape on the head as it lies now, so the uncut head fits only if its fly
        # end is still where it was.
        standing = case.standing
        whole = standing is not None and standing.belief.front == 0.0
        self._show_shadow(case.analysis(standing.uncut if whole else left), uncut=whole)
        start = plan.front_cut + (case.terms.front_loop.fold if plan.front_cut > 0.0 else 0.0)
        self.plots.draw(Drawing(case.analysis(case.after), start=start, **how))
        blades = ((plan.front_blade,) if share > 0.0 else ()) + (
            (plan.rear_blade,) if share < 1.0 else ()
        )
        self.plots.set_blades(blades, True)

    def _show_shadow(self, analysis: object, *, uncut: bool = False) -> None:
        if analysis is not self._shadow:
            self._shadow = analysis
            words = "in grey: before any cut" if uncut else "in grey: before this cut"
            self.plots.set_shadow(analysis, words if analysis else "")

    def _units_changed(self) -> None:
        self.plots.set_system(self._settings.system)

    # -- Qt ------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with the bench."""
        self.case.wake()
        super().showEvent(event)
        QTimer.singleShot(0, self._show_due)

    def hideEvent(self, event: QHideEvent) -> None:
        """Work nothing out that nobody looks at."""
        self.case.sleep()
        super().hideEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put plan and steps side by side where there is room."""
        super().resizeEvent(event)
        room = self.width() - SIDE_WIDTH - GAP
        # One below the other, the steps come first: they are what is worked by.
        beside, stacked = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.BottomToTop
        wanted = beside if room >= NARROW else stacked
        if self._work.direction() != wanted:
            self._work.setDirection(wanted)
