"""The staged cut-back, one step below the other: done, now, still to come."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QGridLayout, QWidget

from taperlab.edits import cut_back as edits
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import Card, Remark, caption, label, set_role
from taperlab.gui.pages.cut_back.case import CutCase
from taperlab.gui.pages.cut_back.due_step import DueStep
from taperlab.gui.pages.cut_back.fields import Kept
from taperlab.gui.pages.cut_back.question import Question
from taperlab.gui.pages.cut_back.step_rows import Marked, StepRows, StepWords
from taperlab.shop.cut_back.staged import Staged
from taperlab.shop.cut_back.study import Study
from taperlab.shop.cut_back.words import cut_words, give_or_take, loops_to_make, one_after_another
from taperlab.trade.cautions import Topic, caution
from taperlab.units.kinds import WEIGHT
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence


class FirstWeighing(QWidget):
    """The head on the scale before the first cut."""

    def __init__(self, case: CutCase) -> None:
        super().__init__()
        self.case = case
        name = tr("The head on the scale, before the first cut")
        self.field = QuantityEdit(WEIGHT, case.place.settings, name=name, optional=True)
        self.field.setPlaceholderText(tr("not weighed"))
        self.field.set_help(tr("The head alone, dry, its loops on."))
        self.field.setFixedWidth(104)
        self.kept = Kept(self.field, self._typed)
        words = label(tr("The head on the scale"), weight=QFont.Weight.Medium)
        words.setBuddy(self.field)
        self.detail = Remark("soft", points=8.5)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 8)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(2)
        grid.addWidget(words, 0, 0)
        grid.addWidget(self.field, 0, 1)
        grid.addWidget(self.detail, 1, 0, 1, 2)
        grid.setColumnStretch(0, 1)

    def show_study(self, study: Study) -> None:
        """Say what is odd of the reading, or that there is none."""
        doubts = " ".join(self.case.place.read(each) for each in study.first_doubts)
        advice = ""
        if study.job is not None and study.job.first_reading is None:
            advice = tr("Weigh it first, dry and with its loops: the margins stand on it.")
        set_role(self.detail, "warn" if doubts else "soft")
        self.detail.say(doubts or advice)

    def _typed(self, value: float | None) -> bool:
        return bool(self.case.do(edits.set_first_reading, value))


class StepsCard(Card):
    """Weigh, cut, weigh again: every step in order, the next one with fields to type into."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(spacing=0)
        self.case, self._read = case, case.place.read
        theme = case.place.theme
        self.first = FirstWeighing(case)
        self._first_row = Marked(theme, self.first)
        self.log = StepRows(theme, "done")
        self.now = DueStep(case)
        self.due = Marked(theme, self.now)
        self.question = Question(case)
        self._asked = Marked(theme, self.question)
        self._asked.set_state("now")
        self._asked.hide()
        self.ahead = StepRows(theme, "next")
        self.loops = StepWords()
        self._loops_row = Marked(theme, self.loops)
        rows = (
            self._first_row,
            self.log,
            self._asked,
            self.due,
            self.ahead,
            self._loops_row,
        )
        self.add(caption(tr("In stages: cut short, weigh, look again")), 6, *rows, None)
        self._steps: object = None
        self._go_on = False
        self.first.field.returnPressed.connect(self._first_entered)
        self.now.form.logged.connect(self.go_on)
        case.asked.connect(self._job_changed)
        case.follow(self.refresh)

    # -- showing -------------------------------------------------------------------------------

    def _job_changed(self, anew: bool) -> None:
        """Show what the bench holds at once; what is worked out of it comes in a moment."""
        job = self.case.job
        if job is None:
            return
        self.first.kept.show(job.first_reading, anew=anew)
        if anew or self._steps is not job.steps:
            self._steps = job.steps
            self.now.form.clear()

    def refresh(self) -> None:
        """Show the log, the next cut and what is still to come."""
        study = self.case.study
        if study is None or study.job is None:
            return
        weighed = study.job.first_reading is not None
        self._first_row.set_state("done" if weighed or study.log else "now")
        self.first.show_study(study)
        self._show_log(study)
        self._asked.setVisible(study.disagreement is not None)
        self.question.show_question(study.disagreement)
        self.due.setVisible(isinstance(study.staged, Staged))
        self.due.set_state("done" if study.is_done else "now")
        self.now.show_study(study)
        self._show_ahead(study)
        self._show_loops(study)

    def _show_log(self, study: Study) -> None:
        for row, each in zip(self.log.show_count(len(study.log)), study.log, strict=True):
            detail = one_after_another(self._read(said) for said in (each.detail, *each.doubts))
            role = "warn" if each.doubts else "soft"
            row.show_words(self._read(each.title), detail, can_change=True, role=role)

    def _show_ahead(self, study: Study) -> None:
        stages = study.stages[1:]
        for i, (row, stage) in enumerate(
            zip(self.ahead.show_count(len(stages)), stages, strict=True)
        ):
            title = Sentence(
                "Cut {number}: about {cut}",
                number=len(study.log) + 2 + i,
                cut=cut_words(stage.front, stage.rear),
            )
            detail = Sentence(
                "down to {mass}, if the scale reads what is expected",
                mass=give_or_take(stage.expected, stage.plus_minus),
            )
            row.show_words(self._read(title), self._read(detail))

    def _show_loops(self, study: Study) -> None:
        texts = [self._read(each) for each in loops_to_make(study.terms)]
        heat, fumes = caution(Topic.HEAT), caution(Topic.FUMES)
        self._loops_row.setVisible(bool(texts) and isinstance(study.staged, Staged))
        cautions = [f"{tr(each.title)}: {tr(each.text)}" for each in (heat, fumes)]
        self.loops.show_words("\n".join(texts), " ".join(cautions), role="warn")
        self.loops.setToolTip(f"{tr(heat.defer)} {tr(fumes.defer)}")

    # -- typing --------------------------------------------------------------------------------

    def commit(self) -> None:
        """Take over the first weighing; a cut half typed waits for its Enter."""
        self.first.kept.commit()

    def go_on_if_due(self) -> None:
        """Put the keys where the work goes on, if that was waited for and is known now."""
        if self._go_on and self.case.is_settled:
            self.go_on()

    def go_on(self) -> None:
        """Put the keys where the work goes on; if that is not known yet, as soon as it is."""
        self._go_on = not self.case.is_settled
        job = self.case.job
        if job is not None and job.first_reading is None and not job.steps:
            target: QWidget = self.first.field
        elif self.now.form.isVisible():
            target = self.now.form.head_reading
        else:
            target = self.now.finish.button
        if target.isVisible():
            target.setFocus(Qt.FocusReason.TabFocusReason)

    def _first_entered(self) -> None:
        self.first.kept.commit()
        if not self.first.field.sentence:
            self.go_on()
